"""Holds, batches and gauges are numbered on within their year."""

from ledger.acts import gauges, holds, materials
from ledger.acts.holds import InDoubt
from tests.skerrymoor import Loft


def test_each_has_numbers_of_its_own_and_begins_again_with_the_year(
    loft: Loft,
) -> None:
    """M26-001 and G26-001 stand beside each other, and M27-001 comes next year."""

    def another(loft: Loft) -> tuple[str, str, str]:
        draft = materials.BatchDraft(
            what="hide glue", use="glue", received_on=loft.shop.today()
        )
        batch = materials.receive_batch(loft.shop, draft, loft.hands("03"))
        gauge = gauges.add_gauge(
            loft.shop,
            what="caliper",
            measures="length",
            mark=batch,
            hands=loft.hands("03"),
        )
        hold = holds.place(
            loft.shop,
            InDoubt(on="batch", code=batch),
            reason="it smells",
            hands=loft.hands("03"),
        )
        return batch, gauge, hold

    assert another(loft) == ("M26-001", "G26-001", "H26-001")
    assert another(loft) == ("M26-002", "G26-002", "H26-002")
    loft.clock.moment = loft.clock.moment.replace(year=2027)
    object.__setattr__(loft.shop, "pause_confirmed", True)
    assert another(loft) == ("M27-001", "G27-001", "H27-001")
