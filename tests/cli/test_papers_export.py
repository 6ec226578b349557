"""An export's pictures and proofs name nobody unless names were asked for."""

from tests.cli.bench import SERIAL, Bench
from tests.labels.reading import text

NUMBER = "C-2026-00001"


def test_without_names_there_are_figures_and_proofs(bench: Bench) -> None:
    """Which anybody checks with the keys file, and the first page leads to them."""
    said = bench.does("record export out --papers --by 01")
    papers = bench.folder / "out/papers"
    index = (bench.folder / "out/index.html").read_text(encoding="utf-8")
    names = sorted(path.name for path in papers.iterdir())

    assert names == [f"{SERIAL}-figure.pdf", f"{NUMBER}.proof"]
    assert all(f'href="papers/{name}"' in index for name in names)
    assert "  timelines, certificate files and statements are not drawn, for " in said
    assert said.endswith("people: they come with --with-names\n")
    assert "Wolański" not in text((papers / names[0]).read_bytes())


def test_with_names_and_a_lead_there_is_all_of_it(bench: Bench) -> None:
    """Nothing is entered by it."""
    size = bench.data("shop show")["size"]
    told = bench.data("record export out --papers --with-names --by 01")
    papers = bench.folder / "out/papers"
    names = {path.name for path in papers.iterdir()}
    checked = bench.run(f"certificate check out/papers/{NUMBER}.json")

    assert names == {
        f"{SERIAL}-figure.pdf",
        f"{SERIAL}-statement.pdf",
        f"{SERIAL}-timeline.pdf",
        f"{NUMBER}.json",
        f"{NUMBER}.proof",
    }
    assert told["left"] == []
    assert "whole in itself" in checked.out
    assert bench.data("shop show")["size"] == size


def test_what_cannot_be_drawn_is_told_and_the_rest_is_there(bench: Bench) -> None:
    """Somebody without the card key draws no statement."""
    said = bench.does("record export out --papers --with-names --by 03")

    assert f"  {SERIAL}-statement.pdf is not drawn: " in said
    assert (bench.folder / f"out/papers/{SERIAL}-figure.pdf").is_file()
    said = bench.does("record export nobodys --papers --with-names")
    assert said.endswith("  statements are not drawn: they come with --by of a lead\n")
