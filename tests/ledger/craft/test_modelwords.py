"""The text of a model: whatever a model says, its text says, and reads back."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.craft.measured import UNITS
from ledger.craft.modeltext import (
    GATES,
    MeasureDraft,
    ModelDraft,
    PartDraft,
    StepDraft,
    read_model,
)
from ledger.craft.modelwords import band_words, sizes_words, write_model

NAMES = st.text(
    st.characters(
        codec="utf-8",
        categories=("L", "N", "P", "S", "Zs"),
        include_characters='"\\\x7f\t琴',
    ),
    min_size=1,
    max_size=12,
).map(lambda text: f"a{text}z")
SIZES = st.tuples(*[st.none() | st.integers(1, 10**7)] * 3)
VALUES = st.integers(0, 500_000)
# Rough and finished sizes: no side is longer once it is worked.
SIZES_WORKED = st.tuples(st.none() | SIZES, st.none() | SIZES).map(
    lambda pair: (pair[0], _worked(*pair))
)


def _worked(
    rough: tuple[int | None, ...] | None, finished: tuple[int | None, ...] | None
) -> tuple[int | None, ...] | None:
    """Return finished sizes, none of them above its rough one."""
    if rough is None or finished is None:
        return finished
    return tuple(
        size if least is None or size is None else min(size, least)
        for least, size in zip(rough, finished, strict=True)
    )


@st.composite
def measures(draw: Any, what: str) -> MeasureDraft:
    """Draw a measure with some of an aim and a band, in order."""
    low, aim, high = sorted(draw(st.tuples(VALUES, VALUES, VALUES)))
    told = draw(st.tuples(st.booleans(), st.booleans(), st.booleans()))
    return MeasureDraft(
        what=what,
        unit=draw(st.sampled_from(UNITS)),
        least=low if told[0] else None,
        target=aim if told[1] else None,
        most=high if told[2] else None,
    )


@st.composite
def models(draw: Any) -> ModelDraft:
    """Draw a model: each step comes after the one before it, and uses up a part."""
    from unicodedata import normalize

    unique = st.lists(NAMES, unique_by=lambda t: normalize("NFC", t), min_size=1)
    names = [normalize("NFC", n) for n in draw(unique.filter(lambda n: len(n) < 6))]
    parts = [
        PartDraft(
            part=name,
            species=draw(st.none() | st.just(("Picea", "Acer saccharum"))),
            pieces=draw(st.none() | st.integers(1, 50)),
            rough=rough,
            finished=finished,
            is_optional=draw(st.booleans()),
        )
        for name in names
        for rough, finished in [draw(SIZES_WORKED)]
    ]
    steps = [
        StepDraft(
            step=name,
            qualification="plates",
            after=tuple(names[n - 1 : n]) if n else (),
            ways=draw(st.sampled_from([(), ("by hand", "by machine")])),
            uses_up=(name,),
            measured=tuple(draw(measures(w)) for w in names[: draw(st.integers(0, 2))]),
            materials=draw(st.sampled_from([(), ("glue",)])),
            gate=draw(st.none() | st.sampled_from(GATES)),
            rest_days=draw(st.none() | st.integers(1, 400)),
            is_photographed=draw(st.booleans()),
            marries=draw(st.booleans()),
        )
        for n, name in enumerate(names)
    ]
    return ModelDraft(
        instrument=names[0],
        family=draw(st.none() | st.just("arch-top")),
        parts=tuple(parts),
        steps=tuple(steps),
    )


@given(models())
def test_a_text_reads_back_as_its_model(draft: ModelDraft) -> None:
    """Whatever its names are, in whatever units it measures."""
    assert read_model(write_model(draft).encode()) == draft


@pytest.mark.parametrize(
    ("sizes", "words"),
    [
        ((559_000, 203_000, 4_200), "559 x 203 x 4.2 mm"),
        ((None, 57_000, 20_000), "? x 57 x 20 mm"),
        ((508_000, 198_500, None), "508 x 198.5 x ? mm"),
        ((12_000_000, None, None), "12 000 x ? x ? mm"),
    ],
)
def test_sizes_are_length_width_and_thickness(sizes: Any, words: str) -> None:
    """What is open is a question mark."""
    assert sizes_words(sizes) == words


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({}, "recorded only, mm"),
        ({"target": 300}, "aim 0.3 mm"),
        ({"most": 50}, "at most 0.05 mm"),
        ({"least": 50}, "at least 0.05 mm"),
        ({"least": 0, "most": 300}, "from 0 mm to 0.3 mm"),
        (
            {"least": 1_600, "target": 1_800, "most": 2_000},
            "aim 1.8 mm, from 1.6 mm to 2 mm",
        ),
    ],
)
def test_a_band_is_told_in_words(told: dict[str, int], words: str) -> None:
    """Or that the measure is recorded only."""
    measure = MeasureDraft(what="relief", unit="length_um", **told)

    assert band_words(measure).replace("\u2009", " ") == words
