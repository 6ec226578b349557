"""The record's facts on the papers: what they say is what was entered."""

from dataclasses import replace

import pytest

from cli import papers
from cli.instrument_timeline import strip_of
from labels.plot_timeline_facts import waited
from labels.tongue import tongue
from ledger.acts import models, sawing
from ledger.acts.certificates import certificate_paper
from ledger.acts.harvests import Named, name_harvest
from ledger.errors import NotFoundError
from ledger.events.build import Measure, Run
from ledger.events.route import PlannedPart
from ledger.events.wood import Shown
from ledger.ids import LotId
from tests.shops import certified, certified_folder, loft, staffed_folder
from tests.skerrymoor import NECK, STEPS, TOP, Loft

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


def test_months_in_the_rack_end_when_the_wood_is_used_up(loft: Loft) -> None:
    """Not when it is taken: as the strip counts, with the step that used it up.

    What no step used up went in with the certificate.
    """
    loft.supplier()
    lot = loft.receive(received_on="2025-10-15")
    loft.number(lot)
    neck = loft.receive(received_on="2025-12-06")
    (board,) = loft.number(neck, NECK)
    models.define_model(
        loft.shop,
        name="Tidewarden",
        instrument="flat-top guitar",
        parts=[PlannedPart(part=part) for part in ("top", "neck")],
        steps=(replace(STEPS[0], uses_up=("top",)), STEPS[1]),
        hands=loft.hands(),
    )
    serial = loft.begin()
    loft.allot(serial, "top", f"{lot}-01")
    loft.allot(serial, "neck", board)
    loft.clock.moment = loft.clock.moment.replace(day=16)
    loft.finish(serial)
    loft.clock.moment = loft.clock.moment.replace(month=3, day=20)
    object.__setattr__(loft.shop, "pause_confirmed", True)
    paper = certificate_paper(loft.shop, loft.issue(serial))
    drawn = papers.owner_certificate(loft.shop, paper, "V#1")
    with loft.shop.store.reading() as session:
        strip, _ = strip_of(loft.shop, session, serial)

    assert [material.months for material in drawn.materials] == [3, 3]
    assert [waited(rack) for rack in strip.racks] == ["3 months", "3 months"]


def test_places_of_growth_that_were_named_are_said_as_of_the_certificate(
    loft: Loft,
) -> None:
    """Several are told as what it may be, and what was named since is not."""
    loft.supplier()
    top, neck = (str(loft.receive(harvested_in=None)) for _ in range(2))
    loft.number(LotId.parse(top), TOP)
    loft.number(LotId.parse(neck), NECK)
    loft.model()
    serial = loft.begin()
    loft.allot(serial, "top", f"{top}-01")
    loft.allot(serial, "neck", f"{neck}-01")
    loft.finish(serial)
    say_where(loft, top, "GA", "CM")
    paper = certificate_paper(loft.shop, loft.issue(serial))
    before = papers.owner_certificate(loft.shop, paper, "V#1").materials
    say_where(loft, top, "CM")
    say_where(loft, neck, "GA")
    after = papers.owner_certificate(loft.shop, paper, "V#1").materials

    assert "CM or GA, not known which" in before[0].place_of_growth
    assert before[1].place_of_growth == "Val Corda"
    assert after == before


def say_where(loft: Loft, lot: str, *countries: str) -> None:
    """Name where a lot may have been harvested, as somebody who knows it said."""
    named = Named(code=lot, countries=countries, why="the sawyer on the telephone")
    name_harvest(loft.shop, named, loft.hands("02"))


@pytest.mark.parametrize(
    ("measure", "printed"),
    [
        (Measure(what="mass", mass_mg=1_986_400), ("1986", "g")),
        (Measure(what="mass", mass_mg=12_986_400), ("12\u2009986", "g")),
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


def test_a_card_says_the_year_of_the_first_certificate(loft: Loft) -> None:
    """Not that of a top replaced five years on, whose certificate is of its own day."""
    paper = certificate_paper(loft.shop, loft.issue(loft.build()))
    later = replace(paper.event, issued_on="2031-03-01")
    card = papers.owner_card(loft.shop, replace(paper, event=later), "V#1", "key")

    assert card.year == int(paper.event.issued_on[:4]) != 2031


def test_a_card_names_the_woods_of_top_and_back_before_the_heaviest(
    loft: Loft,
) -> None:
    """A neck outweighs the top that gives the voice."""
    paper = certificate_paper(loft.shop, loft.issue(loft.build()))
    some = paper.event.materials[0]
    materials = tuple(
        replace(some, part=part, species=species, mass_mg=mass_mg)
        for part, species, mass_mg in (
            ("neck", "Swietenia macrophylla", 700_000),
            ("back", "Dalbergia latifolia", 300_000),
            ("top", "Picea abies", 190_000),
            ("bridge", "Diospyros ebenum", 30_000),
        )
    )
    event = replace(paper.event, materials=materials)
    card = papers.owner_card(loft.shop, replace(paper, event=event), "V#1", "key")

    assert card.species == (
        "Picea abies",
        "Dalbergia latifolia",
        "Swietenia macrophylla",
        "Diospyros ebenum",
    )
