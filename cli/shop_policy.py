"""flitchbook shop policy: the rules in force, in words or as a text to edit."""

import json
from collections.abc import Callable, Collection, Iterator
from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import show
from cli.context import Desk, signs
from ledger.errors import RefusedError

PolicyArgument = Annotated[
    Path | None,
    typer.Argument(
        help="A text to adopt; it says by its format what it is. None: show those in "
        "force."
    ),
]
Kind = Literal["signing", "house", "grading", "matching", "law"]
FormatOption = Annotated[
    Kind | None,
    typer.Option("--format", help="Print this text as it stands, to be edited."),
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the shop."""
    signs(app)(policy)


def policy(
    desk: Desk, file: PolicyArgument = None, format_: FormatOption = None
) -> None:
    """Show or adopt who signs what, limits, grades, law.

    Points for pairs as well, and the shop's own rows of the law.

    A text of the law holds rows of the shop's own, which add to the tables that come
    with the program or stand in a row's place: a meeting since, a species, a new text.
    Each row has the columns of its table, as text, and says why it is there:

    {"format": "flitchbook-law/1", "id": "own", "version": 1, "rows": [
    {"table": "meetings", "why": "the next meeting is announced", "row":
    {"id": "CoP21", "took_effect": "2028-09-01", "sources": "Notification to the
    Parties", "confidence": "verified", "checked_on": "2026-11-28",
    "newest_source": "2026-11-02"}}]}
    """
    from ledger.acts.inforce import texts_in_force
    from ledger.acts.policies import adopt_policy
    from ledger.acts.reviewing import edition_of

    if file is not None:
        if format_ is not None:
            raise RefusedError(
                f"leave --format out: {file} says by its format what it is, and "
                f"--format shows a text in force"
            )
        entry = adopt_policy(desk.shop, _read(file), desk.hands())
        show.answer(desk, [f"Adopted by entry {entry.index}."], entry=entry.index)
        return
    texts: dict[Any, Any] = texts_in_force(desk.shop)
    if format_ is not None:
        text = texts[format_]
        said = json.dumps(text, indent=2, sort_keys=True, ensure_ascii=False)
        show.answer(desk, [said], policy=text)
        return
    adopted = edition_of(desk.shop).adopted
    left_out = adopted.left_out if adopted else frozenset()
    show.answer(desk, _lines(texts, left_out), **texts)


def _read(file: Path) -> dict[str, Any]:
    try:
        said = json.loads(show.read_file(file), object_pairs_hook=_once)
    except (ValueError, RecursionError):
        said = None
    if not isinstance(said, dict):
        raise RefusedError(
            f"{file} is no policy in JSON: begin with what flitchbook shop policy "
            f"--format prints"
        )
    return said


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return an object in which every member is said once."""
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise RefusedError(f"the member {twice[:40]!a} is said twice; say it once")
    return found


def _lines(texts: dict[Any, Any], left_out: Collection[int]) -> Iterator[str]:
    """Yield all rules in force, a few lines each.

    left_out  the numbers of the law's rows that take no effect
    """
    yield f"who signs what ({_name(texts['signing'])}), --format signing:"
    yield from (f"    {line}" for line in _signing(texts["signing"]))
    yield f"the house's limits ({_name(texts['house'])}), --format house:"
    yield from (f"    {line}" for line in _house(texts["house"]))
    yield f"grades ({_name(texts['grading'])}), --format grading:"
    yield from (f"    {line}" for line in _grading(texts["grading"]))
    yield f"points for pairs ({_name(texts['matching'])}), --format matching:"
    yield from (f"    {line}" for line in _matching(texts["matching"]))
    yield f"rows of the law of the shop's own ({_name(texts['law'])}), --format law:"
    yield from (f"    {line}" for line in _law(texts["law"], left_out))


def _law(text: dict[str, Any], left_out: Collection[int]) -> Iterator[str]:
    from ledger.trade.amendment import read_overlay

    amendments = read_overlay(text).amendments
    for each in amendments:
        is_out = each.number in left_out
        told = " (left out: flitchbook record tables says why)" if is_out else ""
        yield f"{each.table.replace('_', ' ')}, {each.id}: {each.why}{told}"
    if not amendments:
        yield "none; the tables stand as they come with the program"


def _name(text: dict[str, Any]) -> str:
    return f"{text.get('id', 'none')} {text.get('version', '')}".strip()


def _signing(text: dict[str, Any]) -> Iterator[str]:
    for rule in text.get("rules", ()):
        who = " or ".join(next(iter(each.values())) for each in rule["any_of"])
        more = f", and {rule['approvals']} more say yes" if rule["approvals"] else ""
        yield f"{', '.join(rule['kinds'])}: {who}{more}"


def _house(text: dict[str, Any]) -> Iterator[str]:
    from ledger.craft.policy import house_policy
    from ledger.quantities import days, humidity, percent

    limits = house_policy(text)
    for rest in (*limits.rest, limits.others):
        woods = ", ".join(rest.species) or "everything else"
        better = days(rest.preferred_days)
        yield f"{woods} rests {days(rest.least_days)}, better {better}"
    if limits.weighings:
        yield (
            f"steady: {show.counted(limits.weighings, 'weighing')} "
            f"{days(limits.apart_days)} apart within {percent(limits.within_ppm)}"
        )
    yield (
        f"moisture within {percent(limits.around_emc_ppm)} of what the room's air gives"
    )
    if limits.fresh_days:
        low, high = limits.least_humidity_ppm, limits.most_humidity_ppm
        yield (
            f"room at {percent(low)} to {humidity(high)}, measured within "
            f"{days(limits.fresh_days)}"
        )
    yield f"after a split {percent(limits.balance_ppm)} may be missing"


def _grading(text: dict[str, Any]) -> Iterator[str]:
    from ledger.craft.grading_policy import grading_policy

    rules = grading_policy(text)
    yield f"{', '.join(rules.words)}; else {rules.otherwise}"
    for rule in rules.rules:
        woods = ", ".join(rule.species) or "any wood"
        asked = [_number(name, value) for name, value in rule.numbers.items()]
        asked += [_places(name, number) for name, number in rule.places.items()]
        asked += [_bound(name, value) for name, value in rule.steps.items()]
        if rule.defects is not None:
            allowed = ", ".join(f"{n} {kind}" for kind, n in rule.defects.items())
            asked.append(f"defects at most {allowed}" if allowed else "no defects")
        yield f"{rule.grade} {', '.join(rule.parts)} of {woods}: {'; '.join(asked)}"


def _number(name: str, value: int) -> str:
    """Print a limit with its unit, which ends its name."""
    from ledger import quantities

    printers = {
        "_um": quantities.millimetres,
        "_ppm": quantities.percent,
        "_millidegree": quantities.degrees,
        "_gram_per_m3": quantities.kilograms_per_cubic_metre,
        "_milli": quantities.factor,
    }
    unit = next(unit for unit in printers if name.endswith(unit))
    return _bound(name.removesuffix(unit), printers[unit](value))


def _places(limit: str, number: int) -> str:
    """Turn most_ring_angle_millidegree into: places of the ring angle at least 3."""
    _, *thing, _ = limit.split("_")
    return f"places of the {' '.join(thing)} at least {number}"


def _bound(name: str, value: str) -> str:
    """Turn most_ring_width into: ring width at most 1.7 mm."""
    way, _, thing = name.partition("_")
    return f"{thing.replace('_', ' ')} at {way} {value}"


def _matching(text: dict[str, Any]) -> Iterator[str]:
    from ledger.craft.likeness import KIN_WORDS
    from ledger.craft.matching_policy import KIN, LIMITS, matching_policy
    from ledger.quantities import factor, percent

    rules = matching_policy(text)
    told = [f"{KIN_WORDS[kin]} {rules.kin[kin]}" for kin in KIN if kin in rules.kin]
    never = [
        f"boards {KIN_WORDS[kin]} are no pair" for kin in KIN if kin not in rules.kin
    ]
    yield "; ".join([", ".join(told), *never])
    each = {"most_ppm": "per cent", "most_steps": "step", "most_milli": "unit"}
    printers: dict[str, Callable[[int], str]] = {
        "most_ppm": percent,
        "most_steps": str,
        "most_milli": factor,
    }
    for weight in rules.weights:
        limit = LIMITS[weight.trait]
        most = ""
        if weight.most is not None:
            most = f"; more than {printers[limit](weight.most)} apart is no pair"
        yield (
            f"{weight.trait}: {show.counted(weight.points, 'point')} a {each[limit]}, "
            f"{weight.unknown_points} where nobody measured{most}"
        )
