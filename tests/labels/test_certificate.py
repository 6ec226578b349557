"""Tests of the owner certificate."""

import hashlib
import os
import subprocess
import sys
from dataclasses import replace
from itertools import product
from pathlib import Path
from shutil import which
from typing import Literal

import pytest

from labels import certificate, picture, terms
from labels.certificate import Maker, Measure, OwnerCertificate
from labels.page import measure
from labels.sections import FRAMES, WORK
from labels.tongue import tongue
from ledger.errors import RefusedError
from ledger.languages import LANGUAGES
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps
from tests.labels.samples import (
    CARD_TEXT,
    CERTIFICATE,
    CERTIFICATE_FILE,
    MAKERS,
    MATERIALS,
    PROOF_FILE,
)

ROOT = Path(__file__).parents[2]


def drawn(
    shown: OwnerCertificate = CERTIFICATE, paper: Literal["A4", "Letter"] = "A4"
) -> bytes:
    """Return a certificate."""
    return certificate.draw(
        shown, paper=paper, certificate_file=CERTIFICATE_FILE, proof_file=PROOF_FILE
    )


@pytest.mark.parametrize(
    ("paper", "size"), [("A4", (2100, 2970)), ("Letter", (2159, 2794))]
)
def test_the_symbol_says_the_card_text(
    paper: Literal["A4", "Letter"], size: tuple[int, int]
) -> None:
    """In black and white at 600 dots to the inch, both papers read back."""
    pdf = drawn(paper=paper)

    assert reading.symbols(picture.one_bit(pdf, page=0, dpi=600)) == [CARD_TEXT]
    assert picture.one_bit(pdf, page=0, dpi=254).size == size


def test_everything_that_is_certified_can_be_read_on_page_one() -> None:
    """Hands, trees, numbers, signer and cautions are real text."""
    said = " ".join(reading.text(drawn()).split())

    for words in (
        "Tidewarden",
        "26-0147-3",
        "Flat-top guitar, dreadnought-size. Harbour Lights, 3 of 12.",
        "Made by these hands, from these trees.",
        "Jakub Wolański",
        "Tadhg Mac Giolla",
        "Ferrante & Daughters",
        "Val Corda, IT",
        "L23-040-02.C1",
        "action, 12th fret",
        "lead builder, for the Loft, Port Anslow",
        "key 7f3a91c204be5d18",
        "Not a permit and not a title.",
    ):
        assert words in said


def test_an_erased_name_is_shown_by_badge() -> None:
    """The hand stays on the page when the name has gone."""
    erased = replace(CERTIFICATE, signer_name=None)
    said = reading.text(drawn(erased))

    assert "badge 05" in said
    assert "badge 01" in said
    assert "None" not in said


def test_no_letter_of_the_name_runs_into_the_line_below() -> None:
    """However far it hangs down."""
    named = replace(CERTIFICATE, model="Slipway", kind="solid-body guitar")

    assert overlaps(drawn(named)) == []


def test_no_section_runs_into_another_however_full_the_page() -> None:
    """With ten makers, nine woods and six numbers, all still stands above the foot."""
    full = replace(
        CERTIFICATE,
        makers=MAKERS * 3,
        materials=MATERIALS * 5,
        measures=tuple(Measure(f"measure {n}", "2.3 / 1.7", "mm") for n in range(6)),
    )
    for frame in FRAMES.values():
        plan = certificate._plan(frame, full)
        foot = certificate._foot_top(frame)

        assert plan.measures + certificate.MEASURES_HEIGHT + 1.5 < foot
        assert plan.hands < plan.trees < plan.measures


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("kind", ["flat-top guitar", "Octave mandolin"])
@pytest.mark.parametrize("measures", [CERTIFICATE.measures, ()])
def test_whatever_the_counts_the_numbers_keep_their_distance_from_the_foot(
    paper: str, kind: str, measures: tuple[Measure, ...]
) -> None:
    """With a figure and without, of none to twelve hands and trees."""
    frame, gaps = FRAMES[paper], certificate.LEAST_GAPS
    high = certificate.MEASURES_HEIGHT if measures else 0
    for hands, trees in product(range(13), range(13)):
        shown = replace(
            CERTIFICATE,
            kind=kind,
            measures=measures,
            makers=(MAKERS * 5)[:hands],
            materials=(MATERIALS * 7)[:trees],
        )
        plan, rows = certificate._plan(frame, shown), max(min(hands, 10) - 1, 0)
        last = plan.hands + certificate.HANDS_FIRST + rows * plan.hand_pitch
        foot = plan.measures + high + gaps[3]

        assert foot <= certificate._foot_top(frame) + 1e-6, (hands, trees)
        assert last + gaps[1] <= plan.trees + 1e-6, (hands, trees)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_what_page_one_cannot_hold_is_on_page_two(
    paper: Literal["A4", "Letter"],
) -> None:
    """The tenth maker and the ninth wood are counted on page 1 and named on page 2."""
    makers = tuple(Maker(f"{n:02}", f"Maker {n}", "plates") for n in range(1, 13))
    woods = tuple(replaced._replace(part=f"part {n}") for n, replaced in numbered())
    pdf = drawn(replace(CERTIFICATE, makers=makers, materials=woods), paper)
    front, back = reading.text(pdf), reading.text(pdf, page=1)

    assert "and 3 more, page 2" in front
    assert "And 2 more, page 2." in front
    assert "Maker 9" in front
    assert "Maker 10" not in front
    assert all(f"Maker {n}" in back for n in (10, 11, 12))
    assert all(f"part {n}" in back for n in (8, 9))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_long_work_takes_a_second_line_and_is_whole_on_page_two(
    paper: Literal["A4", "Letter"],
) -> None:
    """One who did forty steps has all of them in his certificate, in full type."""
    did = ", ".join(f"step number {n}" for n in range(1, 43))
    alone = (Maker("01", "Maker 1", did),)
    pdf = drawn(replace(CERTIFICATE, makers=alone), paper)
    front, back = (" ".join(reading.text(pdf, page=n).split()) for n in (0, 1))

    assert "more: page 2" in front
    assert did in back
    assert "By these hands, continued" in back
    for maker, lines in zip(alone, works(alone, paper), strict=True):
        assert [line for line in lines if measure(line, WORK) > 104.1] == [], maker


def works(makers: tuple[Maker, ...], paper: str) -> list[list[str]]:
    """Return what page 1 says that each did."""
    return certificate._works(FRAMES[paper], replace(CERTIFICATE, makers=makers))


def test_second_lines_go_to_the_first_makers_while_there_is_room() -> None:
    """Seven makers leave room for two more lines, nine for none."""
    did = "received and measured the wood, plates joined and thicknessed, braced, bound"
    many = tuple(Maker(f"{n:02}", f"Maker {n}", did + ", closed") for n in range(1, 12))
    seven, nine = works(many[:7], "A4"), works(many, "A4")

    assert [len(lines) for lines in seven] == [2, 2, 1, 1, 1, 1, 1]
    assert [len(lines) for lines in nine] == [1] * 9
    assert nine[0] == ["received and measured the wood, and 4 more: page 2"]
    of_many = replace(CERTIFICATE, makers=many)
    assert certificate._continued(FRAMES["A4"], of_many) == many


def test_what_has_no_outline_has_no_figure_and_its_hands_take_the_width() -> None:
    """A kind of instrument that nobody drew here is certified all the same."""
    plain = replace(CERTIFICATE, kind="Octave mandolin")

    assert len(drawn(plain)) < len(drawn(CERTIFICATE))
    assert certificate._figure_foot(FRAMES["A4"], plain) == 0.0


def numbered() -> list[tuple[int, certificate.Material]]:
    """Return ten woods, numbered from 0."""
    return list(enumerate(MATERIALS * 5))


def test_more_measures_than_the_page_holds_are_refused() -> None:
    """Six at most; the model's own choice."""
    seven = tuple(Measure("mass", "1986", "g") for _ in range(7))
    with pytest.raises(RefusedError, match="7 measures, and the page has room for 6"):
        drawn(replace(CERTIFICATE, measures=seven))


def test_a_certificate_may_have_no_measures_and_few_hands() -> None:
    """One hand, one tree and no number make a page too."""
    least = replace(
        CERTIFICATE, makers=MAKERS[:1], materials=MATERIALS[:1], measures=()
    )

    assert reading.symbols(picture.one_bit(drawn(least), page=0, dpi=600)) == [
        CARD_TEXT
    ]


@pytest.mark.parametrize(
    ("field", "shown"),
    [
        ("serial", replace(CERTIFICATE, serial="26-" * 30)),
        (
            "board of top",
            replace(CERTIFICATE, materials=(MATERIALS[0]._replace(board="L26-" * 12),)),
        ),
    ],
)
def test_what_does_not_fit_is_refused_by_name(
    field: str, shown: OwnerCertificate
) -> None:
    """The refusal says which code to look at."""
    with pytest.raises(RefusedError, match=f"^{field} does not fit the paper"):
        drawn(shown)


@pytest.mark.parametrize(
    ("shown", "seen"),
    [
        (replace(CERTIFICATE, model="Tidewarden " * 12), "Tidewarden Tidewarden"),
        (replace(CERTIFICATE, shop="Skerrymoor Loft " * 12), "…"),
        (replace(CERTIFICATE, run=f"{'W' * 90}, 3 of 12"), "W…, 3 of 12."),
        (
            replace(CERTIFICATE, makers=(Maker("03", "Wolański-" * 20, "plates"),)),
            "Wolański-Wolański",
        ),
        (
            replace(CERTIFICATE, makers=(*MAKERS[:8], Maker("9", "Æ", "琴" * 90))),
            "琴…",
        ),
        (
            replace(
                CERTIFICATE, materials=(MATERIALS[0]._replace(sawyer="Holz " * 40),)
            ),
            "Holz Holz",
        ),
        (
            replace(CERTIFICATE, measures=(Measure("relief " * 60, "0.2", "mm"),)),
            "…",
        ),
    ],
)
def test_a_name_of_any_length_is_shortened_and_never_refused(
    shown: OwnerCertificate, seen: str
) -> None:
    """The file inside holds the whole; the page shows that it does not."""
    said = reading.text(drawn(shown))

    assert seen in said and "…" in said


def test_names_from_elsewhere_are_set_or_noticed() -> None:
    """Japanese letters are set; Hangul becomes geta marks and a notice."""
    makers = (
        Maker("10", "荒川 賢治", "inspections"),
        Maker("14", "김", "O’Neill’s bridge"),
    )
    shown = replace(CERTIFICATE, makers=makers)
    said = reading.text(drawn(shown))

    assert "荒川 賢治" in said
    assert "〓" in said
    assert "O’Neill’s bridge" in said
    assert certificate.notices(CERTIFICATE) == ()
    assert certificate.notices(shown) == ("no face has U+AE40 of '김'; printed as 〓",)


def test_every_font_is_inside(tmp_path: Path) -> None:
    """Poppler finds every font embedded."""
    if which("pdffonts") is None:
        pytest.skip("pdffonts cannot be run: apt install poppler-utils")
    listed = reading.fonts(drawn(), tmp_path)

    assert {embedded for _, embedded in listed} == {"yes"}
    assert all("Flitch" in name for name, _ in listed)


def test_the_same_facts_give_the_same_bytes_anywhere() -> None:
    """Neither the hour, nor the time zone, nor the order of sets shows in a paper."""
    code = (
        "import hashlib; from tests.labels.test_certificate import drawn; "
        "print(hashlib.sha256(drawn()).hexdigest())"
    )
    here = hashlib.sha256(drawn()).hexdigest()
    there = [
        subprocess.run(
            [sys.executable, "-c", code],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for seed, zone in (("1", "Asia/Tokyo"), ("4711", "America/Lima"))
    ]

    assert there == [here, here]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_pages_look_as_they_were_approved(paper: Literal["A4", "Letter"]) -> None:
    """Frame, figure, hatches, core: nothing moved unseen."""
    pdf = drawn(CERTIFICATE, paper)
    assert looks.unlike(pdf, f"certificate-{paper}") == ""
    assert looks.unlike(pdf, f"evidence-{paper}", page=1) == ""


def spoken(language: str) -> OwnerCertificate:
    """Return a full certificate, its parts and measures of the shipped models."""
    say = tongue(language)
    work = ", ".join(say(step) for step in terms.STEPS[25:45])
    longest = sorted(terms.PARTS, key=lambda part: -len(say(part)))[:9]
    last = (
        "mass",
        *terms.MEASURES[-1:],
        *[m for m in terms.MEASURES if "settled" in m],
    )
    return replace(
        CERTIFICATE,
        language=language,
        kind="flat-top guitar",
        makers=tuple(maker._replace(work=work) for maker in MAKERS),
        materials=tuple(MATERIALS[0]._replace(part=part) for part in longest),
        measures=tuple(Measure(what, "0.18", "mm") for what in last),
        signer_rank=say("lead builder"),
    )


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_fits_the_papers(language: str) -> None:
    """The longest parts and works cut nothing off, and run into nothing."""
    shown, say = spoken(language), tongue(language)
    for paper in ("A4", "Letter"):
        pdf = drawn(shown, paper)
        front, back = (" ".join(reading.text(pdf, page=n).split()) for n in (0, 1))

        assert overlaps(pdf) == overlaps(pdf, page=1) == []
        assert outside(pdf, [(22.0, FRAMES[paper].right)]) == []
        for words in (
            certificate.MOTTO,
            "By these hands",
            "Signed",
            "sawyer, place of growth",
        ):
            assert say(words) in front
        for words in ("Evidence", "By these hands, continued", "Said plainly"):
            assert say(words) in back


def test_names_numbers_and_what_a_person_wrote_are_the_same_in_every_language() -> None:
    """Nothing that can be compared with the record is put into other words."""
    english, german = (
        reading.text(drawn(replace(CERTIFICATE, language=language)))
        for language in ("en", "de")
    )
    for words in (
        "Tadhg Mac Giolla",
        "plates, braces, binding",
        "East Indian rosewood",
    ):
        assert words in english and words in german
    for words in ("2026-11-21", "86\u2009114", "L23-040-02.C1", "1986"):
        assert words in english and words in german


def test_a_german_certificate_looks_as_it_was_approved() -> None:
    """A third longer, and no smaller than the floor of its style."""
    pdf = drawn(spoken("de"))

    assert looks.unlike(pdf, "certificate-de") == ""
