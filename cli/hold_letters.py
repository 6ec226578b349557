"""flitchbook hold letters: drafts to the owners, for those who may know them."""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, signs

HoldArgument = Annotated[str, typer.Argument(help="A hold, such as H26-001.")]
OutOption = Annotated[Path, typer.Option(help="A new folder for the drafts.")]
FACTS, ASKED = "What our record holds", "What we ask of you"


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the hold."""
    signs(app)(letters)


def letters(desk: Desk, hold: HoldArgument, out: OutOption) -> None:
    """Draft a letter to each registered owner touched; none is sent or recorded.

    Names are opened with the PIN of somebody who may know them.
    """
    from ledger.acts.folders import new_folder, require_new, write
    from ledger.acts.letters import draft_letters
    from ledger.benchcodes import HoldId

    number = str(HoldId.parse(desk.own(hold)))
    require_new(out)
    drafts = draft_letters(desk.shop, number, desk.key)
    rows = [{"serial": each.serial, "owner": each.to} for each in drafts.letters]
    lines = [f"{number}: {show.counted(len(rows), 'letter')} drafted, none sent."]
    if rows:
        with new_folder(out, is_private=True):
            for each in drafts.letters:
                for path, data in _files(desk, out, each):
                    write(path, data, is_private=True)
        lines.append(f"drafts: {out}")
    lines += [f"  {row['serial']}: to {row['owner']}" for row in rows]
    lines += [f"  {serial}: no owner known" for serial in drafts.without_owner]
    show.answer(
        desk,
        lines,
        hold=number,
        letters=rows,
        without_owner=list(drafts.without_owner),
        out=str(out) if rows else None,
    )


def _files(desk: Desk, out: Path, letter: Any) -> list[tuple[Path, bytes]]:
    from labels import letter as letters

    page = _page(desk, letter)
    for said in letters.notices(page):
        show.notice(said)
    stem = f"draft-{letter.hold}-{letter.serial}"
    drawn = letters.draw(page, paper=desk.shop.settings.paper)
    return [
        (out / f"{stem}.pdf", drawn),
        (out / f"{stem}.txt", letters.text(page).encode()),
    ]


def _page(desk: Desk, letter: Any) -> Any:
    from cli.papers_letterhead import letterhead_of
    from labels.letter import LetterPage, Part
    from ledger.acts.signing import person_name

    shop = desk.shop
    standing = shop.standing()
    return LetterPage(
        head=letterhead_of(shop),
        day=shop.today(),
        to=letter.to,
        about=f"{letter.serial}, certificate {letter.certificate}",
        parts=(
            Part(heading="", paragraphs=(letter.opening,)),
            Part(heading=FACTS, paragraphs=letter.facts),
            Part(heading=ASKED, paragraphs=letter.asked),
        ),
        closing=(
            f"Please answer to {person_name(shop, desk.person)} at {standing.name}."
        ),
        note=letter.caveat,
        as_of_entry=shop.store.head().size - 1,
    )
