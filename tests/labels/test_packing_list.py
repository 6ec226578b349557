"""The packing list: every thing, its wood by species, and sums that are those."""

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels import packing_list, picture
from labels.packing_nets import nets
from labels.species_page import Size
from labels.species_sheet import SHEETS
from ledger import quantities
from ledger.errors import RefusedError
from ledger.trade.consignment import Consignment
from tests.labels import looks, overlaps, reading
from tests.labels.consignments import (
    CONSIGNMENT,
    FULL,
    GUITAR,
    IMPRINT,
    LEAST,
    SHIPMENTS,
    item,
)


def pages(consignment: Consignment = CONSIGNMENT) -> list[str]:
    """Return the text of every page, all spaces alike."""
    pdf = packing_list.draw(consignment, IMPRINT)
    return [
        " ".join(reading.text(pdf, page=n).split()) for n in range(reading.pages(pdf))
    ]


def printed(mass_mg: int, places: int = 3) -> str:
    """Return a mass as the list prints it, copied as plain text."""
    return quantities.kilograms(mass_mg, places=places).split()[0]


@pytest.mark.parametrize("name", SHIPMENTS)
@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_no_words_run_into_others_or_off_the_type(name: str, size: Size) -> None:
    """However full the list, all letters stand apart and within the margins."""
    consignment, imprint = SHIPMENTS[name]
    pdf = packing_list.draw(consignment, imprint, size=size)
    for page in range(reading.pages(pdf)):
        assert overlaps.overlaps(pdf, page) == []
        assert overlaps.outside(pdf, [SHEETS[size].sides], page) == []
        low = max(each.foot for each in overlaps.words(pdf, page))
        assert low < SHEETS[size].size[1] - 5
    assert packing_list.draw(consignment, imprint, size=size) == pdf


def test_every_thing_stands_with_its_marks_and_its_wood() -> None:
    """Code, what it is, marks, net mass; then species, parts, pieces, mass."""
    said = pages()[0]

    for words in (
        "26-0147-3 flat-top guitar, Tidewarden, 2026 1 1.986",
        "serial on the headstock and the neck block; label inside",
        "Picea abies top, braces 14 0.252",
        "Dalbergia latifolia back, sides, headplate 5 0.746",
        "L24-011-07 fingerboard blank 1 0.412",
        "Not a permit.",
    ):
        assert words in said, words


def test_each_printed_sum_is_that_of_the_rows_above_it() -> None:
    """All things, all wood, each species, and what is no wood."""
    said, told = " ".join(pages()), nets(CONSIGNMENT)
    things = sum(told.things.values())

    assert f"All things 3 {printed(things, told.places)}" in said
    for label, is_animal in (("All wood", False), ("Other than wood", True)):
        items = [i for i in CONSIGNMENT.items if (i.kind == "animal") == is_animal]
        pieces = sum(each.pieces for each in items)
        mass = sum(mg for key, mg in told.woods.items() if key[2] == is_animal)
        assert f"{label} {pieces} {printed(mass, told.places)}" in said
    for species in {each.taxon for each in CONSIGNMENT.items}:
        pieces = sum(i.pieces for i in CONSIGNMENT.items if i.taxon == species)
        rows = {key: mg for key, mg in told.woods.items() if key[1] == species}
        assert f"{species} {pieces} {printed(sum(rows.values()), told.places)}" in said
        assert all(printed(mg, told.places) in said for mg in rows.values())


def test_what_was_not_weighed_is_a_dash_and_is_counted() -> None:
    """It leads the first line, and no sum pretends to hold it."""
    one, two, three = CONSIGNMENT.things
    some = replace(CONSIGNMENT, things=(one, replace(two, mass_mg=None), three))
    said = " ".join(pages(some))
    known = sum(nets(some).things.values())

    assert packing_list.glance(some)[0] == ("1", "not weighed")
    assert "at least, net" in said
    assert f"All things net: 2 of 3 weighed 3 {printed(known, 4)}" in said
    assert "All things net: 0 of 1 weighed 1 —" in " ".join(pages(LEAST))


masses = st.one_of(st.none(), st.integers(0, 10**9))


@given(
    st.lists(st.tuples(st.sampled_from("abc"), st.integers(1, 99), masses), max_size=12)
)
def test_sums_by_species_lose_nothing(
    given_: list[tuple[str, int, int | None]],
) -> None:
    """Pieces and milligrams of all species are those of all items."""
    items = [item("X", taxon, "top", mass, pieces=n) for taxon, n, mass in given_]
    woods = packing_list.by_species(items)

    assert sum(wood.pieces for wood in woods) == sum(each.pieces for each in items)
    for wood in woods:
        of = [each.mass_mg for each in items if each.taxon == wood.species]
        assert wood.mass_mg == (None if None in of else sum(m or 0 for m in of))


def test_packages_and_gross_mass_are_left_for_the_pen() -> None:
    """A line for each thing and for the whole, and nothing printed on them."""
    said = pages()

    assert "package thing, and what it is made of pieces net kg gross kg" in said[0]
    assert "Packed by on packages gross kg" in " ".join(said)
    assert not re.search(r"gross kg \d", " ".join(said).replace("gross kg 26-", ""))


def test_the_symbol_says_the_number() -> None:
    """Read back by a camera, on whichever page the signature is."""
    pdf = packing_list.draw(CONSIGNMENT, IMPRINT)
    found = [
        text
        for page in range(reading.pages(pdf))
        for text in reading.symbols(picture.one_bit(pdf, page=page, dpi=300))
    ]

    assert found == ["HTTPS://SKM.EXAMPLE/X/X26-04124"]


def test_a_list_of_nothing_is_refused() -> None:
    """And so is a part of something that is not in the shipment."""
    with pytest.raises(RefusedError, match="0 things on the packing list"):
        packing_list.draw(replace(CONSIGNMENT, things=(), items=()), IMPRINT)
    with pytest.raises(RefusedError, match="top belongs to 26-0147-3, which is not in"):
        packing_list.draw(replace(CONSIGNMENT, things=LEAST.things), IMPRINT)


def test_parts_heavier_than_their_thing_are_noticed() -> None:
    """One of the two weighings is wrong, and whoever prints is told so."""
    light = replace(
        CONSIGNMENT, things=(replace(GUITAR, mass_mg=1), *CONSIGNMENT.things[1:])
    )

    assert packing_list.notices(CONSIGNMENT, IMPRINT) == ()
    assert packing_list.notices(FULL, IMPRINT) == ()
    (said,) = packing_list.notices(light, IMPRINT)
    assert said.startswith("26-0147-3 weighs 0.000001\u2009kg, and its parts 1.18")


def test_a_thing_of_many_woods_runs_over() -> None:
    """Sixty species in one thing are all named."""
    items = tuple(item("26-0147-3", f"Genus species{n}", "top", n) for n in range(60))
    many = replace(CONSIGNMENT, things=(GUITAR,), items=items)
    said = " ".join(pages(many))

    assert all(f"Genus species{n} top 1" in said for n in range(60))


def test_a_mass_that_was_only_stated_is_said_to_be() -> None:
    """What was described has no lot, and the workshop weighed none of it."""
    weighed = tuple(each for each in CONSIGNMENT.items if each.lots)
    told = item("L24-011-07", "Picea abies", "top", 9_000, lots=(), boards=())
    stated = replace(CONSIGNMENT, items=(*weighed, told))
    words = "Those of what was not made here are as stated"

    assert words in " ".join(pages(stated))
    assert words not in " ".join(pages(replace(CONSIGNMENT, items=weighed)))


def test_the_first_page_looks_as_it_was_approved() -> None:
    """Each thing with its marks and its wood."""
    assert looks.unlike(packing_list.draw(CONSIGNMENT, IMPRINT), "packing-list") == ""
