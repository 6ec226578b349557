"""flitchbook shop room-log: what a logger kept of a room's air, taken over by days."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, signs
from ledger.errors import RefusedError

FileArgument = Annotated[Path, typer.Argument(help="A file exported by a logger.")]
RoomOption = Annotated[str, typer.Option(help="Which room the logger hung in.")]
ColumnOption = Annotated[
    list[str],
    typer.Option(help="A header by what it says: temperature=T2; may be repeated."),
]
UnitOption = Annotated[
    list[str], typer.Option(help="temperature=C or F, where the log tells none.")
]
DatesOption = Annotated[
    str, typer.Option(help="day-first or month-first, where the log leaves it open.")
]
AsReadOption = Annotated[
    bool,
    typer.Option(
        "--as-read", help="A day that was told otherwise before counts as it is here."
    ),
]
DryOption = Annotated[
    bool, typer.Option("--dry-run", help="Only tell how it is read; record nothing.")
]
MEANINGS = ("moment", "date", "time", "temperature", "humidity")
# A month at a glance is too much: the last week, and how many days there are.
MOST_SHOWN = 7


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the shop."""
    signs(app)(room_log)


def room_log(
    desk: Desk,
    file: FileArgument,
    room: RoomOption = "crib",
    column: ColumnOption = [],  # noqa: B006 - typer reads the default
    unit: UnitOption = [],  # noqa: B006 - typer reads the default
    dates: DatesOption = "",
    as_read: AsReadOption = False,
    dry_run: DryOption = False,
) -> None:
    """File what a logger kept of a room's air, by day.

    Each of its days is recorded.
    """
    from ledger.acts import roomlogs

    how = roomlogs.HowRead(
        columns=pairs(column, MEANINGS),
        units=pairs(unit, ("temperature",)),
        dates=dates,
    )
    told: dict[str, Any] = {
        "room": room,
        "data": show.read_file(file),
        "how": how,
        "as_read": as_read,
    }
    if dry_run:
        done = roomlogs.look_at_log(desk.shop, **told)
    else:
        done = roomlogs.log_room(desk.shop, **told, hands=desk.hands())
    show.answer(
        desk,
        _lines(room, done),
        room=room,
        sha256=done.sha256,
        days=[_day_data(day) for day in done.days],
        readings=done.log.readings,
        columns=[list(each) for each in done.log.columns],
        entries=[entry.index for entry in done.entries],
        notes=list(done.notes),
    )


def pairs(texts: Sequence[str], names: Sequence[str]) -> dict[str, str]:
    """Read what was said of columns or units, such as temperature=T2."""
    found = {}
    for text in texts:
        name, is_pair, value = text.partition("=")
        if not is_pair or name.strip() not in names:
            raise RefusedError(
                f"{text!r} says nothing of a log: write it like {names[-1]}=…, of "
                f"{', '.join(names)}"
            )
        found[name.strip()] = value.strip()
    return found


def _lines(room: str, done: Any) -> Iterator[str]:
    count = show.counted(len(done.days), "day")
    first, last = done.days[0].day, done.days[-1].day
    span = first if first == last else f"{first} to {last}"
    where = f", {show.entries(done.entries)}" if done.entries else ", nothing recorded"
    yield f"{room}: {count}, {span}{where}."
    if len(done.days) > MOST_SHOWN:
        yield f"  the last {MOST_SHOWN} of them:"
    yield from (f"  {_day_line(day)}" for day in done.days[-MOST_SHOWN:])
    yield from (f"note: {text}" for text in done.notes)


def _day_line(day: Any) -> str:
    from ledger.quantities import celsius, humidity, percent

    low, high = (
        round(ppm / 10_000) for ppm in (day.least_humidity_ppm, day.most_humidity_ppm)
    )
    wood = "?" if day.emc_ppm is None else percent(day.emc_ppm, places=1)
    return (
        f"{day.day}  {celsius(day.temperature_millikelvin, places=1)}, "
        f"{humidity(day.humidity_ppm, places=0)} ({low} to {high}), gives wood {wood}; "
        f"{show.counted(day.readings, 'reading')}"
    )


def _day_data(day: Any) -> dict[str, Any]:
    from dataclasses import asdict

    return asdict(day)
