"""The import declaration of the United States for plants."""

from typing import Any

import pytest

from ledger.trade.lacey import lacey
from ledger.trade.question import question_from
from tests.ledger.trade.asking import answered


def asked(day: str, form: str = "finished_instruments", **more: Any) -> tuple[str, str]:
    """Return rule and answer for maple that is sold from China to the United States."""
    told = {"taxon": "Acer saccharum", "form": form, "date": day}
    line = more.pop("movement", "CN -> US, sale")
    is_listed = more.pop("is_listed", False)
    question = question_from({**told, "movement": line, **more})
    found = lacey(question, form, is_listed=is_listed)
    return found.rule, found.answer


@pytest.mark.parametrize(
    ("hts_number", "day", "answer"),
    [
        ("9202", "2010-03-31", "not needed"),
        ("9202.90.40.00", "2010-04-01", "needed"),
        ("9207.90.0040", "2021-09-30", "not needed"),
        ("9207.90.0040", "2021-10-01", "needed"),
        ("9209.92.60", "2021-09-30", "not needed"),
        ("9209.92.60", "2021-10-01", "needed"),
        ("9209.94", "2024-11-30", "not needed"),
        ("9209.94", "2024-12-01", "needed"),
        ("4407.99", "2009-03-31", "not needed"),
        ("4407.99", "2009-04-01", "needed"),
        ("4412", "2009-10-01", "needed"),
        ("4421", "2010-03-31", "not needed"),
    ],
)
def test_each_heading_was_enforced_from_its_day(
    hts_number: str, day: str, answer: str
) -> None:
    """Phases II, III, IV, VI and VII."""
    assert asked(day, hts_number=hts_number)[1] == answer


def test_without_a_heading_the_form_decides_where_it_can() -> None:
    """Electric guitars were enforced eleven years later than others."""
    assert asked("2020-06-01") == ("lacey-9202", "ask")
    assert asked("2024-05-10") == ("lacey-9202", "needed")
    assert asked("2024-05-10", "sawn_wood") == ("lacey-wood", "needed")
    assert asked("2024-12-01", "other_finished_products") == ("lacey-rest", "ask")


LIGHT: dict[str, Any] = {"plant_ppm": 50_000, "entry_plant_mass_mg": 2_900_000}


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        ({}, "lacey-de-minimis"),
        ({"plant_ppm": 50_001}, "lacey-9202"),
        ({"entry_plant_mass_mg": 2_900_001}, "lacey-9202"),
        ({"plant_ppm": None}, "lacey-9202"),
        ({"is_listed": True}, "lacey-9202"),
    ],
)
def test_little_wood_is_not_declared_unless_any_of_it_is_listed(
    change: dict[str, Any], rule: str
) -> None:
    """7 CFR 357.4: 5 % of the unit, 2.9 kg in the entry."""
    assert asked("2024-05-10", **{**LIGHT, **change})[0] == rule


def test_the_small_exception_is_of_2020() -> None:
    """It did not stand on the last day of March."""
    assert asked("2020-03-31", hts_number="9202", **LIGHT) == ("lacey-9202", "needed")
    assert asked("2020-04-01", hts_number="9202", **LIGHT)[0] == "lacey-de-minimis"


def test_what_moves_without_commerce_is_asked_about() -> None:
    """The declaration goes with a formal entry."""
    found = asked("2024-05-10", movement="FR -> US -> FR, no sale")

    assert found == ("lacey-9202", "ask")


@pytest.mark.parametrize(
    ("hts_number", "day", "answer"),
    [
        ("9205.90.40.60", "2021-09-30", "not needed"),
        ("9205.90.40.60", "2021-10-01", "needed"),
        ("9206.00.20.00", "2022-05-10", "needed"),
        ("9209.99.80.00", "2022-05-10", "needed"),
        ("9207", "2022-05-10", "ask"),
        ("9207", "2021-09-30", "not needed"),
        ("9207.90.00.80", "2022-05-10", "not needed"),
    ],
)
def test_winds_drums_and_short_headings_are_no_rest(
    hts_number: str, day: str, answer: str
) -> None:
    """Phase VI named ten digits; who gives four of them is asked for the others."""
    assert asked(day, hts_number=hts_number)[1] == answer


def test_without_a_heading_nothing_of_wood_is_free_while_one_was_enforced() -> None:
    """A box may be of 4420 or 4421; the day of phase VII says nothing of those."""
    assert asked("2009-03-31", "other_finished_products")[1] == "not needed"
    assert asked("2020-05-10", "other_finished_products")[1] == "ask"


def test_light_goods_with_a_wood_nobody_knows_are_asked_about() -> None:
    """The declaration is spared only where nothing listed is in them."""
    light = {"plant_ppm": 40_000, "entry_plant_mass_mg": 2_400_000}
    found = answered(
        taxon="Acer saccharum",
        form="finished_instruments",
        parts=[{"taxon": "mystery wood", "form": "finished_instruments"}],
        date="2024-05-10",
        movement="CN -> US, sale",
        **light,
    )

    assert [(said.rule, said.answer) for said in found.also] == [
        ("lacey-de-minimis", "ask")
    ]
