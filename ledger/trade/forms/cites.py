"""The standard form of the Convention, box by box."""

from collections.abc import Callable, Iterator
from typing import Final

from ledger.errors import RefusedError
from ledger.trade.consignment import Consignment, Item
from ledger.trade.documents import permits_import
from ledger.trade.forms import ends, permits, sharing
from ledger.trade.forms.boxes import Answers
from ledger.trade.forms.checks import nothing_asks, refuse_unfit, refuse_unfit_way
from ledger.trade.forms.drafting import drafted
from ledger.trade.forms.filed import EXPORT
from ledger.trade.forms.permits import IMPORT, OLD, Amount
from ledger.trade.forms.worksheet import (
    Answer,
    Worksheet,
    ask,
    filled,
    not_for_this,
    office,
)
from ledger.trade.movement import is_in_union, place_words
from ledger.trade.ways import entered

TABLE: Final = "cites_boxes"
ROWS = 4  # A to D


def cites_worksheet(consignment: Consignment) -> Worksheet:
    """Return what to write on the form of the Convention, one for each kind of paper.

    Raises RefusedError where no item needs such a paper, or one cannot be written.

    Source: Resolution Conf. 12.3, Annex 2.
    """
    refuse_unfit_way(consignment)
    kinds = permits.sorted_by_kind(consignment, _kind(consignment))
    out = ends.leaving(consignment)
    every = [(kind, items, out) for kind, items in kinds.items()]
    every += ((IMPORT, items, way) for items, way in _imports(consignment))
    if not every:
        raise _refusal(consignment)
    refuse_unfit(item for _, items, _ in every for item in items)
    return drafted(
        consignment,
        TABLE,
        tuple(
            permits.form_of(
                TABLE,
                ends.title(kind, way, [other for other, _, _ in every]),
                items,
                common=_common(kind, way),
                row=_rows(kind, way),
                rows_on_a_form=ROWS,
            )
            for kind, items, way in every
        ),
        title="Convention form, box by box",
        about="What to write on the application; the Management Authority gives the "
        "document",
        edition="CITES Resolution Conf. 12.3, Annex 2 (standard form)",
        notes=_notes(consignment),
    )


def _rows(kind: str, consignment: Consignment) -> permits.Rows:
    return lambda items, amount: _row(kind, items, amount, consignment)


def _kind(consignment: Consignment) -> Callable[[Item], str]:
    inside = is_in_union(consignment.legs[0], consignment.moves_on)
    return lambda item: "" if inside else permits.leaving(item)


def _imports(consignment: Consignment) -> Iterator[tuple[list[Item], Consignment]]:
    """Yield what needs an import permit, with the way into the country that gives it.

    On a way into one country that is all that needs one; of several, each has its own.
    """
    needed = [item for item in consignment.items if IMPORT in item.documents]
    day = consignment.moves_on
    countries = [
        group
        for group in entered(consignment.legs, day)
        if not is_in_union(group[0], day)
    ]
    for group in countries:
        items = [item for item in needed if len(countries) == 1 or _asks(item, *group)]
        if items:
            yield items, ends.entering(consignment, group)


def _asks(item: Item, country: str) -> bool:
    is_old = permits.leaving(item) == OLD
    return permits_import(
        country, appendix=item.appendix, annex=item.annex, is_old=is_old
    )


def _refusal(consignment: Consignment) -> RefusedError:
    paper = "a paper on the form of the Convention"
    if any(permits.leaving(item) for item in consignment.items):
        where = place_words(consignment.legs[0])
        return nothing_asks(
            consignment, paper, f"{where} uses the form of the Union; print that one"
        )
    return nothing_asks(consignment, paper, permits.why_none(consignment))


def _notes(consignment: Consignment) -> tuple[str, ...]:
    again = [
        item
        for item in consignment.items
        if sum(name in permits.LEAVING for name in item.documents) > 1
    ]
    if not again:
        return ()
    return (
        "Some items need a re-export certificate of a country on the way too: its "
        "Management Authority takes that application.",
    )


def _common(kind: str, consignment: Consignment) -> Answers:
    """Return the answers of the boxes that stand once on a form."""
    givers = consignment.legs[1:] if kind == IMPORT else consignment.legs[:1]
    return {
        "kind": permits.kind_answer(kind, consignment),
        "3": ends.importer(consignment),
        "3a": ends.country_of_import(consignment),
        "4": _exporter(consignment),
        "5a": sharing.purpose(consignment),
        "6": office(f"the Management Authority of {ends.either(givers)}"),
        "15": ask(f"{permits.WAYBILL}, once it is handed over: ask the carrier"),
    }


def _exporter(consignment: Consignment) -> Answer:
    found = sharing.party(consignment.sender, "exporter")
    if found.state == "ask":
        return found
    return filled(found.value, f"{found.comes_from}; signed by pen, or it is void")


def _row(
    kind: str, items: tuple[Item, ...], amount: Amount, consignment: Consignment
) -> Answers:
    first = items[0]
    return {
        "7": sharing.scientific(first),
        "8": sharing.common_name(first),
        "9": sharing.description(items, consignment),
        "10": _appendix(first, is_old=permits.leaving(first) == OLD),
        "11": _quantity(items, amount),
        **({} if EXPORT in kind.split(" or ") else {"11a": _no_quota()}),
        **_behind(kind, items, consignment),
        "12b": _acquired(kind, items),
    }


def _appendix(item: Item, *, is_old: bool) -> Answer:
    letter = sharing.source(item, is_old=is_old)
    value = f"{item.appendix} {letter.value}".strip()
    if not item.appendix:
        return ask("in which Appendix it stands: none is on record", letter.value)
    if letter.state == "ask":
        return ask(letter.comes_from, value)
    return filled(value, f"{sharing.appendix_words(item)}; {letter.comes_from}")


def _quantity(items: tuple[Item, ...], amount: Amount) -> Answer:
    pieces = sharing.pieces_of(items)
    if amount.volume:
        return filled(amount.volume, f"as measured; {amount.mass} net, {pieces}")
    return filled(amount.mass, f"{permits.net(items)}; {pieces}")


def _no_quota() -> Answer:
    return not_for_this("a quota counts export permits of the country of origin")


def _behind(
    kind: str, items: tuple[Item, ...], consignment: Consignment
) -> dict[str, Answer]:
    found = permits.behind(kind, items, consignment, remarks="5")
    origin = _joined(found.country, found.number, found.day)
    return {
        "12": origin,
        "12a": _joined(found.again, found.again_number, found.again_day),
    }


def _joined(country: Answer, number: Answer, day: Answer) -> Answer:
    """Return a country with number and day of its paper, as one box holds them."""
    cells = (country, number, day)
    said = ", ".join(cell.value for cell in cells if cell.value)
    asked = [cell.comes_from for cell in cells if cell.state == "ask"]
    if asked:
        return ask("; ".join(dict.fromkeys(asked)), said)
    told = "; ".join(dict.fromkeys(cell.comes_from for cell in cells))
    return filled(said, told) if said else not_for_this(country.comes_from)


def _acquired(kind: str, items: tuple[Item, ...]) -> Answer:
    if kind != OLD and permits.leaving(items[0]) != OLD:
        return not_for_this("asked for pre-Convention specimens and nurseries")
    day = items[0].acquired
    if day is None:
        return ask("the day of acquisition, and what shows it")
    shown = {item.shown for item in items}
    how = "by a paper on file" if shown == {"document"} else "without a paper for all"
    return filled(day.isoformat(), f"the day it was acquired, shown {how}")
