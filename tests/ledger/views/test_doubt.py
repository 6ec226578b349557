"""A doubt is followed down to all that rests on it, and up from any of it."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlmodel import Session

from ledger.events import (
    BoardAllotted,
    BoardNumbered,
    DocumentFiled,
    Event,
    GaugeCalibrated,
    GaugeListed,
    HoldLifted,
    HoldPlaced,
    LotReceived,
    MaterialReceived,
    StepSigned,
    SupplierRecorded,
)
from ledger.events.hold import On
from ledger.views.doubt import (
    covers,
    doubts_in,
    doubts_of,
    entries_by,
    first_doubts,
    instruments,
    reached,
    source_of,
)
from ledger.views.family import family
from ledger.views.holds import Hold, all_holds
from tests.ledger.views.forests import (
    Parents,
    begun,
    board,
    forests,
    glued,
    grown,
    lot,
    sawn,
)
from tests.sentences_build import GRADUATED

SERIAL, OTHER = "26-0001-8", "26-0002-6"
SAWYER = "5a" * 16


def placed(on: On, code: str, number: int = 1, since: str | None = None) -> HoldPlaced:
    """Return the saying that something is in doubt."""
    return HoldPlaced(hold=f"H26-{number:03d}", on=on, code=code, since=since)


def only(session: Session) -> Hold:
    """Return the one hold there is."""
    (hold,) = all_holds(session)
    return hold


def wood_in_doubt(events: list[Event]) -> set[str]:
    """Return the boards that the one hold of these events reaches."""
    with grown(events) as session:
        return set(reached(session, source_of(session, only(session))))


def plainly(parents: Parents, starts: set[str], cleared: set[str]) -> set[str]:
    """Return what comes of boards and was not cleared, found piece by piece."""
    found = starts - cleared
    # Pieces come after what they came from.
    for piece, of in parents.items():
        if piece not in cleared and found & set(of):
            found.add(piece)
    return found


@settings(max_examples=60)
@given(forest=forests(), data=st.data())
def test_down_and_up_tell_the_same_of_every_board(
    forest: tuple[list[Event], Parents], data: st.DataObject
) -> None:
    """For a hold on any lot or board of any forest, whatever was cleared of it."""
    events, parents = forest
    is_lot = data.draw(st.booleans())
    lots = sorted({code[:7] for code in parents})
    code = data.draw(st.sampled_from(lots if is_lot else list(parents)))
    some = st.sets(st.sampled_from([*lots, *parents]), max_size=3)
    cleared = data.draw(some) - {code}
    firsts = {c for c in parents if not parents[c] and c[:7] == code} - cleared
    starts = firsts if is_lot else {code}
    said = [placed("lot" if is_lot else "board", code)]
    lifted = [HoldLifted(hold="H26-001", code=each) for each in sorted(cleared)]
    with grown([*events, *said, *lifted]) as session:
        source = source_of(session, only(session))
        down = set(reached(session, source))
        kin = family(session, list(parents), "parents")
        up = {each for each in parents if covers(source, kin, each)}

    assert down == up == plainly(parents, starts, cleared)


def trees() -> Iterator[Event]:
    """Yield two lots, three pieces of a board of the first, and one glued with both."""
    yield SupplierRecorded(supplier=SAWYER, name_commitment="5b" * 32, shown="by-name")
    yield from lot(1, 2)
    yield from lot(2, 2)
    yield sawn([board(1, 1)], [board(1, 1, n) for n in (1, 2, 3)])
    yield glued([board(1, 1, 1), board(2, 1)], board(1, 1, 4))


def test_a_cleared_lot_stays_in_doubt_where_it_is_glued_to_another() -> None:
    """What is glued of both lots rests on both, and is cleared with the second."""
    both = placed("supplier", SAWYER)
    one = HoldLifted(hold="H26-001", code="L26-001")
    two = HoldLifted(hold="H26-001", code="L26-002")

    assert wood_in_doubt([*trees(), both, one]) == {
        board(2, 1),
        board(2, 2),
        board(1, 1, 4),
    }
    assert wood_in_doubt([*trees(), both, one, two]) == set()


def test_a_cleared_set_is_cleared_with_both_halves() -> None:
    """Whoever clears L26-001-01 means A and B."""
    first, _, *_ = lot(1, 2)
    halves = [
        BoardNumbered(board=f"L26-001-01.{half}", lot="L26-001", meant_for="top")
        for half in "AB"
    ]
    lifted = HoldLifted(hold="H26-001", code="L26-001-01")

    assert len(wood_in_doubt([first, *halves, placed("board", "L26-001-01")])) == 2
    assert wood_in_doubt([first, *halves, placed("lot", "L26-001"), lifted]) == set()


def test_a_paper_in_doubt_covers_its_lots_batches_and_gauges() -> None:
    """A gauge from the day on which that paper says it was right."""
    paper = DocumentFiled(document="D26-0001", paper="permit", sha256="5a" * 32)
    came = LotReceived(
        lot="L26-001",
        supplier=SAWYER,
        species="Dalbergia latifolia",
        form="sawn",
        boards=2,
        received_on="2026-01-05",
        documents=("D26-0001",),
    )
    shell = MaterialReceived(
        batch="M26-001",
        what="shell",
        use="shell",
        received_on="2026-01-05",
        documents=("D26-0001",),
    )
    gauge = GaugeListed(gauge="G26-001", what="caliper", measures="length")
    right = GaugeCalibrated(
        gauge="G26-001", on="2026-01-02", outcome="good", document="D26-0001"
    )
    events: list[Event] = [
        paper,
        came,
        shell,
        gauge,
        right,
        placed("document", "D26-0001"),
    ]
    with grown(events) as session:
        source = source_of(session, only(session))
        of_both = list(doubts_of(session, batches=("M26-001",), gauges=("G26-001",)))

    assert source.lots == {"L26-001"}
    assert source.batches == {"M26-001"}
    assert source.gauges == {"G26-001": "2026-01-02"}
    assert [code for _, code in of_both] == ["M26-001", "G26-001"]


def wares() -> Iterator[Event]:
    """Yield two batches of shell, and a caliper."""
    for batch in ("M26-001", "M26-002"):
        yield MaterialReceived(
            batch=batch, what="shell", use="shell", received_on="2026-01-05"
        )
    yield GaugeListed(gauge="G26-001", what="caliper", measures="length")


def signed(
    serial: str = SERIAL,
    *,
    materials: tuple[str, ...] = (),
    gauges: tuple[str, ...] = (),
) -> StepSigned:
    """Return the saying that a step was done with batches and gauges."""
    return StepSigned(
        serial=serial, step="brace", meaning="did", materials=materials, gauges=gauges
    )


@pytest.mark.parametrize(
    ("on", "code", "since", "touched"),
    [
        ("batch", "M26-001", None, {SERIAL}),
        ("batch", "M26-002", None, set()),
        ("gauge", "G26-001", None, {OTHER}),
        ("gauge", "G26-001", "2026-01-05T08:00:00Z", {OTHER}),
        ("gauge", "G26-001", "2026-01-06T00:00:00Z", set()),
        ("board", board(1, 1), None, {SERIAL}),
        ("board", board(1, 2), None, set()),
    ],
)
def test_instruments_are_reached_by_wood_batch_and_gauge(
    on: On, code: str, since: str | None, touched: set[str]
) -> None:
    """Downwards and upwards alike; a gauge from the day on which it was in doubt."""
    events: list[Event] = [*wares(), *lot(1, 2), begun(), begun(OTHER)]
    events += [BoardAllotted(board=board(1, 1), serial=SERIAL, part="neck")]
    events += [signed(materials=("M26-001",)), signed(OTHER, gauges=("G26-001",))]
    events += [placed(on, code, since=since)]
    with grown(events) as session:
        source = source_of(session, only(session))
        wood = reached(session, source)
        down = set(instruments(session, source, wood.values()))
        up = {each for s in (SERIAL, OTHER) for _, each in doubts_in(session, serial=s)}
        at_once = set(first_doubts(session, [SERIAL, OTHER]))

    assert down == up == at_once == touched


@pytest.mark.parametrize(
    ("name", "touched"),
    [("G26-001", {SERIAL}), ("caliper", {SERIAL}), ("rule", set())],
)
def test_an_instrument_is_reached_by_the_gauge_of_a_plate(
    name: str, touched: set[str]
) -> None:
    """As by that of a step, until it is cleared."""
    plate = replace(GRADUATED, gauge=name)
    events: list[Event] = [*wares(), begun(), begun(OTHER), plate]
    events += [placed("gauge", "G26-001")]
    for lifted, expected in (([], touched), ([SERIAL], set())):
        more = [HoldLifted(hold="H26-001", code=each) for each in lifted]
        with grown([*events, *more]) as session:
            source = source_of(session, only(session))
            down = set(instruments(session, source, ()))
            some = (SERIAL, OTHER)
            up = {each for s in some for _, each in doubts_in(session, serial=s)}
            at_once = set(first_doubts(session, [SERIAL, OTHER]))

        assert down == up == at_once == expected


def test_a_cleared_instrument_is_not_reached() -> None:
    """Whatever is in it; its boards stay in doubt as boards."""
    events: list[Event] = [*lot(1, 1), begun()]
    events += [BoardAllotted(board=board(1, 1), serial=SERIAL, part="neck")]
    events += [placed("lot", "L26-001"), HoldLifted(hold="H26-001", code=SERIAL)]
    with grown(events) as session:
        source = source_of(session, only(session))
        wood = reached(session, source)

        assert instruments(session, source, wood.values()) == {}
        assert list(doubts_in(session, serial=SERIAL)) == []
        assert first_doubts(session, [SERIAL]) == {}
        (found,) = doubts_in(session, boards=[board(1, 1)])
        assert found[1] == board(1, 1)


def test_of_several_doubts_in_an_instrument_the_first_is_told() -> None:
    """Whichever of its boards it covers, and of another instrument that one's own."""
    events: list[Event] = [*lot(1, 3), begun(), begun(OTHER)]
    for number, serial in ((1, SERIAL), (2, SERIAL), (3, OTHER)):
        piece = board(1, number)
        events.append(BoardAllotted(board=piece, serial=serial, part=f"part {number}"))
    events += [placed("board", board(1, n), number=4 - n) for n in (3, 2, 1)]
    with grown(events) as session:
        found = first_doubts(session, [SERIAL, OTHER])
        apart = {s: next(doubts_in(session, serial=s))[0] for s in (SERIAL, OTHER)}

        assert found == apart
        assert {s: hold.hold for s, hold in found.items()} == {
            SERIAL: "H26-002",
            OTHER: "H26-001",
        }


def test_a_lifted_hold_covers_nothing_and_another_still_does() -> None:
    """Each hold stands for itself."""
    holds = [placed("lot", "L26-001"), placed("board", board(1, 1), number=2)]
    lifted = HoldLifted(hold="H26-001")
    with grown([*lot(1, 2), *holds, lifted]) as session:
        found = list(doubts_in(session, boards=[board(1, 1), board(1, 2)]))
        nobody = source_of(session, all_holds(session)[0], cleared_at={})

        assert [(hold.hold, code) for hold, code in found] == [("H26-002", board(1, 1))]
        assert entries_by(session, nobody) == {}
