"""The photographs of wood on file, for two boards to be told from one another."""

from collections.abc import Sequence
from pathlib import Path

from ledger.acts.filing import pictures_of
from ledger.acts.shop import Shop
from ledger.log.attachments import digest_of
from ledger.views.filed import filed
from ledger.views.readings import photographs_of


def picture_words(shop: Shop, codes: Sequence[str]) -> list[str]:
    """Return a line for each board that has photographs: which faces, which entries."""
    with shop.store.reading() as session:
        rows = photographs_of(session, list(codes))
    lines = []
    for code in codes:
        mine = [f"{row.face} (entry {row.idx})" for row in rows if row.board == code]
        if mine:
            lines.append(f"photographs of {code}: {', '.join(mine)}")
    return lines


def on_file_words(shop: Shop, path: Path) -> str | None:
    """Say what a photograph on file shows and which entry names it, or None.

    Raises RefusedError or NotFoundError for what is no photograph.
    """
    # As it is filed today, or as it was when what the camera wrote was filed too.
    digests = {*pictures_of([path]), digest_of(path)}
    with shop.store.reading() as session:
        files = filed(session, shop.store.record)
    known = next((file for file in files if file.digest in digests), None)
    return f"{known.what}, entry {known.idx}" if known else None
