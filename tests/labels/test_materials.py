"""Tests of the materials list as a whole."""

from dataclasses import replace
from typing import Any, Literal

import pytest

from labels import materials, picture
from labels.materials import Counts, MaterialsPaper
from labels.materials_foot import payload
from labels.species_sheet import SHEETS
from ledger.errors import RefusedError
from tests.labels import looks, overlaps, reading
from tests.labels.samples import MATERIALS_PAPER, WOODS

TEXT = "HTTPS://SKM.EXAMPLE/X/X26-04124"
SIZES: tuple[Literal["A4", "Letter"], ...] = ("A4", "Letter")
ANSWERS = ("needed", "ask", "attached: no. IE-2026-00412/B and copy", "not needed")
LONG_ROWS = tuple(
    WOODS[n % 4]._replace(
        species=("Dalbergia cochinchinensis", "Pericopsis elata")[n % 2],
        trade_name=f"wood number {n}.",
        part="back, sides, headplate, bindings and purfling of the body",
        form="finished instrument, with case",
        harvest=("IT, NO, RO, UA, PL", "CM")[n % 2],
        mass_mg=1_234_567_890 * (n % 2) + 12_345,
        volume_mm3=(None, 987_654_321)[n % 2],
        listing=("App. II #15", "Appendix III, reservation")[n % 2],
        answer=ANSWERS[n % 4],
        words="The rule in words, and the paper held. " * (1 + n % 5),
    )
    for n in range(14)
)
FULL = replace(
    MATERIALS_PAPER,
    address="The Loft, Long Quay 12 to 14, Port Anslow",
    recipient="荒川 健二 (Kenji Arakawa)",
    sent_to="札幌, Sapporo, Hokkaidō, JP",
    what="2 finished guitars, heading 9202 90: 26-0147-3 and 26-0148-1",
    purpose="exhibit, returns by 2027-01-31; the owner does not change",
    counts=Counts(12, 11, 13, 987_654_321, 14),
    rows=LONG_ROWS,
    totals="net, both guitars, as weighed",
    animal_parts=MATERIALS_PAPER.animal_parts * 4,
    papers=MATERIALS_PAPER.papers * 3,
    rules=MATERIALS_PAPER.rules * 8,
    whom_to_ask=MATERIALS_PAPER.whom_to_ask * 2,
    signer_name=None,
)
LEAST = replace(
    MATERIALS_PAPER,
    place="",
    address="",
    sent_from="",
    recipient="",
    purpose="",
    counts=Counts(0, 0, 0, 0, 1),
    rows=WOODS[2:3],
    totals="",
    animal_parts=(),
    papers=(),
    rules=(),
    whom_to_ask="",
    host="",
)


def pages(
    paper: MaterialsPaper = MATERIALS_PAPER, size: Literal["A4", "Letter"] = "A4"
) -> list[str]:
    """Return the text of every page, all spaces alike."""
    drawn = materials.draw(paper, size=size)
    numbers = range(reading.pages(drawn))
    return [" ".join(reading.text(drawn, page=n).split()) for n in numbers]


@pytest.mark.parametrize("size", SIZES)
def test_the_symbol_says_the_number(size: Literal["A4", "Letter"]) -> None:
    """In black and white at 600 dots to the inch, both papers read back."""
    drawn = materials.draw(MATERIALS_PAPER, size=size)

    assert reading.symbols(picture.one_bit(drawn, page=0, dpi=600)) == [TEXT]
    assert reading.symbols(picture.one_bit(drawn, page=1, dpi=300)) == []


@pytest.mark.parametrize(
    ("size", "dots"), [("A4", (2100, 2970)), ("Letter", (2159, 2794))]
)
def test_a_list_has_the_size_of_its_paper(
    size: Literal["A4", "Letter"], dots: tuple[int, int]
) -> None:
    """Four woods and their rules are two pages."""
    drawn = materials.draw(MATERIALS_PAPER, size=size)

    assert reading.pages(drawn) == 2
    assert picture.one_bit(drawn, page=0, dpi=254).size == dots


def test_everything_an_officer_asks_for_is_text_on_page_one() -> None:
    """Who sends what to whom, each wood, the sums, the papers and the signer."""
    said = pages()[0]

    for words in (
        "Materials list",
        "X26-0412",
        "2026-11-22, Port Anslow",
        "Skerrymoor Fretted Instruments",
        "The Loft, Port Anslow, IE",
        "Amélie Rousset",
        "Lyon, FR",
        "1 guitar, 26-0147-3",
        "moves 2026-11-24, sold",
        "Diospyros crassiflora",
        "Gaboon ebony",
        "ASK",
        "App. II #15",
        "page 1 of 2",
        "Philippa Osei",
        "shipping and papers",
        "Ask before you move it",
    ):
        assert words in said


@pytest.mark.parametrize("paper", [MATERIALS_PAPER, FULL])
def test_every_page_says_first_what_it_is_not(paper: MaterialsPaper) -> None:
    """The band in four languages stands over every page and is read first."""
    for said in pages(paper):
        first, second, third, fourth = (
            said.index(words)
            for words in (
                "Not a permit.",
                "Ce n’est pas un permis.",
                "No es un permiso.",
                "Keine Genehmigung.",
            )
        )
        assert first < second < third < fourth < said.index("X26-0412")


def test_the_list_promises_nothing_it_cannot_keep() -> None:
    """None of the words that would be quoted back stands in the paper's own text."""
    said = " ".join(pages()).lower()

    for word in ("legal", "compliant", "cites-free", "certif", "authentic"):
        assert word not in said
    assert "0 permits" not in said


def test_the_line_read_first_leads_with_what_must_be_asked() -> None:
    """To ask, needed, listed, kilograms, species; and nothing found has no figure."""
    full = materials.glance(Counts(2, 1, 3, 1_490_000, 6))
    none = materials.glance(Counts(0, 0, 0, 0, 4))

    assert full == [
        ("2", "to ask about"),
        ("1", "permit needed"),
        ("3", "on a CITES list"),
        ("1.49\u2009kg", "of listed wood"),
        ("6", "species"),
    ]
    assert none == [
        ("", "permits: none found needed"),
        ("", "CITES lists: none found"),
        ("4", "species"),
    ]


@pytest.mark.parametrize("size", SIZES)
def test_a_long_list_runs_over_and_loses_nothing(size: Literal["A4", "Letter"]) -> None:
    """Fourteen tall rows and sixteen rules take pages that say how many they are."""
    told = pages(FULL, size)
    every = " ".join(told)

    assert len(told) > 3
    assert all(f"wood number {n}." in every for n in range(14))
    assert every.count("dalbergia-genus") == 8
    for number, said in enumerate(told, start=1):
        assert f"page {number} of {len(told)}" in said
    assert sum("part and form" in said for said in told) >= 3
    assert "Materials list, continued" in told[1]
    assert "Rules and sources, row by row" in told[-1]


def test_no_signature_stands_without_its_sums() -> None:
    """Whatever page the foot falls on, the sums and the papers are on it too."""
    lengths = (replace(FULL, rows=FULL.rows[:count]) for count in range(4, 13))
    for told in map(pages, lengths):
        (signed,) = [said for said in told if "for stamps" in said]

        assert "All materials" in signed
        assert "With this page" in signed


def test_the_foot_says_on_which_page_the_rules_begin() -> None:
    """The page named is the first whose title is that of the rules."""
    told = pages(FULL)
    first = 1 + next(
        n
        for n, said in enumerate(told)
        if "row, and the rule dates, and the sources" in said
    )

    assert f"Rules and sources, row by row: page {first}." in " ".join(told)
    assert "row by row" not in " ".join(pages(replace(FULL, rules=())))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("paper", [MATERIALS_PAPER, FULL, LEAST])
def test_no_words_run_into_others_or_off_the_type(
    paper: MaterialsPaper, size: Literal["A4", "Letter"]
) -> None:
    """However full the list, all letters stand apart and within the margins."""
    drawn = materials.draw(paper, size=size)
    sheet = SHEETS[size]
    for page in range(reading.pages(drawn)):
        assert overlaps.overlaps(drawn, page) == []
        assert overlaps.outside(drawn, [sheet.sides], page) == []
        low = max(each.foot for each in overlaps.words(drawn, page))
        assert low < sheet.size[1] - 5


def test_the_least_list_is_one_page_that_reads_back() -> None:
    """One wood, no host, no rules: the symbol holds the number alone."""
    drawn = materials.draw(LEAST)

    assert reading.pages(drawn) == 1
    assert reading.symbols(picture.one_bit(drawn, page=0, dpi=300)) == [payload(LEAST)]


def test_a_list_of_nothing_is_refused() -> None:
    """An empty list would say that there is no wood."""
    with pytest.raises(RefusedError, match="0 rows on the materials list"):
        materials.draw(replace(MATERIALS_PAPER, rows=()))


@pytest.mark.parametrize("answer", ["ask", "needed"])
def test_a_first_line_that_hides_a_row_is_refused(answer: str) -> None:
    """Where a row must be acted on, the line read first may not say nothing found."""
    rows = (WOODS[2]._replace(answer=answer), WOODS[3])
    paper = replace(MATERIALS_PAPER, rows=rows, counts=Counts(0, 0, 0, 0, 2))
    with pytest.raises(RefusedError, match=f"1 row says '{answer}', and the counts"):
        materials.draw(paper)


@pytest.mark.parametrize(
    ("field", "change"),
    [
        ("number", {"number": "S-2026-" * 12}),
        ("place", {"place": "Port Anslow " * 9}),
        ("whom to ask", {"whom_to_ask": "a customs broker " * 40}),
        ("signer's rank", {"signer_rank": "shipping " * 12}),
        ("purpose", {"purpose": "shown at a fair and then sold " * 12}),
        ("animal parts", {"animal_parts": ("cattle bone",) * 900}),
        ("counts", {"counts": Counts(10**9, 10**9, 10**9, 10**15, 10**9)}),
        ("row of Picea abies", {"rows": (WOODS[2]._replace(words="held " * 4000),)}),
    ],
)
def test_what_does_not_fit_is_refused_by_name(
    field: str, change: dict[str, Any]
) -> None:
    """The refusal says which field to shorten."""
    with pytest.raises(RefusedError, match=f"^{field} does not fit the paper"):
        materials.draw(replace(MATERIALS_PAPER, **change))


@pytest.mark.parametrize(
    ("change", "option"),
    [
        ({"address": "Long Quay " * 60}, "--sender"),
        ({"shop": "Skerrymoor " * 60}, "--sender"),
        ({"recipient": "Rousset " * 60}, "--recipient"),
        ({"sent_to": "4 quai des Luthiers, " * 30}, "--recipient"),
        ({"what": "1 guitar, 26-0147-3 " * 30}, "what is sent, with its purpose,"),
    ],
)
def test_an_address_without_end_is_refused_by_its_option(
    change: dict[str, Any], option: str
) -> None:
    """It is never cut; the refusal names what was typed."""
    with pytest.raises(
        RefusedError,
        match=f"^{option} is too long for the paper: 10 lines are the most",
    ):
        materials.draw(replace(MATERIALS_PAPER, **change))


@pytest.mark.parametrize("size", SIZES)
def test_a_long_address_is_whole_and_moves_the_rest_down(
    size: Literal["A4", "Letter"],
) -> None:
    """Five lines are two more than usual; nothing runs into anything."""
    far = replace(
        MATERIALS_PAPER,
        shop="Skerrymoor Fretted Instruments and Workshops of the Outer Harbour",
        address="The Loft, Long Quay 12 to 14, Port Anslow Old Harbour, Ireland",
        sent_from="Ireland (IE)",
        recipient="Conservatoire de lutherie et des instruments à cordes pincées",
        sent_to="Département des bois, Bâtiment C, 118 quai des Luthiers, "
        "69002 Lyon CEDEX 02, France (FR)",
    )
    drawn = materials.draw(far, size=size)
    told = pages(far, size)

    assert overlaps.overlaps(drawn) == []
    assert overlaps.outside(drawn, [SHEETS[size].sides]) == []
    for words in (*far.recipient.split(), *far.sent_to.split(), *far.shop.split()):
        assert words in told[0]
    assert "…" not in told[0]
    assert "Ireland, Ireland" not in told[0] and "Ireland (IE)" in told[0]
    assert " ".join(told).count("Picea abies") == 1
    place = "to ask about"

    def top(pdf: bytes) -> float:
        return next(each.top for each in overlaps.words(pdf) if place in each.text)

    assert top(drawn) > top(materials.draw(MATERIALS_PAPER, size=size)) + 2 * 4


def test_sums_on_a_page_of_their_own_have_their_units() -> None:
    """A page that begins with the sums says what they are in."""
    lengths = (replace(FULL, rows=FULL.rows[:count]) for count in range(1, 13))
    summed = [
        said
        for told in map(pages, lengths)
        for said in told[1:]
        if "All materials" in said and "part and form" not in said
    ]

    assert summed
    assert all("kg" in said.partition("All materials")[0].split() for said in summed)


def test_no_kilograms_of_listed_wood_are_told_where_none_is() -> None:
    """Shell may stand on a list alone."""
    said = materials.glance(Counts(0, 1, 1, 0, 3))

    assert ("1", "on a CITES list") in said
    assert not any("wood" in words for _, words in said)


@pytest.mark.parametrize(
    ("change", "seen"),
    [
        ({"signer_name": "Osei-" * 30}, "Osei-Osei"),
        ({"rows": (WOODS[2]._replace(trade_name="spruce " * 20),)}, "spruce spruce"),
    ],
)
def test_a_name_of_any_length_is_shortened(change: dict[str, Any], seen: str) -> None:
    """What is listed, and from whom to whom it goes, is whole or refused."""
    said = reading.text(materials.draw(replace(MATERIALS_PAPER, **change)))

    assert seen in said and "…" in said


def test_a_species_of_any_length_is_whole() -> None:
    """It takes a line more, for whoever reads it compares it letter by letter."""
    species = "Swietenia macrophylla × Swietenia mahagoni"
    rows = (WOODS[2]._replace(species=species),)
    said = reading.text(materials.draw(replace(MATERIALS_PAPER, rows=rows)))

    assert species in " ".join(said.split())


def test_letters_and_hosts_at_their_worst_are_noticed() -> None:
    """Hangul becomes geta marks, and a long host steps the symbol down."""
    worse = replace(MATERIALS_PAPER, host="loft.skerrymoor.example", recipient="김")

    assert materials.notices(MATERIALS_PAPER) == ()
    assert materials.notices(FULL) == ()
    assert materials.notices(worse) == (
        "'HTTPS://LOFT.SKERRYMOOR.EXAMPLE/X/X26-04124' has 43 characters, and 35 is "
        "the most for the strongest symbol; printed at level Q",
        "no face has U+AE40 of '김'; printed as 〓",
    )


@pytest.mark.parametrize("size", SIZES)
def test_the_same_list_gives_the_same_bytes(size: Literal["A4", "Letter"]) -> None:
    """A list drawn twice is one list."""
    assert materials.draw(FULL, size=size) == materials.draw(FULL, size=size)


def test_the_first_page_looks_as_it_was_approved() -> None:
    """What an officer reads in twenty seconds has not moved."""
    assert looks.unlike(materials.draw(MATERIALS_PAPER, size="A4"), "materials") == ""
