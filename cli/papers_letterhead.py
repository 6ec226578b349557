"""The shop's letterhead, of what its folder and its settings say."""

from cli.papers_emblem import emblem_of
from labels.letterhead import Letterhead
from ledger.acts.shop import Shop


def letterhead_of(shop: Shop) -> Letterhead:
    """Return what stands over a letter of the shop."""
    return Letterhead(
        shop=shop.standing().name,
        place=shop.settings.place,
        lines=shop.settings.letterhead_lines,
        emblem=emblem_of(shop),
    )
