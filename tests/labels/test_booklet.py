"""Tests of the owner's booklet: its pages, and where they lie on the sheet."""

from dataclasses import replace
from functools import cache
from typing import Literal

import pytest

from labels import booklet, picture
from labels.booklet import (
    Air,
    Moves,
    NotWood,
    OwnerBooklet,
    Room,
    draw,
    draw_pages,
    notices,
)
from labels.booklet_facts import trees_of
from labels.booklet_fold import CUT, FORME, leaf_size
from labels.emblem import read_emblem
from labels.facts import Maker, Measure
from labels.page import A4, LETTER
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps, words
from tests.labels.samples import CARD_TEXT, CERTIFICATE, MATERIALS
from tests.labels.test_emblem import SKERRY
from tests.labels.wordy import wordy

Paper = Literal["A4", "Letter"]
SHEETS = {"A4": A4, "Letter": LETTER}
BOOKLET = OwnerBooklet(
    certificate=CERTIFICATE,
    year=2026,
    set_up=(
        Measure("relief", "0.18", "mm"),
        Measure("action, 12th fret, 6th string", "2.3", "mm"),
        Measure("humidity", "45", "%RH"),
    ),
    room=Room("40", "50\u2009%", 17),
    air=Air("crib", "44\u2009%RH", "20\u2009°C", "2026-11-20", 86_001),
    moves=Moves(
        species="Picea abies",
        dry="6\u2009%",
        usual="8\u2009%",
        damp="11\u2009%",
        shrinks="0.3\u2009mm",
        swells="0.3\u2009mm",
        source="Wood Handbook, equation 4-5",
    ),
)
WORK = "plates, braces, binding, voice, frets, neck, finish and the set-up " * 3
FULL = replace(
    BOOKLET,
    certificate=replace(
        CERTIFICATE,
        makers=tuple(Maker(f"{n:02}", f"Jakub Wolański {n}", WORK) for n in range(40)),
        materials=tuple(
            MATERIALS[n % 2]._replace(part=f"part {n}", place_of_growth=f"Corda {n}")
            for n in range(14)
        ),
    ),
    set_up=tuple(Measure(f"measure number {n}", "2.3", "mm") for n in range(30)),
    superseded_by="C-2031-00002",
)
LONG = "Associated Mountain Instruments of the Upper Val Corda " * 3
EVERY = {
    "usual": BOOKLET,
    "full": FULL,
    "nothing": OwnerBooklet(
        certificate=replace(
            CERTIFICATE, kind="", run="", makers=(), materials=(), measures=()
        ),
        year=2026,
        set_up=(),
    ),
    "long names": replace(
        FULL,
        certificate=replace(
            FULL.certificate,
            shop=LONG,
            model=LONG,
            run=LONG,
            signer_name=LONG,
            makers=(Maker("07", LONG, LONG),) * 9,
            materials=(
                MATERIALS[0]._replace(part=LONG, species=LONG, trade_name=LONG),
                MATERIALS[1]._replace(sawyer=LONG, place_of_growth=LONG),
            ),
        ),
        set_up=(Measure(LONG, "1", "g"),),
    ),
    "from afar": replace(
        BOOKLET,
        certificate=replace(
            CERTIFICATE,
            signer_name="荒川健二",
            makers=(
                Maker("01", "Δημήτρης Λαζάρεφ", "голос"),
                Maker("02", "荒川", "首"),
            ),
        ),
    ),
}


@cache
def pages_of(shown: OwnerBooklet) -> bytes:
    """Return the small pages, drawn once for all tests that read them."""
    return draw_pages(shown)


@cache
def sheet_of(shown: OwnerBooklet, paper: Paper) -> bytes:
    """Return the sheet, drawn once for all tests that look at it."""
    return draw(shown, paper=paper)


def text(shown: OwnerBooklet, number: int) -> str:
    """Return the text of a page by its number, all spaces alike."""
    return " ".join(reading.text(pages_of(shown), page=number - 1).split())


@pytest.mark.parametrize("name", EVERY)
def test_it_is_eight_small_pages_on_which_nothing_overlaps(name: str) -> None:
    """A6, however much there is to tell, and however long the names."""
    pdf = pages_of(EVERY[name])

    assert picture.pages(pdf) == 8
    assert picture.one_bit(pdf, page=0, dpi=254).size == (1050, 1480)
    for page in range(8):
        assert overlaps(pdf, page) == []
        assert outside(pdf, [(9.5, 95.5)], page) == []


@pytest.mark.parametrize("name", ["full", "nothing", "long names"])
@pytest.mark.parametrize("paper", SHEETS)
def test_the_sheet_has_two_sides_on_which_nothing_overlaps(
    name: str, paper: Paper
) -> None:
    """Each word stands in its quarter, or in the strip that is cut off."""
    pdf = sheet_of(EVERY[name], paper)
    wide = SHEETS[paper][0]
    halves = [(5.0, wide / 2 - 3), (wide / 2 + 3, wide - 5.0)]

    assert picture.pages(pdf) == 2
    for page in (0, 1):
        assert overlaps(pdf, page) == []
        assert outside(pdf, halves, page) == []


def test_words_of_other_languages_have_room(monkeypatch: pytest.MonkeyPatch) -> None:
    """A third more than in English, on full pages and the lower of both sheets."""
    monkeypatch.setattr(booklet, "tongue", wordy)
    pdf = draw(FULL, paper="Letter")

    assert [overlaps(pdf, page) for page in (0, 1)] == [[], []]


@pytest.mark.parametrize("paper", SHEETS)
def test_every_page_lies_where_the_fold_wants_it(paper: Paper) -> None:
    """Its number is at the outer edge of its foot, head down above the fold."""
    pdf, sheet = sheet_of(BOOKLET, paper), SHEETS[paper]
    wide, _ = leaf_size(sheet)
    for panel in FORME:
        found = [
            each
            for each in words(pdf, 0 if panel.side == "front" else 1)
            if each.text == f"{panel.number}"
            and panel.column * wide < each.left < (panel.column + 1) * wide
            and (each.top < 8 if panel.is_turned else each.foot > sheet[1] - 8)
        ]
        is_right = (panel.number % 2 == 1) is not panel.is_turned
        edge = panel.column * wide + (wide - 9.5 if is_right else 9.5)

        assert len(found) == 1, panel
        assert abs((found[0].right if is_right else found[0].left) - edge) < 0.6, panel


@pytest.mark.parametrize("paper", SHEETS)
def test_what_is_cut_off_says_how_to_fold(paper: Paper) -> None:
    """Tiny words between two dotted lines, and nothing of a page between them."""
    pdf, middle = sheet_of(FULL, paper), SHEETS[paper][1] / 2
    strip = [
        each.text
        for each in words(pdf)
        if each.foot > middle - CUT and each.top < middle + CUT
    ]

    assert strip == [
        "Print on both sides, turned on the short edge.",
        "Fold here backwards, then the left half; staple; cut off this strip.",
    ]


def test_the_title_page_names_the_instrument() -> None:
    """Whose it is, what it is, its number; an older one says that there is a newer."""
    said = text(BOOKLET, 1)

    for expected in (
        "Tidewarden",
        "Flat-top guitar, dreadnought-size, 2026",
        "Harbour Lights, 3 of 12",
        "26-0147-3",
        "C-2026-00088",
        "Made by these hands, from these trees.",
    ):
        assert expected in said, expected
    assert "Superseded" not in said
    assert "Superseded by C-2031-00002; true as of 2026-11-21." in text(FULL, 1)


def test_woods_of_one_kind_and_place_are_one() -> None:
    """Their parts are named together, their grams are added, their months span."""
    top = MATERIALS[0]
    braces = top._replace(part="braces", months=14, grams=110)
    told = trees_of((top, MATERIALS[1], braces))

    assert [tree.parts for tree in told] == [("top", "braces"), ("headplate",)]
    assert (told[0].grams, told[0].least_months, told[0].most_months) == (300, 6, 14)
    shown = replace(CERTIFICATE, materials=(top, braces))
    said = text(replace(BOOKLET, certificate=shown), 2)
    assert "European spruce: top, braces" in said
    assert "Ferrante & Daughters, Val Corda, IT. 6 to 14 months" in said


def test_a_trade_name_in_two_spellings_is_one() -> None:
    """A species has one row then, with each by whom it came."""
    binding = MATERIALS[0]._replace(trade_name="Black walnut", part="binding")
    stock = binding._replace(
        trade_name="black walnut", part="rosette", sawyer="old stock"
    )
    told = trees_of((binding, stock))

    assert [(tree.trade_name, tree.parts) for tree in told] == [
        ("Black walnut", ("binding", "rosette"))
    ]
    shown = replace(CERTIFICATE, materials=(binding, stock))
    said = text(replace(BOOKLET, certificate=shown), 2)
    assert "Ferrante & Daughters and old stock, Val Corda, IT" in said


def test_what_has_no_room_is_counted() -> None:
    """Woods, makers, works and measures: each is on its page, or counted there."""
    woods, makers, measures = (text(FULL, number) for number in (2, 3, 4))
    shown = sum(f"part {n} " in woods for n in range(14))
    named = sum(f"Wolański {n} " in makers for n in range(40))
    measured = sum(f"measure number {n} " in measures for n in range(30))

    assert shown >= 6 and f"and {14 - shown} more, on the certificate" in woods
    assert named >= 7 and f"and {40 - named} more, on the certificate" in makers
    assert "plates, braces, binding, voice, frets, neck" in makers
    assert measured >= 12 and f"and {30 - measured} more, on record" in measures


def test_shell_and_bone_stand_with_the_woods() -> None:
    """Whatever woods there are: a border asks for them by their scientific names."""
    others = (NotWood("Bos taurus", "bone"), NotWood("Pinctada maxima", "shell"))
    for shown in (BOOKLET, FULL):
        told = replace(shown, not_wood=others)
        said = text(told, 2)

        assert "Bos taurus no wood: bone" in said
        assert "Pinctada maxima no wood: shell" in said
        assert overlaps(pages_of(told), 1) == []


def test_page_5_says_truly_what_page_2_names() -> None:
    """Woods without a row are named; where not even names have room, it says so."""
    sawn = FULL.certificate.materials
    odd = replace(
        FULL,
        certificate=replace(
            FULL.certificate,
            materials=tuple(
                row._replace(species=f"Picea {n}") for n, row in enumerate(sawn)
            ),
        ),
    )
    lots = tuple(row._replace(species="Picea " + "x" * 40) for row in sawn)
    lots = tuple(
        row._replace(species=f"{row.species}{n}") for n, row in enumerate(lots)
    )
    crowded = replace(FULL, certificate=replace(FULL.certificate, materials=lots))

    assert all(f"Picea {n}" in text(odd, 2) for n in range(14))
    assert "Page 2 names every species on record" in text(odd, 5)
    assert "more, on the certificate" in text(crowded, 2)
    assert "the certificate every wood" in text(crowded, 5)


def test_set_up_and_care_say_what_is_known_and_how() -> None:
    """The record's numbers with their entries; a handbook's are called that."""
    set_up, care = text(BOOKLET, 4), text(BOOKLET, 5)

    assert "relief 0.18 mm" in set_up and "mass 1986 g" in set_up
    for expected in (
        "We keep our wood in air of 40 to 50 % (entry 17).",
        "crib, 44 %RH, 20 °C, 2026-11-20 (entry 86 001)",
        "By a handbook, at 20 °C wood comes to rest at about 8 % of water",
        "Common practice: keep it in air of 40 to 60 % relative humidity",
        "Ask the CITES Management Authority of both countries",
        "This booklet is no permit.",
    ):
        assert expected in care, expected


def test_what_is_not_on_record_is_left_out() -> None:
    """No empty brackets, and no numbers of nobody."""
    care = text(EVERY["nothing"], 5)

    assert "handbook" not in care and "entry" not in care and "None" not in care
    assert "Common practice" in care


def test_two_pages_are_to_be_written_on() -> None:
    """Pages 6 and 7 have columns for the day, the work and who did it."""
    for number in (6, 7):
        said = text(BOOKLET, number)

        assert "Service, to be written by hand" in said
        assert "day what was done, and with what who, initials" in said


def test_the_last_page_says_how_to_check_and_what_to_keep() -> None:
    """The square is that of the card, on the small page and on both sheets."""
    said = text(BOOKLET, 8)

    assert "A serial alone proves nothing" in said and "no title" in said
    assert "C-2026-00088, 2026-11-21, entry 86 114" in said
    for pdf, page in (
        (pages_of(BOOKLET), 7),
        (sheet_of(BOOKLET, "A4"), 0),
        (sheet_of(BOOKLET, "Letter"), 0),
    ):
        shown = picture.grey(pdf, page=page, dpi=300)
        assert reading.symbols(shown) == [CARD_TEXT]


def test_the_same_values_give_the_same_bytes() -> None:
    """Sheet and pages drawn twice are the same files."""
    sheet, pages = sheet_of(BOOKLET, "A4"), pages_of(BOOKLET)

    assert draw(replace(BOOKLET), paper="A4") == sheet
    assert draw_pages(replace(BOOKLET)) == pages


def test_an_emblem_stands_beside_the_name() -> None:
    """At the right edge of the title page; of no known kind a tree stands below."""
    shown = replace(CERTIFICATE, emblem=read_emblem(SKERRY), kind="zither")
    pdf = draw_pages(replace(BOOKLET, certificate=shown))

    assert overlaps(pdf) == []
    assert "Zither, 2026" in " ".join(reading.text(pdf).split())


def test_what_no_face_has_is_named() -> None:
    """A work in Korean prints as geta marks, and the shop is told."""
    shown = replace(CERTIFICATE, makers=(Maker("01", "A", "한"),))
    told = notices(replace(BOOKLET, certificate=shown))

    assert len(told) == 1 and "U+D55C" in told[0]
    assert notices(BOOKLET) == ()


@pytest.mark.parametrize(("page", "side"), [(0, "front"), (1, "back")])
def test_the_sheet_looks_as_it_was_approved(page: int, side: str) -> None:
    """Both sides, with the pages as they lie before the fold."""
    pdf = sheet_of(BOOKLET, "A4")

    assert looks.unlike(pdf, f"booklet-{side}", page) == ""
