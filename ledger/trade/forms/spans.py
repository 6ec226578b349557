"""Codes as a box has room for them: every one of them, in as few words as it takes."""

import re
from collections.abc import Iterator, Sequence

from ledger.scales import in_a_row

_NUMBERED = re.compile(r"(.*?)([0-9]+)")
RUN = 3  # codes that are told by their ends
_MOST = 6  # ends and single codes that a box has room for


def spans(codes: Sequence[str]) -> str:
    """Return all codes, those that follow each other by their ends.

        L26-004-05 to 20, L26-004-22 and L26-011-01

    Source: common practice, no source.
    """
    said: list[str] = []
    for run in runs(codes):
        if len(run) < RUN:
            said += run
        else:
            said.append(f"{run[0]} to {_number(run[-1])[1]}")
    return in_a_row(said) if said else ""


def codes_in_a_box(codes: Sequence[str], shipment: str, what: str = "") -> str:
    """Return what some things are with all their codes, or where those stand.

        fingerboard blank L26-004-05 to 20
        flat-top guitar, see packing list X26-0003

    shipment  the number of its packing list

    Source: common practice, no source.
    """
    taken = sum(1 if len(run) >= RUN else len(run) for run in runs(codes))
    if taken > _MOST:
        return ", ".join(filter(None, (what, f"see packing list {shipment}")))
    return f"{what} {spans(codes)}".strip()


def runs(codes: Sequence[str]) -> Iterator[list[str]]:
    """Yield the codes in their order, those that follow each other together.

    Source: common practice, no source.
    """
    run: list[str] = []
    for code in codes:
        if run and not _follows(run[-1], code):
            yield run
            run = []
        run.append(code)
    if run:
        yield run


def _follows(before: str, after: str) -> bool:
    stem, number = _number(before)
    next_stem, next_number = _number(after)
    return (
        bool(number)
        and (stem, len(number)) == (next_stem, len(next_number))
        and int(next_number) == int(number) + 1
    )


def _number(code: str) -> tuple[str, str]:
    """Return a code without the digits at its end, and those digits."""
    match = _NUMBERED.fullmatch(code)
    return (match[1], match[2]) if match else (code, "")
