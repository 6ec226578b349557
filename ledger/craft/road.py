"""Whether the steps of a model make a road: from its parts to one end."""

from collections.abc import Mapping, Sequence


def road_faults(
    *,
    parts: Sequence[str],
    steps: Sequence[str],
    after: Mapping[str, Sequence[str]],
    uses_up: Mapping[str, Sequence[str]],
) -> list[str]:
    """Return all that is wrong with a road, each fault in a sentence.

    parts, steps  by name, in order
    after         of each step those that must be done before it
    uses_up       of each step the parts whose wood goes into the instrument with it

    Where no step says after what it comes there is no order to be wrong.

    Source: common practice, no source.
    """
    faults = [*_twice("part", parts), *_twice("step", steps)]
    faults += _not_there(steps, after)
    if not faults:
        faults = _circle(steps, after) or _loose_ends(steps, after)
    return [*faults, *_use_faults(parts, steps, uses_up)]


def _twice(noun: str, names: Sequence[str]) -> list[str]:
    return [
        f"there are two of the {noun} {name!r}: each has a name of its own"
        for name in dict.fromkeys(names)
        if names.count(name) > 1
    ]


def _not_there(steps: Sequence[str], after: Mapping[str, Sequence[str]]) -> list[str]:
    return [
        f"step {step!r} comes after {other!r}, and there is no such step: see how it "
        f"is written"
        for step in steps
        for other in after[step]
        if other not in steps
    ]


def _circle(steps: Sequence[str], after: Mapping[str, Sequence[str]]) -> list[str]:
    """Return the shortest words for steps that wait for one another, if any do.

    What remains when every step is taken away that waits for none of the others is
    circles, and what waits for them; walking back from any of it ends in a circle.
    """
    left = dict.fromkeys(steps)
    while free := [s for s in left if not any(o in left for o in after[s])]:
        for step in free:
            del left[step]
    if not left:
        return []
    walk = [next(iter(left))]
    while (back := next(o for o in after[walk[-1]] if o in left)) not in walk:
        walk.append(back)
    ring = [*walk[walk.index(back) :], back]
    named = " after ".join(repr(step) for step in ring)
    return [f"the steps go in a circle, {named}: none of them could ever begin"]


def _loose_ends(steps: Sequence[str], after: Mapping[str, Sequence[str]]) -> list[str]:
    """Return the steps that nothing comes after, where there is more than the end."""
    followed = {other for others in after.values() for other in others}
    ends = [step for step in steps if step not in followed]
    if not followed or len(ends) < 2:
        return []
    *loose, end = ends
    return [
        f"step {step!r} leads nowhere: let a later one come after it, for the road "
        f"ends with {end!r}"
        for step in loose
    ]


def _use_faults(
    parts: Sequence[str], steps: Sequence[str], uses_up: Mapping[str, Sequence[str]]
) -> list[str]:
    users: dict[str, list[str]] = {}
    for step in dict.fromkeys(steps):
        for part in uses_up[step]:
            users.setdefault(part, []).append(step)
    faults = [
        f"step {users[part][0]!r} uses up the part {part!r}, and there is no such part"
        for part in users
        if part not in parts
    ]
    for part in dict.fromkeys(parts):
        using = users.get(part, [])
        if not using:
            faults.append(
                f"no step uses up the part {part!r}: name it in uses_up of the step "
                f"with which its wood goes into the instrument"
            )
        if len(using) > 1:
            named = " and ".join(repr(step) for step in using)
            faults.append(
                f"the part {part!r} is used up twice, by {named}: once it is gone"
            )
    return faults
