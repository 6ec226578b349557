"""A shop's wood is told to programs that are not ours, and no name goes with it."""

import pytest

from ledger.acts.provenance import base_of, provenance
from ledger.errors import NotFoundError
from tests.ledger.acts.provenance.reading import faults_in, names_of, read
from tests.skerrymoor import Loft

NAMES = ("Jakub", "Wolański", "Maura", "Kiely", "Adeyemi", "Rousset")


def test_an_instrument_leads_to_its_wood_its_papers_and_its_hands(
    certified: Loft,
) -> None:
    """Hands by badge, the sawyer by name as the shop allows, the owner not at all."""
    certified.sell("26-0001-8")
    data = provenance(certified.shop, ["26-0001-8"]).data()
    document = read(data)
    kinds = {name[4:].partition("-")[0] for name in names_of(document, "ProvEntity")}

    assert faults_in(document) == []
    assert {"serial", "part", "board", "lot", "document", "certificate"} <= kinds
    assert {"log:badge-02", "log:badge-03"} <= names_of(document, "ProvAgent")
    assert "Ferrante & Daughters" in data.decode()
    assert not [name for name in NAMES if name in data.decode()]


def test_the_whole_log_has_one_activity_for_each_entry(certified: Loft) -> None:
    """And two exports of it are the same bytes."""
    graph = provenance(certified.shop)

    assert faults_in(read(graph.data())) == []
    assert len(graph.activities) == certified.shop.store.head().size
    assert graph.data() == provenance(certified.shop).data()


@pytest.mark.parametrize("code", ["L26-001", "L26-001-01", "D26-0001", "26-0001-8"])
def test_a_lot_a_board_and_a_paper_lead_to_the_instrument(
    certified: Loft, code: str
) -> None:
    """Followed both ways, each is a part of the whole."""
    whole, part = provenance(certified.shop), provenance(certified.shop, [code])

    assert "serial-26-0001-8" in part.entities
    assert faults_in(read(part.data())) == []
    assert part.entities.items() <= whole.entities.items()
    assert part.activities.items() <= whole.activities.items()


@pytest.mark.parametrize("shown", ["by-name", "by-region", "known-to-maker"])
def test_a_sawyer_is_shown_as_the_certificate_shows_the_sawyer(
    loft: Loft, shown: str
) -> None:
    """By name, by region, or as somebody whom the maker knows."""
    loft.supplier(shown=shown)  # type: ignore[arg-type]
    lot = loft.receive()
    (agent,) = [
        told
        for name, told in provenance(loft.shop, [str(lot)]).agents.items()
        if name.startswith("supplier-")
    ]

    assert ("log:name" in agent, "log:region" in agent) == {
        "by-name": (True, True),
        "by-region": (False, True),
        "known-to-maker": (False, False),
    }[shown]


def test_a_code_that_was_never_recorded_is_not_found(loft: Loft) -> None:
    """Whatever kind of thing it would be."""
    with pytest.raises(NotFoundError, match="there is no L26-099: it was never"):
        provenance(loft.shop, ["L26-099"])


def test_names_begin_with_the_log_s_own_address_or_a_urn() -> None:
    """A log without a domain has a URN that is the same wherever it is worked out."""
    assert base_of("log.example/bench") == "https://log.example/bench#"
    urn = base_of("ledger-0123456789abcdef")
    assert urn.startswith("urn:uuid:") and urn.endswith("#")
    assert urn == base_of("ledger-0123456789abcdef") != base_of("ledger-0")
