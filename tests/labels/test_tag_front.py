"""Tests of the front of a build tag."""

from dataclasses import replace
from typing import Any

import pytest

from labels import tag
from labels.tag import BuildTag, MaySign, NextStep, Wood
from labels.tag_front import hazard_lines, species_words
from ledger.errors import RefusedError
from tests.labels import reading
from tests.labels.overlaps import overlaps
from tests.labels.samples import TAG


def outside(shown: BuildTag = TAG) -> str:
    """Return the text of the outside, all spaces alike."""
    return " ".join(reading.text(tag.draw(shown)).split())


def test_the_front_says_what_a_bench_needs() -> None:
    """Serial, model, next step, state, who may sign and the wood are real text."""
    said = outside()

    for words in (
        "Build tag",
        "The Loft",
        "26-0147-3",
        "Tidewarden",
        "flat-top guitar",
        "Harbour Lights",
        "3 of 12",
        "body B26-0147",
        "neck N26-0147",
        "Next when printed",
        "24 Frets pressed",
        "READY",
        "Teresa Quispe",
        "Benji Takahashi-Cole with a countersign only",
        "25 Frets levelled · 26 Neck fitted · 27 Marriage (gate)",
        "L24-011-02",
        "Diospyros crassiflora",
        "DUST",
        "Printed 2026-09-04 16:40 Europe/Dublin.",
    ):
        assert words in said


def test_the_front_is_read_before_the_back() -> None:
    """Whoever copies or hears the page meets the serial first."""
    said = outside()

    assert said.index("26-0147-3") < said.index("READY") < said.index("When the power")


def test_without_hazards_the_band_says_nothing() -> None:
    """No warning is printed that no board in the build gives cause for."""
    assert "DUST" not in outside(replace(TAG, hazards=()))


def test_a_first_print_does_not_count_and_a_reprint_does() -> None:
    """Only a reprint says which it is."""
    said = outside(replace(TAG, print_number=2))

    assert "print 1" not in outside()
    assert "Build tag print 2" in said


def test_a_finished_route_has_no_next_step_and_nobody_to_sign() -> None:
    """Once all is signed, the tag says so and names nobody."""
    done = replace(TAG, next_step=None, then=())
    said = outside(done)

    assert "All steps signed" in said
    assert "nothing: the route ends here" in said
    assert "May sign" not in said
    assert "Teresa Quispe" not in said


def test_nobody_and_no_board_are_said() -> None:
    """An empty list is a fact and stands as one."""
    said = outside(replace(TAG, may_sign=(), wood=()))

    assert "nobody, when this was printed" in said
    assert "no board allotted when this was printed" in said


def test_an_erased_name_is_shown_by_badge() -> None:
    """The hand may still sign when its name has gone."""
    said = outside(replace(TAG, may_sign=(MaySign("05", None),)))

    assert "badge 05" in said
    assert "None" not in said


def test_names_from_elsewhere_are_set() -> None:
    """Polish and Japanese letters print as they are."""
    people = (MaySign("03", "Jakub Wolański"), MaySign("10", "荒川 賢治"))
    said = outside(replace(TAG, may_sign=people, model="潮守"))

    for words in ("Jakub Wolański", "荒川 賢治", "潮守"):
        assert words in said


def test_nobody_is_named_without_their_condition() -> None:
    """Where a condition finds no room, the person is counted instead."""
    people = tuple(
        MaySign(f"0{n}", f"Person {n}", "with the lead builder beside")
        for n in range(4)
    )
    said = outside(replace(TAG, may_sign=people))

    assert said.count("Person") == said.count("with the lead builder beside") == 1
    assert "and 3 more: scan" in said


def test_more_boards_than_lines_are_counted() -> None:
    """Above the band three have a line each; of five, two have one, three are counted.

    Where no dust is to be warned of, seven have a line each.
    """
    boards = tuple(
        Wood(f"part {n}", "Picea abies", f"L25-118-0{n}") for n in range(1, 9)
    )

    assert "L25-118-03" in outside(replace(TAG, wood=boards[:3]))
    five = outside(replace(TAG, wood=boards[:5]))
    assert "L25-118-03" not in five
    assert "and 3 more boards: scan" in five
    calm = replace(TAG, wood=boards[:7], hazards=())
    assert "L25-118-07" in outside(calm)
    assert "and 2 more boards: scan" in outside(replace(calm, wood=boards))


def test_hazards_beyond_two_lines_are_counted() -> None:
    """The band names as many species as it can and counts the rest."""
    lines, left_over = hazard_lines(("Dalbergia cochinchinensis",) * 9)

    assert len(lines) == 2
    assert left_over > 0
    assert lines[-1].endswith(f"and {left_over} more")
    assert hazard_lines(TAG.hazards) == (
        ["Dalbergia latifolia, Diospyros crassiflora"],
        0,
    )


@pytest.mark.parametrize(
    ("field", "change"),
    [
        ("serial", {"serial": "26-" * 30}),
        ("body", {"body": "B26-" * 9}),
        ("neck", {"neck": "N26-" * 9}),
        ("state", {"state": "READY " * 9}),
        ("run", {"run": f"Harbour Lights, {'3 of 12' * 9}"}),
        ("board of neck", {"wood": (Wood("neck", "Picea abies", "L" * 40),)}),
        ("printed at", {"printed_at": "2026-09-04 16:40 " * 9}),
        ("ten words", {"ten_words": ("pocket",) * 60}),
    ],
)
def test_what_does_not_fit_is_refused_by_name(
    field: str, change: dict[str, Any]
) -> None:
    """The refusal says which field to look at."""
    with pytest.raises(RefusedError, match=f"^{field} does not fit the paper"):
        tag.draw(replace(TAG, **change))


@pytest.mark.parametrize(
    ("change", "seen"),
    [
        ({"model": "Tidewarden " * 9}, "Tidewarden Tidewarden"),
        ({"run": f"{'Harbour Lights ' * 6}, 3 of 12"}, "Harbour Lights"),
        ({"kind": "flat-top guitar " * 6}, "flat-top guitar"),
        ({"shop": "Skerrymoor " * 12}, "…"),
        ({"next_step": NextStep(24, "Frets pressed " * 9)}, "…"),
        ({"may_sign": (MaySign("04", "Quispe " * 12),)}, "Quispe Quispe"),
        ({"may_sign": (MaySign("04", "Quispe " * 12, "as lead"),)}, "as lead"),
        ({"then": ("a very long step " * 9,)}, "…"),
        ({"wood": (Wood("neck", "Picea " * 20, "L1"),)}, "…"),
        ({"wood": (Wood("neck " * 12, "Picea abies", "L1"),)}, "neck neck"),
    ],
)
def test_a_name_of_any_length_is_shortened_and_never_refused(
    change: dict[str, Any], seen: str
) -> None:
    """The tag shows that there is more, and a scan tells it."""
    said, whole = (reading.text(tag.draw(t)) for t in (replace(TAG, **change), TAG))

    # How a checkpoint is compared has an ellipsis of its own.
    assert seen in said and said.count("…") > whole.count("…")


def test_a_hazard_too_long_for_the_band_is_refused() -> None:
    """One name that fills more than two lines is a mistake of whoever wrote it."""
    with pytest.raises(RefusedError, match=r"^hazards do not fit the paper"):
        tag.draw(replace(TAG, hazards=("Dalbergia " * 30,)))


def test_a_host_that_no_symbol_holds_is_refused() -> None:
    """The symbol stays at 29 modules, so a host has a longest length."""
    with pytest.raises(RefusedError, match="has 88 characters"):
        tag.draw(replace(TAG, host="a" * 60 + ".example"))


@pytest.mark.parametrize(
    ("within", "words"),
    [
        (60.0, "Dalbergia latifolia and Picea abies"),
        (25.0, "D. latifolia and P. abies"),
        (12.0, "2 species"),
    ],
)
def test_species_of_a_glued_board_are_shortened_to_their_room(
    within: float, words: str
) -> None:
    """The tag is drawn however many woods were glued into one part."""
    assert species_words("Dalbergia latifolia and Picea abies", within) == words


def test_a_part_glued_from_three_woods_is_on_the_tag() -> None:
    """Beside the longest part name as well."""
    three = "Dalbergia latifolia and Picea abies and Swietenia macrophylla"
    wood = Wood("fingerboard and bridge", three, "L26-001-01.C1")

    assert "3 species" in outside(replace(TAG, wood=(wood,)))


def test_what_a_build_waits_for_stands_under_the_plate() -> None:
    """A long reason takes two lines; the names move down, and none leaves the tag."""
    one = outside(replace(TAG, state="NOT YET", edge="hollow", why=("no wood: top",)))
    long = replace(TAG, why=("step 12, fit the plates to the rims, " * 2,))

    assert one.index("NOT YET") < one.index("no wood: top") < one.index("May sign")
    assert overlaps(tag.draw(replace(TAG, why=("no wood: top",)))) == []
    assert overlaps(tag.draw(long)) == [] and "and 2 more: scan" in outside(long)


def test_on_hold_nobody_is_asked_to_sign() -> None:
    """Whoever may lift the hold is named instead, under a finished route as well."""
    held = replace(
        TAG,
        state="HOLD H26-001",
        edge="sawn",
        next_step=None,
        why=("in doubt: board L26-001-01", "and 2 more holds", "nothing goes on"),
        may_sign=(MaySign("01", "Oluwaseun Adeyemi-Brandt"),),
    )
    said = outside(held)

    assert "HOLD H26-001 in doubt: board L26-001-01 and 2 more holds" in said
    assert "May lift the hold" in said and "May sign" not in said
    assert "Oluwaseun Adeyemi-Brandt" in said
    assert overlaps(tag.draw(held)) == []


def test_a_word_longer_than_the_line_is_broken_without_a_space_in_it() -> None:
    """A shop's long name stands on two lines, and nothing comes between its letters."""
    shop = "Brzęczyszczykiewiczównarski-Lutnictwo"
    said = reading.text(tag.draw(replace(TAG, shop=shop)))

    assert shop in "".join(said.split()) and "zc…" not in said
