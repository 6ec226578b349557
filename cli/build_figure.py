"""flitchbook build figure: which wood every part of an instrument is of."""

from functools import partial
from typing import Annotated, Any, Literal

import typer

from cli import pictures, show
from cli.context import Desk, reads
from cli.pictures import OutOption, PrintOption
from ledger.scales import in_a_row

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
ViewOption = Annotated[
    Literal["faces", "side"],
    typer.Option("--view", help="What is drawn: both faces, or the side."),
]
NO_WOOD = "no wood yet"
NOT_KNOWN = "wood not known"


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the build."""
    reads(app)(figure)


def figure(
    desk: Desk,
    serial: SerialArgument,
    out: OutOption = None,
    view: ViewOption = "faces",
    queue: PrintOption = "",
) -> None:
    """Tell which wood each part of an instrument is of; draw it with --out."""
    place = pictures.place(out, queue)
    code = desk.serial(serial)
    with desk.shop.store.reading() as session:
        title, rows, plot = figure_of(session, code, view)
    lines = [f"{title}.", *(f"  {row['part']}: {_words(row)}" for row in rows)]
    lines += pictures.put(plot() if place else None, place, day=desk.shop.today())
    if view != "faces" and not place:
        lines.append(f"note: a view is drawn, so give --view {view} --out or --print")
    picture = str(out) if out else None
    show.answer(desk, lines, serial=code, parts=rows, picture=picture)


def figure_of(
    session: Any, code: str, view: Any = "faces"
) -> tuple[str, list[dict[str, Any]], Any]:
    """Return its title, the woods of each part, and what makes the drawing of them."""
    from ledger.acts.builds import find_build
    from ledger.views.models import plan_of

    build = find_build(session, code)
    plan = plan_of(session, build.model, build.version)
    woods = _woods(session, code)
    parts = [
        part.part for part in plan.parts if part.part in woods or not part.optional
    ]
    parts += [part for part in woods if part not in parts]
    rows = [{"part": part, **woods.get(part, _nothing())} for part in parts]
    title = _title(code, rows)
    return title, rows, partial(_silhouette, title, plan, build, rows, view)


def _nothing() -> dict[str, Any]:
    return {"species": [], "boards": [], "entries": []}


def _woods(session: Any, serial: str) -> dict[str, dict[str, Any]]:
    """Return the woods of each part that has any, both halves of a set as one."""
    from ledger.acts.measuring import species_in
    from ledger.views.boards import boards_in, set_of
    from ledger.views.wood import UNKNOWN

    found: dict[str, dict[str, Any]] = {}
    for board in boards_in(session, serial):
        row = found.setdefault(str(board.part), _nothing())
        named = [name for name in species_in(session, board.code) if name != UNKNOWN]
        row["species"] = list(dict.fromkeys([*row["species"], *named]))
        row["boards"] = list(dict.fromkeys([*row["boards"], set_of(board.code)]))
        row["entries"].append(board.allotted_idx)
    return found


def _words(row: dict[str, Any]) -> str:
    """Return the woods of a part and the boards they came as."""
    if not row["boards"]:
        return NO_WOOD
    woods = in_a_row(row["species"]) if row["species"] else NOT_KNOWN
    return f"{woods}, {in_a_row(row['boards'])}"


def _title(serial: str, rows: list[dict[str, Any]]) -> str:
    """Return in a sentence how many woods an instrument is of, and what is open."""
    made = [row for row in rows if row["boards"]]
    if not made:
        return f"{serial} has no wood yet"
    woods = {name for row in made for name in row["species"]}
    parts = show.counted(len(made), "part")
    bare = len(rows) - len(made)
    verb = "has" if bare else "is made of"
    said = f"{serial} {verb} {show.counted(len(woods), 'wood')} in {parts}"
    unnamed = sum(not row["species"] for row in made)
    if unnamed:
        said += f", and {unnamed} of them of a wood not known"
    return f"{said}; {show.counted(bare, 'part')} without wood yet" if bare else said


def _silhouette(
    title: str, plan: Any, build: Any, rows: list[dict[str, Any]], view: Any
) -> Any:
    """Return the silhouette of an instrument as it is drawn."""
    from labels.plot_figure import Heading
    from labels.plot_silhouette import Callout, Silhouette

    run = f"{build.run}, {build.run_number} of {build.run_pieces}" if build.run else ""
    callouts = tuple(
        Callout(
            part=row["part"],
            species=tuple(row["species"]),
            board=in_a_row(row["boards"]) if row["boards"] else "",
            without=NOT_KNOWN if row["boards"] else NO_WOOD,
        )
        for row in rows
    )
    return Silhouette(
        heading=Heading(
            title=title,
            where=", ".join(filter(None, (build.model, plan.instrument, run))),
            entries=tuple(entry for row in rows for entry in row["entries"]),
        ),
        kind=plan.family or plan.instrument,
        callouts=callouts,
        view=view,
    )
