"""Back for a new top: two certificates, both true, in clear order, nothing hidden."""

from pathlib import Path

import pytest

from cli import papers
from labels.certificate import draw
from ledger.acts import people, shipments
from ledger.acts.certificates import CertificatePaper, certificate_paper
from ledger.acts.claims import since
from ledger.acts.freight import Goods
from ledger.acts.histories import history
from ledger.acts.owners import owner_subject
from ledger.acts.shipments import Journey
from ledger.audit import audit
from ledger.check import check_certificate
from ledger.errors import RefusedError
from ledger.views.certificates import certificates_of
from tests.aftersale import FIRST, SERIAL, retopped, top_off
from tests.skerrymoor import Loft

NEXT = "C-2026-00002"
ABROAD = Journey(legs=("IT", "JP"), moves_on="2026-01-09", purpose="sale")


def sold(loft: Loft) -> Loft:
    """Build, certify and sell an instrument; years later it comes back."""
    assert loft.issue(loft.build()) == FIRST
    loft.sell(SERIAL)
    return loft


def paper(loft: Loft, number: str) -> CertificatePaper:
    """Return what is drawn of a certificate."""
    return certificate_paper(loft.shop, number)


def remarks(loft: Loft, number: str) -> list[str]:
    """Return what a certificate's evidence page says plainly."""
    drawn = papers.owner_certificate(loft.shop, paper(loft, number), "V#1")
    return [remark.text for remark in drawn.remarks]


def planned(loft: Loft) -> shipments.Plan:
    """Plan to send the instrument abroad."""
    return shipments.plan(
        loft.shop,
        goods=Goods(serials=(SERIAL,)),
        journey=ABROAD,
        hands=loft.hands("12"),
    )


def test_both_certificates_stand_and_the_newer_tells_of_the_top(
    loft_on_each: Loft,
) -> None:
    """Replaced is said with the year and both woods; the old one says what it said."""
    loft = sold(loft_on_each)
    before = paper(loft, FIRST)
    plainly = remarks(loft, FIRST)
    new = retopped(loft)
    assert loft.issue(SERIAL) == NEXT

    assert remarks(loft, NEXT) == [
        f"replaces {FIRST}, which stays true as of 2026-01-05",
        f"top replaced 2026: L26-001-01 taken off (kept), {new} in its place",
        "service: new top fitted, voiced and finished",
    ]
    assert remarks(loft, FIRST) == plainly == []
    assert paper(loft, FIRST).event == before.event
    for number in (FIRST, NEXT):
        answer = check_certificate(paper(loft, number).file.data, None)
        assert answer.facts is not None and answer.facts.number == number
    assert since(loft.shop, FIRST).replaced_by == NEXT
    assert since(loft.shop, NEXT).replaced_by is None
    assert audit(loft.shop).findings == ()


def test_the_older_paper_is_drawn_again_as_it_was(loft: Loft) -> None:
    """Its wood, its months, its counts: nothing of what was done since."""
    sold(loft)
    first = papers.owner_certificate(loft.shop, paper(loft, FIRST), "V#1")
    retopped(loft)
    loft.issue(SERIAL)
    again = papers.owner_certificate(loft.shop, paper(loft, FIRST), "V#1")

    for name in ("materials", "makers", "measures", "remarks", "steps", "signers"):
        assert getattr(again, name) == getattr(first, name)
    assert again.entries == first.entries


def test_both_are_drawn_as_files_of_their_own(loft: Loft, tmp_path: Path) -> None:
    """Each bears its own number; none is drawn over the other."""
    sold(loft)
    retopped(loft)
    loft.issue(SERIAL)
    drawn = {}
    for number in (FIRST, NEXT):
        facts = paper(loft, number)
        shown = papers.owner_certificate(loft.shop, facts, "V#1")
        drawn[number] = draw(
            shown,
            paper="A4",
            certificate_file=facts.file.data,
            proof_file=facts.proof_file.encode(),
        )

    assert drawn[FIRST] != drawn[NEXT]
    for number, data in drawn.items():
        answer = check_certificate(data, None)
        assert answer.facts is not None and answer.facts.number == number


def test_while_the_top_is_off_nothing_is_shipped(loft: Loft) -> None:
    """Then the papers are worked out again, for the wood that is on it now."""
    sold(loft)
    top_off(loft)
    with pytest.raises(RefusedError, match="top without wood or not weighed"):
        planned(loft)


def test_with_the_new_top_the_species_papers_are_of_its_wood(loft: Loft) -> None:
    """Until the next certificate it stays; then the lot of the new top is named."""
    sold(loft)
    new = retopped(loft)
    with pytest.raises(RefusedError, match="top of 26-0001-8 was taken off since"):
        planned(loft)
    loft.issue(SERIAL)
    plan = planned(loft)
    lots = {
        material.part: (material.lot, material.mass_mg) for material in plan.materials
    }

    assert lots["top"] == (new[:7], 188_000)


def test_the_owners_name_goes_and_every_proof_stays(loft_on_each: Loft) -> None:
    """Erased on request; both certificates verify and the history is told."""
    loft = sold(loft_on_each)
    retopped(loft)
    loft.issue(SERIAL)
    subject = owner_subject(loft.shop, SERIAL)
    people.erase(loft.shop, subject, loft.hands("12", "01"))

    assert subject not in loft.shop.vault.subjects()
    assert audit(loft.shop).findings == ()
    with loft.shop.store.reading() as session:
        numbers = [row.number for row in certificates_of(session, SERIAL)]
        said = [fact.said for fact in history(loft.shop, session, SERIAL, "public")]
    assert numbers == [FIRST, NEXT]
    assert "top taken off" in said
    for number in numbers:
        assert check_certificate(paper(loft, number).file.data, None).facts is not None
