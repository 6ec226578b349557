"""What no act would say is said all the same, by a key that counts, past every act.

The views refuse it within the lock. Where it is slipped into the log behind them, an
audit names the entry, nothing folds it again, and what is shown stays as it was.
"""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts.copies import rebuild
from ledger.acts.corrections import correct
from ledger.audit import audit
from ledger.errors import RefusedError, TamperError
from ledger.events import (
    BoardAllotted,
    BoardMeasured,
    BoardMoved,
    BoardNumbered,
    BoardPhotographed,
    BoardTapped,
    BoardWeighed,
    Event,
    LotReceived,
    OverrideGiven,
    PolicyAdopted,
    RoomLogged,
    RoomMeasured,
    ShipmentPapersPrinted,
    TagPrinted,
    codec,
)
from ledger.events.codec import Beside
from ledger.events.shipment import Share
from ledger.views import fold
from ledger.views.boards import Board
from tests.ledger.audit.tampering import appended, index_of
from tests.ledger.views.forests import glued, sawn
from tests.sentences import (
    DAY,
    FLEXED,
    GRADED,
    MATCHED,
    METERED,
    PLANNED,
    READ,
    REJECTED,
    VOICED,
)
from tests.skerrymoor import NECK, WITHOUT_REST, Loft

SERIAL, OPEN = "26-0001-8", "26-0002-6"
LOT = "L26-003"
FREE, PIECES, STRUCK, SET = (f"{LOT}-{n:02d}" for n in (1, 2, 3, 4))
USED = "L26-001-01.A"
NO_LOT = replace(PLANNED.determined[0], shares=(Share(lot="L26-099", mass_mg=190_500),))
LARGEST = 2**53 - 1
RUNG = BoardTapped(
    board=FREE,
    held_as="plate",
    length_um=LARGEST,
    width_um=LARGEST,
    thickness_um=LARGEST,
    mass_mg=LARGEST,
    recording_sha256="5a" * 32,
    low_millihertz=LARGEST,
    high_millihertz=1,
    method="none",
    readings=(READ,),
)


@pytest.fixture
def bench(certified: Loft) -> Loft:
    """Give a shop with a certificate, and a free, a sawn, a struck board and a set."""
    loft = certified
    lot = loft.receive(boards=24)
    assert str(lot) == LOT
    loft.number(lot, NECK, NECK, NECK)
    loft.number(lot)
    assert loft.begin() == OPEN
    loft.say(sawn([PIECES], [f"{PIECES}.C1"]))
    loft.say(loft.strike(numbered(loft, STRUCK)))
    loft.say(replace(PLANNED, serials=(SERIAL,), boards=()))
    return loft


def numbered(loft: Loft, code: str) -> int:
    """Return the entry that numbered a board."""
    with loft.shop.store.reading() as session:
        return session.get_one(Board, code).idx


def shown(loft: Loft) -> list[tuple[str, tuple[object, ...]]]:
    """Return every row of every view."""
    with loft.shop.store.reading() as session:
        return list(fold.rows(session))


def hostile(loft: Loft) -> dict[str, Event]:
    """Return what no act would say of this shop, by what is wrong with it."""
    return said_of_wood() | struck(loft) | said_of_papers() | said_of_shipments()


def said_of_wood() -> dict[str, Event]:
    """Return what is said of boards that are gone, or numbered as they cannot be."""
    on_gone: dict[str, Event] = {}
    for name, code in (("pieces", PIECES), ("struck", STRUCK)):
        on_gone |= {
            f"weighed, {name}": BoardWeighed(board=code, mass_mg=1),
            f"measured, {name}": BoardMeasured(board=code, moisture_ppm=1),
            f"moved, {name}": BoardMoved(board=code, place="the stove"),
            f"allotted, {name}": BoardAllotted(board=code, serial=OPEN, part="neck"),
            f"sawn, {name}": sawn([code], [f"{code}.C9"]),
            f"photographed, {name}": BoardPhotographed(
                board=code, face="back", sha256="5a" * 32
            ),
            f"metered, {name}": replace(METERED, board=code),
            f"bent, {name}": replace(FLEXED, board=code),
            f"graded, {name}": replace(GRADED, board=code),
            f"rejected, {name}": replace(REJECTED, board=code),
            f"matched, {name}": replace(MATCHED, boards=(FREE, code)),
        }
    return on_gone | {
        "more than there was": replace(sawn([FREE], [f"{FREE}.C1"]), masses_mg=(999,)),
        "a piece as a whole board": sawn([f"{SET}.A"], [SET]),
        "a joint as a whole board": glued([f"{SET}.A", f"{SET}.B"], SET),
        "of another lot": BoardNumbered(
            board="L26-003-09", lot="L26-001", meant_for="x"
        ),
        "a piece that came in": BoardNumbered(
            board=f"{FREE}.C1", lot=LOT, meant_for="x"
        ),
        "a board beside its halves": BoardNumbered(board=SET, lot=LOT, meant_for="x"),
        "a half beside its board": BoardNumbered(
            board=f"{FREE}.A", lot=LOT, meant_for="x"
        ),
    }


def struck(loft: Loft) -> dict[str, Event]:
    """Return corrections of what others rest on, and of what gave nothing."""
    kinds = {
        "a lot": "lot.received/1",
        "a certificate": "certificate.issued/1",
        "a split": "board.split/1",
        "certified work": "build.step-signed/2",
        "certified wood": "board.allotted/1",
        "a used number": "board.numbered/2",
        "a correction": "correction.made/1",
    }
    return {
        f"{what} struck": loft.strike(index_of(loft, kind))
        for what, kind in kinds.items()
    }


def said_of_papers() -> dict[str, Event]:
    """Return what is said of things, and under rules, that are not there."""
    return {
        "a match for nothing": replace(MATCHED, boards=(FREE,), serial="26-0009-9"),
        "used wood rejected": replace(REJECTED, board=USED),
        "a voice of nothing": replace(VOICED, serial="26-0009-9"),
        "the air of tomorrow": RoomLogged(
            room="crib",
            sha256="5a" * 32,
            method="none",
            days=(replace(DAY, day="2099-01-01"),),
        ),
        "let for nothing": OverrideGiven(
            board=FREE, serial="26-0009-9", policy="none", version=1, against=("air",)
        ),
        "let after it was used": OverrideGiven(
            board=USED, serial=OPEN, policy="loft", version=1, against=("young",)
        ),
        "a tag before its first": TagPrinted(
            serial=OPEN, number=7, size=1, root="5a" * 32, sha256="5a" * 32
        ),
        "limits of nothing": PolicyAdopted(policy={"format": WITHOUT_REST["format"]}),
        "limits by the same name": PolicyAdopted(
            policy=WITHOUT_REST
            | {"rest_of_others": {"least_days": 9, "preferred_days": 9}}
        ),
    }


def said_of_shipments() -> dict[str, Event]:
    """Return what is said of shipments of what cannot leave, and of their papers."""
    drawn = ShipmentPapersPrinted(
        shipment="X26-0009",
        paper="materials list",
        number=1,
        size=1,
        root="5a" * 32,
        sha256="5a" * 32,
    )
    told: dict[str, dict[str, Any]] = {
        "not there": {"boards": ("L26-099-01",)},
        "pieces": {"boards": (PIECES,)},
        "struck": {"boards": (STRUCK,)},
        "in an instrument": {"boards": (USED,)},
        "without a certificate": {"serials": (OPEN,), "boards": ()},
        "of no lot": {"boards": (FREE,), "determined": (NO_LOT,)},
    }
    sent: dict[str, Event] = {
        f"sent, {fault}": replace(PLANNED, shipment=f"X26-001{number}", **members)
        for number, (fault, members) in enumerate(told.items())
    }
    return sent | {
        "papers of nothing": drawn,
        "a second print and no first": replace(drawn, shipment="X26-0001", number=2),
    }


def test_nobody_says_what_no_act_would(bench: Loft) -> None:
    """Not one entry is appended, and no row of any view is another."""
    before, size = shown(bench), bench.shop.store.head().size

    for fault, event in hostile(bench).items():
        with pytest.raises(TamperError, match="run flitchbook record audit"):
            bench.say(event)
            pytest.fail(f"{fault} was taken")
    assert bench.shop.store.head().size == size
    assert shown(bench) == before
    assert audit(bench.shop).findings == ()


def test_what_is_slipped_past_the_views_is_named(bench: Loft) -> None:
    """Each entry by its number; what is shown stays, and is not folded again."""
    before = shown(bench)
    slipped = {
        appended(bench, codec.plain(event)).entry.index: fault
        for fault, event in hostile(bench).items()
    }
    findings = audit(bench.shop).findings
    named = {finding.index for finding in findings if finding.cause == "number"}

    assert {slipped[index] for index in slipped if index not in named} == set()
    # The papers of nothing carry a head, too, that nobody signed.
    assert {finding.cause for finding in findings} == {"number", "checkpoint"}
    assert shown(bench) == before
    with pytest.raises(TamperError, match="do not add up"):
        rebuild(bench.shop)
    assert shown(bench) == before


def test_a_time_to_come_and_a_strike_by_a_stranger_are_named(bench: Loft) -> None:
    """Where no view looks at it, since it knows no roles, an audit does."""
    late = Beside(happened_at="2099-01-01T00:00:00Z")
    allotted = BoardAllotted(board=FREE, serial=OPEN, part="neck")
    said = appended(bench, codec.plain(allotted, late), fold=fold.fold).entry.index
    strike = codec.plain(bench.strike(said))
    struck = appended(bench, strike, by=bench.keys["03"], fold=fold.fold).entry.index
    tomorrow = LotReceived(
        lot="L26-009",
        species="Picea abies",
        form="sawn",
        boards=1,
        received_on="2026-01-06",
        documents=(),
    )
    came = appended(bench, codec.plain(tomorrow), fold=fold.fold).entry.index
    own = bench.say(BoardWeighed(board=FREE, mass_mg=1_040_000), "03").index
    bench.say(bench.strike(own), "03")
    findings = {(f.index, f.cause) for f in audit(bench.shop).findings}

    assert findings == {(said, "clock"), (struck, "authority"), (came, "clock")}
    for event in (
        BoardWeighed(board=FREE, mass_mg=1),
        RoomMeasured(room="crib", temperature_millikelvin=1, humidity_ppm=1),
    ):
        with pytest.raises(TamperError, match="happened at 2099"):
            bench.say(event, happened_at=late.happened_at)


def test_the_largest_numbers_are_kept_and_judged(bench: Loft) -> None:
    """A shop of such wood is odd, and neither rows nor an audit are lost on it."""
    air = {"temperature_millikelvin": LARGEST, "humidity_ppm": LARGEST}
    for event in (
        BoardNumbered(
            board=f"{LOT}-09",
            lot=LOT,
            meant_for="x",
            length_um=LARGEST,
            width_um=LARGEST,
            thickness_um=LARGEST,
            mass_mg=LARGEST,
        ),
        BoardMeasured(board=FREE, thickness_um=LARGEST, moisture_ppm=LARGEST),
        BoardWeighed(board=FREE, mass_mg=LARGEST),
        RoomMeasured(room="crib", **air),
        RUNG,
    ):
        bench.say(event)
    before = shown(bench)
    findings = audit(bench.shop).findings
    rebuild(bench.shop)

    assert {finding.cause for finding in findings} == {"attachment"}
    assert shown(bench) == before


def test_the_mass_of_a_board_that_was_sawn_is_struck_by_nobody(bench: Loft) -> None:
    """The saw's balance was reckoned with it; the act says what to do instead."""
    index = bench.say(BoardWeighed(board=FREE, mass_mg=1_040_000)).index
    entry = bench.say(sawn([FREE], [f"{FREE}.C1"])).index
    with pytest.raises(RefusedError, match=f"made into pieces by entry {entry}"):
        correct(bench.shop, index, reason="misread", hands=bench.hands())

    assert audit(bench.shop).findings == ()
