"""flitchbook build allot, swap: which wood becomes which part of an instrument."""

from typing import Annotated

import typer

from cli import show
from cli.context import Desk, signs

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
BoardArgument = Annotated[str, typer.Argument(help="A board or a set, or its scan.")]
PartOption = Annotated[str, typer.Option(help="The part it becomes.")]
OverrideOption = Annotated[
    str | None,
    typer.Option(
        help="Why a lead lets it be used though it is not ready or does not fit."
    ),
]
OutOption = Annotated[
    str, typer.Option("--out", help="The wood that comes out, a board or a set.")
]
InOption = Annotated[
    str, typer.Option("--in", help="The wood that goes in, a board or a set.")
]
WhyOption = Annotated[
    str, typer.Option("--why", help="Why; it is kept out of the log.")
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the build."""
    signs(app)(allot)
    signs(app)(swap)


def allot(
    desk: Desk,
    serial: SerialArgument,
    board: BoardArgument,
    part: PartOption,
    override: OverrideOption = None,
) -> None:
    """Allot a board, or both halves of a set, to a part of an instrument."""
    from ledger.acts import allotting
    from ledger.acts.rounds import look_at_build
    from ledger.ids import BoardId

    code = desk.serial(serial)
    codes = allotting.allot(
        desk.shop,
        serial=code,
        part=part,
        code=str(BoardId.parse(desk.own(board))),
        override=override,
        hands=desk.hands(),
    )
    lines = [f"{' and '.join(codes)}: {part} of {code}."]
    pieces = look_at_build(desk.shop, code).pieces.get(part, 1)
    if pieces > len(codes):
        lines.append(
            f"note: the {part} is of {pieces} pieces, and this is one board: see that "
            f"all of them are cut from it"
        )
    show.answer(desk, lines, boards=codes, part=part)


def swap(
    desk: Desk,
    serial: SerialArgument,
    out: OutOption,
    into: InOption,
    why: WhyOption,
    override: OverrideOption = None,
) -> None:
    """Take a part's wood out and put other wood in, for a reason; a lead does."""
    from ledger.acts import swapping

    done = swapping.swap(
        desk.shop,
        serial=desk.serial(serial),
        out=desk.own(out),
        into=desk.own(into),
        reason=why,
        override=override,
        hands=desk.hands(),
    )
    first, last = done.entries[0], done.entries[-1]
    lines = [
        f"{show.listed(done.into)}: {done.part} of {done.serial} instead of "
        f"{show.listed(done.out)}, entries {first} to {last}."
    ]
    if done.left:
        lines.append(f"{done.left[0]} is without wood for its {done.left[1]} now.")
    show.answer(
        desk,
        lines,
        serial=done.serial,
        part=done.part,
        out=done.out,
        into=done.into,
        left=list(done.left) if done.left else None,
        entries=done.entries,
    )
