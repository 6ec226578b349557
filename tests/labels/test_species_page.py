"""The pages that species papers share."""

from dataclasses import replace

import pytest

from labels import species_page
from labels.materials_table import Block
from labels.page import Page, close_document, open_document, turn_over, write
from labels.species_page import Outline
from ledger.errors import RefusedError
from ledger.trade.consignment import Party
from tests.labels import reading
from tests.labels.consignments import BARE, CONSIGNMENT, IMPRINT


def block(height: float, words: str, *, is_row: bool = False) -> Block:
    """Return a block that says a word."""

    def draw(page: Page, left: float, y: float) -> None:
        write(page, (left, y + 5), words, species_page.BODY)

    return Block(height, draw, words, is_row)


def heads(page: Page, left: float, y: float) -> None:
    """Draw the head of a column."""
    write(page, (left, y), "column head", species_page.ASIDE)


OUTLINE = Outline(
    title="Trial sheet",
    about="What it is",
    number="X26-0412",
    date="2026-11-22",
    place="Port Anslow",
    columns=species_page.columns_of(CONSIGNMENT),
    glance=(("3", "things"),),
    rows=[block(20, "a row", is_row=True)],
    ends=[block(20, "the sums"), block(20, "the signature")],
    tail=[block(20, "the tail")],
    heads=heads,
    whom_to_ask="Ask first.",
)


def pages(outline: Outline) -> list[str]:
    """Return the text of every page."""
    pdf = species_page.draw(outline, size="A4")
    return [
        " ".join(reading.text(pdf, page=n).split()) for n in range(reading.pages(pdf))
    ]


def test_a_short_paper_is_one_page() -> None:
    """Head, columns, glance, rows, ends and tail, in that order."""
    (said,) = pages(OUTLINE)
    places = [
        said.index(words)
        for words in (
            *("Trial sheet", "X26-0412", "What it is", "2026-11-22, Port Anslow"),
            *("Skerrymoor", "Amélie", "3 things", "column head", "a row", "the sums"),
            *("the signature", "the tail", "Ask first.", "page 1 of 1"),
        )
    ]

    assert places == sorted(places)


@pytest.mark.parametrize("count", range(1, 30))
def test_no_signature_stands_without_its_sums(count: int) -> None:
    """Wherever the rows end, both are on one page, and later pages say their title."""
    told = pages(replace(OUTLINE, rows=[*OUTLINE.rows] * count))
    (signed,) = (said for said in told if "the signature" in said)

    assert "the sums" in signed
    assert sum(said.count("a row") for said in told) == count
    for number, said in enumerate(told, start=1):
        assert f"page {number} of {len(told)}" in said
        assert ("column head" in said) == ("a row" in said)
        assert number == 1 or "Trial sheet, continued" in said


def test_ends_that_no_page_holds_run_over() -> None:
    """Rather two pages than none."""
    told = pages(replace(OUTLINE, ends=[block(150, "sums"), block(150, "signature")]))

    assert len(told) == 2


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"rows": [block(400, "points of ebony")]}, "points of ebony does not fit"),
        ({"title": "A title without an end " * 9}, "title does not fit"),
        ({"place": "Port Anslow " * 9}, "place does not fit"),
        ({"whom_to_ask": "a customs broker " * 40}, "whom to ask does not fit"),
    ],
)
def test_what_does_not_fit_is_refused_by_name(
    change: dict[str, object], why: str
) -> None:
    """The refusal says what to shorten."""
    with pytest.raises(RefusedError, match=f"^{why}"):
        species_page.draw(replace(OUTLINE, **change), size="A4")  # type: ignore[arg-type]


def test_an_address_that_does_not_fit_is_refused() -> None:
    """It is as on an envelope: whole."""
    far = Party(name="Amélie Rousset", address=("4 quai des Luthiers",) * 30)
    columns = species_page.columns_of(replace(CONSIGNMENT, recipient=far))
    with pytest.raises(RefusedError, match=r"^--recipient is too long for the paper"):
        species_page.draw(replace(OUTLINE, columns=columns), size="A4")


@pytest.mark.parametrize(
    ("country", "legs", "said"),
    [
        ("", ("IE", "FR"), "Lyon, France (FR)"),
        ("FR", ("IE", "FR", "IE"), "Lyon, France (FR), and back"),
        ("", ("IE", "FR", "IE"), "Lyon, France (FR), and back"),
        (
            "FR",
            ("IE", "US", "FR", "IE"),
            "Lyon, France (FR) via United States (US), and back",
        ),
        (
            "",
            ("IE", "US", "FR", "IE"),
            "Lyon, country to be added by hand: United States (US) or France (FR), "
            "and back",
        ),
    ],
)
def test_the_country_of_an_address_is_where_it_is_received(
    country: str, legs: tuple[str, ...], said: str
) -> None:
    """Never where it comes home to; that it comes back is said."""
    who = Party(name="Amélie Rousset", address=("Lyon",), country=country)
    goes = replace(CONSIGNMENT, legs=legs, recipient=who)
    sent, received, _ = species_page.columns_of(goes)

    assert received.plain == said
    assert sent.plain.endswith("Ireland (IE)")


def test_an_address_without_end_is_refused_before_anything_is_drawn() -> None:
    """By the option that gave it; a usual one has room."""
    endless = Party(name="Rousset", address=("quai des Luthiers",) * 60, country="FR")

    species_page.require_room(CONSIGNMENT)
    with pytest.raises(RefusedError, match="--recipient is too long for the paper"):
        species_page.require_room(replace(CONSIGNMENT, recipient=endless))


def test_an_exhibition_is_printed_as_one() -> None:
    """Whoever typed it finds the word again."""
    shown = species_page.columns_of(replace(CONSIGNMENT, purpose="display"))[2]

    assert "display (exhibition)" in shown.plain


def test_the_signature_is_by_name_or_by_badge() -> None:
    """An erased name is not printed, and the badge stands once."""
    for imprint, words in ((IMPRINT, "Philippa Osei"), (BARE, "badge 09")):
        made = species_page.signature(
            CONSIGNMENT, imprint, heading="Why", beside="So it is."
        )
        page = open_document((210, 297), "signature")
        made.draw(page, 16, 20)
        turn_over(page)
        said = " ".join(reading.text(close_document(page)).split())

        assert words in said and said.count("badge 09") == 1
        assert " ".join(("71391", *IMPRINT.ten_words)) in said
    with pytest.raises(RefusedError, match=r"^why does not fit the paper: it takes"):
        species_page.signature(
            CONSIGNMENT, IMPRINT, heading="Why", beside="So it is. " * 60
        )


def test_without_a_host_the_symbol_says_the_number_alone() -> None:
    """Such a symbol is read by the shop's own bench."""
    payload = species_page.payload

    assert payload(CONSIGNMENT, IMPRINT) == "HTTPS://SKM.EXAMPLE/X/X26-04124"
    assert payload(CONSIGNMENT, BARE) == "X/X26-04124"


def test_letters_and_hosts_at_their_worst_are_noticed() -> None:
    """Hangul becomes geta marks, and a long host steps the symbol down."""
    worse = replace(IMPRINT, host="loft.skerrymoor.example")
    korean = replace(CONSIGNMENT, recipient=Party(name="김", country="KR"))

    assert species_page.notices(CONSIGNMENT, IMPRINT) == ()
    weak, geta = species_page.notices(korean, worse)
    assert "printed at level Q" in weak
    assert geta == "no face has U+AE40 of '김'; printed as 〓"
