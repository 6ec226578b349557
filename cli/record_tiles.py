"""flitchbook record tiles: the tree of the log, laid out for a host of plain files."""

from pathlib import Path
from typing import Annotated

import typer

from cli import show
from cli.context import Desk, reads

FolderArgument = Annotated[
    Path, typer.Argument(help="A new folder, or one that was laid out before.")
]
AllOption = Annotated[
    bool, typer.Option("--all", help="Compare every tile that is there, too.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    reads(app)(tiles)


def tiles(desk: Desk, folder: FolderArgument, compare_all: AllOption = False) -> None:
    """Lay out hash tiles and a checkpoint for a web host.

    Nothing that was said is among them.
    """
    from ledger.acts.publishing import lay_out

    done = lay_out(desk.shop, folder, compare_all=compare_all)
    since = f", {done.before} of them before" if done.before else ""
    gone = f"; {done.dropped} in part went" if done.dropped else ""
    wrote = "1 tile" if done.written == 1 else f"{done.written} tiles"
    lines = [
        f"{folder}: {done.size} entries{since}, {wrote} written{gone}.",
        "Hashes only: copy the folder as it is to any host of plain files.",
    ]
    show.answer(
        desk,
        lines,
        folder=str(folder),
        size=done.size,
        root=done.root.hex(),
        size_before=done.before,
        tiles_written=done.written,
        parts_dropped=done.dropped,
    )
