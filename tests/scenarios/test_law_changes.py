"""Every change of the law, by the days of its own rows: the one before, and itself.

The days are taken out of the tables, so that a row that is added is asked about too.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest

from ledger.trade.answers import Determination
from ledger.trade.law import compiled
from ledger.trade.schedules import limits
from ledger.trade.tables import Annotation, Listing, Rule, listings, places, stands
from tests.ledger.trade.asking import BOW, ROSEWOOD, answered, steps

DAY = timedelta(days=1)
GUITAR = {"taxon": "Acer saccharum", "form": "finished_instruments"}
BOARDS = {"taxon": "Acer saccharum", "form": "sawn_wood"}
IVORY = {"taxon": "Loxodonta africana", "form": "finished"}
# What is asked so that each rule with a first or a last day comes to speak.
ASKS_A_RULE: dict[str, dict[str, Any]] = {
    "eu-inside": {**BOARDS, "movement": "DE -> FR, sale"},
    "article-10": {
        "taxon": "Dalbergia nigra",
        "form": "sawn_wood",
        "movement": "DE -> FR, sale",
    },
    "article-10-uk": {
        "taxon": "Dalbergia nigra",
        "form": "sawn_wood",
        "movement": "UK sale",
    },
    "eu-import": {
        "taxon": "Swietenia macrophylla",
        "form": "sawn_wood",
        "movement": "PE -> DE, sale",
    },
    "uk-border": {**BOARDS, "movement": "GB -> FR, sale"},
    "uk-ivory": {**IVORY, "movement": "UK sale"},
    "uk-ivory-others": {
        "taxon": "Monodon monoceros",
        "form": "inlay",
        "movement": "UK sale",
    },
    "us-ivory": {**IVORY, "movement": "US interstate sale"},
    "eu-ivory": {**IVORY, "movement": "DE -> FR, sale"},
    "lacey-9202": {**GUITAR, "hts_number": "9202"},
    "lacey-9201": {**GUITAR, "hts_number": "9201"},
    "lacey-9207": {**GUITAR, "hts_number": "9207900040"},
    "lacey-9209": {**GUITAR, "hts_number": "920992"},
    "lacey-wind": {**GUITAR, "hts_number": "9206002000"},
    "lacey-wood": {**BOARDS, "hts_number": "4407"},
    "lacey-plywood": {**BOARDS, "hts_number": "4412"},
    "lacey-4421": {**BOARDS, "hts_number": "4421"},
    "lacey-rest": {**BOARDS, "hts_number": "9401"},
    "lacey-de-minimis": {**GUITAR, "plant_ppm": 40_000, "entry_plant_mass_mg": 1},
    "uk-timber": {**BOARDS, "movement": "US -> GB, sale"},
    "eutr": {**BOARDS, "movement": "US -> DE, sale"},
    "eudr": {**BOARDS, "movement": "US -> DE, sale"},
    "eudr-small": {**BOARDS, "movement": "US -> DE, sale"},
}


def changes(row: Listing | Annotation | Rule) -> Iterator[date]:
    """Yield the days on either side of a row's first and of its last."""
    if row.valid_from is not None:
        yield row.valid_from - DAY
        yield row.valid_from
    if row.valid_until is not None:
        yield row.valid_until
        yield row.valid_until + DAY


def looked_at(found: Determination, *at: str) -> set[str]:
    """Return the rows that steps of some kinds rest on."""
    return {step.row for step in steps(found) if step.at in at and step.row}


def a_place(codes: frozenset[str]) -> str | None:
    """Return a country of a population; nothing where it has no bounds."""
    inside = (p.code for p in places().values() if {p.code, p.region} & codes)
    return min(inside, default=None)


DATED = [row for row in listings() if row.valid_from or row.valid_until]


@pytest.mark.parametrize("row", DATED, ids=lambda row: row.id)
def test_each_listing_speaks_on_its_days_and_on_no_other(row: Listing) -> None:
    """On its first and its last day, and not on the days beside them."""
    origin = a_place(row.population)
    form = "logs" if compiled().names[row.taxon].kind == "plant" else "raw"
    for day in changes(row):
        found = answered(
            taxon=row.taxon,
            form=form,
            date=str(day),
            movement="JP -> CN, sale",
            origin=origin,
        )
        is_there = stands(row.valid_from, row.valid_until, day)

        assert (row.id in looked_at(found, "listing")) == is_there, day
        if is_there and row.is_listed and row.annotation not in ("2", "14", "15"):
            assert found.answer == "needed", day


LISTED = [row for row in DATED if row.is_listed and row.valid_from and row.annotation]


@pytest.mark.parametrize("row", LISTED, ids=lambda row: row.id)
def test_no_listing_is_told_the_day_before_it_began(row: Listing) -> None:
    """Neither as the row that decides nor among the rows."""
    assert row.valid_from is not None
    found = answered(
        taxon=row.taxon,
        form="logs",
        date=str(row.valid_from - DAY),
        movement="JP -> CN, sale",
        origin=a_place(row.population),
    )

    assert row.id not in found.rows


TEXTS = [text for text in compiled().annotations.values() if text.valid_from]


@pytest.mark.parametrize("text", TEXTS, ids=lambda text: text.id)
def test_each_text_of_an_annotation_is_read_on_its_days_alone(
    text: Annotation,
) -> None:
    """Where a listing of the annotation stood that day at all."""
    number = text.id.partition("-")[0]
    is_mexican = text.id.endswith("mexico")
    rows = [row for row in listings() if row.annotation in (number, text.id)]
    asked = 0
    for row in rows:
        home = "MX" if is_mexican else a_place(row.population)
        if is_mexican and not row.taxon.startswith("Dalbergia"):
            continue
        for day in changes(text):
            if not stands(row.valid_from, row.valid_until, day):
                continue
            found = answered(
                taxon=row.taxon,
                form="logs",
                date=str(day),
                legs=[home or "JP", "CN"],
                purpose="sale",
                origin=home,
            )
            read = looked_at(found, "covered", "mass", "purpose", "movement")
            is_of_it = row.population == frozenset() or home is not None
            is_of_it &= not is_mexican or not row.population
            if is_of_it:
                there = stands(text.valid_from, text.valid_until, day)
                assert (text.id in read) == there, (row.id, day)
                asked += 1

    assert asked


RULES = [rule for rule in compiled().rules.values() if rule.valid_from]


def test_every_rule_with_a_day_is_asked_about() -> None:
    """A rule that is added needs a question that brings it to speak."""
    assert {rule.id for rule in RULES} == ASKS_A_RULE.keys()


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_each_rule_decides_on_its_days_and_on_no_other(rule: Rule) -> None:
    """Beside the Convention: the day before, the first, the last, the day after."""
    asked = {"movement": "JP -> US, sale", **ASKS_A_RULE[rule.id]}
    for day in changes(rule):
        found = answered(**asked, date=str(day))
        decided = {step.row for step in steps(found) if step.at == "law"}
        decided |= looked_at(found, "papers", "movement")

        there = stands(rule.valid_from, rule.valid_until, day)
        assert (rule.id in decided) == there, day


@pytest.mark.parametrize(
    ("day", "movement"),
    [("2018-05-10", "EU -> US, no sale"), ("2024-05-10", "EU -> US, sale")],
)
@pytest.mark.parametrize("beside", [-1, 0, 1])
def test_listed_wood_is_free_up_to_the_limit_to_the_milligram(
    day: str, movement: str, beside: int
) -> None:
    """Annotation #15, texts of 2017 and of 2019."""
    mass = limits()["shipment-15"].amount + beside
    found = answered(
        taxon=ROSEWOOD,
        form="other_finished_products",
        date=day,
        movement=movement,
        mass_mg=mass,
    )

    assert found.answer == ("needed" if beside > 0 else "not needed")
    assert any(step.at == "mass" and "limit is 10" in step.says for step in found.path)


@pytest.mark.parametrize("share", [-1, 0, 1])
@pytest.mark.parametrize("entry", [-1, 0, 1])
def test_a_declaration_is_spared_within_both_limits_only(
    share: int, entry: int
) -> None:
    """Five per cent of the product and 2.9 kg of the entry: 7 CFR 357.4."""
    found = answered(
        **GUITAR,
        date="2024-05-10",
        movement="JP -> US, sale",
        plant_ppm=limits()["lacey-share"].amount + share,
        entry_plant_mass_mg=limits()["lacey-entry"].amount + entry,
    )

    is_light = share <= 0 and entry <= 0
    said = [(other.rule, other.answer) for other in found.also if other.law == "US"]
    assert said == [
        ("lacey-de-minimis", "not needed") if is_light else ("lacey-9202", "needed")
    ]


def test_the_texts_of_the_limits_say_the_same_numbers() -> None:
    """Ten kilograms, five per cent, 2.9 kg: as the rows say them in words."""
    texts = compiled().annotations
    de_minimis = compiled().rules["lacey-de-minimis"].text

    for mark in limits()["shipment-15"].rows:
        assert "10 kg" in texts[mark].meaning
    assert limits()["shipment-15"].amount == 10_000_000
    assert "5 %" in de_minimis and limits()["lacey-share"].amount == 50_000
    assert "2.9 kg" in de_minimis and limits()["lacey-entry"].amount == 2_900_000


@pytest.mark.parametrize("beside", [-1, 0, 1, 7])
def test_the_bow_changes_its_text_on_its_days(beside: int) -> None:
    """Pernambuco re-exported for sale from 2026-03-05."""
    day = date(2026, 3, 5) + beside * DAY
    found = answered(**BOW, date=str(day), movement="FR -> JP, sale")

    assert found.answer == ("not needed" if beside < 0 else "needed")
