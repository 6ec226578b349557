"""The loop's station: a terminal with a scanner, whoever stands at it, and its lock."""

import sys
from collections import Counter
from collections.abc import Sequence

import typer

from cli import show
from cli.context import Desk
from cli.loop_lines import Lines, Pause
from cli.loop_round import Round
from cli.loop_talk import DONE, LOCK, hear
from ledger.acts.shop import Hands
from ledger.acts.signing import person_key, person_name
from ledger.codes import split_scan
from ledger.errors import LedgerError, RefusedError
from ledger.log.keyfile import WrongPinError
from ledger.views.people import Person

WRONG_PINS = 3
# Also those that came too early after a wrong one, and those of a damaged key.
MOST_TRIES = 10


class Station:
    """A terminal with a scanner, and whoever stands at it."""

    def __init__(self, *, desk: Desk, lines: Lines, talk: Round) -> None:
        self.refusals = 0
        self.is_terminal = sys.stdin.isatty()
        self._desk = desk
        self._lines = lines
        self._talk = talk
        self._person: Person | None = None

    def listen(self) -> None:
        """Hear line after line, and lock when nobody types."""
        while True:
            self._prompt()
            line = self._lines.next(may_idle=self._talk.hands is not None)
            if line is Pause.END:
                return
            if line is Pause.IDLE:
                if not self._lock():
                    return
                continue
            if self._talk.hands is None and not self._open_again():
                return
            heard = hear(self._talk, line)
            self.refusals += heard.is_refused
            self.tell(heard.lines, is_refused=heard.is_refused)
            if heard.then == DONE or (heard.then == LOCK and not self._next_person()):
                return

    def lets_in(self, person: Person | None) -> bool:
        """Let somebody begin a round; without a name it is asked for."""
        there = person or self._ask_who()
        return there is not None and self._open(there)

    def part(self) -> None:
        """Tell what was recorded on this person's round, and drop the key."""
        talk = self._talk
        mine = talk.said[talk.since :]
        counts = Counter(said.what for said in mine)
        done = ", ".join(f"{count} {what}" for what, count in counts.items())
        last = talk.shop.store.head().size - 1
        newest = f"; the newest entry is {last}" if mine else ""
        left = "; the question that was open was left" if talk.question else ""
        if talk.name:
            told = f"{done or 'nothing recorded'}{newest}{left}"
            self.tell([f"round of {talk.name}: {told}"])
        talk.since = len(talk.said)
        talk.hands = talk.held = talk.question = talk.last = None
        talk.shop = self._desk.shop
        talk.name = ""

    def tell(self, lines: Sequence[str], *, is_refused: bool = False) -> None:
        """Print what is answered to one line."""
        if self._desk.json and lines:
            told = {"refused": is_refused, "said": [line for line in lines if line]}
            typer.echo(show.json_text(told))
            return
        for line in lines:
            typer.echo(show.safe(line))

    def _prompt(self) -> None:
        if not self.is_terminal or self._desk.json:
            return
        held, at = self._talk.held, self._talk.shop.beside.happened_at
        late = f" as of {at}" if at else ""
        typer.echo(f"{held.code if held else self._talk.name}{late}> ", nl=False)

    def _lock(self) -> bool:
        """Drop the key because nobody typed; at a terminal ask for the PIN at once."""
        self._talk.hands = None
        locked = f"locked after {self._lines.idle_seconds} s: PIN of {self._talk.name}"
        self.tell(["", locked] if self.is_terminal else [locked])
        return self._open_again() if self.is_terminal else True

    def _next_person(self) -> bool:
        """Let go of the key, and let the next person in."""
        self.part()
        return self.lets_in(None)

    def _open_again(self) -> bool:
        """Open the key of whoever was there before."""
        return self._person is not None and self._open(self._person)

    def _open(self, person: Person) -> bool:
        """Open the key with its PIN; with no PIN at all somebody else comes in."""
        wrong = 0
        for _ in range(MOST_TRIES):
            pin = self._pin(person)
            if pin is None:
                return False
            if not pin:
                return self._next_person()
            try:
                key = person_key(self._desk.shop, person, pin)
            except RefusedError as refusal:
                wrong += isinstance(refusal, WrongPinError)
                if not self.is_terminal or wrong == WRONG_PINS:
                    raise _ended(refusal) from None
                show.notice(str(refusal))
                continue
            self._person = person
            self._talk.name = person_name(self._desk.shop, person)
            self._talk.hands = Hands(by=key)
            return True
        raise RefusedError("the round is over: the key was not opened")

    def _pin(self, person: Person) -> str | None:
        """Return what was typed as a PIN; None where nobody types any more."""
        badge = person.badge
        prompt = f"PIN of {person_name(self._desk.shop, person)}, badge {badge}"
        while True:
            try:
                pin = self._desk.secret(badge, prompt, is_signer=True)
            except EOFError:
                return None
            try:
                is_scan = split_scan(pin) is not None
            except RefusedError:
                is_scan = False
            if not is_scan:
                return pin
            show.notice("that was a scan and no PIN: nothing was recorded of it")

    def _ask_who(self) -> Person | None:
        """Return who stands there now, by badge or name; None where nobody does."""
        while True:
            if self.is_terminal:
                typer.echo("who is there, badge or name? ", nl=False)
            line = self._lines.next(may_idle=False)
            if isinstance(line, Pause):
                return None
            if not line.text.strip():
                continue
            try:
                found: Person = self._desk.find(line.text.strip())
            except LedgerError as refusal:
                self.refusals += 1
                self.tell([str(refusal)], is_refused=True)
            else:
                return found


def _ended(refusal: Exception) -> Exception:
    return RefusedError(
        f"the round is over ({refusal}): what was answered before is recorded"
    )
