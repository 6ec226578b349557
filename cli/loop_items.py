"""What follows a signature in one line: top=190 g, relief=0.18 mm."""

import re
from collections.abc import Iterable

GAP = re.compile(r"[\s,;]*")


def items(text: str, names: Iterable[str]) -> list[str]:
    """Return the items of a line, each a name and a value, as they were typed.

    A comma inside a number ends no item, and none inside a name of the step's own:
    room humidity, top joined=45 %RH.
    """
    known = "|".join(map(re.escape, sorted(names, key=len, reverse=True)))
    # Spaces belong to one side only: else many of them are tried in every way.
    name = rf"(?:\s*(?:{known})\s*|[^=,;]*)="
    item = re.compile(
        rf"(?:{name}.*?|.+?)(?=\s*[,;]{name}|[\s,;]*$)", re.IGNORECASE | re.DOTALL
    )
    found, place = [], _after_gap(text, 0)
    while place < len(text):
        match = item.match(text, place)
        end = match.end() if match else len(text)
        found.append(text[place:end].strip())
        place = _after_gap(text, end)
    return found


def _after_gap(text: str, place: int) -> int:
    gap = GAP.match(text, place)
    return gap.end() if gap else place
