"""Match cards of several pairs as one file, a sheet for each."""

from collections.abc import Sequence

from labels import archive, match_card
from labels.match_card import MatchCard
from labels.page import bookmark, open_document, turn_over
from labels.plot_figure import A5, MARGIN


def pdf(cards: Sequence[MatchCard], *, day: str) -> bytes:
    """Return the sheets of one or more cards as a PDF to keep; day is YYYY-MM-DD."""
    page = open_document(A5, cards[0].heading.title)
    place = (MARGIN, MARGIN, A5[0] - 2 * MARGIN, A5[1] - 2 * MARGIN)
    for card in cards:
        bookmark(page, card.heading.title)
        match_card.draw(page, place, card)
        turn_over(page)
    return archive.keep(page, day=day)
