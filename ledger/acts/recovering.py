"""Lost entries that are found later: quoted whole, and folded into nothing."""

import re
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from sqlmodel import Session

from ledger.acts.cardproofs import require_no_card
from ledger.acts.exchange import read_records
from ledger.acts.lostnumbers import reserve_in
from ledger.acts.puttingback import records_in
from ledger.acts.shop import Hands, Shop, Turn
from ledger.check import certificate_bytes
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.events import EntryRecovered, codec
from ledger.ids import parse_any
from ledger.log.entry import Entry, Record, parse_record
from ledger.log.proof import PROOF_HEADER, parse_certificate_file, parse_proof
from ledger.log.recovery import recovered
from ledger.log.standing import Standing
from ledger.views.naming import entries_holding
from ledger.views.reserved import ReservedNumber
from ledger.views.trace import Line, trace

# What a code has, and none of the words that stand for one in a trace.
DIGIT = re.compile(r"[0-9]")

# Which member of a kind gives a number that nobody else may get.
GIVES = {
    "build.begun": "serial",
    "certificate.issued": "number",
    "document.filed": "document",
    "gauge.listed": "gauge",
    "hold.placed": "hold",
    "lot.received": "lot",
    "material.received": "batch",
    "owner.slip-issued": "slip",
    "shipment.planned": "shipment",
}


def recover(shop: Shop, source: Path, hands: Hands) -> list[Entry]:
    """Quote the lost records that a file or a folder holds, each in its own entry.

    source  a certificate or a proof with its record in it, records, an export, or a
            copy of the shop

    The numbers that they gave are kept free. What is here already, and what was quoted
    before, is passed over. Raises RefusedError where nothing is left, or where one of
    them was signed by no key that the closed volume knew.
    """
    said = []
    with shop.turn() as turn:
        for record in _lost_in(source, turn.standing):
            entry = record.entry
            text = record.data.decode("utf-8")
            recovered(turn.standing, origin=entry.origin, index=entry.index, text=text)
            if _is_quoted(turn, text):
                continue
            event = EntryRecovered(origin=entry.origin, index=entry.index, record=text)
            said.append(turn.say(event, hands))
            _keep_free(turn, entry, hands)
        if not said:
            raise RefusedError(
                f"{source} holds no lost entry that is not quoted here already"
            )
    return said


def followed(session: Session, standing: Standing, code: str) -> list[Line]:
    """Follow a code, and then tell the recovered entries that name what is on the way.

    What no entry names but one that was lost is told by that alone; raises
    NotFoundError where there is none.
    """
    quoted = _quoted(session, standing)
    try:
        lines = trace(session, code)
    except NotFoundError:
        lines = []
        if not any(code in _words(each.event) for each in quoted.values()):
            raise
    on_the_way = {code, *(line.code for line in lines if DIGIT.search(line.code))}
    depth = 1 if lines else 0
    return lines + [
        _quoted_line(index, entry, depth)
        for index, entry in quoted.items()
        if not on_the_way.isdisjoint(_words(entry.event))
    ]


def _quoted(session: Session, standing: Standing) -> dict[int, Entry]:
    """Return the lost entries that were found, by the entry that quotes each.

    Nothing is read where no volume was closed, nor what came before the first that was.
    What cannot be read is told by an audit.
    """
    if not standing.closed:
        return {}
    start = min(closed.size for closed in standing.closed)
    found = {}
    for entry in entries_holding(session, f'"{EntryRecovered.kind}"', start):
        with suppress(LedgerError):
            event = codec.parse(entry.event)
            if isinstance(event, EntryRecovered):
                record = parse_record(event.record.encode("utf-8"))
                found[entry.index] = record.entry
    return found


def _quoted_line(index: int, entry: Entry, depth: int) -> Line:
    kind, day = entry.kind.partition("/")[0], entry.at[:10]
    said = (
        f"{kind} of {day}, lost with entry {entry.index} of {entry.origin}: quoted "
        f"whole, folded into nothing"
    )
    return Line(depth=depth, code="recovered", said=said, entry=index)


def _words(said: Any) -> Iterator[str]:
    """Yield every text that an event says."""
    if isinstance(said, str):
        yield said
    elif isinstance(said, dict | list):
        for each in said.values() if isinstance(said, dict) else said:
            yield from _words(each)


def _lost_in(source: Path, standing: Standing) -> list[Record]:
    """Return the records of a source that are of no entry that is held here."""
    records = _read(source)
    names = {closed.origin: closed.size for closed in standing.closed}
    if not names:
        raise RefusedError(
            "no entry of this log was lost for good: what is missing is put back with "
            "flitchbook record put-back"
        )
    return [r for r in records if r.entry.index >= names.get(r.entry.origin, 0)]


def _read(source: Path) -> list[Record]:
    require_no_card(source)
    if source.is_dir():
        return [parse_record(data) for data in records_in(source)]
    try:
        data = source.read_bytes()
    except OSError as problem:
        raise RefusedError(f"{source} cannot be read ({problem.strerror})") from None
    try:
        if data.startswith(PROOF_HEADER.encode()):
            extra = parse_proof(data.decode("utf-8")).extra
            return [] if extra is None else [parse_record(extra)]
        if data.startswith(b'{"at":'):
            return [parse_record(each) for each in read_records(source)]
        return [parse_certificate_file(certificate_bytes(data)).record]
    except (LedgerError, UnicodeDecodeError) as fault:
        raise RefusedError(f"{source} holds no record of an entry: {fault}") from None


def _is_quoted(turn: Turn, text: str) -> bool:
    """Tell whether a record was quoted before: its signature is found by no chance."""
    signature = text.split("\n")[1]
    return any(
        entry.kind == EntryRecovered.kind and entry.event.get("record") == text
        for entry in entries_holding(turn.session, signature)
    )


def _keep_free(turn: Turn, entry: Entry, hands: Hands) -> None:
    member = GIVES.get(entry.kind.partition("/")[0], "")
    given = entry.event.get(member)
    try:
        code = str(parse_any(str(given), turn.shop.settings.pattern))
    except RefusedError:
        # It gave no number, or one of an earlier pattern that is given to nobody.
        return
    if turn.session.get(ReservedNumber, code) is None:
        reserve_in(turn, [code], hands)
