"""What the tables answer of a certified instrument, as the evidence page shows it."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import pytest
from sqlmodel import Session

from cli.papers_border import ENDS, border_of, movements
from labels.evidence_facts import Border
from ledger.acts.certificates import certificate_paper
from ledger.events import CertificateIssued
from ledger.events.certificate import Material
from ledger.trade.tables import table_date
from ledger.views.usage import uses_of_batch
from tests.ledger.acts.test_freight import inlaid, shell
from tests.shops import certified, certified_folder
from tests.skerrymoor import Loft

__all__ = ["certified", "certified_folder"]


@pytest.fixture
def issued(certified: Loft) -> Iterator[tuple[Loft, Session, CertificateIssued, int]]:
    """Give a certificate on record."""
    paper = certificate_paper(certified.shop, "C-2026-00001")
    with certified.shop.store.reading() as session:
        yield certified, session, paper.event, paper.entry.index


def border(
    issued: tuple[Loft, Session, CertificateIssued, int],
    *species: str,
    **facts: str | bool | None,
) -> Border:
    """Return the answers for an instrument of these species."""
    loft, session, event, as_of = issued
    some: Material = replace(event.materials[0], **facts)  # type: ignore[arg-type]  # of any member
    materials = tuple(
        replace(some, part=f"part {n}", species=name) for n, name in enumerate(species)
    )
    found = border_of(loft.shop, session, replace(event, materials=materials), as_of)
    assert found is not None
    return found


def test_what_is_needed_comes_first_and_what_is_free_last(
    issued: tuple[Loft, Session, CertificateIssued, int],
) -> None:
    """Brazilian rosewood, a wood that no table knows, East Indian rosewood.

    Source: the Appendices: Dalbergia nigra in I; annotation #15 of the genus leaves
    finished instruments out.
    """
    names = ("Dalbergia latifolia", "Ulmus nova", "Dalbergia nigra")
    found = border(issued, *names, harvested_in=None)

    assert [(row.species, row.answer) for row in found.rows] == [
        ("Dalbergia nigra", "needed"),
        ("Ulmus nova", "ask"),
        ("Dalbergia latifolia", "not needed"),
    ]
    assert (found.rows[0].appendix, found.rows[0].annotation) == ("I", "")
    assert (found.rows[2].appendix, found.rows[2].annotation) == ("II", "15")


def test_wood_of_other_populations_is_to_look_up_and_not_to_ask(
    issued: tuple[Loft, Session, CertificateIssued, int],
) -> None:
    """As on the materials list: the listing is named, and takes this wood not in.

    Source: the Appendices: Swietenia macrophylla, populations of the Neotropics.
    """
    loft, session, event, as_of = issued
    later = (loft, session, replace(event, issued_on="2026-11-21"), as_of)
    (away,) = border(later, "Swietenia macrophylla", harvested_in="FJ").rows
    (home,) = border(later, "Swietenia macrophylla", harvested_in="PE").rows

    assert (away.answer, away.is_aged, away.appendix) == ("ask", True, "II")
    assert not home.is_aged


def test_what_no_table_knows_is_not_said_to_be_looked_up(
    issued: tuple[Loft, Session, CertificateIssued, int],
) -> None:
    """A name without a row, and a row that no source was read for; as on the list."""
    names = ("Zelkova serrata", "Quercus robur", "Picea abies", "Dalbergia nigra")
    found = border(issued, *names)

    assert {row.species: row.is_looked_up for row in found.rows} == {
        "Zelkova serrata": False,
        "Quercus robur": False,
        "Picea abies": True,
        "Dalbergia nigra": True,
    }


def test_one_species_in_several_parts_is_one_row(
    issued: tuple[Loft, Session, CertificateIssued, int],
) -> None:
    """With all of its parts."""
    (row,) = border(issued, "Picea abies", "Picea abies").rows

    assert row.parts == ("part 0", "part 1")


def test_it_is_asked_between_the_ends_or_from_the_shop_s_own_country(
    issued: tuple[Loft, Session, CertificateIssued, int],
) -> None:
    """Whoever is in the Union is asked about the way out of it."""
    loft = issued[0]
    nowhere = border(issued, "Picea abies")
    settings = replace(loft.shop.settings, country="FR")
    at_home = border(
        (replace(loft, shop=replace(loft.shop, settings=settings)), *issued[1:]),
        "Picea abies",
    )

    assert (nowhere.start, nowhere.ends) == ("", ("EU", "GB", "JP", "US"))
    assert (at_home.start, at_home.ends) == ("FR", ("GB", "JP", "US"))


def test_without_a_country_every_road_between_the_ends_is_asked(
    issued: tuple[Loft, Session, CertificateIssued, int],
) -> None:
    """All twelve, each for a sale and for the owner's own trip."""
    asked = movements("", date(2026, 1, 5))

    assert {tuple(each.legs) for each in asked} == {
        (start, end) for start in ENDS for end in ENDS if start != end
    }
    assert len(asked) == 24


def test_shell_counts_once_a_step_took_of_it(certified: Loft) -> None:
    """Not since the day on which it came; of where it is from as was known then."""
    batch = shell(certified)
    serial = inlaid(certified, batch)
    paper = certificate_paper(certified.shop, "C-2026-00002")
    at = paper.entry.index
    with certified.shop.store.reading() as session:
        took = uses_of_batch(session, batch)[0].idx
        parts = [
            [part for row in found.rows for part in row.parts]
            for index in (took - 1, at)
            if (found := border_of(certified.shop, session, paper.event, index))
        ]

    assert serial == paper.event.serial
    assert "shell" not in parts[0] and "shell" in parts[1]


def test_it_is_as_of_the_day_of_issue_and_names_the_tables(
    issued: tuple[Loft, Session, CertificateIssued, int],
) -> None:
    """The day of the certificate, the day of the tables, and no later source."""
    found = border(issued, "Dalbergia latifolia")

    assert found.day == issued[2].issued_on
    assert found.compiled == table_date().isoformat()
    assert date.fromisoformat(found.oldest_source) <= table_date()


def test_without_wood_there_is_nothing_to_ask(
    issued: tuple[Loft, Session, CertificateIssued, int],
) -> None:
    """No table is made for nothing."""
    loft, session, event, as_of = issued

    assert border_of(loft.shop, session, replace(event, materials=()), as_of) is None
