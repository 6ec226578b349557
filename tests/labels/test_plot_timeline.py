"""Tests of the strip from the tree to the tune."""

from dataclasses import replace

import pytest

from labels import plot_timeline
from labels.page import open_document
from labels.plot_figure import Label
from labels.plot_timeline_facts import Timeline
from ledger.errors import RefusedError
from tests.labels.book_samples import hand, many_rows, nothing, on, rack, timeline


def labels(plot: Timeline, width: float = 188.0) -> tuple[Label, ...]:
    """Return the words of a strip."""
    page = open_document((210, 148), "strip")
    return plot_timeline.draw(page, (11, 11, width, 126), plot)


def words(plot: Timeline) -> list[str]:
    """Return the words of a strip without their boxes."""
    return [label.words for label in labels(plot)]


def test_a_strip_names_wood_hands_and_the_instrument() -> None:
    """Each wood with its wait, each person with the craft, serial and certificate."""
    said = words(timeline())

    for expected in (
        "back, sides",
        "Dalbergia latifolia",
        "29 months",
        "species unknown",
        "Jakub Wolański",
        "machine",
        "26-0147-3",
        "certificate",
        "show",
        "months",
        "weeks",
    ):
        assert expected in said
    assert "4 lots, 14 steps by 3 people; marks under a line: by machine" in said


def test_wood_that_goes_in_last_stands_highest() -> None:
    """So no way into the hands crosses another wood that is still there."""
    found = {label.words: label.top for label in labels(timeline())}
    order = sorted(("bridge", "top, braces", "back, sides", "rosette"), key=found.get)  # type: ignore[arg-type]  # each of them is set

    assert order == ["bridge", "top, braces", "back, sides", "rosette"]


def test_a_step_is_named_only_where_it_fits() -> None:
    """The last of a run of days has room; those before it have none."""
    said = words(timeline())

    assert "step of day 14" in said and "step of day 115" in said
    assert "step of day 4" not in said and "step of day 10" not in said


def test_what_has_no_room_is_counted() -> None:
    """Of twenty lots and thirty people those left out are told."""
    said = words(many_rows())
    note = next(each for each in said if "for want of room" in each)
    lots = sum(each.startswith("part ") for each in said)
    people = sum(each.startswith("Person ") for each in said)

    assert f"without {20 - lots} lots and {30 - people} people, for" in note
    assert lots and people


def test_a_certificate_is_named_beside_a_narrow_end() -> None:
    """Where the white bar is too narrow for the word, it stands right of it."""
    late = replace(timeline(), certified_on=on(116), until=on(116), trips=())
    named = next(each for each in labels(late) if each.words == "certificate")

    assert named.right <= 199.0
    assert "certificate" not in words(replace(timeline(), certified_on=None))


def test_wood_that_went_in_before_it_came_is_refused() -> None:
    """One of two days is wrong, and the refusal names both."""
    early = replace(rack("top", "Picea abies", 1, 0), came_on=on(3))
    with pytest.raises(RefusedError, match="went in on 2026-07-17 and came on 2026-07"):
        labels(replace(timeline(), racks=(early,)))


def test_wood_without_a_day_is_refused() -> None:
    """A wait without an end cannot be drawn."""
    bare = rack("top", "Picea abies", 1)
    with pytest.raises(RefusedError, match="top of 26-0147-3 has no day"):
        labels(replace(timeline(), racks=(bare,)))


def test_without_wood_and_steps_a_sentence_says_so() -> None:
    """An instrument that was only begun is no reason to fail."""
    bare = nothing()["timeline"]
    assert isinstance(bare, Timeline)

    assert "No wood is in this instrument yet, and no step is signed." in words(bare)


def test_hands_alone_can_be_drawn() -> None:
    """Steps may be signed before any wood went in."""
    people = (hand("Jakub Wolański", "plates", 0, 2),)
    said = words(replace(timeline(), racks=(), hands=people))

    assert "0 lots, 2 steps by 1 person; marks under a line: by machine" in said
