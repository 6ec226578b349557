"""The loop with a board in hand: weighed, moved, and shown again."""

import re

from cli.loop_round import (
    CANCEL,
    Question,
    Round,
    again,
    ask,
    confirm,
    require_held,
)
from ledger.acts.measuring import move, weigh
from ledger.acts.plausible import UnlikelyError
from ledger.acts.rounds import (
    BoardHeld,
    known_place,
    look_at_board,
    weighed_again,
)
from ledger.codes import shown
from ledger.craft.seasoning import ready_words
from ledger.errors import RefusedError
from ledger.quantities import grams, mass_mg
from ledger.scales import (
    AREA,
    DAYS,
    DENSITY,
    FORCE,
    FREQUENCY,
    HUMIDITY,
    LENGTH,
    MOISTURE,
    PRESSURE,
    SECONDS,
    TEMPERATURE,
    VOLUME,
    half_width,
)
from ledger.scales import NUMBER as QUANTITY

# What somebody who types this means as a mass, be it well written or not.
NUMBER = r"[-+\u2212]?[0-9][0-9., /\u2009\u00a0]*"
MASS = re.compile(rf"{NUMBER}(?:mg|g|kg|oz|lbs?(?: *{NUMBER}oz)?)?", re.IGNORECASE)
AS_READ = "as read"
OTHERS = (
    *(LENGTH, AREA, VOLUME, DENSITY, FREQUENCY, MOISTURE, HUMIDITY),
    *(TEMPERATURE, PRESSURE, FORCE, SECONDS, DAYS),
)
SHORT_UNITS = ("m", "%", '"', "″")
# 559 x 203 x 4.2 mm, the unit after each or after the last.
MORE_SIZES = re.compile(r"(?:mm|cm|m|in|ft|\")?[x×*][0-9]")


def is_mass(text: str) -> bool:
    """Tell whether somebody meant a mass."""
    return MASS.fullmatch(half_width(text)) is not None


def other_amount(text: str) -> str | None:
    """Say what an amount is that is no mass, such as "a length" of 205 mm, or nothing.

    A single letter after a number may be a place: shelf 4 C is no temperature.
    """
    bare = half_width(text).strip()
    found = QUANTITY.match(bare)
    if found is None:
        return None
    rest = "".join(bare[found.end() :].split()).casefold()
    if MORE_SIZES.match(rest):
        return "sizes"
    named = (
        scale.noun
        for scale in OTHERS
        if any(rest == unit.casefold() for unit in scale.units)
    )
    is_clear = len(rest) > 1 or rest in SHORT_UNITS
    return next(named, None) if is_clear else None


def weigh_held(talk: Round, text: str) -> list[str]:
    """Record a mass of the board in hand; the same one twice is asked about."""
    held, read = require_held(talk), mass_mg(text, default_unit="g")
    if not isinstance(held, BoardHeld):
        raise RefusedError(
            f"{held.code} is no board, and only boards are weighed here: scan one"
        )
    if talk.has_weighed(held.code, read):
        return confirm(
            talk,
            f"{held.code} {grams(read)} was recorded on this round: once more",
            lambda talk: _weigh(talk, held, read),
            otherwise=f"{held.code} {grams(read)}: it stays recorded once",
        )
    return _weigh(talk, held, read)


def move_held(talk: Round, place: str) -> list[str]:
    """Record the new place of what is in hand; without one it is asked for."""
    held = require_held(talk)
    if held.noun not in ("board", "lot"):
        raise RefusedError(
            f"{held.code} is no wood, and only wood is moved here: scan a board or lot"
        )
    if not place:
        return ask(talk, f"where does {held.code} go?", move_held)
    where = known_place(talk.shop, place) or place.strip()
    entries = move(talk.shop, [held.code], where, hands=talk.key)
    if isinstance(held, BoardHeld):
        talk.held = look_at_board(talk.shop, held.code)
    pieces = "" if len(entries) == 1 else f", {len(entries)} pieces"
    words = f"{held.code} to {where}{pieces}"
    talk.keep(*(entry.index for entry in entries), what="moved", words=words)
    return [f"{held.code} {where}: put there{pieces}, entry {entries[-1].index}"]


def place_or_not(talk: Round, text: str) -> list[str]:
    """Take other words with wood in hand as a place, asked about if it is a new one."""
    held = require_held(talk)
    if known_place(talk.shop, text):
        return move_held(talk, text)
    if noun := other_amount(text):
        raise RefusedError(
            f"{shown(text)} is {noun}: a mass is such as 205 g, and a place is named "
            f"after to, such as to shelf B3"
        )
    return confirm(
        talk,
        f"no wood lies at {shown(text)} yet: does {held.code} go there",
        lambda talk: move_held(talk, text),
        otherwise=f"{held.code}: not moved",
    )


def _weigh(
    talk: Round, held: BoardHeld, read: int, *, as_read: bool = False
) -> list[str]:
    try:
        done = weigh(talk.shop, held.code, read, hands=talk.key, as_read=as_read)
    except UnlikelyError as unlikely:
        why = f"{unlikely.doubt}, or say '{AS_READ}'"
        return _ask_as_read(talk, held, read, why)
    code, index = done.board, done.entry.index
    talk.held = after = weighed_again(talk.shop, held)
    weighing, words = (code, read), f"{code} {grams(read)}"
    talk.keep(index, what="weighed", words=words, weighing=weighing)
    ready = ready_words(after.verdict)
    return [f"{words}, {done.words}; {ready}, entry {index}"]


def _ask_as_read(talk: Round, held: BoardHeld, read: int, why: str) -> list[str]:
    def answer(talk: Round, said: str) -> list[str]:
        if said.strip().casefold() == AS_READ:
            return _weigh(talk, held, read, as_read=True)
        if is_mass(said):
            return weigh_held(talk, said)
        return again(talk, question, f"{shown(said)} is no mass and not '{AS_READ}'")

    question = Question(
        text=f"weigh {held.code} again, or say '{AS_READ}' or '{CANCEL}'",
        answering=answer,
    )
    return again(talk, question, why)
