"""flitchbook lot ready: which boards of the rack are ready, or will be soon."""

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads

SpeciesOption = Annotated[
    str | None, typer.Option(help="Only this wood: a genus or a scientific name.")
]
ForOption = Annotated[
    str | None, typer.Option("--for", help="Only what is meant for this, such as top.")
]
GradeOption = Annotated[str | None, typer.Option(help="Only this grade of the house.")]
WithinOption = Annotated[
    int, typer.Option(help="Tell what can be ready within so many days too.", min=0)
]
# Numbers, and the days of a calendar, in a reason.
NUMBER = re.compile(r"[0-9]+(?:[.][0-9]+)?")


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the lot."""
    reads(app)(ready)


def ready(
    desk: Desk,
    species: SpeciesOption = None,
    meant_for: ForOption = None,
    grade: GradeOption = None,
    within: WithinOption = 7,
) -> None:
    """Tell which boards of the rack are ready, or will be soon, kind by kind."""
    from ledger.acts.stock import is_due, stock
    from ledger.views.behind import entries_behind

    today = desk.shop.today()
    with desk.shop.store.reading() as session:
        found = stock(
            session, today=today, species=species, meant_for=meant_for, grade=grade
        )
        codes = [code for each in found for code in each.boards]
        behind = entries_behind(session, codes) if desk.json else {}
    now = [each for each in found if each.verdict]
    soon: list[Any] = []
    later: list[Any] = []
    for each in found:
        if not each.verdict:
            is_soon = is_due(each, today=today, within_days=within)
            (soon if is_soon else later).append(each)
    show.answer(
        desk,
        _stock_lines(now, soon, later, within),
        ready=[_stock_data(each, behind) for each in now],
        soon=[_stock_data(each, behind) for each in soon],
        later=[_stock_data(each, behind) for each in later],
        within_days=within,
    )


def _stock_lines(
    now: Sequence[Any], soon: Sequence[Any], later: Sequence[Any], within: int
) -> Iterator[str]:
    """Yield what is ready by kind, what can be soon by day, and how much more waits."""
    from ledger.quantities import days

    if not (now or soon or later):
        yield "no such wood lies in the rack."
        return
    yield f"ready now: {len(now) or 'nothing'}"
    yield from _kinds(now)
    if soon:
        yield f"within {days(within)}, if mass and air allow it: {len(soon)}"
    for day, group in groupby(
        sorted(soon, key=_by_day), key=lambda each: each.verdict.earliest
    ):
        alike = list(group)
        yield f"  earliest {day}"
        yield from (f"  {line}" for line in _kinds(alike))
        reasons = [(each.code, each.verdict.reasons) for each in alike]
        yield from (f"      {line}" for line in reason_lines(reasons, len(alike)))
    if later:
        first = min(each.verdict.earliest for each in later)
        yield f"later: {len(later)}, the first of them {first} at the earliest"


def _by_day(found: Any) -> tuple[Any, ...]:
    return found.verdict.earliest, found.kind, found.code


def _kinds(found: Sequence[Any]) -> Iterator[str]:
    """Yield wood of one kind in a line."""
    for kind, group in groupby(found, key=lambda each: each.kind):
        codes = [each.code for each in group]
        yield f"  {_kind_words(kind)}: {codes_in_short(codes)}"


def _kind_words(kind: tuple[Any, ...]) -> str:
    species, meant_for, size, grade = kind
    told = " × ".join("?" if not um else f"{um / 1000:g}" for um in size)
    graded = grade or "not graded"
    return f"{species}, {meant_for}, {told} mm, {graded}"


def _stock_data(found: Any, behind: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "code": found.code,
        "boards": list(found.boards),
        "species": found.species,
        "meant_for": found.meant_for,
        "length_um": found.length_um,
        "width_um": found.width_um,
        "thickness_um": found.thickness_um,
        "grade": found.grade,
        "place": found.place,
        "reasons": list(found.verdict.reasons),
        "earliest": found.verdict.earliest,
        "preferred": found.verdict.preferred,
        "entries": _behind(found, behind),
    }


def _behind(found: Any, behind: Mapping[str, Any]) -> list[int]:
    """Return the entries that what is known of a set rests on."""
    return sorted({entry for code in found.boards for entry in behind.get(code, ())})


def reason_lines(
    told: Sequence[tuple[str, Sequence[str]]], total: int
) -> Iterator[str]:
    """Yield each reason once, with those it holds for; of like ones the worst.

    Reasons are alike that differ in their numbers only.
    """
    alike: dict[str, list[tuple[list[float], str, str]]] = {}
    for code, reasons in told:
        for reason in reasons:
            numbers = [float(number) for number in NUMBER.findall(reason)]
            kind = NUMBER.sub("#", reason)
            alike.setdefault(kind, []).append((numbers, code, reason))
    for rows in alike.values():
        _, worst, reason = max(rows)
        # The two halves of a set may each have the reason.
        codes = list(dict.fromkeys(code for _, code, _ in rows))
        who = f"all {total}" if len(codes) == total > 1 else codes_in_short(codes)
        if len(codes) > 1 and len({text for _, _, text in rows}) > 1:
            who = f"{who}, such as {worst}"
        yield f"{who}: {reason}"


def codes_in_short(codes: Sequence[str]) -> str:
    """Return codes in short, lot by lot: L26-001-03 to 13, 15; pieces by their code."""
    from ledger.ids import BoardId

    parsed = sorted((BoardId.parse(code) for code in codes), key=str)
    whole = [each for each in parsed if not (each.half or each.child)]
    told = [
        f"{lot}-{_runs([each.number for each in group])}"
        for lot, group in groupby(whole, key=lambda each: str(each.lot))
    ]
    rest = [str(each) for each in parsed if each.half or each.child]
    return "; ".join([*told, *([show.listed(rest)] if rest else [])])


def _runs(numbers: Sequence[int]) -> str:
    """Return numbers in short: 03 to 13, 15, 17."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{run[0]:02d}" if len(run) == 1 else f"{run[0]:02d} to {run[-1]:02d}"
        for run in runs
    )
