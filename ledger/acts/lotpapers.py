"""Papers that come after the wood: joined to the lot or the batch they are of."""

from sqlmodel import Session

from ledger.acts.lots import find_lot
from ledger.acts.materials import find_batch
from ledger.acts.names import harvest_country
from ledger.acts.paperchecks import require_current_paper, require_own_wood
from ledger.acts.shop import Hands, Shop
from ledger.errors import RefusedError
from ledger.events import LotPaperAdded, MaterialPaperAdded
from ledger.log.entry import Entry
from ledger.trade.movement import one_of_places, place_words
from ledger.views.harvests import naming_of
from ledger.views.materials import batch_joins
from ledger.views.wood import Lot, joins_of


def add_paper(
    shop: Shop, lot: str, document: str, harvested_in: str | None, hands: Hands
) -> Entry:
    """Join a paper on file to a lot that came in before; return the entry.

    harvested_in  the country of harvest that the paper gives, by code or by name

    Raises NotFoundError where the lot or the paper is not there, RefusedError where the
    paper cannot be one of this lot, or gives another country than is known.
    """
    harvested_in = harvest_country(harvested_in)
    with shop.turn() as turn:
        found = find_lot(turn.session, lot)
        _require_fit(shop, turn.session, document, lot, found.received_on)
        before = joins_of(turn.session, lot).get(document)
        require_own_wood(turn.session, document, lot, found.species)
        _require_new(lot, document, before.idx if before else None, found.idx)
        _require_country(turn.session, found, document, harvested_in)
        said = LotPaperAdded(lot=lot, document=document, harvested_in=harvested_in)
        return turn.say(said, hands)


def add_batch_paper(shop: Shop, batch: str, document: str, hands: Hands) -> Entry:
    """Join a paper on file to a batch that came in before; return the entry.

    Raises as `add_paper` does.
    """
    with shop.turn() as turn:
        found = find_batch(turn.session, batch)
        _require_fit(shop, turn.session, document, batch, found.received_on)
        if found.species is not None:
            require_own_wood(turn.session, document, batch, found.species)
        before = batch_joins(turn.session, batch).get(document)
        _require_new(batch, document, before.idx if before else None, found.idx)
        return turn.say(MaterialPaperAdded(batch=batch, document=document), hands)


def _require_fit(
    shop: Shop, session: Session, document: str, code: str, received_on: str
) -> None:
    """See that a paper is on file, not erased, and in force when its wood came in."""
    filed = require_current_paper(shop, session, document)
    if filed.is_salted and shop.vault.get_salt(filed.digest) is None:
        raise RefusedError(
            f"document {document} ({filed.paper}) went with somebody's particulars, "
            f"and nobody can read it any more: ask for the paper again, and file that"
        )
    if filed.expires_on and filed.expires_on < received_on:
        raise RefusedError(
            f"document {document} ({filed.paper}) ended on {filed.expires_on}, before "
            f"{received_on}, when {code} came in: ask for one that was in force"
        )


def _require_new(code: str, document: str, before: int | None, came_in: int) -> None:
    """Refuse a paper that is one of this lot or batch already."""
    if before is None:
        return
    said = f"{document} is a paper of {code} already, since entry {before}"
    if before == came_in:
        raise RefusedError(f"{said}, when it came in: give another paper")
    raise RefusedError(
        f"{said}: to join it otherwise, strike that first with flitchbook record "
        f"correct {before}"
    )


def _require_country(
    session: Session, lot: Lot, document: str, said: str | None
) -> None:
    """Refuse a country other than the one that is known, or those that were named."""
    known = lot.harvested_in
    if said is None or said == known:
        return
    if known is None:
        _require_among(session, lot, document, said)
        return
    raise RefusedError(
        f"{lot.code} was harvested in {_named(known)} by entry {lot.harvested_idx}, "
        f"and not in {_named(said)}: see which wood {document} is of, or leave out "
        f"--harvested-in"
    )


def _require_among(session: Session, lot: Lot, document: str, said: str) -> None:
    naming = naming_of(session, lot.code)
    if naming is None or said in naming.countries.split():
        return
    raise RefusedError(
        f"{lot.code} is of {one_of_places(naming.countries.split())} by entry "
        f"{naming.idx}, and not of {_named(said)}: see which wood {document} is of, or "
        f"strike that entry first with flitchbook record correct {naming.idx}"
    )


def _named(country: str) -> str:
    """Return a country by name and code."""
    return f"{place_words(country)} ({country})"
