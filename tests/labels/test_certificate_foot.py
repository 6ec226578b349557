"""The foot of a certificate says how it is checked, in whatever room there is."""

from dataclasses import replace

import pytest

from labels import certificate_foot
from labels.facts import OwnerCertificate
from labels.page import A4, close_document, open_document
from labels.sections import FRAMES
from labels.tongue import tongue
from ledger.languages import LANGUAGES
from tests.labels import reading
from tests.labels.overlaps import overlaps, words
from tests.labels.samples import CERTIFICATE


def foot(language: str) -> bytes:
    """Return a sheet with nothing but the foot on it."""
    return foot_of(replace(CERTIFICATE, language=language))


def foot_of(shown: OwnerCertificate) -> bytes:
    """Return a sheet with the foot of a certificate."""
    page = open_document(A4, "foot", shown.language)
    frame = FRAMES["A4"]
    certificate_foot.draw(page, frame, shown, frame.core - 36)
    return close_document(page)


@pytest.mark.parametrize("language", LANGUAGES)
def test_how_to_check_ends_above_the_core(language: str) -> None:
    """In eight lines at most, and with the words of the page that checks."""
    pdf, column = foot(language), (FRAMES["A4"].left + 41, FRAMES["A4"].left + 98)
    lines = [
        each
        for each in words(pdf)
        if column[0] < each.left < column[1] and each.top < FRAMES["A4"].core - 4
    ]

    assert 6 <= len(lines) <= 10  # the heading is one
    assert max(each.right for each in lines) < column[1]
    assert max(each.foot for each in lines) < FRAMES["A4"].core - 0.5
    said = " ".join(reading.text(pdf).split())
    for told in (certificate_foot.TO_CHECK, certificate_foot.THE_SQUARE):
        assert " ".join(tongue(language)(told).split()) in said
    assert all(word in said for word in ("YES, BUT", "NO", "CANNOT TELL"))
    assert said.count("CITES") == 1


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_it_is_not_stands_in_two_lines(language: str) -> None:
    """Neither a permit nor a title, and whom to ask, above the frame."""
    low = [each for each in words(foot(language)) if each.top > FRAMES["A4"].foot]
    caution = tongue(language)("Signed")

    assert caution in reading.text(foot(language))
    assert len(low) == 2
    assert max(each.foot for each in low) < 280


def test_a_long_name_of_a_signer_takes_a_second_line() -> None:
    """And a long rank one, before either is cut."""
    name = "Wolańska-Brzęczyszczykiewicz Oluwaseun Adeyemi"
    rank = "lead builder of the flat-top bench, for the old Loft"
    for shown in (
        replace(CERTIFICATE, signer_name=name),
        replace(CERTIFICATE, signer_rank=rank),
    ):
        pdf = foot_of(shown)
        said = " ".join(reading.text(pdf).split())

        assert shown.signer_name is not None and shown.signer_name in said
        assert f"{shown.signer_rank}, {shown.place}" in said
        assert overlaps(pdf) == []
