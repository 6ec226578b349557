"""A lead lets a board be used before it is ready, in one instrument, and says why."""

from collections.abc import Callable

import pytest

from ledger.acts import corrections
from ledger.acts.allotting import BoardRestingError
from ledger.acts.corrections import reasons_of
from ledger.acts.overrides import override
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.log.entry import Entry
from ledger.views.boards import Board
from ledger.views.corrections import override_for
from tests.skerrymoor import NECK, TOP, Loft

SERIAL, OTHER = "26-0001-8", "26-0002-6"
NECK_CODE = "L26-001-02"


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop with a set, two necks and two instruments begun."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK, NECK)
    loft.model()
    loft.begin()
    loft.begin()
    return loft


def newest(loft: Loft) -> int:
    """Return the index of the newest entry."""
    return loft.shop.store.head().size - 1


@pytest.fixture
def young(bench: Loft) -> Loft:
    """Give the same shop under limits that no wood of today fulfils."""
    bench.adopt()
    return bench


def test_a_lead_lets_a_board_be_used_and_says_why(young: Loft) -> None:
    """Once said, whoever allots may allot it; the entry quotes the rule's own words."""
    with pytest.raises(BoardRestingError):
        young.allot(SERIAL, "neck", NECK_CODE)
    (entry,) = let(young, NECK_CODE)
    young.allot(SERIAL, "neck", NECK_CODE)
    with young.shop.store.reading() as session:
        reasons = reasons_of(young.shop, session, {entry.index})

    rule = (entry.event["policy"], entry.event["version"])
    assert (rule, reasons) == (("loft", 1), {entry.index: "the owner is waiting"})
    assert "rested 0 of 90\u2009days" in entry.event["against"]
    assert b"owner is waiting" not in young.shop.store.record(entry.index)
    assert audit(young.shop).findings == ()


def let(loft: Loft, code: str, serial: str = SERIAL, badge: str = "01") -> list[Entry]:
    """Let a board be used before it is ready."""
    return override(
        loft.shop,
        code=code,
        serial=serial,
        reason="the owner is waiting",
        hands=loft.hands(badge),
    )


def test_an_override_is_for_one_instrument_and_one_board(young: Loft) -> None:
    """Neither another serial nor another board comes with it."""
    let(young, NECK_CODE)
    for serial, code in ((OTHER, NECK_CODE), (SERIAL, "L26-001-03")):
        with pytest.raises(BoardRestingError):
            young.allot(serial, "neck", code)

    with young.shop.store.reading() as session:
        assert override_for(session, NECK_CODE, SERIAL) is not None
        assert override_for(session, NECK_CODE, OTHER) is None
    young.allot(SERIAL, "neck", NECK_CODE)


def test_both_halves_of_a_set_are_let_at_once(young: Loft) -> None:
    """An entry each; a half that was ready by itself would need none."""
    entries = let(young, "L26-001-01")
    young.allot(SERIAL, "top", "L26-001-01")

    assert [entry.event["board"] for entry in entries] == [
        "L26-001-01.A",
        "L26-001-01.B",
    ]
    assert audit(young.shop).findings == ()


def test_a_set_of_which_one_half_is_used_is_let_for_neither(young: Loft) -> None:
    """And no reason is left behind for the half that came first."""
    let(young, "L26-001-01.B", OTHER)
    young.allot(OTHER, "top", "L26-001-01.B")
    size, reasons = newest(young), reasons_in(young)
    with pytest.raises(RefusedError, match=rf"L26-001-01\.B is allotted to {OTHER}"):
        let(young, "L26-001-01")

    assert (newest(young), reasons_in(young)) == (size, reasons)
    assert len(let(young, "L26-001-01.A")) == 1


@pytest.mark.parametrize("badge", ["02", "03", "10", "12"])
def test_nobody_but_a_lead_overrides(young: Loft, badge: str) -> None:
    """And the reason that was given goes again."""
    size, vault = newest(young), reasons_in(young)
    with pytest.raises(RefusedError, match=r"overriding a rule is for a lead"):
        let(young, NECK_CODE, badge=badge)

    assert (newest(young), reasons_in(young)) == (size, vault)


def reasons_in(loft: Loft) -> int:
    """Return how many reasons the vault holds."""
    query = "SELECT count(*) FROM opening WHERE field = 'reason'"
    ((count,),) = loft.shop.vault.connection.execute(query)
    return int(count)


def struck_number(loft: Loft) -> None:
    """Strike the number of the neck."""
    with loft.shop.store.reading() as session:
        index = session.get_one(Board, NECK_CODE).idx
    corrections.correct(loft.shop, index, reason="slip", hands=loft.hands())


def allotted(loft: Loft) -> None:
    """Let the neck be used in another instrument, and use it."""
    let(loft, NECK_CODE, OTHER)
    loft.allot(OTHER, "neck", NECK_CODE)


@pytest.mark.parametrize(
    ("before", "said"),
    [
        (struck_number, "was struck by entry"),
        (allotted, f"is allotted to {OTHER} by entry"),
    ],
)
def test_what_cannot_be_used_is_not_overridden(
    young: Loft, before: Callable[[Loft], None], said: str
) -> None:
    """Rest is not what stands against it."""
    before(young)
    size = newest(young)
    with pytest.raises(RefusedError, match=said):
        let(young, NECK_CODE)

    assert newest(young) == size


def test_where_nothing_stands_against_it_nothing_is_overridden(bench: Loft) -> None:
    """Nor for what is not there."""
    with pytest.raises(RefusedError, match="nothing stands against L26-001-02: allot"):
        let(bench, NECK_CODE)
    with pytest.raises(NotFoundError, match="there is no board L26-009-01"):
        let(bench, "L26-009-01")
    with pytest.raises(NotFoundError, match="there is no instrument 26-0009-1"):
        let(bench, NECK_CODE, "26-0009-1")


def test_nothing_is_overridden_for_a_build_that_is_closed(certified: Loft) -> None:
    """As nothing is reserved for it, or allotted to it."""
    certified.adopt()
    spare, *_ = certified.number(certified.receive())
    with pytest.raises(
        RefusedError, match=r"has its certificate .* its build is closed"
    ):
        let(certified, spare)
