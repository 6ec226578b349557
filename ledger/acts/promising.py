"""Whether a promise of an instrument can be kept: its measure, its unit, its wood."""

from collections.abc import Iterable, Iterator, Sequence
from difflib import get_close_matches

from sqlmodel import Session, select

from ledger.acts import plausible
from ledger.acts.law import law_in_force
from ledger.acts.names import is_same
from ledger.acts.plausible import UnlikelyError
from ledger.codes import shown
from ledger.craft.measured import UNIT_WORDS, Unit, read_measure
from ledger.errors import RefusedError
from ledger.events import ModelDefined
from ledger.events.build import Measure
from ledger.events.route import Characteristic
from ledger.views.wood import Lot

Promises = Sequence[tuple[str, str]]

# What a measure of such a name is given in, whether or not the model takes it.
BY_WORD: dict[str, Unit] = {
    "length": "length_um",
    "width": "length_um",
    "thickness": "length_um",
    "depth": "length_um",
    "height": "length_um",
    "diameter": "length_um",
    "mass": "mass_mg",
}
# A word as like another as this is a slip of the fingers: common practice, no source.
LIKENESS = 0.75
MOST_OFFERED = 3


def require_promises(plan: ModelDefined, promised: Promises) -> None:
    """Refuse what is promised of a measure without a size that it can have.

    Raises RefusedError for a value without its unit or in another kind of unit, for
    one that no instrument has, and for a measure whose name is misspelt.
    """
    measures = [asked for step in plan.steps for asked in step.measured or ()]
    parts = [each.part for each in plan.parts]
    for what, how in promised:
        asked = next((each for each in measures if is_same(each.what, what)), None)
        unit = _unit_for(what, asked)
        is_part = any(is_same(part, what) for part in parts)
        if is_part or not any(letter.isdigit() for letter in how):
            continue
        if unit is not None:
            _require_size(plan.model, what, how, unit)
        elif _is_measure(how):
            _require_spelt(plan.model, what, [each.what for each in measures])


def unknown_woods(
    session: Session, plan: ModelDefined, promised: Promises
) -> list[tuple[str, str]]:
    """Return the parts, with their wood, that are promised of wood nobody knows here.

    Neither a table of names nor a lot of the shop knows a word of it.
    """
    parts = [each.part for each in plan.parts]
    woods = [
        (what, how)
        for what, how in promised
        if any(is_same(part, what) for part in parts) and not _is_measure(how)
    ]
    known = set(_words(_names_of_wood(session))) if woods else set()
    return [(what, how) for what, how in woods if not known & set(_words([how]))]


def _unit_for(what: str, asked: Characteristic | None) -> Unit | None:
    """Return the unit that a thing is measured in, by the model or by its name."""
    if asked is not None:
        return asked.unit
    words = what.casefold().split()
    return next((unit for word, unit in BY_WORD.items() if word in words), None)


def _require_size(model: str, what: str, how: str, unit: Unit) -> None:
    """Refuse a promise that is in no unit, in another, or that no instrument has."""
    try:
        given, value = read_measure(how)
    except RefusedError as fault:
        raise RefusedError(f"the {what} of {model} is promised, but {fault}") from None
    if given != unit:
        raise RefusedError(
            f"the {what} is promised as {shown(how)}, and it is measured in "
            f"{UNIT_WORDS[unit]}: read the order again"
        )
    measure = Measure(what=what, **{unit: value})
    try:
        plausible.require_measure(model, measure, as_read=False)
    except UnlikelyError as unlikely:
        raise RefusedError(unlikely.doubt) from None


def _require_spelt(model: str, what: str, measures: Sequence[str]) -> None:
    """Refuse a measure whose name is nearly one that the model takes, and not quite."""
    known = set(_words(measures))
    slips = {
        word: get_close_matches(word, known, cutoff=LIKENESS)
        for word in _words([what])
        if word not in known
    }
    near = {meant for found in slips.values() for meant in found}
    offered = [name for name in measures if near & set(_words([name]))][:MOST_OFFERED]
    if offered:
        raise RefusedError(
            f"{model} measures no {shown(what)}: write {' or '.join(offered)}, or say "
            f"it in other words"
        )


def _is_measure(how: str) -> bool:
    try:
        read_measure(how)
    except RefusedError:
        return False
    return True


def _names_of_wood(session: Session) -> Iterator[str]:
    law = law_in_force(session)
    yield from law.names
    yield from law.spoken
    yield from law.trade_names
    for species, trade_name in session.exec(select(Lot.species, Lot.trade_name)):
        yield species
        yield trade_name or ""


def _words(names: Iterable[str]) -> Iterator[str]:
    """Yield the words of names, long enough to tell something."""
    for name in names:
        for word in name.casefold().replace("-", " ").split():
            if len(word.strip(",.;()'")) > 3:
                yield word.strip(",.;()'")
