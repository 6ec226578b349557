"""flitchbook build tap, voice: an instrument that rings as it is made."""

from itertools import groupby
from operator import attrgetter
from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import pictures, show
from cli.board_tap import band_of, reading_data, reading_words
from cli.context import Desk, reads, signs
from cli.pictures import OutOption, PrintOption
from ledger.scales import in_a_row

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
RecordingArgument = Annotated[
    Path, typer.Argument(help="A WAV, FLAC or AIFF file of several taps.")
]
PartOption = Annotated[str, typer.Option(help="The part that is tapped.")]
StageOption = Annotated[
    Literal["braced", "closed", "strung"], typer.Option(help="How far it is made.")
]
AlongOption = Annotated[
    str, typer.Option(help="Roughly where the long mode lies, such as '71 Hz'.")
]
AcrossOption = Annotated[str, typer.Option(help="Likewise the cross mode.")]
TwistOption = Annotated[str, typer.Option(help="Likewise the twist mode.")]
AirOption = Annotated[str, typer.Option(help="Likewise the air of a closed box.")]
TopOption = Annotated[str, typer.Option(help="Likewise the first mode of the top.")]
BackOption = Annotated[str, typer.Option(help="Likewise the first mode of the back.")]
MassOption = Annotated[str, typer.Option(help="Of what is tapped: '252 g'.")]
ThicknessOption = Annotated[str, typer.Option(help="Of the plate: '2.9 mm'.")]
LowOption = Annotated[str, typer.Option(help="The lowest frequency listened to.")]
HighOption = Annotated[str, typer.Option(help="The highest frequency listened to.")]
CLOSED = ("closed", "strung")


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the build."""
    signs(app)(tap)
    reads(app)(voice)


def tap(
    desk: Desk,
    serial: SerialArgument,
    file: RecordingArgument,
    part: PartOption,
    stage: StageOption,
    along: AlongOption = "",
    across: AcrossOption = "",
    twist: TwistOption = "",
    air: AirOption = "",
    top: TopOption = "",
    back: BackOption = "",
    mass: MassOption = "",
    thickness: ThicknessOption = "",
    low: LowOption = "",
    high: HighOption = "",
) -> None:
    """File a recording of an instrument in the making, and record what it rings at."""
    from ledger.acts import voicing
    from ledger.quantities import frequency_millihertz, length_um, mass_mg

    said = {"along": along, "across": across, "twist": twist}
    said |= {"air": air, "top": top, "back": back}
    expected: Any = {m: frequency_millihertz(text) for m, text in said.items() if text}
    done = voicing.tap_build(
        desk.shop,
        desk.serial(serial),
        file,
        part=part,
        stage=stage,
        expected=expected,
        band=band_of(low, high, voicing.band_for(expected)),
        mass_mg=mass_mg(mass) if mass else None,
        thickness_um=length_um(thickness) if thickness else None,
        hands=desk.hands(),
    )
    lines = [
        f"{part} of {done.serial}, {stage}: entry {done.entry.index}.",
        *(f"  {reading_words(reading)}" for reading in done.readings),
        *(f"note: {text}" for text in done.warnings),
    ]
    show.answer(
        desk,
        lines,
        serial=done.serial,
        part=part,
        stage=stage,
        entry=done.entry.index,
        readings=[reading_data(reading) for reading in done.readings],
        warnings=list(done.warnings),
    )


def voice(
    desk: Desk, serial: SerialArgument, out: OutOption = None, queue: PrintOption = ""
) -> None:
    """Tell how an instrument's modes moved: plate, braced, closed, strung.

    The ladder drawn with --out has the newest tap of each part at each stage.
    """
    from ledger.acts import voicing

    place = pictures.place(out, queue)
    code = desk.serial(serial)
    with desk.shop.store.reading() as session:
        rails = voicing.voice(session, code)
        lines = [f"{code}: nothing of it was tapped yet."] if not rails else [code]
        for stage, group in groupby(rails, key=attrgetter("stage")):
            lines.append(f"  {stage}")
            for rail in group:
                what = f"{rail.part} {rail.board}" if rail.board else rail.part
                lines.append(f"    {what}, {rail.day}{_sizes(rail)}, entry {rail.idx}")
                lines += [f"      {reading_words(each)}" for each in rail.readings]
        data = [_data(rail) for rail in rails]
        plot = ladder(code, rails) if place else None
    lines += pictures.put(plot, place, day=desk.shop.today())
    picture = str(out) if out else None
    show.answer(desk, lines, serial=code, stages=data, picture=picture)


def ladder(code: str, rails: list[Any]) -> Any:
    """Return the ladder as it is drawn: of each part the newest tap at each stage."""
    from labels.plot_figure import Heading
    from labels.plot_voice import Voice

    newest: dict[str, dict[str, Any]] = {}
    for stage, group in groupby(rails, key=attrgetter("stage")):
        by_time = sorted(group, key=attrgetter("day", "idx"))
        newest[stage] = {rail.part: rail for rail in by_time}
    drawn = [rail for parts in newest.values() for rail in parts.values()]
    plates = {rail.part for rail in drawn if rail.stage not in CLOSED}
    boxes = {rail.part for rail in drawn if rail.stage in CLOSED}
    said = f"{code}, {show.counted(len(newest), 'stage')}"
    boards = [rail.board for rail in drawn if rail.board]
    if boards:
        said += f", the plate is {in_a_row(boards)}"
    return Voice(
        heading=Heading(
            title="How the voice moved" if len(newest) > 1 else "Where the voice lies",
            where=f"{said}; Hz, and the mass of what was tapped",
            entries=tuple(rail.idx for rail in drawn),
        ),
        rails=tuple(
            _drawn_rail(stage, list(parts.values()), boxes, plates)
            for stage, parts in newest.items()
        ),
    )


def _drawn_rail(stage: str, rails: list[Any], boxes: set[str], plates: set[str]) -> Any:
    """Return one stage; where several parts were tapped, a mode names its own."""
    from labels.plot_voice import Rail, Rung

    is_closed = stage in CLOSED
    several = len(boxes if is_closed else plates) > 1
    masses = [rail.mass_mg for rail in rails]
    return Rail(
        stage=stage,
        closed=is_closed,
        mass_mg=None if None in masses else sum(masses),
        rungs=tuple(
            Rung(
                mode=f"{rail.part} {each.mode}" if several else each.mode,
                frequency_millihertz=each.frequency_millihertz,
            )
            for rail in rails
            for each in rail.readings
        ),
    )


def _sizes(rail: Any) -> str:
    """Return what a part weighed and how thick it was when it was tapped."""
    from ledger.quantities import grams, millimetres

    mass = f", {grams(rail.mass_mg)}" if rail.mass_mg is not None else ""
    thick = f", {millimetres(rail.thickness_um)}" if rail.thickness_um else ""
    return f"{mass}{thick}"


def _data(rail: Any) -> dict[str, Any]:
    return {
        "stage": rail.stage,
        "part": rail.part,
        "board": rail.board,
        "entry": rail.idx,
        "day": rail.day,
        "mass_mg": rail.mass_mg,
        "thickness_um": rail.thickness_um,
        "readings": [reading_data(reading) for reading in rail.readings],
    }
