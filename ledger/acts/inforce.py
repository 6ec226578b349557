"""The rules that a shop lives by today, as texts: of signing, the house, the law."""

from typing import Any, Literal

from sqlmodel import Session

from ledger.acts.policies import house_text
from ledger.acts.shop import Shop
from ledger.craft.grading_policy import GRADING_FORMAT, first_grading_policy
from ledger.craft.matching_policy import MATCHING_FORMAT, first_matching_policy
from ledger.trade.overlay import LAW_FORMAT, first_overlay
from ledger.views.house import newest_policy

Kind = Literal["signing", "house", "grading", "matching", "law"]
Texts = dict[Kind, dict[str, Any]]


def texts_in_force(shop: Shop) -> Texts:
    """Return every text in force; of what was never adopted, the one to begin with."""
    with shop.store.reading() as session:
        return {
            "signing": shop.standing().policy or {},
            "house": house_text(session),
            "grading": _text(session, GRADING_FORMAT, first_grading_policy()),
            "matching": _text(session, MATCHING_FORMAT, first_matching_policy()),
            "law": _text(session, LAW_FORMAT, first_overlay()),
        }


def _text(session: Session, kind: str, first: dict[str, Any]) -> dict[str, Any]:
    return newest_policy(session, kind) or first
