"""The country of harvest of a lot or a batch, or all that it may be, named later.

    name_harvest(shop, Named(code="L26-003", countries=("CM", "GA"), why="…"), hands)

Papers that ask for the country then list every one; a single one is the country. Of
several that were named a later entry may name fewer, down to one.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.law import law_in_force
from ledger.acts.lots import find_lot
from ledger.acts.materials import find_batch
from ledger.acts.names import harvest_country, kept_reason
from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import RefusedError
from ledger.events import LotHarvestNamed, MaterialHarvestNamed
from ledger.log.entry import Entry
from ledger.trade.movement import one_of_places
from ledger.trade.origins import odd_origins
from ledger.views.harvests import naming_of
from ledger.views.materials import Material, batch_joins
from ledger.views.wood import Lot, joins_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """What somebody says of a harvest: which wood, which countries, and who knows.

    `countries` are codes or names, as typed. A paper of the wood that names them is
    `document`; without one, `why` says who named them.
    """

    code: str
    countries: Sequence[str]
    document: str | None = None
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Naming:
    """What came of it: the countries by code, the entry, and what is odd of them."""

    countries: tuple[str, ...]
    entry: Entry
    notes: tuple[str, ...]


def name_harvest(shop: Shop, named: Named, hands: Hands) -> Naming:
    """Record in which countries a lot or a batch may have been harvested.

    Raises NotFoundError where it never came in, RefusedError where its country is
    known, or others are named than these, and where nothing says who named them.
    """
    countries = _countries(named.countries)
    with shop.turn() as turn:
        wood = _wood(turn.session, named.code)
        _require_open(turn.session, named.code, wood, countries)
        joins = joins_of if isinstance(wood, Lot) else batch_joins
        _require_known(named, list(joins(turn.session, named.code)))
        said = _sentence(wood, countries, named.document)
        entry = _say(turn, said, named.why, hands)
        odd = odd_origins(str(wood.species), countries, law_in_force(turn.session))
    return Naming(countries=countries, entry=entry, notes=(odd,) if odd else ())


def _sentence(
    wood: Lot | Material, countries: tuple[str, ...], document: str | None
) -> LotHarvestNamed | MaterialHarvestNamed:
    if isinstance(wood, Lot):
        return LotHarvestNamed(lot=wood.code, countries=countries, document=document)
    return MaterialHarvestNamed(
        batch=wood.batch, countries=countries, document=document
    )


def _say(
    turn: Turn, said: LotHarvestNamed | MaterialHarvestNamed, why: str, hands: Hands
) -> Entry:
    if not why:
        return turn.say(said, hands)
    with kept_reason(turn, hands.by.id, why) as commitment:
        return turn.say(said, hands, reason=commitment)


def _countries(typed: Sequence[str]) -> tuple[str, ...]:
    codes = sorted({harvest_country(text) for text in typed})
    if not codes:
        raise RefusedError("name the country, or each that it may be: such as CM GA")
    return tuple(codes)


def _wood(session: Session, code: str) -> Lot | Material:
    if code.startswith("M"):
        batch = find_batch(session, code)
        if batch.species is None:
            raise RefusedError(
                f"batch {code} ({batch.what}) is of no plant or animal on record, and "
                f"was harvested nowhere"
            )
        return batch
    return find_lot(session, code)


def _require_open(
    session: Session, code: str, wood: Lot | Material, countries: Sequence[str]
) -> None:
    """Refuse a word on what is known, unless it leaves fewer of several countries."""
    if wood.harvested_in is not None and wood.harvested_idx == wood.idx:
        raise RefusedError(
            f"{code} was harvested in {one_of_places([wood.harvested_in])}, as was "
            f"said when it came in, entry {wood.idx}, and that stays: write what is "
            f"known by now in a note, file it with flitchbook document file, and join "
            f"it with flitchbook document add"
        )
    if wood.harvested_in is None and {*countries} < {*wood.may_be_from.split()}:
        return
    naming = naming_of(session, code)
    before = naming.countries.split() if naming else [wood.harvested_in or ""]
    entry = naming.idx if naming else wood.harvested_idx
    fewer = "" if wood.harvested_in else ", and fewer of these may be named"
    if naming is not None or wood.harvested_in is not None:
        raise RefusedError(
            f"{code} is of {one_of_places(before)} by entry {entry}{fewer}: if that "
            f"is wrong, strike it first with flitchbook record correct {entry}"
        )


def _require_known(named: Named, papers: Sequence[str]) -> None:
    """See that a paper of this wood names the countries, or that somebody did."""
    if named.document is None and not named.why.strip():
        raise RefusedError(
            "say who named the countries, with --why, or give the paper that does, "
            "with --paper"
        )
    if named.document is not None and named.document not in papers:
        raise RefusedError(
            f"{named.document} is no paper of {named.code}: join it first with "
            f"flitchbook document add {named.document} {named.code}"
        )
