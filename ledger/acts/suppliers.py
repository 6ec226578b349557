"""Sawyers: entered once, and found again by name."""

from sqlmodel import Session

from ledger.acts.names import (
    SUBJECT_SIZE,
    checked_country,
    checked_words,
    kept_name,
)
from ledger.acts.shop import Hands, Shop
from ledger.errors import NotFoundError, RefusedError
from ledger.events import SupplierRecorded
from ledger.events.wood import Shown
from ledger.views.wood import Supplier, suppliers

SUPPLIER_NAME = "supplier.name"


def record_supplier(
    shop: Shop,
    *,
    name: str,
    shown: Shown,
    region: str | None,
    country: str | None,
    hands: Hands,
) -> str:
    """Enter a sawyer, with the way in which the name may be shown; return the name."""
    if shown == "by-region" and not region:
        raise RefusedError("a sawyer shown by region needs a region: give --region")
    country = checked_country(country)
    checked_words("region", region)
    with shop.turn() as turn:
        if any(
            n.casefold() == name.strip().casefold()
            for _, n in named(shop, turn.session)
        ):
            raise RefusedError(f"{name.strip()} is entered already")
        subject = shop.entropy(SUBJECT_SIZE).hex()
        with kept_name(turn, subject, SUPPLIER_NAME, name) as commitment:
            event = SupplierRecorded(
                supplier=subject,
                name_commitment=commitment,
                shown=shown,
                region=region,
                country=country,
            )
            turn.say(event, hands)
    return name.strip()


def find_supplier(shop: Shop, name: str) -> Supplier:
    """Return the sawyer of this name, given whole or in part."""
    wanted = name.strip().casefold()
    with shop.store.reading() as session:
        everybody = named(shop, session)
        session.expunge_all()
    fitting = [s for s, full in everybody if wanted and wanted in full.casefold()]
    exact = [s for s, full in everybody if wanted == full.casefold()]
    fitting = exact or fitting
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        raise RefusedError(f"{name!r} fits several suppliers: give the whole name")
    raise NotFoundError(
        f"no sawyer or supplier here is called {name!r}: enter one with "
        f"flitchbook supplier record"
    )


def named(shop: Shop, session: Session) -> list[tuple[Supplier, str]]:
    """Return every sawyer with the name that the vault holds."""
    rows = suppliers(session)
    openings = [(s, shop.vault.get(s.subject, SUPPLIER_NAME)) for s in rows]
    return [(s, opening.value) for s, opening in openings if opening]
