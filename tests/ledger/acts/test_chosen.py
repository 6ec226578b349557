"""The wood that was chosen for an instrument, part by part."""

from ledger.acts.chosen import chosen_for
from ledger.views.builds import Build
from ledger.views.models import plan_of
from tests.skerrymoor import Loft


def test_halves_share_a_lot_and_the_whole_part_s_mass(certified: Loft) -> None:
    """Two boards of one lot are one wood of the part."""
    with certified.shop.store.reading() as session:
        build = session.get_one(Build, "26-0001-8")
        plan = plan_of(session, build.model, build.version)
        top, neck = chosen_for(
            session, build, plan, today="2026-01-20", until="before it is sold"
        )

    assert (top.boards, top.mass_mg) == (("L26-001-01.A", "L26-001-01.B"), 190_500)
    assert (neck.part, neck.origin) == ("neck", "IT")
