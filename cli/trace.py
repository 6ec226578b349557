"""flitchbook trace: wood and papers followed both ways."""

from dataclasses import asdict
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads
from cli.disputed import entry_words

CodeArgument = Annotated[
    str, typer.Argument(help="A serial, a board, a lot or a document.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    reads(app)(trace)


def trace(desk: Desk, code: CodeArgument) -> None:
    """Tell where wood came from and where it went.

    Each step has its entry.

    An override and a struck number say why, as it was said then. What is in dispute
    says so, and lost entries that were recovered stand at the end.
    """
    from ledger.acts.corrections import reason_words, reasons_of
    from ledger.acts.disputes import disputed_at
    from ledger.acts.recovering import followed
    from ledger.acts.voiding import require_true
    from ledger.ids import parse_any

    with desk.shop.store.reading() as session:
        require_true(session, desk.own(code))
        wanted = parse_any(desk.own(code), desk.shop.settings.pattern)
        standing = desk.shop.standing()
        found = followed(session, standing, str(wanted))
        entries = {line.entry for line in found}
        given = reasons_of(desk.shop, session, entries)
        disputed = disputed_at(session, standing, entries)
        has_reason = [
            line.entry in given and not _is_birth(session, line) for line in found
        ]
    lines, told = [], []
    for line, has in zip(found, has_reason, strict=True):
        why = f": {reason_words(given[line.entry])}" if has else ""
        indent = "  " * line.depth
        entry = entry_words(line.entry, disputed.get(line.entry))
        lines.append(f"{indent}{line.code}  {line.said}{why}  ({entry})")
        reason = given[line.entry] if has else None
        erased = {"reason": reason, "reason_erased": has and reason is None}
        since = {"disputed_since": disputed.get(line.entry, line.disputed_since)}
        told.append(asdict(line) | erased | since)
    show.answer(desk, lines, trace=told)


def _is_birth(session: Any, line: Any) -> bool:
    """Tell whether a line tells how a piece got its number: the reason is the saw's."""
    from ledger.views.boards import Board

    board = session.get(Board, line.code)
    return board is not None and board.idx == line.entry
