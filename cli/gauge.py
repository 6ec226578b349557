"""flitchbook gauge: what measures, when it was right, and what it touched."""

from collections.abc import Iterator
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads, signs
from cli.material import use_data, use_lines
from ledger.craft.wares import Measures, Outcome
from ledger.scales import in_a_row

app = typer.Typer(
    name="gauge",
    help="Rules, scales and meters, and when they were right.",
    no_args_is_help=True,
)
WhatArgument = Annotated[str, typer.Argument(help="What it is, such as dial caliper.")]
GaugeArgument = Annotated[str, typer.Argument(help="A gauge, such as G26-001.")]
MeasuresOption = Annotated[Measures, typer.Option(help="What it measures.")]
MarkOption = Annotated[str | None, typer.Option(help="What stands on it: 'SN 4471'.")]
OnOption = Annotated[str, typer.Option("--on", help="The day; else today.")]
UntilOption = Annotated[str | None, typer.Option(help="The last day it holds for.")]
OutcomeOption = Annotated[
    Outcome,
    typer.Option(help="What came of it: good, adjusted and good since, or failed."),
]
PaperOption = Annotated[str, typer.Option(help="The paper about it, on file.")]
SinceOption = Annotated[
    str | None,
    typer.Option(help="From which day on; else since it was last right, if it failed."),
]
WithinOption = Annotated[int, typer.Option(min=0, help="Within how many days.")]


@signs(app)
def add(
    desk: Desk, what: WhatArgument, measures: MeasuresOption, mark: MarkOption = None
) -> None:
    """Put a gauge on the list; steps name it by its code."""
    from ledger.acts import gauges

    code = gauges.add_gauge(
        desk.shop, what=what, measures=measures, mark=mark, hands=desk.hands()
    )
    same = [] if mark is None else _marked(desk, mark.strip(), code)
    lines = [f"{code}: {what.strip()}. Write the code on it."]
    if same:
        lines.append(
            f"note: the mark {mark} stands on {in_a_row(same)} too: see that it is no "
            f"second entry of the same gauge"
        )
    show.answer(desk, lines, gauge=code)


@signs(app)
def calibrate(
    desk: Desk,
    gauge: GaugeArgument,
    outcome: OutcomeOption,
    on: OnOption = "",
    until: UntilOption = None,
    paper: PaperOption = "",
) -> None:
    """Record that a gauge was compared with a better one, and what came of it."""
    from ledger.acts import gauges
    from ledger.events import GaugeCalibrated
    from ledger.ids import DocumentId

    code, day = _code(desk, gauge), on or desk.shop.day()
    gauges.require_days(day, until)
    event = GaugeCalibrated(
        gauge=code,
        on=day,
        until=until,
        outcome=outcome,
        document=str(DocumentId.parse(desk.own(paper))) if paper else None,
    )
    entry = gauges.calibrate(desk.shop, event, desk.hands())
    lines = [f"{code}: {outcome} on {day}, entry {entry.index}."]
    if outcome == "failed":
        lines.append(
            f"See what it touched with flitchbook gauge show {code}, and place a hold "
            f"with flitchbook hold place {code}."
        )
    show.answer(desk, lines, gauge=code, entry=entry.index)


@reads(app, "list")
def list_(desk: Desk) -> None:
    """List the gauges, and until when each is known to be right."""
    from ledger.views.materials import calibrations_of, gauges

    with desk.shop.store.reading() as session:
        rows = [
            _data(gauge, calibrations_of(session, gauge.gauge))
            for gauge in gauges(session)
        ]
    lines = [_line(row) for row in rows] or ["no gauge is on the list yet"]
    show.answer(desk, lines, gauges=rows)


@reads(app, "show")
def show_(desk: Desk, gauge: GaugeArgument, since: SinceOption = None) -> None:
    """Show a gauge, its calibrations, and all that it touched."""
    from ledger.acts import gauges
    from ledger.acts.signing import holder_names

    code = _code(desk, gauge)
    with desk.shop.store.reading() as session:
        told = gauges.tell(session, code, since=since)
        row = _data(told.gauge, told.calibrations)
        history = [_calibration(each) for each in told.calibrations]
        names = holder_names(desk.shop, session, (use.key for use in told.steps))
        uses = [use_data(use, names[use.key]) for use in told.steps]
        boards = [_touch(each, "meter") for each in told.meterings]
        boards += [_touch(each, "scale") for each in told.weighings]
        plates = [_plate(each) for each in told.graduations]
    serials = sorted({use["serial"] for use in uses})
    lines = [
        _line(row),
        *(f"  {_calibration_words(each)}" for each in history),
        *_doubt_lines(code, told.wrong_since),
        f"  {show.counted(len(serials), 'instrument')} measured with it",
        *use_lines(uses),
        f"  {show.counted(len({b['board'] for b in boards}), 'board')} weighed or "
        f"metered with it by name or code",
        *(f"    {b['board']}  {b['day']}, entry {b['entry']}" for b in boards),
        *_plate_lines(plates),
    ]
    show.answer(
        desk,
        lines,
        **row,
        calibrations=history,
        wrong_since=told.wrong_since,
        instruments=serials,
        uses=uses,
        boards=boards,
        plates=plates,
    )


@reads(app)
def due(desk: Desk, within: WithinOption = 30) -> None:
    """List the gauges that are to be compared within so many days."""
    from ledger.acts import gauges

    with desk.shop.store.reading() as session:
        found = gauges.due(session, today=desk.shop.today(), within_days=within)
        rows = [
            {"gauge": d.gauge.gauge, "what": d.gauge.what, "until": d.until}
            | {"why": d.why}
            for d in found
        ]
    lines = [f"{row['gauge']}: {row['what']}, {row['why']}" for row in rows]
    lines = lines or [f"no gauge is due within {show.counted(within, 'day')}"]
    show.answer(desk, lines, due=rows)


def _marked(desk: Desk, mark: str, code: str) -> list[str]:
    """Return the other gauges on which the same mark stands."""
    from ledger.views.materials import gauges

    with desk.shop.store.reading() as session:
        known = [each for each in gauges(session) if each.gauge != code]
        return [f"{g.gauge} ({g.what})" for g in known if g.mark == mark]


def _code(desk: Desk, text: str) -> str:
    from ledger.benchcodes import GaugeId

    return str(GaugeId.parse(desk.own(text)))


def _data(gauge: Any, calibrations: Any) -> dict[str, Any]:
    newest = calibrations[-1] if calibrations else None
    return {
        "gauge": gauge.gauge,
        "what": gauge.what,
        "measures": gauge.measures,
        "mark": gauge.mark,
        "entry": gauge.idx,
        "outcome": newest.outcome if newest else None,
        "on": newest.day if newest else None,
        "until": newest.until if newest else None,
    }


def _line(row: dict[str, Any]) -> str:
    mark = f", {row['mark']}" if row["mark"] else ""
    state = "never compared with a better one"
    if row["outcome"]:
        until = f", until {row['until']}" if row["until"] else ""
        state = f"{row['outcome']} on {row['on']}{until}"
    what = f"{row['what']} ({row['measures']}){mark}"
    return f"{row['gauge']}: {what}, {state}; entry {row['entry']}"


def _calibration(row: Any) -> dict[str, Any]:
    return {
        "on": row.day,
        "until": row.until,
        "outcome": row.outcome,
        "document": row.document,
        "entry": row.idx,
    }


def _calibration_words(row: dict[str, Any]) -> str:
    until = f", until {row['until']}" if row["until"] else ""
    paper = f", {row['document']}" if row["document"] else ""
    return f"{row['on']} {row['outcome']}{until}{paper}, entry {row['entry']}"


def _doubt_lines(code: str, wrong_since: str | None) -> list[str]:
    if wrong_since is None:
        return []
    if not wrong_since:
        return ["  it failed, and nothing says that it ever was right"]
    return [
        f"  it failed: what it measured since {wrong_since} may be wrong; place a hold "
        f"with flitchbook hold place {code} --since {wrong_since}"
    ]


def _plate(row: Any) -> dict[str, Any]:
    return {"serial": row.serial, "part": row.part, "day": row.day, "entry": row.idx}


def _plate_lines(plates: list[dict[str, Any]]) -> Iterator[str]:
    """Say which plates a gauge was put to, each time that it was."""
    number = len({(each["serial"], each["part"]) for each in plates})
    yield f"  {show.counted(number, 'plate')} graduated with it by name or code"
    for each in plates:
        where = f"{each['day']}, entry {each['entry']}"
        yield f"    {each['part']} of {each['serial']}  {where}"


def _touch(row: Any, how: str) -> dict[str, Any]:
    return {"board": row.board, "day": row.day, "by": how, "entry": row.idx}
