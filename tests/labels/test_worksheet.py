"""Tests of a worksheet as it is drawn."""

from dataclasses import replace
from typing import Literal

import pytest

from labels import picture, worksheet
from labels.species_sheet import SHEETS
from labels.worksheet import payload
from ledger.codes import check_character
from ledger.errors import RefusedError
from ledger.trade.forms.worksheet import Worksheet
from tests.labels import looks, overlaps, reading
from tests.labels.worksheets import EVERY, USUAL, WORST
from tests.ledger.trade.forms.samples import every_box

HOST = "skm.example"
SIZES: tuple[Literal["A4", "Letter"], ...] = ("A4", "Letter")
CITES = USUAL["cites"]


def pages(sheet: Worksheet, size: Literal["A4", "Letter"] = "A4") -> list[str]:
    """Return the text of every page, all spaces alike."""
    drawn = worksheet.draw(sheet, host=HOST, size=size)
    numbers = range(reading.pages(drawn))
    return [" ".join(reading.text(drawn, page=n).split()) for n in numbers]


def plain(words: str) -> str:
    """Return words with all spaces gone, as lines may break anywhere."""
    return "".join(words.split())


@pytest.mark.parametrize("size", SIZES)
def test_the_symbol_says_the_number(size: Literal["A4", "Letter"]) -> None:
    """It stands on the last page and reads back in black and white."""
    drawn = worksheet.draw(CITES, host=HOST, size=size)
    last = reading.pages(drawn) - 1
    said = f"HTTPS://SKM.EXAMPLE/X/X26-0001{check_character('X26-0001')}"

    assert reading.symbols(picture.one_bit(drawn, page=last, dpi=600)) == [said]
    assert payload(CITES, "") == f"X/X26-0001{check_character('X26-0001')}"


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", EVERY)
def test_no_words_run_into_others_or_off_the_type(
    name: str, size: Literal["A4", "Letter"]
) -> None:
    """However full the sheet, all letters stand apart and within the margins."""
    drawn = worksheet.draw(EVERY[name], host=HOST, size=size)
    sheet = SHEETS[size]
    for page in range(reading.pages(drawn)):
        assert overlaps.overlaps(drawn, page) == []
        assert overlaps.outside(drawn, [sheet.sides], page) == []
        words = overlaps.words(drawn, page)
        low = max(each.foot for each in words if not each.text.startswith("page"))
        assert low < sheet.size[1] - 5
        body = [each for each in words if each.foot < sheet.foot - 0.2]
        assert max(each.foot for each in body) < sheet.foot
        assert len(words) - len(body) <= 3


@pytest.mark.parametrize("name", EVERY)
def test_every_box_is_text_on_the_sheet(name: str) -> None:
    """Number or label, what to write, and where it comes from, none lost."""
    sheet = EVERY[name]
    said = plain("".join(pages(sheet)))
    for box in every_box(sheet):
        for words in (box.label, box.value, box.comes_from):
            assert plain(words) in said


@pytest.mark.parametrize("name", USUAL)
def test_an_asked_box_has_its_word(name: str) -> None:
    """As many plates as boxes are asked, those alike in all rows once."""
    sheet = USUAL[name]
    boxes = every_box(sheet)
    asked = [box for box in boxes if box.state == "ask"]
    said = " ".join(pages(sheet))

    assert len(set(asked)) <= said.split().count("ASK") <= len(asked)
    assert ("for the office" in said) == any(b.state == "for the office" for b in boxes)
    assert ("leave empty" in said) == any(b.state == "not for this" for b in boxes)


@pytest.mark.parametrize("name", EVERY)
def test_every_page_says_what_it_is_not_and_bears_both_dates(name: str) -> None:
    """The band first; compiled and the sources' days at the foot; page and number."""
    sheet = EVERY[name]
    told = pages(sheet)
    for number, said in enumerate(told, start=1):
        assert said.index("Not a permit.") < said.index(sheet.number)
        seen = "no source seen"
        if sheet.newest_source:
            seen = f"sources of {sheet.newest_source} or later"
        assert f"Listing table compiled 2026-11-24, {seen};" in said
        assert "boxes of this form compiled 2026-11-24" in said
        assert f"page {number} of {len(told)}" in said


@pytest.mark.parametrize("name", EVERY)
def test_what_must_be_asked_is_said_before_any_box(name: str) -> None:
    """The count first of all, then what has place; the form begins on page one."""
    sheet = EVERY[name]
    said = "".join(map(plain, pages(sheet)))
    first = said.index("whatitasksfor")
    front = [words for words in sheet.asks if plain(words) in said[:first]]

    assert "whatitasksfor" in plain(pages(sheet)[0])
    assert tuple(front) == sheet.asks[: len(front)]
    assert 0 < len(front) <= worksheet.MOST_ASKED
    left = len(sheet.asks) - len(front)
    assert (f"and{left}more,byrow" in said[:first]) == bool(left)
    assert f"{len(sheet.asks)}toaskfirst" in said


def test_papers_to_get_come_before_what_is_asked() -> None:
    """Under a heading of their own, and counted on the first line."""
    sheet = replace(CITES, papers=("export permit for Picea abies (CITES): ask it",))
    said = pages(sheet)[0]
    # Their heads are small capitals, and text is read as it was typed.
    low = said.lower()

    assert low.index("papers to get export permit") < low.index("ask first whether")
    assert "1 paper to get" in said
    assert "to get" not in pages(CITES)[0].lower()


def test_what_has_no_place_at_the_front_and_no_box_stands_at_the_end() -> None:
    """Of twelve questions eight come first; none is lost."""
    asks = tuple(f"ask the office number {n} about it" for n in range(10, 22))
    sheet = replace(CITES, asks=(*asks, *CITES.by_row))
    said = " ".join(pages(sheet))
    form = said.index("what it asks for")

    assert [said.index(words) < form for words in asks] == [*[True] * 8, *[False] * 4]
    left = 4 + len(CITES.by_row)
    assert f"and {left} more, by row and after the last form" in said


@pytest.mark.parametrize("size", SIZES)
def test_a_crowd_runs_over_and_says_what_goes_on(
    size: Literal["A4", "Letter"],
) -> None:
    """Fourteen species on four forms, each row with its name again on a new page."""
    sheet = WORST["crowd, cites"]
    told = pages(sheet, size)
    every = " ".join(told)

    assert sheet.forms[0].copies == 4
    assert "4 forms, 14 rows" in every
    for row in sheet.forms[0].specimens:
        assert f"Row {row.name}" in every
    assert any(", continued" in said.split("X26-0001", 1)[1] for said in told[1:])


def test_the_sheet_promises_nothing_it_cannot_keep() -> None:
    """None of the words that would be quoted back, and nothing called unknown."""
    for sheet in EVERY.values():
        said = " ".join(pages(sheet)).lower()
        for word in (" legal ", "compliant", "authentic", "unknown", "official form"):
            assert word not in said


def test_the_ten_words_are_those_of_the_head() -> None:
    """The head that the shipment carries, to be read out."""
    said = pages(CITES)[-1]

    assert "checkpoint 71391 " in said
    assert "Resolution Conf. 12.3, Annex 2" in said
    assert "Copied onto the form" in said


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"title": "Convention form " * 9}, "title"),
        ({"number": "X26-" * 12}, "number"),
        ({"about": "What to write " * 20}, "about"),
        ({"asks": ("ask " * 4000,)}, "what to ask"),
    ],
)
def test_what_does_not_fit_is_refused_by_name(
    change: dict[str, object], field: str
) -> None:
    """The refusal says which field to shorten."""
    changed = replace(CITES, **change)  # type: ignore[arg-type]  # one field each
    with pytest.raises(RefusedError, match=f"^{field} does not fit the paper"):
        worksheet.draw(changed)


def test_letters_and_hosts_at_their_worst_are_noticed() -> None:
    """Hangul becomes geta marks, and a long host steps the symbol down."""
    worse = replace(CITES, asks=("김",))
    found = worksheet.notices(worse, host="loft.skerrymoor.example")

    assert worksheet.notices(CITES, host=HOST) == ()
    assert worksheet.notices(WORST["crowd, cites"], host=HOST) == ()
    assert "printed at level" in found[0]
    assert found[1] == "no face has U+AE40 of '김'; printed as 〓"


@pytest.mark.parametrize("name", USUAL)
def test_the_same_sheet_gives_the_same_bytes(name: str) -> None:
    """A sheet drawn twice is one sheet."""
    assert worksheet.draw(USUAL[name]) == worksheet.draw(USUAL[name])


def test_the_first_page_looks_as_it_was_approved() -> None:
    """What must be asked stands first."""
    pdf = worksheet.draw(CITES, host=HOST, size="A4")
    assert looks.unlike(pdf, "worksheet") == ""
