"""flitchbook build next, stuck: how a build goes on, and which stand still."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads
from ledger.scales import in_a_row

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
DaysOption = Annotated[
    int, typer.Option(min=1, help="So many days without an entry are too many.")
]
AllOption = Annotated[
    bool,
    typer.Option("--all", help="Every step that waits, for what, however far back."),
]
# So many steps that wait are told; what waits behind them waits for them.
MOST_WAITING = 6


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the build."""
    reads(app, "next")(next_)
    reads(app)(stuck)


def next_(desk: Desk, serial: SerialArgument, all_: AllOption = False) -> None:
    """Tell which steps can be done now and by whom, and what blocks each other one."""
    from ledger.acts import progress

    code = desk.serial(serial)
    with desk.shop.store.reading() as session:
        found = progress.next_of(desk.shop, session, code)
        lines = list(_next_lines(found, is_all=all_))
        data = {
            "serial": code,
            "model": found.build.model,
            "version": found.build.version,
            "done": found.done,
            "steps": found.steps,
            "ready": [asdict(step) for step in found.ready],
            "checks": [asdict(step) for step in found.checks],
            "blocked": [asdict(step) for step in found.blocked],
            "doubts": list(found.doubts),
            "entries": list(found.entries),
            "certificate": found.certificate,
        }
    show.answer(desk, lines, **data)


def stuck(desk: Desk, days: DaysOption = 14) -> None:
    """List the builds that are late or of which nothing was said for so many days."""
    from ledger.acts import stuck as still_standing

    with desk.shop.store.reading() as session:
        found = still_standing.stuck(desk.shop, session, days=days)
    lines = [line for still in found for line in _still_lines(still)]
    span = show.counted(days, "day")
    nothing = [f"no build is late, and something was said of each within {span}"]
    show.answer(
        desk,
        lines or nothing,
        builds=[asdict(still) | {"entry": still.idx} for still in found],
    )


def _next_lines(found: Any, *, is_all: bool) -> Iterator[str]:
    build = found.build
    yield (
        f"{build.serial}: {build.model}, version {build.version}, {found.done} of "
        f"{show.counted(found.steps, 'step')} done{_resting_on(found)}"
    )
    if found.certificate:
        yield f"it has its certificate {found.certificate}"
    yield from (f"nothing of it goes on: {doubt}" for doubt in found.doubts)
    if found.ready:
        yield "can be done now"
        for step in found.ready:
            yield f"{_named(step)}, by {_by(step)}"
            yield from _again(step)
    if found.checks:
        yield "was done, and waits for another"
        for step in found.checks:
            wanted = f"{_named(step)}: {_wanted(step)}"
            yield wanted if found.doubts else f"{wanted}, by {_by(step)}"
    if found.blocked:
        yield "waits"
        most = None if is_all else MOST_WAITING
        for step in found.blocked[:most]:
            why = step.reasons if is_all else step.near
            why = [reason for reason in why if reason not in found.doubts]
            yield f"{_named(step)}: {'; '.join(why) or 'for that doubt alone'}"
            yield from _again(step)
        if len(found.blocked[:most]) < len(found.blocked):
            more = len(found.blocked) - MOST_WAITING
            yield f"  and {show.counted(more, 'step')} after that: --all lists them"
    if found.done == found.steps:
        yield "every step done"


def _resting_on(found: Any) -> str:
    if not found.entries:
        return ""
    first, last = found.entries[0], found.entries[-1]
    if first == last:
        return f" (entry {first})"
    return f" ({len(found.entries)} signatures, entries {first} to {last})"


def _again(step: Any) -> Iterator[str]:
    if step.again:
        yield f"     again: {step.again}"


def _named(step: Any) -> str:
    return f"  {step.number:>2} {step.step}"


def _wanted(step: Any) -> str:
    if step.state == "needs countersign":
        return "needs a countersign"
    return f"is to be {step.gate}"


def _by(step: Any) -> str:
    """Return who may do it alone; who learns it is not everybody's business."""
    alone = [who.name for who in step.who]
    return in_a_row(alone) if alone else f"nobody here: it needs {step.qualification}"


def _still_lines(still: Any) -> Iterator[str]:
    told = [f"due {still.due}, {show.counted(still.late_days, 'day')} late"]
    if not still.late_days:
        told = [f"due {still.due}"] if still.due else []
    told.append(
        f"nothing said for {show.counted(still.days, 'day')}, since {still.since}, "
        f"entry {still.idx}"
    )
    yield f"{still.serial}: {still.model}, {', '.join(told)}"
    yield f"  {still.waits}"
