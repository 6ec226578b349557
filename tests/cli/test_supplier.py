"""flitchbook supplier: sawyers by name, whatever alphabet the name is in."""

import unicodedata

import pytest

from tests.cli.bench import Bench

RECORD = "supplier record --by 02 --shown by-name"


@pytest.mark.parametrize("name", ["陽子の製材所", "O'Brien & Søn", "Żółć Tartak"])
def test_a_sawyer_is_entered_by_name(bench: Bench, name: str) -> None:
    """However the keyboard composed its letters."""
    typed = unicodedata.normalize("NFD", name)

    assert bench.data(f'{RECORD} "{typed}"') == {"name": name}
    assert bench.data("supplier list")["suppliers"][-1] == {
        "name": name,
        "shown": "by-name",
        "region": None,
        "country": None,
    }


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("''", "a name has 1 to 200 characters"),
        ("'  '", "a name has 1 to 200 characters"),
        ("x" * 10_240, "a name has 1 to 200 characters"),
        ("'two\nlines'", "two lines"),
        ("'Ev\u202eil'", "U+202E"),
        ("'a\x1b[31mb'", "U+001B"),
        ("'a\x00b'", "U+0000"),
        ("'\udcff'", "no text in UTF-8"),
        ("'Ferrante & Daughters'", "Ferrante & Daughters is entered already"),
        ("X --shown by-region", "give --region"),
        ("X --region 'a\u202eb'", "U+202E"),
        ("X --country Italy", "two letters such as IT"),
    ],
)
def test_a_hostile_or_empty_name_is_refused(bench: Bench, rest: str, why: str) -> None:
    """Nothing of it is kept, in the log or in the vault."""
    bench.refuses(f"{RECORD} {rest}", why)


def test_a_sawyer_is_erased(bench: Bench) -> None:
    """The region is left, and no file of the shop holds the name."""
    told = bench.data("supplier erase Ferrante --by 12 --approve 01")

    assert told.keys() == {"entry", "subject"}
    assert "Ferrante" not in bench.does("supplier list")
    for path in (bench.folder / "shop").rglob("*"):
        assert path.is_dir() or b"Ferrante" not in path.read_bytes()
    bench.refuses(
        "supplier erase Ferrante --by 12 --approve 01", "no sawyer or supplier"
    )
