"""The text of a model written, so that it reads back as the same model."""

import json
from collections.abc import Iterator, Sequence

from ledger.craft.measured import UNIT_WORDS, measure_words, typed
from ledger.craft.modeltext import (
    OPEN_SIZE,
    MeasureDraft,
    ModelDraft,
    PartDraft,
    Sizes,
    StepDraft,
)
from ledger.quantities import days, millimetres

INDENT = "    "


def write_model(draft: ModelDraft) -> str:
    """Return the text of a model; `read_model` returns the model of the text.

    Source: TOML 1.0.0; the words of the tables are the shop's own.
    """
    lines = ["[model]", f"instrument = {_quoted(draft.instrument)}"]
    if draft.family is not None:
        lines.append(f"family = {_quoted(draft.family)}")
    for part in draft.parts:
        lines += ["", "[[part]]", *_part(part)]
    for step in draft.steps:
        lines += ["", "[[step]]", *_step(step)]
        for measure in step.measured:
            told = _measure(measure)
            lines += ["", *(f"{INDENT}{t}" for t in ("[[step.measure]]", *told))]
    return "\n".join(lines) + "\n"


def sizes_words(sizes: Sizes) -> str:
    """Return length, width and thickness of a part, such as 559 x 203 x 4.2 mm.

    Source: common practice, no source.
    """
    told = [OPEN_SIZE if um is None else typed(millimetres(um)) for um in sizes]
    return f"{' x '.join(side.removesuffix(' mm') for side in told)} mm"


def band_words(measure: MeasureDraft) -> str:
    """Return what a measure should be: its aim and its band, or recorded only.

    Source: the model's own words.
    """

    def said(value: int) -> str:
        return measure_words(measure.unit, value)

    told = [] if measure.target is None else [f"aim {said(measure.target)}"]
    if measure.least is not None and measure.most is not None:
        told.append(f"from {said(measure.least)} to {said(measure.most)}")
    elif measure.least is not None:
        told.append(f"at least {said(measure.least)}")
    elif measure.most is not None:
        told.append(f"at most {said(measure.most)}")
    return ", ".join(told) or f"recorded only, {UNIT_WORDS[measure.unit]}"


def _part(part: PartDraft) -> Iterator[str]:
    yield f"name = {_quoted(part.part)}"
    if part.species:
        yield f"species = {_listed(part.species)}"
    if part.pieces is not None:
        yield f"pieces = {part.pieces}"
    if part.rough is not None:
        yield f'rough = "{sizes_words(part.rough)}"'
    if part.finished is not None:
        yield f'finished = "{sizes_words(part.finished)}"'
    if part.is_optional:
        yield "optional = true"


def _step(step: StepDraft) -> Iterator[str]:
    yield f"name = {_quoted(step.step)}"
    yield f"needs = {_quoted(step.qualification)}"
    for key in ("after", "ways", "uses_up", "materials"):
        names = getattr(step, key)
        if names:
            yield f"{key} = {_listed(names)}"
    if step.gate is not None:
        yield f"gate = {_quoted(step.gate)}"
    if step.rest_days is not None:
        yield f'rest = "{typed(days(step.rest_days))}"'
    if step.is_photographed:
        yield "photograph = true"
    if step.marries:
        yield "marries = true"


def _measure(measure: MeasureDraft) -> Iterator[str]:
    yield f"what = {_quoted(measure.what)}"
    told = {key: getattr(measure, key) for key in ("target", "least", "most")}
    for key, value in told.items():
        if value is not None:
            yield f'{key} = "{typed(measure_words(measure.unit, value))}"'
    if all(value is None for value in told.values()):
        yield f'unit = "{UNIT_WORDS[measure.unit]}"'


def _listed(names: Sequence[str]) -> str:
    return f"[{', '.join(map(_quoted, names))}]"


def _quoted(text: str) -> str:
    """Return a TOML basic string; it escapes as JSON does, and DEL besides."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
