"""flitchbook lot rest: how the masses of boards went, as a table and as a picture."""

import re
from collections.abc import Iterator, Sequence
from typing import Annotated, Any

import typer

from cli import pictures, show
from cli.board_rest import ahead_data, verdict_data, verdict_lines
from cli.context import Desk, reads
from cli.lot_ready import reason_lines
from cli.pictures import OutOption, PrintOption

CodesArgument = Annotated[
    list[str], typer.Argument(help="Lots, sets or boards, such as L26-031.")
]
BoardOption = Annotated[
    str | None, typer.Option(help="Which of them the picture looks at closer.")
]
# A table of masses has room for so many days: the first and the last ones.
MOST_DAYS = 5


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the lot."""
    reads(app)(rest)


def rest(
    desk: Desk,
    codes: CodesArgument,
    board: BoardOption = None,
    out: OutOption = None,
    queue: PrintOption = "",
) -> None:
    """Tell how the masses of boards went, who is ready, and of the others why not."""
    from ledger.acts.seasons import seasons

    place = pictures.place(out, queue)
    today = desk.shop.today()
    with desk.shop.store.reading() as session:
        found = seasons(
            session,
            [desk.own(code) for code in codes],
            today=today,
            chosen=desk.own(board) if board else None,
        )
        lines = list(_table(found))
        data = [_season_data(season) for season in found.boards]
        plot = _plot(found) if place else None
    lines += pictures.put(plot, place, day=today)
    show.answer(
        desk,
        lines,
        boards=data,
        chosen=found.chosen.board.code,
        stubborn=found.stubborn.board.code if found.stubborn else None,
        rest=_rest_data(found.rest),
        picture=str(out) if out else None,
    )


def _table(found: Any) -> Iterator[str]:
    """Yield the masses of boards, a board a line, then why some are not ready yet."""
    days = _days(found.boards)
    wide = max(len(season.board.code) for season in found.boards)
    if days:
        head = "  ".join(f"{day:>10}" for day in days)
        yield f"{'':{wide}}  {head}  {'left':>7}  at rest about"
    for season in found.boards:
        masses = dict(season.weighings)
        cells = "  ".join(_grams(masses.get(day)) for day in days)
        said = verdict_lines(season.board, season.verdict)[0]
        state = re.split("[:,]", said)[0]
        rests = getattr(season.ahead, "likely", "?")
        left = _share(season.left_ppm)
        yield f"{season.board.code:{wide}}  {cells}  {left:>7}  {rests:10}  {state}"
    told = [(season.board.code, _why(season)) for season in found.boards]
    yield from reason_lines(told, len(told))
    if found.stubborn:
        left = _share(found.stubborn.left_ppm)
        yield f"most to lose: {found.stubborn.board.code}, {left}"


def _why(season: Any) -> tuple[str, ...]:
    """Return the reasons why a board is not ready, or cannot be foretold."""
    reasons: tuple[str, ...] = season.verdict.reasons
    if isinstance(season.ahead, str):
        return (*reasons, f"no forecast: {season.ahead}")
    return reasons


def _days(boards: Sequence[Any]) -> list[str]:
    """Return the days that a table has room for: the first and the last of all."""
    every = sorted({day for season in boards for day, _ in season.weighings})
    if len(every) <= MOST_DAYS:
        return every
    return [every[0], *every[1 - MOST_DAYS :]]


def _grams(mass_mg: int | None) -> str:
    from ledger.quantities import grams

    return f"{'' if mass_mg is None else grams(mass_mg, places=1):>10}"


def _share(ppm: int | None) -> str:
    from ledger.quantities import percent

    return "" if ppm is None else percent(ppm, places=2)


def _season_data(season: Any) -> dict[str, Any]:
    return {
        "board": season.board.code,
        "species": season.species,
        "since": season.since,
        "weighings": [
            {"day": day, "mass_mg": mass_mg} for day, mass_mg in season.weighings
        ],
        "left_ppm": season.left_ppm,
        "forecast": ahead_data(season.ahead),
    } | verdict_data(season.board, season.verdict)


def _rest_data(rest: Any) -> dict[str, Any] | None:
    if rest is None:
        return None
    return {
        "low_mg": rest.low_mg,
        "high_mg": rest.high_mg,
        "emc_ppm": rest.emc_ppm,
        "around_emc_ppm": rest.around_ppm,
    }


def _plot(found: Any) -> Any:
    """Return the seasons as they are drawn."""
    from labels.plot_seasoning import Seasoning

    apart = {found.chosen.board.code}
    if found.stubborn:
        apart.add(found.stubborn.board.code)
    return Seasoning(
        heading=_heading(found),
        what="board",
        chosen=_series(found.chosen),
        stubborn=(
            (_series(found.stubborn, note=f"{_share(found.stubborn.left_ppm)} left"),)
            if found.stubborn
            else ()
        ),
        siblings=tuple(
            _series(season) for season in found.boards if season.board.code not in apart
        ),
        fitted=_fitted(found.chosen),
        ready=_ready(found.chosen),
        rest=_band(found.rest),
        least_days=found.limits.least_days or None,
        preferred_days=found.limits.preferred_days or None,
    )


def _heading(found: Any) -> Any:
    from labels.plot_figure import Heading

    count = sum(bool(season.verdict) for season in found.boards)
    lots = sorted({season.board.lot for season in found.boards})
    woods = sorted({season.species for season in found.boards})
    method = getattr(found.chosen.ahead, "method", "")
    worst = found.stubborn or found.chosen
    is_slow = (worst.left_ppm or 0) > found.within_ppm
    slow = f"; {worst.board.code} has most to lose" if is_slow else ""
    fitted = f"; fitted: {method}" if method else ""
    return Heading(
        title=f"{count} of {len(found.boards)} ready, lot {', '.join(lots)}{slow}",
        where=f"{', '.join(woods)}{fitted}",
        entries=(),
    )


def _series(season: Any, note: str = "") -> Any:
    from labels.plot_seasoning import Series

    return Series(
        name=season.board.code, weights=_weights(season, season.weighings), note=note
    )


def _weights(season: Any, rows: Sequence[tuple[str, int]]) -> tuple[Any, ...]:
    from labels.plot_seasoning import Weight

    return tuple(
        Weight(rest_days=season.rest_days(day), mass_mg=mass) for day, mass in rows
    )


def _fitted(season: Any) -> tuple[Any, ...]:
    return _weights(season, getattr(season.ahead, "curve", ()))


def _ready(season: Any) -> Any:
    from labels.plot_seasoning import Ready

    ahead = season.ahead
    if isinstance(ahead, str) or ahead.latest is None:
        return None
    return Ready(
        likely_days=season.rest_days(ahead.likely),
        first_days=season.rest_days(ahead.earliest),
        last_days=season.rest_days(ahead.latest),
    )


def _band(rest: Any) -> Any:
    from labels.plot_seasoning import RestBand
    from ledger.quantities import percent

    if rest is None:
        return None
    emc, around = (percent(ppm, places=1) for ppm in (rest.emc_ppm, rest.around_ppm))
    return RestBand(
        low_mg=rest.low_mg,
        high_mg=rest.high_mg,
        why=f"the {rest.air.room}'s air gives {emc}, ± {around} by the house",
    )
