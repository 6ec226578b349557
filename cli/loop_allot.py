"""The loop with an instrument in hand: wood allotted to it, and ways out of errors."""

from functools import partial

from cli.loop_round import Question, Round, again, ask, confirm, refused
from ledger.acts import allotting
from ledger.acts.allotting import BoardTakenError, kept_instead, why_taken
from ledger.acts.pictured import picture_words
from ledger.acts.rounds import BoardHeld, BuildHeld, look_at_build, who_said
from ledger.acts.swapping import require_lead, swap
from ledger.codes import shown
from ledger.errors import LedgerError, RefusedError
from ledger.scales import some_of

SWAP = "swap"
# What did not happen to wood that was refused.
USED = "used up"


def give_to_build(talk: Round, build: BuildHeld, board: BoardHeld) -> list[str]:
    """Allot a board that was scanned after a tag, to the part it is meant for.

    Its own board is taken in hand; wood that is not for it is refused, with ways out.
    """
    if board.serial == build.code:
        talk.held = board
        return [board.words]
    if board.serial is not None:
        taken = why_taken(talk.shop, board.boards)
        if board.meant_for in build.wood:
            codes = [code for code, _ in build.wood[board.meant_for]]
            return _wrong_wood(talk, build, board, codes, str(taken))
        return [_refused(taken)]
    if board.meant_for in build.open_parts:
        return _first_wood(talk, build, board, board.meant_for)
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
        codes = allotting.allot(
            talk.shop, serial=build.code, part=part, code=board.code, hands=talk.key
        )
    except BoardTakenError as taken:
        # Another station was faster, by less than this person needed to look.
        return [_refused(taken)]
    except LedgerError as refusal:
        return [refused(refusal, lost=USED)]
    talk.held = after = look_at_build(talk.shop, build.code)
    entries = [entry for _, entry in after.wood[part]]
    words = f"{' and '.join(codes)}: {part} of {build.code}"
    talk.keep(*entries, what="allotted", words=words)
    left = some_of([*after.open_parts])
    rest = f"without wood: {left}" if after.open_parts else "every part has its wood"
    return [f"{words}, entry {entries[-1]}; {rest}"]


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
    return _first_wood(talk, build, board, fits[0])


def _refused(taken: BoardTakenError) -> str:
    """Say who took a board, when and by which entry, and what there is instead."""
    return (
        f"{refused(taken, lost=USED)}, or if the label is wrong type the code that is "
        f"pencilled on the wood"
    )


def _first_wood(
    talk: Round, build: BuildHeld, board: BoardHeld, part: str
) -> list[str]:
    """Allot wood to a part that has none, unless other wood is kept for it."""
    kept = kept_instead(talk.shop, build.code, part, board.boards)
    pieces = build.pieces.get(part, 1)
    if not kept and pieces > len(board.boards):
        # Wood that is refused anyhow is refused at once.
        try:
            allotting.require_rested(talk.shop, build.code, board.boards)
        except RefusedError as resting:
            return [refused(resting, lost=USED)]
        return confirm(
            talk,
            f"the {part} of {build.code} is of {pieces} pieces, and {board.code} is "
            f"one board: are all of them cut from it",
            lambda talk: allot(talk, build, board, part),
            otherwise=f"{board.code}: not used; bring wood that is enough for it",
        )
    if not kept:
        return allot(talk, build, board, part)
    codes = [code for code, _ in kept]
    index = kept[0][1]
    why = (
        f"{board.code} is not the {part} of {build.code}, for which "
        f"{' and '.join(codes)} is kept, reserved by {who_said(talk.shop, index)} in "
        f"entry {index}"
    )
    return _wrong_wood(talk, build, board, codes, why)


def _other_wood(
    talk: Round, build: BuildHeld, board: BoardHeld, part: str
) -> list[str]:
    """Say that a part has its wood already, for whom and by whom, and the ways out."""
    codes = [code for code, _ in build.wood[part]]
    index = build.wood[part][0][1]
    why = (
        f"{board.code} is not the {part} of {build.code}, which is "
        f"{' and '.join(codes)}, allotted by {who_said(talk.shop, index)} in entry "
        f"{index}"
    )
    return _wrong_wood(talk, build, board, codes, why)


def _wrong_wood(
    talk: Round, build: BuildHeld, board: BoardHeld, right: list[str], why: str
) -> list[str]:
    """Ask which of the three ways out it is, and name the photographs of both."""
    question = Question(
        text=f"scan {' and '.join(right)}; or '{SWAP}' to take {board.code} instead, "
        f"with a reason, which a lead signs; or type the code that is pencilled on the "
        f"wood if its label is wrong",
        answering=partial(_way_said, build, board, right),
    )
    talk.question = question
    pictures = picture_words(talk.shop, [*right, *board.boards])
    return [refused(why, lost=USED), *pictures, question.text]


def _way_said(
    build: BuildHeld, board: BoardHeld, right: list[str], talk: Round, text: str
) -> list[str]:
    if text.casefold() == SWAP:
        require_lead(talk.shop, build.code, talk.key)
        # Nothing is let go for a board that could not follow.
        allotting.require_rested(talk.shop, build.code, board.boards)
        return ask(
            talk,
            f"why does {board.code} go into {build.code} and not {right[0]}?",
            partial(_swap, build, board, right),
        )
    talk.held = build
    raise RefusedError(
        f"{shown(text)} is no way out here: scan a board or the tag again"
    )


def _swap(
    build: BuildHeld, board: BoardHeld, right: list[str], talk: Round, reason: str
) -> list[str]:
    """Let the wood go that a part has or waits for, and allot the other."""
    done = swap(
        talk.shop,
        serial=build.code,
        out=right[0],
        into=board.code,
        reason=reason,
        hands=talk.key,
    )
    talk.held = look_at_build(talk.shop, build.code)
    into, out = (" and ".join(codes) for codes in (done.into, done.out))
    words = f"{into}: {done.part} of {build.code} instead of {out}"
    # Wood that was let go is not taken back by striking an entry.
    talk.keep(what="swapped", words=words)
    left = f"; {done.left[0]} is without its {done.left[1]}" if done.left else ""
    return [f"{words}, entry {done.entries[-1]}{left}"]
