"""Other laws on the way: the Union's later days, shell, ivory, ports, timber."""

from typing import Any

import pytest

from tests.ledger.trade.asking import BOW, GUITAR, ROSEWOOD, answered


def others(**told: Any) -> dict[str, str]:
    """Return what other laws answer, by rule."""
    return {other.rule: other.answer for other in answered(**told).also}


BOARD: dict[str, Any] = {"taxon": ROSEWOOD, "form": "sawn_wood"}


@pytest.mark.parametrize(
    ("day", "answer", "union"),
    [
        ("2019-11-25", "needed", None),
        ("2019-11-26", "not needed", "needed"),
        ("2019-12-13", "not needed", "needed"),
        ("2019-12-14", "not needed", None),
    ],
)
def test_the_union_kept_the_older_text_for_eighteen_days(
    day: str, answer: str, union: str | None
) -> None:
    """Regulation (EU) 2019/2117: finished instruments from 2019-12-14."""
    found = answered(**GUITAR, date=day, movement="EU -> US, sale")
    said = {other.rule: other.answer for other in found.also}

    assert found.answer == answer
    assert said.get("eu-later") == union


def test_where_the_convention_asks_for_more_the_union_adds_nothing() -> None:
    """A bow sold in April 2026: the older text of the Union would have let it go."""
    found = answered(**BOW, date="2026-04-01", movement="FR -> JP, sale")

    assert found.answer == "needed"
    assert "eu-later" not in {other.rule for other in found.also}


def test_a_movement_that_never_touches_the_union_hears_nothing_of_it() -> None:
    """Between Japan and the United States there is no later day."""
    found = others(**GUITAR, date="2019-12-01", movement="JP -> US, sale")

    assert "eu-later" not in found


@pytest.mark.parametrize(
    ("day", "rule", "answer"),
    [
        ("2013-03-03", "eutr", "needed"),
        ("2026-12-29", "eutr", "needed"),
        ("2026-12-30", "eudr", "needed"),
        ("2027-06-29", "eudr", "needed"),
        ("2027-06-30", "eudr-small", "needed"),
    ],
)
def test_boards_that_enter_the_union_fall_under_its_timber_rules(
    day: str, rule: str, answer: str
) -> None:
    """Regulation 995/2010, then Regulation 2023/1115."""
    found = others(**BOARD, date=day, movement="IN -> EU, sale")

    assert found[rule] == answer


def test_before_the_timber_rules_nothing_is_said_of_them() -> None:
    """Regulation 995/2010 applies since 2013-03-03."""
    assert "eutr" not in others(**BOARD, date="2013-03-02", movement="IN -> EU, sale")


def test_finished_instruments_are_outside_the_timber_rules() -> None:
    """Chapter 92 is in neither annex; shaped parts may be of chapter 44."""
    line = {"date": "2027-02-01", "movement": "US -> EU, sale"}

    assert others(**GUITAR, **line)["eudr-outside"] == "not needed"
    shaped = others(taxon=ROSEWOOD, form="unfinished_shaped_parts", **line)
    assert shaped["eudr"] == "ask"
    assert not {"eudr", "eudr-outside"} & set(
        others(**GUITAR, date="2027-02-01", movement="DE -> US, sale")
    )


@pytest.mark.parametrize(
    ("taxon", "movement", "answer"),
    [
        ("Haliotis rufescens", "US -> JP, sale", "needed"),
        ("Haliotis rufescens", "JP -> US, sale", "needed"),
        ("Haliotis rufescens", "JP -> DE, sale", None),
        ("Bos taurus", "US -> JP, sale", "ask"),
        ("Acer rubrum", "US -> JP, sale", None),
    ],
)
def test_shell_makes_a_thing_wildlife_at_a_border_of_the_united_states(
    taxon: str, movement: str, answer: str | None
) -> None:
    """Form 3-177, whether the shell is listed or not."""
    form = "inlay" if taxon != "Acer rubrum" else "finished_instruments"
    found = others(taxon=taxon, form=form, date="2024-05-10", movement=movement)

    assert found.get("us-wildlife") == answer


@pytest.mark.parametrize(
    ("movement", "day", "rule", "answer"),
    [
        ("US interstate sale", "2016-07-05", "us-ivory", "ask"),
        ("US interstate sale", "2016-07-06", "us-ivory", "needed"),
        ("UK sale", "2022-06-05", "uk-ivory", "ask"),
        ("UK sale", "2022-06-06", "uk-ivory", "needed"),
        ("EU sale", "2024-05-10", "eu-ivory", "ask"),
    ],
)
def test_selling_ivory_has_rules_of_its_own(
    movement: str, day: str, rule: str, answer: str
) -> None:
    """50 CFR 17.40(e), the Ivory Act 2018, and the Union's regulation."""
    found = others(
        taxon="Loxodonta africana", form="finished", date=day, movement=movement
    )

    assert found[rule] == answer


def test_ivory_that_is_not_sold_falls_under_no_rule_of_sale() -> None:
    """It stays with its owner, inside the country."""
    found = others(
        taxon="Loxodonta africana",
        form="finished",
        date="2024-05-10",
        movement="UK, no sale",
    )

    assert found == {}


def test_listed_wood_passes_the_united_states_through_named_ports() -> None:
    """A permit for who trades; ask where the purpose is not stated."""
    line = {"date": "2024-05-10", "movement": "IN -> US, sale"}

    assert others(**BOARD, **line)["us-ports"] == "needed"
    assert others(**BOARD, **{**line, "movement": "IN -> US"})["us-ports"] == "ask"
    assert "us-ports" not in others(**GUITAR, **line)


@pytest.mark.parametrize(
    ("day", "rules"), [("2025-01-27", []), ("2025-01-28", ["uk-ivory-others"])]
)
def test_the_british_bar_was_widened_to_other_ivory(day: str, rules: list[str]) -> None:
    """Hippopotamus, sperm whale and narwhal."""
    for taxon in ("Hippopotamus amphibius", "Monodon monoceros"):
        found = answered(taxon=taxon, form="finished", date=day, movement="UK sale")

        assert [said.rule for said in found.also] == rules
        assert all(said.answer == "ask" for said in found.also)
