"""flitchbook build rework, concede, scrap: what went wrong, and how it goes on."""

import pytest

from tests.cli.bench import Bench
from tests.roadside import CARVE, FIRST, SET_UP


@pytest.fixture
def carved(roadway: Bench) -> Bench:
    """Give a bench at which a neck was carved."""
    roadway.does(f"build sign {FIRST} '{CARVE}' --by 04")
    return roadway


def test_a_step_is_ordered_again(carved: Bench) -> None:
    """The answer names what counts no more, and it may be signed once more."""
    said = carved.does(f"build rework {FIRST} '{CARVE}' --why 'a slip' --by 01")

    assert said.startswith(f"{CARVE} of {FIRST} is done again, entry ")
    assert said.endswith(" counts no more.\n")
    again = carved.data(f"build sign {FIRST} '{CARVE}' --by 04")
    told = carved.data(f"build rework {FIRST} '{CARVE}' --why 'again' --by 01")
    assert told["gone"] == [again["entry"]]
    assert told["done_after"] == []


def test_a_part_is_spoiled_and_waits_for_other_wood(carved: Bench) -> None:
    """What used it up is named."""
    said = carved.does(f"build scrap {FIRST} neck --why 'it split' --by 01")

    assert f"L26-001-02, the neck of {FIRST}, is spoiled, entry" in said
    assert f"note: {CARVE} used it up, and is open again for the other wood" in said
    assert "neck" in carved.data(f"build show {FIRST}")["open_parts"]


def test_something_is_let_pass(carved: Bench) -> None:
    """With what was read, or in words alone."""
    told = carved.data(
        f"build concede {FIRST} '{SET_UP}' relief --measured '0.35 mm' --why x --by 01"
    )

    assert (told["what"], told["step"]) == ("relief", SET_UP)
    said = carved.does(
        f"build concede {FIRST} '{CARVE}' 'a filled dent' --why 'small' --by 01"
    )
    assert said.startswith(f"a filled dent of {CARVE} on {FIRST} is let pass, entry")


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"rework {FIRST} '{CARVE}' --why x --by 04", "needs the role lead"),
        (f"rework {FIRST} '{SET_UP}' --why x --by 01", "nobody has signed step set up"),
        (f"rework {FIRST} varnish --why x --by 01", "no step 'varnish'"),
        (f"rework {FIRST} '{CARVE}' --why '' --by 01", "the reason has 1 to 200"),
        (f"concede {FIRST} '{SET_UP}' relief --why x --by 06", "needs the role lead"),
        (
            f"concede {FIRST} '{SET_UP}' relief --measured wide --why x --by 01",
            "'wide' is no measure",
        ),
        (
            f"concede {FIRST} '{SET_UP}' releif --why x --by 01",
            "of its measures relief and mass can be let pass",
        ),
        (f"scrap {FIRST} lid --why x --by 01", "has no part 'lid'"),
        (f"scrap {FIRST} binding --why x --by 01", "has no wood that could be spoiled"),
    ],
)
def test_nothing_is_ordered_wrongly(carved: Bench, command: str, why: str) -> None:
    """One sentence, and nothing is written: not even the reason."""
    carved.refuses(f"build {command}", why)


def test_a_reading_that_can_hardly_be_is_asked_about(carved: Bench) -> None:
    """It is conceded as read only; a step may be named in capitals."""
    said = f"build concede {FIRST} '{SET_UP.upper()}' relief --why x --by 01"
    carved.refuses(
        f"{said} --measured '3000 mm'", "or say that it is so with --as-read"
    )

    assert carved.does(f"{said} --measured '3000 mm' --as-read").startswith("relief")
