"""The form of the Union for permits and certificates, box by box."""

from collections.abc import Callable, Iterator
from typing import Final

from ledger.errors import RefusedError
from ledger.scales import some_of
from ledger.trade.consignment import Consignment, Item
from ledger.trade.forms import ends, permits, sharing
from ledger.trade.forms.boxes import Answers
from ledger.trade.forms.checks import nothing_asks, refuse_unfit, refuse_unfit_way
from ledger.trade.forms.drafting import drafted
from ledger.trade.forms.permits import OLD, UNION_IMPORT, Amount
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

TABLE: Final = "union_boxes"
# The form that was read holds one; further ones go on forms or annexes of their own.
ROWS = 1
# Papers of the Union that have another form.
_OTHER_FORMS = {
    "import notification": "an import notification has a form of its own, which the "
    "importer fills in for the customs office of entry",
    "Article 10 certificate": "an Article 10 certificate has a form of its own; ask "
    "the Management Authority of the member State",
}


def union_worksheet(consignment: Consignment) -> Worksheet:
    """Return what to write on the Union's form, one for each kind of paper.

    Raises RefusedError where no item needs such a paper, or one cannot be written.

    Source: Regulation (EC) No 865/2006, Annex I; which forms there are now:
    Implementing Regulation (EU) No 792/2012.
    """
    refuse_unfit_way(consignment)
    kinds = permits.sorted_by_kind(consignment, _leaving(consignment))
    out = ends.leaving(consignment)
    every = [(kind, items, out) for kind, items in kinds.items()]
    every += ((UNION_IMPORT, items, way) for items, way in _entering(consignment))
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
                common=_common(kind, items, way),
                row=_rows(kind, way),
                rows_on_a_form=ROWS,
            )
            for kind, items, way in every
        ),
        title="EU CITES form, box by box",
        about="What to write on the application; the Management Authority of the "
        "member State gives the document",
        edition="Regulation (EC) No 865/2006, Annex I; design by Implementing "
        "Regulation (EU) No 792/2012",
        notes=_notes(consignment, [items for _, items, _ in every]),
    )


def _leaving(consignment: Consignment) -> Callable[[Item], str]:
    inside = is_in_union(consignment.legs[0], consignment.moves_on)
    return lambda item: permits.leaving(item) if inside else ""


def _entering(consignment: Consignment) -> Iterator[tuple[list[Item], Consignment]]:
    """Yield what needs an import permit, with each way on which it enters the Union."""
    items = [item for item in consignment.items if UNION_IMPORT in item.documents]
    for group in entered(consignment.legs, consignment.moves_on):
        if items and is_in_union(group[0], consignment.moves_on):
            yield items, ends.entering(consignment, group)


def _refusal(consignment: Consignment) -> RefusedError:
    paper = "a paper on the form of the Union"
    names = {name for item in consignment.items for name in item.documents}
    others = [said for name, said in _OTHER_FORMS.items() if name in names]
    if others:
        return nothing_asks(consignment, paper, "; ".join(others))
    if any(permits.leaving(item) for item in consignment.items):
        where = place_words(consignment.legs[0])
        why = f"{where} is no member of the Union; print the form of the Convention"
        return nothing_asks(consignment, paper, why)
    return nothing_asks(consignment, paper, permits.why_none(consignment))


def _notes(consignment: Consignment, kinds: list[list[Item]]) -> tuple[str, ...]:
    names = {name for item in consignment.items for name in item.documents}
    notes = [f"{said[:1].upper()}{said[1:]}." for said in _others(names)]
    if any(len(sharing.grouped(rows, permits.specimen_key)) > 1 for rows in kinds):
        notes.append(
            "The form that was read holds one specimen: ask whether further ones go on "
            "annexes."
        )
    return tuple(notes)


def _others(names: set[str]) -> list[str]:
    return [said for name, said in _OTHER_FORMS.items() if name in names]


def _common(kind: str, items: list[Item], consignment: Consignment) -> Answers:
    """Return the answers of the boxes that stand once on a form."""
    here = consignment.legs[0]
    givers = consignment.legs[1:] if kind == UNION_IMPORT else (here,)
    return {
        "kind": permits.kind_answer(kind.removeprefix("EU "), consignment),
        "1": sharing.party(consignment.sender, "exporter"),
        "3": ends.importer(consignment),
        "4": sharing.country(here, "the country it leaves", consignment.sender.country),
        "5": ends.country_of_import(consignment),
        "6": not_for_this("wood and worked parts are not alive"),
        "7": office(f"the Management Authority of {ends.either(givers)}"),
        "23": _remarks(items),
        "26": ask(f"{permits.WAYBILL}, once it is handed over: ask the carrier"),
    }


def _remarks(items: list[Item]) -> Answer:
    held = dict.fromkeys(paper for item in items for paper in item.held)
    if not held:
        return ask("which evidence to enclose: no paper is on file for these items")
    said = some_of([sharing.paper_words(paper) for paper in held])
    return filled(f"enclosed: {said}", "papers on file; signed by pen")


def _rows(kind: str, consignment: Consignment) -> permits.Rows:
    return lambda items, amount: _row(kind, items, amount, consignment)


def _row(
    kind: str, items: tuple[Item, ...], amount: Amount, consignment: Consignment
) -> Answers:
    first = items[0]
    found = permits.behind(kind, items, consignment, remarks="23")
    return {
        "8": sharing.description(items, consignment),
        "9": filled(amount.mass, permits.net(items)),
        "10": _quantity(items, amount),
        "11": _listed(first.appendix, sharing.appendix_words(first), "Appendix"),
        "12": _listed(first.annex, f"Annex {first.annex} in the Union", "Annex"),
        "13": sharing.source(first, is_old=permits.leaving(first) == OLD),
        "14": sharing.purpose(consignment),
        "15": found.country,
        "16": found.number,
        "17": found.day,
        "18": found.again,
        "19": found.again_number,
        "20": found.again_day,
        "21": sharing.scientific(first),
        "22": sharing.common_name(first),
    }


def _listed(value: str, why: str, what: str) -> Answer:
    return filled(value, why) if value else ask(f"in which {what} it stands")


def _quantity(items: tuple[Item, ...], amount: Amount) -> Answer:
    if amount.volume:
        return filled(amount.volume, f"as measured; {sharing.pieces_of(items)}")
    return filled(sharing.pieces_of(items), "counted; the net mass stands in box 9")
