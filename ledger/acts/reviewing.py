"""The tables of the law as a shop goes by them: their age, and what is its own."""

from dataclasses import dataclass
from datetime import date

from ledger.acts.law import AdoptedOverlay, law_in_force, overlay_in_force
from ledger.acts.shop import Shop
from ledger.acts.whose import who_and_when
from ledger.trade.edition import tables_sha256
from ledger.trade.fitting import faults
from ledger.trade.law import compiled
from ledger.trade.review import Review, review


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """How the tables stand, and the shop's own rows over them.

    faults  rows that fitted when they were adopted, and do not fit these tables
    """

    review: Review
    sha256: str
    adopted: AdoptedOverlay | None = None
    adopted_by: str = ""
    faults: tuple[str, ...] = ()


def review_tables(shop: Shop | None, *, day: date) -> Tables:
    """Return how the tables stand on a day; without a shop those of the program."""
    if shop is None:
        law = compiled()
        return Tables(review=review(law, day=day), sha256=tables_sha256(law))
    with shop.store.reading() as session:
        law, adopted = law_in_force(session), overlay_in_force(session)
        who = who_and_when(shop, session, adopted.entry) if adopted else ""
    unfit = faults(adopted.overlay, compiled(), today=day) if adopted else ()
    return Tables(
        review=review(law, day=day),
        sha256=tables_sha256(law),
        adopted=adopted,
        adopted_by=who,
        faults=tuple(unfit),
    )
