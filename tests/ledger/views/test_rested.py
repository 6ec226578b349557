"""What an instrument rested on stays what it was, whatever becomes of it."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from ledger.events import (
    BoardMeasured,
    BoardPhotographed,
    BoardTapped,
    BoardWeighed,
    BuildChanged,
    BuildOrdered,
    ConcessionGiven,
    Event,
    HoldPlaced,
    InstrumentReturned,
    InstrumentSent,
    InstrumentServiced,
    LotHarvestNamed,
    LotPaperAdded,
    MaterialHarvestNamed,
    MaterialPaperAdded,
    MaterialReceived,
    PlotsFiled,
    ReworkOrdered,
    RoomMeasured,
    SerialMisstamped,
    TheftReported,
)
from ledger.events.build import Promise
from ledger.log.entry import parse_record
from ledger.views.certificates import certificates_of
from ledger.views.rested import entries_at, entries_beside, entries_of_goods
from tests import aftersale
from tests.aftersale import SERIAL
from tests.sentences import READ, VOICED
from tests.sentences_build import GRADUATED
from tests.skerrymoor import Loft

HALF, LOT, BATCH = "L26-001-01.A", "L26-001", "M26-001"
WOOD = (
    BoardMeasured(board=HALF, thickness_um=4_100),
    BoardWeighed(board=HALF, mass_mg=204_000),
    BoardPhotographed(board=HALF, face="front", sha256="5b" * 32),
    BoardTapped(
        board=HALF,
        held_as="plate",
        length_um=559_000,
        width_um=203_000,
        thickness_um=4_100,
        mass_mg=204_000,
        recording_sha256="5c" * 32,
        low_millihertz=20_000,
        high_millihertz=400_000,
        method="as it was told",
        readings=(READ,),
    ),
    PlotsFiled(
        lot=LOT,
        document="D26-0001",
        harvested_from="2025-01-07",
        harvested_to="2025-02-14",
        number=3,
    ),
)
SHELL = (
    MaterialReceived(
        batch=BATCH,
        what="dots of mother-of-pearl",
        use="shell",
        species="Pinctada maxima",
        received_on="2026-01-05",
    ),
    MaterialPaperAdded(batch=BATCH, document="D26-0001"),
    MaterialHarvestNamed(batch=BATCH, countries=("ID", "PH")),
)
MADE = (
    BuildOrdered(serial=SERIAL, order="A-17"),
    BuildChanged(
        serial=SERIAL, promised=(Promise(what="width at the nut", promised="45 mm"),)
    ),
    replace(GRADUATED, gauge=None),
    VOICED,
    ConcessionGiven(serial=SERIAL, step="brace", what="a mended side"),
    ReworkOrdered(serial=SERIAL, step="brace"),
    SerialMisstamped(stamped="26-0193-3", serial=SERIAL),
)
LIVED = (
    InstrumentSent(serial=SERIAL, on="2026-01-05", errand="show"),
    InstrumentReturned(serial=SERIAL, on="2026-01-05", condition="as it went"),
    InstrumentServiced(serial=SERIAL, on="2026-01-05", work="inlaid anew"),
    InstrumentServiced(
        serial=SERIAL, on="2026-01-05", work="a new dot", materials=(BATCH,)
    ),
)
BESIDE = (
    RoomMeasured(room="crib", temperature_millikelvin=293_150, humidity_ppm=440_000),
    HoldPlaced(hold="H26-001", on="lot", code=LOT),
    TheftReported(
        serial=SERIAL,
        number=1,
        claimant="5a" * 16,
        name_commitment="5b" * 32,
        said_on="2026-01-05",
    ),
)


def said(loft: Loft, events: Sequence[Event]) -> dict[int, str]:
    """Say sentences, each of which a certificate prints; return their entries."""
    told = [loft.say(event) for event in events]
    return {entry.index: entry.kind for entry in told}


def behind(loft: Loft) -> list[set[int]]:
    """Return the entries behind the instrument as of each certificate."""
    with loft.shop.store.reading() as session:
        issued = certificates_of(session, SERIAL)
        return [entries_at(session, SERIAL, row.idx) for row in issued]


def test_wood_that_comes_off_still_counts_before(certified: Loft) -> None:
    """Also a paper of its lot that is struck later, and steps that are done again."""
    paper = certified.document()
    joined = certified.say(LotPaperAdded(lot="L26-001", document=paper), "02").index
    aftersale.serviced(certified)
    certified.issue(SERIAL)
    before = behind(certified)
    certified.say(certified.strike(joined))
    aftersale.retopped(certified)

    assert [joined in found for found in before] == [False, True]
    assert behind(certified) == before


def test_the_next_certificate_rests_on_the_new_wood(certified: Loft) -> None:
    """Each on its own top and the steps that took it, both on the neck."""
    aftersale.retopped(certified)
    certified.issue(SERIAL)
    first, second = behind(certified)

    assert first - second and second - first and first & second


def test_all_that_a_certificate_prints_is_behind_its_instrument(
    certified: Loft,
) -> None:
    """Of wood and shell, of its making and its life; all of it once it was said."""
    before = certified.shop.store.head().size - 1
    told = said(certified, (*WOOD, *SHELL, *MADE, *LIVED))
    with certified.shop.store.reading() as session:
        behind = entries_at(session, SERIAL, max(told))
        as_certified = entries_at(session, SERIAL, before)

    assert {kind for entry, kind in told.items() if entry not in behind} == set()
    assert behind - told.keys() < as_certified
    assert max(as_certified) == before


def test_what_struck_a_reading_takes_its_place(certified: Loft) -> None:
    """A certificate tells that it was struck, and rests on no reading that was."""
    weighed = certified.say(BoardWeighed(board=HALF, mass_mg=203_000)).index
    struck = certified.say(certified.strike(weighed)).index
    with certified.shop.store.reading() as session:
        then = entries_at(session, SERIAL, weighed)
        now = entries_at(session, SERIAL, struck)

    assert weighed in then and struck not in then
    assert struck in now and weighed not in now


def test_who_numbered_filed_and_sent_wood_is_behind_it(certified: Loft) -> None:
    """And the model that it follows, the limits of the house and what is open today."""
    told = said(certified, BESIDE)
    with certified.shop.store.reading() as session:
        behind = entries_at(session, SERIAL, max(told))
        beside = entries_beside(session, SERIAL, max(told))
        earlier = entries_beside(session, SERIAL, min(told) - 1)
    kinds = {kind_of(certified, entry) for entry in behind}

    assert kinds >= {
        *("board.numbered/2", "document.filed/1", "model.defined/2"),
        *("lot.received/1", "supplier.recorded/1"),
    }
    assert told.keys() <= beside and not told.keys() & earlier
    assert [kind_of(certified, entry) for entry in earlier] == ["policy.adopted/1"]


@pytest.mark.parametrize("code", [HALF, BATCH])
def test_wood_and_shell_that_go_as_such_rest_on_their_own(
    certified: Loft, code: str
) -> None:
    """A board on its lot and readings, a batch on its papers; nothing on a stranger."""
    told = said(certified, (*WOOD[:1], *SHELL[:1]))
    with certified.shop.store.reading() as session:
        behind = entries_of_goods(session, [code], max(told))
        earlier = entries_of_goods(session, [code], min(told) - 1)
        none = entries_of_goods(session, ["P26-0001"], max(told))

    assert [entry for entry in told if entry in behind] == [
        entry for entry in told if (entry == min(told)) is (code == HALF)
    ]
    assert behind - told.keys() == earlier and none == set()


def test_wood_rests_on_who_named_where_it_grew(certified: Loft) -> None:
    """Of one country or of several that it may be."""
    lot = certified.receive(harvested_in=None)
    half, _ = certified.number(lot)
    event = LotHarvestNamed(lot=str(lot), countries=("AT", "IT"))
    named = certified.say(event).index
    with certified.shop.store.reading() as session:
        behind = entries_of_goods(session, [half], named)

    assert named in behind


def kind_of(loft: Loft, entry: int) -> str:
    """Return of which kind an entry is."""
    return parse_record(loft.shop.store.record(entry)).entry.kind
