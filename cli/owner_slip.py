"""flitchbook owner slip: the transfer slip drawn, lost, found, and its notice."""

from collections.abc import Sequence
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import printing, show
from cli.context import WHY, Desk, opens, signs
from ledger.scales import in_a_row

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
LetterOption = Annotated[
    Path | None,
    typer.Option(
        "--letter",
        help="The owner's letter; it is filed as personal. Needed wherever an owner "
        "is known by name.",
    ),
]
AgainOption = Annotated[
    bool,
    typer.Option("--again", help="Draw a printed one once more, and say why."),
]
ReasonOption = Annotated[
    str | None, typer.Option(*WHY, help="Why it is drawn once more.")
]
FolderOption = Annotated[Path, typer.Option(help="A new folder for the draft.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the owner."""
    signs(app)(slip)
    signs(app)(slip_lost)
    signs(app)(slip_found)
    opens(app)(slip_notice)
    signs(app)(slip_notice_sent)


def slip(
    desk: Desk,
    serial: SerialArgument,
    out: printing.OutOption = None,
    language: printing.LanguageOption = None,
    queue: printing.PrintOption = "",
    again: AgainOption = False,
    reason: ReasonOption = None,
) -> None:
    """Draw the transfer slip that works for an instrument.

    Drawn again it is the same one.

    Once it was printed, it is drawn again by a lead or with a second yes, for a reason.
    A lost one is replaced once its notice has run.
    """
    from cli.papers_transfer import transfer_slip
    from labels import transfer_slip as drawing
    from ledger.acts import slips
    from ledger.acts.heads import sign_head

    if again != (reason is not None):
        raise typer.BadParameter("give --again and --reason together, or neither")
    place = printing.place(out, queue)
    code, hands = desk.serial(serial), desk.hands()
    found = slips.slip_for(desk.shop, code, hands, again=again)
    drawn = transfer_slip(desk.shop, found, language or desk.shop.settings.language)
    pdf = drawing.draw(drawn)
    printing.put(
        desk.shop,
        place,
        pdf,
        title=f"transfer slip {found.number}",
        is_private=True,
        record=partial(
            slips.printed,
            slip=found,
            sha256_hex=sha256(pdf).hexdigest(),
            hands=hands,
            reason=reason,
        ),
        sides=printing.SHORT_EDGE,
    )
    # That it was printed is held as well, else it could be printed for another.
    sign_head(desk.shop)
    show.notices(drawing.notices(drawn))
    by_hand = "" if queue else printing.TURN_OVER
    lines = [
        f"{place}: transfer slip {found.number} of {code}.{by_hand}",
        "Fold it so that the code lies inside, and close it before it leaves the shop.",
        f"It carries the checkpoint of {drawn.size} entries out of this machine.",
    ]
    told = {"slip": found.number, "serial": code, "size": drawn.size}
    show.answer(desk, lines, **place.told(), **told)


def slip_lost(desk: Desk, serial: SerialArgument, letter: LetterOption = None) -> None:
    """Enter that a slip is lost, by its owner's letter.

    It works until another takes its place.
    """
    from ledger.acts import slips
    from ledger.acts.thefts import standing_reports

    code = desk.serial(serial)
    entry = slips.lost(desk.shop, code, desk.hands(), letter=letter)
    reports = standing_reports(desk.shop, code)
    again = ", and then works" if reports else ""
    lines = [
        f"The slip of {code} is entered as lost, by entry {entry.index}.",
        f"It {works_words(reports)}{again} until another takes its place, "
        f"{slips.NOTICE_DAYS} days after the notice is entered as sent.",
        "Write to the last known owner now: flitchbook owner slip-notice "
        f"{code} --out notice",
    ]
    show.answer(desk, lines, serial=code, entry=entry.index)


def slip_notice_sent(desk: Desk, serial: SerialArgument) -> None:
    """Enter that the notice of a lost slip was sent.

    Its thirty days run from here.
    """
    from ledger.acts import slips

    code = desk.serial(serial)
    entry = slips.notice_sent(desk.shop, code, desk.hands())
    until = slips.replaced_from(entry.at[:10])
    lines = [
        f"The notice about the slip of {code} is entered as sent, by entry "
        f"{entry.index}.",
        f"Another slip can take its place from {until} on.",
    ]
    show.answer(desk, lines, serial=code, entry=entry.index, replaced_from=until)


def slip_found(desk: Desk, serial: SerialArgument) -> None:
    """Enter that a lost slip is found, or its holder objects.

    It goes on working then.
    """
    from ledger.acts import slips
    from ledger.acts.thefts import standing_reports

    code = desk.serial(serial)
    entry = slips.found(desk.shop, code, desk.hands())
    works = works_words(standing_reports(desk.shop, code))
    lines = [
        f"The slip of {code} is no longer lost, by entry {entry.index}: it {works}."
    ]
    show.answer(desk, lines, serial=code, entry=entry.index)


def slip_notice(desk: Desk, serial: SerialArgument, out: FolderOption) -> None:
    """Draft the notice of a lost slip; it is not sent.

    It is for the last known owner.
    """
    from cli.papers_letter import letter_page, write_draft
    from ledger.acts.folders import new_folder, require_new
    from ledger.acts.ownership import draft_notice

    code = desk.serial(serial)
    require_new(out)
    notice = draft_notice(desk.shop, code, desk.key)
    with new_folder(out, is_private=True):
        page = letter_page(desk, notice, f"{code}, transfer slip {notice.slip}")
        write_draft(desk, out, f"draft-{notice.slip}-{code}", page)
    lines = [
        f"The notice about slip {notice.slip} is drafted, not sent: {out}",
        f"Send it, and enter that: flitchbook owner slip-notice-sent {code}. Sent "
        f"today, it runs until {notice.until}.",
    ]
    show.answer(desk, lines, serial=code, slip=notice.slip, out=str(out))


def words(row: Any, reports: Sequence[int]) -> str:
    """Tell a code in one line, never the code itself.

    reports  the numbers of the reports of theft that stand
    """
    name = f"slip {row.slip}" if row.slip else f"the code of {row.certificate}, no slip"
    unsure = ", perhaps not printed" if row.slip and not row.prints else ""
    return f"  {name}: {_state(row, reports)}{unsure} (entry {row.slip_idx or row.idx})"


def data(row: Any, reports: Sequence[int]) -> dict[str, Any]:
    """Return a code for a program, never the code itself; on which reports it rests."""
    return {
        "slip": row.slip,
        "certificate": row.certificate,
        "prints": row.prints,
        "lost_on": row.lost_on,
        "notice_on": row.notice_on,
        "ended_by": row.ended_idx,
        "how": row.how,
        "rests_while": list(reports) if row.ended_idx is None else [],
        "entry": row.slip_idx or row.idx,
    }


def works_words(reports: Sequence[int]) -> str:
    """Say that a slip works, or that it rests while reports of theft stand."""
    if not reports:
        return "works"
    noun, verb = ("report", "stands") if len(reports) == 1 else ("reports", "stand")
    return f"rests while {noun} {in_a_row([str(n) for n in reports])} {verb}"


def _state(row: Any, reports: Sequence[int]) -> str:
    if row.ended_idx is not None:
        return f"{row.how} by entry {row.ended_idx}"
    works = works_words(reports)
    if row.lost_on is None:
        return works
    sent = f"notice sent {row.notice_on}" if row.notice_on else "no notice sent"
    return f"{works}, said to be lost {row.lost_on}, {sent}"
