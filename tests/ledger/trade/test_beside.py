"""Other laws on the way: the Union's later days, shell, ivory, ports, timber."""

from typing import Any

import pytest

from ledger.trade.determination import determine
from ledger.trade.question import question_from
from tests.ledger.trade.asking import BOW, GUITAR, ROSEWOOD, answered
from tests.ledger.trade.overlays import OWN, law_with, row_of


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


@pytest.mark.parametrize(
    ("line", "answer"),
    [("FR -> JP, sale", "needed"), ("US -> FR -> US, no sale", "not needed")],
)
@pytest.mark.parametrize(
    ("day", "is_asked"),
    [
        ("2026-03-04", False),
        ("2026-03-05", True),
        ("2026-06-21", True),
        ("2026-06-22", False),
    ],
)
def test_a_bow_is_asked_about_until_the_union_took_the_new_text_over(
    day: str, is_asked: bool, line: str, answer: str
) -> None:
    """Annotation #10 of 2026: Regulation (EU) 2026/1383 came later."""
    found = answered(**BOW, date=day, movement=line)
    said = {other.rule: other for other in found.also}

    assert found.answer == answer or day == "2026-03-04"
    assert ("eu-later" in said) == is_asked
    if is_asked:
        assert said["eu-later"].answer == "ask"
        assert "until 2026-06-22 the Union kept the older text" in said["eu-later"].why


def test_where_no_country_of_the_union_is_touched_its_day_is_not_said() -> None:
    """A bow sold from Britain to Japan in April 2026."""
    found = answered(**BOW, date="2026-04-01", movement="GB -> JP, sale")

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


@pytest.mark.parametrize(
    ("line", "rule"),
    [
        ("DE -> JP, sale", "article-10"),
        ("EU -> US, sale", "article-10"),
        ("GB -> JP, sale", "article-10-uk"),
        ("US -> DE -> JP, sale", "article-10"),
        ("DE -> JP", "article-10"),
        ("DE -> JP, no sale", None),
        ("US -> JP, sale", None),
    ],
)
def test_annex_a_sold_out_of_the_union_is_asked_about_there(
    line: str, rule: str | None
) -> None:
    """Regulation (EC) 338/97, article 8: the offer and the sale are made inside."""
    told = {"taxon": "Dalbergia nigra", "form": "finished_instruments"}
    found = answered(**told, date="2024-05-10", movement=line)
    asked = {other.rule: other for other in found.also if "article" in other.rule}

    assert found.answer == "needed"
    assert set(asked) == ({rule} if rule else set())
    assert all(other.answer == "ask" for other in asked.values())
    assert all("Article 10 certificate" in other.why for other in asked.values())


@pytest.mark.parametrize(
    ("mark", "change", "told"),
    [
        ("eudr", {"valid_from": "2030-01-01"}, {"movement": "BR -> DE, sale"}),
        ("uk-timber", {"valid_from": "2030-01-01"}, {"movement": "BR -> GB, sale"}),
        ("us-ports", {"valid_from": "2030-01-01"}, {"movement": "BR -> US, sale"}),
        ("lacey-wood", {"valid_from": "2030-01-01"}, {"movement": "BR -> US, sale"}),
        (
            "us-wildlife",
            {"valid_until": "2026-01-01"},
            {"movement": "BR -> US, sale", "taxon": "Haliotis rufescens"},
        ),
        (
            "uk-ivory-others",
            {"valid_from": "2030-01-01"},
            {"movement": "UK sale", "taxon": "Hippopotamus amphibius"},
        ),
        (
            "us-ivory",
            {"valid_from": "2030-01-01"},
            {"movement": "US interstate sale", "taxon": "Loxodonta africana"},
        ),
        (
            "article-10",
            {"valid_from": "2030-01-01"},
            {"movement": "DE -> JP, sale", "taxon": "Dalbergia nigra"},
        ),
    ],
)
def test_a_rule_that_the_shop_moves_is_answered_all_the_same(
    mark: str, change: dict[str, str], told: dict[str, str]
) -> None:
    """With the shop's mark, and never left out."""
    law = law_with(("rules", row_of("rules", mark, **change)))
    question = question_from({**BOARD, **told, "date": "2027-02-01"})
    before = {one.rule for one in determine(question).also}
    after = determine(question, law=law)
    marked = [one for one in after.also if OWN in one.confidence]

    assert mark in before
    assert marked
    assert "needed" not in {one.answer for one in marked}
    assert len(after.also) == len(before)
