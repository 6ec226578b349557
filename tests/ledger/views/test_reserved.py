"""Numbers that are kept free: each once, counted on from the highest."""

from ledger.acts.lostnumbers import reserve
from ledger.views.reserved import lost_words, newest_issued, reserved
from tests.skerrymoor import Loft


def test_a_number_is_kept_free_by_the_entry_that_said_so_first(loft: Loft) -> None:
    """Said again beside another, it stays the first entry's."""
    first = reserve(loft.shop, ["L26-009", "C-2026-00044", "L26-009"], loft.hands())
    again = reserve(loft.shop, ["L26-012", "L26-009"], loft.hands())
    with loft.shop.store.reading() as session:
        kept = {row.number: row.idx for row in reserved(session)}
        told = lost_words(session, "L26-009")

        assert kept == {
            "C-2026-00044": first.index,
            "L26-009": first.index,
            "L26-012": again.index,
        }
        assert told is not None and f"entry {first.index}" in told
        assert lost_words(session, "L26-010") is None


def test_the_highest_is_of_the_log_or_of_what_is_lost(loft: Loft) -> None:
    """Whichever is higher, among those with one beginning."""
    reserve(loft.shop, ["L26-009"], loft.hands())
    with loft.shop.store.reading() as session:
        assert newest_issued(session, "L26-", None) == "L26-009"
        assert newest_issued(session, "L26-", "L26-008") == "L26-009"
        assert newest_issued(session, "L26-", "L26-010") == "L26-010"
        assert newest_issued(session, "L27-", None) is None
