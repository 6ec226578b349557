"""Boards graded: what a pair of eyes found, what the house's rule makes of it, and why.

The rule only suggests: whoever grades has the word, and the two stand side by side.
The sawyer's grade is another fact and is never converted.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session

from ledger.acts.boards import boards_there, require_whole
from ledger.acts.measuring import density_of, is_worked, species_of
from ledger.acts.names import checked_words, kept_reason
from ledger.acts.policies import grading_rules
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.stiffness import rung
from ledger.craft.grading import Defect, Findings, Graded, grade_of, in_short
from ledger.craft.grading_policy import GradingPolicy
from ledger.craft.rings import MOST_PLACES, RingCount
from ledger.errors import RefusedError
from ledger.events import BoardGraded
from ledger.events.grading import CountedRings, SeenDefect
from ledger.ids import BoardId
from ledger.log.entry import Entry
from ledger.views.boards import Board

RADIATION_RATIO = "radiation_ratio_m4_kg_s"
STEEPEST = 90_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What somebody looked at on a board; what nobody looked at is absent.

    Angles are of the rings from quarter at each place, of runout out of the face and of
    skew within it. Defects that are empty were looked for and not found.
    """

    rings: tuple[RingCount, ...] = ()
    angles_millidegree: tuple[int, ...] = ()
    runout_millidegree: int | None = None
    skew_millidegree: int | None = None
    figure: str | None = None
    figure_as_seen: str | None = None
    silk: str | None = None
    colour: str | None = None
    lab_milli: tuple[int, int, int] | None = None
    defects: tuple[Defect, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One board that was graded: its entry, its grade, and what the rule came to."""

    entry: Entry
    board: str
    grade: str
    graded: Graded


def grade(
    shop: Shop,
    code: str,
    seen: Seen,
    *,
    part: str | None = None,
    word: str | None = None,
    reason: str | None = None,
    hands: Hands,
) -> list[Judged]:
    """Grade a board, or both halves of a set that were looked at as one.

    part  what it is graded for; else what it is meant for
    word  the grader's own grade, one of the house's words; else the rule's

    Raises RefusedError where the rule comes to no grade and nobody says one, and for a
    word that is none of the house's.
    """
    _require_likely(seen)
    checked_words("figure as seen", seen.figure_as_seen)
    checked_words("part", part)
    with shop.turn() as turn:
        policy = grading_rules(turn.session)
        if word is not None and word not in policy.order:
            raise RefusedError(
                f"{word!r} is none of the house's grades {', '.join(policy.order)}: "
                f"choose one"
            )
        boards = boards_there(turn.session, str(BoardId.parse(code)))
        for board in boards:
            require_whole(board)
        drafts = [
            _event(turn.session, board, seen, part or board.meant_for, policy, word)
            for board in boards
        ]
        return [_said(turn, event, graded, hands, reason) for event, graded in drafts]


def findings_of(event: BoardGraded) -> Findings:
    """Return what an entry found, as the rule looks at it."""
    return Findings(
        part=event.part,
        species=event.species,
        rings=tuple(
            RingCount(rings=each.number, span_um=each.span_um)
            for each in event.rings or ()
        ),
        ring_angles_millidegree=event.angles_millidegree or (),
        runout_millidegree=event.runout_millidegree,
        skew_millidegree=event.skew_millidegree,
        figure=event.figure,
        silk=event.silk,
        colour=event.colour,
        defects=None
        if event.defects is None
        else tuple(
            Defect(kind=each.defect, is_outside=bool(each.outside))
            for each in event.defects
        ),
        density_gram_per_m3=event.density_gram_per_m3,
        radiation_ratio_milli=event.radiation_ratio_milli,
        q_milli=event.q_milli,
    )


def _event(
    session: Session,
    board: Board,
    seen: Seen,
    part: str,
    policy: GradingPolicy,
    word: str | None,
) -> tuple[BoardGraded, Graded]:
    """Return what is said of one board, and what the rule comes to."""
    radiation, q = _rung(session, board.code)
    # A mass from before the plane is none of today, and makes no density.
    density = None if is_worked(session, board, {}) else density_of(board)
    said: dict[str, Any] = {
        "board": board.code,
        "part": part,
        "species": species_of(session, board.code),
        "policy": policy.id,
        "version": policy.version,
        "rings": _rings(seen.rings),
        "angles_millidegree": seen.angles_millidegree or None,
        "runout_millidegree": seen.runout_millidegree,
        "skew_millidegree": seen.skew_millidegree,
        "figure": seen.figure,
        "figure_as_seen": seen.figure_as_seen,
        "silk": seen.silk,
        "colour": seen.colour,
        "lab_milli": seen.lab_milli,
        "defects": _defects(seen.defects),
        "density_gram_per_m3": density,
        "radiation_ratio_milli": radiation,
        "q_milli": q,
    }
    unjudged = BoardGraded(grade=policy.otherwise, why=(), **said)
    graded = grade_of(findings_of(unjudged), policy)
    chosen = word or graded.grade
    if chosen is None:
        raise RefusedError(
            f"board {board.code} has no grade by {policy.name}: "
            f"{'; '.join(in_short(graded.reasons))}; look at that too, or say a grade "
            f"of your own"
        )
    event = BoardGraded(
        grade=chosen, suggested=graded.grade, why=graded.reasons, **said
    )
    return event, graded


def _said(
    turn: Turn,
    event: BoardGraded,
    graded: Graded,
    hands: Hands,
    reason: str | None,
) -> Judged:
    if reason is None:
        entry = turn.say(event, hands)
    else:
        with kept_reason(turn, hands.by.id, reason) as commitment:
            entry = turn.say(event, hands, reason=commitment)
    return Judged(entry=entry, board=event.board, grade=event.grade, graded=graded)


def _rung(session: Session, code: str) -> tuple[int | None, int | None]:
    """Return radiation ratio and apparent Q along, by 1000, of a board's newest tap."""
    for tap in rung(session, code):
        figure = tap.stiffness.figures.get(RADIATION_RATIO)
        along = [r.q_milli for r in tap.readings if r.mode in ("along", "bar")]
        if figure is not None:
            return round(figure.value * 1000), along[0] if along else None
    return None, None


def _rings(rings: Sequence[RingCount]) -> tuple[CountedRings, ...] | None:
    counted = (CountedRings(number=r.rings, span_um=r.span_um) for r in rings)
    return tuple(counted) or None


def _defects(defects: Sequence[Defect] | None) -> tuple[SeenDefect, ...] | None:
    if defects is None:
        return None
    # The rule's kinds are the entry's; a test holds them to be the same.
    kinds: list[tuple[Any, bool]] = [(each.kind, each.is_outside) for each in defects]
    return tuple(
        SeenDefect(defect=kind, outside=True if is_outside else None)
        for kind, is_outside in kinds
    )


def _require_likely(seen: Seen) -> None:
    """Refuse angles that no board has, and more places than one has."""
    angles = [*seen.angles_millidegree]
    angles += [a for a in (seen.runout_millidegree, seen.skew_millidegree) if a]
    wrong = next((angle for angle in angles if not 0 <= angle <= STEEPEST), None)
    if wrong is not None:
        raise RefusedError(
            f"an angle of {wrong / 1000:g}° is none: give 0 to {STEEPEST // 1000}°, "
            f"from quarter, out of the face, or within it"
        )
    if max(len(seen.rings), len(seen.angles_millidegree)) > MOST_PLACES:
        raise RefusedError(
            f"a board is looked at in at most {MOST_PLACES} places: give fewer"
        )
