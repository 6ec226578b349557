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


def test_nothing_of_the_shop_goes_on_the_web(bench: Bench) -> None:
    """Neither its folder, nor one in it or around it, nor a folder with other files."""
    for folder in (".", "shop", "shop/keys", "shop/www"):
        bench.refuses(f"record tiles {folder}", "would go on the web: name one")
    www = bench.folder / "www"
    for name in ("index.html", "tile/0/000.txt", "tile/vault.sqlite3", ".hidden"):
        (www / name).parent.mkdir(parents=True, exist_ok=True)
        (www / name).write_text("mine")
        bench.refuses("record tiles www", f"holds {name}, which is no tile")
        (www / name).unlink()

    assert not (bench.folder / "shop/checkpoint").exists()
    assert not (www / "checkpoint").exists()
