"""How matches are told: boards, points, why in words, the next best, what is left."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from textwrap import wrap
from typing import Any

from cli import show
from ledger.scales import in_a_row

# As wide as most terminals.
WIDTH = 80
INDENT = 4 * " "
EQUAL_PAIRS = "of equals those whose codes lie nearest together are taken"
EQUAL_UNITS = "of equals the older wood goes to the earlier order"


def pairs_line(pairing: Any, part: str) -> str:
    """Say how many pairs there are."""
    if not pairing.pairs:
        return f"no two of these boards make a {part}."
    return (
        f"{show.counted(len(pairing.pairs), 'pair')} for {part}, the most alike first:"
    )


def pair_lines(pair: Any) -> Iterator[str]:
    """Yield a pair with its points, why in words, and the next best."""
    one, other = pair.boards
    kin, *reasons = pair.reasons
    yield f"{one} with {other}: {_points(pair.likeness.points_milli)}, {kin}"
    yield from in_a_block("; ".join(reasons))
    yield from _instead_lines(pair.runner_up, EQUAL_PAIRS)


def in_a_block(text: str) -> list[str]:
    """Return a long line as several, set in, none of them cut within a code."""
    return wrap(
        text,
        WIDTH,
        initial_indent=INDENT,
        subsequent_indent=INDENT,
        break_long_words=False,
        break_on_hyphens=False,
    )


def pair_data(pair: Any, behind: Mapping[str, Sequence[int]]) -> dict[str, Any]:
    """Return a pair for a program."""
    from ledger.craft.matching_policy import LIMITS

    return {
        "boards": [str(code) for code in pair.boards],
        "points_milli": pair.likeness.points_milli,
        "kin": pair.likeness.kin,
        "differences": [
            {
                "trait": each.trait,
                LIMITS[each.trait].replace("most", "apart"): each.apart,
                "points_milli": each.points_milli,
            }
            for each in pair.likeness.differences
        ],
        "reasons": list(pair.reasons),
        "entries": entries_of(pair.boards, behind),
        "runner_up": _pairs_instead(pair.runner_up),
    }


def beside_lines(found: Any) -> Iterator[str]:
    """Yield which boards are left and why, and what else there is to say."""
    if found.left:
        yield "left:"
    # Many boards are left for the same reason: it is said once for all in a row.
    for reasons, group in groupby(found.left, key=lambda left: left.reasons):
        codes = show.listed([str(left.board) for left in group])
        yield from in_a_block(f"{codes}: {'; '.join(reasons)}")
    for remark in found.remarks:
        yield from wrap(f"note: {remark}", WIDTH, break_on_hyphens=False)
    if found.methods:
        yield f"taps by {' and '.join(found.methods)}"


def entries_of(boards: Iterable[Any], behind: Mapping[str, Sequence[int]]) -> list[int]:
    """Return the entries that what is known of boards rests on."""
    return sorted({entry for code in boards for entry in behind.get(str(code), ())})


def beside_data(found: Any) -> dict[str, Any]:
    """Return what is left and what else there is to say, for a program."""
    return {
        "left": [
            {"board": str(left.board), "reasons": list(left.reasons)}
            for left in found.left
        ],
        "remarks": list(found.remarks),
        "tap_methods": list(found.methods),
    }


def served_lines(found: Any, served: Any) -> Iterator[str]:
    """Yield what a build gets, why in words, and the next best."""
    from ledger.acts.matching import why_of

    codes = " with ".join(map(str, served.boards))
    yield f"{served.order}: {codes}, {_points(served.points_milli)}"
    # What the halves are to each other in numbers, lot match tells; and the entry.
    kin = found.pairs[served.boards].reasons[:1] if served.boards in found.pairs else ()
    reasons = (*kin, *served.reasons) or why_of(found, served)
    yield from in_a_block("; ".join(reasons))
    yield from _instead_lines(served.runner_up, EQUAL_UNITS)
    for orders in found.assignment.alike:
        if orders[0] == served.order:
            alike = f"{in_a_row(list(orders))} wish the same: {EQUAL_UNITS}"
            yield from in_a_block(alike)


def spare_lines(spare: Sequence[Any]) -> Iterator[str]:
    """Yield what would do as well and goes to nobody."""
    if spare:
        noun = "pair" if len(spare[0]) > 1 else "board"
        codes = ", ".join(" with ".join(map(str, unit)) for unit in sorted(spare))
        yield f"{show.counted(len(spare), noun)} more would do:"
        yield from in_a_block(codes)


def recorded_lines(entries: Sequence[Any]) -> Iterator[str]:
    """Yield where a match stands, and that nothing is allotted by it."""
    if entries:
        yield (
            f"recorded by {show.entries(entries)}; nothing is allotted yet: flitchbook "
            f"build allot"
        )


def served_data(
    found: Any, served: Any, behind: Mapping[str, Sequence[int]]
) -> dict[str, Any]:
    """Return what a build gets, for a program."""
    from ledger.acts.matching import why_of

    instead = served.runner_up
    return {
        "serial": served.order,
        "part": served.part,
        "boards": [str(code) for code in served.boards],
        "points_milli": served.points_milli,
        "reasons": list(why_of(found, served)),
        "entries": entries_of(served.boards, behind),
        "runner_up": instead
        and {
            "served": [
                {"serial": order, "boards": [str(code) for code in codes]}
                for order, codes in instead.served
            ],
            "extra_points_milli": instead.extra_milli,
            "words": instead.words,
        },
    }


def _points(milli: int) -> str:
    from ledger.quantities import factor

    return f"{factor(milli, places=1)} points"


def _instead_lines(runner_up: Any, why_of_equals: str) -> Iterator[str]:
    """Yield what would do nearly as well; of what does just as well, why not that."""
    if runner_up is not None:
        tie = "" if runner_up.extra_milli else f": {why_of_equals}"
        yield from in_a_block(f"{runner_up.words}{tie}")


def _pairs_instead(runner_up: Any) -> dict[str, Any] | None:
    if runner_up is None:
        return None
    return {
        "pairs": [[str(code) for code in pair] for pair in runner_up.pairs],
        "left": [str(code) for code in runner_up.left],
        "extra_points_milli": runner_up.extra_milli,
        "words": runner_up.words,
    }
