"""Tests of the table of species at a border."""

from dataclasses import replace

import pytest

from labels import evidence_border
from labels.blocks import together
from labels.evidence import sheet
from labels.evidence_facts import Border, BorderRow
from labels.page import close_document, open_document, turn_over
from labels.sections import FRAMES
from labels.tongue import tongue
from tests.labels import overlaps, reading
from tests.labels.evidence_samples import CROWDED, EVIDENCE, border

SAY = tongue("en")
FRAME = sheet(FRAMES["A4"])


def drawn(table: Border) -> bytes:
    """Draw a table on a page of its own."""
    page = open_document(FRAME.size, "border")
    together(evidence_border.blocks(FRAME, table, SAY)).draw(page, 40)
    turn_over(page)
    return close_document(page)


def words(table: Border) -> str:
    """Return the words of a table, all spaces alike."""
    return " ".join(reading.text(drawn(table)).split())


def test_each_species_stands_with_its_listing_parts_and_answer() -> None:
    """In the shortest form, in the order in which they were asked for."""
    said = words(border())

    for expected in (
        "At a border, as of 2026-11-21",
        "CITES listing, table of 2026-03-05",
        "Dalbergia nigra App. I bridge documents needed",
        "Swietenia macrophylla App. II #6, the Neotropics neck ask the authority",
        "no listing found fingerboard, bridge look it up again",
        "Dalbergia latifolia App. II #15 back, sides not needed",
        "Picea abies no listing found top not needed",
    ):
        assert expected in said, expected


def test_it_says_what_it_rests_on_and_whom_to_ask() -> None:
    """The tables with their dates, the ways, and that it is no permit."""
    said = words(border())

    assert "from CA to EU, GB, JP, US" in said
    assert "no listing was found, in sources as old as 2017-04-21" in said
    assert "ask your CITES Management Authority or a customs broker before it" in said
    assert "Not a permit" in said
    for promise in ("legal", "compliant", "certified", "authentic"):
        assert promise not in said.casefold()


def test_without_a_start_it_is_told_between_which_ends() -> None:
    """And without a source none is named."""
    said = words(replace(border(), start="", oldest_source=""))

    assert "between EU, GB, JP, US" in said and "rests on a source" not in said


@pytest.mark.parametrize("table", [None, replace(border(), rows=())])
def test_without_species_there_is_no_table(table: Border | None) -> None:
    """No heading stands over nothing."""
    assert evidence_border.blocks(FRAME, table, SAY) == []


def test_fourteen_long_names_keep_to_their_columns() -> None:
    """A species stays whole, listing and parts may be shortened; none is set over."""
    assert CROWDED.border is not None
    pdf = drawn(CROWDED.border)

    assert words(CROWDED.border).count("var. parvifolius") == 14

    assert overlaps.overlaps(pdf) == []
    assert overlaps.outside(pdf, [(FRAME.left, FRAME.right)]) == []


def test_very_many_species_break_over_pages_and_few_do_not() -> None:
    """A table that fits is one block; of a longer one each row is."""
    row = border().rows[0]
    many = replace(border(), rows=(row,) * 40)

    assert len(evidence_border.blocks(FRAME, EVIDENCE.border, SAY)) == 1
    assert len(evidence_border.blocks(FRAME, many, SAY)) == 40
    assert len(evidence_border.blocks(FRAME, replace(many, rows=(row,)), SAY)) == 1


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (BorderRow(species="A b", parts=(), answer="ask"), "no listing found"),
        (
            BorderRow(species="A b", parts=(), answer="ask", is_looked_up=False),
            "not looked up",
        ),
        (BorderRow(species="A b", parts=(), answer="ask", appendix="I"), "App. I"),
    ],
)
def test_a_listing_is_told_in_its_shortest_form(row: BorderRow, words: str) -> None:
    """What is not there is not told."""
    assert evidence_border.listing_words(row, SAY) == words


@pytest.mark.parametrize(
    ("where", "words"),
    [
        ("the Neotropics", "II, Neotropis"),
        ("Africa, MG", "II, Afrika, MG"),
        ("KE, TZ", "II, KE, TZ"),
    ],
)
def test_a_region_is_named_in_the_language_of_the_paper(where: str, words: str) -> None:
    """A country's code is the same in every language."""
    row = BorderRow(species="A b", parts=(), answer="ask", appendix="II", where=where)

    assert evidence_border.listing_words(row, tongue("de")).endswith(words)
