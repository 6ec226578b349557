"""A plate is told from what is none by its name, and when it was closed in."""

import pytest

from ledger.acts import models
from ledger.acts.builds import find_build
from ledger.acts.plates import closed_notes, is_plate, require_plate
from ledger.craft.families import family_text
from ledger.craft.modeltext import FAMILIES, read_model
from ledger.events import StepSigned
from ledger.events.route import PlannedPart
from tests.skerrymoor import STEPS, Loft


def test_of_the_shipped_models_only_the_wide_faces_are_plates() -> None:
    """Each part of theirs is known to be one or none."""
    parts = {
        part.part
        for family in FAMILIES
        for part in read_model(family_text(family)).parts
    }

    assert {part for part in parts if is_plate(part)} == {"top", "back", "cap"}
    assert all(is_plate(part) is not None for part in parts)


@pytest.mark.parametrize(
    ("part", "expected"),
    [
        ("Soundboard", True),
        ("walnut cap", True),
        ("back plate", True),
        ("top (two halves)", True),
        ("back and sides", True),
        ("top brace", False),
        ("back strip", False),
        ("bridge plate", False),
        ("binding", False),
        ("sides", False),
        ("Decke", None),
        ("表板", None),
    ],
)
def test_the_last_word_that_says_anything_counts(
    part: str, expected: bool | None
) -> None:
    """A shop's own word, or one of another language, says nothing."""
    assert is_plate(part) is expected


def test_a_word_nobody_knows_is_asked_about(loft: Loft) -> None:
    """It may be a plate all the same."""
    loft.supplier()
    lot = loft.receive()
    loft.number(lot)
    models.define_model(
        loft.shop,
        name="Ebbmark",
        instrument="flat-top guitar",
        parts=[PlannedPart(part="Decke")],
        steps=STEPS[:1],
        hands=loft.hands(),
    )
    serial = loft.begin("Ebbmark")
    loft.allot(serial, "Decke", f"{lot}-01")
    with loft.shop.store.reading() as session:
        build = find_build(session, serial)
        notes = require_plate(session, build, "Decke", is_late=False)

    assert notes == (
        "whether 'Decke' is a plate nobody knows here: see that it is one",
    )


def test_a_closed_box_is_told_from_the_moment_on(loft: Loft) -> None:
    """By the step that closed it, and not of a day before."""
    loft.model()
    serial = loft.begin()
    step = StepSigned(serial=serial, step="close the box", meaning="did")
    entry = loft.say(step, "03")
    with loft.shop.store.reading() as session:
        build = find_build(session, serial)
        after = list(closed_notes(session, build, None))
        late = list(closed_notes(session, build, "2026-03-01T00:00:00Z"))
        before = list(closed_notes(session, build, "2026-01-01T00:00:00Z"))

    assert len(after) == len(late) == 1 and before == []
    assert late[0].endswith("and that 2026-03-01T00:00:00Z is right")
    assert after[0].endswith("give --happened-at if it was gauged before")
    assert after[0].startswith(f"the box of {serial} was closed by entry {entry.index}")
