"""Tests of the pages behind a certificate."""

from dataclasses import replace

from labels.certificate import OwnerCertificate, Remark, draw
from tests.labels import reading
from tests.labels.samples import CERTIFICATE, CERTIFICATE_FILE, PROOF_FILE, REMARKS


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
