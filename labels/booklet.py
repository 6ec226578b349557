"""The owner's booklet: eight small pages, to be folded from one sheet or read singly.

Each page is drawn by a function of its own, so that the same page stands upright on a
screen and wherever the sheet has its place.
"""

from collections.abc import Callable
from typing import Final, Literal

from labels import (
    archive,
    booklet_fold,
    booklet_story,
    booklet_trees,
    booklet_use,
    faces,
)
from labels.booklet_facts import Air, Moves, NotWood, OwnerBooklet, Room
from labels.page import A4, LETTER, Page, open_document, turn_over
from labels.tongue import Tongue, tongue

__all__ = [
    "Air",
    "Moves",
    "NotWood",
    "OwnerBooklet",
    "Room",
    "draw",
    "draw_pages",
    "notices",
]

A6: Final = (105.0, 148.0)
SHEETS: Final = {"A4": A4, "Letter": LETTER}
Drawn = Callable[[Page, OwnerBooklet, Tongue], None]


def draw(booklet: OwnerBooklet, *, paper: Literal["A4", "Letter"]) -> bytes:
    """Return both sides of the sheet as a PDF to keep."""
    page, say = _opened(booklet, SHEETS[paper])
    sides: tuple[booklet_fold.Side, ...] = ("front", "back")
    for side in sides:
        for panel in booklet_fold.FORME:
            if panel.side == side:
                leaf = booklet_fold.on_panel(page, panel)
                _page(leaf, booklet, panel.number, say)
                booklet_fold.off_panel(page)
        booklet_fold.finish_side(page, side, say)
    return archive.keep(page, day=booklet.certificate.issued)


def draw_pages(booklet: OwnerBooklet) -> bytes:
    """Return the eight pages one after another, A6, to be read on a screen."""
    page, say = _opened(booklet, A6)
    for number in range(1, booklet_fold.PAGES + 1):
        _page(page, booklet, number, say)
        turn_over(page)
    return archive.keep(page, day=booklet.certificate.issued)


def notices(booklet: OwnerBooklet) -> tuple[str, ...]:
    """Say which characters the booklet could not print."""
    shown = booklet.certificate
    texts = [shown.shop, shown.model, shown.kind, shown.run, shown.serial]
    texts += [text for maker in shown.makers for text in (maker.name or "", maker.work)]
    texts += [cell for row in shown.materials for cell in row[:5]]
    texts += [row.label for row in booklet.set_up]
    texts += [row.species for row in booklet.not_wood]
    texts += [shown.signer_name or "", booklet.air.room if booklet.air else ""]
    return faces.missing_notices(texts)


def _opened(booklet: OwnerBooklet, size: tuple[float, float]) -> tuple[Page, Tongue]:
    say = tongue(booklet.certificate.language)
    title = f"{say('Owner’s booklet')}, {booklet.certificate.serial}"
    return open_document(size, title, say.language), say


def _page(page: Page, booklet: OwnerBooklet, number: int, say: Tongue) -> None:
    """Draw one page by its number."""
    if number in (6, 7):
        booklet_use.service(page, booklet, say, number)
        return
    drawn: dict[int, Drawn] = {
        1: booklet_story.title,
        2: booklet_trees.trees,
        3: booklet_story.hands,
        4: booklet_use.set_up,
        5: booklet_use.care,
        8: booklet_use.check,
    }
    drawn[number](page, booklet, say)
