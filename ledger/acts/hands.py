"""Who did what on an instrument, and what no qualification of its day covers."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sqlmodel import Session, col

from ledger.acts.abilities import (
    Ability,
    Judged,
    abilities_of,
    wanted_for,
    when_signed,
)
from ledger.acts.builds import find_build
from ledger.acts.roads import road_of
from ledger.acts.shop import Shop
from ledger.acts.signing import holder_name
from ledger.acts.training import works_of
from ledger.views.builds import PlainStep, SignedStep, plain_steps
from ledger.views.people import subject_of_key


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """What somebody signed of a step, and how it was covered on its day.

    `needs` is what it asked for; `covered_by` the entry of a countersign, where it was
    done under supervision. One that was done again or struck counts no more.
    `disputed_since` is the entry from which on its key may have been in other hands.
    """

    idx: int
    serial: str
    step: str
    meaning: str
    name: str
    day: str
    happened_at: str | None
    way: str | None
    needs: str
    ability: Ability
    covered_by: int | None = None
    reworked_idx: int | None = None
    struck_idx: int | None = None
    disputed_since: int | None = None

    @property
    def is_covered(self) -> bool:
        """Whether a qualification of that day or a countersign stands behind it."""
        return self.ability.is_alone or self.covered_by is not None


def hands_on(shop: Shop, serial: str, step: str | None = None) -> list[Hand]:
    """Return who signed what of an instrument, or of one step of it, in order.

    What was struck or done again is told too, and says so.
    """
    with shop.store.reading() as session:
        build = find_build(session, serial)
        if step is not None:
            step = road_of(session, build).planned(step).step
        rows = plain_steps(session, col(SignedStep.serial) == serial)
        found = [row for row in rows if step in (None, row.step)]
        return list(_told(shop, session, found))


def uncovered(shop: Shop) -> list[Hand]:
    """Return every signature that counts, and that nothing of its day covers."""
    with shop.store.reading() as session:
        rows = plain_steps(
            session,
            col(SignedStep.struck_idx).is_(None),
            col(SignedStep.reworked_idx).is_(None),
        )
        return list(_told(shop, session, rows, only_uncovered=True))


def cover_words(hand: Hand) -> str:
    """Say how a signature was covered on its day, or that nothing of its day covers it.

    Whether somebody learned the work, of whom, or held it once is told to that person
    and the lead only, and so not here.
    """
    ability, needs = hand.ability, hand.needs
    match ability.how:
        case "lead":
            return f"lead on that day, entry {ability.by}"
        case "qualified":
            by = f", entry {ability.by}" if ability.by is not None else ""
            return f"qualified in {needs} on that day{by}"
        case _:
            said = f"not qualified in {needs} on that day"
    if hand.covered_by is not None:
        return f"{said}; countersigned in entry {hand.covered_by}"
    if hand.meaning == "did":
        return f"{said}; needs a countersign by a {needs}-qualified builder"
    return said


def _told(
    shop: Shop,
    session: Session,
    rows: Sequence[PlainStep],
    *,
    only_uncovered: bool = False,
) -> Iterator[Hand]:
    kinds = works_of(session, {row.serial for row in rows})
    keys = {row.key for row in rows}
    whose = {key: subject_of_key(session, key) for key in keys}
    names = {key: holder_name(shop, session, key) for key in keys}
    subjects, standing = set(whose.values()), shop.standing()
    known = {each: Judged.of(abilities_of(session, each)) for each in subjects}
    seen: dict[tuple[str, str], list[PlainStep]] = defaultdict(list)
    for row in rows:
        if row.meaning != "witnessed":
            continue
        work = kinds.get((row.serial, row.step))
        able = known[whose[row.key]].able
        if work is not None and able.at(work, when_signed(row)).is_alone:
            seen[row.serial, row.step].append(row)
    for row in rows:
        work = kinds.get((row.serial, row.step), "its work")
        ability = known[whose[row.key]].to_say(row.meaning, work, row)
        covered_by = None
        if not ability.is_alone:
            witnesses = seen.get((row.serial, row.step), ())
            own = [w for w in witnesses if whose[w.key] != whose[row.key]]
            covered_by = _cover(row, own)
        if only_uncovered and (ability.is_alone or covered_by is not None):
            continue
        yield Hand(
            idx=row.idx,
            serial=row.serial,
            step=row.step,
            meaning=row.meaning,
            name=names[row.key],
            day=row.at[:10],
            happened_at=row.happened_at,
            way=row.way,
            needs=wanted_for(row.meaning, work),
            ability=ability,
            covered_by=covered_by,
            reworked_idx=row.reworked_idx,
            struck_idx=row.struck_idx,
            disputed_since=standing.disputed_since(row.key, row.idx)
            if row.struck_idx is None
            else None,
        )


def _cover(row: PlainStep, witnesses: Sequence[PlainStep]) -> int | None:
    """Return the entry in which another witnessed this work, and not a later one."""
    if row.meaning != "did":
        return None
    ended = row.reworked_idx
    for witness in witnesses:
        is_of_it = row.idx < witness.idx and (ended is None or witness.idx < ended)
        if is_of_it and witness.struck_idx is None:
            return witness.idx
    return None
