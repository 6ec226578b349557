"""Files beside entries: none that no entry names, no entry whose file is not there."""

from collections.abc import Iterator
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
    was_there = (shop.attachments / announced).exists()
    attachments.put(shop.attachments, source, announced=announced)
    with shop.turn() as turn:
        start = turn.size
        try:
            attachments.get(shop.attachments, announced)
            yield turn
        except BaseException:
            # What this turn said is about to be unsaid.
            named = {f.digest for f in filed(turn.session) if f.idx < start}
            if not was_there and announced not in named:
                attachments.remove(shop.attachments, announced)
            raise
