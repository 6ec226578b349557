"""The record's facts on the papers: what they say is what was entered."""

import pytest

from cli import papers
from labels.tongue import tongue
from ledger.acts import sawing
from ledger.acts.certificates import certificate_paper
from ledger.errors import NotFoundError
from ledger.events.build import Measure, Run
from ledger.events.wood import Shown
from tests.shops import certified, certified_folder, loft, staffed_folder
from tests.skerrymoor import NECK, Loft

__all__ = ["certified", "certified_folder", "loft", "staffed_folder"]
SHOWN = {
    "by-name": "Ferrante & Daughters",
    "by-region": "a sawyer of Val Corda",
    "known-to-maker": "known to the maker",
}


def test_a_label_says_what_the_lot_and_the_board_are(certified: Loft) -> None:
    """Species in two words, the half, the day it came in, the shop's host."""
    with certified.shop.store.reading() as session:
        label = papers.board_label(certified.shop, session, "L26-001-01.B")
        heading = papers.label_heading(certified.shop, session, label.code, "Maura")

    assert (label.genus, label.epithet) == ("Picea", "abies")
    assert (label.half, label.what) == ("B", "top, half B")
    assert (label.host, label.received) == ("SKERRYMOOR.EXAMPLE", "2026-01-05")
    assert (heading.sawyer, heading.who) == ("Ferrante & Daughters", "Maura")


def test_a_piece_is_labelled_as_what_it_became(loft: Loft) -> None:
    """From the saw or the glue, with every species and every lot that is in it."""
    loft.supplier()
    lot, other = loft.receive(), loft.receive(species="Dalbergia latifolia")
    (spruce,), (rosewood,) = loft.number(lot, NECK), loft.number(other, NECK)
    hands = loft.hands("03")
    sawn = sawing.split(
        loft.shop,
        codes=[rosewood],
        pieces=[
            sawing.PieceDraft(meant_for="neck", mass_mg=1_000_000),
            sawing.PieceDraft(meant_for="strips", mass_mg=40_000, is_offcut=True),
        ],
        hands=hands,
    )
    draft = sawing.PieceDraft(meant_for="neck", mass_mg=2_040_000)
    glued = sawing.join(loft.shop, codes=[spruce, sawn[0]], draft=draft, hands=hands)
    with loft.shop.store.reading() as session:
        labels = [
            papers.board_label(loft.shop, session, code)
            for code in (spruce, sawn[0], sawn[1], glued)
        ]

    assert [label.made for label in labels] == ["", "piece", "offcut", "glued"]
    assert [label.parent for label in labels] == ["", rosewood, rosewood, ""]
    assert [label.also for label in labels[:3]] == [(), (), ()]
    assert labels[3].also == (str(other),)
    assert (labels[3].genus, labels[3].epithet) == ("P. abies", "D. latifolia")


@pytest.mark.parametrize(
    ("species", "lines"),
    [
        (["Picea abies"], ("Picea", "abies")),
        (["Dalbergia"], ("Dalbergia", "")),
        (["Picea abies", "Dalbergia latifolia"], ("P. abies", "D. latifolia")),
        (
            ["Picea abies", "Dalbergia latifolia", "Juglans nigra"],
            ("3 species", "in one"),
        ),
    ],
)
def test_a_label_has_two_lines_for_its_species(
    species: list[str], lines: tuple[str, str]
) -> None:
    """Two woods have one each; of more, only how many."""
    assert papers.two_lines(species, tongue("en")) == lines


def test_there_is_no_label_without_a_board(certified: Loft) -> None:
    """Number it first."""
    with (
        certified.shop.store.reading() as session,
        pytest.raises(NotFoundError, match="number it first"),
    ):
        papers.board_label(certified.shop, session, "L26-001-99")


@pytest.mark.parametrize("shown", ["by-name", "by-region", "known-to-maker"])
def test_a_sawyer_is_shown_as_was_agreed(loft: Loft, shown: Shown) -> None:
    """By name, by region only, or not at all."""
    number = loft.issue(loft.build(shown=shown))
    paper = certificate_paper(loft.shop, number)
    drawn = papers.owner_certificate(loft.shop, paper, "V#1")

    assert drawn.materials[0].sawyer == SHOWN[shown]
    assert ("Ferrante" in repr(drawn)) is (shown == "by-name")


def test_months_in_the_rack_end_when_the_wood_is_taken(loft: Loft) -> None:
    """What the instrument waited for afterwards does not season its wood."""
    loft.supplier()
    lot = loft.receive(received_on="2025-10-01")
    loft.number(lot)
    neck = loft.receive(received_on="2025-12-06")
    (board,) = loft.number(neck, NECK)
    loft.model()
    serial = loft.begin()
    loft.allot(serial, "top", f"{lot}-01")
    loft.allot(serial, "neck", board)
    loft.clock.moment = loft.clock.moment.replace(day=31)
    loft.finish(serial)
    paper = certificate_paper(loft.shop, loft.issue(serial))
    drawn = papers.owner_certificate(loft.shop, paper, "V#1")

    assert [material.months for material in drawn.materials] == [3, 0]


@pytest.mark.parametrize(
    ("measure", "printed"),
    [
        (Measure(what="mass", mass_mg=1_986_400), ("1986", "g")),
        (Measure(what="relief", length_um=180), ("0.18", "mm")),
        (Measure(what="air", frequency_millihertz=98_400), ("98.4", "Hz")),
        (Measure(what="at", humidity_ppm=450_000), ("45", "%RH")),
    ],
)
def test_a_measure_has_its_unit(measure: Measure, printed: tuple[str, str]) -> None:
    """Whatever was measured."""
    assert papers.value_and_unit(measure) == printed


def test_a_run_in_words() -> None:
    """No run is no words."""
    run = Run(name="Harbour Lights", number=3, pieces=12)
    assert papers.run_words(run, tongue("en")) == "Harbour Lights, 3 of 12"
    assert papers.run_words(run, tongue("fr")) == "Harbour Lights, 3 sur 12"
    assert papers.run_words(None, tongue("de")) == ""


def test_a_paper_in_another_language_shows_the_same_facts(loft: Loft) -> None:
    """The words of the house are translated, the part is for the figure to know."""
    number = loft.issue(loft.build(shown="known-to-maker"))
    paper = certificate_paper(loft.shop, number)
    english, german = (
        papers.owner_certificate(loft.shop, paper, "V#1", language)
        for language in ("en", "de")
    )
    card = papers.owner_card(loft.shop, paper, "V#1", "key", "fr")

    assert german.language == "de" and card.language == "fr"
    assert german.signer_rank == "leitender Instrumentenbauer"
    assert german.materials[0].sawyer == "dem Hersteller bekannt"
    assert "Holz angenommen und gemessen" in german.makers[0].work
    assert [row.part for row in german.materials] == [
        row.part for row in english.materials
    ]
    assert german.measures == english.measures
    assert (german.leaf, german.entry, german.root) == (
        english.leaf,
        english.entry,
        english.root,
    )
