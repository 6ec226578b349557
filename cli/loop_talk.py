"""The loop's conversation: what a line means by what is in hand, and its answer.

A scan or a code is taken in hand and shown; a word of the list does what it says; all
else answers the question that was asked, or is said of what is in hand. No line is
silently left: whatever cannot be done is refused in one sentence.
"""

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from cli.loop_acts import WORDS
from cli.loop_allot import SWAP, USED, give_to_build
from cli.loop_build import OF_STEP, step_said
from cli.loop_lines import LONGEST_LINE, Line
from cli.loop_receive import receive
from cli.loop_round import CANCEL, Round, ask, refused
from cli.loop_wood import AS_READ, is_mass, move_held, place_or_not, weigh_held
from ledger.acts.asked import MEANINGS
from ledger.acts.corrections import correct
from ledger.acts.relabelling import require_true_label
from ledger.acts.rounds import (
    BoardHeld,
    BuildHeld,
    ThingHeld,
    known_place,
    look_at_batch,
    look_at_board,
    look_at_build,
    look_at_document,
    look_at_gauge,
    look_at_lot,
    serial_of,
)
from ledger.acts.shop import Shop, said_at
from ledger.acts.voiding import require_true
from ledger.codes import shown, split_scan
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.ids import Code, parse_any
from ledger.log.encoding import profile_fault

# A scanner that is held too long reads the same label again within this time.
TWICE_SECONDS = 2.0
LOCK, DONE, RECEIVE = "lock", "done", "receive"
# Somebody meant a code, and wrote it wrong.
NEARLY = re.compile(r"[A-Z]?[0-9]{2}-(?:[0-9]{3}|[0-9]+-[0-9])", re.IGNORECASE)
# They answer questions, and nobody asked any.
ANSWERS = ("yes", "no", "none", "unknown", SWAP, AS_READ)
HELPING = ("help", "?")
HELP = (
    "scan a board, a set, a lot, a tag or a paper, or type its code: it is shown",
    "with a board in hand: its mass, such as '412' or '14.5 oz', is recorded",
    "to PLACE: the board, set or lot in hand lies there from now on; or move",
    "with an instrument in hand: scan a board to allot it, or name a step to sign it;",
    "  then did, or did top=190 g, relief=0.18 mm, with what was weighed and measured;",
    "  or assisted, inspected, approved, witnessed; a batch or gauge that is scanned",
    "  goes with it, and body and neck are scanned where the step joins them",
    "with a board in hand: reserve, release or photograph; with an instrument: rework,",
    "  scrap, send or return; hold: wood, a paper, a batch or a gauge is in doubt",
    "identify: a piece without a label, by its sizes",
    "late 2026-11-24 16:40: what is said next happened then, in UTC, until late now",
    "receive: a lot has come in; receive FILE: all that a packing list names",
    "undo: strike what was recorded last on this round",
    "cancel: leave a question unanswered",
    "lock: let the next person in",
    "done: end the round",
    "help or ?: these lines",
)


SAYING = WORDS | {"to": move_held, "move": move_held, RECEIVE: receive}
LOOKING: dict[str, Callable[[Shop, str], BoardHeld | BuildHeld | ThingHeld]] = {
    "board": look_at_board,
    "serial": look_at_build,
    "lot": look_at_lot,
    "document": look_at_document,
    "batch": look_at_batch,
    "gauge": look_at_gauge,
}


class MisreadError(RefusedError):
    """A code was meant, and nobody can tell which: nothing may be said of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What is answered to a line, and whether the round goes on."""

    lines: tuple[str, ...] = ()
    is_refused: bool = False
    then: str = ""


def hear(talk: Round, line: Line) -> Heard:
    """Answer one line; what is refused leaves everything as it was."""
    text = unicodedata.normalize("NFC", line.text).strip()
    fault = _fault(line, text)
    if fault:
        return Heard(lines=tuple(_misread(talk, refused(fault))), is_refused=True)
    if not text:
        return Heard(lines=(talk.question.text,) if talk.question else ())
    word = text.casefold()
    if word in (LOCK, DONE):
        return Heard(lines=tuple(_given_up(talk)), then=word)
    is_twice = _is_twice(talk, text)
    try:
        lines = _answered(talk, text, word, is_twice=is_twice)
    except MisreadError as refusal:
        return Heard(lines=tuple(_misread(talk, refused(refusal))), is_refused=True)
    except LedgerError as refusal:
        asked = [talk.question.text] if talk.question else []
        return Heard(lines=(refused(refusal), *asked), is_refused=True)
    is_refused = any(s.startswith((refused(""), refused("", lost=USED))) for s in lines)
    return Heard(lines=tuple(lines), is_refused=is_refused)


def _answered(talk: Round, text: str, word: str, *, is_twice: bool) -> list[str]:
    head, _, rest = text.partition(" ")
    if word in HELPING:
        return [*HELP, *([talk.question.text] if talk.question else [])]
    if word == CANCEL:
        return _given_up(talk) or ["no question is open"]
    if word == RECEIVE:
        return [*_given_up(talk), *receive(talk)]
    if word == "undo":
        return [*_given_up(talk), *_undo(talk)]
    question = talk.question
    if question is None and head.casefold() in SAYING and not _is_named(talk, text):
        return SAYING[head.casefold()](talk, rest.strip())
    code = _code(talk, text)
    if question and code is not None and is_twice:
        return [question.text]
    if question and (code is None or code.form.noun in question.takes):
        talk.question = None
        return question.answering(talk, text)
    if code is not None:
        return [*_given_up(talk), *_take(talk, code, is_twice=is_twice)]
    return _said_of_held(talk, text)


def _fault(line: Line, text: str) -> str | None:
    """Say why a line is none that somebody types or a scanner reads."""
    if line.excess:
        return (
            f"that line has {line.excess} bytes, and the longest one has "
            f"{LONGEST_LINE}: scan again"
        )
    if not line.is_text:
        return "that line is no text in UTF-8: set the scanner to this keyboard"
    fault = profile_fault(text)
    if fault:
        return f"that line holds what no key types ({fault}): scan again"
    return None


def _code(talk: Round, text: str) -> Code | None:
    """Return the code that was scanned or typed, or None where it is none.

    Raises MisreadError for another shop's label and for a scan that was misread.
    """
    if is_mass(text) and isinstance(talk.held, BoardHeld):
        return None
    looks_scanned = text[:4].upper() == "HTTP" or text[1:2] == "/"
    _require_true(talk, text)
    try:
        if looks_scanned:
            _require_own(talk, text)
        return parse_any(text, talk.shop.settings.pattern)
    except RefusedError as refusal:
        if looks_scanned or (talk.question is None and NEARLY.match(text)):
            raise MisreadError(str(refusal)) from None
        return None


def _require_true(talk: Round, text: str) -> None:
    """Refuse a number that was stamped by mistake, and lead to the true one."""
    with talk.shop.store.reading() as session:
        try:
            require_true(session, text)
        except RefusedError as refusal:
            raise MisreadError(str(refusal)) from None


def _require_own(talk: Round, text: str) -> None:
    if "/" not in text:
        raise RefusedError(
            f"{shown(text)} was typed for another keyboard: set the scanner to the "
            f"layout of this machine"
        )
    scan, host = split_scan(text), talk.shop.settings.label_host
    if scan and scan.host and scan.host != host.partition("/")[0].upper():
        raise RefusedError(
            f"that label is of {scan.host.lower()} and not of this shop: look at the "
            f"wood, and type the code alone if it is yours"
        )
    with talk.shop.store.reading() as session:
        require_true_label(session, text)


def _misread(talk: Round, why: str) -> list[str]:
    """Lay down what is in hand: what is typed next may be meant for something else."""
    if talk.held is None:
        return [why, talk.question.text] if talk.question else [why]
    laid_down, talk.held, talk.question = talk.held.code, None, None
    return [f"{why}; {laid_down} is no longer in hand"]


def _take(talk: Round, code: Code, *, is_twice: bool) -> list[str]:
    """Take what was scanned in hand and show it; after a tag a board is allotted.

    What cannot be shown is not in hand, and what was in hand before is not either.
    """
    before, talk.held = talk.held, None
    noun, text = code.form.noun, str(code)
    if isinstance(before, BuildHeld) and noun in ("board", *OF_STEP):
        talk.held = before
        return _take_for(talk, before, code, is_twice=is_twice)
    if noun in ("body", "neck"):
        noun, text = "serial", serial_of(talk.shop, text)
    if noun not in LOOKING:
        raise RefusedError(
            f"{code} is a {noun}, with which nothing is done here: scan wood or a tag"
        )
    talk.held = held = LOOKING[noun](talk.shop, text)
    return [held.words]


def _take_for(
    talk: Round, build: BuildHeld, code: Code, *, is_twice: bool
) -> list[str]:
    """Give a board to the instrument in hand; what goes in with a step waits for it."""
    noun = code.form.noun
    if noun == "board":
        board = look_at_board(talk.shop, str(code))
        if is_twice:
            return [board.words]
        return give_to_build(talk, look_at_build(talk.shop, build.code), board)
    if noun in ("body", "neck"):
        serial = serial_of(talk.shop, str(code))
        talk.held = look_at_build(talk.shop, serial)
        return [talk.held.words]
    raise RefusedError(
        f"{code} is a {noun}, and goes with a step: name the step of {build.code} "
        f"first, and scan it then"
    )


def _said_of_held(talk: Round, text: str) -> list[str]:
    if text.casefold() in ANSWERS:
        raise RefusedError(f"'{text}' answers no question, for none is open")
    if isinstance(talk.held, BuildHeld):
        if text.casefold() in MEANINGS:
            raise RefusedError(f"name the step of {talk.held.code} before '{text}'")
        return step_said(talk, talk.held, text)
    if is_mass(text):
        return weigh_held(talk, text)
    if isinstance(talk.held, BoardHeld):
        return place_or_not(talk, text)
    raise RefusedError(
        f"{shown(text)} is no code, and nothing is in hand that it could be said of: "
        f"scan a board or a tag, or say help"
    )


def _is_named(talk: Round, text: str) -> bool:
    """Tell whether a line names what fits what is in hand, and only begins as a word.

    That is a step of an instrument, and for a board a place that holds wood already:
    hold rack.
    """
    if isinstance(talk.held, BoardHeld):
        return " " in text and known_place(talk.shop, text) is not None
    steps = talk.held.steps if isinstance(talk.held, BuildHeld) else ()
    return any(step.step.casefold() == text.casefold() for step in steps)


def _is_twice(talk: Round, text: str) -> bool:
    """Tell whether the same line came within two seconds."""
    now, before = talk.tick(), talk.last
    talk.last = text, now
    return before is not None and before[0] == text and now - before[1] < TWICE_SECONDS


def _given_up(talk: Round) -> list[str]:
    """Leave a question unanswered, and say so."""
    if talk.question is None:
        return []
    talk.question = None
    return ["the question before was left: nothing was recorded of it"]


def _undo(talk: Round) -> list[str]:
    """Ask why what was recorded last is struck."""
    mine = talk.said[talk.since :]
    last = next((said for said in reversed(mine) if said.what != "struck"), None)
    if last is None:
        raise NotFoundError("nothing of this round is left to strike")
    if not last.entries:
        raise RefusedError(
            f"{last.words} was {last.what}, and that is not struck: say what is right "
            f"in an entry of its own"
        )
    return ask(talk, f"strike {last.words}: why?", partial(_strike, len(talk.said)))


def _strike(size: int, talk: Round, reason: str) -> list[str]:
    """Strike the entries of what was said last, the newest first.

    It is said now: nothing is struck before it was entered.
    """
    at = next(n for n in range(size - 1, -1, -1) if talk.said[n].what != "struck")
    last, by, shop = talk.said[at], [], said_at(talk.shop, None)
    for index in reversed(last.entries):
        by.append(correct(shop, index, reason=reason, hands=talk.key).index)
    del talk.said[at]
    talk.keep(*by, what="struck", words=last.words)
    if talk.held is not None:
        talk.held = _shown_again(talk)
    return [f"{last.words}: struck by entry {by[-1]}, it stays legible"]


def _shown_again(talk: Round) -> BoardHeld | BuildHeld | None:
    if isinstance(talk.held, BoardHeld):
        return look_at_board(talk.shop, talk.held.code)
    if isinstance(talk.held, BuildHeld):
        return look_at_build(talk.shop, talk.held.code)
    return None
