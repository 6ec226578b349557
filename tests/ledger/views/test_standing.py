"""What governs is found without reading the whole log."""

from ledger.acts import clock
from ledger.acts.shop import read_standing
from ledger.log.entry import parse_record
from ledger.log.standing import Standing, apply, is_governing
from ledger.views.standing import UsedOnces, governing_entries, is_doubted
from tests.skerrymoor import Loft


def test_the_standing_out_of_the_view_is_that_of_the_whole_log(
    certified: Loft,
) -> None:
    """Whoever reads every entry comes to the same keys, roles and rules."""
    whole = Standing()
    entries = [parse_record(data).entry for _, data in certified.shop.store.records()]
    governing = [entry for entry in entries if is_governing(entry.kind)]
    for entry in governing:
        apply(whole, entry.index, entry.event, entry.key)
    with certified.shop.store.reading() as session:
        assert governing_entries(session) == governing
        assert read_standing(session) == whole


def test_every_once_of_the_log_is_used(certified: Loft) -> None:
    """And no other."""
    events = [parse_record(d).entry.event for _, d in certified.shop.store.records()]
    onces = {e["approvals"]["once"] for e in events if "approvals" in e}
    with certified.shop.store.reading() as session:
        used = UsedOnces(session)
        assert onces
        assert all(once in used for once in onces)
        assert "00" * 16 not in used


def test_a_span_of_doubt_has_both_its_ends(loft: Loft) -> None:
    """The seconds beside them are believed."""
    times = {"since": "2025-01-01T00:00:00Z", "until": "2025-01-02T00:00:00Z"}
    clock.doubt(loft.shop, hands=loft.hands("01", "12"), **times)
    with loft.shop.store.reading() as session:
        assert is_doubted(session, "2025-01-01T00:00:00Z")
        assert is_doubted(session, "2025-01-02T00:00:00Z")
        assert not is_doubted(session, "2024-12-31T23:59:59Z")
        assert not is_doubted(session, "2025-01-02T00:00:01Z")
