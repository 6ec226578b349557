"""flitchbook board find, identify, unknown: wood that lies about without its label."""

from collections.abc import Sequence
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads, signs

BoardArgument = Annotated[
    str, typer.Argument(help="The board or half of a set that it is.")
]
LengthOption = Annotated[str | None, typer.Option(help="Such as '556 mm' or '22 in'.")]
WidthOption = Annotated[str | None, typer.Option(help="Such as '201 mm'.")]
ThicknessOption = Annotated[str | None, typer.Option(help="Such as '4.1 mm'.")]
MassOption = Annotated[str | None, typer.Option(help="Such as '205 g'.")]
SpeciesOption = Annotated[
    str | None,
    typer.Option(help="A genus, a species or a trade name: only wood of it."),
]
PlaceOption = Annotated[
    str | None, typer.Option(help="Where it should have lain, such as 'shelf B'.")
]
FoundOption = Annotated[str | None, typer.Option("--place", help="Where it is put.")]
ForOption = Annotated[str, typer.Option("--for", help="What it is used for.")]
WhyOption = Annotated[
    str, typer.Option("--why", help="Why it is this one; kept out of the log.")
]
# So many are looked at on a bench, one after the other.
MOST_SHOWN = 12


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the board."""
    reads(app)(find)
    signs(app)(identify)
    signs(app)(unknown)


def find(
    desk: Desk,
    length: LengthOption = None,
    width: WidthOption = None,
    thickness: ThicknessOption = None,
    mass: MassOption = None,
    species: SpeciesOption = None,
    place: PlaceOption = None,
) -> None:
    """Tell which boards a piece without a label can be, the likeliest first."""
    from ledger.acts import finding

    measured = _measured(length, width, thickness, mass)
    with desk.shop.store.reading() as session:
        found = finding.candidates(session, measured, species=species, place=place)
    finding.require_any(found, measured, species=species, place=place)
    lines = [_line(each) for each in found[:MOST_SHOWN]]
    if len(found) > MOST_SHOWN:
        lines.append(f"and {len(found) - MOST_SHOWN} more that fit: measure it closer")
    show.answer(desk, lines, candidates=[_data(each) for each in found])


def identify(
    desk: Desk,
    board: BoardArgument,
    why: WhyOption,
    length: LengthOption = None,
    width: WidthOption = None,
    thickness: ThicknessOption = None,
    mass: MassOption = None,
) -> None:
    """Say which board was found without its label, and void the label it had."""
    from ledger.acts import finding

    done = finding.identify(
        desk.shop,
        desk.own(board),
        _measured(length, width, thickness, mass),
        reason=why,
        hands=desk.hands(),
    )
    others = f"; {show.listed(done.others)} would fit too" if done.others else ""
    first, last = done.entries
    show.answer(
        desk,
        [
            f"{done.board}: identified by measurement, confidence: {done.confidence}"
            f"{others}, entries {first} and {last}.",
            label_line(done.board, done.label),
        ],
        board=done.board,
        confidence=done.confidence,
        others=list(done.others),
        label=done.label,
        entries=list(done.entries),
    )


def unknown(
    desk: Desk,
    length: LengthOption = None,
    width: WidthOption = None,
    thickness: ThicknessOption = None,
    mass: MassOption = None,
    meant_for: ForOption = "jig",
    place: FoundOption = None,
) -> None:
    """Give a code to a board of unknown origin; it is fit for jigs only."""
    from ledger.acts import finding

    code = finding.number_unknown(
        desk.shop,
        _measured(length, width, thickness, mass),
        place=place,
        meant_for=meant_for,
        hands=desk.hands(),
    )
    lines = [
        f"{code}: origin unknown, for a {meant_for}; it goes into no instrument.",
        f"Pencil the code, then label it: flitchbook label board {code} --out "
        f"label.pdf",
    ]
    show.answer(desk, lines, board=code, origin="unknown")


def label_line(code: str, number: int) -> str:
    """Say how to print the label that takes the place of the void one."""
    return (
        f"Print its label, marked replacement {number}: flitchbook label board {code} "
        f"--out label.pdf"
    )


def _measured(
    length: str | None, width: str | None, thickness: str | None, mass: str | None
) -> Any:
    from ledger import quantities
    from ledger.craft.identifying import Measured

    sizes = [
        None if text is None else quantities.length_um(text)
        for text in (length, width, thickness)
    ]
    return Measured(
        length_um=sizes[0],
        width_um=sizes[1],
        thickness_um=sizes[2],
        mass_mg=None if mass is None else quantities.mass_mg(mass),
    )


def _line(each: Any) -> str:
    from ledger.acts.finding import measured_words

    where = each.place or "no place known"
    use = f"; the {each.part} of {each.serial}" if each.serial else ""
    return (
        f"{each.board}  {each.confidence}: {_apart_words(each)}; "
        f"{measured_words(each.known)}; {each.species}; "
        f"{where}{use}; {_pictures(each.photographs)}"
    )


def _apart_words(each: Any) -> str:
    """Say how far a board is off at most, in what two readings of it differ by."""
    apart = round(each.distance.most_milli / 1000, 1)
    if apart == 0:
        return "it measures the same"
    return f"off by at most {apart} standard uncertainties"


def _pictures(photographs: Sequence[tuple[str, int]]) -> str:
    if not photographs:
        return "no photograph"
    shown = ", ".join(f"{face} (entry {entry})" for face, entry in photographs)
    return f"photographs: {shown}"


def _data(each: Any) -> dict[str, Any]:
    return {
        "board": each.board,
        "confidence": each.confidence,
        "apart_milli": each.distance.apart_milli,
        "species": each.species,
        "place": each.place,
        "serial": each.serial,
        "photographs": [
            {"face": face, "entry": entry} for face, entry in each.photographs
        ],
    }
