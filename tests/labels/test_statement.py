"""What a paper is not, in four languages, each with the same facts."""

import re

import pytest

from labels import statement
from labels.page import close_document, open_document, turn_over
from labels.statement import BANNER, WORDINGS, Dated
from tests.labels import overlaps, reading

DATED = Dated(
    day="2026-11-22", entry=71_390, compiled="2026-11-24", newest_source="2026-03-05"
)
UNREAD = Dated(day="2026-11-22", entry=0, compiled="2026-11-24", newest_source="")


def drawn(dated: Dated) -> bytes:
    """Return a page with the band and the statement."""
    page = open_document((210, 297), "statement")
    statement.band(page, 16, 12)
    statement.statement_block(dated).draw(page, 16, 60)
    turn_over(page)
    return close_document(page)


def test_each_language_of_the_band_has_its_statement() -> None:
    """In the same order, so that a reader finds the own one twice."""
    languages = [language for language, _, _ in BANNER]

    assert languages == ["en", "fr", "es", "de"]
    assert [wording.language for wording in WORDINGS] == languages


@pytest.mark.parametrize("dated", [DATED, UNREAD])
def test_every_statement_has_every_date(dated: Dated) -> None:
    """The day, the entry, and both dates of the tables, or that no source was read."""
    for _, heading, text in statement.statements(dated):
        days = set(re.findall(r"\d{4}-\d\d-\d\d", text))

        assert heading
        assert days == {dated.day, dated.compiled, dated.newest_source} - {""}
        assert re.search(rf"\b{dated.entry}\b", text)
        assert "{" not in text


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", ("not a permit", "not a certificate", "not advice", "customs broker")),
        ("fr", ("ni un permis", "ni un certificat", "ni un conseil", "organe de")),
        ("es", ("No es un permiso", "ni un certificado", "ni un ases", "aduanas")),
        ("de", ("keine Genehmigung", "keine Besch", "keine Beratung", "Vollzugsb")),
    ],
)
def test_each_statement_denies_the_same_and_says_whom_to_ask(
    language: str, words: tuple[str, ...]
) -> None:
    """No permit, no certificate, no advice; the Management Authority, a broker.

    Source: the Convention's French and Spanish texts, article IX, for the names of the
    Management Authority; the German one is the usual translation, no source.
    """
    said = {each: text for each, _, text in statement.statements(DATED)}[language]

    for part in words:
        assert part in said
    assert "CITES" in said


def test_the_statement_stands_in_its_room_without_overlap() -> None:
    """All of it is text, within the margins, and as high as it says."""
    pdf = drawn(DATED)
    said = " ".join(reading.text(pdf).split())
    block = statement.statement_block(DATED)

    assert overlaps.overlaps(pdf) == []
    assert overlaps.outside(pdf, [(16, 194)]) == []
    assert max(each.foot for each in overlaps.words(pdf)) <= 60 + block.height
    for _, heading, _ in statement.statements(DATED):
        assert heading in said


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", "their sources are of 2026-03-05 or later"),
        ("fr", "dont les sources datent du 2026-03-05 ou d’une date ultérieure"),
        ("es", "sus fuentes son del 2026-03-05 o posteriores"),
        ("de", "deren Quellen stammen vom 2026-03-05 oder aus späterer Zeit"),
    ],
)
def test_the_day_of_the_sources_is_the_oldest(language: str, words: str) -> None:
    """No statement calls the newest what is the oldest of the rows."""
    said = {each: text for each, _, text in statement.statements(DATED)}[language]

    assert words in said
    assert not re.search("newest|récente|reciente|neueste", said)
