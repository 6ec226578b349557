"""Lots: received from a sawyer, or entered as old stock."""

import re
from dataclasses import dataclass, replace

from sqlmodel import Session

from ledger.acts.names import (
    checked_arrival,
    checked_past_day,
    checked_words,
    harvest_country,
)
from ledger.acts.numbers import next_lot
from ledger.acts.paperchecks import require_current_paper, require_own_wood
from ledger.acts.shop import Hands, Shop, Turn
from ledger.codes import shown
from ledger.errors import NotFoundError, RefusedError
from ledger.events import LotReceived
from ledger.events.wood import Evidence
from ledger.ids import BoardId, LotId
from ledger.scales import some_of
from ledger.trade.names import read_genus, trade_meanings
from ledger.views.wood import UNKNOWN, Lot, Supplier, lots_with

# Genus and species, and who named it; x or × where it is a hybrid.
BINOMIAL = re.compile(r"[A-Za-z][A-Za-z-]+ [A-Za-z×][A-Za-z.-]*( |$)")


@dataclass(frozen=True, slots=True, kw_only=True)
class LotDraft:
    """What is known of a lot when it comes in."""

    species: str
    form: str
    boards: int
    received_on: str
    supplier: Supplier | None = None
    documents: tuple[str, ...] = ()
    trade_name: str | None = None
    harvested_in: str | None = None
    evidence: Evidence | None = None
    is_opening: bool = False
    code: LotId | None = None


class DuplicateLotError(RefusedError):
    """The same delivery cannot come in twice."""

    def __init__(self, lot: str, document: str) -> None:
        super().__init__(
            f"lot {lot} of the same species came in on document {document} already; "
            f"if this is another delivery, file its own paper and name that"
        )


def find_lot(session: Session, code: str) -> Lot:
    """Return a lot, or say that it never came in."""
    found = session.get(Lot, code)
    if found is None:
        raise NotFoundError(
            f"there is no lot {code}: look at its label again, or receive it with "
            f"flitchbook lot receive"
        )
    return found


def receive_lot(shop: Shop, draft: LotDraft, hands: Hands) -> str:
    """Receive a lot, or enter old stock; return its code.

    Raises DuplicateLotError where the delivery came in before, NotFoundError for a
    document that is not on file.
    """
    with shop.turn() as turn:
        return receive_in(turn, draft, hands)


def receive_in(turn: Turn, draft: LotDraft, hands: Hands) -> str:
    """Receive a lot within a turn that says more than that; return its code."""
    draft = _sound(draft)
    for document in draft.documents:
        _require_in_date(turn, draft, document)
        require_own_wood(turn.session, document, "the lot", draft.species)
        _require_new_delivery(turn, draft, document)
    code = str(draft.code) if draft.code else next_lot(turn)
    if turn.session.get(Lot, code) is not None:
        raise RefusedError(f"lot {code} is there already: leave the code out")
    event = LotReceived(
        lot=code,
        species=draft.species,
        form=draft.form,
        boards=draft.boards,
        received_on=draft.received_on,
        documents=draft.documents,
        supplier=draft.supplier.subject if draft.supplier else None,
        trade_name=draft.trade_name,
        harvested_in=draft.harvested_in,
        opening=True if draft.is_opening else None,
        evidence=draft.evidence,
    )
    today = turn.say(event, hands).at[:10]
    checked_past_day(draft.received_on, today)
    return code


def checked_species(text: str) -> str:
    """Return the scientific name of wood, or unknown, as it was written.

    Raises RefusedError for a name of the trade, which hides several species, and for a
    genus that does not say that nobody knows more.
    """
    name = str(checked_words("species", text)).strip()
    if name.casefold() == UNKNOWN:
        return UNKNOWN
    require_no_trade_name(name)
    if BINOMIAL.match(name):
        return name
    genus = read_genus(name)
    if genus is not None:
        raise RefusedError(
            f"{shown(name)} is a genus: write the species too, or '{genus.name}' where "
            f"nobody knows which it is; papers will ask for it"
        )
    raise RefusedError(
        f"{shown(name)} is no scientific name of genus and species: write such as "
        f"'Picea abies', or '{UNKNOWN}'"
    )


def require_no_trade_name(name: str) -> None:
    """Refuse a name of the trade where a scientific one is asked for."""
    if may_mean := trade_meanings(name):
        raise RefusedError(
            f"{shown(name)} is a name of the trade that may mean {some_of(may_mean)}: "
            f"write the scientific name, or '{UNKNOWN}'"
        )


def _sound(draft: LotDraft) -> LotDraft:
    """Return a draft whose words, day and count can be entered as they are."""
    checked_arrival(draft.received_on)
    if draft.boards < 1:
        raise RefusedError(f"a lot has at least one board, not {draft.boards}")
    if draft.boards > BoardId.form.last_number:
        raise RefusedError(
            f"{draft.boards} boards are more than the {BoardId.form.last_number} that "
            f"a lot can number: receive them as several lots"
        )
    if draft.is_opening and draft.evidence is None:
        raise RefusedError(
            "old stock needs to say how its origin is known: give --evidence invoice, "
            "diary, witness or none"
        )
    if not draft.is_opening and draft.supplier is None:
        raise RefusedError("a lot comes from somebody: give --supplier, or --opening")
    return replace(
        draft,
        species=checked_species(draft.species),
        form=str(checked_words("form", draft.form)),
        trade_name=checked_words("trade name", draft.trade_name),
        harvested_in=harvest_country(draft.harvested_in),
    )


def _require_in_date(turn: Turn, draft: LotDraft, document: str) -> None:
    filed = require_current_paper(turn.shop, turn.session, document)
    if filed.expires_on and filed.expires_on < draft.received_on:
        raise RefusedError(
            f"document {document} ({filed.paper}) ended on {filed.expires_on}, before "
            f"{draft.received_on}, when the lot came in: ask the sawyer for one that "
            f"was in force, or receive the lot without it"
        )


def _require_new_delivery(turn: Turn, draft: LotDraft, document: str) -> None:
    for lot in lots_with(turn.session, document):
        if lot.species == draft.species:
            raise DuplicateLotError(lot.code, document)
