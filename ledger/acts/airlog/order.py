"""The rows of a log in order of time, on a clock without summer time.

A logger that shows the wall clock goes through one hour twice when summer time ends.
That hour is seen by a step back of just that much, and both of its halves are kept.
"""

from array import array
from itertools import pairwise
from statistics import median

from ledger.acts.airlog.rows import NONE, Rows
from ledger.acts.airlog.times import DAY
from ledger.errors import RefusedError
from ledger.quantities import days

HOUR = 3600
# Summer time ends once a year: of two steps back within this, the second is none.
LEAST_APART = 100 * DAY
SAMPLE = 10_000


def ordered(rows: Rows) -> tuple[Rows, "array[int]", list[str]]:
    """Return the rows in order, their seconds on an even clock, and what was done."""
    notes: list[str] = []
    if _is_newest_first(rows):
        rows = rows.taken(list(range(len(rows) - 1, -1, -1)))
        notes.append("the newest row stands first: read from the end")
    even = _universal(rows) or _without_summer(rows, notes)
    order = sorted(range(len(rows)), key=even.__getitem__)
    late = [n for n in range(1, len(even)) if even[n] < even[n - 1]]
    if late:
        notes.append(
            f"the clock steps back at {_lines(rows, late)}: the rows are put in order "
            f"of time"
        )
    kept = _once(rows, even, order, notes)
    return rows.taken(kept), array("q", (even[n] for n in kept)), notes


def _lines(rows: Rows, which: list[int]) -> str:
    """Return the first line of some, and how many more there are."""
    more = f" and {len(which) - 1} more" if len(which) > 1 else ""
    return f"line {rows.line[which[0]]}{more}"


def _is_newest_first(rows: Rows) -> bool:
    steps = [b - a for a, b in pairwise(rows.wall)]
    return sum(step < 0 for step in steps) > sum(step > 0 for step in steps)


def _universal(rows: Rows) -> "array[int] | None":
    """Return universal time where every row tells it."""
    told = sum(offset != NONE for offset in rows.offset)
    if not told:
        return None
    if told < len(rows):
        raise RefusedError(
            f"{told} of {len(rows)} rows tell how far their clock is from universal "
            f"time, and the others do not: export the log in one of the two ways"
        )
    pairs = zip(rows.wall, rows.offset, strict=True)
    return array("q", (wall - offset for wall, offset in pairs))


def _without_summer(rows: Rows, notes: list[str]) -> "array[int]":
    """Return the wall clock's seconds, an hour on after each end of summer time."""
    even, shift, last = array("q", rows.wall), 0, -LEAST_APART
    usual = _usual_step(rows)
    for n in range(1, len(even)):
        step = rows.wall[n] - rows.wall[n - 1]
        back = abs(step + HOUR - usual) <= usual // 2 and step < 0
        if back and rows.wall[n] - last >= LEAST_APART:
            shift, last = shift + HOUR, rows.wall[n]
            notes.append(
                f"line {rows.line[n]}: the clock was set back an hour, as where summer "
                f"time ends; that hour is there twice, and both are kept"
            )
        even[n] += shift
    return even


def _usual_step(rows: Rows) -> int:
    head = rows.wall[:SAMPLE]
    steps = [b - a for a, b in pairwise(head) if b > a]
    return int(median(steps)) if steps else HOUR


def _once(
    rows: Rows, even: "array[int]", order: list[int], notes: list[str]
) -> list[int]:
    """Return the rows with one for each moment: the first that stands there."""
    kept: list[int] = []
    same: list[int] = []
    other: list[int] = []
    for n in order:
        if not kept or even[n] != even[kept[-1]]:
            kept.append(n)
            continue
        first = kept[-1]
        is_same = (rows.millikelvin[n], rows.humidity_ppm[n]) == (
            rows.millikelvin[first],
            rows.humidity_ppm[first],
        )
        (same if is_same else other).append(n)
    if same:
        notes.append(f"{_lines(rows, same)}: the same reading again, left out")
    if other:
        notes.append(
            f"{_lines(rows, other)}: another reading for the same moment; the first is "
            f"kept"
        )
    return kept


def gap_note(even: "array[int]", rows: Rows, *, longest_step: float) -> list[str]:
    """Say where nobody measured, and for how long in all."""
    gaps = [
        (even[n] - even[n - 1], n)
        for n in range(1, len(even))
        if even[n] - even[n - 1] > longest_step
    ]
    if not gaps:
        return []
    longest, at = max(gaps)
    count = "1 gap" if len(gaps) == 1 else f"{len(gaps)} gaps"
    return [f"{count}, the longest of {_span(longest)} before line {rows.line[at]}"]


def _span(seconds: int) -> str:
    if seconds >= 2 * DAY:
        return days(seconds // DAY)
    return f"{seconds / HOUR:.1f} hours"
