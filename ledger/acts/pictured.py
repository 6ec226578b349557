"""The photographs of wood on file, for two boards to be told from one another."""

from collections.abc import Sequence

from ledger.acts.shop import Shop
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
