"""What is said where a shop's own rows took a listing away, and whose they are."""

from typing import Any

import pytest

from ledger.trade.answers import Determination
from ledger.trade.determination import determine
from ledger.trade.law import Law, compiled
from ledger.trade.question import question_from
from tests.ledger.trade.overlays import LISTING, OWN, law_with, row_of

GUITAR = {
    "taxon": "Dalbergia nigra",
    "form": "finished_instruments",
    "date": "2026-12-01",
}
NIGRA = "dalbergia-nigra"


def asked(law: Law, **fields: Any) -> Determination:
    """Return the answer to a question about a guitar, by an edition."""
    return determine(question_from({**GUITAR, **fields}), law=law)


@pytest.mark.parametrize(
    "change",
    [
        {"valid_until": "2026-11-30"},
        {"valid_from": "2026-12-02"},
        {"taxon": "Acer saccharum", "population": "CA"},
    ],
)
@pytest.mark.parametrize("taxon", ["Dalbergia nigra", "Dalbergia spp."])
@pytest.mark.parametrize("line", ["DE -> JP, sale", "inside EU, sale"])
def test_what_a_shops_own_row_takes_away_is_asked_about(
    change: dict[str, str], taxon: str, line: str
) -> None:
    """A species that the genus would take over is no freer for it."""
    law = law_with(("listings", row_of("listings", NIGRA, **change)))
    found = asked(law, taxon=taxon, movement=line)

    assert found.answer == "ask"
    assert OWN in found.confidence + found.why
    if taxon == "Dalbergia nigra":
        assert (
            f"list Dalbergia nigra on 2026-12-01 by {NIGRA}, and the sho" in found.why
        )


def test_the_day_before_it_was_cut_short_it_is_listed_as_before() -> None:
    """And from the next day on it is asked about."""
    law = law_with(("listings", row_of("listings", NIGRA, valid_until="2026-11-30")))
    line = "DE -> JP, sale"

    assert asked(law, movement=line, date="2026-11-30").row == NIGRA
    assert asked(law, movement=line, date="2026-11-30").answer == "needed"
    assert asked(law, movement=line).answer == "ask"


def test_what_takes_over_without_a_gap_is_judged_and_marked() -> None:
    """A newer row of the same population, from the day on."""
    older = row_of("listings", NIGRA, valid_until="2026-11-30")
    newer = row_of("listings", NIGRA, id="nigra-own", valid_from="2026-12-01")
    law = law_with(("listings", older), ("listings", newer))
    found = asked(law, movement="DE -> JP, sale")

    assert (found.answer, found.row) == ("needed", "nigra-own")
    assert "have it there no more" not in found.why
    assert OWN in found.confidence


def test_a_listing_that_is_gone_with_its_genus_is_asked_about() -> None:
    """Whether another population stands there, or no row at all."""
    mark = row_of("listings", "dalbergia-genus", valid_until="2026-11-30")
    only = row_of("listings", "nautilidae", valid_until="2026-11-30")
    law = law_with(("listings", mark), ("listings", only))
    line = "DE -> JP, sale"
    found = asked(law, taxon="Dalbergia latifolia", movement=line)
    bare = asked(law, taxon="Nautilidae spp.", form="inlay", movement=line)

    assert (found.answer, bare.answer) == ("ask", "ask")
    assert "by dalbergia-genus, and the shop's own rows have it th" in found.why
    assert "by nautilidae, and the shop's own rows have it there no more" in bare.why
    assert OWN in found.confidence and OWN in bare.why


def test_a_word_of_the_shops_own_for_a_name_marks_every_answer() -> None:
    """Of the Convention and of the laws beside it."""
    word = row_of("names", "Acer saccharum", name="Acer vetus")
    law = law_with(("names", word))
    told = {"taxon": "Acer vetus", "form": "sawn_wood", "movement": "CA -> US, sale"}
    found = asked(law, **told, date="2026-02-01")

    assert OWN in found.confidence
    assert all(OWN in f"{other.confidence} {other.why}" for other in found.also)
    assert OWN not in asked(law, **{**told, "taxon": "Acer saccharum"}).confidence


def test_a_meeting_of_the_shops_own_marks_what_it_makes_stale() -> None:
    """Moved earlier it makes rows stale that were not."""
    sources = {name: LISTING[name] for name in ("confidence", "checked_on")}
    meeting = {
        "id": "CoP21",
        "took_effect": "2026-11-30",
        "sources": "Notification 2026/044",
        "newest_source": "2026-11-02",
        **sources,
    }
    told = {"taxon": "Dalbergia latifolia", "movement": "DE -> JP, sale"}
    found = asked(law_with(("meetings", meeting)), **told)

    assert asked(compiled(), **told).answer == "not needed"
    assert found.answer == "ask"
    assert OWN in found.confidence


def test_the_whole_bears_the_mark_of_every_part() -> None:
    """Also where another part counts most."""
    own = row_of("listings", "dalbergia-genus", note="read again")
    law = law_with(("listings", own))
    found = asked(
        law,
        taxon="Dalbergia nigra",
        movement="DE -> JP, sale",
        parts=[{"taxon": "Dalbergia latifolia", "form": "finished_instruments"}],
    )

    assert found.row == NIGRA
    assert OWN in found.confidence
