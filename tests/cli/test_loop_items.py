"""A line of names and values, taken apart."""

import pytest

from cli.loop_items import items

OWN = ("room humidity, top joined", "top", "action, 6th string", "relief")


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("", []),
        (" , ;", []),
        ("top=190 g", ["top=190 g"]),
        ("top=190 g, relief=0.18 mm", ["top=190 g", "relief=0.18 mm"]),
        ("relief=0,18 mm , top=0.19 kg", ["relief=0,18 mm", "top=0.19 kg"]),
        ("Top = 190; relief=180 µm;", ["Top = 190", "relief=180 µm"]),
        ("room humidity, top joined=45 %RH", ["room humidity, top joined=45 %RH"]),
        (
            "top=1,9 g, Room humidity, top joined = 45,5 %RH; action, 6th string=2 mm",
            [
                "top=1,9 g",
                "Room humidity, top joined = 45,5 %RH",
                "action, 6th string=2 mm",
            ],
        ),
        ("190 g", ["190 g"]),
        ("neither, top=190 g", ["neither", "top=190 g"]),
        ("top=", ["top="]),
        ("=5 g, =", ["=5 g", "="]),
    ],
)
def test_a_line_is_taken_apart_at_its_names(line: str, found: list[str]) -> None:
    """A comma in a number or in a name of the step's own parts nothing."""
    assert items(line, OWN) == found


@pytest.mark.parametrize("line", ["a" * 900, "=," * 450, ", " * 450, "a,=" * 300])
def test_a_long_line_is_taken_apart_at_once(line: str) -> None:
    """Nothing of it is lost but commas and spaces."""
    bare = "".join(items(line, OWN))

    assert bare.replace(",", "") == line.replace(",", "").replace(" ", "")


def test_a_step_without_measures_has_no_names() -> None:
    """Then every name ends at a comma."""
    assert items("a, b=1 mm", ()) == ["a", "b=1 mm"]
