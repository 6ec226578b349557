"""flitchbook lot match, build match, board match: which boards belong together."""

from collections.abc import Mapping, Sequence
from typing import Annotated, Any

import typer

from cli import match_card, match_lines, pictures, show
from cli.context import Desk, reads, signs
from ledger.errors import RefusedError

CodesArgument = Annotated[
    list[str],
    typer.Argument(help="Boards, sets or lots; none: all that lies on the rack."),
]
TwoArgument = Annotated[
    list[str], typer.Argument(help="Two boards, or a set for its two halves.")
]
SerialsArgument = Annotated[
    list[str],
    typer.Argument(help="Instruments; none: all that were begun and have none yet."),
]
ForOption = Annotated[str, typer.Option("--for", help="The part, such as top.")]
LengthOption = Annotated[
    str, typer.Option(help="What the part needs: '530 mm'; of a pair, each half.")
]
WidthOption = Annotated[str, typer.Option(help="Likewise its width.")]
ThicknessOption = Annotated[str, typer.Option(help="Likewise its thickness.")]
SpeciesOption = Annotated[
    list[str], typer.Option(help="A genus or species that will do; may be repeated.")
]
GradeOption = Annotated[
    list[str],
    typer.Option(help="A grade that will do, the best liked first; may be repeated."),
]
UnreadyOption = Annotated[
    bool, typer.Option("--not-ready", help="Take wood too that has yet to rest.")
]
PiecesOption = Annotated[
    int, typer.Option(help="2: a bookmatched pair; 1: a part of one board.")
]
OfOption = Annotated[
    list[str],
    typer.Option(
        "--of", help="Only these boards, sets or lots; may be repeated; else the rack."
    ),
]
NearOption = Annotated[
    list[str],
    typer.Option(help="Wished near: 'density=420 kg/m3'; may be repeated."),
]
BetweenOption = Annotated[
    list[str],
    typer.Option(
        help="A must: 'density=380 kg/m3 to 440 kg/m3'; may be repeated.",
    ),
]
DueOption = Annotated[
    list[str],
    typer.Option(help="When one is due: '26-0001-8=2027-03-01'; may be repeated."),
]
RecordOption = Annotated[
    bool, typer.Option("--record", help="Record what was found; it allots nothing.")
]
SerialOption = Annotated[str, typer.Option(help="The instrument they are for.")]


def add_to(lot: typer.Typer, build: typer.Typer, board: typer.Typer) -> None:
    """Add the commands to those of the lot, of the build and of the board."""
    reads(lot, "match")(match_lot)
    signs(build, "match")(match_builds)
    signs(board, "match")(match_boards)


def match_lot(
    desk: Desk,
    part: ForOption,
    length: LengthOption,
    width: WidthOption,
    thickness: ThicknessOption,
    codes: CodesArgument = [],  # noqa: B006 - typer reads the default
    species: SpeciesOption = [],  # noqa: B006 - typer reads the default
    grade: GradeOption = [],  # noqa: B006 - typer reads the default
    not_ready: UnreadyOption = False,
    out: pictures.OutOption = None,
    queue: pictures.PrintOption = "",
) -> None:
    """Find the best bookmatched pairs of these boards, all of them taken together."""
    from ledger.acts import matching
    from ledger.views.behind import entries_behind

    place = pictures.place(out, queue)
    wanted = _wanted(part, (length, width, thickness), species, grade, not_ready)
    with desk.shop.store.reading() as session:
        texts = [desk.own(code) for code in codes]
        found = matching.pairs(session, texts, wanted, today=desk.shop.today())
        cards = match_card.of_pairs(desk.shop, session, found, wanted) if place else []
        chosen = [str(c) for pair in found.pairing.pairs for c in pair.boards]
        behind = entries_behind(session, chosen)
    pairing = found.pairing
    lines = [
        match_lines.pairs_line(pairing, part),
        *(line for pair in pairing.pairs for line in match_lines.pair_lines(pair)),
        *match_lines.beside_lines(found),
        f"by {pairing.policy}: {pairing.method}",
        *match_card.put(cards, place, day=desk.shop.today()),
    ]
    show.answer(
        desk,
        lines,
        pairs=[match_lines.pair_data(pair, behind) for pair in pairing.pairs],
        points_milli=pairing.points_milli,
        policy=pairing.policy,
        method=pairing.method,
        **match_lines.beside_data(found),
    )


def match_builds(
    desk: Desk,
    part: ForOption,
    length: LengthOption,
    width: WidthOption,
    thickness: ThicknessOption,
    serials: SerialsArgument = [],  # noqa: B006 - typer reads the default
    of: OfOption = [],  # noqa: B006 - typer reads the default
    pieces: PiecesOption = 2,
    species: SpeciesOption = [],  # noqa: B006 - typer reads the default
    grade: GradeOption = [],  # noqa: B006 - typer reads the default
    near: NearOption = [],  # noqa: B006 - typer reads the default
    between: BetweenOption = [],  # noqa: B006 - typer reads the default
    due: DueOption = [],  # noqa: B006 - typer reads the default
    not_ready: UnreadyOption = False,
    record: RecordOption = False,
    out: pictures.OutOption = None,
    queue: pictures.PrintOption = "",
) -> None:
    """Find the best wood for a part of open builds, all of them taken together."""
    from ledger.acts import matching
    from ledger.acts.wishing import Orders
    from ledger.views.behind import entries_behind

    place = pictures.place(out, queue)
    sizes = (length, width, thickness)
    orders = Orders(
        wanted=_wanted(part, sizes, species, grade, not_ready, pieces),
        serials=tuple(map(desk.serial, serials)),
        bands=tuple(map(_band, between)),
        near=tuple(map(_near, near)),
        due=dict(_due(desk, text) for text in due),
    )
    _require_once([wish.trait for wish in (*orders.near,)], "wished near something")
    texts = [desk.own(code) for code in of]
    entries: list[Any] = []
    if record:
        found, entries = matching.match_builds(desk.shop, texts, orders, desk.hands())
    with desk.shop.store.reading() as session:
        if not record:
            found = matching.for_builds(session, texts, orders, today=desk.shop.today())
        cards = match_card.of_builds(desk.shop, session, found, part) if place else []
        served = [str(c) for each in found.assignment.served for c in each.boards]
        behind = entries_behind(session, served)
    pictured = match_card.put(cards, place, day=desk.shop.today())
    _answer_builds(desk, found, entries, pictured, behind)


def match_boards(
    desk: Desk,
    boards: TwoArgument,
    part: ForOption,
    serial: SerialOption = "",
    out: pictures.OutOption = None,
    queue: pictures.PrintOption = "",
) -> None:
    """Record that two boards were chosen to go together; it allots nothing."""
    from ledger.acts import matching

    place = pictures.place(out, queue)
    chosen = matching.match(
        desk.shop,
        [desk.own(code) for code in boards],
        part=part,
        serial=desk.serial(serial) if serial else None,
        hands=desk.hands(),
    )
    with desk.shop.store.reading() as session:
        cards = match_card.of_chosen(desk.shop, session, chosen) if place else []
    codes = [str(board.board) for board in chosen.boards]
    where = f" of {chosen.entry.event['serial']}" if serial else ""
    lines = [
        f"{' with '.join(codes)}: {part}{where}, entry {chosen.entry.index}.",
        *match_lines.in_a_block("; ".join(chosen.why)),
        *match_card.put(cards, place, day=desk.shop.today()),
    ]
    show.answer(
        desk,
        lines,
        boards=codes,
        part=part,
        points_milli=chosen.likeness.points_milli,
        reasons=list(chosen.why),
        entry=chosen.entry.index,
    )


def _wanted(
    part: str,
    sizes: tuple[str, str, str],
    species: Sequence[str],
    grades: Sequence[str],
    not_ready: bool,
    pieces: int = 2,
) -> Any:
    """Read what a part asks of each board."""
    from ledger.craft.wanted import Wanted
    from ledger.quantities import length_um

    if not part.strip():
        raise RefusedError("a part has a name: say what the wood is for, such as top")
    long, wide, thick = map(length_um, sizes)
    return Wanted(
        part=part.strip(),
        length_um=long,
        width_um=wide,
        thickness_um=thick,
        pieces=pieces,
        species=tuple(species),
        grades=tuple(grades),
        must_be_ready=not not_ready,
    )


def _two_sides(text: str, example: str) -> tuple[str, str]:
    name, found, value = text.partition("=")
    if not found or not name.strip() or not value.strip():
        raise RefusedError(f"{text!r} needs two sides, such as {example!r}")
    return name.strip(), value.strip()


def _near(text: str) -> Any:
    """Read a value that a trait is wished to be near."""
    from ledger.craft.wishes import Near

    trait, value = _two_sides(text, "density=420 kg/m3")
    return Near(trait=trait, value=_read(trait, value))


def _band(text: str) -> Any:
    """Read bounds that a trait keeps."""
    from ledger.craft.wishes import Band

    example = "density=380 kg/m3 to 440 kg/m3"
    trait, bounds = _two_sides(text, example)
    low, found, high = bounds.partition(" to ")
    if not found or not low.strip() or not high.strip():
        raise RefusedError(f"{text!r} has no two bounds: write such as {example!r}")
    least, most = _read(trait, low), _read(trait, high)
    if least > most:
        raise RefusedError(
            f"{low.strip()} is above {high.strip()}, so that nothing lies between: "
            f"write the lower bound first"
        )
    return Band(trait=trait, least=least, most=most)


def _read(trait: str, value: str) -> int:
    """Read a value in the unit of its trait."""
    from ledger import quantities
    from ledger.scales import shown

    readers = {
        "density": quantities.density_gram_per_m3,
        "along": quantities.pressure_pa,
        "across": quantities.pressure_pa,
        "radiation ratio": quantities.factor_milli,
        "ring width": quantities.length_um,
    }
    if trait not in readers:
        raise RefusedError(
            f"{shown(trait)} is none of the traits {', '.join(readers)}: choose one"
        )
    return readers[trait](value.strip())


def _due(desk: Desk, text: str) -> tuple[str, str]:
    serial, day = _two_sides(text, "26-0001-8=2027-03-01")
    return desk.serial(serial), day


def _require_once(names: Sequence[str], how: str) -> None:
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise RefusedError(f"{twice} is {how} twice: say it once")


def _answer_builds(
    desk: Desk,
    found: Any,
    entries: Sequence[Any],
    pictured: Sequence[str],
    behind: Mapping[str, Sequence[int]],
) -> None:
    assignment = found.assignment
    lines = [
        *(
            line
            for each in assignment.served
            for line in match_lines.served_lines(found, each)
        ),
        *(f"{each.order}: none, {each.reason}" for each in assignment.unserved),
        *match_lines.spare_lines(found.spare),
        *match_lines.beside_lines(found),
        f"by {assignment.policy}: {assignment.method}",
        *match_lines.recorded_lines(entries),
        *pictured,
    ]
    show.answer(
        desk,
        lines,
        served=[
            match_lines.served_data(found, each, behind) for each in assignment.served
        ],
        unserved=[
            {"serial": each.order, "part": each.part, "reason": each.reason}
            for each in assignment.unserved
        ],
        spare=[[str(code) for code in codes] for codes in found.spare],
        points_milli=assignment.points_milli,
        policy=assignment.policy,
        method=assignment.method,
        entries=[entry.index for entry in entries],
        **match_lines.beside_data(found),
    )
