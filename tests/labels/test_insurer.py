"""Tests of the statement for an insurer or an appraiser."""

from dataclasses import replace
from functools import cache
from typing import Literal

import pytest

from labels import insurer, picture
from labels.emblem import read_emblem
from labels.facts import Maker, Measure, Remark
from labels.insurer import (
    Counts,
    Gone,
    InsurerStatement,
    Photograph,
    Weighed,
    draw,
    notices,
)
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps, words
from tests.labels.samples import CARD_TEXT, CERTIFICATE, MATERIALS
from tests.labels.test_emblem import SKERRY
from tests.labels.wordy import wordy

Paper = Literal["A4", "Letter"]
# The sides of the type, and the lowest line that a printer reaches [mm].
ROOM = {"A4": ((22.0, 188.0), 289.0), "Letter": ((24.95, 190.95), 273.5)}
DIGESTS = [f"{n}f7c09ae22b4c0de" * 4 for n in range(1, 5)]
STATEMENT = InsurerStatement(
    certificate=CERTIFICATE,
    weighed=Weighed(1990, "2027-02-11", 90_112),
    counts=Counts(services=1, concessions=1, trips=2, owners=1),
    told=(
        Remark("2027-02-11", 90_112, "service for a buzz: set up anew"),
        *CERTIFICATE.remarks,
    ),
    photographs=tuple(
        Photograph(f"2026-0{9 - n}-11", 80_000 - n, digest)
        for n, digest in enumerate(DIGESTS)
    ),
    day="2027-03-01",
    as_of_entry=91_004,
)
FULL = replace(
    STATEMENT,
    certificate=replace(
        CERTIFICATE,
        makers=tuple(Maker(f"{n:02}", f"Jakub Wolański {n}", "") for n in range(40)),
        materials=tuple(
            MATERIALS[n % 2]._replace(part=f"part {n}", species=f"Picea {n}")
            for n in range(14)
        ),
        measures=tuple(Measure(f"measure {n}", "2.3 / 1.7", "mm") for n in range(6)),
    ),
    told=(
        STATEMENT.told[0],
        *(
            Remark(f"2026-08-{n:02}", 70_000 + n, "a crack, repaired " * 9)
            for n in range(19, 0, -1)
        ),
    ),
    reach=("Quay Lane 4, Skerrymoor", "+353 00 000 0000", "bench@skerrymoor.example"),
)
DOUBT = Remark("2026-01-09", 70_000, "in doubt today: ask the maker")
OFF = Remark("2027-02-20", 90_500, "bridge taken off 2027: L23-040-02 (kept)")
OUT = Remark("2027-02-28", 90_900, "out of the shop today, for a loan")
LONG = "Associated Mountain Instruments of the Upper Val Corda " * 3
EVERY = {
    "usual": STATEMENT,
    "full": FULL,
    "nothing": replace(
        STATEMENT,
        certificate=replace(
            CERTIFICATE,
            place="",
            kind="",
            run="",
            makers=(),
            materials=(),
            measures=(),
        ),
        counts=Counts(),
        told=(),
        photographs=(),
    ),
    "long names": replace(
        FULL,
        certificate=replace(
            FULL.certificate,
            shop=LONG,
            model=LONG,
            kind=LONG,
            run=LONG,
            makers=(Maker("07", LONG, ""), Maker("08", "Δημήτρης Λαζάρεφ", "")),
            materials=(MATERIALS[0]._replace(part=LONG, species=LONG, trade_name=LONG),)
            * 3,
            measures=(Measure(LONG, "1", "g"),) * 6,
        ),
    ),
    "from afar": replace(
        STATEMENT,
        certificate=replace(
            CERTIFICATE,
            makers=(Maker("01", "荒川健二", ""), Maker("02", "Дмитрий", "")),
        ),
    ),
}


@cache
def page_of(statement: InsurerStatement, paper: Paper = "A4") -> bytes:
    """Return the page, drawn once for all tests that read it."""
    return draw(statement, paper=paper)


def text(statement: InsurerStatement, paper: Paper = "A4") -> str:
    """Return the text of the page, all spaces alike."""
    return " ".join(reading.text(page_of(statement, paper)).split())


def stands_well(pdf: bytes, paper: Paper) -> None:
    """See one page whose words are apart, within its sides and above its foot."""
    sides, foot = ROOM[paper]

    assert picture.pages(pdf) == 1
    assert overlaps(pdf) == []
    assert outside(pdf, [sides]) == []
    assert all(each.foot < foot for each in words(pdf))


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("paper", ROOM)
def test_it_is_one_page_on_which_nothing_overlaps(name: str, paper: Paper) -> None:
    """However much there is to tell, and however long the names."""
    stands_well(page_of(EVERY[name], paper), paper)


@pytest.mark.parametrize("paper", ROOM)
def test_words_of_other_languages_have_room(
    paper: Paper, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A third more than in English, on a page that is full."""
    monkeypatch.setattr(insurer, "tongue", wordy)

    stands_well(draw(FULL, paper=paper), paper)


def test_it_begins_with_what_can_be_compared() -> None:
    """Serial, the newest mass, the chief woods, photographs: before anything else."""
    said = text(STATEMENT)
    first, _, rest = said.partition("Made of")

    for expected in (
        "Tidewarden",
        "C-2026-00088 2026-11-21",
        "Is this the instrument?",
        "1 serial 26-0147-3",
        "1990 g",
        "as of 2027-02-11, entry 90 112",
        "3 woods Picea abies, Dalbergia latifolia agrees",
        "4 on record, digests below",
    ):
        assert expected in first, expected
    assert "26-0147-3" not in rest
    assert "1986" not in said


def test_woods_hands_and_life_are_on_it() -> None:
    """Each wood by part with its grams, each maker, each remark with its entry."""
    said = text(STATEMENT)

    for expected in (
        "headplate Dalbergia latifolia East Indian rosewood L23-040-02.C1 28",
        "action, 12th fret 2.3 mm",
        "Maura Kiely, Jakub Wolański, Tadhg Mac Giolla, badge 05",
        f"2026-09-11 {DIGESTS[0][:16]}",
        f"2026-06-11 {DIGESTS[3][:16]}",
        "A copy that was saved anew has another digest.",
        "1 service, 1 concession, 2 trips, 1 owner registered.",
        "2027-02-11, entry 90 112: service for a buzz: set up anew",
        "2026-07-29, entry 63 402: a side cracked while bending; repaired",
    ):
        assert expected in said, expected


def test_it_says_what_it_does_not_say() -> None:
    """No value, no appraisal, no title, no permit, no owner; lines stand for them."""
    said = text(STATEMENT)

    for expected in (
        "value and currency, by an appraiser",
        "owner, by the owner",
        "It names no value: it is no appraisal, no title and no permit.",
        "as of 2027-03-01, entry 91 004",
        "The square vouches for the certificate, not for this page.",
    ):
        assert expected in said, expected


@pytest.mark.parametrize("paper", ROOM)
def test_what_has_no_room_is_counted(paper: Paper) -> None:
    """Every wood, maker and remark is on the page, or among those it counts."""
    said = text(FULL, paper)
    woods = sum(f" part {n} " in said for n in range(14))
    makers = sum(f"Wolański {n}," in said for n in range(40))
    told = sum(f"2026-08-{n:02}, entry 70 0{n:02}: " in said for n in range(1, 20)) + 1

    assert 4 <= woods < 14 and f"and {14 - woods} more, on the certificate" in said
    assert 4 <= makers < 40 and f"and {40 - makers} more, on the certificate" in said
    assert "2027-02-11, entry 90 112: service for a buzz" in said
    assert f"and {20 - told} more remarks, which the maker shows" in said


@pytest.mark.parametrize("paper", ROOM)
def test_what_is_open_today_stands_before_all_else(paper: Paper) -> None:
    """Whatever happened since: a doubt, a part that is off, the way it is on."""
    pdf = page_of(replace(FULL, today=(DOUBT, OFF, OUT)), paper)
    told = " ".join(reading.text(pdf).split()).partition("On record of its life")[2]

    stands_well(pdf, paper)
    places = [told.find(row.text) for row in (DOUBT, OFF, OUT, FULL.told[0])]
    assert -1 < places[0] < places[1] < places[2]
    assert places[3] in (-1, max(places))


@pytest.mark.parametrize("paper", ROOM)
def test_what_is_open_goes_on_a_further_page_before_it_is_left_out(
    paper: Paper,
) -> None:
    """Fifty doubts stand on two pages or three, and each says that more follow."""
    doubts = tuple(DOUBT._replace(entry=70_000 + n) for n in range(50))
    pdf = page_of(replace(FULL, today=doubts), paper)
    number = picture.pages(pdf)
    pages = [" ".join(reading.text(pdf, page=n).split()) for n in range(number)]

    assert number in (2, 3)
    assert sum(page.count(DOUBT.text) for page in pages) == 50
    assert all("more on the next page" in page for page in pages[:-1])
    assert f"26-0147-3 C-2026-00088 page 2 of {number}" in pages[1]
    assert "more remarks, which the maker shows" in pages[-1]
    sides, foot = ROOM[paper]
    for page in range(number):
        assert overlaps(pdf, page) == []
        assert outside(pdf, [sides], page) == []
        assert all(each.foot < foot for each in words(pdf, page))


def test_photographs_stand_below_as_far_as_there_is_room() -> None:
    """Four at least; the page says how many of how many, and of what is no file."""
    many = tuple(
        Photograph("2026-09-11", 80_000 - n, f"{n:02}7c09ae22b4c0de" * 4)
        for n in range(30)
    )
    few, crowded = (
        text(replace(statement, photographs=many, lost=2))
        for statement in (STATEMENT, FULL)
    )

    for said in (few, crowded):
        shown = sum(photograph.digest[:16] in said for photograph in many)
        assert 4 <= shown < 30
        assert f"4 photographs {shown} of 30, digests below" in said
        assert f"and {30 - shown} more, which the maker shows" in said
        assert "of 2 no file is left" in said
    gone = text(replace(STATEMENT, photographs=(), lost=2))
    assert "4 photographs no file of one is left agrees" in gone
    assert "below" not in gone.partition("Made of")[0]


def test_woods_can_be_ticked_only_all_of_them() -> None:
    """All are named, or the page leads to its rows; none hides behind a number."""
    said = text(FULL).partition("Made of")[0]

    assert "3 woods the woods below agrees" in said and "more" not in said


def test_what_came_off_is_marked_where_the_woods_are() -> None:
    """First of all rows, in place of its trade name; apart from what is replaced."""
    gone = (Gone("part 12", "2027-02-20", False), Gone("part 13", "2027-01-20", True))
    counts = Counts(parts=1, off=2)
    said = text(replace(FULL, gone=gone, counts=counts))

    assert "g part 12 Picea 12 taken off 2027-02-20 L26-004-11" in said
    assert "part 13 Picea 13 replaced 2027-01-20 L23-040-02.C1" in said
    assert "1 part replaced, 2 parts taken off." in said


def test_an_instrument_of_which_there_is_nothing_to_tell() -> None:
    """The page says so once, and counts no noughts."""
    said = text(EVERY["nothing"])

    assert "On record of its life nothing on record." in said
    assert "0 " not in said.partition("On record of its life")[2].partition("To ")[0]


def test_how_to_reach_the_maker_stands_under_the_name() -> None:
    """In a row under the rule, above the model."""
    said = text(FULL)

    assert said.index("bench@skerrymoor.example") < said.index("Tidewarden")


@pytest.mark.parametrize("paper", ROOM)
def test_the_symbol_says_the_card_text(paper: Paper) -> None:
    """At 300 dots to the inch, on both papers."""
    pdf = page_of(STATEMENT, paper)

    assert reading.symbols(picture.grey(pdf, page=0, dpi=300)) == [CARD_TEXT]


def test_the_same_values_give_the_same_bytes() -> None:
    """A page drawn twice is the same file, in its language."""
    french = replace(STATEMENT, certificate=replace(CERTIFICATE, language="fr"))
    pdf = page_of(STATEMENT, "A4")

    assert draw(replace(STATEMENT), paper="A4") == pdf
    assert b"<rdf:li>fr</rdf:li>" in draw(french, paper="A4")


def test_a_long_word_for_the_key_gives_way_to_its_digits() -> None:
    """In German it has no room beside a number and an entry."""
    shown = replace(CERTIFICATE, language="de", entry=1_086_114)
    said = text(replace(STATEMENT, certificate=shown))

    assert f"Eintrag 1 086 114, {CERTIFICATE.key_id}" in said


def test_what_no_face_has_is_named() -> None:
    """A name from Korea prints as a geta mark, and the shop is told."""
    shown = replace(CERTIFICATE, makers=(Maker("01", "한 maker", ""),))
    told = notices(replace(STATEMENT, certificate=shown))

    assert len(told) == 1 and "U+D55C" in told[0]
    assert notices(STATEMENT) == ()


def test_the_emblem_stands_before_the_name() -> None:
    """As on the certificate; the name moves to the right of it."""
    shown = replace(CERTIFICATE, emblem=read_emblem(SKERRY))
    pdf = draw(replace(STATEMENT, certificate=shown), paper="A4")

    assert min(each.left for each in words(pdf) if "kerrymoor" in each.text) > 30
    assert overlaps(pdf) == []


@pytest.mark.parametrize("paper", ROOM)
def test_the_statement_looks_as_it_was_approved(paper: Paper) -> None:
    """A full page on both papers."""
    assert looks.unlike(page_of(FULL, paper), f"insurer-{paper}") == ""
