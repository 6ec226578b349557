"""How a model reads on a terminal: parts, road, and how many there is wood for."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from typing import Any

from cli import show
from ledger.scales import in_a_row


def listed(model: dict[str, Any]) -> str:
    """Return one model of a list in a line."""
    return (
        f"{model['model']}, version {model['version']}: {model['instrument']}, "
        f"{show.counted(model['parts'], 'part')}, "
        f"{show.counted(model['steps'], 'step')}, entry {model['entry']}"
    )


def part_lines(draft: Any) -> Iterator[str]:
    """Yield the parts list of a model."""
    from ledger.craft.modelwords import sizes_words

    yield show.counted(len(draft.parts), "part")
    wide = max(len(part.part) for part in draft.parts)
    for part in draft.parts:
        told = [" or ".join(part.species) if part.species else "any wood"]
        told += [f"{part.pieces} pieces"] if part.pieces else []
        told += [f"rough {sizes_words(part.rough)}"] if part.rough else []
        told += [f"finished {sizes_words(part.finished)}"] if part.finished else []
        told += ["may be left out"] if part.is_optional else []
        yield f"  {part.part:<{wide}}  {', '.join(told)}"


def step_lines(draft: Any) -> Iterator[str]:
    """Yield the road of a model: number, name, whose it is, what comes before."""
    from ledger.craft.modelwords import band_words

    yield show.counted(len(draft.steps), "step")
    numbers = {step.step: number for number, step in enumerate(draft.steps, 1)}
    wide = max(len(step.step) for step in draft.steps)
    needs = max(len(step.qualification) for step in draft.steps)
    for step in draft.steps:
        asked = "; ".join(_asked(step, [str(numbers[other]) for other in step.after]))
        yield (
            f"  {numbers[step.step]:>2} {step.step:<{wide}}  "
            f"{step.qualification:<{needs}}  {asked}"
        ).rstrip()
        for measure in step.measured:
            yield f"{'':<{wide + 7}}{measure.what}: {band_words(measure)}"


def _asked(step: Any, after: list[str]) -> Iterator[str]:
    from ledger.quantities import days

    if after:
        yield f"after {in_a_row(after)}"
    if step.ways:
        yield " or ".join(step.ways)
    if step.uses_up:
        yield f"uses up {in_a_row(step.uses_up)}"
    if step.materials:
        yield f"names its {in_a_row(step.materials)}"
    if step.is_photographed:
        yield "photographed"
    if step.marries:
        yield "body and neck of one number"
    if step.gate:
        yield f"must be {step.gate}"
    if step.rest_days:
        yield f"then rests {days(step.rest_days)}"


def makes_lines(found: Any, species: str | None) -> Iterator[str]:
    """Yield how many instruments there is wood for, part by part."""
    of_it = f" as far as {species} goes" if species else ""
    yield (
        f"{found.model}, version {found.version}: wood for {found.ready} ready today, "
        f"for {found.all} with what still waits{of_it}"
    )
    wide = max(len(part.part) for part in found.parts)
    for part in found.parts:
        told = f"  {part.part:<{wide}}  {len(part.ready)} ready, "
        told += f"{len(part.waiting)} waiting"
        told += f", {len(part.unmeasured)} not measured" if part.unmeasured else ""
        yield told + (", may be left out" if part.is_optional else "")
    yield f"scarcest: {in_a_row(found.scarcest)}"
    if found.lasts_days is None:
        yield "nobody began one in the last 365 days, so there is no pace to go by"
    else:
        yield (
            f"at the pace of the last 365 days, {found.begun} begun, all of it lasts "
            f"about {found.lasts_days} days"
        )
    yield from (f"not counted: {text}" for text in found.not_counted)
    yield (
        "not known: how many parts one billet gives; each board or set counts for one"
    )


def makes_data(found: Any, behind: Mapping[str, Sequence[int]]) -> dict[str, Any]:
    """Return the same for a program, with the entries behind the boards of a part."""
    return {
        "model": found.model,
        "version": found.version,
        "ready": found.ready,
        "with_waiting": found.all,
        "scarcest": list(found.scarcest),
        "begun_last_365_days": found.begun,
        "lasts_days": found.lasts_days,
        "not_counted": list(found.not_counted),
        "parts": [
            asdict(part) | {"entries": _entries(part, behind)} for part in found.parts
        ],
    }


def _entries(part: Any, behind: Mapping[str, Sequence[int]]) -> list[int]:
    return sorted({entry for code in part.boards for entry in behind.get(code, ())})
