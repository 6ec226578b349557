"""How somebody who owns the machine changes what is written, and covers it up."""

import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from typing import Any

from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session

from ledger.acts.layout import LEDGER
from ledger.audit import Report
from ledger.audit.findings import Finding
from ledger.errors import TamperError
from ledger.log import database, merkle
from ledger.log.approvals import ONCE_SIZE, approve
from ledger.log.entry import NO_PREVIOUS, Entry, Record, at_text, parse_record, seal
from ledger.log.keys import SecretKey
from ledger.log.store import Fold
from ledger.log.tiles import grown
from ledger.views import fold
from tests.skerrymoor import Loft


@contextmanager
def behind_the_guards(loft: Loft) -> Iterator[sqlite3.Connection]:
    """Take every guard away, let the database be changed, and put them back."""
    find = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
    with closing(sqlite3.connect(loft.shop.folder / LEDGER)) as connection:
        guards = connection.execute(find).fetchall()
        for name, _ in guards:
            connection.execute(f"DROP TRIGGER {name}")
        yield connection
        for _, text in guards:
            connection.execute(text)
        connection.commit()


def records_of(loft: Loft) -> list[bytes]:
    """Return every record as stored."""
    return [data for _, data in loft.shop.store.records()]


def refit(loft: Loft, records: Sequence[bytes]) -> None:
    """Put other records in place of all, and make everything beside them fit."""
    tiles: dict[tuple[int, int], bytes] = {}
    edge: tuple[bytes, ...] = ()
    with behind_the_guards(loft) as connection:
        for table in ("entry", "tile", "head"):
            connection.execute(f"DELETE FROM {table}")  # noqa: S608 - our names
        for index, data in enumerate(records):
            leaf = merkle.leaf_hash(data)
            connection.execute(
                "INSERT INTO entry VALUES (?, ?, ?)", (index, data, leaf)
            )
            for level, number, hashes in grown(
                index, leaf, lambda *at: tiles.get(at, b"")
            ):
                tiles[level, number] = hashes
            edge = merkle.extend(edge, index, leaf)
        rows = [(*place, hashes) for place, hashes in tiles.items()]
        connection.executemany("INSERT INTO tile VALUES (?, ?, ?)", rows)
        head = (len(records), merkle.edge_root(edge), b"".join(edge))
        connection.execute("INSERT INTO head VALUES (?, ?, ?)", head)
    _fold_again(loft, records)


def rechained(records: Sequence[bytes], index: int, changed: bytes) -> list[bytes]:
    """Change one record and let every later one name the new one before it.

    Whoever has no keys keeps the signatures as they are.
    """
    made = [*records[:index], changed]
    for data in records[index + 1 :]:
        entry, signature = data.split(b"\n", 1)
        members = json.loads(entry) | {"previous": merkle.leaf_hash(made[-1]).hex()}
        text = json.dumps(
            members, sort_keys=True, separators=(",", ":"), ensure_ascii=False
        )
        made.append(text.encode() + b"\n" + signature)
    return made


def resealed(record: bytes, secret: SecretKey, **changes: Any) -> bytes:
    """Sign an entry anew with changed members, as the holder of its key can."""
    entry = parse_record(record).entry
    members = {name: getattr(entry, name) for name in Entry.__dataclass_fields__}
    return seal(Entry(**(members | changes)), secret).data


def appended(
    loft: Loft,
    event: dict[str, Any],
    by: SecretKey | None = None,
    fold: Fold = lambda *_: None,
) -> Record:
    """Append what no act would say, by the lead or another, folded nowhere."""
    secret = by or loft.keys["01"]
    with loft.shop.store.appending() as appending:
        newest = appending.newest
        entry = Entry(
            at=at_text(loft.clock()),
            event=event,
            index=appending.head.size,
            key=secret.id,
            origin=loft.shop.standing().origin,
            previous=newest.leaf.hex() if newest else NO_PREVIOUS,
        )
        record = seal(entry, secret)
        appending.append(record, fold)
    return record


def by_roots(loft: Loft, event: dict[str, Any]) -> dict[str, Any]:
    """Let two roots approve what this version does not know."""
    return approve(
        event,
        origin=loft.shop.standing().origin,
        root_version=1,
        once=loft.shop.entropy(ONCE_SIZE),
        by=loft.roots[:2],
    )


def index_of(loft: Loft, kind: str) -> int:
    """Return where the first entry of a kind stands."""
    for index, data in loft.shop.store.records():
        if parse_record(data).entry.kind == kind:
            return index
    raise AssertionError(f"there is no {kind}")


def changed_vault(loft: Loft, statement: str, *values: object) -> None:
    """Change the vault's file behind its back."""
    with closing(sqlite3.connect(loft.shop.folder / "vault.sqlite3")) as connection:
        connection.execute(statement, values)
        connection.commit()


def _fold_again(loft: Loft, records: Sequence[bytes]) -> None:
    engine = loft.shop.store.engine
    with (
        database.transaction(engine, writing=True) as connection,
        Session(connection) as session,
    ):
        fold.empty(session)
        for data in records:
            with (
                suppress(SQLAlchemyError, TamperError, KeyError),
                session.begin_nested(),
            ):
                fold.fold(session, parse_record(data).entry)
        session.flush()


def off_the_road(report: Report) -> list[Finding]:
    """Return the findings but for those of steps: what a lively shop says has none."""
    return [finding for finding in report.findings if finding.cause != "road"]
