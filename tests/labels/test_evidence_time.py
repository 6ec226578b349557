"""Tests of the strip, the curve and the ladder on the evidence page."""

from dataclasses import replace
from gettext import NullTranslations

import pytest

from labels import evidence_border, evidence_photographs, evidence_time
from labels.blocks import together
from labels.evidence import sheet
from labels.evidence_facts import Evidence
from labels.page import close_document, open_document, turn_over
from labels.sections import FRAMES
from labels.tongue import Tongue, tongue
from tests.labels import overlaps, reading
from tests.labels.evidence_samples import CROWDED, EVIDENCE

FRAME = sheet(FRAMES["A4"])


def drawn(evidence: Evidence, language: str = "en") -> bytes:
    """Draw the blocks of some evidence on a page of their own."""
    page = open_document(FRAME.size, "evidence")
    blocks = evidence_time.blocks(FRAME, evidence, tongue(language), {})
    together(blocks).draw(page, 30)
    turn_over(page)
    return close_document(page)


def words(evidence: Evidence) -> str:
    """Return the words of some evidence, all spaces alike."""
    return " ".join(reading.text(drawn(evidence)).split())


def test_strip_curve_and_ladder_stand_with_their_entries() -> None:
    """Each under its heading, with what was found and how to read it."""
    said = words(EVIDENCE)

    for expected in (
        "From the tree to the tune entries 42, 61, 914",
        "Longest in our racks: 29 months; from the first step to the certificate: 18",
        "Hatched: in our racks. Black: in work. White: finished.",
        "Weighed in our racks entries 86 114, 86 120 to 86 131",
        "top L26-004-11; thin: others of its lot; rings: the last three",
        "How the voice moved 5 entries, 1 to 80",
        "Hz, and the mass of what was tapped",
        "4 lots, 14 steps by 3 people; marks under a line: by machine",
        "days in the rack",
        "98.4 air",
        "1986 g",
    ):
        assert expected in said, expected


def test_the_crafts_of_the_hands_are_in_the_language_of_the_paper() -> None:
    """Those of the shipped models; one that a shop named itself stays as it is."""
    assert EVIDENCE.timeline is not None
    hand = replace(EVIDENCE.timeline.hands[0], crafts="plates, brace, dovetails")
    strip = replace(EVIDENCE.timeline, hands=(hand,))
    text = reading.text(drawn(replace(EVIDENCE, timeline=strip), "de"))

    assert "Platten, Beleisten, dovetails" in " ".join(text.split())


def test_what_the_record_does_not_have_is_left_out() -> None:
    """No heading without something under it, and nothing for nothing."""
    bare = replace(EVIDENCE, seasoning=None, voice=None)

    assert evidence_time.blocks(FRAME, Evidence(), tongue("en"), {}) == []
    assert "Weighed" not in words(bare) and "voice" not in words(bare)


@pytest.mark.parametrize(
    "alone",
    [
        Evidence(voice=EVIDENCE.voice),
        Evidence(seasoning=EVIDENCE.seasoning, weighed="top"),
    ],
)
def test_one_plot_alone_takes_the_left_half(alone: Evidence) -> None:
    """Curve or ladder: nothing stands in the right half of the page."""
    middle = (FRAME.left + FRAME.right) / 2
    found = overlaps.words(drawn(alone))

    assert found and all(each.right < middle for each in found)


@pytest.mark.parametrize("evidence", [EVIDENCE, CROWDED])
def test_no_words_run_into_others_or_off_the_page(evidence: Evidence) -> None:
    """Neither with an instrument as it is, nor with twenty lots and 56 modes."""
    pdf = drawn(evidence)

    assert overlaps.overlaps(pdf) == []
    assert overlaps.outside(pdf, [(FRAME.left, FRAME.right)]) == []


def test_a_strip_is_no_higher_than_it_needs_to_be() -> None:
    """Few rows leave room for what comes under them; too many are cut off and told."""
    few, many = (
        evidence_time.blocks(
            FRAME, replace(e, seasoning=None, voice=None), tongue("en"), {}
        )[0].height
        for e in (EVIDENCE, CROWDED)
    )

    assert few < 80 and few < many < 115
    assert "for want of room" in words(CROWDED)


def test_modes_for_which_there_is_no_room_are_counted() -> None:
    """The lowest are drawn, and the line above says how many are not."""
    assert "; 5 modes have no room" in words(CROWDED)
    assert "no room" not in words(EVIDENCE)


class Wordy(NullTranslations):
    """A language that needs nearly half as much room again."""

    def gettext(self, message: str) -> str:
        """Return words with some of them said twice, but no blank."""
        again = message.replace("{", "").replace("}", "")
        return f"{message} {again[: max(2, len(message) * 45 // 100)]}"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Return the words for a number likewise."""
        return self.gettext(msgid1 if n == 1 else msgid2)


@pytest.mark.parametrize("evidence", [EVIDENCE, CROWDED])
def test_a_language_of_longer_words_is_laid_out_too(evidence: Evidence) -> None:
    """All of the evidence: narrowed, shrunk or shortened, and nothing refused."""
    say = Tongue(language="xx", catalogue=Wordy())
    page = open_document(FRAME.size, "evidence")
    first = [
        *evidence_time.blocks(FRAME, evidence, say, {}),
        *evidence_border.blocks(FRAME, evidence.border, say),
    ]
    for blocks in (first, evidence_photographs.blocks(FRAME, evidence, say)):
        together(blocks).draw(page, 20)
        turn_over(page)
    pdf = close_document(page)

    for number in (0, 1):
        assert overlaps.overlaps(pdf, number) == []
        assert overlaps.outside(pdf, [(FRAME.left, FRAME.right)], number) == []
