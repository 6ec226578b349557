"""Glue, finish, shell and strings: batches that came in, and where they went."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.benchnumbers import next_batch
from ledger.acts.lots import checked_species
from ledger.acts.names import (
    checked_arrival,
    checked_day,
    checked_past_day,
    checked_words,
)
from ledger.acts.paperchecks import require_current_paper, require_own_wood
from ledger.acts.shop import Hands, Shop, Turn
from ledger.craft.wares import Use as MaterialUse
from ledger.errors import NotFoundError, RefusedError
from ledger.events import (
    MaterialFinished,
    MaterialReceived,
)
from ledger.log.entry import Entry
from ledger.views import usage
from ledger.views.materials import Material
from ledger.views.usage import Use
from ledger.views.wood import Supplier

# What is of an animal or a plant is asked by which name science knows it.
OF_A_SPECIES = ("shell", "bone")


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchDraft:
    """What is known of a batch when it comes in."""

    what: str
    use: MaterialUse
    received_on: str
    supplier: Supplier | None = None
    lot_as_written: str | None = None
    species: str | None = None
    expires_on: str | None = None
    documents: tuple[str, ...] = ()


def receive_batch(shop: Shop, draft: BatchDraft, hands: Hands) -> str:
    """Receive a batch of what is no board; return its code."""
    _require_days(shop, draft)
    species = None if draft.species is None else checked_species(draft.species)
    if draft.use in OF_A_SPECIES and species is None:
        raise RefusedError(
            f"{draft.use} is of an animal: give --species with its scientific name, or "
            f"'unknown', so that flitchbook determine can be asked about it"
        )
    with shop.turn() as turn:
        _require_papers(turn, draft.documents, species)
        event = MaterialReceived(
            batch=next_batch(turn),
            what=str(checked_words("material", draft.what)),
            use=draft.use,
            supplier=draft.supplier.subject if draft.supplier else None,
            lot_as_written=checked_words("lot as written", draft.lot_as_written),
            species=species,
            received_on=draft.received_on,
            expires_on=draft.expires_on,
            documents=tuple(dict.fromkeys(draft.documents)),
        )
        turn.say(event, hands)
    return event.batch


def finish_batch(shop: Shop, batch: str, hands: Hands) -> Entry:
    """Record that nothing is left of a batch."""
    with shop.turn() as turn:
        found = find_batch(turn.session, batch)
        if found.finished_idx is not None:
            raise RefusedError(
                f"batch {batch} was finished by entry {found.finished_idx} already: "
                f"look at the tin again"
            )
        return turn.say(MaterialFinished(batch=batch), hands)


def find_batch(session: Session, batch: str) -> Material:
    """Return a batch, or say that it never came in."""
    found = session.get(Material, batch)
    if found is None:
        raise NotFoundError(
            f"there is no batch {batch}: it was never received with flitchbook "
            f"material receive"
        )
    return found


def uses_of(session: Session, batch: str) -> list[Use]:
    """Return the steps and the service that a batch went into, by entry."""
    find_batch(session, batch)
    return usage.uses_of_batch(session, batch)


def _require_days(shop: Shop, draft: BatchDraft) -> None:
    checked_arrival(draft.received_on)
    checked_day(draft.expires_on)
    checked_past_day(draft.received_on, shop.today())
    if draft.expires_on is not None and draft.expires_on < draft.received_on:
        raise RefusedError(
            f"a batch that came in on {draft.received_on} was past its day "
            f"{draft.expires_on} already: read the tin again, or send it back"
        )


def _require_papers(turn: Turn, documents: Sequence[str], species: str | None) -> None:
    """See that each paper is on file, and that none was issued for other wood."""
    for code in documents:
        require_current_paper(turn.shop, turn.session, code)
        if species is not None:
            require_own_wood(turn.session, code, "the batch", species)
