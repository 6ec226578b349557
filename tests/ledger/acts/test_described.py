"""What goes along and was not made here: read strictly, and asked about as told."""

import copy
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts.described import described_materials, read_described
from ledger.errors import LedgerError
from ledger.events.shipment import DescribedPiece

BOW = {
    "what": "violin bow",
    "marks": "silver, stamped on the stick",
    "parts": [
        {
            "part": "stick",
            "species": "Paubrasilia echinata",
            "form": "finished instrument accessory",
            "mass": "60 g",
            "origin": "Brazil",
            "acquired": "1998-04-01",
            "papers": ["D26-0001"],
        },
        {"part": "slide", "species": "Pinctada spp.", "form": "inlay"},
    ],
}
FILE: dict[str, Any] = {"things": [BOW]}
TODAY = "2026-11-21"


def changed(path: tuple[Any, ...], value: Any) -> dict[str, Any]:
    """Return the file with one member said otherwise; None takes it out."""
    made = copy.deepcopy(FILE)
    at: Any = made
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    return made


def test_a_thing_is_read_part_by_part() -> None:
    """Mass in milligrams, the country by its letters, what nobody knows left out."""
    stick, slide = read_described(FILE, TODAY)

    assert stick == DescribedPiece(
        thing="violin bow",
        marks="silver, stamped on the stick",
        part="stick",
        species="Paubrasilia echinata",
        form="finished_instrument_accessories",
        mass_mg=60_000,
        origin="BR",
        acquired="1998-04-01",
        documents=("D26-0001",),
    )
    assert (slide.mass_mg, slide.origin, slide.acquired) == (None, None, None)
    assert slide.documents == ()


def test_an_origin_may_be_one_of_several() -> None:
    """They are kept sorted, and asked about as not known."""
    told = changed(("things", 0, "parts", 0, "origin"), None)
    told["things"][0]["parts"][0]["may_be_from"] = ["Gabon", "CM", "GA"]
    stick, _ = read_described(told, TODAY)
    asked, _ = described_materials((stick, stick))

    assert (stick.origin, stick.may_be_from) == (None, ("CM", "GA"))
    assert (asked.origin, asked.may_be_from) == (None, ("CM", "GA"))


@pytest.mark.parametrize("named", [["CM"], ["CM", "CM"], ["CM", "EU"], ["CM", "GA"]])
def test_countries_that_say_nothing_clear_are_refused(named: list[str]) -> None:
    """One alone is the origin, and beside an origin there are none."""
    told = changed(("things", 0, "parts", 0, "may_be_from"), named)
    if named != ["CM", "GA"]:
        told["things"][0]["parts"][0]["origin"] = None
    with pytest.raises(LedgerError, match="thing 1, part 1: may_be_from lists two"):
        read_described(told, TODAY)


def test_each_piece_is_asked_about_by_its_place() -> None:
    """The first is piece 1, of the thing that it is in."""
    stick, slide = described_materials(read_described(FILE, TODAY))

    assert (stick.lot, slide.lot) == ("piece 1", "piece 2")
    assert (stick.thing, stick.part) == ("violin bow", "stick")
    assert (stick.mass_mg, slide.mass_mg) == (60_000, None)
    assert str(stick.acquired) == "1998-04-01"


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("things",), [], "things must be a list with something in it"),
        (("things",), "bow", "things must be a list"),
        (("things", 0), "bow", "thing 1 must be a JSON object"),
        (("things", 0, "what"), " ", "thing 1 says nothing in its field 'what'"),
        (("things", 0, "whose"), "mine", "thing 1 has no field 'whose'; it has: marks"),
        (("things", 0, "parts"), [], "thing 1, parts must be a list"),
        (
            ("things", 0, "parts", 0, "species"),
            "rosewood",
            "part 1: 'rosewood' is a na",
        ),
        (
            ("things", 0, "parts", 0, "species"),
            None,
            "1, part 1 says nothing in its field",
        ),
        (("things", 0, "parts", 0, "mass"), "0 g", "part 1: a mass of 0 g is none"),
        (
            ("things", 0, "parts", 0, "acquired"),
            "2026-11-22",
            "thing 1, part 1: acquired 2026-11-22 is still to come, and today is 2026",
        ),
        (
            ("things", 0, "parts", 0, "form"),
            "inlay",
            "Paubrasilia echinata is a plant, and inlay is no form of it: write one of",
        ),
        (
            ("things", 0, "parts", 1, "form"),
            "sawn wood",
            "Pinctada spp. is an animal, and sawn_wood is no form of it: write one of "
            "inlay, part,",
        ),
        (
            ("things", 0, "parts", 1, "form"),
            "弓",
            "thing 1, part 2: '\\\\u5f13' is no f",
        ),
        (("things", 0, "parts", 0, "mass"), "60", "thing 1, part 1: 60 has no unit"),
        (("things", 0, "parts", 0, "mass"), "60 mm", "thing 1, part 1: "),
        (("things", 0, "parts", 0, "mass"), "-1 g", "thing 1, part 1: "),
        (("things", 0, "parts", 0, "origin"), "Atlantis", "'Atlantis' is no country"),
        (("things", 0, "parts", 0, "acquired"), "1998", "'1998' is no day such as"),
        (("things", 0, "parts", 0, "acquired"), 1998, "'1998' is no day such as"),
        (("things", 0, "parts", 0, "papers"), ["invoice"], "thing 1, part 1: "),
        (("things", 0, "parts", 0, "papers"), "D26-0001", "papers must be a list"),
    ],
)
def test_what_is_not_understood_is_refused_with_its_place(
    path: tuple[Any, ...], value: Any, said: str
) -> None:
    """In one sentence, which says what to write there."""
    with pytest.raises(LedgerError, match=said) as refused:
        read_described(changed(path, value), TODAY)

    assert "\n" not in str(refused.value)


def test_too_many_parts_are_refused() -> None:
    """A thousand at once are more than any case of strings."""
    parts = [BOW["parts"][1]] * 1001
    with pytest.raises(LedgerError, match="describes 1001 parts"):
        read_described({"things": [BOW | {"parts": parts}]}, TODAY)


@given(
    data=st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(
                st.sampled_from(["things", "what", "parts", "part", "species", "mass"])
                | st.text(max_size=5),
                inner,
                max_size=4,
            )
        ),
        max_leaves=12,
    )
)
def test_any_json_is_read_or_refused(data: Any) -> None:
    """And never anything else."""
    try:
        read_described(json.loads(json.dumps(data)), TODAY)
    except LedgerError as refused:
        assert "\n" not in str(refused)
