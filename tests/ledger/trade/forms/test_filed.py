"""Tests of telling papers on file apart."""

from dataclasses import replace
from datetime import date

import pytest

from ledger.trade.forms.filed import fault_of, faults_of, kind_of, papers_of
from tests.ledger.trade.forms.samples import INVOICE, PERMIT, ROSEWOOD


@pytest.mark.parametrize(
    ("paper", "kind"),
    [
        ("export permit", "export permit"),
        ("CITES export permit", "export permit"),
        ("Export permit", "export permit"),
        ("EXPORT PERMIT no. 7", "export permit"),
        ("permis d'exportation", "export permit"),
        ("Permiso de exportación", "export permit"),
        ("CITES-Ausfuhrgenehmigung", "export permit"),
        ("re-export certificate", "re-export certificate"),
        ("CITES Re-Export Certificate", "re-export certificate"),
        ("CITES-Wiederausfuhrbescheinigung", "re-export certificate"),
        ("CITES certificado de reexportación", "re-export certificate"),
        ("CITES", "open"),
        ("CITES permit", "open"),
        ("CITES exp. permit no 12", "open"),
        ("export permit or re-export certificate", "open"),
        ("application for export permit", "another"),
        ("no export permit", "another"),
        ("refusal of export permit", "another"),
        ("export permit to follow", "another"),
        ("export permit Quillon", "open"),
        ("import permit Quillon", "open"),
        ("licenza di esportazione", "export permit"),
        ("export permit with invoice", "export permit"),
        ("import permit", "another"),
        ("Einfuhrgenehmigung", "another"),
        ("certificate of origin", "another"),
        ("CITES pre-Convention certificate", "another"),
        ("export declaration of customs", "another"),
        ("invoice", "another"),
    ],
)
def test_a_paper_is_known_by_the_words_of_whoever_filed_it(
    paper: str, kind: str
) -> None:
    """Common practice, no source; in capitals or not, in several languages."""
    assert kind_of(replace(PERMIT, paper=paper)) == kind


@pytest.mark.parametrize(
    ("issued", "ended", "words"),
    [
        (date(2024, 1, 18), None, None),
        (date(2024, 1, 19), None, "was issued on 2024-01-19, after it came in"),
        (None, date(2024, 1, 18), None),
        (None, date(2024, 1, 17), "ended on 2024-01-17, before it came in"),
        (None, None, None),
    ],
)
def test_a_permit_stood_on_the_day_that_the_wood_came_in(
    issued: date | None, ended: date | None, words: str | None
) -> None:
    """Articles III to VI of the Convention; the day itself is in time."""
    paper = replace(PERMIT, issued_on=issued, expires_on=ended)
    found = fault_of(paper, date(2024, 1, 18))

    assert (found is None) == (words is None)
    assert (words or "") in (found or "")
    assert fault_of(paper, None) is None


def test_a_permit_that_came_too_late_is_none_and_is_named() -> None:
    """The one in time is taken, the other told."""
    late = replace(PERMIT, document="D24-0009", issued_on=date(2024, 2, 1))
    row = (replace(ROSEWOOD, held=(PERMIT, late, INVOICE)),)

    assert papers_of(row, "export permit") == (PERMIT,)
    assert [said.split()[0] for said in faults_of(row, "export permit")] == ["D24-0009"]
