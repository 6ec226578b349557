"""flitchbook owner slip: the transfer slip drawn, lost, found, and its notice."""

from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import printing, show
from cli.context import Desk, opens, signs

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
LetterOption = Annotated[
    Path | None,
    typer.Option("--letter", help="The owner's letter; it is filed as personal."),
]
FolderOption = Annotated[Path, typer.Option(help="A new folder for the draft.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the owner."""
    signs(app)(slip)
    signs(app)(slip_lost)
    signs(app)(slip_found)
    opens(app)(slip_notice)


def slip(
    desk: Desk,
    serial: SerialArgument,
    out: printing.OutOption = None,
    language: printing.LanguageOption = None,
    queue: printing.PrintOption = "",
) -> None:
    """Draw the transfer slip that works for an instrument; again it is the same one.

    A lost one is replaced once its notice has run.
    """
    from cli.papers_transfer import transfer_slip
    from labels import transfer_slip as drawing
    from ledger.acts import slips

    place = printing.place(out, queue)
    code, hands = desk.serial(serial), desk.hands()
    found = slips.slip_for(desk.shop, code, hands)
    drawn = transfer_slip(desk.shop, found, language or desk.shop.settings.language)
    pdf = drawing.draw(drawn)
    printing.put(
        desk.shop,
        place,
        pdf,
        title=f"transfer slip {found.number}",
        record=partial(
            slips.printed,
            slip=found.number,
            sha256_hex=sha256(pdf).hexdigest(),
            hands=hands,
        ),
    )
    show.notices(drawing.notices(drawn))
    lines = [
        f"{place}: transfer slip {found.number} of {code}.",
        "Fold it so that the code lies inside, and close it before it leaves the shop.",
    ]
    show.answer(desk, lines, **place.told(), slip=found.number, serial=code)


def slip_lost(desk: Desk, serial: SerialArgument, letter: LetterOption = None) -> None:
    """Enter that a slip is lost; after thirty days another can take its place."""
    from ledger.acts import owners, slips

    code, about = desk.serial(serial), None
    if letter is not None:
        about = owners.owner_subject(desk.shop, code)
    entry = slips.lost(desk.shop, code, desk.hands(), letter=letter, about=about)
    until = slips.replaced_from(entry.at[:10])
    lines = [
        f"The slip of {code} is entered as lost, by entry {entry.index}.",
        f"It works until another takes its place, from {until} on.",
        "Write to the last known owner now: flitchbook owner slip-notice "
        f"{code} --out notice",
    ]
    show.answer(desk, lines, serial=code, entry=entry.index, replaced_from=until)


def slip_found(desk: Desk, serial: SerialArgument) -> None:
    """Enter that a lost slip was found, or that its holder objects: it goes on."""
    from ledger.acts import slips

    code = desk.serial(serial)
    entry = slips.found(desk.shop, code, desk.hands())
    lines = [
        f"The slip of {code} is no longer lost, by entry {entry.index}: it works as it "
        f"did."
    ]
    show.answer(desk, lines, serial=code, entry=entry.index)


def slip_notice(desk: Desk, serial: SerialArgument, out: FolderOption) -> None:
    """Draft the notice of a lost slip to the last known owner; it is not sent."""
    from cli.papers_letter import letter_page, write_draft
    from ledger.acts.folders import new_folder, require_new
    from ledger.acts.ownership import draft_notice

    code = desk.serial(serial)
    require_new(out)
    notice = draft_notice(desk.shop, code, desk.key)
    with new_folder(out):
        page = letter_page(desk, notice, f"{code}, transfer slip {notice.slip}")
        write_draft(desk, out, f"draft-{notice.slip}-{code}", page)
    lines = [
        f"The notice about slip {notice.slip} is drafted, not sent: {out}",
        f"It runs until {notice.until}.",
    ]
    show.answer(desk, lines, serial=code, slip=notice.slip, out=str(out))


def words(row: Any) -> str:
    """Tell a code in one line, never the code itself."""
    name = f"slip {row.slip}" if row.slip else f"the code of {row.certificate}, no slip"
    unsure = ", perhaps not printed" if row.slip and not row.prints else ""
    return f"  {name}: {_state(row)}{unsure} (entry {row.slip_idx or row.idx})"


def data(row: Any) -> dict[str, Any]:
    """Return a code for a program, never the code itself."""
    return {
        "slip": row.slip,
        "certificate": row.certificate,
        "prints": row.prints,
        "lost_on": row.lost_on,
        "ended_by": row.ended_idx,
        "how": row.how,
        "entry": row.slip_idx or row.idx,
    }


def _state(row: Any) -> str:
    if row.ended_idx is not None:
        return f"{row.how} by entry {row.ended_idx}"
    return f"works, said to be lost {row.lost_on}" if row.lost_on else "works"
