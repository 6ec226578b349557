"""Whether a shop's own rows fit the tables they are laid over.

It is asked when a text is adopted, and again when it is read: tables of a later edition
may say something else, and an older one asked for less. A row that fits no more is left
out, which is told wherever an answer would rest on it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import combinations

from ledger.codes import shown
from ledger.errors import RefusedError
from ledger.trade.amendment import Amendment, Overlay, amended
from ledger.trade.coverage import DEPENDS
from ledger.trade.law import Law
from ledger.trade.listings import annotation_for
from ledger.trade.names import tidy
from ledger.trade.tables import Annotation, Listing, Name, places, sources, wood_forms

_CODES = ("population", "listed_by", "grows_in")


def require_fit(overlay: Overlay, law: Law, *, today: date) -> None:
    """See that an overlay fits an edition; the first fault is said.

    today  the day on which it is adopted

    Raises RefusedError that names the row and what to do.

    Source: the tables of the edition.
    """
    fault = next(faults(overlay, law, today=today), None)
    if fault is not None:
        raise RefusedError(fault)


def faults(overlay: Overlay, law: Law, *, today: date) -> Iterator[str]:
    """Yield every way in which rows of an overlay do not fit an edition.

    Source: the tables of the edition.
    """
    for each, fault in _faults_by_row(overlay, law, today):
        yield f"{each.where}: {fault}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """An overlay as it fits an edition: its rows that do, those left out, and why."""

    fits: Overlay
    left_out: Overlay
    faults: tuple[str, ...] = ()


def fitted(overlay: Overlay, law: Law, *, today: date) -> Fitted:
    """Return an overlay without the rows that would be refused today.

    A row that rests on one of these is left out with it.

    today  the day on which the text was adopted

    Source: the tables of the edition.
    """
    kept, told = overlay.amendments, []
    while found := list(_faults_by_row(replace(overlay, amendments=kept), law, today)):
        told += [f"{each.where}: {fault}" for each, fault in found]
        unfit = {each.number for each, _ in found}
        kept = tuple(each for each in kept if each.number not in unfit)
    numbers = {each.number for each in kept}
    left = tuple(each for each in overlay.amendments if each.number not in numbers)
    return Fitted(
        fits=replace(overlay, amendments=kept),
        left_out=replace(overlay, amendments=left),
        faults=tuple(told),
    )


def _faults_by_row(
    overlay: Overlay, law: Law, today: date
) -> Iterator[tuple[Amendment, str]]:
    whole = amended(law, overlay, own="the shop's own row")
    for each in overlay.amendments:
        for fault in _faults_of_any(each, today):
            yield each, fault
        for fault in _FAULTS[each.table](each, whole, law):
            yield each, fault


def _faults_of_any(said: Amendment, today: date) -> Iterator[str]:
    checked = said.row["checked_on"]
    if date.fromisoformat(checked) > today:
        yield (
            f"checked_on {checked} lies after {today}, the day of its adoption; write "
            f"when it was read"
        )
    for mark in _parts(said.row["sources"]):
        if _is_mark(mark) and mark not in sources():
            yield (
                f"{shown(mark)} is no source in the table of sources; write its "
                f"title, issuer and day in words"
            )
        if mark == "M" and said.row["sources"] != "M":
            yield "M stands for memory, and beside no other source"
    known = places()
    regions = {place.region for place in known.values()} - {""}
    for column in (name for name in _CODES if name in said.row):
        for code in said.row[column].split():
            if code not in known and code not in regions:
                yield f"{column} names {shown(code)}, which is no country; write FR"


def _of_listing(said: Amendment, whole: Law, _: Law) -> Iterator[str]:
    row = whole.listings[said.id]
    yield from _name_fault("taxon", row.taxon, whole)
    yield from _unchanged_faults(row, whole)
    if row.is_listed and not whole.texts_of.get(row.annotation):
        yield (
            f"no text of an annotation {shown(row.annotation)} exists; it is one of: "
            f"{', '.join(sorted(whole.texts_of))}"
        )
    elif row.is_listed and not _has_texts(row, whole):
        yield f"no text of annotation #{row.annotation} stood on each of its days"
    key = (row.population, row.listed_by)
    for other in whole.rows_of[row.taxon]:
        is_alike = (other.population, other.listed_by) == key and other is not row
        if is_alike and _meet(row, other):
            yield (
                f"{other.id} speaks of the same population on the same days; end one "
                f"on the day before the other begins"
            )


def _has_texts(row: Listing, whole: Law) -> bool:
    """Tell whether a text of its annotation stood on every day of a row."""
    first, last = row.valid_from or date.min, row.valid_until or date.max
    ends = [text.valid_until for text in whole.texts_of[row.annotation]]
    after = [end + timedelta(days=1) for end in ends if end is not None]
    days = (first, last, *(day for day in after if first <= day <= last))
    return all(annotation_for(row, day, whole) is not None for day in days)


def _of_annotation(said: Amendment, whole: Law, _: Law) -> Iterator[str]:
    text = whole.annotations[said.id]
    yield from _unchanged_faults(text, whole)
    depends = [form for form in wood_forms() if text.forms[form] == "depends"]
    if depends and text.id not in DEPENDS:
        yield (
            f"what {depends[0]} depends on is judged for {', '.join(DEPENDS)} only; "
            f"write covered, outside or silent"
        )
    number = text.id.rpartition("-")[0] or text.id
    for one, other in combinations(whole.texts_of.get(number, ()), 2):
        if text in (one, other) and _meet(one, other):
            yield (
                f"{one.id} and {other.id} stood on the same days; end one on the day "
                f"before the other begins"
            )


def _of_rule(said: Amendment, _: Law, law: Law) -> Iterator[str]:
    """Rules are asked for by their ids: another one would decide nothing."""
    before = law.rules.get(said.id)
    if before is None:
        yield (
            f"nothing here is judged by a rule of that name; correct one of: "
            f"{', '.join(law.rules)}"
        )
    elif before.law != said.row["law"]:
        yield f"the rule is one of {before.law}, not of {shown(said.row['law'])}"


def _of_name(said: Amendment, whole: Law, law: Law) -> Iterator[str]:
    name = whole.names[said.id]
    yield from _moved_faults(name, law)
    yield from _range_faults(name, whole, law)
    if tidy(name.name) != name.name:
        yield f"write the name as botanists do: {tidy(name.name)}"
    yield from _name_fault("accepted", name.accepted, whole)
    if name.group:
        yield from _name_fault("group", name.group, whole)
    if name.group == name.name:
        yield "a name is no group of its own; leave the group empty"


def _moved_faults(name: Name, law: Law) -> Iterator[str]:
    """Yield where a name would be taken out of what the tables list it by."""
    before = law.names.get(name.name)
    row = None if before is None else _listing_of(before, law)
    if before is None or row is None:
        return
    for column in ("accepted", "group", "kind"):
        old, new = getattr(before, column), getattr(name, column)
        if old != new:
            yield (
                f"{column} may not become {shown(new) if new else 'empty'}: the tables "
                f"list {before.accepted} by {row.id}; leave {column} {old or 'empty'}, "
                f"and correct the listing rows"
            )


def _range_faults(name: Name, whole: Law, law: Law) -> Iterator[str]:
    """Yield where a name that is listed, also by a row of this text, would grow.

    More countries may lead out of a population as well as fewer: a range that was
    empty frees wood once it names any, and a wider one is of no population for sure.
    """
    before = law.names.get(name.name)
    if before is None or before.grows_in == name.grows_in:
        return
    row = _listing_of(before, law) or _listing_of(before, whole)
    if row is not None:
        old = " ".join(sorted(before.grows_in)) or "empty"
        yield (
            f"grows_in may not change: {before.accepted} is listed by {row.id}, and a "
            f"range decides which wood is of a listed population; leave it {old}, and "
            f"say of each lot where it was harvested"
        )


def _listing_of(name: Name, law: Law) -> Listing | None:
    """Return a row by which an edition lists a name, ever, or its genus."""
    accepted = law.names.get(name.accepted, name)
    taxa = dict.fromkeys((accepted.name, accepted.group, name.group))
    rows = (row for taxon in taxa for row in law.rows_of.get(taxon, ()))
    return next((row for row in rows if row.is_listed), None)


def _of_trade_name(said: Amendment, whole: Law, _: Law) -> Iterator[str]:
    if said.id != said.id.casefold():
        yield f"write the trade name in small letters: {said.id.casefold()}"
    for name in whole.trade_names[said.id].may_mean:
        if name not in whole.names:
            yield f"may_mean names {shown(name)}, which is not in the table of names"


def _of_meeting(said: Amendment, _: Law, law: Law) -> Iterator[str]:
    """See that a meeting is not moved later, nor before the one that preceded it."""
    day = date.fromisoformat(said.row["took_effect"])
    before = None
    for meeting in sorted(law.meetings, key=lambda each: each.took_effect):
        if meeting.id == said.id and day > meeting.took_effect:
            yield (
                f"took_effect {day} is later than in the tables, which say "
                f"{meeting.took_effect}; a meeting may only be moved earlier"
            )
        if meeting.id == said.id and before and day <= before.took_effect:
            yield (
                f"took_effect {day} is no day for {meeting.id}: {before.id} came "
                f"before it, and took effect on {before.took_effect}; write a later day"
            )
        before = meeting


_FAULTS: dict[str, Callable[[Amendment, Law, Law], Iterator[str]]] = {
    "listings": _of_listing,
    "annotations": _of_annotation,
    "rules": _of_rule,
    "names": _of_name,
    "trade_names": _of_trade_name,
    "meetings": _of_meeting,
}


def _name_fault(column: str, name: str, whole: Law) -> Iterator[str]:
    found = whole.names.get(name)
    if found is None:
        yield f"{column} {shown(name)} is not in the table of names; add it there"
    elif found.accepted != name:
        yield f"{column} {shown(name)} is no accepted name; write {found.accepted}"


def _unchanged_faults(row: Listing | Annotation, whole: Law) -> Iterator[str]:
    """Yield what is wrong with the marks of meetings that changed nothing."""
    known = {meeting.id for meeting in whole.meetings}
    for mark in sorted(row.unchanged):
        meeting, _, source = mark.partition(":")
        if meeting not in known or source not in sources():
            yield (
                f"unchanged says {shown(mark)}; write a meeting and the mark of a "
                f"source, such as CoP18:S07"
            )


def _meet(one: Listing | Annotation, other: Listing | Annotation) -> bool:
    """Tell whether two rows stand on a day together."""
    first = max(one.valid_from or date.min, other.valid_from or date.min)
    last = min(one.valid_until or date.max, other.valid_until or date.max)
    return first <= last


def _parts(text: str) -> list[str]:
    return [part.strip() for part in text.split(";") if part.strip()]


def _is_mark(text: str) -> bool:
    """Tell whether a source is written as a mark: S and a number."""
    return text[:1] == "S" and text[1:].isdigit()
