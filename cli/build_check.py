"""flitchbook build check: what the chosen wood would ask for where a customer lives."""

from collections.abc import Iterable, Iterator
from dataclasses import asdict
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads

NameArgument = Annotated[
    str, typer.Argument(help="A serial, typed or scanned, or a model's name.")
]
ToOption = Annotated[str, typer.Option("--to", help="Where it will go, such as JP.")]
FromOption = Annotated[
    str | None,
    typer.Option(
        "--from", help="Where it starts, such as FR; else in the shop's own country."
    ),
]
ForOption = Annotated[
    str,
    typer.Option(
        "--for",
        help="Sale, personal, exhibition, repair, loan, performance or gift.",
    ),
]
OnOption = Annotated[
    str,
    typer.Option(
        "--on",
        help="The day whose law counts; else the day it is promised for, or today.",
    ),
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the build."""
    reads(app)(check)


def check(
    desk: Desk,
    name: NameArgument,
    to: ToOption,
    from_: FromOption = None,
    purpose: ForOption = "sale",
    on: OnOption = "",
) -> None:
    """Warn of wood that would be trouble where the customer lives, before it is used.

    It is a question and no gate: nothing is recorded, and the answer is no refusal.
    """
    from ledger.acts import checking
    from ledger.acts.departing import start_of
    from ledger.errors import RefusedError
    from ledger.serials import Serial

    start = start_of(desk.shop, from_)
    way = checking.Way(start=start.country, to=to, purpose=purpose, day=on)
    own = desk.own(name)
    if (code := _code(desk, own)) is None:
        found = checking.check_model(desk.shop, own, way)
    elif isinstance(code, Serial):
        found = checking.check_instrument(desk.shop, desk.serial(own), way)
    else:
        raise RefusedError(
            f"{code} is a {code.form.noun}: give a serial or a model's name"
        )
    data = _data(found) | {
        "start": {"country": start.country, "of_shop": start.is_of_shop}
    }
    show.answer(desk, _lines(found, start), **data)


def _code(desk: Desk, own: str) -> Any:
    """Return the code that was typed or scanned, or None where it may be a name."""
    from ledger.codes import split_scan
    from ledger.errors import RefusedError
    from ledger.ids import parse_any
    from ledger.serials import is_serial

    pattern = desk.shop.settings.pattern
    if split_scan(own) or is_serial(own, pattern):
        return parse_any(own, pattern)
    try:
        return parse_any(own, pattern)
    except RefusedError:
        return None


def _lines(found: Any, start: Any) -> Iterator[str]:
    """Yield the warnings first, then what is missing, then the rest."""
    from ledger.trade.answers import CAUTION
    from ledger.trade.movement import place_words
    from ledger.trade.tables import table_date

    model = "" if found.what == found.model else f" ({found.model})"
    legs = " to ".join(place_words(leg) for leg in found.legs)
    if start.is_of_shop:
        legs = f"{start.words}, to {place_words(found.legs[-1])}"
    aged = [choice for choice in found.choices if choice.open_for_age]
    of_age = f" ({len(aged)} for the age of the tables alone)" if aged else ""
    yield (
        f"{found.what}{model}, {legs}, {found.purpose}, {found.day} "
        f"({found.why_day}): documents needed for {found.count('needed')}, "
        f"{found.count('ask')} to ask about{of_age}, {found.count('not needed')} not "
        f"needed"
    )
    groups = _alike(found.choices)
    for parts, choice in groups:
        if choice.answer != "not needed" and not choice.open_for_age:
            yield from _choice_lines(parts, choice)
    for why in dict.fromkeys(choice.open_for_age for choice in aged):
        yield from _aged_lines([c for c in aged if c.open_for_age == why], why)
    for other in found.also:
        yield f"  also {other.answer}: {other.law}, {other.why}"
        yield from _beneath(other)
    for parts, choice in groups:
        if choice.answer == "not needed":
            yield from _choice_lines(parts, choice)
    if found.unchosen:
        yield f"  no wood is chosen or named for: {', '.join(found.unchosen)}"
    if not found.choices:
        yield "  nothing can be said: choose wood, or name species in the model"
    yield f"Tables compiled {table_date().isoformat()}. This is {CAUTION}."


def _aged_lines(choices: list[Any], why: str) -> Iterator[str]:
    """Yield in a line all unlisted wood that one age of the tables leaves open."""
    from ledger.trade.confidence import confidence_words
    from ledger.trade.documents import office_words

    parts = _gathered((c.wood.species, c.wood.part) for c in choices)
    woods = (f"{species} ({', '.join(of)})" for species, of in parts.items())
    yield (
        f"  {'ask':<10} {', '.join(woods)}: no listing found; open only because {why}"
    )
    for whom in dict.fromkeys(c.found.ask_whom for c in choices):
        yield f"             ask {office_words(whom)}"
    rows = _gathered((c.found.confidence, c.found.row) for c in choices)
    for word, of in rows.items():
        each = "row" if len(of) == 1 else "rows"
        yield f"             {each} {', '.join(of)}: {confidence_words(word)}"
    lacking = _gathered(
        ((c.wood.lot, each.missing), c.wood.part)
        for c in choices
        for each in c.wood.missing
    )
    for (lot, missing), of in lacking.items():
        yield f"             missing for {lot} ({', '.join(of)}), {missing}"


def _gathered(pairs: Iterable[tuple[Any, str]]) -> dict[Any, list[str]]:
    """Return the second of each pair under its first, each once and in order."""
    found: dict[Any, dict[str, None]] = {}
    for first, second in pairs:
        found.setdefault(first, {})[second] = None
    return {first: list(seconds) for first, seconds in found.items()}


def _alike(choices: Iterable[Any]) -> list[tuple[str, Any]]:
    """Return choices with their parts; what a model allows for many is told once."""
    groups: dict[tuple[Any, ...], list[Any]] = {}
    for choice in choices:
        wood = choice.wood
        alone = () if wood.how == "allowed" else (wood.part, wood.lot, wood.boards)
        same = (wood.species, choice.found, choice.instead, *alone)
        groups.setdefault(same, []).append(choice)
    return [
        (", ".join(choice.wood.part for choice in same), same[0])
        for same in groups.values()
    ]


def _choice_lines(parts: str, choice: Any) -> Iterator[str]:
    wood, said = choice.wood, choice.found
    which = f"{wood.species}, {_which(wood)}{_mass(wood)}"
    yield f"  {said.answer:<10} {parts}: {which}: {said.why}"
    yield from _beneath(said)
    if choice.heavier is not None:
        from ledger.quantities import grams

        most = grams(wood.most_mg, places=0)
        yield f"             with all {most} of it: {choice.heavier.answer}"
        yield from _beneath(choice.heavier)
    for each in wood.missing:
        yield f"             missing, {each.missing}"
    if choice.instead:
        offered = [f"{o.code} ({o.species}, {o.answer})" for o in choice.instead]
        yield f"             instead, ready in the rack: {', '.join(offered)}"


def _which(wood: Any) -> str:
    """Say which wood it is and how it was chosen."""
    from ledger.trade.origins import origin_words

    if wood.how == "allowed":
        return "allowed by the model"
    where = f"{show.listed(wood.boards)} of {wood.lot}" if wood.boards else wood.lot
    return f"{where} {origin_words(wood.origin, wood.may_be_from)}, {wood.how}"


def _mass(wood: Any) -> str:
    """Say what it weighs, and how that is known."""
    from ledger.quantities import grams

    if wood.mass_mg is not None and wood.is_weighed:
        return f", {grams(wood.mass_mg, places=0)}"
    whole = None if wood.most_mg is None else grams(wood.most_mg, places=0)
    if wood.mass_mg is not None:
        estimate = grams(wood.mass_mg, places=0)
        bound = f", at most {whole} as the whole board" if whole else ""
        return f", about {estimate} by its finished size{bound}"
    if whole:
        return f", not weighed yet, at most {whole} as the whole board"
    return "" if wood.how == "allowed" else ", not weighed yet"


def _beneath(said: Any) -> Iterator[str]:
    """Yield what stands under an answer: its papers, whom to ask, what it rests on."""
    from ledger.trade.confidence import confidence_words
    from ledger.trade.documents import office_words

    if said.answer == "not needed":
        return
    for paper in said.documents:
        yield f"             {paper.name}, from {office_words(paper.issuer)}"
    yield f"             ask {office_words(said.ask_whom)}"
    if said.row:
        yield f"             row {said.row}: {confidence_words(said.confidence)}"


def _data(found: Any) -> dict[str, Any]:
    from ledger.trade.answers import as_data

    return {
        "of": found.what,
        "model": found.model,
        "legs": list(found.legs),
        "purpose": found.purpose,
        "day": found.day.isoformat(),
        "why_day": found.why_day,
        "needed": found.count("needed"),
        "ask": found.count("ask"),
        "parts": [_choice_data(choice) for choice in found.choices],
        "unchosen": list(found.unchosen),
        "also": [as_data(other) for other in found.also],
    }


def _choice_data(choice: Any) -> dict[str, Any]:
    from ledger.trade.answers import as_data

    wood = choice.wood
    heavier = choice.heavier
    return {
        "part": wood.part,
        "how": wood.how,
        "boards": list(wood.boards),
        "lot": wood.lot or None,
        "species": wood.species,
        "origin": wood.origin,
        "acquired": wood.acquired.isoformat() if wood.acquired else None,
        "mass_mg": wood.mass_mg,
        "most_mg": wood.most_mg,
        "weighed": wood.is_weighed,
        "answer": choice.answer,
        "open_for_age": choice.open_for_age or None,
        "determination": as_data(choice.found),
        "at_most": None if heavier is None else as_data(heavier),
        "missing": [asdict(each) for each in wood.missing],
        "instead": [asdict(offer) for offer in choice.instead],
    }
