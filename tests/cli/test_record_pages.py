"""The pages of an export lead to everything in it, and load nothing."""

import re
from dataclasses import replace
from pathlib import Path
from urllib.parse import unquote

from cli.record_pages import page_name, write_pages
from cli.record_words import HEADINGS
from labels.record_html import NARROW_SPACE
from ledger.acts import exchange
from ledger.acts.readable import shown_views
from tests.shops import certified, certified_folder, loft, staffed_folder
from tests.skerrymoor import Loft

__all__ = ["certified", "certified_folder", "loft", "staffed_folder"]

LINK = re.compile(r'href="([^"]+)"')


def test_every_link_leads_to_a_file_and_no_page_loads_anything(
    certified: Loft, tmp_path: Path
) -> None:
    """From the first page to each instrument and back."""
    folder = tmp_path / "out"
    exchange.export(certified.shop, folder, draw=write_pages)
    first = [folder / "index.html", folder / "tables.html"]
    pages = [*first, *(folder / "instruments").iterdir()]
    linked = set()
    for page in pages:
        text = page.read_text(encoding="utf-8")
        found = {(page.parent / unquote(link)).resolve() for link in LINK.findall(text)}
        linked |= found
        assert all(path.is_file() for path in found)
        assert "<script" not in text and "http" not in text.replace("http-equiv", "")
        assert "default-src 'none'" in text
    beside = {"records.txt", "checkpoints", "shop.toml", "first-1.json"}
    every = {path.resolve() for path in folder.rglob("*") if path.is_file()}

    assert {path.name for path in every - linked} - {"house-bench-1.json"} == beside


def test_an_instrument_s_page_has_its_wood_steps_and_hands(
    certified: Loft, tmp_path: Path
) -> None:
    """By badge, in the trade's words, and without the columns that nobody filled."""
    folder = tmp_path / "out"
    exchange.export(certified.shop, folder, draw=write_pages)
    text = (folder / "instruments/26-0001-8.html").read_text(encoding="utf-8")
    index = (folder / "index.html").read_text(encoding="utf-8")

    assert "<h2>The wood in it</h2>" in text and "<i>Picea abies</i>" in text
    assert "<h2>Steps that were signed</h2>" in text and "badge 03" in text
    assert f"{NARROW_SPACE}mm</td>" in text and f"{NARROW_SPACE}g</td>" in text
    assert "`" not in text and "_um" not in text and "idx" not in text
    assert "Wolański" not in text
    assert "C-2026-00001" in text and "<span>C-2026-00001</span> of " in index
    assert "reserved until" not in text
    assert not [name for name in HEADINGS if f"<h2>{name}</h2>" in text]
    assert "signedstep" not in index


def test_the_tables_are_a_page_of_their_own(certified: Loft, tmp_path: Path) -> None:
    """Each by its own name, with what it is; the first page leads there."""
    folder = tmp_path / "out"
    exchange.export(certified.shop, folder, draw=write_pages)
    text = (folder / "tables.html").read_text(encoding="utf-8")
    index = (folder / "index.html").read_text(encoding="utf-8")

    assert all(
        f">{view.__tablename__}</td>" in text for view in shown_views(with_names=False)
    )
    assert "The “once” of an approval" in text and "`" not in text
    assert 'href="tables.html"' in index and 'href="tables/' not in index


def test_what_a_page_shows_is_text_and_never_its_own_html(
    certified: Loft, tmp_path: Path
) -> None:
    """Whatever somebody called a model or a serial."""
    certified.model("<script>alert(1)</script>")
    serial = "26/0001 <b>"
    folder = tmp_path / "out"
    exchange.export(replace(certified.shop), folder, draw=write_pages)
    page = (folder / "tables/model.csv").read_text(encoding="utf-8-sig")

    assert "<script>alert(1)" in page
    assert not [
        path
        for path in folder.rglob("*.html")
        if "<script" in path.read_text(encoding="utf-8")
    ]
    assert page_name(serial) != page_name("26_0001__b_")
    assert "/" not in page_name(serial)
    assert page_name("26-0001-8") == "26-0001-8.html"
