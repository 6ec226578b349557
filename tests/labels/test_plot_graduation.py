"""Tests of the graduation map: a plate, its places, and lines of equal thickness."""

from dataclasses import replace
from functools import cache

import pytest

from labels import plot_graduation, plots
from labels.page import close_document, open_document, turn_over
from labels.plot_figure import Label
from labels.plot_graduation_facts import Graduation, Place, digits
from ledger.errors import RefusedError
from tests import preflight
from tests.labels import reading
from tests.labels.graduation_samples import (
    archtop_back,
    archtop_top,
    flat_top,
    gauged,
    mapped,
)
from tests.labels.looks import unlike
from tests.labels.overlaps import crowded, outside, overlaps, words

DAY = "2026-11-21"
LONG = "after the second carving and before the bars, as Hallvard has always done it"


def every() -> dict[str, Graduation]:
    """Return what puts the layout to the test."""
    top, back, flat = archtop_top(), archtop_back(), flat_top()
    row = tuple(
        Place(x_um=0, y_um=y * 1000, thickness_um=3000 + y) for y in (50, 250, 400)
    )
    far = Place(x_um=250_000, y_um=260_000, thickness_um=4_000)
    even = tuple(replace(place, thickness_um=3_000) for place in flat.places)
    return {
        "top": mapped("arch-top", top),
        "both": mapped("arch-top", top, back, title="The top and the back"),
        "nine places": mapped("flat-top guitar", flat),
        "many places": mapped(
            "arch-top", replace(top, places=gauged(6_120, 3_010, 27_000))
        ),
        "in a row": mapped("arch-top", replace(top, places=row)),
        "one thickness": mapped("flat-top", replace(flat, places=even)),
        "no outline": mapped("lute", back),
        "off the outline": mapped(
            "arch-top", replace(back, places=(*back.places, far))
        ),
        "long words": mapped(
            "arch-top", replace(top, said=(f"Stage: {LONG}.", f"With {LONG}.") * 3)
        ),
        "nothing": replace(mapped("arch-top", top), plates=()),
    }


EVERY = every()


@cache
def drawn(name: str, *, one_colour: bool = False) -> tuple[bytes, tuple[Label, ...]]:
    """Return a map on an A5 sheet, and the words that it says it set."""
    page = open_document((210, 148), "graduation")
    place = (11, 11, 188, 126)
    labels = plot_graduation.draw(page, place, EVERY[name], one_colour=one_colour)
    turn_over(page)
    return close_document(page), labels


def said(name: str) -> str:
    """Return the words of a sheet in one row."""
    return " ".join(reading.text(drawn(name)[0]).split())


@pytest.mark.parametrize("name", EVERY)
def test_nothing_overlaps_and_nothing_is_cut(name: str) -> None:
    """A hundred and more places, long words, places off the plate: all stay apart."""
    pdf, labels = drawn(name)

    assert overlaps(pdf) == []
    assert outside(pdf, [(11, 199)]) == []
    assert all(each.top > 10.5 and each.foot < 137.5 for each in words(pdf))
    assert crowded(labels) == []


@pytest.mark.parametrize("name", ["top", "both", "nine places", "no outline"])
def test_it_looks_as_it_did(name: str) -> None:
    """One plate, two, few places, and a kind without an outline."""
    assert unlike(drawn(name)[0], f"graduation-{name.replace(' ', '-')}") == ""


@pytest.mark.parametrize("name", EVERY)
def test_in_one_colour_it_says_the_same(name: str) -> None:
    """In the same places."""
    assert drawn(name)[1] == drawn(name, one_colour=True)[1]


@pytest.mark.parametrize("name", ["top", "nine places"])
def test_every_thickness_stands_beside_its_place(name: str) -> None:
    """None is left out, and each is as it was read."""
    plate = EVERY[name].plates[0]
    places = 1 if name == "top" else 2
    set_there = [label.words for label in drawn(name)[1]]

    for place in plate.places:
        set_there.remove(digits(place.thickness_um, places))
    assert "left out" not in said(name)


def test_what_has_no_room_is_counted() -> None:
    """Nobody takes a place without its number for one that was not gauged."""
    plate = EVERY["many places"].plates[0]
    numbers = sum(
        label.words in {digits(p.thickness_um, 1) for p in plate.places}
        for label in drawn("many places")[1]
    )

    assert "left out for want of room" in said("many places")
    assert len(plate.places) > 100 and numbers > 0.9 * len(plate.places)


def test_the_lines_say_their_thickness_and_how_they_run() -> None:
    """Each level is named, and the foot says at which steps and from where."""
    set_there = {label.words for label in drawn("top")[1]}

    assert {"3.5", "4.0", "4.5", "5.0", "5.5", "6.0"} <= set_there
    assert "a line every 0.5 mm, straight between neighbouring places" in said("top")
    assert "seen from outside, neck end up" in said("top") and "100 mm" in said("top")


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("in a row", "no line: the places lie in a row"),
        ("one thickness", "no line: the places lie in a row, or are all of one"),
        ("no outline", "no outline is known of this kind of instrument"),
        ("off the outline", "1 place outside this outline, which is a kind's"),
        ("nothing", "No plate of this instrument was graduated yet."),
        ("both", "top"),
    ],
)
def test_what_cannot_be_drawn_is_said(name: str, words: str) -> None:
    """A reader is not left to guess why something is missing."""
    assert words in said(name)


def test_a_plate_is_drawn_in_the_frame_in_which_it_was_gauged() -> None:
    """Right is right and up is towards the neck, of a back as of a top."""
    values = ((-90, 100, 2_100), (90, 110, 2_700), (0, 400, 3_300))
    places = tuple(
        Place(x_um=x * 1000, y_um=y * 1000, thickness_um=um) for x, y, um in values
    )
    page = open_document((210, 148), "graduation")
    plot = mapped("flat-top", replace(flat_top(), places=places))
    labels = plot_graduation.draw(page, (11, 11, 188, 126), plot)
    at = {each.words: each for each in labels}

    assert at["2.1"].left < at["3.3"].left < at["2.7"].left
    assert at["3.3"].top < at["2.7"].top <= at["2.1"].top


def test_three_plates_are_refused() -> None:
    """The refusal says what to do."""
    page = open_document((210, 148), "graduation")
    plot = mapped("arch-top", archtop_top(), archtop_back(), flat_top())
    with pytest.raises(RefusedError, match=r"3 plates have no room .* name the one"):
        plot_graduation.draw(page, (11, 11, 188, 126), plot)


def test_a_sheet_is_fit_for_the_archive_and_the_same_twice() -> None:
    """7.11.2: the metadata says part 3, and the judge knows part 1 only."""
    sheet = plots.pdf(EVERY["top"], day=DAY)

    assert sheet == plots.pdf(every()["top"], day=DAY)
    assert len(sheet) < 150_000
    assert preflight.error_codes(sheet) <= {"7.11.2"}
