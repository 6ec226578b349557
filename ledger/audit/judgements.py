"""Grades worked out again from what their entries say, by the rule of that day.

As with recordings a difference is no damage: the rule may be read otherwise by a later
version, and then somebody should know.
"""

from collections.abc import Iterator
from typing import Any

from sqlmodel import Session, col, select

from ledger.acts.grading import findings_of
from ledger.audit.findings import Finding
from ledger.craft.grading import grade_of
from ledger.craft.grading_policy import (
    GRADING_FORMAT,
    GradingPolicy,
    first_grading_policies,
    grading_policy,
)
from ledger.errors import LedgerError
from ledger.views.grading import Grading, found_in
from ledger.views.house import adopted_policies


def grade_findings(session: Session) -> Iterator[Finding]:
    """Grade every board again, and tell where the rule comes to something else."""
    rules = _rules(session)
    for row in session.exec(select(Grading).order_by(col(Grading.idx))).all():
        policy = rules.get((row.policy, row.version))
        if policy is None:
            detail = f"{row.board} was graded by {row.policy} {row.version}, which no "
            yield Finding(row.idx, "reading", f"{detail}entry adopted")
            continue
        try:
            again = grade_of(findings_of(found_in(row)), policy)
        except LedgerError as fault:
            detail = f"{row.board} is not graded any more ({fault})"
            yield Finding(row.idx, "reading", detail)
            continue
        if again.grade != row.suggested or "\n".join(again.reasons) != row.why:
            detail = (
                f"{row.board}: the rule {again.policy} said {_said(row.suggested)}, "
                f"and now says {_said(again.grade)}, from the same findings"
            )
            yield Finding(row.idx, "reading", detail)


def _rules(session: Session) -> dict[tuple[str, int], GradingPolicy]:
    """Return every rule that was ever in force, by its name and version."""
    texts: list[dict[str, Any]] = [
        *first_grading_policies(),
        *adopted_policies(session, GRADING_FORMAT),
    ]
    read = map(grading_policy, texts)
    return {(policy.id, policy.version): policy for policy in read}


def _said(grade: str | None) -> str:
    return grade or "no grade yet"
