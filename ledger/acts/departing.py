"""Whence things set out: as somebody said it, or from the shop's own country."""

from dataclasses import dataclass

from ledger.acts.names import place_from
from ledger.acts.settings import FILE
from ledger.acts.shop import Shop
from ledger.errors import RefusedError
from ledger.trade.movement import place_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """The country that things set out from, and whether the shop's settings said it.

    country  two letters, or EU
    """

    country: str
    is_of_shop: bool

    @property
    def words(self) -> str:
        """Whence it is, and who says so where nobody did: from France."""
        own = ", the shop's own country" if self.is_of_shop else ""
        return f"from {place_words(self.country)}{own}"


def start_of(shop: Shop, said: str | None) -> Start:
    """Return whence things set out: as it was said, else from the shop's own country.

    said  a country in two letters or by name; None where nothing was said

    Raises RefusedError for what is no country, and where neither tells one.
    """
    if said is not None:
        return Start(country=place_from(said), is_of_shop=False)
    if not shop.settings.country:
        raise RefusedError(
            f"nothing says where it starts: give --from, or {_write_once(shop)}"
        )
    return Start(country=shop.settings.country, is_of_shop=True)


def with_start(asked: object, shop: Shop | None) -> tuple[object, Start | None]:
    """Return a question that says whence it starts, and its start if the shop said it.

    One that says only where it goes to starts in the shop's own country.

    Raises RefusedError where there is none.
    """
    if not isinstance(asked, dict):
        return asked, None
    if asked.get("to") is None or asked.get("from") is not None:
        return asked, None
    if asked.get("legs") is not None or asked.get("movement") is not None:
        return asked, None  # it says its way twice, and is refused when it is read
    if shop is None or not shop.settings.country:
        raise RefusedError(
            f'nothing says where it starts: say "from" in the question, or '
            f"{_write_once(shop)}"
        )
    start = Start(country=shop.settings.country, is_of_shop=True)
    return {**asked, "from": start.country}, start


def _write_once(shop: Shop | None) -> str:
    """Say how the shop's own country is written down."""
    file = FILE if shop is None else shop.folder / FILE
    named = ", and name the shop with --shop" if shop is None else ""
    return f'write the shop\'s own country once into {file}, as country = "CA"{named}'
