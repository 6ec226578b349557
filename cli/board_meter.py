"""flitchbook board meter, thickness: what a meter showed, and how thick to work it."""

from typing import Annotated

import typer

from cli import show
from cli.board_tap import plus_minus
from cli.context import Desk, reads, signs

BoardArgument = Annotated[
    str, typer.Argument(help="A board or one half of a set, or its scan.")
]
ReadingArgument = Annotated[str, typer.Argument(help="What it showed: '8.4 %'.")]
MeterOption = Annotated[str, typer.Option(help="Which meter.")]
SettingOption = Annotated[
    str, typer.Option(help="The species or group it was set to, as it stands on it.")
]
WoodOption = Annotated[
    str, typer.Option("--wood", help="How warm the wood was: '20 C' or '68 F'.")
]
CompensatedOption = Annotated[
    bool, typer.Option("--compensated", help="The meter was set to that temperature.")
]
AsReadOption = Annotated[
    bool, typer.Option("--as-read", help="It was read twice: take it as it was read.")
]
FrequencyOption = Annotated[
    str, typer.Option(help="The shop's own number, such as '70 Hz'; there is no usual.")
]
LengthOption = Annotated[
    str, typer.Option("--length", help="Of the model's body, such as '500 mm'.")
]
WidthOption = Annotated[
    str, typer.Option("--width", help="Of its lower bout, such as '380 mm'.")
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the board."""
    signs(app)(meter)
    reads(app)(thickness)


def meter(
    desk: Desk,
    board: BoardArgument,
    reading: ReadingArgument,
    meter: MeterOption,
    setting: SettingOption,
    wood: WoodOption,
    compensated: CompensatedOption = False,
    as_read: AsReadOption = False,
) -> None:
    """Record what a moisture meter showed, and be told what that comes to."""
    from ledger import quantities
    from ledger.acts import metering

    reading_ppm = quantities.moisture_ppm(reading)
    done = metering.meter(
        desk.shop,
        desk.own(board),
        reading_ppm=reading_ppm,
        temperature_millikelvin=quantities.temperature_millikelvin(wood),
        meter=meter,
        setting=setting,
        is_compensated=compensated,
        hands=desk.hands(),
        as_read=as_read,
    )
    comes_to = quantities.percent(done.moisture_ppm, places=1)
    lines = [
        f"{done.board}: {quantities.percent(reading_ppm)} read, {comes_to} by "
        f"{done.rule}, entry {done.entry.index}.",
        *(f"note: {text}" for text in done.warnings),
    ]
    show.answer(
        desk,
        lines,
        board=done.board,
        entry=done.entry.index,
        reading_ppm=reading_ppm,
        moisture_ppm=done.moisture_ppm,
        rule=done.rule,
        warnings=list(done.warnings),
    )


def thickness(
    desk: Desk,
    board: BoardArgument,
    length: LengthOption,
    width: WidthOption,
    frequency: FrequencyOption,
) -> None:
    """Tell how thick to work a tapped board for a number that the shop states.

    It tells nothing of what is heard.
    """
    from ledger.acts.target import target_thickness
    from ledger.quantities import frequency_millihertz, hertz, length_um

    millihertz = frequency_millihertz(frequency)
    with desk.shop.store.reading() as session:
        found = target_thickness(
            session,
            desk.own(board),
            length_um=length_um(length),
            width_um=length_um(width),
            frequency_millihertz=millihertz,
        )
    thick = plus_minus(found.thickness_um / 1000, found.u_thickness_um / 1000, "mm")
    lines = [
        f"{found.board}: {thick} for {hertz(millihertz)}, from the tap of entry "
        f"{found.tapped_idx} on {found.tapped_on}",
        f"  method: {found.method}",
        *(f"note: {text}" for text in found.notes),
    ]
    show.answer(
        desk,
        lines,
        board=found.board,
        frequency_millihertz=millihertz,
        thickness_um=found.thickness_um,
        thickness_uncertainty_um=found.u_thickness_um,
        tapped_by_entry=found.tapped_idx,
        method=found.method,
        warnings=list(found.notes),
    )
