"""What a lead lets pass of a step: by name in words, or a measure as it was read.

A concession holds for the value that was let pass, and for what is nearer to the band;
whatever is worse needs one of its own. It ends when the step is to be done again.
"""

from collections.abc import Iterable, Sequence

from sqlmodel import Session

from ledger.craft.measured import measure_words
from ledger.errors import RefusedError
from ledger.events.build import Measure
from ledger.events.route import Characteristic, PlannedStep, Quantity, unit_of
from ledger.scales import in_a_row
from ledger.views.allotting import done_anew_since
from ledger.views.orders import Concession, concessions_of


def conceded(session: Session, serial: str, step: str) -> list[Concession]:
    """Return what of a step was let pass, since it was last to be done again."""
    given = [row for row in concessions_of(session, serial) if row.step == step]
    since = done_anew_since(session, serial, step) if given else -1
    return [row for row in given if row.idx > since]


def passes(given: Iterable[Concession], asked: Characteristic, value: int) -> bool:
    """Tell whether a value lies in its band, or no farther out than was let pass."""
    let = [
        int(row.value or 0)
        for row in given
        if (row.what, row.unit) == (asked.what, asked.unit)
    ]
    least, most = (amount(limit, asked.unit) for limit in (asked.least, asked.most))
    is_low = least is not None and value < min([least, *let])
    is_high = most is not None and value > max([most, *let])
    return not (is_low or is_high)


def amount(limit: Quantity | None, unit: str) -> int | None:
    """Return a limit in its unit, or None where none is set."""
    return None if limit is None else getattr(limit, unit)


def name_of(step: PlannedStep, serial: str, what: str, measure: Measure | None) -> str:
    """Return the name of what is let pass, as the step has it if it measures that.

    Raises RefusedError for a measure that the step does not take, and for one word
    that names none; what was never measured is said in several words.
    """
    found = [
        each for each in step.measured or () if each.what.casefold() == what.casefold()
    ]
    if found:
        if measure is not None:
            _require_unit(found[0], serial, measure)
        return found[0].what
    if measure is None and " " in what:
        return what
    names = [each.what for each in step.measured or ()]
    raise RefusedError(
        f"{step.step} of {serial} measures no {what!r}: of its measures "
        f"{in_a_row(names) if names else 'none'} can be let pass, and whatever else is "
        f"said in several words, such as 'a filled dent', without --measured"
    )


def require_news(
    given: Sequence[Concession], serial: str, what: str, measure: Measure | None
) -> None:
    """Refuse to let pass what passes already; a worse reading is news."""
    unit, value = _read(measure)
    for row in given:
        if row.what != what or (row.value is None and value is not None):
            continue
        if value is None or (row.unit, row.value) == (unit, value):
            raise RefusedError(
                f"{what} of {row.step} on {serial} was let pass by entry {row.idx} "
                f"already: nothing more was recorded"
            )


def _read(measure: Measure | None) -> tuple[str | None, int | None]:
    if measure is None:
        return None, None
    unit = unit_of(measure)
    return unit, getattr(measure, unit)


def _require_unit(asked: Characteristic, serial: str, measure: Measure) -> None:
    unit = unit_of(measure)
    if unit != asked.unit:
        words = measure_words(unit, getattr(measure, unit))
        raise RefusedError(
            f"the {asked.what} of {serial} is given as {words}, which is in another "
            f"unit than it is measured in: read it again"
        )
