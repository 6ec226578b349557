"""Files beside entries: none that no entry names, no entry whose file is not there."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from ledger.acts.shop import Shop, Turn
from ledger.log import attachments
from ledger.views.filed import filed


@contextmanager
def kept_file(shop: Shop, source: bytes | Path, *, announced: str) -> Iterator[Turn]:
    """Keep a file, then give the turn whose entries name it.

    Where nothing is said in the end, the file goes again, unless something else names
    it; a file that another station took away meanwhile is a refusal.
    """
    with kept_files(shop, {announced: source}) as turn:
        yield turn


@contextmanager
def kept_files(shop: Shop, sources: Mapping[str, bytes | Path]) -> Iterator[Turn]:
    """Keep several files, by digest, or none; then give the turn that names them."""
    new = [d for d in sources if not (shop.attachments / d).exists()]
    for digest, source in sources.items():
        attachments.put(shop.attachments, source, announced=digest)
    with shop.turn() as turn:
        start = turn.size
        try:
            for digest in sources:
                attachments.get(shop.attachments, digest)
            yield turn
        except BaseException:
            # What this turn said is about to be unsaid.
            there = filed(turn.session, shop.store.record, before=start)
            named = {file.digest for file in there}
            for digest in new:
                if digest not in named:
                    attachments.remove(shop.attachments, digest)
            raise


def pictures_of(paths: Sequence[Path]) -> dict[str, bytes]:
    """Return photographs by digest, once each was looked at to its end."""
    if not paths:
        return {}
    # Only here: whoever files no picture does not wait for the library of pictures.
    from ledger.acts.pictures import picture_bytes

    read = [picture_bytes(path) for path in paths]
    return {attachments.digest_of(data): data for data in read}
