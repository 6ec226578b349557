"""Boards, pieces and glued pieces folded into views of their own, without a shop.

    with grown(events) as session:
        trace(session, "L26-001")

Entries are folded as any other is; they are neither signed nor kept, so that a
forest costs milliseconds.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import cache

from hypothesis import strategies as st
from sqlalchemy import Engine, create_engine
from sqlmodel import Session

from ledger.events import (
    BoardJoined,
    BoardNumbered,
    BoardSplit,
    BuildBegun,
    CertificateIssued,
    CorrectionMade,
    Event,
    LotReceived,
    codec,
)
from ledger.events.board import Piece
from ledger.log.entry import Entry
from ledger.views import fold

# What a forest knows of itself: for each piece, what it was sawn from or glued of.
Parents = dict[str, tuple[str, ...]]

# A certificate of the instrument that is begun here.
ISSUED = CertificateIssued(
    number="C-2026-00001",
    serial="26-0001-8",
    model="Tidewarden",
    issued_on="2026-02-01",
    mass_mg=1_986_000,
    makers=(),
    materials=(),
    measures=(),
    photographs=(),
    status_token_sha256="5a" * 32,
    transfer_sha256="5b" * 32,
)


def entry_of(event: Event, index: int) -> Entry:
    """Return the entry that says this, as far as a fold looks at it."""
    return Entry(
        at="2026-01-05T08:00:00Z",
        event=codec.plain(event),
        index=index,
        key="0" * 16,
        origin="ledger-0123456789abcdef",
        previous="0" * 64,
    )


@contextmanager
def grown(events: Iterable[Event]) -> Iterator[Session]:
    """Give views in memory into which these events were folded, and nothing else."""
    with Session(_engine()) as session:
        for index, event in enumerate(events):
            fold.fold(session, entry_of(event, index))
        session.flush()
        session.expunge_all()
        yield session
        session.rollback()


@cache
def _engine() -> Engine:
    """Return views in memory that are empty; to make them costs more than a forest."""
    engine = create_engine("sqlite://")
    fold.make(engine)
    return engine


def lot(number: int, boards: int) -> Iterator[Event]:
    """Yield a lot that came in, and its numbered boards."""
    code = f"L26-{number:03d}"
    yield LotReceived(
        lot=code,
        supplier="5a" * 16,
        species="Picea abies",
        form="sawn",
        boards=boards,
        received_on="2026-01-05",
        documents=(),
    )
    for n in range(1, boards + 1):
        yield BoardNumbered(board=board(number, n), lot=code, meant_for="back")


def begun(serial: str = "26-0001-8") -> BuildBegun:
    """Return the saying that an instrument was begun."""
    return BuildBegun(
        serial=serial,
        model="Tidewarden",
        version=1,
        body=f"B{serial[:7]}",
        neck=f"N{serial[:7]}",
    )


def board(lot_number: int, number: int, child: int = 0) -> str:
    """Return the code of a board, or of a piece under it."""
    return f"L26-{lot_number:03d}-{number:02d}" + (f".C{child}" if child else "")


def sawn(parents: Sequence[str], made: Sequence[str]) -> BoardSplit:
    """Return the saying that these became those, of a gram each."""
    return BoardSplit(
        parents=tuple(parents),
        masses_mg=shares(1000 * len(made), len(parents)),
        made=tuple(Piece(board=code, meant_for="strip", mass_mg=1000) for code in made),
    )


def glued(parents: Sequence[str], made: str) -> BoardJoined:
    """Return the saying that these were glued into that."""
    return BoardJoined(
        parents=tuple(parents),
        masses_mg=(1000,) * len(parents),
        made=Piece(board=made, meant_for="neck", mass_mg=1000),
    )


def shares(mass_mg: int, boards: int) -> tuple[int, ...]:
    """Return what each of several boards weighs, where they weigh so much together."""
    return (mass_mg - boards + 1, *(1,) * (boards - 1))


def strike(index: int) -> CorrectionMade:
    """Return the saying that strikes an entry, whichever it is."""
    return CorrectionMade(index=index, struck="5a" * 32)


@st.composite
def forests(draw: st.DrawFn) -> tuple[list[Event], Parents]:
    """Draw lots, and some boards and pieces of theirs sawn or glued, one after another.

    What is drawn is used up; all that is left may be drawn next, so that families grow
    deep, and meet where something was glued.
    """
    lots, boards = draw(st.integers(1, 3)), draw(st.integers(1, 3))
    events = [event for n in range(1, lots + 1) for event in lot(n, boards)]
    whole = [board(n, m) for n in range(1, lots + 1) for m in range(1, boards + 1)]
    parents: Parents = dict.fromkeys(whole, ())
    for _ in range(draw(st.integers(0, 12))):
        used = draw(
            st.lists(st.sampled_from(whole), min_size=1, max_size=3, unique=True)
        )
        count = draw(st.integers(1, 3))
        stem = used[0].partition(".")[0]
        taken = sum(code.startswith(f"{stem}.") for code in parents)
        made = [f"{stem}.C{taken + n}" for n in range(1, count + 1)]
        is_glued = len(used) > 1 and count == 1
        events.append(glued(used, made[0]) if is_glued else sawn(used, made))
        parents |= dict.fromkeys(made, tuple(used))
        whole = [code for code in whole if code not in used] + made
    return events, parents
