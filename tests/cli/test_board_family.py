"""flitchbook board family: what saw and glue made of a board, to the gram."""

from pathlib import Path
from typing import Any

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

NUMBER = (
    "board number L26-001 --for 'brace stock' --length '559 mm' --width '203 mm' "
    "--thickness '8 mm' --mass '400 g' --by 02"
)


def adds_up(kin: dict[str, Any]) -> bool:
    """Tell whether all that a board weighed is in its pieces or lost, all the way."""
    if not kin["pieces"]:
        return True
    parts = sum(piece["part_mg"] for piece in kin["pieces"])
    lost = sum(loss["mass_mg"] for loss in kin["lost"])
    return parts + lost == kin["part_mg"] and all(map(adds_up, kin["pieces"]))


@pytest.fixture
def sawn(bench: Bench) -> Bench:
    """Give a bench at which a board was sawn in two, and one of the two again."""
    bench.does(NUMBER)
    bench.does(
        "board split L26-001-02 --piece 'braces=250 g' --offcut 'strips=120 g' "
        "--waste '27 g' --by 03"
    )
    bench.does(
        "board split L26-001-02.C1 --piece 'brace=130 g' --piece 'brace=118 g' --by 03"
    )
    return bench


def test_a_family_is_told_and_drawn_to_the_gram(sawn: Bench) -> None:
    """Every piece with its mass and its place, and what was lost at each cut."""
    said = sawn.does("board family L26-001-02 --out family.pdf")
    page = " ".join(reading.text(Path("family.pdf").read_bytes()).split())
    tree = sawn.data("board family L26-001-02")["tree"]

    assert said.startswith("Of 400\u2009g of L26-001-02, 368\u2009g is left.")
    assert "L26-001-02.C4" in page and "strips, offcut" in page
    assert adds_up(tree) and tree["part_mg"] == 400_000
    assert tree["lost"] == [
        {"what": "waste", "mass_mg": 27_000},
        {"what": "lost, by difference", "mass_mg": 3_000},
    ]


def test_a_piece_has_its_own_family(sawn: Bench) -> None:
    """And says which board it came of."""
    told = sawn.data("board family L26-001-02.C1")

    assert told["came_from"] == ["L26-001-02"] and adds_up(told["tree"])
    assert [each["mass_mg"] for each in told["tree"]["pieces"]] == [130_000, 118_000]


def test_a_joint_is_shared_by_mass(sawn: Bench) -> None:
    """Of what was glued each board has what it weighed, less what the joint lost."""
    sawn.does(
        "board join L26-001-02.C3 L26-001-02.C2 --for block --mass '245 g' --by 03"
    )
    told = sawn.data("board family L26-001-02.C3")["tree"]
    whole = sawn.data("board family L26-001-02")["tree"]

    assert told["said"] == "brace, glued with L26-001-02.C2"
    assert told["pieces"][0]["mass_mg"] == 245_000
    assert told["pieces"][0]["part_mg"] == 127_400
    assert adds_up(told) and adds_up(whole)


def test_wood_in_an_instrument_is_counted_there(bench: Bench) -> None:
    """A half of the top, which was never sawn."""
    said = bench.does("board family L26-001-01.A").replace("\u2009", " ")

    assert "is in 1 instrument." in said and f"top of {SERIAL}" in said


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("L26-001-99", "there is no board L26-001-99"),
        ("L26-001-01", "name L26-001-01.A or L26-001-01.B"),
        ("L26-001-01.A --out family.bmp", "ends in neither .pdf nor .png"),
    ],
)
def test_what_cannot_be_told_is_refused(bench: Bench, rest: str, why: str) -> None:
    """Nothing is written then."""
    bench.refuses(f"board family {rest}", why)
