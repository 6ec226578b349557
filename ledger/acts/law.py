"""The law that a shop goes by: the compiled tables, and its own rows over them."""

import json
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from sqlmodel import Session, col, select

from ledger.trade.amendment import Overlay, amended, read_overlay
from ledger.trade.fitting import fitted
from ledger.trade.law import Law, LeftOut, compiled
from ledger.trade.overlay import LAW_FORMAT
from ledger.views.house import AdoptedPolicy
from ledger.views.said import entry_said


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptedOverlay:
    """A shop's own rows in force, and the entry that adopted them.

    left_out  the numbers of rows that would be refused today, and take no effect
    faults    why, each with its row
    """

    overlay: Overlay
    entry: int
    adopted_at: str
    key: str  # whose signature
    left_out: frozenset[int] = frozenset()
    faults: tuple[str, ...] = ()

    @property
    def own(self) -> str:
        """What marks each of its rows in an answer."""
        return (
            f"the shop's own row, adopted in entry {self.entry} on "
            f"{self.adopted_at[:10]}"
        )

    @property
    def says_left_out(self) -> str:
        """What an answer says that would rest on a row that is left out."""
        return (
            f"a row of the shop's own, adopted in entry {self.entry} on "
            f"{self.adopted_at[:10]}, is left out: flitchbook record tables says why"
        )


def law_in_force(session: Session, *, at: int | None = None) -> Law:
    """Return the edition of the tables that the shop goes by, or went by at an entry.

    It costs one look at the newest text adopted; the edition itself is kept.
    """
    newest = _newest(session, at)
    return compiled() if newest is None else newest.law


def overlay_in_force(session: Session) -> AdoptedOverlay | None:
    """Return the shop's own rows in force, or None where none were ever adopted."""
    newest = _newest(session)
    return None if newest is None else newest.adopted


@dataclass(frozen=True, slots=True, kw_only=True)
class _Edition:
    law: Law
    adopted: AdoptedOverlay


# A process serves one shop; tests and audits a few. An edition is some thousand rows.
@lru_cache(maxsize=8)
def _edition(text: str, index: int, at: str, key: str) -> _Edition:
    """Return the edition of an adopted text, and who adopted it when.

    It was adopted past today's checks, or by an older program, or for older tables,
    where a row in it does not fit.
    """
    overlay = read_overlay(json.loads(text))
    found = fitted(overlay, compiled(), today=date.fromisoformat(at[:10]))
    adopted = AdoptedOverlay(
        overlay=overlay,
        entry=index,
        adopted_at=at,
        key=key,
        left_out=frozenset(each.number for each in found.left_out.amendments),
        faults=found.faults,
    )
    if not overlay.amendments:
        return _Edition(law=compiled(), adopted=adopted)
    law = amended(compiled(), found.fits, own=adopted.own)
    if found.left_out.amendments:
        says = adopted.says_left_out
        whole = amended(law, found.left_out, own=says)
        law = replace(law, left_out=LeftOut(law=whole, says=says))
    return _Edition(law=law, adopted=adopted)


def _newest(session: Session, at: int | None = None) -> _Edition | None:
    """Return the edition by the newest text of the law that was adopted, if any was."""
    query = select(AdoptedPolicy.idx, AdoptedPolicy.text).where(
        col(AdoptedPolicy.format) == LAW_FORMAT
    )
    if at is not None:
        query = query.where(col(AdoptedPolicy.idx) <= at)
    found = session.exec(query.order_by(col(AdoptedPolicy.idx).desc())).first()
    if found is None:
        return None
    entry = entry_said(session, found[0])
    return _edition(found[1], entry.index, entry.at, entry.key)
