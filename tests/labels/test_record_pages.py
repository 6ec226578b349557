"""The pages of an export draw what they are given, and lead to what lies there."""

from io import StringIO

from labels.record_pages import (
    Filed,
    FirstPage,
    InstrumentLine,
    InstrumentPage,
    PaperLine,
    Section,
    TableLine,
    WoodLine,
    write_index,
    write_instrument,
    write_tables,
)

OPEN = Filed("ab" * 32, f"attachments/{'ab' * 32}")
KEPT = (OPEN, Filed("cd" * 32, is_sealed=True), Filed("ef" * 32))


def first(**how: object) -> str:
    """Return a first page."""
    page = StringIO()
    shown = {"shop": "Skerrymoor", "told": ["3 entries."], **how}
    write_index(page, FirstPage(**shown))  # type: ignore[arg-type]
    return page.getvalue()


def instrument(*rows: tuple[object, ...], wood: tuple[WoodLine, ...] = ()) -> str:
    """Return the page of an instrument of which one table tells."""
    page = StringIO()
    sections = [Section("Pictures on file", ["file"], rows)]
    write_instrument(
        page, InstrumentPage(serial="26-0001-8", wood=wood, sections=sections)
    )
    return page.getvalue()


def test_a_paper_leads_to_its_file_and_one_that_is_not_there_says_why() -> None:
    """From the first page, and from an instrument's, which lies a folder below."""
    papers = [PaperLine("D26-001", "invoice", None, filed) for filed in KEPT]
    above = first(papers=papers)
    below = instrument(*((filed,) for filed in KEPT))

    assert f'href="{OPEN.path}">{OPEN.digest[:16]}</a>' in above
    assert f'href="../{OPEN.path}">{OPEN.digest[:16]}</a>' in below
    for page in (above, below):
        assert page.count(">sealed</td>") == page.count(">not in this export</td>") == 1


def test_without_tables_the_first_page_leads_to_none() -> None:
    """It says why there are none."""
    whole, bare = first(), first(has_tables=False)

    assert "folded by another version" in bare and "<h2>" not in bare
    assert 'href="tables.html"' in whole and 'href="tables.html"' not in bare


def test_what_was_drawn_of_an_instrument_stands_beside_it() -> None:
    """And where nothing was drawn there is no column that stays empty."""
    line = InstrumentLine("instruments/a.html", "26-0001-8", "Slipway", "2026-01-05")
    drawn = line._replace(papers=["papers/C-2026-00001.pdf"])
    with_papers = first(instruments=[drawn], has_drawn=True)
    bare = first(instruments=[line])

    assert 'href="papers/C-2026-00001.pdf"' in with_papers
    assert "pictures, proofs" in with_papers and "pictures, proofs" not in bare
    assert bare.count("<td") == 4 and with_papers.count("<td") == 5


def test_an_instrument_s_wood_has_its_species_in_italics() -> None:
    """And one without wood has no heading for it."""
    wood = WoodLine("top", "L26-001-01", "L26-001", "Picea abies", "IT")
    page = instrument(wood=(wood,))

    assert "<i>Picea abies</i>" in page and "<td class=short>IT</td>" in page
    assert "The wood in it" in page and "The wood in it" not in instrument()


def test_each_table_leads_to_its_files() -> None:
    """By what they are."""
    page = StringIO()
    files = (("tables/lot.csv", "CSV"), ("tables/lot.jsonl", "JSON lines"))
    write_tables(page, [TableLine("lot", "A lot.", 2, files)])

    assert '<a href="tables/lot.csv">CSV</a>, <a href="tables/lot.jsonl">' in (
        page.getvalue()
    )
