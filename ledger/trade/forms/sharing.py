"""Answers that several forms share: parties, places, purpose, descriptions, amounts."""

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from typing import NamedTuple

from ledger.scales import in_a_row, some_of
from ledger.trade.consignment import Consignment, Doubted, HeldPaper, Item, Party
from ledger.trade.forms.checks import component
from ledger.trade.forms.codes import codes, purpose_letter, term_of
from ledger.trade.forms.spans import codes_in_a_box
from ledger.trade.forms.worksheet import (
    Answer,
    Box,
    Form,
    ask,
    filled,
    not_for_this,
)
from ledger.trade.movement import (
    UNION,
    place_for,
    place_name,
    purpose_for,
    purpose_words,
)

OLD_LETTER = "O"  # pre-Convention
IN_DOUBT = "is in doubt, and not counted as on file"
NO_TERM = (
    "no three letters mean an instrument (MUS is musk): by common practice WPR, in "
    "older guides CAR; not re-checked against the printed guide"
)


def grouped(
    items: Iterable[Item], key: Callable[[Item], Hashable]
) -> tuple[tuple[Item, ...], ...]:
    """Return the items that make one row each, in their order.

    Source: common practice, no source.
    """
    groups: dict[Hashable, list[Item]] = {}
    for item in items:
        groups.setdefault(key(item), []).append(item)
    return tuple(tuple(group) for group in groups.values())


def mass_of(items: Iterable[Item]) -> int:
    """Return the mass of items that all have one [mg].

    Source: the weighings of the shop, or the description of a thing.
    """
    return sum(item.mass_mg for item in items if item.mass_mg is not None)


def volume_of(items: Iterable[Item]) -> int | None:
    """Return the volume of items, or nothing where one was never taken [mm³].

    Source: the measurements of the shop.
    """
    volumes = [item.volume_mm3 for item in items]
    known = [volume for volume in volumes if volume]
    return sum(known) if len(known) == len(volumes) else None


def party(who: Party, what: str) -> Answer:
    """Return a name and an address; without an address it must be asked.

    Source: common practice, no source.
    """
    if not who.name:
        return ask(f"name and address of the {what}")
    if not who.address:
        return ask(f"address of the {what}, in full", who.name)
    lines = [who.name, *who.address]
    if who.country and place_for(who.country):
        lines.append(place_name(who.country))
    return filled(", ".join(dict.fromkeys(lines)), "the shipment, as it was planned")


def country(code: str, comes_from: str, instead: str = "") -> Answer:
    """Return a country by its name; of the Union the member State must be asked.

    instead  the code of a member State that is known otherwise

    Source: ISO 3166-1.
    """
    if code == UNION and place_for(instead) not in (None, UNION):
        code = instead
    if code == UNION:
        return ask("which member State of the Union")
    return filled(f"{place_name(code)} ({code})", comes_from)


def origin(item: Item, instead: str) -> Answer:
    """Return the country of origin; where only some are named, they must be asked.

    instead  where the reason goes that nobody knows which

    Source: the record of the lot or the batch, or the description of a thing.
    """
    if item.origin:
        return country(item.origin, "country of origin on record")
    if not item.may_be_from:
        return ask(
            f"the country of origin: ask {whom_to_ask(item)}; where nobody knows it, "
            f"say so {instead}"
        )
    said = " or ".join(f"{place_name(code)} ({code})" for code in item.may_be_from)
    return ask(
        f"how the authority wants a country that is one of several, and nobody knows "
        f"which; why that is so goes {instead}",
        said,
    )


def purpose(consignment: Consignment) -> Answer:
    """Return the letter of the purpose, or what to ask.

    Source: the table of codes.
    """
    said = purpose_words(consignment.purpose) or "no purpose on record"
    meant = purpose_for(consignment.purpose) if consignment.purpose else None
    letter = purpose_letter(meant)
    if letter is None:
        return ask(
            f"which letter the authority wants for {said!r}: P for what a person plays "
            f"and keeps, T for trade, Q for a touring show, E for teaching"
        )
    return filled(letter.code, f"{letter.meaning}; the shipment says {said!r}")


def source(item: Item, *, is_old: bool) -> Answer:
    """Return the letter of the source, with O beside it for a pre-Convention one.

    O tells how old it is and not where it comes from, so alone it is not enough.

    Source: the table of codes.
    """
    is_old = is_old or item.source == OLD_LETTER
    if item.source in ("", OLD_LETTER):
        beside = f" beside {OLD_LETTER}" if is_old else ""
        grown = (
            "C bred in captivity" if item.kind == "animal" else "A from a plantation"
        )
        return ask(
            f"the letter of the source{beside}: W taken from the wild, {grown}; ask "
            f"{whom_to_ask(item)}",
            OLD_LETTER if is_old else "",
        )
    meaning = codes("source")[item.source].meaning
    old = f" {OLD_LETTER}" if is_old else ""
    beside = f"; {OLD_LETTER}: acquired before the first listing" if is_old else ""
    return filled(f"{item.source}{old}", f"{item.source}: {meaning}{beside}")


def whom_to_ask(item: Item) -> str:
    """Return who may know more of an item: the sawyer, or whoever sold it.

    Source: common practice, no source.
    """
    return "the sawyer" if item.lots else "whoever sold it"


def how_weighed(items: Iterable[Item]) -> str:
    """Return whether masses were weighed here, or stated for what was not made here.

    Source: the weighings of the shop, or the description of a thing.
    """
    here = {bool(item.lots) for item in items}
    if here == {True}:
        return "as weighed"
    return "as weighed, or as stated" if True in here else "as stated"


def description(items: tuple[Item, ...], consignment: Consignment) -> Answer:
    """Return what a row is, with marks and a code of three letters.

    Source: the table of terms; the form asks for marks that tell it from others.
    """
    first = items[0]
    parts = ", ".join(dict.fromkeys(item.part for item in items if item.part))
    form = first.form.replace("_", " ")
    codes_of = tuple(dict.fromkeys(item.thing for item in items))
    kinds = {thing.code: thing for thing in consignment.things}
    known = (kinds[code].what for code in codes_of if code in kinds)
    # What was not made here goes by its description, which is said once.
    whats = dict.fromkeys(what for what in known if what and what not in codes_of)
    pieces = sum(item.pieces for item in items)
    said = [
        f"{form}: {parts}" if parts else form,
        f"{pieces} {'piece' if pieces == 1 else 'pieces'}",
        codes_in_a_box(codes_of, consignment.number, ", ".join(whats)),
    ]
    marks = kinds[codes_of[0]].marks if codes_of[0] in kinds else ()
    if len(codes_of) == 1 and marks:
        said.append(f"marks: {', '.join(marks)}")
    term = term_of(first.form, first.kind)
    if term is None:
        return ask(
            f"which code of three letters the authority wants for {form} of {parts}",
            "; ".join(said),
        )
    doubt = f"; {NO_TERM}" if term.code == "WPR" else ""
    return filled(
        "; ".join([*said, term.code]),
        f"the boards and parts on record; {term.code} is {term.term}{doubt}",
    )


def counts_by_volume(items: tuple[Item, ...]) -> bool:
    """Tell whether a row is counted in cubic metres: by its term, and measured.

    Source: the table of terms.
    """
    term = term_of(items[0].form, items[0].kind)
    return term is not None and term.unit == "m³" and volume_of(items) is not None


def pieces_of(items: tuple[Item, ...]) -> str:
    """Return how many pieces there are, in words.

    Source: the boards and parts on record.
    """
    pieces = sum(item.pieces for item in items)
    return f"{pieces} {'piece' if pieces == 1 else 'pieces'}"


def paper_words(paper: HeldPaper) -> str:
    """Name a paper on file: what it is, its number, our code.

    Source: the documents that the shop filed.
    """
    return " ".join(filter(None, (paper.paper, paper.number))) + f" ({paper.document})"


def doubt_words(doubted: Doubted) -> str:
    """Say that a paper was filed, and by which hold it does not count.

    Source: the holds that the shop placed.
    """
    said = paper_words(doubted.paper)
    return f"HOLD {doubted.hold}: {said} {IN_DOUBT}"


def numbers(papers: tuple[HeldPaper, ...], what: str) -> Answer:
    """Return the numbers of papers on file.

    Source: the documents that the shop filed.
    """
    said = in_a_row([paper.number for paper in papers if paper.number])
    codes_of = some_of([paper.document for paper in papers])
    if any(not paper.number for paper in papers):
        return ask(f"the number of the {what}: read it from {codes_of}", said)
    return filled(said, f"{what} on file: {codes_of}")


def days(papers: tuple[HeldPaper, ...], what: str) -> Answer:
    """Return the days on which papers on file were issued.

    Source: the documents that the shop filed.
    """
    said = in_a_row([str(paper.issued_on) for paper in papers if paper.issued_on])
    codes_of = some_of([paper.document for paper in papers])
    if any(paper.issued_on is None for paper in papers):
        return ask(f"the day of issue of the {what}: read it from {codes_of}", said)
    return filled(said, f"{what} on file: {codes_of}")


def common_name(item: Item) -> Answer:
    """Return the name of the trade, or that there is none.

    Source: the table of names.
    """
    if not item.trade_name:
        return not_for_this("no name of the trade on record")
    return filled(item.trade_name, "the table of names; it decides nothing")


def scientific(item: Item) -> Answer:
    """Return the scientific name.

    Source: the table of names, or the shop's own record.
    """
    lots = f"lot {some_of(item.lots)}" if item.lots else component(item)
    return filled(item.taxon, f"{lots}, by its scientific name on record")


def appendix_words(item: Item) -> str:
    """Return how a species is listed, with the text of its annotation.

    Source: the table of listings.
    """
    if not item.appendix:
        return "no listing found"
    note = f", {item.annotation}" if item.annotation else ""
    return f"Appendix {item.appendix}{note}"


def asked_boxes(forms: Sequence[Form], first: Sequence[str] = ()) -> list[str]:
    """Return what the boxes of forms ask, each thing once with all its places.

    first  boxes whose asks come before those of the others

    Source: the boxes themselves.
    """
    places: dict[str, dict[str, _Place]] = {}
    counts: dict[str, int] = {}
    for form in forms:
        counts[form.kind] = counts.get(form.kind, 0) + len(form.specimens)
    every = [(form.kind, *named) for form in forms for named in _named_boxes(form)]
    every.sort(key=lambda each: each[2].number not in first)
    for kind, name, box in every:
        if box.state == "ask":
            kinds = places.setdefault(box.comes_from, {})
            numbers, names = kinds.setdefault(kind, _Place([], []))
            numbers.append(box.number if box.number[0].isdigit() else box.label)
            names += [name] if name else []
    return [
        f"{_where(kind if len(counts) > 1 else '', place, counts.get(kind, 0))}: {what}"
        for what, kinds in places.items()
        for kind, place in _joined(kinds, len(counts)).items()
    ]


class _Place(NamedTuple):
    """The boxes in which something is asked, and the rows they stand in."""

    numbers: list[str]
    rows: list[str]


def _joined(kinds: dict[str, _Place], forms: int) -> dict[str, _Place]:
    """Return places by kind of form; of what every form asks, one for all."""
    if len(kinds) < forms or forms == 1:
        return kinds
    numbers = [number for place in kinds.values() for number in place.numbers]
    return {"every form": _Place(numbers, [])}


def _named_boxes(form: Form) -> Iterator[tuple[str, Box]]:
    """Yield the boxes of a form in its order, each with the name of its row."""
    yield from (("", box) for box in form.boxes)
    for row in form.specimens:
        yield from ((row.name, box) for box in row.boxes)
    yield from (("", box) for box in form.closing)


def _where(kind: str, place: _Place, count: int) -> str:
    """Say where something is asked: Boxes 16 and 17, form 2."""
    found = list(dict.fromkeys(place.numbers))
    named = list(dict.fromkeys(place.rows))
    noun = ("Box " if len(found) == 1 else "Boxes ") if found[0][0].isdigit() else ""
    where = some_of(named)
    if len(named) == count and count > 1:
        where = "every row"
    said = ", ".join(filter(None, (f"{noun}{in_a_row(found)}", kind, where)))
    return f"{said[:1].upper()}{said[1:]}"
