"""Scientific names in running text, which botanists set in italics."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cache

from labels import faces
from labels.page import Page, Style, measure, write
from ledger.trade.law import compiled

ITALICS = {
    faces.TEXT: faces.TEXT_ITALIC,
    faces.TEXT_SEMIBOLD: faces.TEXT_SEMIBOLD_ITALIC,
}
# Names of families stand upright, as do the abbreviations behind a genus.
FAMILIES = ("idae", "aceae")
ABBREVIATED = re.compile(r" s(?:p|ubsp|ect)p?\.?$")

Runs = list[tuple[str, bool]]


def runs_of(lines: Sequence[str], names: Iterable[str] = ()) -> list[Runs]:
    """Return lines of one text cut where a scientific name begins or ends.

    Each piece says whether it is a name. A name may run on from line to line; `names`
    are those that the tables do not have.

    Source: common practice, no source.
    """
    text = " ".join(lines)
    spans = [match.span() for match in _pattern(frozenset(names)).finditer(text)]
    found, start = [], 0
    for line in lines:
        found.append(_cut(line, [(a - start, b - start) for a, b in spans]))
        start += len(line) + 1
    return found


def write_named(
    page: Page,
    at: tuple[float, float],
    runs: Runs,
    style: Style,
    *,
    within: float | None = None,
) -> None:
    """Set one line with its names in italics; what is too wide is narrowed evenly."""
    italic = replace(style, face=ITALICS.get(style.face, style.face))
    set_in = [(words, italic if is_name else style) for words, is_name in runs]
    natural = sum(measure(words, face) for words, face in set_in)
    share = 1.0 if within is None or not natural else min(1.0, within / natural)
    x, y = at
    for words, face in set_in:
        room = measure(words, face) * share + 1e-6
        x += write(page, (x, y), words, face, within=room)


def write_named_lines(
    page: Page,
    at: tuple[float, float],
    lines: Sequence[str],
    style: Style,
    leading: float,
    *,
    names: Iterable[str] = (),
) -> None:
    """Set lines of one text one under another, with its names in italics."""
    x, y = at
    for runs in runs_of(lines, names):
        write_named(page, (x, y), runs, style)
        y += leading


def _cut(line: str, spans: Iterable[tuple[int, int]]) -> Runs:
    """Cut a line at spans in it; those of other lines lie outside."""
    pieces: Runs = []
    at = 0
    for start, end in spans:
        first, last = max(0, start), min(len(line), end)
        if first < last:
            pieces += [(line[at:first], False), (line[first:last], True)]
            at = last
    pieces.append((line[at:], False))
    return [(words, is_name) for words, is_name in pieces if words]


@cache
def _pattern(names: frozenset[str]) -> re.Pattern[str]:
    """Return what finds a name of the tables, alone or as the genus of one."""
    known = {ABBREVIATED.sub("", name) for name in _of_tables()}
    known |= {name.partition(" ")[0] for name in known}
    # Of what somebody typed the first word may as well be none of a genus.
    whole = {name for name in known | names if name and not name.endswith(FAMILIES)}
    longest = sorted(whole, key=lambda name: (-len(name), name))
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, longest))})\b")


@cache
def _of_tables() -> frozenset[str]:
    """Return the names of the tables, synonyms too, as they are written."""
    return frozenset(name.name for name in compiled().names.values())
