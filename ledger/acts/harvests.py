"""The country of harvest of a lot or a batch, or all that it may be, named later.

    name_harvest(shop, Named(code="L26-003", countries=("CM", "GA"), why="…"), hands)

Papers that ask for the country then list every one; a single one is the country.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.law import law_in_force
from ledger.acts.materials import find_batch
from ledger.acts.names import kept_reason, place_from
from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import NotFoundError, RefusedError
from ledger.events import LotHarvestNamed, MaterialHarvestNamed
from ledger.log.entry import Entry
from ledger.scales import some_of
from ledger.trade.listings import is_grown_in
from ledger.trade.movement import UNION, one_of_places
from ledger.trade.names import read_name
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
    known, or its countries are named, and where nothing says who named these.
    """
    countries = _countries(named.countries)
    with shop.turn() as turn:
        wood = _wood(turn.session, named.code)
        _require_open(turn.session, named.code, wood)
        joins = joins_of if isinstance(wood, Lot) else batch_joins
        _require_known(named, list(joins(turn.session, named.code)))
        said = _sentence(wood, countries, named.document)
        entry = _say(turn, said, named.why, hands)
        notes = _notes(turn.session, str(wood.species), countries)
    return Naming(countries=countries, entry=entry, notes=notes)


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
    codes = sorted({place_from(text) for text in typed})
    if not codes:
        raise RefusedError("name the country, or each that it may be: such as CM GA")
    if UNION in codes:
        raise RefusedError(
            "papers ask for a country and not for the Union: name each member State "
            "that it may be"
        )
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
    lot = session.get(Lot, code)
    if lot is None:
        raise NotFoundError(
            f"there is no lot {code}: look at its label again, or receive it with "
            f"flitchbook lot receive"
        )
    return lot


def _require_open(session: Session, code: str, wood: Lot | Material) -> None:
    """Refuse a word on what is known, or named already."""
    if wood.harvested_in is not None and wood.harvested_idx == wood.idx:
        raise RefusedError(
            f"{code} was harvested in {one_of_places([wood.harvested_in])}, as was "
            f"said when it came in, entry {wood.idx}: nothing was changed"
        )
    naming = naming_of(session, code)
    before = naming.countries.split() if naming else [wood.harvested_in or ""]
    entry = naming.idx if naming else wood.harvested_idx
    if naming is not None or wood.harvested_in is not None:
        raise RefusedError(
            f"{code} is of {one_of_places(before)} by entry {entry}: if that is wrong, "
            f"strike it first with flitchbook record correct {entry}"
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


def _notes(session: Session, species: str, countries: Sequence[str]) -> tuple[str, ...]:
    """Say in which of the countries the tables do not have it growing."""
    name = read_name(species, law_in_force(session)).name
    if name is None or not name.grows_in:
        return ()
    strange = [code for code in countries if not is_grown_in(name, code)]
    if not strange:
        return ()
    return (
        f"the table has {species} growing in {some_of(sorted(name.grows_in))}, and not "
        f"in {one_of_places(strange)}: ask once more",
    )
