"""Mistakes struck by a new entry, with a reason.

Nothing is changed or taken away: the struck entry stays, legible, beside the one that
struck it.
"""

from collections.abc import Collection

from sqlmodel import Session, col, select

from ledger.acts.holds import HeldError, doubted_words, require_no_hold
from ledger.acts.names import kept_reason
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.whose import leads
from ledger.errors import NotFoundError, RefusedError
from ledger.events import CorrectionMade
from ledger.log.entry import Entry, parse_record
from ledger.log.merkle import leaf_hash
from ledger.views.allotting import steps_that_took
from ledger.views.boards import Board
from ledger.views.builds import SignedStep, looked_at
from ledger.views.certificates import certificates_after
from ledger.views.corrections import GivenReason, correction_of
from ledger.views.harvests import HarvestNaming
from ledger.views.holds import open_holds
from ledger.views.materials import MaterialDocument
from ledger.views.people import subject_of_key
from ledger.views.relying import relies_on
from ledger.views.service import trips_of
from ledger.views.shipments import shipments_of
from ledger.views.wood import LotDocument

# What can be struck, without its version; the rest has made others rely on it.
STRIKABLE = (
    "board.numbered",
    "board.measured",
    "board.weighed",
    "board.moved",
    "board.metered",
    "board.flexed",
    "board.photographed",
    "board.tapped",
    "board.graded",
    "board.rejected",
    "board.matched",
    "board.plate-graduated",
    "board.allotted",
    "board.consumed",
    "build.step-signed",
    "build.tapped",
    "build.concession-given",
    "document.permit-read",
    "gauge.calibrated",
    "instrument.serviced",
    "instrument.sent",
    "lot.harvest-named",
    "lot.paper-added",
    "lot.plots-filed",
    "material.harvest-named",
    "material.paper-added",
    "room.measured",
    "room.logged",
)
ERASED = "a reason that was erased"


def correct(shop: Shop, index: int, *, reason: str, hands: Hands) -> Entry:
    """Strike an entry: it stays, and counts for nothing any more; return the new one.

    Whoever said it may strike it, and a lead. Raises RefusedError where others already
    rely on it.
    """
    with shop.turn() as turn:
        record = _record(turn, index)
        struck = parse_record(record).entry
        _require_strikable(turn, struck)
        _require_own(turn, struck, hands)
        _require_undoubted(turn, struck, hands)
        event = CorrectionMade(index=index, struck=leaf_hash(record).hex())
        with kept_reason(turn, hands.by.id, reason) as commitment:
            return turn.say(event, hands, reason=commitment)


def reasons_of(
    shop: Shop, session: Session, indexes: Collection[int]
) -> dict[int, str | None]:
    """Return the reasons of those entries that had one; None where it is erased."""
    if not indexes:
        return {}
    near = col(GivenReason.idx).between(min(indexes), max(indexes))
    return {
        given.idx: _kept_of(shop, given.commitment)
        for given in session.exec(select(GivenReason).where(near))
        if given.idx in indexes
    }


def reason_words(reason: str | None) -> str:
    """Quote a reason as it was given, or say that it is erased."""
    return ERASED if reason is None else f'"{reason}"'


def _kept_of(shop: Shop, commitment: str) -> str | None:
    opening = shop.vault.opening_of(commitment)
    return opening.value if opening else None


def _record(turn: Turn, index: int) -> bytes:
    if not 0 <= index < turn.size:
        raise NotFoundError(
            f"there is no entry {index}: the newest one is {turn.size - 1}"
        )
    struck = correction_of(turn.session, index)
    if struck is not None:
        raise RefusedError(f"entry {index} was struck by entry {struck.idx} already")
    return turn.shop.store.record(index)


def _require_strikable(turn: Turn, struck: Entry) -> None:
    name = struck.kind.partition("/")[0]
    if name not in STRIKABLE:
        raise RefusedError(
            f"entry {struck.index} ({name}) is not struck: what was built on it would "
            f"hang in the air; say what is right in an entry of its own"
        )
    serial = struck.event.get("serial")
    issued = certificates_after(turn.session, serial, struck.index) if serial else []
    if issued:
        raise RefusedError(
            f"{serial} has its certificate {issued[-1].number}, which rests on entry "
            f"{struck.index}: nothing was changed"
        )
    see_to = {
        "board.numbered": _require_unused,
        "board.weighed": _require_unsawn,
        "build.step-signed": _require_uninspected,
        "board.consumed": _require_step_gone,
        "board.allotted": _require_still_allotted,
        "instrument.sent": _require_still_out,
        "lot.harvest-named": _require_country_unused,
        "material.harvest-named": _require_country_unused,
        "lot.paper-added": _require_nothing_relies,
        "material.paper-added": _require_nothing_relies,
    }.get(name)
    if see_to is not None:
        see_to(turn, struck)


def _require_still_allotted(turn: Turn, struck: Entry) -> None:
    board = turn.session.get_one(Board, struck.event["board"])
    if board.consumed_idx is not None:
        raise RefusedError(
            f"board {board.code} went in for good by entry {board.consumed_idx}: its "
            f"allotment stays as it is"
        )
    if board.allotted_idx != struck.index:
        raise RefusedError(
            f"board {board.code} was let go since entry {struck.index}: there is "
            f"nothing to strike"
        )


def _require_still_out(turn: Turn, struck: Entry) -> None:
    trips = trips_of(turn.session, struck.event["serial"])
    home = next((t.returned_idx for t in trips if t.idx == struck.index), None)
    if home is not None:
        raise RefusedError(
            f"{struck.event['serial']} came home by entry {home}: that it left stays "
            f"as it is"
        )


def _require_step_gone(turn: Turn, struck: Entry) -> None:
    """Keep wood in its instrument for as long as the step counts that took it."""
    board = turn.session.get_one(Board, struck.event["board"])
    for signed in steps_that_took(turn.session, board):
        raise RefusedError(
            f"board {board.code} went into {board.serial} with {signed.step}, entry "
            f"{signed.idx}: strike that first, or have it done again with flitchbook "
            f"build rework"
        )


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


def _require_unsawn(turn: Turn, struck: Entry) -> None:
    """Keep the mass of a board that is pieces by now: their balance rests on it."""
    board = turn.session.get_one(Board, struck.event["board"])
    if board.became_idx is not None:
        raise RefusedError(
            f"board {board.code} was made into pieces by entry {board.became_idx}, "
            f"which rests on what it weighed: weigh the pieces again"
        )


def _require_uninspected(turn: Turn, struck: Entry) -> None:
    """Keep the work that somebody looked at: who inspects it may not do it again."""
    if struck.event["meaning"] != "did":
        return
    done = turn.session.get_one(SignedStep, struck.index)
    for signed in looked_at(turn.session, done):
        raise RefusedError(
            f"step {signed.step} of {signed.serial} was {signed.meaning} in entry "
            f"{signed.idx}, which rests on entry {struck.index}: strike that first"
        )


def _require_nothing_relies(turn: Turn, struck: Entry) -> None:
    """Keep a paper that was joined to wood for as long as others speak of it."""
    join = _join(turn, struck)
    on = relies_on(turn.session, join)
    if on is not None:
        raise RefusedError(
            f"{on} came after entry {struck.index} and rests on {join.document}: "
            f"nothing was changed"
        )


def _require_country_unused(turn: Turn, struck: Entry) -> None:
    """Keep the countries of a harvest for as long as others speak of them."""
    naming = turn.session.get_one(HarvestNaming, struck.index)
    on = relies_on(turn.session, naming)
    if on is not None:
        raise RefusedError(
            f"{on} came after entry {struck.index} and rests on the countries that it "
            f"names: nothing was changed"
        )


def _join(turn: Turn, struck: Entry) -> LotDocument | MaterialDocument:
    said = struck.event
    if "lot" in said:
        key = (struck.index, said["lot"], said["document"])
        return turn.session.get_one(LotDocument, key)
    key = (struck.index, said["batch"], said["document"])
    return turn.session.get_one(MaterialDocument, key)


def _require_undoubted(turn: Turn, struck: Entry, hands: Hands) -> None:
    """Leave it to a lead to strike what is in doubt: nothing else lifts a hold."""
    if leads(turn.session, turn.standing, hands.by.id):
        return
    said = struck.event
    require_no_hold(
        turn.session,
        serial=said.get("serial"),
        boards=[said["board"]] if "board" in said else [],
        materials=said.get("materials", ()),
        gauges=[*said.get("gauges", ()), *filter(None, [said.get("gauge")])],
    )
    if struck.kind.partition("/")[0].endswith(".paper-added"):
        _require_paper_undoubted(turn, said["document"])


def _require_paper_undoubted(turn: Turn, document: str) -> None:
    """Keep wood on hold: without the paper in doubt it would be on none."""
    for hold in open_holds(turn.session):
        if (hold.on, hold.code) == ("document", document):
            raise HeldError(
                f"document {document}", hold, doubted_words(turn.session, hold)
            )


def _require_own(turn: Turn, struck: Entry, hands: Hands) -> None:
    mine = subject_of_key(turn.session, hands.by.id)
    theirs = subject_of_key(turn.session, struck.key)
    if mine != theirs and not leads(turn.session, turn.standing, hands.by.id):
        raise RefusedError(
            f"entry {struck.index} was said by somebody else: that person strikes it, "
            f"or a lead"
        )
