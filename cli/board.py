"""flitchbook board: wood at the bench, from its number to its pieces."""

from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import (
    board_bend,
    board_family,
    board_find,
    board_judge,
    board_keep,
    board_meter,
    board_rest,
    board_saw,
    board_series,
    board_show,
    board_tap,
    show,
)
from cli.context import Desk, signs
from cli.photographs import bared_lines, seen_lines

app = typer.Typer(
    name="board",
    help="Boards: numbered, measured, weighed, tapped, sawn.",
    no_args_is_help=True,
)
LotArgument = Annotated[str, typer.Argument(help="The lot, such as L26-031.")]
BoardArgument = Annotated[
    str, typer.Argument(help="A board or one half of a set, or its scan.")
]
SetArgument = Annotated[str, typer.Argument(help="A board or a set, or its scan.")]
CodesArgument = Annotated[
    list[str], typer.Argument(help="Boards, sets or a whole lot, such as L26-031.")
]
ForOption = Annotated[str, typer.Option("--for", help="What it is meant for.")]
LengthOption = Annotated[str, typer.Option(help="Such as '559 mm' or '22 in'.")]
WidthOption = Annotated[str, typer.Option(help="Such as '203 mm'.")]
ThicknessOption = Annotated[str, typer.Option(help="Such as '4.2 mm'.")]
PointsOption = Annotated[
    list[str],
    typer.Option("--thickness", help="Such as '4.2 mm'; once for each point taken."),
]
MassOption = Annotated[
    list[str], typer.Option(help="Such as '412 g'; twice for the halves of a set.")
]
SetOption = Annotated[
    bool, typer.Option("--set", help="Two halves that were not weighed yet.")
]
AlikeOption = Annotated[
    int, typer.Option(help="How many alike get a code, one after the other.", min=1)
]
MarkOption = Annotated[
    str | None, typer.Option(help="What the sawyer calls the piece.")
]
GradeOption = Annotated[
    str | None,
    typer.Option("--supplier-grade", help="The sawyer's own grade, word for word."),
]
AsReadOption = Annotated[
    bool,
    typer.Option("--as-read", help="It was measured twice: take it as it was read."),
]
MassArgument = Annotated[str, typer.Argument(help="What the scale shows: '412 g'.")]
ScaleOption = Annotated[str | None, typer.Option(help="Which scale.")]
MoistureOption = Annotated[
    str | None, typer.Option(help="What a meter read, such as '7.8 %'.")
]
MeterOption = Annotated[str | None, typer.Option(help="Which meter, set to what.")]
PlaceOption = Annotated[str, typer.Option("--to", help="The place: 'crib, shelf B'.")]
PictureArgument = Annotated[Path, typer.Argument(help="A JPEG or a PNG file.")]
FaceOption = Annotated[
    Literal["front", "back", "end-grain", "edge", "defect"],
    typer.Option(help="What it shows."),
]


@signs(app)
def number(
    desk: Desk,
    lot: LotArgument,
    meant_for: ForOption,
    length: LengthOption,
    width: WidthOption,
    thickness: ThicknessOption,
    mass: MassOption = [],  # noqa: B006 - typer reads the default
    set_: SetOption = False,
    alike: AlikeOption = 1,
    mark: MarkOption = None,
    supplier_grade: GradeOption = None,
    as_read: AsReadOption = False,
) -> None:
    """Give the next board of a lot, or several alike, a code and first measures."""
    from ledger import quantities
    from ledger.acts import boards
    from ledger.ids import LotId

    draft = boards.BoardDraft(
        meant_for=meant_for,
        length_um=quantities.length_um(length),
        width_um=quantities.length_um(width),
        thickness_um=quantities.length_um(thickness),
        masses_mg=tuple(quantities.mass_mg(text) for text in mass),
        is_set=set_,
        mark=mark,
        supplier_grade=supplier_grade,
        as_read=as_read,
    )
    codes = boards.number_boards(
        desk.shop, LotId.parse(desk.own(lot)), [draft] * alike, desk.hands()
    )
    it = "code first, then label it" if len(codes) == 1 else "codes, then label them"
    lines = [f"{show.listed(codes)}: pencil the {it}."]
    show.answer(desk, lines, boards=codes)


@signs(app)
def measure(
    desk: Desk,
    board: BoardArgument,
    length: LengthOption = "",
    width: WidthOption = "",
    thickness: PointsOption = [],  # noqa: B006 - typer reads the default
    moisture: MoistureOption = None,
    meter: MeterOption = None,
    as_read: AsReadOption = False,
) -> None:
    """Measure a board again; what is not given stands as it was."""
    from ledger import quantities
    from ledger.acts import measuring

    points = [quantities.length_um(text) for text in thickness]
    done = measuring.measure(
        desk.shop,
        desk.own(board),
        length_um=quantities.length_um(length) if length else None,
        width_um=quantities.length_um(width) if width else None,
        thicknesses_um=points,
        moisture_ppm=quantities.moisture_ppm(moisture) if moisture else None,
        meter=meter,
        hands=desk.hands(),
        as_read=as_read,
    )
    read = done.entry.event
    mean = f", the mean of {len(points)} points" if len(points) > 1 else ""
    told = [
        f"{quantities.millimetres(read[name], places=places)} {word}{more}"
        for name, word, places, more in (
            ("length_um", "long", None, ""),
            ("width_um", "wide", None, ""),
            ("thickness_um", "thick", 2, mean),
        )
        if name in read
    ]
    if "moisture_ppm" in read:
        told.append(f"moisture {quantities.percent(read['moisture_ppm'])}")
    show.answer(
        desk,
        [f"{done.board}: {'; '.join([*told, done.words])}, entry {done.entry.index}."],
        board=done.board,
        entry=done.entry.index,
        thickness_um=done.thickness_um,
        moisture_ppm=read.get("moisture_ppm"),
        density_gram_per_m3=done.density_gram_per_m3,
    )


@signs(app)
def weigh(
    desk: Desk,
    board: BoardArgument,
    mass: MassArgument,
    scale: ScaleOption = None,
    as_read: AsReadOption = False,
) -> None:
    """Put a board on the scale, and be told its density."""
    from ledger.acts import measuring
    from ledger.quantities import grams, mass_mg

    done = measuring.weigh(
        desk.shop,
        desk.own(board),
        mass_mg(mass),
        hands=desk.hands(),
        scale=scale,
        as_read=as_read,
    )
    show.answer(
        desk,
        [
            f"{done.board}: {grams(done.mass_mg)}, {done.words}, entry "
            f"{done.entry.index}."
        ],
        board=done.board,
        entry=done.entry.index,
        mass_mg=done.mass_mg,
        density_gram_per_m3=done.density_gram_per_m3,
    )


@signs(app)
def move(desk: Desk, codes: CodesArgument, to: PlaceOption) -> None:
    """Put boards, sets or a lot's whole stock in another place."""
    from ledger.acts import measuring

    entries = measuring.move(
        desk.shop, [desk.own(code) for code in codes], to, hands=desk.hands()
    )
    moved = [entry.event["board"] for entry in entries]
    lines = [f"{show.listed(moved)}: {to}, {show.entries(entries)}."]
    indexes = [entry.index for entry in entries]
    show.answer(desk, lines, boards=moved, place=to, entries=indexes)


@signs(app)
def photograph(
    desk: Desk, board: SetArgument, file: PictureArgument, face: FaceOption = "front"
) -> None:
    """File a photograph of a board, or of a set that lies opened like a book."""
    from ledger.acts import measuring

    before = seen_lines(desk, [file])
    entries = measuring.photograph(
        desk.shop, desk.own(board), file, face=face, hands=desk.hands()
    )
    shown: list[Any] = [entry.event["board"] for entry in entries]
    digest = entries[0].event["sha256"]
    lines = [
        f"{show.listed(shown)}: {face}, filed under {digest[:16]}…, "
        f"{show.entries(entries)}.",
        *before,
        *bared_lines([file], [digest]),
    ]
    indexes = [entry.index for entry in entries]
    show.answer(desk, lines, boards=shown, face=face, sha256=digest, entries=indexes)


board_tap.add_to(app)
board_series.add_to(app)
board_bend.add_to(app)
board_saw.add_to(app)
board_show.add_to(app)
board_rest.add_to(app)
board_judge.add_to(app)
board_meter.add_to(app)
board_keep.add_to(app)
board_family.add_to(app)
board_find.add_to(app)
