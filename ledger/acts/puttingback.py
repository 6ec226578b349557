"""Entries that are missing put back, byte for byte, before anything else is said.

They come out of an export, a newer copy of the shop or a file of records. Each is
judged as it was when it was first said, and together they must lead to every head that
this account or the shop's folder holds: then nothing was lost at all.
"""

from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from ledger.acts.cardproofs import require_no_card
from ledger.acts.exchange import read_records
from ledger.acts.folders import copy_file
from ledger.acts.layout import ATTACHMENTS, LEDGER, RECORDS
from ledger.acts.outside import Kept, kept_heads
from ledger.acts.shop import Shop, read_standing
from ledger.errors import RefusedError, TamperError
from ledger.events import codec
from ledger.log import attachments, merkle
from ledger.log.authority import judge
from ledger.log.entry import Record, parse_record
from ledger.log.store import Appending, Store
from ledger.views.fold import fold, require_this_edition
from ledger.views.standing import UsedOnces


@dataclass(frozen=True, slots=True, kw_only=True)
class PutBack:
    """How many entries the log had, and has, and how many papers came with them.

    `missing` are the entries that a kept head proves and that came with none.
    """

    before: int
    size: int
    papers: int
    missing: int


def append_missing(shop: Shop, source: Path) -> PutBack:
    """Append the entries of a source that follow those that are here.

    All of them or, where one may not stand, none. Raises RefusedError where the source
    holds none that follow, and TamperError where it holds another history, or one that
    does not lead to a head that was kept.
    """
    kept = kept_heads(shop.store, shop.folder, shop.state)
    with codec.refusing(), shop.store.appending() as appending:
        require_this_edition(appending.session)
        before, records = appending.head.size, records_in(source)
        _require_same_start(appending, records, source)
        heads = [k for k in kept if k.signed.head.size > before]
        for data in records:
            _append(shop, appending, parse_record(data))
            _require_kept(appending, heads)
        size = appending.head.size
        if size == before:
            raise RefusedError(
                f"{source} holds no entry behind the {before:,} that are here: name a "
                f"newer copy"
            )
    largest = max((k.signed.head.size for k in heads), default=size)
    return PutBack(
        before=before,
        size=size,
        papers=_bring_papers(shop, source),
        missing=max(largest - size, 0),
    )


def records_in(source: Path) -> Iterator[bytes]:
    """Read the records of an export, of a copy of a shop, or of a file of them."""
    require_no_card(source)
    if (source / LEDGER).is_file():
        url = f"sqlite:///{source / LEDGER}"
        with closing(Store.open(url, for_audit=True)) as store:
            yield from (data for _, data in store.records())
        return
    path = source / RECORDS if source.is_dir() else source
    if not path.is_file():
        raise RefusedError(
            f"{source} holds no records: name an export, a copy of the shop or a "
            f"{RECORDS}"
        )
    yield from read_records(path)


def _require_same_start(
    appending: Appending, records: Iterator[bytes], source: Path
) -> None:
    """See that a source begins with the very entries that are here."""
    edge: tuple[bytes, ...] = ()
    for index in range(appending.head.size):
        data = next(records, None)
        if data is None:
            raise RefusedError(
                f"{source} holds {index:,} entries, and here are "
                f"{appending.head.size:,}: name a newer copy"
            )
        edge = merkle.extend(edge, index, merkle.leaf_hash(data))
    if merkle.edge_root(edge) != appending.head.root:
        raise TamperError(
            f"the first {appending.head.size:,} entries of {source} are not those that "
            f"are here: keep both, and audit each"
        )


def _append(shop: Shop, appending: Appending, record: Record) -> None:
    """Judge a record as it was judged when it was said, and append it."""
    entry, standing = record.entry, read_standing(appending.session, shop.memory)
    judgement = judge(standing, record, used_once=UsedOnces(appending.session))
    if not judgement and not judgement.is_open:
        reasons = "; ".join(judgement.reasons)
        raise TamperError(
            f"entry {entry.index} may not stand behind those that are here "
            f"({reasons}): nothing is put back"
        )
    appending.append(record, fold)


def _require_kept(appending: Appending, heads: list[Kept]) -> None:
    """See that a history leads to the heads of it that were kept."""
    here = appending.head
    for kept in heads:
        head = kept.signed.head
        if head.size == here.size and head.root != here.root:
            raise TamperError(
                f"these are not the entries that are missing: a checkpoint "
                f"{kept.of_day}, has another root of {head.size:,} entries; nothing "
                f"is put back"
            )


def _bring_papers(shop: Shop, source: Path) -> int:
    """Copy the files that the source has and the shop lacks; an audit hashes them."""
    theirs = source / ATTACHMENTS
    if not theirs.is_dir():
        return 0
    lacking = set(attachments.digests(theirs)) - set(
        attachments.digests(shop.attachments)
    )
    for digest in sorted(lacking):
        copy_file(theirs / digest, shop.attachments / digest)
    return len(lacking)
