"""What a hold touches is told with where it is, what it weighs and what papers said."""

from typing import Any

import pytest

from ledger.acts import holds, people, touched
from ledger.acts.holds import find_doubted
from ledger.acts.touched import Report, was_in_force
from ledger.events import (
    BuildVoided,
    InstrumentReturned,
    InstrumentSentV1,
)
from ledger.views.holds import Hold
from ledger.views.wood import Document
from tests.ledger.acts.sawmill import BACK, HEADPLATE, PLATES, SET, STRIPS, split
from tests.skerrymoor import NECK, Loft

SERIAL = "26-0001-8"


def told(loft: Loft, text: str, **said: Any) -> Report:
    """Place a hold, and return what it touches."""
    number = holds.place(
        loft.shop,
        find_doubted(loft.shop, text),
        reason="a letter came",
        hands=loft.hands(),
        **said,
    )
    with loft.shop.store.reading() as session:
        found = touched.report(session, session.get_one(Hold, number))
        session.expunge_all()
    return found


@pytest.mark.parametrize(
    ("issued", "expires", "in_force"),
    [
        ("2024-01-01", "2024-12-31", True),
        ("2024-06-01", "2024-06-01", True),
        ("2024-06-02", None, False),
        (None, "2024-05-31", False),
        (None, "2024-06-01", True),
        (None, None, None),
    ],
)
def test_a_paper_is_judged_by_its_own_dates_on_the_day_of_purchase(
    issued: str | None, expires: str | None, in_force: bool | None
) -> None:
    """Both days count; of one without dates nothing can be said."""
    paper = Document(
        code="D24-0001",
        paper="permit",
        number_as_written=None,
        issued_on=issued,
        expires_on=expires,
        digest="5a" * 32,
        is_salted=False,
        idx=1,
    )

    assert was_in_force(paper, "2024-06-01") is in_force


def test_pieces_are_counted_and_what_they_were_sawn_from_is_not(loft: Loft) -> None:
    """A tree counts once: 690 g, 54 g and three strips are what lies in the rack."""
    loft.supplier()
    loft.number(loft.receive(species="Dalbergia latifolia", harvested_in="IN"), BACK)
    split(loft, SET, PLATES, HEADPLATE, *STRIPS, waste_mg=64_000)
    found = told(loft, "L26-001")

    (amount,) = found.amounts
    assert (amount.mass_mg, amount.pieces, amount.where) == (805_000, 5, "rack")
    assert (amount.unweighed, amount.unmeasured) == (0, 4)
    assert amount.volume_mm3 == round(210 * 90 * 3.2)
    assert found.worked == 2
    assert len(found.rack) == 5


def test_where_an_instrument_is_follows_its_trips_and_its_owner(
    certified: Loft,
) -> None:
    """Here, out on loan, home again, sold; and no name of the owner."""
    (build,) = told(certified, "L26-001").finished
    assert (build.where, build.certificate) == ("in the shop", "C-2026-00001")
    out = InstrumentSentV1(
        serial=SERIAL, on="2026-01-05", to="Valcorda Fair", errand="show"
    )
    certified.say(out)
    (build,) = told(certified, "L26-001").left
    assert build.where == "out on show to Valcorda Fair since 2026-01-05"
    certified.say(InstrumentReturned(serial=SERIAL, on="2026-01-05"))
    assert told(certified, "L26-001").left == ()
    certified.sell(SERIAL)
    (build,) = told(certified, "L26-001").left
    assert build.where == "with its registered owner" and not build.is_erased
    people.erase(certified.shop, str(build.owner), certified.hands("12", "01"))
    (build,) = told(certified, "L26-001").left
    assert build.is_erased


def test_an_instrument_that_will_not_be_is_not_told(supplied: Loft) -> None:
    """Its wood is free again, and in the rack."""
    (neck,) = supplied.number(supplied.receive(), NECK)
    supplied.model()
    serial = supplied.begin()
    supplied.allot(serial, "neck", neck)
    (build,) = told(supplied, neck).building
    assert (build.serial, build.by.boards) == (serial, (neck,))
    supplied.say(BuildVoided(serial=serial))
    found = told(supplied, neck)

    assert (found.building, found.rack) == ((), (neck,))


def test_a_hold_on_a_person_tells_the_entries_that_were_signed(certified: Loft) -> None:
    """And none of another's, nor those from before a day."""
    (build,) = told(certified, "03").finished
    assert len(build.by.entries) == 2 and build.by.boards == ()
    assert told(certified, "10").finished == ()
    later = told(certified, "03", since=certified.shop.today())
    assert len(later.finished) == 1
