"""A report of theft stops what changes hands, and says nothing of who is right."""

import pytest

from ledger.acts import people, thefts
from ledger.acts.owners import owner_subject
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.views.ownership import open_reports, reports_of
from tests.handed import SERIAL, handed_on, later, reported, slip_of
from tests.ledger.acts.test_owners import files_with
from tests.skerrymoor import Loft


def test_two_people_who_claim_it_are_two_reports(certified: Loft) -> None:
    """Counted for each instrument; no name stands in any file."""
    first = reported(certified, "Aldous Ferrante")
    second = reported(certified, "Amélie Rousset")

    assert (first.number, second.number) == (1, 2)
    assert first.claimant != second.claimant
    assert files_with(certified.shop.folder, "Aldous Ferrante") == []
    assert audit(certified.shop).findings == ()


def test_a_report_is_withdrawn_once_and_with_a_reason(certified: Loft) -> None:
    """The others stand, and numbers are not given again."""
    reported(certified)
    reported(certified)
    _end(certified, 1)
    with certified.shop.store.reading() as session:
        assert [row.number for row in open_reports(session, SERIAL)] == [2]
    with pytest.raises(RefusedError, match="was withdrawn by entry"):
        _end(certified, 1)
    with pytest.raises(NotFoundError, match="has no report 7"):
        _end(certified, 7)
    with pytest.raises(RefusedError, match="the reason has 1 to"):
        _end(certified, 2, reason=" ")
    assert reported(certified).number == 3


def test_only_a_lead_enters_one_or_ends_it(certified: Loft) -> None:
    """The name of whoever claims it does not stay behind."""
    known = certified.shop.vault.subjects()
    with pytest.raises(RefusedError, match="entering a report of theft needs"):
        thefts.report(
            certified.shop,
            serial=SERIAL,
            name="Aldous Ferrante",
            said_on=None,
            hands=certified.hands("12"),
        )
    assert certified.shop.vault.subjects() == known
    with pytest.raises(NotFoundError, match="has no certificate"):
        thefts.report(
            certified.shop,
            serial="26-0002-6",
            name="Aldous Ferrante",
            said_on=None,
            hands=certified.hands(),
        )
    for day, why in (
        ("2026-01-07", "still to come"),
        ("2026-01-04", "before 2026-01-05, when C-2026-00001 of 26-0001-8 was issued"),
    ):
        with pytest.raises(RefusedError, match=why):
            thefts.report(
                certified.shop,
                serial=SERIAL,
                name="Aldous Ferrante",
                said_on=day,
                hands=certified.hands(),
            )


def test_erasure_rests_thirty_days_while_a_report_is_young(certified: Loft) -> None:
    """Of every owner and every claimant of that instrument, and of nobody else."""
    certified.sell(SERIAL)
    handed_on(certified, slip_of(certified))
    claimant = reported(certified).claimant
    bound = [
        owner_subject(certified.shop, SERIAL, 1),
        owner_subject(certified.shop, SERIAL, 2),
        claimant,
    ]
    later(certified, 29)
    for subject in bound:
        with pytest.raises(RefusedError, match="are erased from 2026-02-04 on"):
            _erase(certified, subject)
    _erase(certified, certified.person("03").subject)
    later(certified, 1)
    for subject in bound:
        _erase(certified, subject)

    with certified.shop.store.reading() as session:
        assert [row.withdrawn_idx for row in reports_of(session, SERIAL)] == [None]
    assert not certified.shop.vault.subjects() & set(bound)
    assert audit(certified.shop).findings == ()


def test_a_withdrawn_report_binds_nobody(certified: Loft) -> None:
    """Its claimant may be forgotten at once."""
    claimant = reported(certified).claimant
    _end(certified, 1)
    assert thefts.report_made(certified.shop, SERIAL, 1).claimant == claimant
    _erase(certified, claimant)

    assert claimant not in certified.shop.vault.subjects()


def test_an_audit_misses_a_claimant_whom_the_vault_lost(certified: Loft) -> None:
    """Nobody was erased, so somebody took the name away."""
    row = reported(certified)
    certified.shop.vault.erase(row.claimant)
    (found,) = audit(certified.shop).findings

    assert found.index == row.idx
    assert found.detail == f"who reported {SERIAL} is not in the vault"


def _erase(loft: Loft, subject: str) -> None:
    people.erase(loft.shop, subject, loft.hands("12", "01"))


def _end(loft: Loft, number: int, reason: str = "it is home again") -> None:
    thefts.withdraw(
        loft.shop, serial=SERIAL, number=number, reason=reason, hands=loft.hands()
    )
