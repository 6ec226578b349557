"""A round as it stands: who is there, what is in hand, what was asked and recorded."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from ledger.acts.rounds import BoardHeld, BuildHeld, ThingHeld
from ledger.acts.shop import Hands, Shop
from ledger.codes import shown
from ledger.errors import LedgerError, RefusedError

# The word that gives a question up.
CANCEL = "cancel"
# A refusal that says itself what this round says first.
DOUBLED = (
    "; nothing was used up",
    ": nothing more was recorded",
    ": nothing was recorded",
    ", nothing was recorded",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Something that was recorded on this round: its entries, and it in words."""

    entries: tuple[int, ...]
    what: str
    words: str
    weighing: tuple[str, int] | None = None


@dataclass(slots=True, kw_only=True)
class Round:
    """One person's round; `tick` counts seconds, never back.

    `since` is where this person's own entries begin in what was said.
    """

    shop: Shop
    tick: Callable[[], float]
    name: str = ""
    hands: Hands | None = None
    held: BoardHeld | BuildHeld | ThingHeld | None = None
    question: "Question | None" = None
    said: list[Said] = field(default_factory=list)
    since: int = 0
    last: tuple[str, float] | None = None

    @property
    def key(self) -> Hands:
        """The hands that sign: nobody signs while the round is locked."""
        if self.hands is None:
            raise RefusedError("the round is locked: it goes on with a PIN")
        return self.hands

    def keep(
        self,
        *entries: int,
        what: str,
        words: str,
        weighing: tuple[str, int] | None = None,
    ) -> None:
        """Remember what was recorded, so that it can be struck and counted."""
        self.said.append(
            Said(entries=entries, what=what, words=words, weighing=weighing)
        )

    def has_weighed(self, code: str, mass_mg: int) -> bool:
        """Tell whether this very mass of a board was recorded on this round."""
        mine = self.said[self.since :]
        return any(said.weighing == (code, mass_mg) for said in mine)


Answering = Callable[[Round, str], list[str]]


class UnreadError(RefusedError):
    """An answer that nobody can take so: the same is asked again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What was asked, and what the answer does.

    `takes` are the nouns whose codes may be the answer.
    """

    text: str
    answering: Answering
    takes: tuple[str, ...] = ()


def ask(
    talk: Round,
    text: str,
    answering: Answering,
    *,
    takes: tuple[str, ...] = (),
    first: str = "",
) -> list[str]:
    """Ask something: the next line answers it, unless it is a word or a scan."""
    talk.question = Question(text=text, answering=answering, takes=takes)
    return [first, text] if first else [text]


def then(
    talk: Round,
    rest: str,
    asked: str,
    saying: Answering,
    *,
    takes: tuple[str, ...] = (),
) -> list[str]:
    """Take what stands after a word as the answer, or ask for it.

    An answer that raises UnreadError is asked for again; every other refusal ends it.
    """

    def answered(talk: Round, text: str) -> list[str]:
        try:
            return saying(talk, text)
        except UnreadError as unread:
            return again(talk, question, unread)

    question = Question(text=asked, answering=answered, takes=takes)
    if rest:
        return answered(talk, rest)
    talk.question = question
    return [asked]


@contextmanager
def reading() -> Iterator[None]:
    """Read an answer; what is refused meanwhile raises UnreadError."""
    try:
        yield
    except LedgerError as refusal:
        raise UnreadError(str(refusal)) from None


def again(talk: Round, question: Question | None, why: LedgerError | str) -> list[str]:
    """Say why an answer does not do, and ask the same thing again."""
    talk.question = question
    asked = [question.text] if question else []
    return [refused(why), *asked]


def confirm(
    talk: Round, text: str, doing: Callable[[Round], list[str]], *, otherwise: str
) -> list[str]:
    """Ask whether something is meant, and do it on yes."""

    def answer(talk: Round, said: str) -> list[str]:
        word = said.casefold()
        if word == "yes":
            return doing(talk)
        if word == "no":
            return [otherwise]
        return again(talk, question, f"{shown(said)} is neither yes nor no")

    question = Question(text=f"{text}, yes or no?", answering=answer)
    talk.question = question
    return [question.text]


def refused(why: LedgerError | str, *, lost: str = "recorded") -> str:
    """Say first that nothing happened, and then why."""
    words = str(why)
    for doubled in DOUBLED:
        words = words.replace(doubled, "")
    return f"nothing was {lost}: {words}"


def require_held(talk: Round) -> BoardHeld | BuildHeld | ThingHeld:
    """Return what is in hand, or say that nothing is."""
    if talk.held is None:
        raise RefusedError("nothing is in hand: scan a board, a tag or a lot first")
    return talk.held
