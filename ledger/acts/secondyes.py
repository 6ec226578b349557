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
    if LEAD in turn.standing.roles_of(signer):
        return
    live = turn.standing.live_keys("person", turn.size)
    for subject in (live[key.id].subject for key in hands.approving if key.id in live):
        if subject != signer and _keeps_papers(turn, subject):
            return
    raise RefusedError(
        f"{why}: this needs a lead's hands, or the yes of another who keeps the "
        f"papers, with --approve"
    )


def _keeps_papers(turn: Turn, subject: str | None) -> bool:
    is_lead = LEAD in turn.standing.roles_of(subject)
    return is_lead or PAPERS in turn.standing.qualifications_of(subject)
