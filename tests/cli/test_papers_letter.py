"""What an act drafted is the same letter on paper and as text."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

from cli.papers_letter import letter_page, write_draft
from tests.labels import reading
from tests.shops import certified, certified_folder, loft, staffed_folder
from tests.skerrymoor import Loft

__all__ = ["certified", "certified_folder", "loft", "staffed_folder"]

DRAFT = SimpleNamespace(
    to="Amélie Rousset",
    opening="This is about your instrument.",
    facts=("Its slip is lost.",),
    asked=("Please look for it.",),
    caveat="This says nothing of whose it is.",
)


def test_a_draft_is_written_on_paper_and_as_text(
    certified: Loft, tmp_path: Path
) -> None:
    """All that it says stands in both, and whoever signed in is to be answered."""
    person = certified.person("01")
    desk = cast(Any, SimpleNamespace(shop=certified.shop, person=person))
    page = letter_page(desk, DRAFT, "26-0001-8, transfer slip W-2026-00001")
    write_draft(desk, tmp_path, "draft", page)
    text = (tmp_path / "draft.txt").read_text(encoding="utf-8")
    drawn = reading.text((tmp_path / "draft.pdf").read_bytes())

    assert page.as_of_entry == certified.shop.store.head().size - 1
    for said in (
        DRAFT.to,
        DRAFT.opening,
        *DRAFT.facts,
        *DRAFT.asked,
        DRAFT.caveat,
        "transfer slip W-2026-00001",
        certified.shop.standing().name,
    ):
        assert said in text
        assert said in " ".join(drawn.split())
