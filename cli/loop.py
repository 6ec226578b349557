"""flitchbook loop: a round with a scanner that types, from one board to the next."""

import gc
import sys
import time
from typing import Annotated, Any

import typer

from cli.context import Desk, signs

IdleOption = Annotated[
    str, typer.Option(help="After so long without a line the PIN is asked again.")
]
LONGEST_IDLE_SECONDS = 3600


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    signs(app)(loop)


def loop(desk: Desk, idle: IdleOption = "120 s") -> None:
    """Scan, answer, next: all at the bench, one PIN a round.

    Boards are weighed, moved and allotted, and steps are signed.

    Each line is a scan, a code, an answer or a word; say help to hear which. It ends
    with done, or when no line can come any more.
    """
    from cli.loop_lines import Lines
    from cli.loop_round import Round
    from cli.loop_station import Station

    # A round lasts all day: here it does matter what is collected.
    gc.freeze()
    gc.enable()
    seconds = _idle_seconds(idle)
    lines = Lines(sys.stdin.fileno(), idle_seconds=seconds, tick=time.monotonic)
    talk = Round(shop=desk.shop, tick=time.monotonic)
    station = Station(desk=desk, lines=lines, talk=talk)
    _begin(desk, station)
    try:
        if station.lets_in(_first(desk)):
            station.listen()
    except KeyboardInterrupt:
        station.tell(["", "ended by Ctrl-C: what was answered above is recorded"])
    finally:
        station.part()
    if station.refusals and not station.is_terminal:
        sys.exit(1)


def _begin(desk: Desk, station: Any) -> None:
    """Say what is missing before anything is scanned; at a terminal what left last."""
    from cli import record_outside

    shop = desk.shop
    desk.tell_missing()
    if station.is_terminal and not desk.json:
        left = record_outside.newest(shop)
        station.tell([record_outside.words(shop, left, shop.store.head().size)])


def _first(desk: Desk) -> Any:
    """Return whoever was named with --by, or None where nobody was."""
    from ledger.errors import NotFoundError, RefusedError

    try:
        return desk.person
    except NotFoundError:
        raise
    except RefusedError:
        return None


def _idle_seconds(text: str) -> int:
    from ledger.errors import RefusedError
    from ledger.quantities import span_seconds

    seconds = span_seconds(text, default_unit="s")
    if not 1 <= seconds <= LONGEST_IDLE_SECONDS:
        raise RefusedError(
            f"a round locks after 1 s to {LONGEST_IDLE_SECONDS} s, not {seconds} s"
        )
    return seconds
