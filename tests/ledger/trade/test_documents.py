"""Which documents a covered thing travels with, and who gives each."""

from datetime import date

import pytest

from ledger.trade.coverage import Case
from ledger.trade.documents import (
    authority,
    documents_for,
    is_for_playing,
    is_pre_convention,
    named,
    office_words,
    permits_import,
)
from ledger.trade.tables import names
from tests.ledger.trade.asking import answered, case_of, row


def listed(mark: str, case: Case) -> list[str]:
    """Return the names of the documents for a case under a row."""
    return [paper.name for paper in documents_for(row(mark), case)]


@pytest.mark.parametrize(
    ("line", "origin", "acquired", "papers"),
    [
        ("IN -> EU, sale", "IN", None, ["export permit", "EU import permit"]),
        ("US -> EU, sale", "IN", None, ["re-export certificate", "EU import permit"]),
        ("US -> JP, sale", "IN", date(2015, 4, 1), ["pre-Convention certificate"]),
        ("US -> JP, sale", "IN", date(2017, 1, 2), ["re-export certificate"]),
        ("IN -> GB, sale", "IN", None, ["export permit", "import permit"]),
        (
            "IN -> EU -> US, sale",
            "IN",
            None,
            ["export permit", "EU import permit", "re-export certificate"],
        ),
        ("DE -> FR, sale", "IN", None, []),
    ],
)
def test_boards_of_an_appendix_ii_wood(
    line: str, origin: str, acquired: date | None, papers: list[str]
) -> None:
    """Article IV of the Convention, and what the Union and Britain ask on entry."""
    case = case_of(line, origin=origin, acquired=acquired)

    assert listed("dalbergia-genus", case) == papers


@pytest.mark.parametrize(
    ("day", "papers"),
    [
        (date(2017, 2, 3), ["export permit"]),
        (date(2017, 2, 4), ["export permit", "EU import permit"]),
    ],
)
def test_the_union_asked_a_month_later(day: date, papers: list[str]) -> None:
    """The genus stands in Annex B since 2017-02-04."""
    case = case_of("IN -> EU, sale", origin="IN", day=day)

    assert listed("dalbergia-genus", case) == papers


@pytest.mark.parametrize(
    ("line", "acquired", "papers"),
    [
        ("US -> JP, sale", None, ["re-export certificate", "import permit"]),
        ("US -> JP, sale", date(1985, 1, 1), ["pre-Convention certificate"]),
        (
            "US -> EU, sale",
            date(1985, 1, 1),
            [
                "pre-Convention certificate",
                "EU import permit",
                "Article 10 certificate",
            ],
        ),
        ("US -> EU -> US, no sale", None, ["musical instrument certificate"]),
        ("US -> EU, performance", None, ["musical instrument certificate"]),
    ],
)
def test_a_guitar_with_an_appendix_i_wood(
    line: str, acquired: date | None, papers: list[str]
) -> None:
    """Article III; a pre-Convention specimen needs no CITES import permit."""
    case = case_of(
        line,
        name=names()["Dalbergia nigra"],
        form="finished_instruments",
        acquired=acquired,
    )

    assert listed("dalbergia-nigra", case) == papers


@pytest.mark.parametrize(
    ("line", "origin", "first"),
    [
        ("RU -> DE, sale", "RU", "export permit"),
        ("CN -> DE, sale", "CN", "certificate of origin"),
        ("CN -> DE, sale", None, "export permit or certificate of origin"),
    ],
)
def test_appendix_iii_asks_the_listing_state_for_more(
    line: str, origin: str | None, first: str
) -> None:
    """Article V: an export permit from Russia, elsewhere a certificate of origin."""
    case = case_of(line, name=names()["Fraxinus mandshurica"], origin=origin)

    assert listed("fraxinus-mandshurica", case) == [first, "import notification"]


@pytest.mark.parametrize(
    ("line", "form", "answer"),
    [
        ("FR -> US -> FR, no sale", "finished_instruments", True),
        ("FR -> US, concert", "finished_instruments", True),
        ("FR -> US, no sale", "finished_instruments", False),
        ("FR -> US -> FR, sale", "finished_instruments", False),
        ("FR -> US -> FR", "finished_instruments", False),
        ("FR -> US -> FR, no sale", "sawn_wood", False),
    ],
)
def test_a_certificate_for_musicians_is_for_trips_without_commerce(
    line: str, form: str, answer: bool
) -> None:
    """Resolution Conf. 16.8; boards do not play."""
    assert is_for_playing(case_of(line, form=form)) is answer


def test_pre_convention_is_before_the_first_listing_and_not_on_it() -> None:
    """And never where the day is unknown."""
    name = names()["Dalbergia nigra"]
    days = [date(1992, 6, 10), date(1992, 6, 11), None]
    found = [
        is_pre_convention(case_of("US -> JP", name=name, acquired=day)) for day in days
    ]

    assert found == [True, False, False]


def test_every_document_comes_from_an_office() -> None:
    """Of the country it leaves, or of the table."""
    assert authority("IN") == "Management Authority of India"
    assert authority("EU") == "Management Authority of the EU member State"
    assert authority("GB") == "Management Authority of the United Kingdom"


@pytest.mark.parametrize(
    ("offices", "words"),
    [
        ("Management Authority of India", "the Management Authority of India"),
        ("the operator", "the operator"),
        ("USDA-APHIS, or a customs broker", "USDA-APHIS, or a customs broker"),
        (
            "Management Authority of France; Management Authority of Japan",
            "the Management Authority of France; the Management Authority of Japan",
        ),
    ],
)
def test_an_office_has_its_article_in_a_sentence(offices: str, words: str) -> None:
    """Several are parted by semicolons, for an office may hold a comma."""
    assert office_words(offices) == words
    assert "EU member State" in named("EU import permit").issuer


def test_a_tour_with_young_wood_of_appendix_i_is_asked_about_first() -> None:
    """Its certificate is for parts acquired before the first listing."""
    tour = {
        "taxon": "Dalbergia nigra",
        "form": "finished_instruments",
        "date": "2024-05-10",
        "movement": "US -> EU -> US, no sale",
    }

    assert "ask first" in answered(**tour, acquired="2015-01-01").why
    assert "ask first" not in answered(**tour, acquired="1975-01-01").why


def test_the_union_kept_its_older_listing_until_its_own_day() -> None:
    """Between 2017-01-02 and 2017-02-04 by annotation #5 of 2013."""
    line = {"date": "2017-01-15", "movement": "VN -> DE, sale"}
    board, guitar = (
        answered(taxon="Dalbergia cochinchinensis", form=form, **line).documents
        for form in ("sawn_wood", "finished_instruments")
    )

    assert [paper.name for paper in board] == ["export permit", "EU import permit"]
    assert [paper.name for paper in guitar] == ["export permit"]


@pytest.mark.parametrize(
    ("country", "appendix", "annex", "is_old", "asks"),
    [
        ("US", "I", "A", False, True),
        ("US", "I", "A", True, False),
        ("US", "II", "B", False, False),
        ("GB", "II", "B", False, True),
        ("GB", "I", "A", True, True),
        ("GB", "III", "C", False, False),
    ],
)
def test_an_import_permit_is_asked_by_appendix_or_by_annex(
    country: str, appendix: str, annex: str, is_old: bool, asks: bool
) -> None:
    """Of Appendix I, unless it is older; Great Britain goes by the Annexes."""
    found = permits_import(country, appendix=appendix, annex=annex, is_old=is_old)

    assert found is asks
