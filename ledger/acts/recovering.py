"""Lost entries that are found later: quoted whole, and folded into nothing."""

import re
from collections.abc import Collection, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from sqlmodel import Session

from ledger.acts.cardproofs import require_no_card
from ledger.acts.exchange import read_records
from ledger.acts.lostnumbers import reserve_in
from ledger.acts.puttingback import records_in
from ledger.acts.shop import Hands, Shop, Turn
from ledger.benchcodes import MaterialId
from ledger.check import certificate_bytes
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.events import EntryRecovered, codec
from ledger.ids import BoardId, DocumentId, LotId, parse_any
from ledger.log.approvals import approvers_of
from ledger.log.entry import Entry, Record, parse_record
from ledger.log.proof import PROOF_HEADER, parse_certificate_file, parse_proof
from ledger.log.recovery import recovered
from ledger.log.standing import Standing
from ledger.views.naming import entries_holding
from ledger.views.reserved import ReservedNumber
from ledger.views.trace import Line, trace

# What a code has, and none of the words that stand for one in a trace.
DIGIT = re.compile(r"[0-9]")

# Codes of wood, of what is no wood, and of papers.
STUFF = tuple(each.form.shape for each in (LotId, BoardId, MaterialId, DocumentId))

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
    on_the_way |= _leads_to(quoted.values(), code)
    depth = 1 if lines else 0
    return lines + [
        _quoted_line(standing, index, entry, depth)
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


def _leads_to(quoted: Collection[Entry], code: str) -> set[str]:
    """Return the codes to which lost entries about a code lead.

    That is every number that was given in such an entry, as a certificate's or a
    slip's, and what is said of that in turn; and the wood and the papers in them all.
    """
    own, size = {code}, 0
    about: list[Entry] = []
    while size < len(own):
        size = len(own)
        about = [each for each in quoted if not own.isdisjoint(_chiefly(each))]
        own |= {given for each in about if (given := _given(each))}
    named = {word for each in about for word in _words(each.event)}
    return own | {
        word for word in named if any(shape.fullmatch(word) for shape in STUFF)
    }


def _chiefly(entry: Entry) -> Iterator[str]:
    """Yield what an entry is about: its own members, and no wood among its parts."""
    for value in entry.event.values():
        for word in value if isinstance(value, list) else [value]:
            if isinstance(word, str):
                yield word


def _given(entry: Entry) -> str:
    """Return the number that an entry gave and nobody else may get, or nothing."""
    return str(entry.event.get(GIVES.get(entry.kind.partition("/")[0], ""), ""))


def _quoted_line(standing: Standing, index: int, entry: Entry, depth: int) -> Line:
    kind, day = entry.kind.partition("/")[0], entry.at[:10]
    since = _disputed_since(standing, index, entry)
    doubt = f"; its key is disputed since entry {since}" if since is not None else ""
    said = (
        f"{kind} of {day}, lost with entry {entry.index} of {entry.origin}: quoted "
        f"whole, folded into nothing{doubt}"
    )
    return Line(
        depth=depth, code="recovered", said=said, entry=index, disputed_since=since
    )


def _disputed_since(standing: Standing, index: int, entry: Entry) -> int | None:
    """Return since when a key that said or approved a lost entry is in dispute.

    index  where it was quoted: before that nobody knows that it was not made since, so
           what counts is that the key was in other hands by then

    It has no place in the record of its own, so nobody stands by it.
    """
    keys = {entry.key, *approvers_of(entry.event)} & standing.keys.keys()
    since = [standing.keys[key].disputed_since for key in keys]
    return min(
        (each for each in since if each is not None and each <= index), default=None
    )


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
    try:
        code = str(parse_any(_given(entry), turn.shop.settings.pattern))
    except RefusedError:
        # It gave no number, or one of an earlier pattern that is given to nobody.
        return
    if turn.session.get(ReservedNumber, code) is None:
        reserve_in(turn, [code], hands)
