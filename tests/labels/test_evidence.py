"""Tests of the pages behind a certificate."""

from dataclasses import replace
from typing import Literal

import pytest

from labels.certificate import OwnerCertificate, Remark, draw, notices
from labels.evidence_facts import Evidence
from tests import preflight
from tests.labels import reading
from tests.labels.evidence_samples import CROWDED, EVIDENCE
from tests.labels.looks import unlike
from tests.labels.overlaps import overlaps
from tests.labels.samples import CERTIFICATE, CERTIFICATE_FILE, PROOF_FILE, REMARKS

Paper = Literal["A4", "Letter"]


def pages(certificate: OwnerCertificate) -> list[str]:
    """Return the text of every page after the first, all spaces alike."""
    pdf = draw(
        certificate,
        paper="A4",
        certificate_file=CERTIFICATE_FILE,
        proof_file=PROOF_FILE,
    )
    numbers = range(1, reading.pages(pdf))
    return [" ".join(reading.text(pdf, page=number).split()) for number in numbers]


def test_the_second_page_says_plainly_what_happened() -> None:
    """Each remark stands with its date and its entry."""
    (page,) = pages(CERTIFICATE)

    assert "241 entries, 42 steps, 9 signers." in page
    assert "2026-07-29 63 402 a side cracked while bending; repaired" in page
    assert "page 2 of 2" in page


def test_the_checkpoint_stands_whole_with_its_ten_words() -> None:
    """Every line of the note and every word can be copied from the page."""
    (page,) = pages(CERTIFICATE)

    for line in CERTIFICATE.checkpoint_note.splitlines():
        assert line in page
    for number, word in enumerate(CERTIFICATE.ten_words, start=1):
        assert f"{number} {word}" in page


def test_one_of_a_thing_is_not_called_many() -> None:
    """1 entry, 1 step, 1 signer."""
    (page,) = pages(replace(CERTIFICATE, entries=1, steps=1, signers=1))

    assert "1 entry, 1 step, 1 signer." in page


def test_no_remark_is_said_too() -> None:
    """An empty list says up to which entry it is empty."""
    (page,) = pages(replace(CERTIFICATE, remarks=()))

    assert "No remark up to entry 86 114." in page


def test_many_remarks_take_more_pages_and_lose_none() -> None:
    """Ninety remarks run over pages that say how many they are."""
    remarks = tuple(
        Remark("2026-07-29", n, f"remark number {n} of a long life") for n in range(90)
    )
    told = pages(replace(CERTIFICATE, remarks=remarks))
    every = " ".join(told)

    assert len(told) == 3
    assert all(f"remark number {n} of" in every for n in range(90))
    assert [f"page {n} of 4" in page for n, page in enumerate(told, 2)] == [True] * 3
    assert "Evidence, continued" in told[1]
    assert [page.count("Said plainly, continued") for page in told] == [0, 1, 1]


def test_a_long_remark_is_wrapped_and_not_cut() -> None:
    """A remark of many words takes as many lines as it needs."""
    text = "the side was bent again over a warmer iron and then rested " * 6
    (page,) = pages(replace(CERTIFICATE, remarks=(REMARKS[0]._replace(text=text),)))

    assert " ".join(text.split()) in page


def test_a_note_with_very_many_cosignatures_breaks_over_pages() -> None:
    """A hundred witnesses are all on paper."""
    note = CERTIFICATE.checkpoint_note + "".join(
        f"— witness-{n}.example c2lnbmF0dXJl\n" for n in range(100)
    )
    every = " ".join(pages(replace(CERTIFICATE, checkpoint_note=note)))

    assert all(f"witness-{n}.example" in every for n in range(100))


def full(evidence: Evidence = EVIDENCE, paper: Paper = "A4") -> bytes:
    """Draw a certificate with evidence behind it."""
    return draw(
        replace(CERTIFICATE, evidence=evidence),
        paper=paper,
        certificate_file=CERTIFICATE_FILE,
        proof_file=PROOF_FILE,
    )


def test_the_evidence_comes_in_order_and_the_photographs_last() -> None:
    """Strip, plots, border, what must be said, checkpoint; then the pictures."""
    pdf = full()
    told = [reading.text(pdf, page=n) for n in range(reading.pages(pdf))]
    every = " ".join(" ".join(told).split())
    heads = (
        "From the tree to the tune",
        "Weighed in our racks",
        "How the voice moved",
        "At a border, as of",
        "Said plainly",
        "Checkpoint",
        "Photographs on record",
    )

    assert [every.index(head) for head in heads] == sorted(map(every.index, heads))
    assert "At a border" in told[1]
    assert "Photographs on record" in told[-1]
    assert "Photographs" not in told[0]
    last = len(told)
    assert all(f"page {n} of {last}" in page for n, page in enumerate(told[1:], 2))


def test_a_photograph_that_is_gone_takes_no_page_and_is_told() -> None:
    """Its sentence stands behind the checkpoint, and whoever prints hears of it."""
    bare = Evidence(unseen=(75,))
    pdf = full(bare)

    assert reading.pages(pdf) == 2
    assert "photograph of entry 75 is not shown" in reading.text(pdf, page=1)
    (notice,) = notices(replace(CERTIFICATE, evidence=bare))
    assert notice.startswith("the photograph of entry 75 cannot be shown")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_far_too_much_evidence_is_laid_out_too(paper: Paper) -> None:
    """Twenty lots, fourteen species, four pictures: no words run into others."""
    pdf = full(CROWDED, paper)

    for page in range(1, reading.pages(pdf)):
        assert overlaps(pdf, page) == []


def test_page_1_says_on_which_page_it_goes_on() -> None:
    """Behind the evidence, wherever that page is."""
    crowd = replace(
        CERTIFICATE,
        evidence=CROWDED,
        makers=CERTIFICATE.makers * 3,
        materials=CERTIFICATE.materials * 5,
    )
    pdf = draw(
        crowd,
        paper="A4",
        certificate_file=CERTIFICATE_FILE,
        proof_file=PROOF_FILE,
    )
    told = [reading.text(pdf, page=n) for n in range(reading.pages(pdf))]
    hands = next(n for n, t in enumerate(told, 1) if "By these hands, continued" in t)
    trees = next(n for n, t in enumerate(told, 1) if "From these trees, cont" in t)

    assert hands > 2
    assert f"and 3 more, page {hands}" in told[0]
    assert f"And 2 more, page {trees}." in told[0]


def test_the_file_stays_small_and_its_bytes_the_same() -> None:
    """Without photographs at most 600 kB; the spine stands in it once."""
    bare = full(replace(EVIDENCE, photographs=()))
    longer = full(replace(CROWDED, photographs=()))

    assert len(bare) <= 600_000 and len(longer) - len(bare) < 100_000
    assert full() == full()


def test_pictures_and_a_spine_of_its_own_are_fit_for_the_archive() -> None:
    """Preflight names the attachments and the part, as without evidence, no more."""
    assert preflight.error_codes(full()) == {"1.4.7", "1.2.9", "7.11.2"}


def test_the_evidence_page_looks_as_it_was_approved() -> None:
    """Strip, curve, ladder and table: nothing moved unseen."""
    pdf = full()

    assert unlike(pdf, "evidence-full-A4", page=1) == ""
    assert unlike(pdf, "evidence-photographs-A4", page=reading.pages(pdf) - 1) == ""
