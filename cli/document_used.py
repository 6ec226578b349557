"""flitchbook document permits, used: what a paper was issued for, and what is left."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads, signs

DocumentArgument = Annotated[str, typer.Argument(help="A paper, such as D26-0001.")]
LineOption = Annotated[
    list[str],
    typer.Option(
        "--line",
        help="A species or a genus and how much: 'Dalbergia latifolia=120 kg', "
        "'=0.25 m3', '=40 pieces'; repeated.",
    ),
]
PIECES = ("piece", "pieces", "pcs")


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the document."""
    signs(app)(permits)
    reads(app)(used)


def permits(desk: Desk, document: DocumentArgument, line: LineOption) -> None:
    """Say for what, and how much of it, a paper on file was issued."""
    from ledger.acts.permits import read_permit
    from ledger.acts.reviewing import edition_of
    from ledger.ids import DocumentId
    from ledger.trade.names import slips

    code = str(DocumentId.parse(desk.own(document)))
    drafts = [_line(text) for text in line]
    entry = read_permit(desk.shop, code, drafts, desk.hands())
    lines = [
        f"{code}: {show.counted(len(line), 'line')} read, entry {entry.index}. What is "
        f"left of it: flitchbook document used {code}"
    ]
    notes = slips((each.species for each in drafts), edition_of(desk.shop).law)
    lines += [f"note: {note}" for note in notes]
    if notes:
        lines.append(
            f"note: where it was misread, strike it with flitchbook record correct "
            f"{entry.index}, and read it again"
        )
    show.answer(
        desk,
        lines,
        document=code,
        permit_lines=len(line),
        entry=entry.index,
        notes=list(notes),
    )


def used(desk: Desk, document: DocumentArgument) -> None:
    """Tell how much of a paper is used, by which lots, and what remains."""
    from ledger.acts.drawdown import used_of
    from ledger.ids import DocumentId
    from ledger.trade.paperkinds import kinds_of

    code = str(DocumentId.parse(desk.own(document)))
    found = used_of(desk.shop, code)
    paper = found.document
    show.answer(
        desk,
        _lines(found),
        document=code,
        paper=paper.paper,
        kinds=[kind.name for kind in kinds_of(paper.paper)],
        number_as_written=paper.number_as_written,
        expires_on=paper.expires_on,
        entry=paper.idx,
        permit_lines=[
            asdict(line) | {"over": line.is_over, "sure": line.is_sure}
            for line in found.lines
        ],
        draws=[asdict(draw) for draw in found.draws],
        not_named=[draw.lot for draw in found.not_named],
        batches=[
            {"batch": row.batch, "what": row.what, "entry": row.idx}
            for row in found.batches
        ],
    )


def _line(text: str) -> Any:
    """Read a line as it is typed: the wood, an equals sign, the amount."""
    from ledger.acts.permits import LineDraft
    from ledger.errors import RefusedError
    from ledger.quantities import mass_mg, volume_mm3

    species, equals, amount = (part.strip() for part in text.partition("="))
    if not (species and equals and amount):
        raise RefusedError(
            f"{text!r} is no line: write the wood and how much of it, such as "
            f"'Dalbergia latifolia=120 kg'"
        )
    number, _, unit = amount.partition(" ")
    if unit.strip().lower() in PIECES:
        if not (number.isascii() and number.isdecimal() and len(number) < 10):
            raise RefusedError(f"{amount!r} is no number of pieces: write '40 pieces'")
        unit_name, value = "pieces", int(number)
    elif amount.endswith(("3", "³", "ft")):
        unit_name, value = "volume_mm3", volume_mm3(amount)
    else:
        unit_name, value = "mass_mg", mass_mg(amount)
    return LineDraft(species=species, unit=unit_name, amount=value, as_written=amount)


def _lines(found: Any) -> Iterator[str]:
    from ledger.trade.paperkinds import taken_for

    paper = found.document
    number = f" {paper.number_as_written}" if paper.number_as_written else ""
    until = f", until {paper.expires_on}" if paper.expires_on else ""
    yield f"{paper.code}: {paper.paper}{number}{until}, entry {paper.idx}"
    none = "none of the papers that are told apart by their names"
    yield f"  taken for {taken_for(paper.paper) or none}"
    if not found.lines:
        yield (
            f"  nobody read off it what it was issued for: say so with flitchbook "
            f"document permits {paper.code} --line 'Dalbergia latifolia=120 kg'"
        )
    for line in found.lines:
        yield from _line_lines(line)
    for draw in found.draws:
        yield from _draw_lines(draw)
    if not found.draws:
        yield "  no lot names it"
    for draw in found.not_named:
        yield f"  NOT NAMED on it: {draw.species} of {draw.lot}; ask whoever issued it"
    for row in found.batches:
        yield f"  batch {row.batch}, {row.what}: no amount on record, entry {row.idx}"


def _line_lines(line: Any) -> Iterator[str]:
    permitted, left = (_amount(line.unit, n) for n in (line.permitted, line.remains))
    at_most = "at most " if line.used.unknown else ""
    told = f"remains {at_most}{left}"
    if line.is_over:
        told = f"OVER-DRAWN by {_amount(line.unit, -line.remains)}"
    yield (
        f"  {line.species}: issued for {permitted}, used "
        f"{_amount(line.unit, line.used.amount)}, {told}, entry {line.entry}"
    )
    if not line.is_sure and line.unit != "pieces":
        yield f"    {_sureness(line.unit, line.used)}"


def _draw_lines(draw: Any) -> Iterator[str]:
    sawyer = f" from {draw.sawyer}" if draw.sawyer else ""
    yield (
        f"  {draw.lot}: {draw.species}, came in {draw.received_on}{sawyer}, "
        f"{show.entries_of(draw.entries)}"
    )
    for unit, known in draw.amounts.items():
        if unit == "pieces":
            yield f"    {show.counted(known.amount, 'piece')}{_pieces(draw)}"
        else:
            yield f"    {_amount(unit, known.amount)}: {_sureness(unit, known)}"
    if draw.serials:
        yield f"    in {', '.join(draw.serials)}"


def _pieces(draw: Any) -> str:
    told = f", {draw.unlabelled} of them without a number yet" * bool(draw.unlabelled)
    return told + f", {draw.returned} sent back to the sawyer" * bool(draw.returned)


def _sureness(unit: str, known: Any) -> str:
    """Say how an amount is known: measured, written by the sawyer, or not at all."""
    did = "weighed" if unit == "mass_mg" else "measured"
    parts = [
        f"{known.measured} {did} here" if known.measured else "",
        f"{known.listed} as the sawyer wrote" if known.listed else "",
        f"{known.unknown} unknown" if known.unknown else "",
    ]
    return ", ".join(filter(None, parts)) or "nothing came in"


def _amount(unit: str, amount: int) -> str:
    from ledger.quantities import cubic_metres, kilograms

    if unit == "pieces":
        return show.counted(amount, "piece")
    return kilograms(amount) if unit == "mass_mg" else cubic_metres(amount, places=6)
