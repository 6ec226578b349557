"""A draft of a letter, as a page and as text, from what an act drafted."""

from pathlib import Path
from typing import Any

from cli import show
from cli.context import Desk
from cli.papers_letterhead import letterhead_of
from labels import letter
from labels.letter import LetterPage, Part
from ledger.acts.folders import write
from ledger.acts.signing import person_name

FACTS, ASKED = "What our record holds", "What we ask of you"


def letter_page(desk: Desk, draft: Any, about: str) -> LetterPage:
    """Return the page of a draft, which names what it is about and whom to answer."""
    shop = desk.shop
    whom = f"{person_name(shop, desk.person)} at {shop.standing().name}"
    return LetterPage(
        head=letterhead_of(shop),
        day=shop.today(),
        to=draft.to,
        about=about,
        parts=(
            Part(heading="", paragraphs=(draft.opening,)),
            Part(heading=FACTS, paragraphs=draft.facts),
            Part(heading=ASKED, paragraphs=draft.asked),
        ),
        closing=f"Please answer to {whom}.",
        note=draft.caveat,
        as_of_entry=shop.store.head().size - 1,
    )


def write_draft(desk: Desk, folder: Path, stem: str, page: LetterPage) -> None:
    """Write a draft into a new folder twice: on paper, and as text."""
    show.notices(letter.notices(page))
    drawn = letter.draw(page, paper=desk.shop.settings.paper)
    write(folder / f"{stem}.pdf", drawn, is_private=True)
    text = letter.text(page).encode()
    write(folder / f"{stem}.txt", text, is_private=True)
