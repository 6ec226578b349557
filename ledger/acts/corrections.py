"""Mistakes struck by a new entry, with a reason.

Nothing is changed or taken away: the struck entry stays, legible, beside the one that
struck it.
"""

from ledger.acts.names import kept_reason
from ledger.acts.overrides import override as override  # said with a reason too
from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import NotFoundError, RefusedError
from ledger.events import CorrectionMade
from ledger.log.entry import Entry, parse_record
from ledger.views.boards import Board
from ledger.views.builds import signed_steps
from ledger.views.certificates import certificates_of
from ledger.views.corrections import correction_of
from ledger.views.people import subject_of_key
from ledger.views.shipments import shipments_of

# What can be struck, without its version; the rest has made others rely on it.
STRIKABLE = (
    "board.numbered",
    "board.measured",
    "board.weighed",
    "board.moved",
    "board.photographed",
    "board.tapped",
    "board.allotted",
    "build.step-signed",
    "room.measured",
)


def correct(shop: Shop, index: int, *, reason: str, hands: Hands) -> Entry:
    """Strike an entry: it stays, and counts for nothing any more; return the new one.

    Whoever said it may strike it, and a lead. Raises RefusedError where others already
    rely on it.
    """
    with shop.turn() as turn:
        struck = _entry(turn, index)
        _require_strikable(turn, struck)
        _require_own(turn, struck, hands)
        with kept_reason(turn, hands.by.id, reason) as commitment:
            return turn.say(CorrectionMade(index=index), hands, reason=commitment)


def reason_of(shop: Shop, commitment: str | None) -> str:
    """Return the reason behind a commitment, or say that it is erased."""
    opening = shop.vault.opening_of(commitment) if commitment else None
    return opening.value if opening else "a reason that was erased"


def _entry(turn: Turn, index: int) -> Entry:
    if not 0 <= index < turn.size:
        raise NotFoundError(
            f"there is no entry {index}: the newest one is {turn.size - 1}"
        )
    struck = correction_of(turn.session, index)
    if struck is not None:
        raise RefusedError(f"entry {index} was struck by entry {struck.idx} already")
    return parse_record(turn.shop.store.record(index)).entry


def _require_strikable(turn: Turn, struck: Entry) -> None:
    name = struck.kind.partition("/")[0]
    if name not in STRIKABLE:
        raise RefusedError(
            f"entry {struck.index} ({name}) is not struck: what was built on it would "
            f"hang in the air; say what is right in an entry of its own"
        )
    serial = struck.event.get("serial")
    issued = certificates_of(turn.session, serial) if serial else []
    if issued:
        raise RefusedError(
            f"{serial} has its certificate {issued[-1].number}, which rests on entry "
            f"{struck.index}: nothing was changed"
        )
    if name == "board.numbered":
        _require_unused(turn, struck)
    if name == "build.step-signed":
        _require_uninspected(turn, struck)


def _require_unused(turn: Turn, struck: Entry) -> None:
    board = turn.session.get_one(Board, struck.event["board"])
    if board.serial or board.became_idx is not None:
        raise RefusedError(
            f"board {board.code} is used already: its number stays as it is"
        )
    shipped = shipments_of(turn.session, board.code)
    if shipped:
        raise RefusedError(
            f"board {board.code} is in shipment {shipped[-1].number}: its number stays "
            f"as it is"
        )


def _require_uninspected(turn: Turn, struck: Entry) -> None:
    """Keep the work that somebody looked at: who inspects it may not do it again."""
    said = struck.event
    if said["meaning"] != "did":
        return
    for signed in signed_steps(turn.session, said["serial"]):
        if signed.step == said["step"] and signed.meaning != "did":
            raise RefusedError(
                f"step {signed.step} of {signed.serial} was {signed.meaning} in entry "
                f"{signed.idx}, which rests on entry {struck.index}: strike that first"
            )


def _require_own(turn: Turn, struck: Entry, hands: Hands) -> None:
    mine = subject_of_key(turn.session, hands.by.id)
    theirs = subject_of_key(turn.session, struck.key)
    if mine != theirs and "lead" not in turn.standing.roles_of(mine):
        raise RefusedError(
            f"entry {struck.index} was said by somebody else: that person strikes it, "
            f"or a lead"
        )
