"""The loop with an instrument in hand: wood allotted to it, its steps signed."""

import re
from functools import partial
from typing import get_args

from cli.build import measure, pair
from cli.loop_round import Question, Round, again, ask, refused
from cli.loop_wood import is_mass
from ledger.acts import builds
from ledger.acts.builds import BoardTakenError
from ledger.acts.corrections import correct
from ledger.acts.names import checked_words
from ledger.acts.rounds import (
    BoardHeld,
    BuildHeld,
    StepHeld,
    look_at_board,
    look_at_build,
    offered,
    who_said,
)
from ledger.codes import shown
from ledger.craft.seasoning import ready_words
from ledger.errors import LedgerError, RefusedError
from ledger.events.build import Meaning, Measure, PartWeighed
from ledger.quantities import grams, mass_mg

MEANINGS: tuple[Meaning, ...] = get_args(Meaning)
SWAP = "swap"
# What did not happen to wood that was refused.
USED = "used up"
# Where the next of several measures begins: a comma inside a number is none.
NEXT_ITEM = re.compile(r"[,;](?=[^=,;]*=)")


def give_to_build(talk: Round, build: BuildHeld, board: BoardHeld) -> list[str]:
    """Allot a board that was scanned after a tag, to the part it is meant for.

    Its own board is taken in hand; wood that is not for it is refused, with ways out.
    """
    if board.serial == build.code:
        talk.held = board
        return [board.words]
    if board.serial is not None:
        return [_taken(talk, board, board.serial, str(board.part), board.taken_by or 0)]
    if board.meant_for in build.open_parts:
        return allot(talk, build, board, board.meant_for)
    if board.meant_for in build.wood:
        return _other_wood(talk, build, board, board.meant_for)
    if not build.open_parts:
        raise RefusedError(
            f"every part of {build.code} has its wood, and none of them is a "
            f"{board.meant_for}: look at tag and board again"
        )
    parts = ", ".join(build.open_parts)
    return ask(
        talk,
        f"{board.code} is meant for a {board.meant_for}: which part of {build.code} "
        f"does it become, {parts}?",
        partial(_part_said, build, board),
    )


def allot(talk: Round, build: BuildHeld, board: BoardHeld, part: str) -> list[str]:
    """Record that a board becomes a part; the instrument stays in hand."""
    try:
        codes = builds.allot(
            talk.shop, serial=build.code, part=part, code=board.code, hands=talk.key
        )
    except BoardTakenError as taken:
        # Another station was faster, by less than this person needed to look.
        now = look_at_board(talk.shop, taken.board)
        said = taken.serial, now.part or part, now.taken_by or 0
        return [_taken(talk, board, *said)]
    except LedgerError as refusal:
        return [refused(refusal, lost=USED)]
    talk.held = after = look_at_build(talk.shop, build.code)
    entries = [entry for _, entry in after.wood[part]]
    words = f"{' and '.join(codes)}: {part} of {build.code}"
    talk.keep(*entries, what="allotted", words=words)
    left = ", ".join(after.open_parts)
    rest = f"without wood: {left}" if left else "every part has its wood"
    return [f"{words}, entry {entries[-1]}; {rest}"]


def step_said(talk: Round, build: BuildHeld, text: str) -> list[str]:
    """Show the sentence that a key would sign, and ask who says it how."""
    step = _step(build, text)
    what = f"{step.step} of {build.code}"
    sentences = " or ".join(f'"I {m}: {what}"' for m in MEANINGS[:2])
    return ask(
        talk,
        f"{talk.name} signs {sentences}: {', '.join(MEANINGS[:-1])} or {MEANINGS[-1]}?"
        f" {_scales_hint(build)}",
        partial(_meaning_said, build, step),
    )


def _part_said(build: BuildHeld, board: BoardHeld, talk: Round, text: str) -> list[str]:
    fits = [part for part in build.parts if part.casefold() == text.casefold()]
    if not fits:
        parts = ", ".join(build.open_parts)
        question = Question(
            text=f"which part of {build.code} does {board.code} become, {parts}?",
            answering=partial(_part_said, build, board),
        )
        return again(talk, question, f"{shown(text)} is no part of {build.code}")
    if fits[0] in build.wood:
        return _other_wood(talk, build, board, fits[0])
    return allot(talk, build, board, fits[0])


def _taken(talk: Round, board: BoardHeld, serial: str, part: str, index: int) -> str:
    """Say who took a board, when and by which entry, and what there is instead."""
    others = offered(talk.shop, board)
    instead = f"ready beside it: {', '.join(others)}" if others else "take another"
    return refused(
        f"{board.code} is the {part} of {serial}, allotted by "
        f"{who_said(talk.shop, index)} in entry {index}; {instead}, or if the label is "
        f"wrong type the code that is pencilled on the wood",
        lost=USED,
    )


def _other_wood(
    talk: Round, build: BuildHeld, board: BoardHeld, part: str
) -> list[str]:
    """Say that a part has its wood already, for whom and by whom, and the ways out."""
    codes = " and ".join(code for code, _ in build.wood[part])
    index = build.wood[part][0][1]
    why = (
        f"{board.code} is not the {part} of {build.code}, which is {codes}, allotted "
        f"by {who_said(talk.shop, index)} in entry {index}"
    )
    question = Question(
        text=f"scan {codes}; or '{SWAP}' to take {board.code} instead, with a reason; "
        f"or type the code that is pencilled on the wood if its label is wrong",
        answering=partial(_way_said, build, board, part),
    )
    talk.question = question
    return [refused(why, lost=USED), question.text]


def _way_said(
    build: BuildHeld, board: BoardHeld, part: str, talk: Round, text: str
) -> list[str]:
    if text.casefold() == SWAP:
        # Nothing is struck for a board that could not follow.
        if not board.verdict:
            raise RefusedError(
                f"{board.code} is not ready: {ready_words(board.verdict)}"
            )
        return ask(
            talk,
            f"why does {board.code} become the {part} of {build.code}?",
            partial(_swap, build, board, part),
        )
    talk.held = build
    raise RefusedError(f"{shown(text)} is no way out here: scan {part} or tag again")


def _swap(
    build: BuildHeld, board: BoardHeld, part: str, talk: Round, reason: str
) -> list[str]:
    """Strike the allotting of the wood a part has, and allot the other."""
    checked_words("reason", reason)
    for code, index in build.wood[part]:
        struck = correct(talk.shop, index, reason=reason, hands=talk.key)
        talk.keep(struck.index, what="struck", words=f"{code}: entry {index} struck")
    return allot(talk, look_at_build(talk.shop, build.code), board, part)


def _step(build: BuildHeld, text: str) -> StepHeld:
    """Return the step of this number or name, or of the beginning of just one name."""
    wanted = text.casefold()
    found = [s for s in build.steps if wanted in (str(s.number), s.step.casefold())]
    found = found or [s for s in build.steps if s.step.casefold().startswith(wanted)]
    if len(found) == 1:
        return found[0]
    steps = ", ".join(f"{step.number} {step.step}" for step in build.steps)
    fits = "fits several steps" if found else "is no step"
    raise RefusedError(f"{shown(text)} {fits} of {build.code}, which are: {steps}")


def _meaning_said(
    build: BuildHeld, step: StepHeld, talk: Round, text: str
) -> list[str]:
    """Sign a step; what was weighed and measured may follow: did top=190 g."""
    word, _, rest = text.strip().partition(" ")
    meaning = next((m for m in MEANINGS if m == word.strip(",;:").casefold()), None)
    question = Question(
        text=f"{step.step} of {build.code}: {', '.join(MEANINGS)}?",
        answering=partial(_meaning_said, build, step),
    )
    if meaning is None:
        return again(talk, question, f"{shown(text)} signs nothing")
    try:
        weighed, measures, read = _scales(build, rest)
    except RefusedError as refusal:
        return again(talk, question, refusal)
    index = builds.sign(
        talk.shop,
        serial=build.code,
        step=step.step,
        meaning=meaning,
        measures=measures,
        weighed=weighed,
        hands=talk.key,
    )
    talk.held = after = look_at_build(talk.shop, build.code)
    words = f"{build.code} {step.step}: {meaning}{read}"
    talk.keep(index, what="signed", words=words)
    coming = after.next_step
    left = f"next step: {coming.number} {coming.step}" if coming else "every step done"
    return [f"{words}, signed by {talk.name}, entry {index}; {left}"]


def _scales_hint(build: BuildHeld) -> str:
    """Say that masses and measures may follow, and which parts nobody weighed yet."""
    if not build.not_weighed:
        return "What was measured may follow: did relief=0.18 mm"
    return (
        f"What was weighed or measured may follow: did {build.not_weighed[0]}=190 g, "
        f"relief=0.18 mm; not weighed yet: {', '.join(build.not_weighed)}"
    )


def _scales(
    build: BuildHeld, text: str
) -> tuple[list[PartWeighed], list[Measure], str]:
    """Read what follows a signature: parts that were weighed, other measures, in words.

    A bare number of a part is in grams, as that of a board is.
    """
    weighed: list[PartWeighed] = []
    measures: list[Measure] = []
    words = ""
    for item in filter(None, (item.strip() for item in NEXT_ITEM.split(text))):
        name, value = pair(item)
        part = next((p for p in build.parts if p.casefold() == name.casefold()), None)
        if part is not None and is_mass(value):
            mass = mass_mg(value, default_unit="g")
            weighed.append(PartWeighed(part=part, mass_mg=mass))
            words += f", {part} {grams(mass)}"
        else:
            measures.append(measure(item))
            words += f", {name} {value}"
    return weighed, measures, words
