"""flitchbook record export and import: for a reader without this program, and back."""

from tests.cli.bench import Bench
from tests.cli.test_record_backup import sealing

__all__ = ["sealing"]


def test_an_export_says_where_to_begin(bench: Bench) -> None:
    """And has what it says."""
    said = bench.does("record export out").splitlines()

    assert said[0].endswith("entries, without the names.")
    assert said[1] == "  Read it with a browser: out/index.html"
    assert (bench.folder / "out/index.html").is_file()
    assert bench.data("record export again").keys() == {"left", "sealed", "size"}


def test_sealed_names_go_out_and_come_back(sealing: Bench) -> None:
    """With the pass-phrase; the shop knows of it, for an erasure asks."""
    told = sealing.data("record export out --with-names --seal-vault --papers")
    sealing.does("record import out --shop new")
    sealing.file("wrong", "seal another set of words\n")

    assert told["sealed"] is True
    assert told["left"][0].endswith("name people and the names lie under a seal")
    assert not (sealing.folder / "out/vault.sqlite3").exists()
    assert sealing.does("person list --shop new") == sealing.does("person list")
    sealing.refuses("record import out --shop third --pin-file wrong", "does not open")
    erased = sealing.data("person erase 03 --by 12 --approve 01")
    assert [each["name"] for each in erased["still_held"]] == ["out"]
    assert erased["still_held"][0]["sealed"] is True


def test_what_is_to_be_sealed_must_be_there(sealing: Bench) -> None:
    """Without names there is nothing to seal."""
    sealing.refuses("record export out --seal-vault", "ask for them too")
