"""flitchbook build graduate: the thickness of a plate at known places, entered."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, signs
from ledger.errors import RefusedError

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
PartArgument = Annotated[
    str, typer.Argument(help="The plate: top, back, as the model names it.")
]
FromOption = Annotated[
    Path | None,
    typer.Option(
        "--from",
        help="A file with 3 to 200 places, one a line under x_mm,y_mm,thickness_mm (or "
        "_in for inches); with decimal commas part the cells by ;",
    ),
]
PlaceOption = Annotated[
    list[str],
    typer.Option(
        "--place",
        help="One place, x to the right of the centre line, y from the lower end: "
        "'-120 mm, 200 mm = 2.4 mm'; repeated, for 3 to 200 places.",
    ),
]
LengthOption = Annotated[
    str,
    typer.Option(help="Of the plate; else as before, or as the model has it."),
]
WidthOption = Annotated[str, typer.Option(help="Of the plate where it is widest.")]
GaugeOption = Annotated[
    str | None, typer.Option(help="What it was measured with: a code, or its name.")
]
StageOption = Annotated[
    str | None, typer.Option(help="How far it is made: 'before closing'.")
]
DryOption = Annotated[
    bool, typer.Option("--dry-run", help="Only read and compare it; record nothing.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the build."""
    signs(app)(graduate)


def graduate(
    desk: Desk,
    serial: SerialArgument,
    part: PartArgument,
    from_: FromOption = None,
    place: PlaceOption = [],  # noqa: B006 - typer reads the default
    length: LengthOption = "",
    width: WidthOption = "",
    gauge: GaugeOption = None,
    stage: StageOption = None,
    dry_run: DryOption = False,
) -> None:
    """Record how thick a plate is, place by place, as seen from outside, neck up."""
    from ledger.acts import graduating
    from ledger.quantities import length_um

    places, odd = _places(from_, place)
    draft = graduating.GraduationDraft(
        serial=desk.serial(serial),
        part=part,
        places=places,
        length_um=length_um(length) if length else None,
        width_um=length_um(width) if width else None,
        gauge=gauge,
        stage=stage,
    )
    if dry_run:
        done = graduating.look(desk.shop, draft)
    else:
        done = graduating.graduate(desk.shop, draft, hands=desk.hands())
    done = replace(done, notes=(*odd, *done.notes))
    show.answer(
        desk,
        _lines(done),
        serial=done.event.serial,
        part=done.event.part,
        entry=done.entry.index if done.entry else None,
        length_um=done.event.length_um,
        width_um=done.event.width_um,
        gauge=done.event.gauge,
        stage=done.event.stage,
        places=[place_data(each) for each in done.event.places],
        before=compared_data(done.before),
        notes=list(done.notes),
    )


def span_words(number: int, thinnest_um: int, thickest_um: int) -> str:
    """Say at how many places a plate was gauged, and from what to what."""
    thin, thick = hundredths(thinnest_um), hundredths(thickest_um)
    span = thin if thin == thick else f"{thin} to {thick}"
    return f"{show.counted(number, 'place')}, {span}"


def hundredths(um: int) -> str:
    """Print a thickness to 0.01 mm: a hand gauge reads no finer."""
    from ledger.quantities import millimetres

    return millimetres((um + 5) // 10 * 10)


def compared_words(compared: Any, serial: str, part: str) -> str:
    """Say how a map differs from another one, and what that is worth."""
    from ledger.acts.graduating import GAUGE_UM, SAME_PLACE_UM
    from ledger.quantities import millimetres

    beside = f"entry {compared.idx} of {compared.day}"
    if (compared.serial, compared.part) != (serial, part):
        beside += f", the {compared.part} of {compared.serial}"
    elif compared.other_wood:
        beside += f", when it was of {compared.other_wood}"
    like = compared.likeness
    if not like.number:
        return (
            f"beside {beside}: no place is within {millimetres(SAME_PLACE_UM)} of one "
            f"there, so nothing can be compared"
        )
    return (
        f"beside {beside}: at {show.counted(like.number, 'place')} within "
        f"{millimetres(SAME_PLACE_UM)} they differ by {hundredths(like.most_um)} at "
        f"most, {hundredths(like.mean_um)} on average; a quick look, for a hand gauge "
        f"reads to ±{millimetres(GAUGE_UM)}"
    )


def compared_data(compared: Any) -> dict[str, Any] | None:
    """Return a comparison of two maps, for a program."""
    if compared is None:
        return None
    return {
        "entry": compared.idx,
        "serial": compared.serial,
        "part": compared.part,
        "day": compared.day,
        "places": compared.likeness.number,
        "most_um": compared.likeness.most_um,
        "mean_um": compared.likeness.mean_um,
        "other_wood": compared.other_wood,
    }


def place_data(place: Any) -> dict[str, int]:
    """Return a place and its thickness, for a program."""
    return {
        "x_um": place.x_um,
        "y_um": place.y_um,
        "thickness_um": place.thickness_um,
    }


def _places(path: Path | None, places: list[str]) -> tuple[Any, tuple[str, ...]]:
    """Return the places of a file or those that were typed, and what is odd of them."""
    from ledger.acts.platefile import LARGEST_FILE, is_ended, read_place, read_places

    if (path is None) == (not places):
        raise RefusedError(
            "give the places either in a file with --from, or one by one with --place"
        )
    if path is None:
        return [read_place(text, number) for number, text in enumerate(places, 1)], ()
    data = show.read_file(path, most=LARGEST_FILE)
    found = read_places(data)
    if is_ended(data):
        return found, ()
    return found, (f"{found[-1].where}, the last, has no end: is the file whole?",)


def _lines(done: Any) -> Iterator[str]:
    event = done.event
    thicknesses = [place.thickness_um for place in event.places]
    said = span_words(len(thicknesses), min(thicknesses), max(thicknesses))
    where = f"entry {done.entry.index}" if done.entry else "nothing recorded"
    yield f"{event.part} of {event.serial}: {said}, {where}."
    if done.before:
        yield f"  {compared_words(done.before, event.serial, event.part)}"
    yield from (f"note: {text}" for text in done.notes)
