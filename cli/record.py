"""flitchbook record: the log itself, judged and carried elsewhere."""

import sys
from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import (
    printing,
    record_affirm,
    record_against,
    record_backup,
    record_claims,
    record_copies,
    record_drill,
    record_export,
    record_outside,
    record_private,
    record_prov,
    record_put_back,
    record_recover,
    record_reserve,
    record_restore,
    record_tables,
    record_tiles,
    record_whole,
    record_witness,
    shop_continue,
    show,
)
from cli.context import WHY, Desk, now, reads, signs, state_folder

app = typer.Typer(
    name="record", help="The log: audited, copied, proved.", no_args_is_help=True
)
LevelOption = Annotated[
    Literal["tree", "roles", "all"],
    typer.Option(help="The hashes; also who might say what; everything."),
]
AgainstOption = Annotated[
    str | None,
    typer.Option(
        help="A checkpoint that was kept outside: a file of a note, a proof, a "
        "certificate, a tag, a slip, a card's text or what a witness has, or what a "
        "paper says, such as '71391 pocket lumber …'."
    ),
]
IndexArgument = Annotated[int, typer.Argument(help="The number of the entry.")]
ReasonOption = Annotated[str, typer.Option(*WHY, help="Why; it is kept in the vault.")]
SlipOption = Annotated[
    Path | None, typer.Option("--out", help="Draw it as a witness slip, a new PDF.")
]
NOT_KEPT = (
    "That it was audited cannot be kept in its folder, so flitchbook record whole does "
    "not know of it."
)
FromOption = Annotated[str, typer.Option("--from", help="The first false time.")]
UntilOption = Annotated[str, typer.Option("--to", help="The last false time.")]


@reads(app)
def audit(
    desk: Desk, level: LevelOption = "all", against: AgainstOption = None
) -> None:
    """Walk over everything again and say what was changed."""
    from ledger.acts.shop import open_for_audit
    from ledger.audit import audit as walk
    from ledger.audit.audited import note_audit

    held = None if against is None else record_against.outside(against)
    shop = open_for_audit(desk.folder, now=now, state=state_folder())
    report = walk(
        shop,
        level=level,
        against=held,
        progress=show.Progress("walking"),
    )
    is_kept = note_audit(shop, report, now())
    left = record_outside.newest(shop, report.newest_outside)
    words, evidence = _word(report), list(record_against.kept(shop, report, held))
    account = record_outside.account(shop, is_settled=bool(report and held))
    lines = [
        f"{_with_disputes(words, report)}: {report.size} entries, level "
        f"{report.level}, root {report.root.hex()}",
        *(f"  {finding}" for finding in report.findings),
        *shop_continue.words(report.closed),
        _outside_words(shop, report, left, held),
        *evidence,
        *account["by_ended_keys"],
        *filter(None, [account["account"]]),
        record_copies.words(shop, report.size),
        *(() if is_kept else (NOT_KEPT,)),
    ]
    show.answer(
        desk,
        lines,
        whole=bool(report),
        answer=words,
        outside=record_outside.data(left),
        against=record_against.data(held),
        kept_as_evidence=bool(evidence),
        **account,
        disputed=_disputed(report),
        size=report.size,
        root=report.root.hex(),
        level=report.level,
        findings=show.findings(report.findings),
        closed=shop_continue.data(report.closed),
        backup=record_copies.data(shop, report.size),
    )
    if not report:
        raise typer.Exit(1)


@reads(app)
def checkpoint(
    desk: Desk,
    out: SlipOption = None,
    language: printing.LanguageOption = None,
    queue: printing.PrintOption = "",
) -> None:
    """Sign the head of the log, to be kept elsewhere.

    It is told, or drawn as a slip.
    """
    from cli.papers_slip import witness_slip
    from labels import witness_slip as drawing
    from ledger.acts.heads import sign_head
    from ledger.acts.leaving import ON_A_SLIP
    from ledger.acts.outside import leave
    from ledger.log.checkpoint import parse_checkpoint, parse_note
    from ledger.words import ten_words

    if out is not None:
        show.require_new(out)
    place = printing.maybe(out, queue)
    note = sign_head(desk.shop)
    head = parse_checkpoint(parse_note(note))
    lines = [note.rstrip("\n"), "", " ".join(ten_words(head.root))]
    if place:
        slip = witness_slip(desk.shop, note, language or desk.shop.settings.language)
        printing.bring(place, drawing.draw(slip), title=f"witness slip {head.size}")
        how = "Cut it out" if queue else "Print at 100 %, cut it out"
        lines.append(f"{place}: a slip. {how}, keep it elsewhere.")
        show.notices(drawing.notices(slip))
        leave(desk.shop.state, head, day=slip.date, how=ON_A_SLIP)
    left = record_outside.newest(desk.shop)
    if sys.stderr.isatty():  # what is printed is often sent into a file to be kept
        show.notice(record_outside.words(desk.shop, left, head.size))
    show.answer(
        desk,
        lines,
        checkpoint=note,
        size=head.size,
        root=head.root.hex(),
        outside=record_outside.data(left),
        **place.told(),
    )


@reads(app)
def rebuild(desk: Desk) -> None:
    """Fold what is shown again from the entries.

    Entries never change.
    """
    from ledger.acts.copies import rebuild as fold_again

    size = fold_again(desk.shop_of_any_edition)
    show.answer(desk, [f"All views are folded again from {size} entries."], size=size)


@signs(app)
def correct(desk: Desk, index: IndexArgument, reason: ReasonOption) -> None:
    """Strike an entry that was a mistake; it stays legible.

    It counts no more.
    """
    from ledger.acts.corrections import correct as strike

    entry = strike(desk.shop, index, reason=reason, hands=desk.hands())
    lines = [f"Entry {index} is struck by entry {entry.index}; it stays in the record."]
    show.answer(desk, lines, struck=index, entry=entry.index)


@signs(app)
def doubt_clock(desk: Desk, since: FromOption, until: UntilOption) -> None:
    """Say that the clock was false between two moments.

    The times that entries tell between them are in doubt.
    """
    from ledger.acts.clock import doubt

    entry = doubt(desk.shop, since=since, until=until, hands=desk.hands())
    lines = [f"Entry {entry.index} says that times from {since} to {until} are false."]
    show.answer(desk, lines, entry=entry.index)


def _word(report: Any) -> str:
    """Return what an audit comes to, in a word that is read first."""
    if report:
        return "whole"
    return "CHANGED" if record_backup.changes(report) else "CANNOT JUDGE"


def _disputed(report: Any) -> int:
    """Count the entries that are in dispute."""
    return len({f.index for f in report.findings if f.cause == "disputed"})


def _with_disputes(words: str, report: Any) -> str:
    """Add how many entries are in dispute to the word that is read first."""
    number = _disputed(report)
    are = "1 entry" if number == 1 else f"{number:,} entries"
    return f"{words}, {are} in dispute" if number else words


def _outside_words(shop: Any, report: Any, left: Any, held: Any) -> str:
    if held is not None:
        return record_against.words(report, held)
    if report.level == "tree":
        return "At this level nobody looks which checkpoints left on papers."
    return record_outside.words(shop, left, report.size)


record_affirm.add_to(app)
record_backup.add_to(app)
record_claims.add_to(app)
record_private.add_to(app)
record_prov.add_to(app)
record_tables.add_to(app)
record_tiles.add_to(app)
record_whole.add_to(app)
record_drill.add_to(app)
record_export.add_to(app)
record_put_back.add_to(app)
record_recover.add_to(app)
record_reserve.add_to(app)
record_restore.add_to(app)
app.add_typer(record_witness.app)
