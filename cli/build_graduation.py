"""flitchbook build graduation: the thickness of plates, told, drawn and compared."""

from collections.abc import Iterator
from typing import Annotated, Any

import typer

from cli import pictures, show
from cli.build_graduate import (
    compared_data,
    compared_words,
    hundredths,
    place_data,
    span_words,
)
from cli.context import Desk, reads
from cli.pictures import OutOption, PrintOption

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
PartArgument = Annotated[
    str, typer.Argument(help="The plate: top, back; else every one that was gauged.")
]
AgainstOption = Annotated[
    int | None,
    typer.Option(help="The entry of the map to compare with; else the one before."),
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the build."""
    reads(app)(graduation)


def graduation(
    desk: Desk,
    serial: SerialArgument,
    part: PartArgument = "",
    against: AgainstOption = None,
    out: OutOption = None,
    queue: PrintOption = "",
) -> None:
    """Tell how thick a plate is and how far that is from an older map; draw it."""
    from ledger.acts import graduating
    from ledger.acts.builds import find_build
    from ledger.views.models import plan_of

    place = pictures.place(out, queue)
    code = desk.serial(serial)
    with desk.shop.store.reading() as session:
        maps = graduating.newest_maps(session, code, part, against=against)
        build = find_build(session, code)
        plan = plan_of(session, build.model, build.version)
    lines = [f"{code}: no plate of it was graduated yet."] if not maps else [code]
    for each in maps:
        lines += _lines(each)
    plot = _plot(build, plan, maps) if place else None
    lines += pictures.put(plot, place, day=desk.shop.today())
    picture = str(out) if out else None
    data = [_data(each) for each in maps]
    show.answer(desk, lines, serial=code, plates=data, picture=picture)


def graduated(session: Any, serial: str) -> dict[str, dict[str, Any]]:
    """Tell in short of the newest graduation of each plate of an instrument."""
    from ledger.views.graduations import newest_graduations

    return {
        row.part: {
            "said": f"{_span(row)}, {row.day}, entry {row.idx}",
            "entry": row.idx,
            "thinnest_um": row.thinnest_um,
            "thickest_um": row.thickest_um,
        }
        for row in newest_graduations(session, serial)
    }


def _lines(told: Any) -> Iterator[str]:
    row = told.row
    yield f"  {row.part}: {_span(row)}, {row.day}{_how(row)}, entry {row.idx}"
    if told.before:
        yield f"    {compared_words(told.before, row.serial, row.part)}"


def _span(row: Any) -> str:
    return span_words(row.number, row.thinnest_um, row.thickest_um)


def _how(row: Any) -> str:
    """Say with what a plate was gauged, and how far it was made."""
    gauge = f" with {row.gauge}" if row.gauge else ""
    return f"{gauge}, {row.stage}" if row.stage else gauge


def _data(told: Any) -> dict[str, Any]:
    row = told.row
    return {
        "part": row.part,
        "entry": row.idx,
        "day": row.day,
        "length_um": row.length_um,
        "width_um": row.width_um,
        "gauge": row.gauge,
        "stage": row.stage,
        "places": [place_data(each) for each in told.places],
        "before": compared_data(told.before),
    }


def _plot(build: Any, plan: Any, maps: list[Any]) -> Any:
    """Return the maps of an instrument's plates as they are drawn."""
    from labels.plot_figure import Heading
    from labels.plot_graduation_facts import Graduation

    kind = plan.family or plan.instrument
    heading = Heading(
        title=_title(build, kind, maps),
        where=_where(build, maps),
        entries=tuple(each.row.idx for each in maps),
    )
    plates = tuple(map(_drawn, maps))
    return Graduation(heading=heading, kind=kind, plates=plates)


def _drawn(told: Any) -> Any:
    from labels.plot_graduation_facts import Place, Plate

    row = told.row
    return Plate(
        name=f"{row.part}, {show.counted(row.number, 'place')}",
        length_um=row.length_um,
        width_um=row.width_um,
        places=tuple(
            Place(x_um=p.x_um, y_um=p.y_um, thickness_um=p.thickness_um)
            for p in told.places
        ),
        said=tuple(_said(told)),
    )


def _said(told: Any) -> Iterator[str]:
    """Yield what is told of a plate beside its picture."""
    from ledger.quantities import millimetres

    row = told.row
    wide = f", {millimetres(row.width_um)} wide" if row.width_um else ""
    yield f"The plate is {millimetres(row.length_um)} long{wide}."
    mean = sum(place.thickness_um for place in told.places) / row.number
    yield f"Mean of the {row.number} places: {millimetres(round(mean), places=2)}."
    yield f"Gauged with {row.gauge}." if row.gauge else "Nobody said with what gauge."
    if row.stage:
        yield f"Stage: {row.stage}."
    if told.before:
        words = compared_words(told.before, row.serial, row.part)
        yield f"{words[:1].upper()}{words[1:]}."


def _title(build: Any, kind: str, maps: list[Any]) -> str:
    """Return the finding: where one plate is thickest, or what each comes to."""
    from labels.plot_graduation_facts import finding

    if not maps:
        return f"{build.serial} has no graduation yet"
    if len(maps) == 1:
        return finding(_drawn(maps[0]), kind)
    spans = [
        f"the {each.row.part} {hundredths(each.row.thinnest_um)} to "
        f"{hundredths(each.row.thickest_um)}"
        for each in maps
    ]
    said = f"{', '.join(spans)} thick"
    return f"{said[:1].upper()}{said[1:]}"


def _where(build: Any, maps: list[Any]) -> str:
    """Return which plates these are, of what, when they were gauged, and the unit."""
    of = f"{build.serial}, {build.model}"
    days = sorted({each.row.day for each in maps})
    when = f", gauged {' and '.join(days)}" if days else ""
    if len(maps) == 1:
        row = maps[0].row
        of = f"{row.part} of {of}, {show.counted(row.number, 'place')}"
    return f"{of}{when}; thickness in mm"
