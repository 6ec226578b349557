"""flitchbook board reserve, release, kept: wood kept for somebody until a day."""

from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads, signs

SetArgument = Annotated[str, typer.Argument(help="A board or a set, or its scan.")]
ForOption = Annotated[str, typer.Option("--for", help="A serial or an order.")]
PartOption = Annotated[str, typer.Option(help="The part it is to become.")]
UntilOption = Annotated[
    str | None, typer.Option(help="The last day of it; without one 30 days from today.")
]
WhyOption = Annotated[
    str | None,
    typer.Option("--why", help="Why; asked where it was allotted. Kept out of the log"),
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the board."""
    signs(app)(reserve)
    signs(app)(release)
    reads(app)(kept)


def reserve(
    desk: Desk,
    board: SetArgument,
    wanted: ForOption,
    part: PartOption,
    until: UntilOption = None,
) -> None:
    """Keep a board, or both halves of a set, for an instrument or an order."""
    from ledger.acts import reserving
    from ledger.serials import is_serial

    pattern = desk.shop.settings.pattern
    # A serial may be scanned; an order is written as the shop writes it.
    name = wanted.strip()
    if "/" in name or is_serial(name.upper(), pattern):
        name = desk.serial(name)
    entries = reserving.reserve(
        desk.shop,
        code=desk.own(board),
        wanted=name,
        part=part,
        until=until,
        hands=desk.hands(),
    )
    codes = [entry.event["board"] for entry in entries]
    last = entries[0].event["until"]
    show.answer(
        desk,
        [
            f"{show.listed(codes)}: kept for {name} as its {part} until {last}, "
            f"{show.entries(entries)}."
        ],
        boards=codes,
        reserved_for=name,
        part=part,
        until=last,
        entries=[entry.index for entry in entries],
    )


def release(desk: Desk, board: SetArgument, why: WhyOption = None) -> None:
    """Let a board go that is kept for somebody or allotted; used up, it stays."""
    from ledger.acts import reserving

    entries = reserving.release(
        desk.shop, code=desk.own(board), reason=why, hands=desk.hands()
    )
    codes = [entry.event["board"] for entry in entries]
    show.answer(
        desk,
        [f"{show.listed(codes)}: free again, {show.entries(entries)}."],
        boards=codes,
        entries=[entry.index for entry in entries],
    )


def kept(desk: Desk) -> None:
    """List the boards that are kept for somebody; what is over blocks nobody."""
    from ledger.acts.reserving import is_kept
    from ledger.acts.whose import who_and_when
    from ledger.views.allotting import reserved_boards

    today = desk.shop.today()
    with desk.shop.store.reading() as session:
        rows = reserved_boards(session)
        told = [
            _row(board, is_kept(session, board, today=today))
            | {"who": who_and_when(desk.shop, session, int(board.reserved_idx or 0))}
            for board in rows
        ]
    lines = [_line(row) for row in told] or ["no board is kept for anybody."]
    show.answer(desk, lines, kept=told)


def _row(board: Any, is_in_force: bool) -> dict[str, Any]:
    return {
        "board": board.code,
        "reserved_for": board.reserved_for,
        "part": board.reserved_part,
        "until": board.reserved_until,
        "in_force": is_in_force,
        "entry": board.reserved_idx,
    }


def _line(row: dict[str, Any]) -> str:
    over = "" if row["in_force"] else ", expired: it blocks nobody"
    return (
        f"{row['board']}  kept for {row['reserved_for']} as its {row['part']} until "
        f"{row['until']}{over}; {row['who']}  (entry {row['entry']})"
    )
