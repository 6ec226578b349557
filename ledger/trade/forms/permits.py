"""What the two forms for permits share: which paper, which rows, what lies behind."""

from collections.abc import Callable, Hashable
from typing import NamedTuple

from ledger.scales import in_a_row, some_of
from ledger.trade.consignment import Consignment, Item
from ledger.trade.forms import amounts, filed, sharing
from ledger.trade.forms.boxes import Answers, Table, common_boxes, row_boxes
from ledger.trade.forms.codes import term_of
from ledger.trade.forms.filed import EXPORT, OPEN, RE_EXPORT
from ledger.trade.forms.worksheet import (
    Answer,
    Form,
    Specimen,
    ask,
    filled,
    not_for_this,
)
from ledger.trade.movement import place_words

OLD = "pre-Convention certificate"
IMPORT = "import permit"
UNION_IMPORT = "EU import permit"
WAYBILL = "number of the bill of lading or air waybill"
INSTRUMENT = "musical instrument certificate"
EITHER = "export permit or re-export certificate"
# The papers that wood leaves a country with.
LEAVING = (
    EXPORT,
    RE_EXPORT,
    OLD,
    "certificate of origin",
    EITHER,
    "export permit or certificate of origin",
)


class Amount(NamedTuple):
    """What a row weighs, in words, and its volume where it is counted by it."""

    mass: str
    volume: str


class Behind(NamedTuple):
    """The papers behind a specimen: of its origin, and of the last re-export."""

    country: Answer
    number: Answer
    day: Answer
    again: Answer
    again_number: Answer
    again_day: Answer


Rows = Callable[[tuple[Item, ...], Amount], Answers]


def leaving(item: Item) -> str:
    """Return the paper that an item leaves with, or nothing.

    Source: the determination of the shipment.
    """
    return next((name for name in item.documents if name in LEAVING), "")


def sorted_by_kind(
    consignment: Consignment, kind_of: Callable[[Item], str]
) -> dict[str, list[Item]]:
    """Return the items of each kind of document; those without one are left out.

    Source: the determination of the shipment.
    """
    kinds: dict[str, list[Item]] = {}
    for item in consignment.items:
        if kind := kind_of(item):
            kinds.setdefault(kind, []).append(item)
    return kinds


def specimen_key(item: Item) -> Hashable:
    """Return what items of one row have in common.

    Source: the forms: a row has one name, one origin and one paper behind it.
    """
    term = term_of(item.form, item.kind)
    behind = tuple(
        (paper, filed.fault_of(paper, item.acquired))
        for paper in item.held
        if filed.kind_of(paper) != "another"
    )
    acquired = item.acquired if leaving(item) == OLD else None
    return (
        *(item.taxon, item.countries, item.appendix, item.annex, item.annotation),
        *(item.source, term.code if term else item.form, behind, acquired),
    )


def form_of(
    table: Table,
    kind: str,
    items: list[Item],
    *,
    common: Answers,
    row: Rows,
    rows_on_a_form: int,
) -> Form:
    """Return a form of one kind: its rows, their names, and their sums.

    Source: the table of the form.
    """
    groups = sharing.grouped(items, specimen_key)
    masses = amounts.kilograms([sharing.mass_of(group) for group in groups])
    by_volume = [group for group in groups if sharing.counts_by_volume(group)]
    volumes = amounts.cubic_metres(
        [sharing.volume_of(group) or 0 for group in by_volume]
    )
    measured = dict(zip(by_volume, volumes.parts, strict=True))
    specimens = []
    for place, (group, mass) in enumerate(zip(groups, masses.parts, strict=True)):
        amount = Amount(mass, measured.get(group, ""))
        specimens.append(
            Specimen(
                name=row_name(place, rows_on_a_form, len(groups)),
                items=group,
                boxes=row_boxes(table, row(group, amount)),
                mass=amount.mass,
                volume=amount.volume,
            )
        )
    rounding = f"kilograms {masses.rounding}"
    if by_volume:
        rounding += f"; cubic metres {volumes.rounding}"
    above, below = common_boxes(table, common)
    return Form(
        kind=kind,
        copies=-(-len(groups) // rows_on_a_form),
        boxes=above,
        specimens=tuple(specimens),
        closing=below,
        total_mass=masses.total,
        total_volume=volumes.total if by_volume else "",
        rounding=rounding,
    )


def row_name(place: int, rows_on_a_form: int, rows: int) -> str:
    """Name a row as the form does: A to D, on which form where there are several.

    Source: Resolution Conf. 12.3, Annex 2, for the letters.
    """
    form, letter = divmod(place, rows_on_a_form)
    if rows_on_a_form == 1:
        return f"form {form + 1}"
    name = "ABCD"[letter]
    return name if rows <= rows_on_a_form else f"{name} on form {form + 1}"


def why_none(consignment: Consignment) -> str:
    """Say why nothing asks for a permit, and which paper its items need instead.

    Source: the determination of the shipment.
    """
    if any(INSTRUMENT in item.documents for item in consignment.items):
        return (
            f"its items need a {INSTRUMENT}; print that worksheet (--paper instrument)"
        )
    return "no item was found to need one; see the materials list"


def net(items: tuple[Item, ...]) -> str:
    """Say what a mass is of, and who knows it.

    Source: the forms ask for what is left without packing.
    """
    return f"net, {sharing.how_weighed(items)}, without packing"


def kind_answer(kind: str, consignment: Consignment) -> Answer:
    """Return the kind of document, or whom to ask which of two it is.

    Source: the determination of the shipment.
    """
    where = place_words(consignment.legs[0])
    if " or " in kind:
        return ask(f"which of the two: the Management Authority of {where} says")
    return filled(kind, f"found needed for the movement of {consignment.moves_on}")


def behind(
    kind: str, items: tuple[Item, ...], consignment: Consignment, *, remarks: str
) -> Behind:
    """Return the papers behind a row, as boxes 12 and 12a, or 15 to 20, ask for them.

    remarks  the box for what is missing, and why

    Source: the forms; only a re-export has a paper of the country of origin.
    """
    first = items[0]
    here = consignment.legs[0]
    place = sharing.origin(first, f"in box {remarks}")
    if kind in (IMPORT, UNION_IMPORT):
        return _behind_import(place, items, here)
    if kind in (RE_EXPORT, EITHER):
        return Behind(place, *_permit(items), *_re_export(items))
    why = "only a re-export has a paper behind it"
    if kind == OLD:
        why = "acquired before the first listing, so without a permit"
    return Behind(place, *[not_for_this(why)] * 5)


def _behind_import(place: Answer, items: tuple[Item, ...], here: str) -> Behind:
    """Return what an import rests on: the paper that is given for this movement."""
    first = items[0]
    none = not_for_this("it comes straight from its country of origin")
    paper = leaving(first) or EXPORT
    given = ask(f"number and day of the {paper}, when {place_words(here)} gives it")
    if first.origin == here or paper == OLD:
        if paper == OLD:
            none = not_for_this("acquired before the first listing")
        return Behind(place, given, given, none, none, none)
    again = sharing.country(here, "the country it leaves")
    if here in first.may_be_from:
        again = ask(f"whether it comes straight from {place_words(here)}, its origin")
    return Behind(place, *_permit(items), again, given, given)


def _permit(items: tuple[Item, ...]) -> tuple[Answer, Answer]:
    """Return number and day of the permit that it left its origin with, or ask."""
    held = filed.papers_of(items, EXPORT)
    if held:
        return sharing.numbers(held, EXPORT), sharing.days(held, EXPORT)
    origin, whom = items[0].origin, sharing.whom_to_ask(items[0])
    place = place_words(origin) if origin else "the country of origin"
    faults, unclear = filed.faults_of(items, EXPORT), filed.papers_of(items, OPEN)
    why = f"none is on file; ask {whom}, or tell the authority why there is none"
    if unclear:
        codes = some_of([paper.document for paper in unclear])
        why = f"look whether {codes} is it; its name on file does not say"
    elif faults:
        why = f"{in_a_row(faults)}; ask {whom} for the permit it came in under"
    wanted = ask(f"number and day of the export permit of {place}: {why}")
    return wanted, wanted


def _re_export(items: tuple[Item, ...]) -> tuple[Answer, Answer, Answer]:
    held = filed.papers_of(items, RE_EXPORT)
    if held:
        codes = some_of([paper.document for paper in held])
        return (
            ask(f"which country gave the re-export certificate: read it from {codes}"),
            sharing.numbers(held, RE_EXPORT),
            sharing.days(held, RE_EXPORT),
        )
    if filed.papers_of(items, EXPORT):
        none = not_for_this("the paper on file is the permit of the country of origin")
    else:
        none = ask("whether another country re-exported it before, and by which paper")
    return none, none, none
