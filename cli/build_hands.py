"""flitchbook build hands: who did what on an instrument, and who was qualified."""

from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
StepArgument = Annotated[
    str | None, typer.Argument(help="One step only, as the model names it.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the build."""
    reads(app)(hands)


def hands(desk: Desk, serial: SerialArgument, step: StepArgument = None) -> None:
    """Tell who did what on an instrument, and whether they were qualified that day."""
    from ledger.acts.hands import hands_on

    code = desk.serial(serial)
    found = hands_on(desk.shop, code, step)
    of = f"{step} of {code}" if step else code
    lines = [f"{of}: nobody has signed anything yet."] if not found else [of]
    lines += [f"  {hand_words(hand)}" for hand in found]
    show.answer(desk, lines, serial=code, hands=[hand_data(hand) for hand in found])


def hand_words(hand: Any) -> str:
    """Return a signature in words: the step, who, when, how covered, which entry."""
    from ledger.acts.hands import cover_words

    way = f" {hand.way}" if hand.way else ""
    day = hand.day
    if hand.happened_at:
        day = f"{hand.happened_at[:10]}, entered {hand.day}"
    gone = ""
    if hand.struck_idx is not None:
        gone = f"; struck by entry {hand.struck_idx}"
    elif hand.reworked_idx is not None:
        gone = f"; to be done again by entry {hand.reworked_idx}"
    if hand.disputed_since is not None:
        gone += f"; disputed since entry {hand.disputed_since}"
    return (
        f"{hand.step}: {hand.meaning}{way} by {hand.name}, {day}, entry {hand.idx}; "
        f"{cover_words(hand)}{gone}"
    )


def hand_data(hand: Any) -> dict[str, Any]:
    """Return a signature as data."""
    from ledger.acts.hands import cover_words

    # Who learns a work, and what ended, is that person's and the lead's to know.
    is_alone = hand.ability.is_alone
    return {
        "serial": hand.serial,
        "step": hand.step,
        "meaning": hand.meaning,
        "name": hand.name,
        "entered_on": hand.day,
        "happened_at": hand.happened_at,
        "way": hand.way,
        "entry": hand.idx,
        "needs": hand.needs,
        "how": hand.ability.how if is_alone else "not covered alone",
        "ability_entry": hand.ability.by if is_alone else None,
        "countersign_entry": hand.covered_by,
        "covered": hand.is_covered,
        "struck_by": hand.struck_idx,
        "reworked_by": hand.reworked_idx,
        "disputed_since": hand.disputed_since,
        "why": cover_words(hand),
    }
