"""What a page shows is text, in tables that a telephone can move."""

from io import StringIO

from labels.record_html import head, link, links, prose, species, write_table


def table(*row: object) -> str:
    """Return a table of one row."""
    page = StringIO()
    write_table(page, ["<what>"] * len(row), [row])
    return page.getvalue()


def test_nothing_that_is_shown_becomes_a_part_of_the_page() -> None:
    """Neither a head nor a cell, a link's words, a title or a species."""
    bad = "<b>&"
    pages = (table(bad), head(bad, bad), link(bad, bad), species(bad))

    assert all(bad not in page.replace("<b>&lt;b&gt;&amp;", "") for page in pages)
    assert all("&lt;b&gt;&amp;" in page for page in pages)
    assert 'href="%3Cb%3E%26"' in link(bad)
    assert "<th>&lt;what&gt;</th>" in table(1)


def test_a_code_stays_on_one_line_and_a_sentence_does_not() -> None:
    """Also where the code is a link, whose address is longer than it."""
    one = table("L26-001-11.A", link("instruments/26-0147-3.html", "26-0147-3"))
    several = table(links(f"papers/26-0147-3-{what}.pdf" for what in ("a", "b")))

    assert one.count("<td class=short>") == 2
    assert "<td>its halves are 21.8 points apart" in table(
        "its halves are 21.8 points apart"
    )
    assert prose("L26-001-11.A, on 2026-11-21, 1.8\u2009% off; root " + "ab-1" * 9) == (
        "<span>L26-001-11.A,</span> on <span>2026-11-21,</span> 1.8\u202f% off; root "
        + "ab-1" * 9
    )
    assert "<td><a" in several and ">26-0147-3-b.pdf</a>" in several


def test_a_cell_says_yes_and_no_and_nothing() -> None:
    """As a person does."""
    assert table(True, False, None).count("<td class=short>") == 3
    assert ">yes</td>" in table(True) and ">no</td>" in table(False)
    assert "<td class=short></td>" in table(None)


def test_a_species_is_in_italics_and_what_is_no_name_is_not() -> None:
    """As botanists write them."""
    assert species("Picea abies") == "<i>Picea abies</i>"
    assert species("Swietenia spp.") == "<i>Swietenia</i> spp."
    assert species("unknown") == "unknown"


def test_a_page_loads_nothing_and_breaks_what_is_too_long() -> None:
    """It has no script, and its own title once as words and once as a head."""
    page = head("Instrument", "26-0147-3")

    assert "default-src 'none'" in page and "overflow-wrap: anywhere" in page
    assert "<title>Instrument 26-0147-3</title>" in page
    assert "<h1>Instrument <b>26-0147-3</b></h1>" in page
