"""flitchbook calc season and air: when wood is dry, and what a logger says."""

from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Annotated, Any

import typer

from cli.board_tap import estimate_data, plus_minus
from cli.calc_parts import answer
from cli.context import JsonOption
from cli.shop_room import MEANINGS, pairs
from cli.show import read_file
from ledger.errors import RefusedError

WeighingsArgument = Annotated[
    list[str],
    typer.Argument(help="Days and masses, the oldest first: 2026-01-03=210.0g"),
]
ResolutionOption = Annotated[
    str, typer.Option(help="The step of the balance's display, such as '0.1 g'.")
]
LeftOption = Annotated[
    str, typer.Option(help="How much of its mass it may still have to lose.")
]
FreshOption = Annotated[
    bool,
    typer.Option(
        "--fresh", help="The first weighing was made as the wood came into this air."
    ),
]
ThicknessOption = Annotated[
    str | None,
    typer.Option(help="Say whether the pace is likely for wood so thick: '25 mm'."),
]
FileArgument = Annotated[Path, typer.Argument(help="A file exported by a logger.")]
ColumnOption = Annotated[
    list[str] | None,
    typer.Option("--column", help="A header by what it says: temperature=T2."),
]
UnitOption = Annotated[
    list[str] | None,
    typer.Option("--unit", help="temperature=C or F, where the log tells none."),
]
DatesOption = Annotated[
    str, typer.Option(help="day-first or month-first, where the log leaves it open.")
]
OverOption = Annotated[
    str,
    typer.Option(help="Over how long before the log's end: the wood's time constant."),
]
MOST_SHOWN = 14
# Water moves this fast across spruce, and across rosewood and ebony [m2/s].
FAST, SLOW = 2e-10, 1e-11
# Theory is a guide only: thin plates take longer, by days.
WITHIN = 3.0


def add_to(app: typer.Typer) -> None:
    """Add the commands to those that reckon."""
    app.command()(season)
    app.command()(air)


def season(
    weighings: WeighingsArgument,
    resolution: ResolutionOption = "0.1 g",
    left: LeftOption = "0.2 %",
    fresh: FreshOption = False,
    thickness: ThicknessOption = None,
    json: JsonOption = False,
) -> None:
    """Tell where the mass of drying wood will end, and on which day it is nearly there.

    The interval holds the truth in 95 of 100 cases, as long as the room's air stays.
    """
    from ledger import quantities
    from ledger.wood.drying import drying_of, ready_day, remaining_at
    from ledger.wood.uncertainty import Estimate

    first, days, masses = _series(weighings)
    found = drying_of(
        days=days,
        masses=masses,
        resolution=quantities.mass_mg(resolution) / 1e6,
        is_fresh=fresh,
    )
    share = quantities.share_ppm(left) / 1e6
    ready = ready_day(found, remaining=share)
    still = remaining_at(found, day=days[-1])
    end = Estimate(value=found.end_mass.value * 1e3, u=found.end_mass.u * 1e3)
    warnings = [*found.warnings, *_pace(found, thickness)]
    named = [_day(first, each) for each in (ready.least, ready.likely, ready.most)]
    lose = [
        quantities.percent(round(each * 1e6), places=2)
        for each in (still.least, still.likely, still.most)
    ]
    constant = found.time_constant
    answer(
        json,
        [
            f"{'end mass':18}{plus_minus(end.value, end.u, 'g')}",
            f"{'time constant':18}{plus_minus(constant.value, constant.u, 'days')}",
            f"{'still to lose':18}{lose[1]}, {lose[0]} to {lose[2]}",
            f"{left + ' left':18}{named[1]}, between {named[0]} and {named[2]}",
            *(f"note: {text}" for text in warnings),
        ],
        end_mass_g=estimate_data(end),
        time_constant_days=estimate_data(constant),
        remaining_ppm={
            "least": round(still.least * 1e6),
            "likely": round(still.likely * 1e6),
            "most": round(still.most * 1e6),
        },
        ready=dict(zip(("earliest", "likely", "latest"), named, strict=True)),
        method=found.method,
        warnings=warnings,
    )


def air(
    file: FileArgument,
    column: ColumnOption = None,
    unit: UnitOption = None,
    dates: DatesOption = "",
    over: OverOption = "30 days",
    json: JsonOption = False,
) -> None:
    """Tell what a logger's file says of a room: each day, and the moisture it gives."""
    from ledger.acts.airlog import METHOD, read_airlog, trailing_emc
    from ledger.quantities import span_days

    log = read_airlog(
        read_file(file),
        columns=pairs(column or (), MEANINGS),
        units=pairs(unit or (), ("temperature",)),
        dates=dates,
    )
    span = span_days(over)
    notes = list(log.notes)
    try:
        trailing = trailing_emc(log, span_seconds=span * 86_400)
    except RefusedError as refusal:
        trailing = None
        notes.append(f"no mean over {span} days: {refusal}")
    lines = [_day_line(day) for day in log.days[-MOST_SHOWN:]]
    if len(log.days) > MOST_SHOWN:
        lines.insert(0, f"the last {MOST_SHOWN} of {len(log.days)} days")
    if trailing is not None:
        mean = plus_minus(trailing.emc_ppm / 1e4, 1.0, "%")
        lines.append(f"wood comes to {mean} over the last {span} days")
    answer(
        json,
        [*lines, *(f"note: {text}" for text in notes)],
        days=[_fields(day) for day in log.days],
        readings=log.readings,
        first=log.first,
        last=log.last,
        trailing=None if trailing is None else _fields(trailing),
        columns=[list(each) for each in log.columns],
        method=METHOD,
        warnings=notes,
    )


def _fields(found: Any) -> dict[str, Any]:
    from dataclasses import asdict

    return asdict(found)


def _day_line(day: Any) -> str:
    from ledger.quantities import celsius, humidity, percent

    damp = humidity(day.humidity_ppm, places=0)
    least, most = (
        round(each / 1e4) for each in (day.least_humidity_ppm, day.most_humidity_ppm)
    )
    wood = "none" if day.emc_ppm is None else percent(day.emc_ppm, places=1)
    return (
        f"{day.day}  {celsius(day.temperature_millikelvin, places=1):>8}  "
        f"{damp} ({least} to {most})  wood {wood}  {day.readings} readings"
    )


def _series(weighings: Sequence[str]) -> tuple[date, list[float], list[float]]:
    """Read days and masses into days since the first, and kilograms."""
    from ledger.quantities import mass_mg

    days, masses = [], []
    for text in weighings:
        day, found, mass = text.partition("=")
        try:
            days.append(date.fromisoformat(day.strip()))
        except ValueError:
            found = ""
        if not found:
            raise RefusedError(
                f"{text!r} is no weighing: write it like 2026-01-03=210.0g"
            )
        masses.append(mass_mg(mass) / 1e6)
    first = days[0]
    return first, [float((day - first).days) for day in days], masses


def _day(first: date, days: float) -> str:
    """Return the day on which so many have gone by, or the calendar's last one."""
    left = (date.max - first).days
    return (first + timedelta(days=min(-int(-days // 1), left))).isoformat()


def _pace(found: Any, thickness: str | None) -> list[str]:
    """Say whether theory knows of wood that dries so fast, or so slowly."""
    from ledger.quantities import length_um
    from ledger.wood.drying import expected_time_constant

    if thickness is None:
        return []
    thick = length_um(thickness) / 1e6
    fast, slow = (
        expected_time_constant(thickness=thick, diffusion=each) for each in (FAST, SLOW)
    )
    constant = found.time_constant.value
    if fast / WITHIN <= constant <= slow * WITHIN:
        return []
    return [
        f"a time constant of {constant:.1f} days is unlikely for {thickness}, where "
        f"theory knows {fast:.1f} to {slow:.1f}: the room's air may be what changes"
    ]
