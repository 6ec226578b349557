"""flitchbook owner: who owns an instrument, which only the vault knows."""

from typing import Annotated, Any

import typer

from cli import owner_slip, owner_theft, record_copies, show
from cli.context import Desk, opens, signs

app = typer.Typer(
    name="owner", help="Owners, whose names stay in the vault.", no_args_is_help=True
)
SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
NameArgument = Annotated[str, typer.Argument(help="The owner's name.")]
OnOption = Annotated[str | None, typer.Option("--on", help="The day; else today.")]
SlipOption = Annotated[
    str | None,
    typer.Option(
        "--slip",
        help="The code under the slip's fold; with -, or left out, it is asked for, "
        "and no list of commands keeps it.",
    ),
]
ToOption = Annotated[str, typer.Option("--to", help="The next owner's name.")]
WhichOption = Annotated[
    int | None,
    typer.Option("--owner", help="Which owner, the first as 1; else the newest."),
]
ReportOption = Annotated[
    int | None,
    typer.Option("--claimant", help="Whoever made the report of this number instead."),
]


@signs(app)
def register(
    desk: Desk, serial: SerialArgument, name: NameArgument, on: OnOption = None
) -> None:
    """Register the first owner of a certified instrument."""
    from ledger.acts import owners

    code = desk.serial(serial)
    entry = owners.register(
        desk.shop,
        serial=code,
        name=name,
        registered_on=on,
        hands=desk.hands(),
    )
    lines = [
        f"The owner of {code} is registered by entry {entry.index}.",
        "The name is sealed for the office. This is the maker's record and no title.",
        f"The slip for the next owner: flitchbook owner slip {code} --out slip.pdf",
    ]
    show.answer(desk, lines, entry=entry.index)


@signs(app)
def transfer(
    desk: Desk,
    serial: SerialArgument,
    to: ToOption,
    slip: SlipOption = None,
    on: OnOption = None,
) -> None:
    """Enter the next owner, by the code on the slip.

    The code stands under the fold of the transfer slip.
    """
    from ledger.acts import transfers

    code, typed = desk.serial(serial), slip
    if typed in (None, "-"):
        typed = desk.secret("slip", "code under the slip's fold")
    made = transfers.transfer(
        desk.shop,
        serial=code,
        code=typed,
        name=to,
        transferred_on=on,
        hands=desk.hands(),
    )
    if made.lost is not None:
        show.notice(
            f"That slip was said to be lost, {made.lost}: tell whoever said so that "
            f"the instrument was handed on by it"
        )
    used = f"Slip {made.used} is used up" if made.used else "That code is used up"
    lines = [
        f"The next owner of {code} is entered by entry {made.entry.index}.",
        f"{used}; {made.slip} is the next: flitchbook owner slip {code} --out slip.pdf",
        "The name is sealed for the office. This is the maker's record and no title.",
    ]
    show.answer(
        desk,
        lines,
        entry=made.entry.index,
        used_slip=made.used,
        slip=made.slip,
        said_lost=made.lost,
    )


@opens(app, "show")
def show_owners(desk: Desk, serial: SerialArgument) -> None:
    """Show an instrument's owners, slips and reports.

    Names are for those only who may know them.
    """
    from ledger.acts.ownership import ownership

    code = desk.serial(serial)
    found = ownership(desk.shop, code, desk.key)
    standing = [each.number for each in found.reports if each.withdrawn_by is None]
    lines = [
        f"{code}:",
        *(_owner_words(each) for each in found.owners),
        *(owner_slip.words(each, standing) for each in found.codes),
        *(owner_theft.words(each) for each in found.reports),
    ]
    show.answer(
        desk,
        lines,
        serial=code,
        owners=[
            {
                "owner": each.which,
                "name": each.name,
                "since": each.since,
                "certificate": each.certificate,
                "entry": each.entry,
            }
            for each in found.owners
        ],
        slips=[owner_slip.data(each, standing) for each in found.codes],
        reports=[owner_theft.data(each) for each in found.reports],
    )


@signs(app)
def erase(
    desk: Desk,
    serial: SerialArgument,
    owner: WhichOption = None,
    claimant: ReportOption = None,
) -> None:
    """Erase an owner's or claimant's name; proofs stay.

    Every proof still verifies.
    """
    from ledger.acts import owners, people, thefts

    code = desk.serial(serial)
    who = "The owner's name" if claimant is None else f"Claimant {claimant}'s name"
    if claimant is None:
        subject = owners.owner_subject(desk.shop, code, owner)
        since = owners.named_by(desk.shop, subject)
    else:
        made = thefts.report_made(desk.shop, code, claimant)
        subject, since = made.claimant, made.idx
    entry = people.erase(desk.shop, subject, desk.hands())
    held = record_copies.still_held(desk.shop, entry.index, since=since)
    lines = [
        f"{who} behind {code} is erased; entry {entry.index} says so.",
        *record_copies.held_words(held),
    ]
    told = record_copies.held_data(held)
    show.answer(desk, lines, entry=entry.index, still_held=told)


def _owner_words(each: Any) -> str:
    return (
        f"  owner {each.which}: {each.name}, since {each.since}, with "
        f"{each.certificate} (entry {each.entry})"
    )


owner_slip.add_to(app)
owner_theft.add_to(app)
