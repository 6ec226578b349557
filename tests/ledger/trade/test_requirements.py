"""What must be shown of wood: each level, each day, and what to do while there is time.

Days of listing are those of the CITES Appendices; what is pre-Convention follows 50 CFR
23.45(b)(2), and plots are asked by Regulation (EU) 2023/1115, article 9.
"""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.trade.holding import Holding
from ledger.trade.requirements import Requirement, missing_of, requirements
from ledger.trade.tables import listings, rules
from tests.ledger.trade.test_holding import ROSEWOOD, held, paper

TODAY = date(2026, 1, 20)
KINDS = ["permit", "purchase", "country", "acquired", "species", "plots"]
LISTED = date(2017, 1, 2)
INVOICE = paper("invoice", code="D26-0002", issued_on=date(2016, 12, 20), entry=6)


def asked(wood: Holding, **told: Any) -> dict[str, Requirement]:
    """Return what must be shown of wood, by its kind."""
    found = requirements(wood, **({"today": TODAY} | told))
    assert [each.kind for each in found] == KINDS
    return {each.kind: each for each in found}


def missing(wood: Holding) -> set[str]:
    """Return what is missing of wood."""
    return {each.kind for each in missing_of(tuple(asked(wood).values()))}


def test_wood_with_all_its_papers_lacks_nothing() -> None:
    """Each paper is told with its code and the entry that names it."""
    permit = paper("export permit", number="IN/77", woods=(ROSEWOOD,))
    found = asked(held(papers=(permit, INVOICE), shown="document"))

    assert missing(held(papers=(permit, INVOICE), shown="document")) == set()
    assert (found["permit"].level, found["permit"].paper) == ("document", "D26-0001")
    assert found["permit"].entry == 5
    assert "IN/77" in found["permit"].said
    assert (found["purchase"].paper, found["purchase"].entry) == ("D26-0002", 6)
    assert found["species"].paper == "D26-0001"


def test_listed_wood_without_a_permit_says_what_to_ask_and_until_when() -> None:
    """The sentence begins with the time."""
    found = asked(held(), until="until 2026-03-01")["permit"]

    assert (found.level, found.paper, found.entry) == ("none", "", None)
    assert found.missing == (
        "until 2026-03-01: ask the sawyer for a copy of the permit or certificate that "
        "Dalbergia latifolia came in under, and join it with flitchbook document add"
    )


@pytest.mark.parametrize(
    ("days", "is_asked", "said"),
    [
        (-1, False, "no listing of Dalbergia latifolia found for 2017-01-01"),
        (0, True, "Dalbergia latifolia was listed on 2017-01-02"),
        (1, True, "Dalbergia latifolia was listed on 2017-01-03"),
    ],
)
def test_a_permit_is_asked_for_from_the_day_of_the_listing(
    days: int, is_asked: bool, said: str
) -> None:
    """The day before none was; the day counts instead."""
    found = asked(held(came_in=LISTED + timedelta(days=days)))["permit"]

    assert found.is_asked is is_asked
    assert found.said.startswith(said)
    assert bool(found.missing) is is_asked


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (date(2017, 1, 1), "before the first listing on 2017-01-02"),
        (date(2017, 1, 2), "not before the first listing on 2017-01-02"),
    ],
)
def test_the_day_is_compared_with_the_first_listing(day: date, words: str) -> None:
    """50 CFR 23.45(b)(2): acquired before the first listing in any Appendix."""
    said = asked(held(came_in=day))["acquired"].said

    assert said.startswith(f"acquired {day}, {words} (50 CFR 23.45(b)(2))")


@pytest.mark.parametrize(
    ("issued", "level"),
    [
        (date(2017, 1, 1), "document"),
        (date(2017, 1, 2), "diary"),
        (None, "diary"),
    ],
)
def test_only_a_paper_from_before_the_listing_shows_wood_from_before(
    issued: date | None, level: str
) -> None:
    """One of the day itself, or of no day, leaves it to the shop's own entry."""
    bill = paper("invoice", issued_on=issued)
    wood = held(came_in=date(2016, 12, 31), papers=(bill,), shown="document")
    found = asked(wood)["acquired"]

    assert found.level == level
    assert bool(found.missing) is (level == "diary")
    if found.missing:
        assert "for a paper dated before 2017-01-02" in found.missing


def test_a_genus_counts_from_the_first_of_its_species() -> None:
    """Nobody can rule out that it is the one that was listed first."""
    found = asked(held("Dalbergia spp.", origin="BR", came_in=date(2000, 1, 1)))

    assert "not before the first listing on 1992-06-11" in found["acquired"].said
    assert found["permit"].is_asked
    assert found["species"].level == "none"
    assert "genus and species" in found["species"].missing


def test_old_stock_that_nothing_shows_never_becomes_documented() -> None:
    """A paper that happens to lie with it shows itself alone."""
    wood = held(shown="none", asked_of="whoever had it before", papers=(INVOICE,))
    found = asked(wood)

    assert found["acquired"].level == "none"
    assert found["country"].level == "none"
    assert found["species"].level == "none"
    assert missing(wood) == {"permit", "country", "acquired", "species"}
    assert "whoever had it before" in found["acquired"].missing
    assert found["country"].said.endswith("old stock, nothing shows it")


@pytest.mark.parametrize(
    ("shown", "level"), [("diary", "diary"), ("witness", "witness")]
)
def test_a_diary_and_a_witness_are_what_they_are(shown: Any, level: str) -> None:
    """Without a paper nothing is better than that."""
    found = asked(held("Picea abies", origin="IT", shown=shown))

    assert {found[kind].level for kind in ("purchase", "country", "acquired")} == {
        level
    }
    assert "document" not in {each.level for each in found.values()}


def test_a_permit_for_other_wood_is_none_for_this() -> None:
    """It is named, with what it was issued for."""
    other = paper("export permit", woods=("Dalbergia nigra", "Diospyros spp."))
    found = asked(held(papers=(other,), shown="document"))["permit"]

    assert found.level == "none"
    assert (
        "D26-0001 (export permit) was issued for Dalbergia nigra, Diospyros spp."
        in (found.said)
    )


@pytest.mark.parametrize(
    ("ended", "level"),
    [(date(2026, 1, 4), "none"), (date(2026, 1, 5), "document")],
)
def test_a_permit_that_had_ended_is_none(ended: date, level: str) -> None:
    """On its last day it still is one."""
    permit = paper("export permit", expires_on=ended)

    assert asked(held(papers=(permit,), shown="document"))["permit"].level == level


@pytest.mark.parametrize(
    ("called", "issued", "level"),
    [
        ("export permit", date(2026, 1, 5), "document"),
        ("export permit", date(2026, 1, 6), "none"),
        ("Re-export certificate", date(2026, 1, 6), "none"),
        ("CITES-Ausfuhrgenehmigung", date(2026, 1, 6), "none"),
        ("notification d'importation", date(2026, 1, 6), "none"),
        ("pre-Convention certificate", date(2026, 1, 6), "document"),
    ],
)
def test_wood_comes_in_under_no_permit_that_was_issued_later(
    called: str, issued: date, level: str
) -> None:
    """What certifies old wood may well be of a later day."""
    permit = paper(called, issued_on=issued)
    found = asked(held(papers=(permit,), shown="document"))["permit"]

    assert found.level == level
    assert ("was issued after 2026-01-05" in found.said) is (level == "none")


def test_a_permit_that_nobody_read_says_so() -> None:
    """What it was issued for is not known, and the name is not shown by it."""
    found = asked(held(papers=(paper("export permit"),), shown="document"))

    assert found["permit"].said.endswith("what it is for was not read off it")
    assert found["species"].level == "diary"


def test_wood_of_an_unknown_species_has_everything_asked() -> None:
    """What is unknown never becomes not asked for."""
    found = asked(held("unknown", origin=None))

    assert found["permit"].missing.startswith("before it is sold: have the wood")
    assert {"permit", "country", "species"} <= missing(held("unknown", origin=None))


@pytest.mark.parametrize("days", [-1, 0])
def test_plots_are_asked_from_the_day_of_the_regulation(days: int) -> None:
    """Before it they are told, and not missed."""
    day = rules()["eudr"].valid_from
    assert day is not None
    wood = held("Picea abies", origin="NO", came_in=day + timedelta(days=days))
    found = asked(wood, today=day)["plots"]

    assert found.is_asked is (days == 0)
    assert bool(found.missing) is (days == 0)
    assert found.said.endswith(f"of wood that enters the Union from {day}")


def test_filed_plots_show_themselves_and_shell_grew_on_none() -> None:
    """Shell is asked for everything else."""
    filed = paper("plots", code="D27-0001", entry=99)
    wood = held("Picea abies", came_in=date(2027, 1, 5), plots=filed)
    shell = held("Strombus gigas", form="inlay", came_in=date(2027, 1, 5))

    assert (asked(wood)["plots"].paper, asked(wood)["plots"].entry) == ("D27-0001", 99)
    assert asked(wood)["plots"].level == "document"
    assert not asked(shell)["plots"].is_asked
    assert asked(shell)["purchase"].missing


@given(
    taxon=st.sampled_from(sorted({row.taxon for row in listings()})),
    day=st.dates(date(1950, 1, 1), date(2100, 1, 1)),
    shown=st.sampled_from(["document", "diary", "witness", "none"]),
    origin=st.sampled_from([None, "BR", "IN", "MG", "US", "FJ"]),
    form=st.sampled_from(["sawn", "veneer", "logs", "inlay", "something"]),
)
def test_without_a_paper_nothing_is_ever_shown_by_one(
    taxon: str, day: date, shown: Any, origin: str | None, form: str
) -> None:
    """And what must be shown by nothing at all always says what to do."""
    wood = held(taxon, came_in=day, shown=shown, origin=origin, form=form)

    for each in requirements(wood, today=TODAY):
        assert each.level != "document" and not each.paper
        assert each.level != "none" or not each.is_asked or each.missing
        assert not each.missing or each.missing.startswith("before it is sold: ")


def test_a_country_where_it_does_not_grow_frees_no_wood_of_its_permit() -> None:
    """It may be that of the dealer: the country is asked for once more."""
    found = asked(held("Pterocarpus soyauxii", origin="GB"))

    assert found["permit"].is_asked and "has to be asked" in found["permit"].said
    assert "not in the United Kingdom (GB): ask once more" in found["country"].said
    assert found["country"].missing


def test_the_first_listing_is_that_of_any_country_that_wood_may_be_of() -> None:
    """Ebony of Madagascar was listed in 2011, of Indonesia never."""
    ebony = held("Diospyros celebica", origin=None, may_be_from=("ID", "MG"))

    assert "2011-12-22" in asked(ebony)["acquired"].said
    assert "has to be asked" in asked(ebony)["permit"].said
