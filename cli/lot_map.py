"""flitchbook lot map: density against stiffness along the grain, board by board."""

from collections import defaultdict
from collections.abc import Iterator
from typing import Annotated, Any

import typer

from cli import pictures, show
from cli.board_tap import plus_minus
from cli.context import Desk, reads
from cli.pictures import OutOption, PrintOption

CodesArgument = Annotated[
    list[str], typer.Argument(help="Lots such as L26-031, or boards and sets.")
]
ChosenOption = Annotated[
    list[str], typer.Option(help="A board or set to ring; may be repeated.")
]
MoistureOption = Annotated[
    str,
    typer.Option("--at-moisture", help="Bring all to this, such as '8 %'; else as is."),
]
NOT_TONE = "R = √(E/ρ³), sound speed over density: a measured number, no tone"


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the lot."""
    reads(app, "map")(map_)


def map_(
    desk: Desk,
    codes: CodesArgument,
    chosen: ChosenOption = [],  # noqa: B006 - typer reads the default
    at_moisture: MoistureOption = "",
    out: OutOption = None,
    queue: PrintOption = "",
) -> None:
    """Show where the tapped boards of lots lie by density and stiffness along.

    Each by its newest tap as a plate; the two halves of a set are joined by a line.
    """
    from ledger.acts.woodmap import wood_map
    from ledger.quantities import moisture_ppm

    place = pictures.place(out, queue)
    with desk.shop.store.reading() as session:
        made = wood_map(
            session,
            [desk.own(code) for code in codes],
            chosen=[desk.own(code) for code in chosen],
            moisture_ppm=moisture_ppm(at_moisture) if at_moisture else None,
            progress=show.Progress("working out boards"),
        )
    lines = list(_lines(made))
    if place:
        lines += pictures.put(_plot(made), place, day=desk.shop.today())
    show.answer(
        desk,
        lines,
        boards=[_data(spot) for spot in made.spots],
        chosen=list(made.chosen),
        moisture_ppm=made.moisture_ppm,
        notes=list(made.notes),
        picture=str(out) if out else None,
    )


def _lines(made: Any) -> Iterator[str]:
    if made.spots:
        yield f"{show.counted(len(made.spots), 'board')}, {_condition(made)}"
    for spot in made.spots:
        density = plus_minus(
            spot.density_gram_per_m3 / 1e3, spot.u_density_gram_per_m3 / 1e3, "kg/m³"
        )
        along = plus_minus(spot.e_along_pa / 1e9, spot.u_e_along_pa / 1e9, "GPa")
        ring = "  chosen" if spot.set in made.chosen else ""
        yield (
            f"  {spot.board:<14} {density}, E along {along}, {spot.state}, entry "
            f"{spot.entry}{ring}"
        )
    methods = sorted({spot.method for spot in made.spots})
    yield from (f"  method: {method}" for method in methods)
    if not made.spots:
        yield "none of these boards was tapped as a plate yet: flitchbook board tap"
    yield from (f"note: {text}" for text in made.notes)


def _condition(made: Any) -> str:
    from ledger.quantities import percent

    if made.moisture_ppm is None:
        return "as measured"
    return f"at {percent(made.moisture_ppm)} MC"


def _data(spot: Any) -> dict[str, Any]:
    names = (
        *("board", "lot", "species", "state", "density_gram_per_m3", "e_along_pa"),
        *("u_density_gram_per_m3", "u_e_along_pa", "method", "entry"),
    )
    return {name: getattr(spot, name) for name in names}


def _plot(made: Any) -> Any:
    """Return the map as it is drawn; marks tell lots, or in one lot what became."""
    from labels.plot_figure import Heading
    from labels.plot_map import Half, Piece, WoodMap

    sets: dict[str, list[Any]] = defaultdict(list)
    for spot in made.spots:
        sets[spot.set].append(spot)
    mark = "lot" if len({spot.lot for spot in made.spots}) > 1 else "state"
    typical = made.typical
    return WoodMap(
        heading=Heading(
            title=_title(made, len(sets)),
            where=NOT_TONE,
            entries=tuple(spot.entry for spot in made.spots),
        ),
        condition=_condition(made),
        pieces=tuple(
            Piece(
                name=name,
                halves=tuple(
                    Half(
                        density_gram_per_m3=spot.density_gram_per_m3,
                        e_along_pa=spot.e_along_pa,
                    )
                    for spot in halves
                ),
                group=getattr(halves[0], mark),
                chosen=name in made.chosen,
            )
            for name, halves in sets.items()
        ),
        typical=Half(density_gram_per_m3=typical[0], e_along_pa=typical[1])
        if typical
        else None,
    )


def _title(made: Any, count: int) -> str:
    if not made.spots:
        return "Density and stiffness along: nothing tapped yet"
    lots = sorted({spot.lot for spot in made.spots})
    of = f"{show.counted(count, 'piece')} of {show.listed(lots)}"
    if not made.chosen:
        return f"Density and stiffness along: {of}"
    was = "was" if len(made.chosen) == 1 else "were"
    return f"{show.listed(made.chosen)} {was} chosen from {of}"
