"""What a stranger's check answers: a word, why, and the facts of the record."""

from dataclasses import dataclass

from ledger.errors import TamperError
from ledger.events import CertificateIssued
from ledger.log.card import CardClaims
from ledger.log.checkpoint import Checkpoint
from ledger.log.keysfile import KeysFile, read_keys_file

YES = "YES"
NO = "NO"
CANNOT_TELL = "CANNOT TELL"
# True, and the shop's status list says what stands against it.
BUT = "YES, BUT"


@dataclass(frozen=True, slots=True, kw_only=True)
class Status:
    """What a status list says of a certificate, or why nothing is known from one."""

    words: tuple[str, ...]
    states: tuple[str, ...] = ()
    number: int | None = None
    issued: str | None = None
    next: str | None = None
    size: int | None = None
    age_days: int | None = None
    is_overdue: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A word, why, and the facts of the record if it is whole.

    The word is YES, NO or CANNOT TELL, or YES, BUT where a status list says what stands
    against what is true; only YES is a yes.
    """

    word: str
    reasons: tuple[str, ...]
    facts: CertificateIssued | None = None
    names: dict[str, str] | None = None  # subject -> disclosed name
    index: int | None = None
    entered: str | None = None
    said: str | None = None  # the kind of the entry
    key: str | None = None  # the signer's
    checkpoint: Checkpoint | None = None
    keys_date: str | None = None
    card: CardClaims | None = None
    status: Status | None = None  # with a YES, of what a list can speak of

    def __bool__(self) -> bool:
        return self.word == YES


def keys_or_fault(data: bytes) -> KeysFile | str:
    """Return what the shop vouches for, or why the file says nothing."""
    try:
        return read_keys_file(data)
    except TamperError as fault:
        return f"the keys file does not hold: {fault}"
