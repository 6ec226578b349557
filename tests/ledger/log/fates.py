"""What becomes of keys, in a model that knows nothing of logs, and steps to try it."""

from dataclasses import dataclass, field

from hypothesis import strategies as st

from tests.ledger.log.workshop import (
    Workshop,
    affirmed,
    enrolled,
    plain,
    replaced,
    reported,
    retired,
)


@dataclass
class Fate:
    """What became of one key, in a model that knows nothing of logs."""

    since: int
    until: int | None = None
    disputed: int | None = None
    affirmed: set[int] = field(default_factory=set)

    def lives(self, index: int) -> bool:
        """Tell whether it counts."""
        return self.since <= index <= (10**9 if self.until is None else self.until)


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["enrol", "replace", "report", "affirm", "retire", "say"]),
        st.integers(0, 2),
        st.integers(0, 24),
    ),
    max_size=24,
)


def is_given(fates: dict[str, Fate], verb: str, who: int, index: int) -> bool:
    """Give a person a first key, or a later one that ends the one before."""
    mine = [fate for name, fate in fates.items() if name.startswith(f"{who}/")]
    if (verb == "enrol") is bool(mine):
        return False
    for fate in mine:
        if fate.lives(index):
            fate.until = index
    fates[f"{who}/{len(mine)}"] = Fate(since=index + 1)
    return True


def is_retired(fate: Fate, index: int, _number: int) -> bool:
    """End a key that lives."""
    if not fate.lives(index):
        return False
    fate.until = index
    return True


def is_reported(fate: Fate, index: int, number: int) -> bool:
    """Put a key in dispute, since it began or later, and only ever earlier."""
    last = index if fate.until is None else fate.until
    most = last if fate.disputed is None else fate.disputed - 1
    if not fate.since <= number <= most:
        return False
    fate.disputed, fate.until = number, last
    return True


def is_affirmed(fate: Fate, index: int, number: int) -> bool:
    """Stand by one entry that was said in dispute, once."""
    is_open = fate.disputed is not None and number >= fate.disputed
    if not (is_open and fate.lives(number)) or number >= index:
        return False
    if number in fate.affirmed:
        return False
    fate.affirmed.add(number)
    return True


ENDINGS = {"retire": is_retired, "report": is_reported, "affirm": is_affirmed}


def tried(shop: Workshop, fates: dict[str, Fate], step: tuple[str, int, int]) -> bool:
    """Tell whether the model lets a step be, and change the model if so."""
    verb, who, number = step
    index = len(shop.records)
    if verb in ("enrol", "replace"):
        return is_given(fates, verb, who, index)
    named = fates.get(f"{who}/{number % 3}")
    return verb == "say" or (named is not None and ENDINGS[verb](named, index, number))


def said(shop: Workshop, step: tuple[str, int, int], count: int) -> dict[str, object]:
    """Return the event of a step; `count` is how many keys the person had."""
    verb, who, number = step
    if verb == "enrol":
        return enrolled(f"person {who}", f"{who}/{count}")
    if verb == "replace":
        return replaced(f"person {who}", f"{who}/{count}")
    if verb == "say":
        return plain("lot.seen/1")
    key = f"{who}/{number % 3}"
    if verb == "retire":
        return retired(key)
    return reported(key, number) if verb == "report" else affirmed(key, number)
