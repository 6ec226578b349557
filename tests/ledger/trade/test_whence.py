"""Wood of one of several countries: the worst of what is said of each counts."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.trade.coverage import ASK, NEEDED, NOT_NEEDED, ORDER
from ledger.trade.tables import places, wood_forms
from tests.ledger.trade.asking import answered
from tests.ledger.trade.overlays import QUESTIONS

SAWN = {
    "form": "sawn_wood",
    "date": "2026-03-01",
    "legs": ["US", "JP"],
    "purpose": "sale",
}


def test_macassar_ebony_that_may_be_of_madagascar_needs_documents() -> None:
    """Of Indonesia it is of no listed population; of Madagascar it is, by #5."""
    found = answered(taxon="Diospyros celebica", may_be_from=["MG", "ID"], **SAWN)

    assert answered(taxon="Diospyros celebica", **SAWN).answer == NOT_NEEDED
    assert found.answer == NEEDED and found.documents and found.is_listed
    assert found.why.startswith(
        "if it is of Madagascar (MG), and it may also be of Indonesia (ID): "
    )
    assert found.path[-1].at == "origin" and found.path[-1].decided == NEEDED


def test_mahogany_of_two_listed_countries_is_needed_whichever_it_is() -> None:
    """Of no known origin it would only have to be asked about."""
    wood = {"taxon": "Swietenia macrophylla", **SAWN}
    found = answered(**wood, may_be_from=["GT", "HN"])

    assert answered(**wood).answer == ASK
    assert found.answer == NEEDED
    assert found.why.startswith("of Guatemala (GT) or Honduras (HN), nobody knows ")


def test_what_is_the_same_of_all_keeps_its_reason() -> None:
    """Rosewood is listed wherever it grows."""
    wood = {"taxon": "Dalbergia latifolia", **SAWN}
    found, unknown = answered(**wood, may_be_from=["ID", "IN"]), answered(**wood)

    assert (found.answer, found.why) == (unknown.answer, unknown.why)


def test_documents_that_depend_on_the_country_are_said_to() -> None:
    """A State that listed the species gives another paper than its neighbour."""
    wood = {**SAWN, "taxon": "Cedrela odorata", "date": "2015-05-10"}
    found = answered(**wood, may_be_from=["CO", "PE", "BR"], acquired="2001-08-01")

    assert found.answer == NEEDED
    assert found.why.endswith("; which documents depends on the country")


def test_a_part_may_say_it_instead_of_the_whole() -> None:
    """What the part says of its origin stands in the place of what the whole said."""
    inlay = {"taxon": "Diospyros celebica", "form": "sawn_wood"}
    found = answered(
        taxon="Picea abies",
        origin="IT",
        parts=[inlay | {"may_be_from": ["ID", "MG"]}, inlay],
        **SAWN,
    )

    assert [part.answer for part in found.parts][1:] == [NEEDED, NOT_NEEDED]


@given(
    asked=QUESTIONS,
    several=st.sets(
        st.sampled_from(sorted(set(places()) - {"EU"})), min_size=2, max_size=4
    ),
)
def test_naming_countries_never_makes_an_answer_weaker(
    asked: dict[str, Any], several: set[str]
) -> None:
    """It is the worst of those for each country and for none; never free if apart."""
    wood = {name: asked[name] for name in ("taxon", "form", "date", "legs")}
    if asked.get("acquired", "9") <= asked["date"]:
        wood |= {"acquired": asked["acquired"]} if "acquired" in asked else {}
    wood |= {"purpose": asked["purpose"]} if "purpose" in asked else {}
    each = [answered(**wood), *(answered(**wood, origin=code) for code in several)]
    answers = {one.answer for one in each}
    found = answered(**wood, may_be_from=sorted(several))

    assert found.answer == min(answers, key=ORDER.index)
    assert len(answers) == 1 or found.answer != NOT_NEEDED
    assert found.is_listed == any(one.is_listed for one in each)
    for other in (other for one in each for other in one.also):
        assert any(
            mine.rule == other.rule
            and ORDER.index(mine.answer) <= ORDER.index(other.answer)
            for mine in found.also
        )


@pytest.mark.parametrize("form", wood_forms())
def test_a_listed_genus_asks_in_every_form_as_its_worst_country(form: str) -> None:
    """Ebony without a species, of two countries."""
    wood = {**SAWN, "taxon": "Diospyros spp.", "form": form}
    worst = answered(**wood, origin="MG").answer

    found = answered(**wood, may_be_from=["CM", "MG"]).answer
    assert ORDER.index(found) <= ORDER.index(worst)
