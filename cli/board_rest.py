"""flitchbook board ready, override: whether a board may be used, and if not, why."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Annotated, Any

import typer

from cli import show
from cli.context import WHY, Desk, reads, signs

SetArgument = Annotated[str, typer.Argument(help="A board or a set, or its scan.")]
CodesArgument = Annotated[
    list[str], typer.Argument(help="Boards, sets or a whole lot, such as L26-031.")
]
SerialArgument = Annotated[str, typer.Argument(help="The instrument's serial.")]
ReasonOption = Annotated[str, typer.Option(*WHY, help="Why, in the lead's own words.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the board."""
    reads(app)(ready)
    signs(app)(override)


def ready(desk: Desk, codes: CodesArgument) -> None:
    """Tell which boards may be used, and of the others why not and when."""
    from ledger.acts.boards import boards_meant
    from ledger.acts.forecast import forecast
    from ledger.acts.resting import judged, rack_of
    from ledger.views.behind import entries_behind

    told: list[tuple[list[str], str, Any]] = []
    data: list[dict[str, Any]] = []
    today = desk.shop.today()
    with desk.shop.store.reading() as session:
        named = [b for code in codes for b in boards_meant(session, desk.own(code))]
        boards = list({board.code: board for board in named}.values())
        rack = rack_of(session, boards)
        behind = entries_behind(session, [board.code for board in boards])
        for row in boards:
            verdict = judged(rack, row, today=today)
            ahead = forecast(session, row, rack=rack)
            told.append((verdict_lines(row, verdict), row.code, ahead))
            data.append(
                {"board": row.code, "forecast": ahead_data(ahead)}
                | verdict_data(row, verdict)
                | {"entries": list(behind[row.code])}
            )
    lines: list[str] = []
    # A lot's boards mostly wait for the same: it is said once for all in a row.
    for said, group in groupby(told, key=itemgetter(0)):
        alike = [(code, ahead) for _, code, ahead in group]
        who = show.listed([code for code, _ in alike])
        lines += [f"{who}  {said[0]}", *said[1:]]
        # Who is ready or used is not asked when it will be.
        if len(said) > 1:
            is_alone = len(boards) == 1
            lines += [f"    {each}" for each in _ahead(alike, today, full=is_alone)]
    show.answer(desk, lines, boards=data)


def _ahead(
    alike: Sequence[tuple[str, Any]], today: str, *, full: bool
) -> Iterator[str]:
    """Yield when boards that wait for the same will be at rest, by their masses.

    Of one board asked for alone it is also told why nobody can tell, or how surely.
    """
    known = [(each.likely, code, each) for code, each in alike if not _is_none(each)]
    if full:
        ((_, ahead),) = alike
        yield ahead_words(ahead, today)
        yield from (f"    note: {text}" for text in getattr(ahead, "warnings", ()))
    elif len(known) > show.MOST_LISTED:
        (first, one, _), (last, other, _) = (
            pick(known, key=itemgetter(0, 1)) for pick in (min, max)
        )
        yield f"at rest from about {first} ({one}) to about {last} ({other})"
    else:
        for _, code, ahead in known:
            who = f"{code} " if len(alike) > 1 else ""
            yield f"{who}{ahead_words(ahead, today)}"


def _is_none(ahead: Any) -> bool:
    """Tell whether a forecast is only the reason why there is none."""
    return isinstance(ahead, str)


def waits_lines(row: Any, verdict: Any, ahead: Any, today: str) -> Iterator[str]:
    """Yield when a board that still waits will be at rest; of no other one asks."""
    if not verdict and _used(row) is None and row.rejected_idx is None:
        yield ahead_words(ahead, today)


def ahead_words(ahead: Any, today: str) -> str:
    """Say when a board will be at rest, or why nobody can tell."""
    from ledger.acts.forecast import forecast_words

    if _is_none(ahead):
        return f"no forecast: {ahead}"
    return forecast_words(ahead, today=today)


def ahead_data(ahead: Any) -> dict[str, Any]:
    """Return a forecast for a program, or why there is none."""
    if _is_none(ahead):
        return {"refused": ahead}
    return {
        "likely": ahead.likely,
        "earliest": ahead.earliest,
        "latest": ahead.latest,
        "within_ppm": ahead.within_ppm,
        "left_ppm": ahead.left_ppm,
        "end_mass_mg": ahead.end_mass_mg,
        "end_mass_uncertainty_mg": ahead.u_end_mass_mg,
        "time_constant_seconds": ahead.time_constant_seconds,
        "time_constant_uncertainty_seconds": ahead.u_time_constant_seconds,
        "weighings": len(ahead.weighed),
        "method": ahead.method,
        "warnings": list(ahead.warnings),
    }


def override(
    desk: Desk, board: SetArgument, serial: SerialArgument, reason: ReasonOption
) -> None:
    """Let a board be used in one instrument before it is ready, and say why."""
    from ledger.acts import overrides
    from ledger.ids import BoardId

    code, number = str(BoardId.parse(desk.own(board))), desk.serial(serial)
    entries = overrides.override(
        desk.shop, code=code, serial=number, reason=reason, hands=desk.hands()
    )
    allowed = [entry.event["board"] for entry in entries]
    against = list(dict.fromkeys(r for e in entries for r in e.event["against"]))
    lines = [
        f"{' and '.join(allowed)}: may be used in {number}, against: "
        f"{'; '.join(against)}.",
    ]
    show.answer(desk, lines, boards=allowed, serial=number, against=against)


def _used(row: Any) -> str | None:
    """Say why a board is not there to be used at all, if it is not."""
    if row.became_idx is not None:
        return f"made into pieces by entry {row.became_idx}"
    if row.struck_idx is not None:
        return f"its number was struck by entry {row.struck_idx}"
    if row.returned_idx is not None:
        return f"went back to the sawyer by entry {row.returned_idx}"
    if row.off_idx is not None:
        return f"spoiled, or taken off its instrument, by entry {row.off_idx}"
    if row.serial is not None:
        return f"allotted to {row.serial} by entry {row.allotted_idx}"
    return None


def verdict_lines(row: Any, verdict: Any) -> list[str]:
    """Say in capitals whether a board may be used, and below it why not."""
    from ledger.craft.seasoning import when_words

    used = _used(row)
    if used:
        return [f"USED: {used}"]
    if row.rejected_idx is not None:
        return [f"REJECTED: by entry {row.rejected_idx}"]
    if verdict:
        return [f"READY{_better(verdict)}"]
    is_later = verdict.preferred and verdict.preferred > verdict.earliest
    preferred = f", preferred {verdict.preferred}" if is_later else ""
    first = f"NOT YET: {when_words(verdict)}{preferred}"
    return [first, *(f"    {reason}" for reason in verdict.reasons)]


def _better(verdict: Any) -> str:
    """Say when it would be better still, if that day is to come."""
    is_later = verdict.preferred and verdict.preferred > verdict.earliest
    return f", better from {verdict.preferred}" if is_later else ""


def verdict_data(row: Any, verdict: Any) -> dict[str, Any]:
    """Return whether a board may be used, for a program."""
    used = _used(row)
    return {
        "is_ready": bool(verdict) and used is None and row.rejected_idx is None,
        "used": used,
        "rejected_by": row.rejected_idx,
        "reasons": list(verdict.reasons),
        "earliest": verdict.earliest,
        "preferred": verdict.preferred,
    }
