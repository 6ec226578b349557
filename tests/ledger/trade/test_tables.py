"""The tables of the law: whole, sourced, and free of gaps and overlaps."""

import csv
import re
from datetime import date, timedelta
from importlib.resources import files
from itertools import pairwise
from pathlib import Path

import pytest

from ledger.trade import tables
from ledger.trade.confidence import CONFIDENCE, MEMORY
from tests.ledger.trade.asking import every_row, row

FOLDER = Path(str(files("ledger.trade")))
# Places are those of ISO 3166-1, and sources are what the others rest on.
TABLES = sorted(path.stem for path in FOLDER.glob("*.csv"))
TABLES = [name for name in TABLES if name not in ("places", "sources")]


def rows_of(name: str) -> list[dict[str, str]]:
    """Return a table as it lies on the disk."""
    text = (FOLDER / f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@pytest.mark.parametrize("name", TABLES)
def test_every_row_says_where_it_comes_from_and_when_it_was_checked(name: str) -> None:
    """Sources are in the table of sources; no row was checked in the future."""
    for line in rows_of(name):
        marks = [mark.strip() for mark in line["sources"].split(";")]
        assert marks and all(mark in tables.sources() for mark in marks), line
        assert line["confidence"] in CONFIDENCE
        assert date.fromisoformat(line["checked_on"]) <= date(2026, 11, 25)
        assert "newest_source" in line


@pytest.mark.parametrize("name", TABLES)
def test_what_rests_on_memory_alone_says_so(name: str) -> None:
    """And what says so rests on nothing else."""
    for line in rows_of(name):
        assert (line["sources"] == "M") == (line["confidence"] == MEMORY), line


def test_no_row_rests_on_hearsay_alone() -> None:
    """What somebody told in a forum is never the only source."""
    for name in TABLES:
        for line in rows_of(name):
            kinds = {
                tables.sources()[mark.strip()].kind
                for mark in line["sources"].split(";")
            }
            assert not all("forum" in kind for kind in kinds), line


def test_every_source_is_used() -> None:
    """A source that no row names was read for nothing."""
    used = {
        mark.strip()
        for name in TABLES
        for line in rows_of(name)
        for mark in line["sources"].split(";")
    }
    said = {
        mark.partition(":")[2]
        for unchanged in (
            *(found.unchanged for found in tables.listings()),
            *(found.unchanged for found in tables.annotations()),
        )
        for mark in unchanged
    }

    assert set(tables.sources()) == used | said


def test_no_taxon_is_in_two_rows_of_one_population_on_one_day() -> None:
    """The rows of a taxon follow each other without an overlap."""
    groups: dict[tuple[str, frozenset[str], frozenset[str]], list[tables.Listing]] = {}
    for found in tables.listings():
        key = (found.taxon, found.population, found.listed_by)
        groups.setdefault(key, []).append(found)
    for group in groups.values():
        group.sort(key=lambda found: found.valid_from or date.min)
        for earlier, later in pairwise(group):
            assert earlier.valid_until is not None, earlier
            assert later.valid_from is not None
            assert earlier.valid_until < later.valid_from, (earlier, later)


def test_every_name_has_a_row_of_its_own_or_of_its_group() -> None:
    """And every row speaks of a name in the table."""
    taxa = {found.taxon for found in tables.listings()}
    for name in tables.names().values():
        accepted = tables.names()[name.accepted]
        assert accepted.name in taxa or accepted.group in taxa, name

    assert taxa <= set(tables.names())


def test_every_listing_has_a_text_of_its_annotation_on_each_of_its_days() -> None:
    """Each text begins the day after the older one ends."""
    for mark in ("10", "15"):
        texts = [
            text
            for text in tables.annotations()
            if text.id.startswith(f"{mark}-") and not text.id.endswith("mexico")
        ]
        for older, newer in pairwise(texts):
            assert older.valid_until is not None
            assert newer.valid_from == older.valid_until + timedelta(days=1)
        assert texts[-1].valid_until is None


def test_there_are_enough_taxa_for_an_instrument_shop() -> None:
    """Listed ones and their unlisted look-alikes."""
    listed = {found.taxon for found in tables.listings() if found.is_listed}
    free = {found.taxon for found in tables.listings()} - listed

    assert len(listed) >= 40
    assert {"Picea spp.", "Acer spp.", "Diospyros crassiflora"} <= free
    assert "Juglans nigra" in tables.names()


@pytest.mark.parametrize(
    ("annotation", "covered"),
    [
        ("5", "logs sawn_wood veneer_sheets"),
        ("6", "logs sawn_wood veneer_sheets plywood"),
        ("7", "logs wood_chips powder extracts"),
        ("17", "logs sawn_wood veneer_sheets plywood transformed_wood_4409"),
        ("none", " ".join(tables.wood_forms())),
    ],
)
def test_an_annotation_covers_the_forms_it_names(annotation: str, covered: str) -> None:
    """The interpretation of the Appendices, annotations #5, #6, #7 and #17."""
    text = next(text for text in tables.annotations() if text.id == annotation)
    found = [f for f in tables.wood_forms() if tables.covers(text, f) == "covered"]

    assert found == covered.split()


def test_shell_and_bone_are_covered_by_listings_without_annotation_only() -> None:
    """An annotation for plants is silent about them."""
    texts = {text.id: text for text in tables.annotations()}

    assert tables.covers(texts["none"], "inlay") == "covered"
    assert tables.covers(texts["15-2019"], "inlay") == "silent"


@pytest.mark.parametrize(
    ("said", "form"),
    [
        ("Sawn wood", "sawn_wood"),
        ("boards", "sawn_wood"),
        ("finished musical instrument", "finished_instruments"),
        ("FINISHED-PART", "finished_instrument_parts"),
        ("inlay", "inlay"),
        ("guitarish", None),
        ("", None),
    ],
)
def test_a_form_is_known_or_it_is_not(said: str, form: str | None) -> None:
    """A word of the workshop is read, an unknown one is not guessed."""
    assert tables.form_for(said) == form


def test_a_row_stands_on_its_first_and_its_last_day() -> None:
    """And on no day outside."""
    text = next(text for text in tables.annotations() if text.id == "15-2017")
    days = [(2017, 1, 1), (2017, 1, 2), (2019, 11, 25), (2019, 11, 26)]
    found = [
        tables.stands(text.valid_from, text.valid_until, date(*day)) for day in days
    ]

    assert found == [False, True, True, False]


def test_the_table_tells_its_date_and_its_sources() -> None:
    """Papers print both."""
    assert tables.table_date() == date(2026, 11, 24)
    assert tables.source_words(("S31",)).endswith("[S31]")
    assert row("loxodonta").sources[0] == "S31"
    assert len(every_row()) > 200


def test_every_kind_of_document_names_its_issuer() -> None:
    """None of them is the workshop."""
    assert len(tables.papers()) >= 10
    assert all(paper.issuer and paper.used_for for paper in tables.papers().values())
    assert not any("maker" in paper.issuer for paper in tables.papers().values())


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ("veneer_sheets", "6 mm or less"),
        ("finished_instrument_parts", "ready to install"),
        ("unfinished_shaped_parts", "ready to install"),
        ("inlay", ""),
    ],
)
def test_a_form_is_told_with_what_it_means(form: str, words: str) -> None:
    """Whether a blank is finished is for the reader to see."""
    assert words in tables.meaning_of(form)
    assert bool(tables.meaning_of(form)) == bool(words)


def test_no_row_has_seen_a_newer_source_than_it_names() -> None:
    """Else a paper would print a day on which nobody looked."""
    for name in TABLES:
        for line in rows_of(name):
            seen, marks = line["newest_source"], line["sources"].split(";")
            told = [tables.sources()[mark.strip()].date for mark in marks]
            if seen and all(any(sign.isdigit() for sign in day) for day in told):
                assert seen <= max(_last_day(day) for day in told), line


def _last_day(told: str) -> str:
    """Return the last day that a date of a source may mean."""
    days: list[str] = re.findall(r"\d{4}-\d{2}-\d{2}", told)
    months: list[str] = re.findall(r"\d{4}-(?:0\d|1[0-2])(?![\d-])", told)
    years: list[str] = re.findall(r"\d{4}", told)
    ends = [*days, *(f"{month}-31" for month in months)]
    return max(ends or [f"{year}-12-31" for year in years])


def test_first_listings_from_memory_are_not_left_out() -> None:
    """Three rosewoods of Guatemala, listed two years before their genus."""
    for kind in ("calycina", "cubilquitzensis", "glomerata"):
        found = row(f"dalbergia-{kind}-gt")

        assert (found.valid_from, found.appendix) == (date(2015, 2, 5), "III")
        assert found.sources == ("M",)
