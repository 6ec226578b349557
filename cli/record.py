"""flitchbook record: the log itself, judged and carried elsewhere."""

from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import (
    printing,
    record_backup,
    record_claims,
    record_copies,
    record_drill,
    record_export,
    record_restore,
    record_tables,
    record_whole,
    show,
)
from cli.context import WHY, Desk, now, reads, signs

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
        help="A checkpoint that was kept outside: a file of a note, a proof or a "
        "certificate, or what a tag says, such as '71391 pocket lumber …'."
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
# How each line of signature in a note begins (C2SP signed-note).
SIGNED = "— "
# How a tag's checkpoint is typed.
SAID = "what a paper says, such as '71391 pocket lumber …'"
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

    shop = open_for_audit(desk.folder, now=now)
    report = walk(
        shop,
        level=level,
        against=None if against is None else _outside(against),
        progress=show.Progress("walking"),
    )
    is_kept = note_audit(shop, report, now())
    words = _word(report)
    lines = [
        f"{words}: {report.size} entries, level {report.level}, "
        f"root {report.root.hex()}",
        *(f"  {finding}" for finding in report.findings),
        _outside_words(report, against),
        record_copies.words(shop, report.size),
        *(() if is_kept else (NOT_KEPT,)),
    ]
    show.answer(
        desk,
        lines,
        whole=bool(report),
        answer=words,
        newest_outside=report.newest_outside,
        size=report.size,
        root=report.root.hex(),
        level=report.level,
        findings=show.findings(report.findings),
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
    """Sign the head of the log and tell it, or draw it as a slip to keep elsewhere."""
    from cli.papers_slip import witness_slip
    from labels import witness_slip as drawing
    from labels.words import ten_words
    from ledger.acts.heads import sign_head
    from ledger.log.checkpoint import parse_checkpoint, parse_note

    if out is not None:
        show.require_new(out)
    place = printing.maybe(out, queue)
    note = sign_head(desk.shop)
    head = parse_checkpoint(parse_note(note))
    lines = [note.rstrip("\n"), "", " ".join(ten_words(head.root))]
    if place:
        slip = witness_slip(desk.shop, head, language or desk.shop.settings.language)
        printing.bring(place, drawing.draw(slip), title=f"witness slip {head.size}")
        how = "Cut it out" if queue else "Print at 100 %, cut it out"
        lines.append(f"{place}: a slip. {how}, keep it elsewhere.")
        show.notices(drawing.notices(slip))
    show.answer(
        desk,
        lines,
        checkpoint=note,
        size=head.size,
        root=head.root.hex(),
        **place.told(),
    )


@reads(app)
def rebuild(desk: Desk) -> None:
    """Fold what is shown again from the entries; entries never change."""
    from ledger.acts.copies import rebuild as fold_again

    size = fold_again(desk.shop_of_any_edition)
    show.answer(desk, [f"All views are folded again from {size} entries."], size=size)


@signs(app)
def correct(desk: Desk, index: IndexArgument, reason: ReasonOption) -> None:
    """Strike an entry that was a mistake: it stays legible and counts no more."""
    from ledger.acts.corrections import correct as strike

    entry = strike(desk.shop, index, reason=reason, hands=desk.hands())
    lines = [f"Entry {index} is struck by entry {entry.index}; it stays in the record."]
    show.answer(desk, lines, struck=index, entry=entry.index)


@signs(app)
def doubt_clock(desk: Desk, since: FromOption, until: UntilOption) -> None:
    """Say that times between two moments are false, because the clock was."""
    from ledger.acts.clock import doubt

    entry = doubt(desk.shop, since=since, until=until, hands=desk.hands())
    lines = [f"Entry {entry.index} says that times from {since} to {until} are false."]
    show.answer(desk, lines, entry=entry.index)


def _word(report: Any) -> str:
    """Return what an audit comes to, in a word that is read first."""
    if report:
        return "whole"
    return "CHANGED" if record_backup.changes(report) else "CANNOT JUDGE"


def _outside(said: str) -> Any:
    """Read a head that was kept elsewhere: from a file, or as a tag's words say it."""
    from ledger.codes import shown
    from ledger.errors import RefusedError

    if not said.strip():
        raise RefusedError(f"--against is empty: name a file, or type {SAID}")
    path = Path(said)
    if _is_spoken(said):
        size, _, words = said.strip().partition(" ")
        return _spoken(size, words)
    if " " in said.strip() and not path.exists():
        raise RefusedError(
            f"{shown(said)} is no file here, and the words of a paper begin with "
            f"its number of entries: type {SAID}"
        )
    return _written(path)


def _is_spoken(said: str) -> bool:
    """Tell whether a paper's number and words were typed, and no file named."""
    return said.strip().partition(" ")[0].isdecimal() and not Path(said).exists()


def _spoken(size: str, words: str) -> Any:
    from labels.words import spoken_bytes
    from ledger.audit import Outside
    from ledger.errors import RefusedError

    if len(size) > 15 or not size.isascii():
        raise RefusedError(f"{size[:20]} is no number of entries: read the paper again")
    return Outside(size=int(size), root_start=spoken_bytes(words))


def _written(path: Path) -> Any:
    """Read a head out of a note, a proof, or a certificate with its proof."""
    from ledger.audit import Outside
    from ledger.check import certificate_bytes
    from ledger.errors import LedgerError, RefusedError
    from ledger.log.checkpoint import parse_checkpoint, parse_note
    from ledger.log.proof import PROOF_HEADER, parse_certificate_file, parse_proof

    data = show.read_file(path)
    try:
        if data.startswith((b"%PDF-", b"{")):
            note = parse_certificate_file(certificate_bytes(data)).proof.checkpoint
        else:
            note, words = _note_and_words(_text(data))
            if note.startswith(PROOF_HEADER):
                note = parse_proof(note).checkpoint
            _require_own_words(note, words)
        return Outside.of(parse_checkpoint(parse_note(note)), note)
    except LedgerError as fault:
        raise RefusedError(
            f"{path} holds no checkpoint ({fault}): name a note, a proof or a "
            f"certificate, or type {SAID}"
        ) from None


def _note_and_words(text: str) -> tuple[str, str]:
    """Return a note, and the words that are printed below it, if any are."""
    above, gap, below = text.rstrip("\n").rpartition("\n\n")
    if gap and above.rpartition("\n")[2].startswith(SIGNED):
        return f"{above}\n", below
    return text, ""


def _require_own_words(note: str, words: str) -> None:
    """Refuse words below a note that are not those of its own root."""
    from labels.words import spoken_bytes
    from ledger.errors import RefusedError
    from ledger.log.checkpoint import parse_checkpoint, parse_note

    root = parse_checkpoint(parse_note(note)).root
    if words and not root.startswith(spoken_bytes(words)):
        raise RefusedError(
            "the words below its note are not those of its root: one of the two was "
            "changed"
        )


def _text(data: bytes) -> str:
    from ledger.errors import RefusedError

    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        raise RefusedError("it is no text") from None


def _outside_words(report: Any, against: str | None) -> str:
    if against is not None:
        given = "Compared with the checkpoint you gave."
        if _is_spoken(against) and not report:
            given += " Read its number and words again before you believe this."
        return given
    if report.level == "tree":
        return "At this level nobody looks which checkpoints left on papers."
    if report.newest_outside is None:
        return (
            f"No checkpoint has left this machine on a paper: all {report.size} "
            f"entries rest on the shop's word alone."
        )
    return record_whole.outside_line(report.newest_outside, report.size)


record_backup.add_to(app)
record_claims.add_to(app)
record_tables.add_to(app)
record_whole.add_to(app)
record_drill.add_to(app)
record_export.add_to(app)
record_restore.add_to(app)
