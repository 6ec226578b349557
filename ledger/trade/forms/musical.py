"""The application for a musical instrument certificate, instrument by instrument."""

from collections.abc import Hashable
from typing import Final

from ledger.errors import RefusedError
from ledger.scales import some_of
from ledger.trade.consignment import Consignment, Item, Thing
from ledger.trade.forms import amounts, permits, sharing
from ledger.trade.forms.boxes import Answers, common_boxes, row_boxes
from ledger.trade.forms.checks import nothing_asks, refuse_unfit, refuse_unfit_way
from ledger.trade.forms.drafting import drafted
from ledger.trade.forms.worksheet import (
    Answer,
    Form,
    Specimen,
    Worksheet,
    ask,
    filled,
)
from ledger.trade.movement import (
    PLAYED,
    place_for,
    place_name,
    purpose_for,
    purpose_words,
)

TABLE: Final = "musical_boxes"
PAPER = permits.INSTRUMENT
# What a shop sends out of its own, as a rule: common practice, no source.
OUT_OF_THE_SHOP: Final = frozenset({"display", "loan"})
SHOWN = {
    "document": "shown by a paper",
    "diary": "shown by the shop's own book",
    "witness": "shown by somebody's word",
    "none": "shown by nothing",
}


def musical_worksheet(consignment: Consignment) -> Worksheet:
    """Return what to write on the application, one for each instrument that needs it.

    Every listed part of such an instrument is named, whether it needs a paper or not.

    Raises RefusedError where no instrument needs one, or it is to be sold.

    Source: Resolution Conf. 16.8 (Rev. CoP17).
    """
    refuse_unfit_way(consignment)
    wanted = {item.thing for item in consignment.items if PAPER in item.documents}
    if not wanted:
        raise nothing_asks(
            consignment, f"a {PAPER}", "no part was found to need one on this movement"
        )
    if consignment.owner_changes:
        raise RefusedError(
            f"{consignment.number} changes the owner, and a {PAPER} is for instruments "
            f"that stay their owner's; plan the shipment as a sale, and print the form "
            f"of the Convention or of the Union"
        )
    forms = tuple(
        _form(code, _listed(consignment, code), consignment)
        for code in dict.fromkeys(item.thing for item in consignment.items)
        if code in wanted
    )
    return drafted(
        consignment,
        TABLE,
        forms,
        title="Instrument certificate, box by box",
        about="What to write on the application for a musical instrument certificate",
        edition="CITES Resolution Conf. 16.8 (Rev. CoP17)",
        first=("acquired", "evidence"),
        notes=(
            "Each authority prints a form of its own, so the boxes bear names of ours.",
        ),
    )


def _listed(consignment: Consignment, code: str) -> list[Item]:
    items = [
        item
        for item in consignment.items
        if item.thing == code and (item.appendix or PAPER in item.documents)
    ]
    # What is old is asked about as it is: nobody may know any more where a nut grew.
    refuse_unfit(items, may_lack_country=any(map(_is_old, items)))
    return items


def _key(item: Item) -> Hashable:
    return (
        *(
            item.taxon,
            item.part,
            item.countries,
            item.source,
            item.appendix,
            item.annex,
        ),
        *(item.acquired, item.shown, item.held),
    )


def _form(code: str, items: list[Item], consignment: Consignment) -> Form:
    groups = sharing.grouped(items, _key)
    masses = amounts.kilograms([sharing.mass_of(group) for group in groups])
    rows = zip(groups, masses.parts, strict=True)
    things = {thing.code: thing for thing in consignment.things}
    above, below = common_boxes(TABLE, _common(things.get(code), consignment))
    return Form(
        kind=f"application for {code}",
        copies=1,
        boxes=above,
        closing=below,
        specimens=tuple(
            Specimen(
                name=f"part {number}",
                items=group,
                boxes=row_boxes(TABLE, _part(group, mass, consignment)),
                mass=mass,
            )
            for number, (group, mass) in enumerate(rows, start=1)
        ),
        total_mass=masses.total,
        rounding=f"kilograms {masses.rounding}",
    )


def _common(thing: Thing | None, consignment: Consignment) -> Answers:
    """Return the answers of the boxes that stand once on the application."""
    owner, country = _owner(thing, consignment)
    return {
        "owner": owner,
        "country": country,
        "journeys": _journeys(consignment),
        "owner stays": _stays(consignment),
        "instrument": _instrument(thing),
        "marks": _marks(thing),
        "pictures": ask("photographs to enclose: whole, the marks, each listed part"),
        "sign": filled("by pen, with the day", "the owner signs"),
    }


def _owner(thing: Thing | None, consignment: Consignment) -> tuple[Answer, Answer]:
    """Return whose instrument it is, and where that person usually lives.

    Only what was made here and goes out to be shown is taken for the shop's own; who
    plays is its owner as a rule, and nobody has said who that is.
    """
    made_here = thing is not None and bool(thing.certificate)
    meant = purpose_for(consignment.purpose) if consignment.purpose else None
    if not made_here or meant not in OUT_OF_THE_SHOP:
        whose = "it was made here, and may be sold" if made_here else "not made here"
        return (
            ask(f"name and address of the owner: {whose}"),
            ask("in which country the owner usually lives"),
        )
    said = consignment.sender.country
    home = said if place_for(said) == said else consignment.legs[0]
    return (
        sharing.party(consignment.sender, "owner"),
        sharing.country(
            home,
            "the shop's own country, from which the shipment sets out",
            consignment.legs[0],
        ),
    )


def _journeys(consignment: Consignment) -> Answer:
    home = consignment.legs[0]
    abroad = [leg for leg in consignment.legs if leg != home]
    route = ", ".join(dict.fromkeys(place_name(leg) for leg in abroad))
    meant = purpose_for(consignment.purpose) if consignment.purpose else None
    if meant not in PLAYED:
        return ask("what the journey is for: playing, teaching, showing …", route)
    said = f"{purpose_words(consignment.purpose)}; {route}"
    return filled(said, "the shipment; add other countries of the three years")


def _stays(consignment: Consignment) -> Answer:
    back = consignment.legs[0] == consignment.legs[-1] and len(consignment.legs) > 1
    if consignment.owner_changes is None or not back:
        return ask("that it is not sold abroad, and when it comes home")
    home = place_name(consignment.legs[0])
    return filled(f"not for sale; comes back to {home}", "the shipment, as planned")


def _instrument(thing: Thing | None) -> Answer:
    wanted = "kind, maker and year, as the label inside says"
    if thing is None or not thing.what:
        return ask(wanted)
    said = ", ".join(filter(None, (thing.what, thing.model)))
    if thing.made_in is None:
        return ask(f"{wanted}: the year is not on record", said)
    proof = f"owner certificate {thing.certificate}" if thing.certificate else "record"
    return filled(f"{said}, made in {thing.made_in}", f"{proof}; add the maker's name")


def _marks(thing: Thing | None) -> Answer:
    if thing is None or not thing.marks:
        known = thing.code if thing else ""
        return ask("a mark that cannot be changed: stamped, branded, inlaid", known)
    return filled("; ".join(thing.marks), "marks on record; look for them again")


def _part(items: tuple[Item, ...], mass: str, consignment: Consignment) -> Answers:
    first = items[0]
    return {
        "name": sharing.scientific(first),
        "common": sharing.common_name(first),
        "part": filled(
            f"{first.part or first.form.replace('_', ' ')}, "
            f"{sharing.pieces_of(items)}, {mass}",
            f"net, {sharing.how_weighed(items)}",
        ),
        "appendix": _appendix(first),
        "origin": sharing.origin(first, "with the application"),
        "source": sharing.source(first, is_old=_is_old(first)),
        "acquired": _acquired(first),
        "evidence": _evidence(items),
    }


def _appendix(item: Item) -> Answer:
    if not item.appendix:
        return ask("in which Appendix it stands: none is on record")
    annex = f", Annex {item.annex}" if item.annex else ""
    return filled(f"{item.appendix}{annex}", sharing.appendix_words(item))


def _is_old(item: Item) -> bool:
    first = item.first_listed
    return first is not None and item.acquired is not None and item.acquired < first


def _acquired(item: Item) -> Answer:
    first = item.first_listed
    listed = f"first listed {first}" if first else "first listing not in the table"
    if item.acquired is None:
        return ask(f"the day of acquisition, and what shows it; {listed}")
    day = item.acquired.isoformat()
    if item.appendix == "I" and not _is_old(item):
        return ask(
            f"whether the authority takes it: Appendix I, {listed}, and acquired later",
            day,
        )
    order = "before" if _is_old(item) else "not before"
    return filled(day, f"{listed}, so acquired {order} it; {SHOWN[item.shown]}")


def _evidence(items: tuple[Item, ...]) -> Answer:
    held = dict.fromkeys(paper for item in items for paper in item.held)
    said = some_of([sharing.paper_words(paper) for paper in held])
    if items[0].shown == "document" and said:
        return filled(said, "papers on file; enclose copies")
    return ask(
        f"a paper that shows lawful acquisition: it is {SHOWN[items[0].shown]}", said
    )
