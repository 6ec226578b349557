"""What one pair of hands could do wrongly alone: a lead's hands, or another's yes."""

from ledger.acts.shop import Hands, Turn
from ledger.craft.signing import PAPERS
from ledger.errors import RefusedError
from ledger.log.authority import LEAD
from ledger.views.people import subject_of_key


def require_second(turn: Turn, hands: Hands, why: str) -> None:
    """Refuse what no lead signs, and nobody else who keeps the papers has approved.

    why  begins the refusal, and says what makes it needed
    """
    signer = subject_of_key(turn.session, hands.by.id)
    if LEAD in turn.standing.roles_of(signer) or _says_another(turn, hands):
        return
    raise RefusedError(
        f"{why}: this needs a lead's hands, or the yes of another who keeps the "
        f"papers, with --approve"
    )


def require_another(turn: Turn, hands: Hands, why: str) -> None:
    """Refuse what nobody else who keeps the papers has approved, a lead's hands or not.

    why  begins the refusal, and says what makes it needed
    """
    if not _says_another(turn, hands):
        raise RefusedError(
            f"{why}: this needs the yes of another who leads or keeps the papers, with "
            f"--approve"
        )


def _says_another(turn: Turn, hands: Hands) -> bool:
    signer = subject_of_key(turn.session, hands.by.id)
    live = turn.standing.live_keys("person", turn.size)
    return any(
        live[key.id].subject != signer and _keeps_papers(turn, live[key.id].subject)
        for key in hands.approving
        if key.id in live
    )


def _keeps_papers(turn: Turn, subject: str | None) -> bool:
    is_lead = LEAD in turn.standing.roles_of(subject)
    return is_lead or PAPERS in turn.standing.qualifications_of(subject)
