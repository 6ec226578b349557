"""flitchbook instrument: what becomes of an instrument after it is done."""

from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import instrument_timeline, show
from cli.build_sign import AsReadOption, measure
from cli.context import Desk, reads, signs
from cli.photographs import bared_lines
from ledger.craft.wares import Errand

app = typer.Typer(
    name="instrument", help="Instruments after they are done.", no_args_is_help=True
)
SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
WorkArgument = Annotated[str, typer.Argument(help="What was done, in one line.")]
PartArgument = Annotated[str, typer.Argument(help="The part, as the model names it.")]
FaultOption = Annotated[str | None, typer.Option(help="What was wrong.")]
OnOption = Annotated[str | None, typer.Option("--on", help="The day; else today.")]
MeasuredOption = Annotated[
    list[str], typer.Option(help="Such as 'relief=0.18 mm'; may be repeated.")
]
UsedOption = Annotated[
    list[str], typer.Option(help="A batch that went in: M26-001; may be repeated.")
]
PhotoOption = Annotated[
    list[Path], typer.Option(help="A photograph to file; may be repeated.")
]
OthersOption = Annotated[
    bool, typer.Option("--by-others", help="Another shop did it, and it was told here.")
]
FateOption = Annotated[
    Literal["kept", "destroyed", "owner"],
    typer.Option(help="What became of the old wood; owner: given to the owner."),
]
WhyOption = Annotated[str, typer.Option("--why", help="Why; it is kept in the vault.")]
ToOption = Annotated[
    str, typer.Option("--to", help="Where it goes; it is kept in the vault.")
]
ForOption = Annotated[
    Errand,
    typer.Option("--for", help="What it goes for."),
]
DueOption = Annotated[
    str | None, typer.Option("--until", help="The day on which it is due home.")
]
ConditionOption = Annotated[str | None, typer.Option(help="How it came home.")]
ReaderOption = Annotated[
    Literal["maker", "owner", "public"],
    typer.Option("--for", help="Who will read it; the public is told least."),
]


@signs(app)
def service(
    desk: Desk,
    serial: SerialArgument,
    work: WorkArgument,
    fault: FaultOption = None,
    on: OnOption = None,
    measured: MeasuredOption = [],  # noqa: B006 - typer reads the default
    used: UsedOption = [],  # noqa: B006 - typer reads the default
    photo: PhotoOption = [],  # noqa: B006 - typer reads the default
    by_others: OthersOption = False,
    as_read: AsReadOption = False,
) -> None:
    """Record work that was done on a finished instrument."""
    from ledger.acts import service as acts

    code = desk.serial(serial)
    entry = acts.service(
        desk.shop,
        serial=code,
        work=work,
        fault=fault,
        on=on,
        measures=[measure(text) for text in measured],
        materials=[desk.own(text) for text in used],
        photographs=photo,
        by_others=by_others,
        as_read=as_read,
        hands=desk.hands(),
    )
    lines = [
        f"{code}: {work}, in entry {entry.index}.",
        f"A further certificate can tell of it: flitchbook certificate issue {code}",
        *bared_lines(photo, entry.event.get("photographs", ())),
    ]
    show.answer(desk, lines, serial=code, entry=entry.index)


@signs(app)
def remove_part(
    desk: Desk,
    serial: SerialArgument,
    part: PartArgument,
    fate: FateOption,
    why: WhyOption,
    photo: PhotoOption = [],  # noqa: B006 - typer reads the default
) -> None:
    """Record that a part was taken off; other wood may be allotted to it then."""
    from ledger.acts import service as acts

    code = desk.serial(serial)
    entry = acts.remove_part(
        desk.shop,
        serial=code,
        part=part,
        fate=fate,
        reason=why,
        photographs=photo,
        hands=desk.hands(),
    )
    boards = list(entry.event["boards"])
    lines = [
        f"{part} of {code}: {show.listed(boards)} taken off, "
        f"{entry.event['fate']}, in entry {entry.index}.",
        f"Allot other wood to it: flitchbook build allot {code} BOARD --part {part!r}",
        *bared_lines(photo, entry.event.get("photographs", ())),
    ]
    show.answer(desk, lines, serial=code, part=part, boards=boards, entry=entry.index)


@signs(app)
def send(
    desk: Desk,
    serial: SerialArgument,
    to: ToOption,
    errand: ForOption,
    on: OnOption = None,
    until: DueOption = None,
) -> None:
    """Record that an instrument left the shop: to a show, on loan, sold."""
    from ledger.acts import service as acts

    code = desk.serial(serial)
    entry = acts.send(
        desk.shop,
        serial=code,
        to=to,
        errand=errand,
        on=on,
        until=until,
        hands=desk.hands(),
    )
    due = f", due home {until}" if until else ""
    lines = [
        f"{code} left on {entry.event['on']} for {to} ({errand}){due}, in entry "
        f"{entry.index}."
    ]
    show.answer(desk, lines, serial=code, entry=entry.index)


@signs(app, "return")
def return_(
    desk: Desk,
    serial: SerialArgument,
    condition: ConditionOption = None,
    on: OnOption = None,
) -> None:
    """Record that an instrument came home, and how."""
    from ledger.acts import service as acts

    code = desk.serial(serial)
    entry = acts.come_home(
        desk.shop, serial=code, on=on, condition=condition, hands=desk.hands()
    )
    how = f": {condition}" if condition else ""
    lines = [f"{code} is home since {entry.event['on']}, in entry {entry.index}{how}."]
    show.answer(desk, lines, serial=code, entry=entry.index)


@reads(app)
def out(desk: Desk) -> None:
    """List the instruments that are out, and those that are overdue."""
    from ledger.acts.service import away, trip_words

    with desk.shop.store.reading() as session:
        rows = away(desk.shop, session, desk.shop.today())
        lines = [
            f"{row.trip.serial}: {trip_words(desk.shop, session, row.trip)}"
            f"{_overdue(row.overdue_days)}"
            for row in rows
        ]
        told = [
            {
                "serial": row.trip.serial,
                "to": row.to,
                "for": row.trip.errand,
                "sent_on": row.trip.sent_on,
                "until": row.trip.until,
                "overdue_days": row.overdue_days,
                "entry": row.trip.idx,
            }
            for row in rows
        ]
    show.answer(desk, lines or ["Every instrument is at home, or sold."], out=told)


@reads(app)
def history(desk: Desk, serial: SerialArgument, reader: ReaderOption = "maker") -> None:
    """Tell the life of an instrument, as far as a reader may see it."""
    from ledger.acts.histories import history as life

    code = desk.serial(serial)
    with desk.shop.store.reading() as session:
        facts = life(desk.shop, session, code, reader)
    lines = [f"{code}, for the {reader}:" if reader != "public" else f"{code}:"]
    lines += [
        f"  {fact.happened}  {fact.said}  (entry {fact.entry}{_late(fact)})"
        for fact in facts
    ]
    told = [
        {
            "entry": fact.entry,
            "happened": fact.happened,
            "entered": fact.entered,
            "said": fact.said,
        }
        for fact in facts
    ]
    show.answer(desk, lines, serial=code, reader=reader, facts=told)


def _late(fact: Any) -> str:
    is_late = fact.entered != fact.happened
    return f", entered {fact.entered}" if is_late else ""


def _overdue(days: int | None) -> str:
    return f"; overdue by {show.counted(days, 'day')}" if days else ""


instrument_timeline.add_to(app)
