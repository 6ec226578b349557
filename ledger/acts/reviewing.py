"""The tables of the law as a shop goes by them: their age, and what is its own."""

from dataclasses import dataclass
from datetime import date

from ledger.acts.law import AdoptedOverlay, law_in_force, overlay_in_force
from ledger.acts.shop import Shop
from ledger.acts.whose import who_and_when
from ledger.trade.edition import tables_sha256
from ledger.trade.law import Law, compiled
from ledger.trade.review import Review, review


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """How the tables stand, and the shop's own rows over them."""

    review: Review
    sha256: str
    adopted: AdoptedOverlay | None = None
    adopted_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """The tables that answer a question, and whose rows lie over them."""

    law: Law
    is_of_shop: bool
    adopted: AdoptedOverlay | None = None

    @property
    def words(self) -> str:
        """Which tables they are, for a reader."""
        if not self.is_of_shop:
            return "those of the program; no shop was named, see --shop"
        if self.adopted is None:
            return "those of the program; the shop has adopted no rows of its own"
        rows = self.adopted.overlay.name
        left = len(self.adopted.left_out)
        left_out = f"; {left} of them left out, see record tables" if left else ""
        return f"those of the program with the shop's own rows, {rows}, " + (
            f"adopted in entry {self.adopted.entry} on "
            f"{self.adopted.adopted_at[:10]}{left_out}"
        )


def edition_of(shop: Shop | None) -> Edition:
    """Return the tables that a shop goes by; without a shop those of the program."""
    if shop is None:
        return Edition(law=compiled(), is_of_shop=False)
    with shop.store.reading() as session:
        law, adopted = law_in_force(session), overlay_in_force(session)
    return Edition(law=law, is_of_shop=True, adopted=adopted)


def review_tables(shop: Shop | None, *, day: date) -> Tables:
    """Return how the tables stand on a day; without a shop those of the program."""
    if shop is None:
        law = compiled()
        return Tables(review=review(law, day=day), sha256=tables_sha256(law))
    with shop.store.reading() as session:
        law, adopted = law_in_force(session), overlay_in_force(session)
        who = who_and_when(shop, session, adopted.entry) if adopted else ""
    return Tables(
        review=review(law, day=day),
        sha256=tables_sha256(law),
        adopted=adopted,
        adopted_by=who,
    )
