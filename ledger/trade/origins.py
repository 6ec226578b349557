"""Where wood may have grown: a country stated for it, and one where it grows nowhere.

A stated country that the table does not have it growing in is odd: it may be that of
the dealer, or of a plantation. It frees nothing, and whoever reads is told to ask.
"""

from collections.abc import Sequence

from ledger.trade.law import Law
from ledger.trade.listings import range_of
from ledger.trade.movement import one_of_places, where_words
from ledger.trade.names import read_name
from ledger.trade.tables import Name


def origin_words(origin: str | None, may_be_from: Sequence[str]) -> str:
    """Return where wood was harvested, or all that it may be of, as a line says it.

    Source: the record; ISO 3166-1 for the names.
    """
    if origin is not None:
        return f"from {origin}"
    if may_be_from:
        return f"of {one_of_places(may_be_from)}, nobody knows which"
    return "of no known origin"


def odd_origins(species: str, countries: Sequence[str], law: Law) -> str:
    """Return of which countries wood can hardly be, in a sentence; empty where of none.

    Source: the range column of the table of names.
    """
    name = read_name(species, law).name
    return "" if name is None else odd_words(name, countries, law)


def odd_words(name: Name, countries: Sequence[str], law: Law) -> str:
    """Return of which countries a taxon can hardly be; empty where of none.

    Source: the range column of the table of names.
    """
    written, known = range_of(name, law)
    strange = [code for code in countries if code not in known]
    if not written or not strange:
        return ""
    return (
        f"the table has {name.name} growing in {where_words(written)}, and not in "
        f"{one_of_places(strange)}: ask once more"
    )
