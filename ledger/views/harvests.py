"""The countries that were named for the harvest of lots and batches.

Of several that were named a later entry may name fewer. Both stand, and the newest is
shown; once that is struck, the one before it is shown again.
"""

from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import TamperError
from ledger.events import Event, LotHarvestNamed, MaterialHarvestNamed
from ledger.log.entry import Entry
from ledger.views.materials import Material, batch_joins
from ledger.views.measures import stands
from ledger.views.taking import taken
from ledger.views.wood import Lot, joins_of


class HarvestNaming(SQLModel, table=True):
    """Where a lot or a batch was harvested, or all that it may be, as in "CM GA"."""

    idx: int = Field(primary_key=True)
    code: str = Field(index=True)
    countries: str
    document: str | None
    struck_idx: int | None = None


def fold_harvests(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry that names countries of harvest into the view."""
    if not isinstance(event, LotHarvestNamed | MaterialHarvestNamed):
        return
    code, wood = _wood(session, event)
    is_fewer = {*event.countries} < {*wood.may_be_from.split()}
    if wood.harvested_in or (wood.may_be_from and not is_fewer):
        raise TamperError(
            f"{code} was of {wood.harvested_in or wood.may_be_from} before this "
            f"entry names another country: run flitchbook record audit"
        )
    if event.document is not None and event.document not in _papers(session, wood):
        raise TamperError(
            f"{event.document} is no paper of {code}: run flitchbook record audit"
        )
    row = HarvestNaming(
        idx=entry.index,
        code=code,
        countries=" ".join(event.countries),
        document=event.document,
    )
    session.add(row)
    _show(wood, row)


def naming_of(
    session: Session, code: str, at: int | None = None
) -> HarvestNaming | None:
    """Return the newest entry that names the countries of a lot or a batch, or None.

    at  the entry after which it is asked; else now
    """
    query = select(HarvestNaming).where(
        col(HarvestNaming.code) == code, stands(HarvestNaming, at)
    )
    return session.exec(query.order_by(col(HarvestNaming.idx).desc())).first()


def refresh_country(session: Session, code: str) -> None:
    """Show of a lot or a batch the country that stands after an entry was struck.

    What was said when it came in stands; else the first entry that gives a country.
    """
    lot = session.get(Lot, code)
    session.flush()
    if lot is None:
        _refresh(session.get_one(Material, code), naming_of(session, code))
        return
    if lot.harvested_idx == lot.idx:
        return
    _refresh(lot, naming_of(session, code))
    giving = [join for join in joins_of(session, code).values() if join.harvested_in]
    first = min(giving, key=lambda join: join.idx, default=None)
    if first is not None and first.idx < (lot.harvested_idx or first.idx + 1):
        lot.harvested_in, lot.harvested_idx = first.harvested_in, first.idx


def _refresh(wood: Lot | Material, naming: HarvestNaming | None) -> None:
    wood.harvested_in, wood.harvested_idx, wood.may_be_from = None, None, ""
    if naming is not None:
        _show(wood, naming)


def _show(wood: Lot | Material, naming: HarvestNaming) -> None:
    """Show one country as the one that is known, and several as what it may be."""
    if " " in naming.countries:
        wood.may_be_from = naming.countries
    else:
        wood.harvested_in, wood.harvested_idx = naming.countries, naming.idx
        wood.may_be_from = ""


def _wood(
    session: Session, event: LotHarvestNamed | MaterialHarvestNamed
) -> tuple[str, Lot | Material]:
    if isinstance(event, LotHarvestNamed):
        return event.lot, taken(session, Lot, event.lot)
    return event.batch, taken(session, Material, event.batch)


def _papers(session: Session, wood: Lot | Material) -> list[str]:
    if isinstance(wood, Lot):
        return list(joins_of(session, wood.code))
    return list(batch_joins(session, wood.batch))
