"""The words of the record that papers for owners repeat are known to the catalogues."""

import csv
from importlib.resources import files
from itertools import chain
from typing import get_args

import pytest

from demo import archtop, cast, flattop, solidbody
from demo.road import Work
from labels import terms
from labels.tongue import tongue
from ledger.acts.crediting import RECEIVED
from ledger.acts.voicing import PLATE, STAGES
from ledger.craft.families import family_text
from ledger.craft.modeltext import FAMILIES, read_model
from ledger.craft.wares import Errand, Use
from ledger.events.board import Face, Mode
from ledger.events.build import Meaning
from ledger.events.instrument import PartRemoved
from ledger.events.wood import Evidence
from ledger.languages import LANGUAGES
from ledger.trade.movement import where_words
from ledger.trade.tables import listings, places

SHIPPED = [read_model(family_text(family)) for family in FAMILIES]


def test_every_part_step_and_measure_of_the_shipped_models_is_a_term() -> None:
    """A model that gains a part is not half in English on a French certificate."""
    kinds = {model.instrument for model in SHIPPED}
    parts = {part.part for model in SHIPPED for part in model.parts}
    steps = {step.step for model in SHIPPED for step in model.steps}
    taken = chain.from_iterable(
        step.measured for model in SHIPPED for step in model.steps
    )

    assert kinds == set(terms.KINDS)
    assert parts == set(terms.PARTS)
    assert steps == set(terms.STEPS)
    assert {step.qualification for model in SHIPPED for step in model.steps} == set(
        terms.CRAFTS
    )
    assert {measure.what for measure in taken} == set(terms.MEASURES)


def test_what_the_invented_shop_makes_and_measures_is_a_term() -> None:
    """No head and no bar of measures is half in English."""
    roads = (flattop.ROAD, archtop.ROAD, solidbody.ROAD)
    works = [line for road in roads for line in road.lines if isinstance(line, Work)]
    taken = {name for work in works for name in work.read}

    assert taken - set(terms.MEASURES) == set(terms.OTHER_MEASURES)
    assert {model.instrument for model in cast.MODELS} == set(terms.OTHER_KINDS)


def test_every_place_where_a_handbook_prints_is_a_term() -> None:
    """A French booklet does not end in English."""
    rows = files("ledger.wood").joinpath("handbook.csv").read_text(encoding="utf-8")

    assert {row["source"] for row in csv.DictReader(rows.splitlines())} == set(
        terms.SOURCES
    )


def test_every_word_that_an_entry_chooses_from_is_a_term() -> None:
    """How somebody stood by a step, how an origin is known, what a trip was for."""
    fates = PartRemoved.__annotations__["fate"]

    assert set(terms.MEANINGS) == set(get_args(Meaning))
    assert set(terms.EVIDENCE) == set(get_args(Evidence)) - {"none"}
    assert set(terms.ERRANDS) == set(get_args(Errand))
    assert set(terms.FATES) == set(get_args(fates))
    assert set(terms.OTHERS) == {RECEIVED}
    assert set(terms.STAGES) == {PLATE, *STAGES}
    assert set(terms.MODES) == set(get_args(Mode))
    assert set(terms.FACES) == set(get_args(Face))
    assert set(terms.USES) < set(get_args(Use))


def test_every_region_that_a_listing_is_limited_to_is_a_term() -> None:
    """Codes of countries are the same in every language."""
    listed = {code for row in listings() for code in row.population}
    regions = {where_words([code]) for code in listed - set(places())}

    assert regions == set(terms.REGIONS)


def test_no_work_falls_apart_in_another_language() -> None:
    """What somebody did is told apart by commas, so no step has one of its own."""
    said = [tongue(language)(step) for language in LANGUAGES for step in terms.STEPS]

    assert [words for words in said if ", " in words] == []


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", "close the box, press the frets (witnessed), neck reset (2027)"),
        ("fr", "fermer la caisse, poser les frettes (vu faire), neck reset (2027)"),
    ],
)
def test_a_person_s_own_words_stay_among_the_works(language: str, said: str) -> None:
    """The steps are in the language, a service as its maker wrote it."""
    work = "close the box, press the frets (witnessed), neck reset (2027)"

    assert terms.works_in(work, tongue(language)) == said


def test_a_row_ends_with_the_and_of_its_language() -> None:
    """One word is no row, and none is nothing."""
    assert terms.in_a_row(["a", "b", "c"], tongue("en")) == "a, b and c"
    assert terms.in_a_row(["a", "b"], tongue("es")) == "a y b"
    assert terms.in_a_row(["a"], tongue("de")) == "a"
    assert terms.in_a_row([], tongue("fr")) == ""
