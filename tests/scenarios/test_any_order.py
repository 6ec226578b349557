"""Whatever people do in whatever order, wood stays where it is and grows no heavier.

Each run is a row of acts drawn by chance: boards kept, allotted, released, swapped and
sawn, steps signed by anybody, parts scrapped, builds void. Most of them are refused.
"""

import random
from collections.abc import Callable, Sequence
from typing import Any

import pytest
from sqlmodel import Session, col, select

from ledger.acts import (
    allotting,
    models,
    reserving,
    rework,
    sawing,
    signoffs,
    swapping,
    voiding,
)
from ledger.acts.asked import MEANINGS, SignOff
from ledger.acts.balances import balance_of
from ledger.acts.copies import rebuild
from ledger.acts.hands import uncovered
from ledger.audit import audit
from ledger.errors import LedgerError
from ledger.events.route import PlannedPart, PlannedStep
from ledger.views import fold
from ledger.views.allotting import Stay
from ledger.views.boards import Board, BoardParent
from ledger.views.builds import Build
from tests.skerrymoor import NECK, Loft

ACTS = 45
BADGES = ("01", "02", "03", "10")
PARTS = ("top", "neck")
ROAD = (
    PlannedStep(step="join the top", qualification="plates", uses_up=("top",)),
    PlannedStep(
        step="brace", qualification="brace", after=("join the top",), uses_up=("neck",)
    ),
)
STEPS = tuple(step.step for step in ROAD)
Act = Callable[[Loft, random.Random], object]


def codes(loft: Loft, view: Any) -> list[str]:
    """Return every code of boards, or every serial."""
    with loft.shop.store.reading() as session:
        return sorted(session.exec(select(view)).all())


def board(loft: Loft, dice: random.Random) -> str:
    """Return the code of any board."""
    return dice.choice(codes(loft, Board.code))


def serial(loft: Loft, dice: random.Random) -> str:
    """Return any instrument."""
    return dice.choice(codes(loft, Build.serial))


def hands(loft: Loft, dice: random.Random) -> Any:
    """Return anybody's hands, a lead's a little more often."""
    return loft.hands(dice.choice(("01", *BADGES)))


def allot(loft: Loft, dice: random.Random) -> None:
    """Allot any board to any part."""
    allotting.allot(
        loft.shop,
        serial=serial(loft, dice),
        part=dice.choice(PARTS),
        code=board(loft, dice),
        hands=hands(loft, dice),
    )


def reserve(loft: Loft, dice: random.Random) -> None:
    """Keep any board for any instrument."""
    reserving.reserve(
        loft.shop,
        code=board(loft, dice),
        wanted=serial(loft, dice),
        part=dice.choice(PARTS),
        hands=hands(loft, dice),
    )


def release(loft: Loft, dice: random.Random) -> None:
    """Let any board go."""
    reserving.release(
        loft.shop, code=board(loft, dice), reason="it is", hands=hands(loft, dice)
    )


def swap(loft: Loft, dice: random.Random) -> None:
    """Swap any two boards."""
    swapping.swap(
        loft.shop,
        serial=serial(loft, dice),
        out=board(loft, dice),
        into=board(loft, dice),
        reason="it is better",
        hands=hands(loft, dice),
    )


def split(loft: Loft, dice: random.Random) -> None:
    """Saw any board into two, now and then into more than it was."""
    code = board(loft, dice)
    with loft.shop.store.reading() as session:
        mass = session.get_one(Board, code).mass_mg or 1000
    pieces = [
        sawing.PieceDraft(meant_for=part, mass_mg=mass * dice.choice((4, 5, 7)) // 10)
        for part in PARTS
    ]
    sawing.split(
        loft.shop,
        codes=[code],
        pieces=pieces,
        reason=dice.choice((None, "knots")),
        as_read=True,
        hands=hands(loft, dice),
    )


def sign(loft: Loft, dice: random.Random) -> None:
    """Let anybody say anything of any step."""
    said = SignOff(
        serial=serial(loft, dice),
        step=dice.choice(STEPS),
        meaning=dice.choice(("did", *MEANINGS)),
    )
    signoffs.sign(loft.shop, said, hands(loft, dice))


def scrap(loft: Loft, dice: random.Random) -> None:
    """Spoil a part."""
    rework.scrap(
        loft.shop,
        serial=serial(loft, dice),
        part=dice.choice(PARTS),
        reason="sawn too short",
        hands=hands(loft, dice),
    )


def redo(loft: Loft, dice: random.Random) -> None:
    """Let a step be done again."""
    rework.order(
        loft.shop,
        serial=serial(loft, dice),
        step=dice.choice(STEPS),
        reason="it came loose",
        hands=hands(loft, dice),
    )


def void(loft: Loft, dice: random.Random) -> None:
    """Give an instrument up, seldom."""
    if dice.random() < 0.2:
        voiding.void(
            loft.shop,
            serial=serial(loft, dice),
            reason="nobody wants it",
            hands=hands(loft, dice),
        )


DEEDS: Sequence[Act] = (
    *(allot, allot, allot, sign, sign, sign, release, swap, split),
    *(reserve, scrap, redo, void),
)


def require_sound(session: Session) -> None:
    """See that no board is in two instruments, and that no mass has grown."""
    open_stays: dict[str, str] = {}
    for stay in session.exec(select(Stay).where(col(Stay.ended_idx).is_(None))).all():
        assert stay.board not in open_stays, f"{stay.board} is in two instruments"
        open_stays[stay.board] = stay.serial
    boards = {row.code: row for row in session.exec(select(Board)).all()}
    held = {code: row.serial for code, row in boards.items() if row.serial is not None}
    pieces: dict[str, int] = {}
    for came in session.exec(select(BoardParent)).all():
        pieces[came.parent] = pieces.get(came.parent, 0)
        pieces[came.parent] += boards[came.piece].mass_mg or 0

    assert held == open_stays
    for code, mass in pieces.items():
        assert mass <= (boards[code].mass_mg or 0)
        assert boards[code].serial is None
    for row in boards.values():
        assert row.consumed_idx is None or row.serial or row.off_idx is not None


def rows(loft: Loft) -> list[tuple[str, tuple[object, ...]]]:
    """Return every row of every view."""
    with loft.shop.store.reading() as session:
        return list(fold.rows(session))


@pytest.mark.parametrize("seed", range(8))
def test_wood_stays_where_it_is_whatever_people_do(loft: Loft, seed: int) -> None:
    """Every refusal is a sentence, the views are their replay, and all is whole."""
    dice, refused, done = random.Random(seed), 0, 0  # noqa: S311 - a row of acts
    loft.supplier()
    models.define_model(
        loft.shop,
        name="Tidewarden",
        instrument="flat-top guitar",
        parts=[PlannedPart(part=part) for part in PARTS],
        steps=ROAD,
        hands=loft.hands(),
    )
    loft.number(loft.receive(), *[NECK] * 5)
    for _ in range(3):
        loft.begin()
    for _ in range(ACTS):
        try:
            dice.choice(DEEDS)(loft, dice)
            done += 1
        except LedgerError as refusal:
            refused += 1
            assert str(refusal)
        with loft.shop.store.reading() as session:
            require_sound(session)
    (sheet,) = balance_of(loft.shop, 2026).sheets
    with loft.shop.store.reading() as session:
        rack = session.exec(select(Board)).all()
        left_mg = sum(b.mass_mg or 0 for b in rack if b.gone_idx is None)
    before = rows(loft)
    rebuild(loft.shop)

    assert rows(loft) == before
    assert audit(loft.shop).findings == ()
    assert uncovered(loft.shop) == []
    assert (sheet.off_mg, sheet.closing.mass_mg) == (0, left_mg)
    assert done > 3
    assert refused > 3
