"""flitchbook lot plots: where a lot grew, filed, shown, and written as GeoJSON."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, signs
from ledger.errors import RefusedError

LotArgument = Annotated[str, typer.Argument(help="A lot, such as L26-031.")]
FileArgument = Annotated[
    Path | None,
    typer.Argument(help="Its plots as GeoJSON; without it, what is filed is shown."),
]
FromOption = Annotated[
    str, typer.Option("--harvested-from", help="The first day of the harvest.")
]
ToOption = Annotated[
    str, typer.Option("--harvested-to", help="The last day of the harvest.")
]
PersonalOption = Annotated[
    bool,
    typer.Option("--personal", help="They say where somebody lives: forgettable."),
]
AsReadOption = Annotated[
    bool,
    typer.Option("--as-read", help="They were looked at twice: take them as drawn."),
]
WithOption = Annotated[
    list[str],
    typer.Option("--with", help="Another lot to write beside it; may be repeated."),
]
OutOption = Annotated[
    Path | None,
    typer.Option("--out", help="Where they are written: a new .geojson file."),
]
ENDINGS = (".geojson", ".json")
MOST_SHOWN = 20


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the lot."""
    signs(app)(plots)


def plots(
    desk: Desk,
    lot: LotArgument,
    file: FileArgument = None,
    harvested_from: FromOption = "",
    harvested_to: ToOption = "",
    personal: PersonalOption = False,
    as_read: AsReadOption = False,
    with_: WithOption = [],  # noqa: B006 - typer reads the default
    out: OutOption = None,
) -> None:
    """File the plots on which a lot grew, show them, or write them as GeoJSON."""
    from ledger.ids import LotId

    _require_sense(
        file,
        out,
        days=(harvested_from, harvested_to),
        is_of_a_file=personal or as_read,
        others=with_,
    )
    codes = [str(LotId.parse(desk.own(code))) for code in (lot, *with_)]
    if file is not None:
        told = {
            "harvested_from": harvested_from,
            "harvested_to": harvested_to,
            "is_personal": personal,
            "as_read": as_read,
        }
        _file(desk, codes[0], file, told)
    else:
        _show(desk, list(dict.fromkeys(codes)), out)


def _require_sense(
    file: Path | None,
    out: Path | None,
    *,
    days: tuple[str, str],
    is_of_a_file: bool,
    others: list[str],
) -> None:
    """Refuse options that have nothing to do with what was asked for."""
    if file is not None and (out or others):
        raise RefusedError(
            "plots are filed or written, not both at once: file them first, then "
            "write them with --out"
        )
    if file is not None and not all(days):
        raise RefusedError(
            "say when it was cut: give --harvested-from and --harvested-to, the same "
            "day twice if it was one"
        )
    if file is None and (any(days) or is_of_a_file):
        raise RefusedError(
            "there is no file to be filed: name it after the lot, such as plots.geojson"
        )
    if others and out is None:
        raise RefusedError("several lots are written, not shown: give --out")
    if out is not None:
        if out.suffix.casefold() not in ENDINGS:
            raise RefusedError(f"{out} does not end in .geojson: name another")
        show.require_new(out)


def _file(desk: Desk, lot: str, file: Path, told: dict[str, Any]) -> None:
    from ledger.acts.plots import PlotsDraft, file_plots

    draft = PlotsDraft(lot=lot, data=show.read_file(file), **told)
    made = file_plots(desk.shop, draft, desk.hands())
    read, doubts = made.read, _said(made.doubts)
    lines = [
        f"{made.document}: {show.counted(len(read.plots), 'plot')} of {lot}, on file  "
        f"(entry {made.entry})",
        *_where(read),
        f"  {_compare(lot, made.countries)}",
        *(f"note: {text}; filed as drawn" for text in doubts),
        *(f"note: {text}" for text in read.notes),
    ]
    show.answer(
        desk,
        lines,
        document=made.document,
        lot=lot,
        entry=made.entry,
        countries=list(made.countries),
        plots=_plots_data(read),
        doubts=doubts,
        notes=list(read.notes),
    )


def _show(desk: Desk, codes: list[str], out: Path | None) -> None:
    from ledger.acts.plots import plots_file, plots_on_file

    with desk.shop.store.reading() as session:
        found = tuple(plots_on_file(desk.shop, session, code) for code in codes)
        lines = [line for one in found for line in _lines(one)]
        data = [_data(one) for one in found]
    if out is not None:
        with show.new_file(out, plots_file(found)):
            lines.append(f"plots: {out}")
    show.answer(desk, lines, lots=data, file=str(out) if out else None)


def _lines(one: Any) -> Iterator[str]:
    if one.filed is None:
        yield (
            f"{one.lot}: no plots on file; ask the sawyer where it grew, and file them "
            f"with flitchbook lot plots {one.lot} FILE"
        )
        return
    filed = one.filed
    yield (
        f"{one.lot}: {one.species}, {show.counted(filed.number, 'plot')}, cut "
        f"{filed.harvested_from} to {filed.harvested_to}, paper {filed.document}  "
        f"(entry {filed.idx})"
    )
    if one.read is None:
        yield "  where they lie went with the sawyer's particulars"
        return
    yield from _where(one.read)
    yield f"  {_compare(one.lot, one.countries)}"
    for text in _doubts(one.read):
        yield f"  note: {text}"


def _where(read: Any) -> Iterator[str]:
    """Tell where plots lie, so that whoever knows the land sees them swapped."""
    from ledger.trade.plots import middle
    from ledger.trade.plotsizes import size_words

    yield f"  around {middle(read.plots)}"
    for name, plot in list(zip(read.names, read.plots, strict=True))[:MOST_SHOWN]:
        yield f"  {name}: {size_words(plot.hectares)}, around {middle([plot])}"
    if len(read.plots) > MOST_SHOWN:
        yield f"  and {len(read.plots) - MOST_SHOWN} more"


def _compare(lot: str, countries: Sequence[str]) -> str:
    """Say what to look for on a map: nothing here knows where a border runs."""
    from ledger.trade.movement import one_of_places, place_words

    if not countries:
        return (
            f"no country of harvest of {lot} is on record: look on a map in which one "
            f"the plots lie, ask whoever sold it, and name it with flitchbook lot "
            f"harvest {lot}"
        )
    if len(countries) > 1:
        return (
            f"{lot} was harvested in {one_of_places(countries)} by our record: look on "
            f"a map in which of them the plots lie"
        )
    return (
        f"{lot} was harvested in {place_words(countries[0])} by our record: look on a "
        f"map that the plots lie there; if not, longitude and latitude may be swapped"
    )


def _doubts(read: Any) -> list[str]:
    from ledger.trade.plotsizes import doubts

    return _said(doubts(read))


def _said(doubts: Any) -> list[str]:
    return [one.said for one in doubts]


def _data(one: Any) -> dict[str, Any]:
    filed = one.filed
    return {
        "lot": one.lot,
        "species": one.species,
        "document": filed and filed.document,
        "entry": filed and filed.idx,
        "harvested_from": filed and filed.harvested_from,
        "harvested_to": filed and filed.harvested_to,
        "number": filed.number if filed else 0,
        "countries": list(one.countries),
        "plots": None if one.read is None else _plots_data(one.read),
        "doubts": [] if one.read is None else _doubts(one.read),
    }


def _plots_data(read: Any) -> list[dict[str, Any]]:
    return [
        {
            "name": name,
            "kind": plot.kind,
            "hectares": plot.hectares and round(plot.hectares, 4),
        }
        for name, plot in zip(read.names, read.plots, strict=True)
    ]
