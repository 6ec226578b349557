"""Why wood was let through, out of an entry, in the words of a paper's language.

An entry keeps the reasons of a rule as the rule said them, in English. Those of the
house's rules and of a model's parts are known here by their shape; any other stays as
it was entered.
"""

import re
from collections.abc import Sequence
from functools import cache

from labels.terms import in_a_row
from labels.tongue import Tongue, term

# A hole takes what the entry has there: {span} is a number of days, {part} a part,
# {woods} and {others} are names, {words} stands for a shape of its own.
SHAPES = (
    term("{species} rested {rested} of {span}"),
    term("rested {rested} of {span}"),
    term("the last {wanted} weighings differ by {spread}, more than {limit}"),
    term("{missing} of {wanted} steady weighings still to come, {span} apart"),
    term("moisture {read} is {off} above the {emc} that the {room}'s air gives"),
    term("moisture {read} is {off} below the {emc} that the {room}'s air gives"),
    term("moisture {read} is {off} above the {emc} that the {room}'s air gave {words}"),
    term("moisture {read} is {off} below the {emc} that the {room}'s air gave {words}"),
    term("nobody has measured the room's air yet"),
    term("the room's air was last measured on {day}, more than {span} ago"),
    term("the {room} was at {damp} on {day}, outside {least} to {most}"),
    term("the {room} averaged {damp} {words}, outside {least} to {most}"),
    term("it is of {others}, and the {part} is made of {woods}"),
    term("it is {own} long, and the {part} is {least} when it is done"),
    term("it is {own} wide, and the {part} is {least} when it is done"),
    term("it is {own} thick, and the {part} is {least} when it is done"),
)
# Over which days a mean of a room's air is.
SPELLS = (
    term("over {kept} of {span} to {day}"),
    term("over {span} to {day}"),
)
DAYS = re.compile(r"([0-9]+)\sdays?")
HOLE = re.compile(r"\\\{([a-z]+)\\\}")


def reasons_in(reasons: Sequence[str], say: Tongue) -> str:
    """Return the reasons of an entry in a row, as far as the language has them."""
    return say("; ").join(_said(reason, SHAPES, say) for reason in reasons)


def _said(reason: str, shapes: Sequence[str], say: Tongue) -> str:
    """Return a reason by the first shape that fits; in English as it was entered."""
    for shape in shapes:
        found = _pattern(shape).fullmatch(reason)
        if found and say(shape) != shape:
            taken = found.groupdict()
            return say(shape).format(
                **{name: _hole(name, words, say) for name, words in taken.items()}
            )
    return reason


def _hole(name: str, taken: str, say: Tongue) -> str:
    """Return what stands in a hole, in the language where it is no name or number."""
    if name == "words":
        return _said(taken, SPELLS, say)
    if name == "part":
        return say(taken)
    if name == "others":
        return in_a_row(taken.split(" and "), say)
    if name == "woods":
        return say(" or ").join(taken.split(" or "))
    if name == "span" and (days := DAYS.fullmatch(taken)):
        number = int(days[1])
        return say.many(number, "{number} day", "{number} days").format(number=number)
    return taken


@cache
def _pattern(shape: str) -> re.Pattern[str]:
    return re.compile(HOLE.sub(r"(?P<\1>.+?)", re.escape(shape)))
