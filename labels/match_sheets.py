"""Match cards of several pairs as one file, a sheet for each."""

from collections.abc import Sequence

from labels import archive, faces, match_card
from labels.match_card import MatchCard
from labels.page import close_document, open_document, turn_over
from labels.plot_figure import A5, MARGIN


def pdf(cards: Sequence[MatchCard], *, day: str) -> bytes:
    """Return the sheets of one or more cards as a PDF to keep; day is YYYY-MM-DD."""
    title = cards[0].heading.title
    page = open_document(A5, title)
    place = (MARGIN, MARGIN, A5[0] - 2 * MARGIN, A5[1] - 2 * MARGIN)
    for card in cards:
        match_card.draw(page, place, card)
        turn_over(page)
    return archive.keep(close_document(page), title=faces.tidy(title), day=day)
