"""Tests of the inside of a build tag."""

from dataclasses import replace

import pytest

from labels import picture, tag
from labels.tag import BuildTag, NextStep, Signed, TagStep
from labels.tag_inside import sheets
from ledger.errors import RefusedError
from tests.labels import reading
from tests.labels.samples import STEPS, TAG


def inside(shown: BuildTag = TAG, page: int = 1) -> str:
    """Return the text of the inside, all spaces alike."""
    return " ".join(reading.text(tag.draw(shown), page=page).split())


def test_every_step_is_named_with_who_signed_it() -> None:
    """Number, name, and for a signed step the day and the badge."""
    said = inside()

    for step in STEPS:
        assert f"{step.number} {step.name}" in said
    assert "1 Top joined 08-01 08" in said
    assert "6 Sides bent crack repaired, see 63 402 08-06 04" in said
    assert "Signed 23 of 42" in said


def test_a_gate_is_said_in_a_word() -> None:
    """No step is a gate by the weight of its letters alone."""
    said = inside()

    assert "10 Voice gate" in said
    # One more in the line at the foot that tells what a gate is.
    assert said.count(" gate") == sum(step.is_gate for step in STEPS) + 1


def test_without_a_gate_none_is_explained() -> None:
    """Nothing is said of what is not there."""
    steps = tuple(step._replace(is_gate=False) for step in STEPS)

    assert "gate" not in inside(replace(TAG, steps=steps))


def test_the_next_step_is_named_so_and_only_that() -> None:
    """The word stands once, and not at all when all is signed."""
    assert inside().count("next") == 1
    assert "24 Frets pressed next" in inside()
    assert "next" not in inside(replace(TAG, next_step=None))


def test_an_open_step_leaves_a_box_and_a_signed_one_none() -> None:
    """The box is ruled where ink is awaited; signed, the signature stands there."""
    one = (TagStep(1, "Top joined"),)
    signed = (TagStep(1, "Top joined", signed=Signed("08-01", "")),)
    images = [
        picture.one_bit(tag.draw(replace(TAG, steps=steps)), page=1, dpi=600)
        for steps in (one, signed)
    ]
    # The right edge of the box, x = 99 mm, in the middle of the first row.
    dots = range(round(98.7 / 25.4 * 600), round(99.3 / 25.4 * 600))
    level = round(18.6 / 25.4 * 600)
    found = [any(image.getpixel((x, level)) == 0 for x in dots) for image in images]

    assert found == [True, False]


def test_a_hold_shows_at_the_step_that_is_held() -> None:
    """The square of the next step is notched on hold and hollow otherwise."""
    one = replace(TAG, steps=(TagStep(1, "Top joined"),), next_step=NextStep(1, "Top"))
    held = replace(one, state="HOLD", edge="sawn")
    middles = [
        picture.one_bit(tag.draw(shown), page=1, dpi=254).getpixel((79, 186))
        for shown in (one, held)
    ]

    assert middles == [255, 0]


def test_forty_eight_steps_share_one_inside() -> None:
    """The 49th begins another sheet; a build without steps still has an inside."""
    many = tuple(TagStep(n, "step") for n in range(1, 98))

    assert [len(share) for share in sheets(many)] == [48, 48, 1]
    assert [len(share) for share in sheets(many[:48])] == [48]
    assert sheets(()) == [()]


def test_a_long_name_and_a_long_remark_take_two_small_lines() -> None:
    """What is too long for one line is not cut."""
    step = TagStep(
        1, "Marriage of body and neck at the heel", True, "crack repaired, see 63 402"
    )
    said = inside(replace(TAG, steps=(step,)))

    assert "Marriage of body and neck at the heel" in said
    assert "gate, crack repaired, see 63 402" in said


@pytest.mark.parametrize(
    ("field", "step"),
    [
        ("remark of step 7", TagStep(7, "Top joined", False, "repaired " * 20)),
        ("signature of step 7", TagStep(7, "Top", signed=Signed("08-01", "0" * 40))),
        ("signature of step 7", TagStep(7, "Top", signed=Signed("08-01" * 9, "03"))),
        ("step number", TagStep(10**9, "Top joined")),
    ],
)
def test_what_does_not_fit_is_refused_by_name(field: str, step: TagStep) -> None:
    """The refusal says which step and what of it to look at."""
    with pytest.raises(RefusedError, match=f"^{field} does not fit the paper"):
        tag.draw(replace(TAG, steps=(step,)))


@pytest.mark.parametrize("is_gate", [True, False])
def test_an_endless_name_of_a_step_is_shortened(is_gate: bool) -> None:
    """A gate is said all the same."""
    said = inside(replace(TAG, steps=(TagStep(7, "Top joined " * 9, is_gate),)))

    assert "…" in said
    assert ("gate" in said) == is_gate


def test_where_no_box_is_empty_none_is_explained() -> None:
    """A finished route says nothing of ink."""
    signed = tuple(step._replace(signed=Signed("08-01", "03")) for step in STEPS)

    assert "Empty box: date and initials" in inside()
    assert "Empty box" not in inside(replace(TAG, steps=signed))
