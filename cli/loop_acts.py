"""The loop's words for what goes wrong or away: said of what is in hand, with a reason.

Each is one word, after it what it is said of; what is left out is asked for.
"""

import re
from functools import partial
from pathlib import Path
from typing import get_args

from cli.board_saw import sizes_um
from cli.loop_build import step_named
from cli.loop_round import (
    Answering,
    Round,
    UnreadError,
    ask,
    confirm,
    reading,
    require_held,
    then,
)
from cli.loop_wood import is_mass
from cli.photographs import bared_lines
from ledger.acts import finding, holds, measuring, reserving, rework, service
from ledger.acts.finding import Candidate
from ledger.acts.names import checked_day
from ledger.acts.pictured import on_file_words
from ledger.acts.rounds import BoardHeld, BuildHeld, look_at_board, look_at_build
from ledger.acts.shop import said_at
from ledger.acts.voiding import true_serial
from ledger.codes import shown
from ledger.craft.identifying import Measured
from ledger.craft.wares import Errand
from ledger.errors import RefusedError
from ledger.quantities import mass_mg
from ledger.scales import in_a_row, some_of
from ledger.serials import is_serial

ERRANDS: tuple[Errand, ...] = get_args(Errand)
NONE, NOW = "none", "now"
MOMENT = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})[T ]([0-9]{2}:[0-9]{2})(:[0-9]{2})?Z?", re.IGNORECASE
)
# So many boards that a piece can be are told; the nearest come first.
MOST_FOUND = 3


def hold(talk: Round, rest: str) -> list[str]:
    """Place a hold on what is in hand, for a reason."""
    held = require_held(talk)
    doubted = holds.find_doubted(talk.shop, held.code)

    def placed(talk: Round, reason: str) -> list[str]:
        number = holds.place(talk.shop, doubted, reason=reason, hands=talk.key)
        words = f"{number}: {held.code} is in doubt, and all that rests on it"
        talk.keep(what="put on hold", words=f"{held.code} ({number})")
        return [f"{words}; see flitchbook hold show {number}"]

    return then(talk, rest, f"why is {held.code} in doubt?", placed)


def keep(talk: Round, rest: str) -> list[str]:
    """Keep the board in hand for an instrument or an order."""
    board = _board(talk, "kept")

    def kept(talk: Round, wanted: str) -> list[str]:
        with reading():
            whose = _serial_or_order(talk, wanted)
        entries = reserving.reserve(
            talk.shop,
            code=board.code,
            wanted=whose,
            part=board.meant_for,
            hands=talk.key,
        )
        first = entries[0].event
        words = f"{board.code} kept for {wanted.strip()} as its {board.meant_for}"
        talk.keep(what="kept", words=words)
        talk.held = look_at_board(talk.shop, board.code)
        return [f"{words} until {first['until']}, entry {entries[-1].index}"]

    asked = f"for which instrument or order is {board.code} kept?"
    return then(talk, rest, asked, kept, takes=("serial",))


def release(talk: Round, rest: str) -> list[str]:
    """Let the board in hand go; one that is allotted for a reason."""
    board = _board(talk, "released")

    def let_go(talk: Round, reason: str) -> list[str]:
        entries = reserving.release(
            talk.shop, code=board.code, reason=reason or None, hands=talk.key
        )
        words = f"{board.code} free again"
        talk.keep(what="released", words=words)
        talk.held = look_at_board(talk.shop, board.code)
        return [f"{words}, entry {entries[-1].index}"]

    if board.serial is None:
        return let_go(talk, rest)
    asked = f"why is {board.code} no longer the {board.part} of {board.serial}?"
    return then(talk, rest, asked, let_go)


def photograph(talk: Round, rest: str) -> list[str]:
    """File a photograph of the board in hand."""
    board = _board(talk, "photographed")

    def filed(talk: Round, name: str) -> list[str]:
        path = Path(name.strip())
        with reading():
            before = on_file_words(talk.shop, path)
        if before is None:
            return _photograph(talk, board, path)
        return confirm(
            talk,
            f"{path} is on file already, {before}: is it of {board.code} too",
            lambda talk: _photograph(talk, board, path),
            otherwise=f"{board.code}: no photograph was filed",
        )

    return then(talk, rest, f"which file shows {board.code}?", filed)


def redo(talk: Round, rest: str) -> list[str]:
    """Order a step of the instrument in hand to be done again."""
    build = _build(talk, "done again")

    def named(talk: Round, text: str) -> list[str]:
        with reading():
            step = step_named(build, text).step

        def ordered(talk: Round, reason: str) -> list[str]:
            done = rework.order(
                talk.shop, serial=build.code, step=step, reason=reason, hands=talk.key
            )
            words = f"{build.code} {step}: to be done again"
            talk.keep(what="sent back", words=words)
            talk.held = look_at_build(talk.shop, build.code)
            after = f"; look at {in_a_row(done.after)} too" if done.after else ""
            return [f"{words}, entry {done.entry.index}{after}"]

        return ask(talk, f"why is {step} of {build.code} done again?", ordered)

    asked = f"which step of {build.code} is done again?"
    return then(talk, rest, asked, named)


def scrap(talk: Round, rest: str) -> list[str]:
    """Record that a part of the instrument in hand was spoiled."""
    build = _build(talk, "scrapped")
    if not build.wood:
        raise RefusedError(f"no part of {build.code} has wood that could be spoiled")

    def named(talk: Round, text: str) -> list[str]:
        found = [p for p in build.parts if p.casefold() == text.strip().casefold()]
        if not found:
            raise UnreadError(
                f"{shown(text)} is no part of {build.code}: name one of "
                f"{', '.join(build.wood)}"
            )

        def spoiled(talk: Round, reason: str) -> list[str]:
            done = rework.scrap(
                talk.shop,
                serial=build.code,
                part=found[0],
                reason=reason,
                hands=talk.key,
            )
            words = f"{found[0]} of {build.code} spoiled: {in_a_row(done.boards)}"
            talk.keep(what="scrapped", words=words)
            talk.held = look_at_build(talk.shop, build.code)
            return [f"{words}, entry {done.entry.index}; it waits for other wood"]

        return ask(talk, f"how was the {found[0]} of {build.code} spoiled?", spoiled)

    asked = f"which part of {build.code} was spoiled: {some_of([*build.wood])}?"
    return then(talk, rest, asked, named)


def send(talk: Round, rest: str) -> list[str]:
    """Record that the instrument in hand leaves: whither, for what, until when."""
    build = _build(talk, "sent")

    def whither(talk: Round, to: str) -> list[str]:
        def errand_said(talk: Round, text: str) -> list[str]:
            errand = next((e for e in ERRANDS if e == text.strip().casefold()), None)
            if errand is None:
                raise UnreadError(f"{shown(text)} is none of {', '.join(ERRANDS)}")
            if errand == "sale":
                return _sent(talk, build, to, errand, None)
            return then(
                talk,
                "",
                f"on which day is {build.code} due home, such as 2026-12-24, or "
                f"'{NONE}'?",
                partial(_due_said, build, to, errand),
            )

        asked = f"for what does it leave: {', '.join(ERRANDS)}?"
        return then(talk, "", asked, errand_said)

    return then(talk, rest, f"whither does {build.code} go?", whither)


def come_home(talk: Round, rest: str) -> list[str]:
    """Record that the instrument in hand came home, and how it is."""
    build = _build(talk, "returned")

    def home(talk: Round, text: str) -> list[str]:
        condition = None if text.strip().casefold() == NONE else text
        entry = service.come_home(
            talk.shop, serial=build.code, condition=condition, hands=talk.key
        )
        words = f"{build.code} is home"
        talk.keep(what="returned", words=words)
        return [f"{words}, entry {entry.index}"]

    asked = f"how is {build.code}, in one line, or '{NONE}' if nobody looked?"
    return then(talk, rest, asked, home)


def find(talk: Round, rest: str) -> list[str]:
    """Tell which board a piece without a label is, by its sizes and its mass."""
    talk.held = None
    asked = (
        "how big is the piece, such as 559 x 203 x 4.2 mm; and its mass, such as "
        "559 x 203 x 4.2 mm, 205 g?"
    )

    def measured(talk: Round, text: str) -> list[str]:
        with reading():
            sizes, mass = _sizes_and_mass(text)
        found = Measured(
            length_um=sizes[0], width_um=sizes[1], thickness_um=sizes[2], mass_mg=mass
        )
        with talk.shop.store.reading() as session:
            near = finding.candidates(session, found)
        if not near:
            raise UnreadError(
                "no board on record measures that: measure again, or give it a code "
                "of its own with flitchbook board unknown"
            )
        lines = [_candidate_words(each) for each in near[:MOST_FOUND]]
        if near[MOST_FOUND:]:
            lines.append(f"and {len(near) - MOST_FOUND} more, and none is nearer")
        which = f"which is it: type its code, or '{NONE}'?"
        return [
            *lines,
            *then(talk, "", which, partial(_found, found), takes=("board",)),
        ]

    return then(talk, rest, asked, measured)


def late(talk: Round, rest: str) -> list[str]:
    """Say from now on what happened at an earlier time, as it stands on the tag."""

    def since(talk: Round, text: str) -> list[str]:
        if text.strip().casefold() == NOW:
            talk.shop = said_at(talk.shop, None)
            return ["what is said from here on happens now"]
        with reading():
            talk.shop = said_at(talk.shop, _moment(text))
        at = talk.shop.beside.happened_at
        return [
            f"what is said from here on happened {at}, and is entered now; "
            f"'late {NOW}' ends that"
        ]

    asked = f"when did it happen, in UTC, such as 2026-11-24 16:40, or '{NOW}'?"
    return then(talk, rest, asked, since)


def _moment(text: str) -> str:
    """Return a day and a time of it, in UTC, as entries write it."""
    found = MOMENT.fullmatch(text.strip())
    if found is None:
        raise RefusedError(
            f"{shown(text)} is no day and time: write such as 2026-11-24 16:40, in UTC"
        )
    return f"{found[1]}T{found[2]}{found[3] or ':00'}Z"


def _found(found: Measured, talk: Round, text: str) -> list[str]:
    if text.strip().casefold() == NONE:
        return ["nothing was recorded of the piece"]
    with reading():
        board = look_at_board(talk.shop, text.strip().upper())

    def identified(talk: Round, reason: str) -> list[str]:
        done = finding.identify(
            talk.shop, board.code, found, reason=reason, hands=talk.key
        )
        words = f"{done.board} identified by measurement, {done.confidence}"
        talk.keep(what="identified", words=words)
        talk.held = look_at_board(talk.shop, done.board)
        return [
            f"{words}, entry {done.entries[0]}; its old label is void: when the round "
            f"is done: flitchbook label board {done.board} --out label.pdf"
        ]

    return ask(talk, f"how is it known to be {board.code}?", identified)


def _candidate_words(each: Candidate) -> str:
    known = finding.measured_words(each.known)
    where = each.place or "no place known"
    return f"{each.board}  {each.confidence}; {known}; {each.species}; {where}"


def _sizes_and_mass(text: str) -> tuple[list[int], int | None]:
    """Read three sizes, and the mass after a comma where one is given."""
    sizes, comma, mass = text.rpartition(",")
    if comma and is_mass(mass.strip()) and "x" not in mass.casefold():
        return sizes_um(sizes), mass_mg(mass.strip(), default_unit="g")
    return sizes_um(text), None


def _photograph(talk: Round, board: BoardHeld, path: Path) -> list[str]:
    entries = measuring.photograph(
        talk.shop, board.code, path, face="front", hands=talk.key
    )
    words = f"{board.code} photographed"
    talk.keep(*(e.index for e in entries), what="photographed", words=words)
    bared = bared_lines([path], [entries[-1].event["sha256"]])
    return [f"{words}, entry {entries[-1].index}", *bared]


def _due_said(
    build: BuildHeld, to: str, errand: Errand, talk: Round, text: str
) -> list[str]:
    until = None if text.strip().casefold() == NONE else text.strip()
    with reading():
        checked_day(until)
    return _sent(talk, build, to, errand, until)


def _sent(
    talk: Round, build: BuildHeld, to: str, errand: Errand, until: str | None
) -> list[str]:
    entry = service.send(
        talk.shop,
        serial=build.code,
        to=to.strip(),
        errand=errand,
        until=until,
        hands=talk.key,
    )
    words = f"{build.code} left for {to.strip()} ({errand})"
    talk.keep(entry.index, what="sent", words=words)
    due = f", due home {until}" if until else ""
    return [f"{words}{due}, entry {entry.index}"]


def _serial_or_order(talk: Round, text: str) -> str:
    wanted, pattern = text.strip(), talk.shop.settings.pattern
    if "/" not in wanted and not is_serial(wanted.upper(), pattern):
        return wanted
    with talk.shop.store.reading() as session:
        return true_serial(session, wanted, pattern)


def _board(talk: Round, done: str) -> BoardHeld:
    held = require_held(talk)
    if not isinstance(held, BoardHeld):
        raise RefusedError(
            f"{held.code} is no board, and only boards are {done} so: scan one"
        )
    return held


def _build(talk: Round, done: str) -> BuildHeld:
    held = require_held(talk)
    if not isinstance(held, BuildHeld):
        raise RefusedError(
            f"{held.code} is no instrument, and only that of an instrument is {done}: "
            f"scan its tag"
        )
    return held


WORDS: dict[str, Answering] = {
    "hold": hold,
    "reserve": keep,
    "release": release,
    "photograph": photograph,
    "identify": find,
    "rework": redo,
    "scrap": scrap,
    "send": send,
    "return": come_home,
    "late": late,
}
