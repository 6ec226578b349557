"""Tests of the rows of a materials list."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels import materials, picture
from labels.materials import Counts, MaterialRow
from labels.materials_table import BODY, lines_of, listing_lines, number, volumes
from labels.page import measure
from ledger import quantities
from ledger.errors import RefusedError
from tests.labels import overlaps, reading
from tests.labels.samples import MATERIALS_PAPER, WOODS


def said(*rows: MaterialRow) -> str:
    """Return the text of page 1 of a list of these rows, all spaces alike."""
    drawn = materials.draw(replace(MATERIALS_PAPER, rows=rows))
    return " ".join(reading.text(drawn).split())


def test_a_row_tells_the_whole_wood() -> None:
    """Species, trade name, part, form, harvest, amounts, listing, rule and paper."""
    text = said(WOODS[1])

    for words in (
        "Dalbergia latifolia",
        "East Indian rosewood",
        "back, sides, headplate",
        "finished instrument",
        "IN",
        "0.746",
        "0.830",
        "App. II #15",
        "not needed",
        "#15 lets finished instruments go. Paper held: export permit and invoice "
        "D-2023-118 for lot L23-040.",
    ):
        assert words in text


@pytest.mark.parametrize(
    ("listing", "lines"),
    [
        ("App. II #15", ["App. II", "#15"]),
        ("Appendix III, reservation", ["Appendix", "III,", "reservation"]),
        (
            "elsewhere: App. III, the Neotropics",
            ["elsewhere:", "App. III, the", "Neotropics"],
        ),
        (
            "not looked up: no row for this name",
            ["not looked up:", "no row for this", "name"],
        ),
    ],
)
def test_a_listing_takes_three_lines_at_most(listing: str, lines: list[str]) -> None:
    """It is narrowed before it takes a fourth, and keeps to its column all the same."""
    assert listing_lines(listing)[0] == lines
    drawn = materials.draw(
        replace(MATERIALS_PAPER, rows=(WOODS[1]._replace(listing=listing),))
    )

    assert overlaps.overlaps(drawn) == []


def test_rows_stand_in_the_order_given() -> None:
    """Whoever hands over the list knows what must be read first."""
    text = said(*reversed(WOODS))
    places = [text.index(row.species) for row in WOODS]

    assert places == sorted(places, reverse=True)


def test_each_answer_has_its_word_and_its_edge() -> None:
    """Needed is sawn, ask is dashed, attached has a square, not needed a word alone.

    Judged in black and white: the plate's middle at its left, its upper edge, and the
    place of the square.
    """
    shapes = {}
    for answer in ("needed", "ask", "attached: no. IE-41", "not needed"):
        rows = (WOODS[2]._replace(answer=answer),)
        counts = Counts(1, 1, 0, 0, 1)
        drawn = materials.draw(replace(MATERIALS_PAPER, rows=rows, counts=counts))
        image = picture.one_bit(drawn, page=0, dpi=254)
        top, left = 972, 1670  # upper edge of the row, left edge of the plate
        middle = image.getpixel((left + 40, top + 70)) == 0
        rim = [image.getpixel((left + x, top + 22)) == 0 for x in range(5, 265)]
        square = image.getpixel((left + 12, top + 58)) == 0
        shapes[answer] = (middle, all(rim), any(rim), square)
        word = answer.upper() if answer in ("needed", "ask") else answer

        assert word in " ".join(reading.text(drawn).split())
    assert shapes == {
        "needed": (True, True, True, False),
        "ask": (False, False, True, False),
        "attached: no. IE-41": (False, False, False, True),
        "not needed": (False, False, False, False),
    }


@pytest.mark.parametrize("answer", ["", "yes", "Needed", "attached"])
def test_an_answer_without_an_edge_is_refused(answer: str) -> None:
    """A word that no reader has been told the meaning of is not printed."""
    with pytest.raises(RefusedError, match="of Picea abies is not one of needed, ask"):
        materials.draw(
            replace(MATERIALS_PAPER, rows=(WOODS[2]._replace(answer=answer),))
        )


@pytest.mark.parametrize(
    ("mass_mg", "words"),
    [
        (746_000, "0.746"),
        (10_000, "0.010"),
        (4_250, "0.00425"),
        (1, "0.000001"),
        (0, "0"),
        (12_345_678_901, "12\u2009345.679"),
    ],
)
def test_a_mass_is_printed_to_the_gram_and_a_small_one_whole(
    mass_mg: int, words: str
) -> None:
    """No wood, however light, is rounded away."""
    assert number(mass_mg, quantities.kilograms) == words


def test_sums_are_of_what_is_known_and_say_what_is_not() -> None:
    """Masses add up; a volume nobody took is a dash, and missing from the sum aloud."""
    text = said(*WOODS)

    assert "All materials, dm³ of 3 of 4 rows 1.250 1.691 net, as weighed" in text
    assert "0.00425 —" in text
    assert "rows" not in said(*WOODS[:3])


@given(st.lists(st.none() | st.integers(0, 10**10), min_size=1, max_size=12))
def test_printed_volumes_add_up_to_their_printed_sum(taken: list[int | None]) -> None:
    """With as many decimals each, none off by more than the last of them."""
    said = volumes([WOODS[0]._replace(volume_mm3=volume) for volume in taken])
    known = [volume for volume in taken if volume is not None]
    told = [
        Decimal(words.replace("\u2009", ""))
        for words in said.rows
        if words not in ("", "—")
    ]

    assert len(said.rows) == len(taken) and len(told) == len(known)
    if not known:
        assert said.whole == "" and set(said.rows) == {""}
        return
    whole = Decimal(said.whole.replace("\u2009", ""))
    last = Decimal(1).scaleb(int(whole.as_tuple().exponent))
    assert sum(told) == whole
    assert {each.as_tuple().exponent for each in told} == {whole.as_tuple().exponent}
    assert abs(whole - Decimal(sum(known)) / 10**6) <= last / 2
    for each, volume in zip(told, known, strict=True):
        assert abs(each - Decimal(volume) / 10**6) < 2 * last


@pytest.mark.parametrize(
    ("taken", "words"),
    [
        ((333_333, 333_333, 333_334), ("0.333", "0.333", "0.334", "1.000")),
        ((10_400, 10_400, 10_400), ("0.010", "0.010", "0.011", "0.031")),
        ((4_250, 830_000), ("0.0043", "0.8300", "0.8343")),
        ((12, 830_000), ("0.000012", "0.830000", "0.830012")),
    ],
)
def test_a_small_volume_is_not_rounded_away(
    taken: tuple[int, ...], words: tuple[str, ...]
) -> None:
    """Then all have more decimals than three; thirds add up to the whole."""
    said = volumes([WOODS[0]._replace(volume_mm3=volume) for volume in taken])

    assert sorted((*said.rows, said.whole)) == sorted(words)


def test_a_list_without_any_volume_has_no_sum_of_it() -> None:
    """Nothing known adds up to nothing said, not to naught; the column is not there."""
    assert "All materials 0.00425 net" in said(WOODS[3])
    assert "kg listing" in said(WOODS[3])
    assert "—" not in said(WOODS[3])
    assert "kg dm³ listing" in said(*WOODS)


@given(
    st.lists(st.text("abcdefgh,-", min_size=1, max_size=14), min_size=1, max_size=12)
)
def test_a_word_is_narrowed_before_it_is_broken(words: list[str]) -> None:
    """No word that a narrower setting holds is torn over two lines."""
    text = " ".join(words)
    lines = lines_of(text, BODY, 15.5)
    most = 15.5 / BODY.narrow * BODY.size / BODY.floor

    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    for word in words:
        if measure(word, BODY) <= most:
            assert any(word in line.split(" ") for line in lines)


def test_the_rules_stand_row_by_row_with_source_and_dates() -> None:
    """Page 2 says of each rule which row it decided and where it is written."""
    drawn = materials.draw(MATERIALS_PAPER)
    text = " ".join(reading.text(drawn, page=1).split())

    for rule in MATERIALS_PAPER.rules:
        for words in (rule.row, *rule.rule.split(), *rule.source.split()):
            assert words in text
        for words in rule.dates.split():
            assert words in text


AGE = "the newest source seen is of 2022-11-25, and the lists may have changed"
AGED_ROWS = tuple(
    WOODS[n]._replace(answer="ask", words="No paper on file.", aged=AGE)
    for n in (0, 2, 3)
)
OF_AGE = replace(
    MATERIALS_PAPER,
    counts=Counts(3, 0, 1, 746_000, 4),
    rows=(WOODS[1], *AGED_ROWS),
    beside=(
        "Needed by other laws: Lacey Act declaration (PPQ 505), of the importer, to "
        "USDA-APHIS; wildlife declaration (3-177), of US Fish and Wildlife Service.",
    ),
)


def aged_page() -> str:
    """Return the text of page 1 of a list with rows that are open for age alone."""
    return " ".join(reading.text(materials.draw(OF_AGE)).split())


def test_what_age_alone_leaves_open_is_said_once_and_last() -> None:
    """Listed wood leads, and the reason stands in one head over those rows."""
    text = aged_page()

    assert text.count(AGE) == 1
    assert text.index("Dalbergia latifolia") < text.index(AGE)
    assert text.index(AGE) < text.index("Diospyros crassiflora")
    assert overlaps.overlaps(materials.draw(OF_AGE)) == []


def test_the_plates_of_aged_rows_are_small() -> None:
    """An officer sees first what decides."""
    heights = [
        max(
            word.foot - word.top
            for word in overlaps.words(materials.draw(paper))
            if word.text == "ASK"
        )
        for paper in (MATERIALS_PAPER, OF_AGE)
    ]

    assert heights[1] < 0.8 * heights[0]


def test_what_other_laws_need_stands_under_the_first_line() -> None:
    """On page one, before any row."""
    text = aged_page()

    assert text.index("of listed wood") < text.index("Lacey Act declaration (PPQ 505)")
    assert text.index("3-177") < text.index("Dalbergia latifolia")


@pytest.mark.parametrize(
    ("mass_mg", "is_whole", "told"),
    [
        (2_000_000, False, ("2.00\u2009kg", "at least, of listed wood")),
        (0, False, ("", "listed wood not weighed")),
        (400, True, ("0.4\u2009g", "of listed wood")),
        (60_000, True, ("0.060\u2009kg", "of listed wood")),
    ],
)
def test_listed_wood_is_never_rounded_to_nothing(
    mass_mg: int, is_whole: bool, told: tuple[str, str]
) -> None:
    """Nor is what was never weighed."""
    assert told in materials.glance(Counts(0, 1, 1, mass_mg, 3, is_whole))
