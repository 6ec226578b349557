"""Tests of what the papers of the rack share."""

import pytest

from labels import rack_parts
from labels.page import close_document, measure, open_document, turn_over
from labels.rack_parts import LEFT, RIGHT, Fact
from tests.labels import reading
from tests.labels.overlaps import overlaps, words


def test_words_break_into_lines_and_only_the_last_one_loses_its_end() -> None:
    """Of the same size all of them, and none wider than the column."""
    lines = rack_parts.lines_of("export permit " * 9, rack_parts.VALUE, 40, 2)

    assert len(lines) == 2
    assert lines[0] == "export permit export" and lines[1].endswith("…")
    assert all(measure(line, rack_parts.VALUE) <= 40 for line in lines)


def test_what_fits_a_line_narrowed_stays_on_it() -> None:
    """A name is not broken for a millimetre."""
    name = "Oluwaseun Adeyemi-Brandt"
    within = measure(name, rack_parts.NAME) * 0.9

    assert rack_parts.lines_of(name, rack_parts.NAME, within, 2) == [name]


def test_facts_stand_under_one_another() -> None:
    """Each label at the left of its words, the next below the last line before."""
    page = open_document(rack_parts.A6, "facts")
    rows = [Fact("sawyer", "Holzhandel " * 6), Fact("came in", "2026-01-05")]
    end = rack_parts.facts(page, (LEFT, RIGHT - 40), 20, rows, 15)
    turn_over(page)
    drawn = close_document(page)
    tops = {each.text: each.top for each in words(drawn)}

    assert overlaps(drawn) == []
    assert tops["came in"] > tops["sawyer"] + 7
    assert end == pytest.approx(20 + 3 * 4.0 + 2 * 1.3)


@pytest.mark.parametrize("shop", ["The Loft", "Skerrymoor Fretted Instruments " * 3])
def test_a_shop_of_any_length_stands_beside_the_hole(shop: str) -> None:
    """On one line or two, and never in the ring."""
    page = open_document(rack_parts.A6, "head")
    rack_parts.head(page, "Lot card", shop)
    rack_parts.hole(page)
    turn_over(page)
    found = words(close_document(page))
    ring = (rack_parts.A6[0] / 2 - 4.3, rack_parts.A6[0] / 2 + 4.3)

    assert found[0].text.casefold() == "lot card"
    assert all(each.right < ring[0] or each.left > ring[1] for each in found)
    assert all(each.foot < 14 for each in found)


@pytest.mark.parametrize(("count", "lines", "shown"), [(4, 4, 4), (5, 4, 3), (1, 0, 0)])
def test_the_last_line_is_kept_for_those_left_over(
    count: int, lines: int, shown: int
) -> None:
    """All of few; of many one line less."""
    assert rack_parts.room_for(count, lines) == shown


def test_a_symbol_says_the_code_and_where_to_look() -> None:
    """Without a host the code alone, which the shop's own bench reads."""
    said = rack_parts.payload("skm.example", "L", "L26-004", "7")

    assert said == "HTTPS://SKM.EXAMPLE/L/L26-0047"
    assert rack_parts.payload("", "H", "H26-001", "7") == "H/H26-0017"


def test_a_foot_grows_upwards() -> None:
    """Its last line stands on the level, however long it is."""
    page = open_document(rack_parts.A6, "foot")
    rack_parts.foot(page, 143, "The ledger may know more. " * 6)
    turn_over(page)
    drawn = close_document(page)
    found = words(drawn)

    assert overlaps(drawn) == []
    assert len(found) > 1 and 142 < max(each.foot for each in found) < 144
    assert "may know more" in reading.text(drawn)
