"""A hold names what is in doubt, is placed by the bench, and is lifted by a lead."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import gauges, holds, materials
from ledger.acts.holds import HeldError, InDoubt, find_doubted, require_no_hold
from ledger.acts.measuring import weigh
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.events import ConcessionGiven
from ledger.events.hold import On
from ledger.views.holds import Hold
from tests.aftersale import serviced
from tests.skerrymoor import NECK, Loft

SERIAL = "26-0001-8"


@pytest.fixture
def held(certified: Loft) -> Loft:
    """Give a shop with an instrument, a batch of glue and a caliper."""
    draft = materials.BatchDraft(what="glue", use="glue", received_on="2026-01-05")
    materials.receive_batch(certified.shop, draft, certified.hands())
    gauges.add_gauge(
        certified.shop,
        what="caliper",
        measures="length",
        mark=None,
        hands=certified.hands(),
    )
    return certified


def place(loft: Loft, text: str, badge: str = "03", **told: Any) -> str:
    """Place a hold on what somebody names."""
    said: dict[str, Any] = {"reason": "a letter came", "hands": loft.hands(badge)}
    return holds.place(loft.shop, find_doubted(loft.shop, text), **(said | told))


def lift(loft: Loft, hold: str = "H26-001", badge: str = "01", **told: Any) -> int:
    """Lift a hold, or clear something of it."""
    said: dict[str, Any] = {"reason": "all is well", "hands": loft.hands(badge)}
    return holds.lift(loft.shop, hold, **(said | told)).index


@pytest.mark.parametrize(
    ("text", "on"),
    [
        ("d26-0001", "document"),
        ("L26-001", "lot"),
        ("L26-001-01", "board"),
        ("L26-001-01.A", "board"),
        ("M26-001", "batch"),
        ("G26-001", "gauge"),
        ("03", "person"),
        ("Jakub", "person"),
        ("Ferrante", "supplier"),
    ],
)
@pytest.mark.parametrize("badge", ["01", "02", "03", "12"])
def test_whoever_has_a_qualification_places_a_hold(
    held: Loft, text: str, on: On, badge: str
) -> None:
    """On whatever they name, by its code or by a name."""
    number = place(held, text, badge)
    with held.shop.store.reading() as session:
        assert session.get_one(Hold, number).on == on


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("D26-0009", "there is no document D26-0009"),
        ("L26-009", "there is no lot L26-009"),
        ("L26-001-77", "there is no board L26-001-77"),
        ("M26-009", "there is no batch M26-009"),
        ("G26-009", "there is no gauge G26-009"),
        (SERIAL, "26-0001-8 is a serial, and a hold is placed on what it rests on"),
        ("Nobody", "'Nobody' is no code, nobody's name here and no sawyer's"),
        ("", "'' is no code, nobody's name here and no sawyer's"),
        ("a", "fits several people"),
    ],
)
def test_what_nobody_can_doubt_is_refused(held: Loft, text: str, why: str) -> None:
    """By name: what it is, and what could be meant."""
    size = held.shop.store.head().size
    with pytest.raises(LedgerError, match=why):
        place(held, text)

    assert held.shop.store.head().size == size


def test_a_name_that_fits_two_is_refused(held: Loft) -> None:
    """A sawyer and somebody of the shop."""
    held.supplier(name="Kiely's Sawmill")
    with pytest.raises(RefusedError, match="fits somebody of the shop and a sawyer"):
        find_doubted(held.shop, "Kiely")


@pytest.mark.parametrize(
    ("told", "why"),
    [
        ({"since": "2026-01-06"}, "still to come, and today is 2026-01-05"),
        ({"since": "lately"}, "'lately' is no day"),
        ({"reason": " "}, "the reason has 1 to"),
    ],
)
def test_a_hold_has_a_day_that_was_and_a_reason(
    held: Loft, told: dict[str, Any], why: str
) -> None:
    """Without a reason nobody could answer for it later."""
    size = held.shop.store.head().size
    with pytest.raises(RefusedError, match=why):
        place(held, "L26-001", **told)

    assert held.shop.store.head().size == size
    assert audit(held.shop).findings == ()


def test_a_hold_is_lifted_once_and_by_a_lead(held: Loft) -> None:
    """It stays on the list, with the entry that ended it."""
    place(held, "L26-001")
    with pytest.raises(RefusedError, match=r"lifting a hold needs the role lead"):
        lift(held, badge="03")
    index = lift(held)

    with pytest.raises(RefusedError, match=f"H26-001 was lifted by entry {index}"):
        lift(held)
    with pytest.raises(LedgerError, match="there is no hold H26-009"):
        lift(held, "H26-009")
    with held.shop.store.reading() as session:
        require_no_hold(session, serial=SERIAL)
    assert audit(held.shop).findings == ()


@pytest.mark.parametrize(
    ("only", "why"),
    [
        ("L26-001", "is on L26-001 itself: lift it whole, without --only"),
        ("L26-002", "does not cover lot, board or batch L26-002"),
        ("L26-002-01", "does not cover lot, board or batch L26-002-01"),
        ("26-0002-6", "does not cover lot, board or batch 26-0002-6"),
        ("nonsense", "is no code of this shop"),
    ],
)
def test_only_what_a_hold_covers_is_cleared_of_it(
    held: Loft, only: str, why: str
) -> None:
    """And not all of it piece by piece where it could be lifted."""
    place(held, "L26-001")
    with pytest.raises(RefusedError, match=why):
        lift(held, only=only)


def test_a_cleared_instrument_goes_on_while_its_lot_is_in_doubt(held: Loft) -> None:
    """A second clearing of the same is refused."""
    place(held, "L26-001")
    lift(held, only=SERIAL)
    with held.shop.store.reading() as session:
        require_no_hold(session, serial=SERIAL)
        with pytest.raises(HeldError, match=r"board L26-001-01\.A is in doubt"):
            require_no_hold(session, boards=["L26-001-01.A"])
    with pytest.raises(RefusedError, match="26-0001-8 was cleared of hold H26-001"):
        lift(held, only=SERIAL)


def test_a_clearing_covers_what_was_there_when_it_was_cleared(loft: Loft) -> None:
    """What the person in doubt signs afterwards is in doubt, and is cleared again."""
    loft.model()
    serial = loft.begin()
    loft.sign(serial, "join the top")
    hold = place(loft, "03", "12")
    lift(loft, hold, only=serial)
    with loft.shop.store.reading() as session:
        require_no_hold(session, serial=serial)
    loft.sign(serial, "brace")
    doubted = pytest.raises(HeldError, match=f"{serial} is in doubt by hold {hold} on")
    with loft.shop.store.reading() as session, doubted:
        require_no_hold(session, serial=serial)
    lift(loft, hold, only=serial)
    with loft.shop.store.reading() as session:
        require_no_hold(session, serial=serial)
    assert audit(loft.shop).findings == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("D26-0001", "document D26-0001, delivery note 7/26, since 2026-01-04"),
        ("L26-002", "lot L26-002, since 2026-01-04"),
        ("Ferrante", "all wood of one sawyer, since 2026-01-04"),
        ("03", "what badge 03 signed, since 2026-01-04"),
    ],
)
def test_a_refusal_names_the_hold_what_is_in_doubt_and_since_when(
    held: Loft, text: str, said: str
) -> None:
    """And no name that only the vault knows."""
    number = place(held, text, since="2026-01-04")
    with (
        held.shop.store.reading() as session,
        pytest.raises(
            HeldError, match=f"{SERIAL} is in doubt by hold {number} on "
        ) as refused,
    ):
        require_no_hold(session, serial=SERIAL)

    assert said in str(refused.value)
    assert refused.value.hold == number


def test_what_somebody_signed_before_a_day_is_not_in_doubt(held: Loft) -> None:
    """The day counts for persons and gauges; of a lot all is in doubt."""
    held.clock.moment = held.clock.moment.replace(day=7)
    place(held, "03", since="2026-01-06")
    with held.shop.store.reading() as session:
        require_no_hold(session, serial=SERIAL)
    place(held, "L26-001", since="2026-01-06")
    with (
        held.shop.store.reading() as session,
        pytest.raises(HeldError, match="H26-002"),
    ):
        require_no_hold(session, serial=SERIAL)


def test_what_somebody_let_pass_before_a_day_is_not_in_doubt(held: Loft) -> None:
    """By when it was entered; what is let pass from that day on is in doubt."""
    knot = ConcessionGiven(serial=SERIAL, step="brace", what="a small knot")
    held.say(knot)
    held.clock.moment = held.clock.moment.replace(day=7)
    number = place(held, "01", since="2026-01-06")
    with held.shop.store.reading() as session:
        require_no_hold(session, serial=SERIAL)
    held.say(replace(knot, what="a dent"), happened_at="2026-01-05T12:00:00Z")

    with (
        held.shop.store.reading() as session,
        pytest.raises(HeldError, match=number),
    ):
        require_no_hold(session, serial=SERIAL)


def test_no_earlier_day_takes_service_out_of_a_doubt_that_stands(held: Loft) -> None:
    """When it was done is the word of the person who is in doubt."""
    held.clock.moment = held.clock.moment.replace(day=7)
    serviced(held, on="2026-01-05", hands=held.hands("12"))
    number = place(held, "12", since="2026-01-06")
    with held.shop.store.reading() as session:
        require_no_hold(session, serial=SERIAL)
    serviced(held, on="2026-01-05", hands=held.hands("12"))

    with (
        held.shop.store.reading() as session,
        pytest.raises(HeldError, match=number),
    ):
        require_no_hold(session, serial=SERIAL)


@pytest.mark.parametrize("text", ["M26-001", "G26-001"])
def test_batches_and_gauges_in_doubt_are_refused(held: Loft, text: str) -> None:
    """Before they are used again."""
    with held.shop.store.reading() as session:
        require_no_hold(session, materials=["M26-001"], gauges=["G26-001"])
    place(held, text)
    with (
        held.shop.store.reading() as session,
        pytest.raises(HeldError, match=f"{text} is in doubt by hold H26-001"),
    ):
        require_no_hold(session, materials=["M26-001"], gauges=["G26-001"])


def test_wood_on_hold_is_still_weighed(held: Loft) -> None:
    """Drying goes on, and so does the saw."""
    (spare,) = held.number(held.receive(), NECK)
    place(held, spare)

    hands = held.hands("03")
    weigh(held.shop, spare, mass_mg=1_039_000, hands=hands, as_read=True)
    assert audit(held.shop).findings == ()


def test_a_hold_on_nothing_known_is_refused_inside_the_lock(held: Loft) -> None:
    """However it was named."""
    with pytest.raises(LedgerError, match="there is no lot L26-099"):
        holds.place(
            held.shop,
            InDoubt(on="lot", code="L26-099"),
            reason="so it is",
            hands=held.hands(),
        )
