"""flitchbook record tiles lays the tree out, and adds to it."""

from tests.cli.bench import Bench


def test_the_tree_is_laid_out_and_laid_out_again(bench: Bench) -> None:
    """The answer says from which size to which, and how many tiles were written."""
    told = bench.data("record tiles www")
    size = told["size"]
    assert (told["size_before"], told["tiles_written"]) == (0, 1)
    bench.does("supplier record Achterberg --shown by-name --by 02")
    again = bench.does("record tiles www --all")

    assert f"www: {size + 1} entries, {size} of them before, 1 tile written" in again
    assert (bench.folder / "www/checkpoint").read_text().split("\n")[1] == str(size + 1)
    bench.refuses("record tiles pins", "pins is a file: name a folder")
