"""flitchbook board split, join: boards sawn into pieces, and pieces glued of boards."""

import re
from collections.abc import Callable, Iterator, Sequence
from typing import Annotated, Any, Literal

import typer

from cli import show
from cli.context import WHY, Desk, signs

SetArgument = Annotated[str, typer.Argument(help="A board or a set, or its scan.")]
CodesArgument = Annotated[
    list[str],
    typer.Argument(help="The boards or sets that are glued, the first first."),
]
PieceOption = Annotated[
    list[str],
    typer.Option(
        help="What came off: 'headplate=54 g', with its sizes "
        "'headplate=54 g: 210 x 90 x 3.2 mm', several alike 'strip=3 x 20 g'; may be "
        "repeated."
    ),
]
OffcutOption = Annotated[
    list[str], typer.Option(help="An offcut that is kept, written like a piece.")
]
WasteOption = Annotated[str, typer.Option(help="What became waste, such as '64 g'.")]
KerfOption = Annotated[str, typer.Option(help="How wide the saw cuts: '1.2 mm'.")]
CutsOption = Annotated[int, typer.Option(help="How many cuts it made.")]
WayOption = Annotated[
    Literal["rip", "resaw", "crosscut"],
    typer.Option(help="Which size the cuts divide: the width, thickness or length."),
]
DustOption = Annotated[
    str, typer.Option(help="The mass of the sawdust, instead of kerf and cuts.")
]
BoardMassOption = Annotated[
    list[str],
    typer.Option(
        "--mass", help="What the board weighed just before; twice for two halves."
    ),
]
WeighedOption = Annotated[
    list[str], typer.Option(help="What each board weighed just before; one for each.")
]
ReasonOption = Annotated[
    str | None, typer.Option(*WHY, help="Why more is missing than the house allows.")
]
AsReadOption = Annotated[
    bool,
    typer.Option("--as-read", help="It was measured twice: take it as it was read."),
]
ForOption = Annotated[str, typer.Option("--for", help="What it is meant for.")]
MassOption = Annotated[str, typer.Option(help="What the glued piece weighs.")]
LengthOption = Annotated[str, typer.Option(help="Such as '810 mm' or '32 in'.")]
WidthOption = Annotated[str, typer.Option(help="Such as '95 mm'.")]
ThicknessOption = Annotated[str, typer.Option(help="Such as '48 mm'.")]

ALIKE = re.compile(r"([1-9][0-9]{0,2}) *[x×] *(?=[0-9])")
TIMES = re.compile("[x×]", re.IGNORECASE)


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the board."""
    signs(app)(split)
    signs(app)(join)


def split(
    desk: Desk,
    board: SetArgument,
    piece: PieceOption = [],  # noqa: B006 - typer reads the default
    offcut: OffcutOption = [],  # noqa: B006 - typer reads the default
    waste: WasteOption = "",
    kerf: KerfOption = "",
    cuts: CutsOption = 0,
    way: WayOption = "rip",
    dust: DustOption = "",
    mass: BoardMassOption = [],  # noqa: B006 - typer reads the default
    reason: ReasonOption = None,
    as_read: AsReadOption = False,
) -> None:
    """Saw a board, or a set as one, into pieces and offcuts that get codes."""
    from ledger import quantities
    from ledger.acts import sawing
    from ledger.ids import BoardId

    codes = sawing.split(
        desk.shop,
        codes=[str(BoardId.parse(desk.own(board)))],
        pieces=_drafts(piece, offcut),
        kerf=_kerf(kerf, cuts, way, dust),
        waste_mg=quantities.mass_mg(waste) if waste else None,
        masses_mg=[quantities.mass_mg(text) for text in mass],
        reason=reason,
        as_read=as_read,
        hands=desk.hands(),
    )
    with desk.shop.store.reading() as session:
        lines, data = _balance(session, codes)
        show.answer(desk, [*lines, _label_line(codes)], boards=codes, **data)


def join(
    desk: Desk,
    boards: CodesArgument,
    meant_for: ForOption,
    mass: MassOption,
    length: LengthOption = "",
    width: WidthOption = "",
    thickness: ThicknessOption = "",
    weighed: WeighedOption = [],  # noqa: B006 - typer reads the default
    reason: ReasonOption = None,
    as_read: AsReadOption = False,
) -> None:
    """Glue boards into one piece, which is of all their lots and papers."""
    from ledger import quantities
    from ledger.acts import sawing
    from ledger.ids import BoardId
    from ledger.views.family import lots_of

    sizes = [quantities.length_um(t) if t else None for t in (length, width, thickness)]
    draft = sawing.PieceDraft(
        meant_for=meant_for,
        mass_mg=quantities.mass_mg(mass),
        length_um=sizes[0],
        width_um=sizes[1],
        thickness_um=sizes[2],
    )
    code = sawing.join(
        desk.shop,
        codes=[str(BoardId.parse(desk.own(text))) for text in boards],
        draft=draft,
        masses_mg=[quantities.mass_mg(text) for text in weighed],
        reason=reason,
        as_read=as_read,
        hands=desk.hands(),
    )
    with desk.shop.store.reading() as session:
        lots = lots_of(session, code)
    grams = quantities.grams(draft.mass_mg)
    noun = "lot" if len(lots) == 1 else "lots"
    lines = [f"{code}  {meant_for}  {grams}, of {noun} {' and '.join(lots)}"]
    show.answer(desk, [*lines, _label_line([code])], board=code, lots=lots)


def _drafts(pieces: Sequence[str], offcuts: Sequence[str]) -> list[Any]:
    """Read all pieces, and name every one that cannot be read."""
    from ledger.errors import RefusedError

    drafts: list[Any] = []
    faults = []
    for texts, is_offcut in ((pieces, False), (offcuts, True)):
        for text in texts:
            try:
                drafts += _alike(text, is_offcut=is_offcut)
            except RefusedError as refusal:
                faults.append(f"piece {text!r}: {refusal}")
    if faults:
        raise RefusedError("; ".join(faults))
    return drafts


def _alike(text: str, *, is_offcut: bool) -> Iterator[Any]:
    """Read one piece, or several alike: 'headplate=54 g: 210 x 90 x 3.2 mm'."""
    from ledger import quantities
    from ledger.acts.sawing import PieceDraft
    from ledger.errors import RefusedError

    name, is_weighed, rest = text.partition("=")
    if not is_weighed or not name.strip():
        raise RefusedError("it needs a use and a mass, such as 'headplate=54 g'")
    mass, _, sizes = rest.partition(":")
    alike = ALIKE.match(mass.strip())
    count = int(alike[1]) if alike else 1
    length, width, thickness = sizes_um(sizes) if sizes.strip() else (None, None, None)
    draft = PieceDraft(
        meant_for=name.strip(),
        mass_mg=quantities.mass_mg(mass.strip()[alike.end() if alike else 0 :]),
        length_um=length,
        width_um=width,
        thickness_um=thickness,
        is_offcut=is_offcut,
    )
    yield from [draft] * count


def sizes_um(text: str) -> list[int]:
    """Read length, width and thickness; the last unit is that of all that have none."""
    from ledger.errors import RefusedError
    from ledger.quantities import length_um
    from ledger.scales import LENGTH
    from ledger.scales import split as apart

    parts = [part.strip() for part in TIMES.split(text)]
    if len(parts) != 3:
        raise RefusedError(
            f"{text.strip()!r} is not length, width and thickness: write such as "
            f"210 x 90 x 3.2 mm"
        )
    try:
        _, unit = apart(parts[-1], LENGTH, None)
    except RefusedError:
        raise RefusedError(
            f"{text.strip()!r} has no unit at its end: write such as 210 x 90 x 3.2 mm"
        ) from None
    return [length_um(part, default_unit=unit) for part in parts]


def _kerf(kerf: str, cuts: int, way: Any, dust: str) -> Any:
    """Return the saw, or the mass of its dust: one of the two."""
    from ledger import quantities
    from ledger.craft.balance import Saw
    from ledger.errors import RefusedError

    if bool(kerf) != bool(cuts) or (kerf and dust):
        raise RefusedError(
            "give --kerf with the number of --cuts, or the sawdust's mass with --dust"
        )
    if kerf:
        return Saw(kerf_um=quantities.length_um(kerf), cuts=cuts, way=way)
    return quantities.mass_mg(dust) if dust else None


def _balance(
    session: Any, codes: Sequence[str]
) -> tuple[list[str], dict[str, int | None]]:
    """Tell what came off, and how its masses make up the board's."""
    from ledger.quantities import grams
    from ledger.views.boards import Board, Cut

    made = [session.get_one(Board, code) for code in codes]
    cut = session.get_one(Cut, made[0].idx)
    pieces = sum(board.mass_mg for board in made)
    rest = cut.mass_mg - pieces - (cut.dust_mg or 0) - (cut.waste_mg or 0)
    lost = {"kerf": cut.dust_mg, "waste": cut.waste_mg}
    taken = [f" + {what} {grams(mg)}" for what, mg in lost.items() if mg is not None]
    unsaid = [what for what, mg in lost.items() if mg is None]
    among = f", {' and '.join(unsaid)} among it" if unsaid else ""
    lines = [_piece_line(board, grams) for board in made]
    lines.append(
        f"board {grams(cut.mass_mg)} = pieces {grams(pieces)}{''.join(taken)} + "
        f"unaccounted {grams(rest)}{among}"
    )
    return lines, {
        "mass_mg": cut.mass_mg,
        "pieces_mg": pieces,
        "dust_mg": cut.dust_mg,
        "waste_mg": cut.waste_mg,
        "unaccounted_mg": rest,
    }


def _piece_line(board: Any, grams: Callable[[int], str]) -> str:
    what = f"offcut for {board.meant_for}" if board.is_offcut else board.meant_for
    return f"{board.code}  {what}  {grams(board.mass_mg)}"


def _label_line(codes: Sequence[str]) -> str:
    return (
        f"Pencil the codes first, then label them: flitchbook label board "
        f"{' '.join(codes)} --out labels.pdf"
    )
