"""How two people agree who graded the same boards: for those two and the lead only.

Nothing is recorded, and nobody else is told, so that nobody stops grading.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from sqlmodel import Session, col, select

from ledger.acts.policies import grading_rules
from ledger.acts.shop import Shop
from ledger.acts.signing import holder_name, person_name
from ledger.craft.agreement import Agreement, agreement
from ledger.craft.grading_policy import GradingPolicy
from ledger.errors import RefusedError
from ledger.log.authority import LEAD
from ledger.log.keys import SecretKey
from ledger.views.grading import Grading, gradings_by
from ledger.views.people import Person, PersonKey, subject_of_key

Newest = dict[str, Grading]


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreeing:
    """How two graders agree, by which policy and which of its versions.

    `remarks` say which gradings do not count.
    """

    agreement: Agreement
    policy: str
    versions: tuple[int, ...]
    remarks: tuple[str, ...]


def agreeing(shop: Shop, asker: SecretKey, one: Person, other: Person) -> Agreeing:
    """Return how two people agree over the boards that both graded for one part.

    asker  the key of whoever asks, which the own PIN opened

    Of each the newest grading of a board counts that was given by the policy in force,
    in any version of it. Raises RefusedError for whoever is neither of the two nor a
    lead, and where there is too little to say.
    """
    if one.subject == other.subject:
        raise RefusedError(
            f"{person_name(shop, one)} always agrees with {person_name(shop, one)}: "
            f"name two people"
        )
    _require_told(shop, asker, one, other)
    with shop.store.reading() as session:
        policy = grading_rules(session)
        first, second = (
            _newest(gradings_by(session, _keys(session, each)), policy)
            for each in (one, other)
        )
        both = {*first} & {*second}
        return Agreeing(
            agreement=agreement(_grades(first), _grades(second), order=policy.order),
            policy=policy.id,
            versions=tuple(
                sorted(
                    {rows[code].version for code in both for rows in (first, second)}
                )
            ),
            remarks=_astray(session, (one, other), policy),
        )


def _require_told(shop: Shop, asker: SecretKey, one: Person, other: Person) -> None:
    """Refuse whoever is neither of the two nor a lead."""
    with shop.store.reading() as session:
        subject = subject_of_key(session, asker.id)
        name = holder_name(shop, session, asker.id)
    is_lead = LEAD in shop.standing().roles_of(subject)
    if subject not in (one.subject, other.subject) and not is_lead:
        names = " and ".join(person_name(shop, each) for each in (one, other))
        raise RefusedError(
            f"how {names} agree is for those two and the lead, and not for {name}: ask "
            f"one of them"
        )


def _keys(session: Session, person: Person) -> list[str]:
    """Return every key that is or was a person's."""
    query = select(PersonKey.key).where(col(PersonKey.subject) == person.subject)
    return list(session.exec(query.order_by(col(PersonKey.idx))).all())


def _newest(rows: list[Grading], policy: GradingPolicy) -> Newest:
    """Return the newest grading of each board and part that can be compared."""
    return {
        f"{row.board} for {row.part.casefold()}": row
        for row in rows
        if _is_comparable(row, policy)
    }


def _is_comparable(row: Grading, policy: GradingPolicy) -> bool:
    return row.policy == policy.id and row.grade in policy.order


def _grades(rows: Mapping[str, Grading]) -> dict[str, str]:
    return {board: row.grade for board, row in rows.items()}


def _astray(
    session: Session, people: tuple[Person, Person], policy: GradingPolicy
) -> tuple[str, ...]:
    """Say how many gradings do not count, being by other rules or in other words."""
    rows = [r for each in people for r in gradings_by(session, _keys(session, each))]
    number = sum(not _is_comparable(row, policy) for row in rows)
    if not number:
        return ()
    gradings = "grading does" if number == 1 else "gradings do"
    return (
        f"{number} {gradings} not count, being by another policy than {policy.id} or "
        f"in words that it has no more",
    )
