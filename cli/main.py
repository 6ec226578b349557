"""The command `flitchbook` and its nouns."""

import atexit
import gc
import re
import sys
from collections.abc import Callable
from functools import cache
from typing import Any

import typer
from typer.main import get_command

from cli import (
    board,
    build,
    calc,
    certificate,
    demo,
    determine,
    document,
    gauge,
    hold,
    instrument,
    label,
    loop,
    lot,
    match,
    material,
    model,
    owner,
    person,
    record,
    shipment,
    shop,
    show,
    supplier,
    trace,
)
from ledger.errors import LedgerError

WRONGLY_USED = 2
BELOW_ZERO = re.compile(r"-[0-9.,]")
# What is counted from nought or one on, where it follows its option.
COUNTED = {
    "--year": "write the year with its four digits, such as 2026",
    "--within": "days are counted from 0 on, such as 30",
    "--version": "versions are counted from 1 on",
    "--boards": "boards are counted from 1 on",
    "--alike": "boards are counted from 1 on",
}

NOUNS = (
    shop,
    person,
    supplier,
    document,
    lot,
    material,
    gauge,
    hold,
    board,
    model,
    build,
    certificate,
    instrument,
    owner,
    shipment,
    label,
    record,
    calc,
)


def _of(nouns: tuple[Any, ...]) -> typer.Typer:
    """Return the program with some of its nouns."""
    made = typer.Typer(
        name="flitchbook",
        help="The record of a custom instrument shop: wood, hands, papers, serials.",
        no_args_is_help=True,
        add_completion=False,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"]},
    )
    for noun in nouns:
        made.add_typer(noun.app)
    return made


app = _of(NOUNS)
match.add_to(lot.app, build.app, board.app)
trace.add_to(app)
determine.add_to(app)
loop.add_to(app)
demo.add_to(app)


def run() -> None:
    """Run the command: 0 done, 1 refused or not found, 2 wrongly used."""
    # Imports leave nothing to collect, and a command ends before it matters.
    gc.disable()
    atexit.register(gc.freeze)
    try:
        _program(*sys.argv[1:2])()
    except SystemExit as end:
        if end.code == WRONGLY_USED and (minus := _with_minus(sys.argv[1:])):
            typer.echo(f"flitchbook: {show.safe(minus)}", err=True)
        raise
    except LedgerError as refusal:
        typer.echo(f"flitchbook: {show.one_line(str(refusal))}", err=True)
        sys.exit(1)
    except OSError as problem:
        typer.echo(f"flitchbook: {show.one_line(_disk_words(problem))}", err=True)
        sys.exit(1)


@cache
def _program(word: str = "") -> Callable[[], Any]:
    """Return the noun that was asked for alone; to make all of them takes longer."""
    asked = tuple(noun for noun in NOUNS if noun.app.info.name == word)
    return get_command(_of(asked) if asked else app)


def _with_minus(words: list[str]) -> str | None:
    """Say that a number with a minus was read as an option, where there is one."""
    found = next((word for word in words if BELOW_ZERO.match(word)), None)
    if found is None:
        return None
    at = words.index(found)
    before = words[at - 1] if at else ""
    if before in COUNTED:
        return f"{before} {found} is below nought: {COUNTED[before]}"
    read = f"{found!r} begins with a minus and was read as an option"
    if words[0] == "record":
        return f"{read}: entries are numbered from 0 on, so write it without the minus"
    return (
        f"{read}: leave the minus away, for nothing weighs or measures less than "
        f"nothing"
    )


def _disk_words(problem: OSError) -> str:
    """Say what the machine refused, and what to look at."""
    place = problem.filename or "a file"
    return (
        f"{place} cannot be read or written ({problem.strerror}); see that the folder "
        f"is there, that it may be written and that the disk has room"
    )
