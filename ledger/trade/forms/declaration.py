"""The import declaration of the United States for plants, line by line."""

from collections.abc import Hashable
from dataclasses import replace
from typing import Final

from ledger.errors import RefusedError
from ledger.scales import in_a_row, some_of
from ledger.trade.consignment import Consignment, Item
from ledger.trade.forms import amounts, ends, sharing
from ledger.trade.forms.boxes import Answers, common_boxes, row_boxes
from ledger.trade.forms.checks import nothing_asks, refuse_unfit, refuse_unfit_way
from ledger.trade.forms.codes import (
    designation_of,
    lacey_units,
    ports_for,
    tariff_numbers,
    tariff_offers,
)
from ledger.trade.forms.drafting import drafted
from ledger.trade.forms.spans import codes_in_a_box
from ledger.trade.forms.worksheet import (
    Answer,
    Form,
    Specimen,
    Worksheet,
    ask,
    filled,
    not_for_this,
)
from ledger.trade.movement import place_name
from ledger.trade.ways import entered

TABLE: Final = "ppq505_blocks"
HERE = "US"
DIGITS = 10
NO_LIST = "the list of units is common practice, no printed source"


def declaration_worksheet(consignment: Consignment) -> Worksheet:
    """Return what to write on PPQ Form 505: a line for each part and species.

    Several countries of one species make a line each; where nobody knows which of some
    it is, one line names them all. The value is left to the shop.

    Raises RefusedError where nothing of a plant enters the United States, or a line
    cannot be written.

    Source: 7 CFR 357.3; PPQ Form 505 of August 2011 with instructions of June 2016.
    """
    refuse_unfit_way(consignment)
    if (HERE,) not in entered(consignment.legs, consignment.moves_on):
        raise _refusal(consignment, "it does not enter the United States")
    plants = [item for item in consignment.items if item.kind != "animal"]
    if not plants:
        raise _refusal(consignment, "nothing in it is of a plant")
    refuse_unfit(plants)
    return drafted(
        # Of shell and bone this form asks nothing.
        replace(consignment, items=tuple(plants)),
        TABLE,
        (_form(plants, consignment),),
        title="Lacey Act declaration, box by box",
        about="What to write on the plant declaration of the United States; the "
        "importer or a customs broker files it",
        edition="PPQ Form 505, August 2011; instructions of June 2016",
        notes=_notes(plants, consignment),
    )


def _refusal(consignment: Consignment, why: str) -> RefusedError:
    return nothing_asks(consignment, "a plant declaration (PPQ 505)", why)


def _key(item: Item) -> Hashable:
    return item.part, item.taxon, item.countries


def _form(plants: list[Item], consignment: Consignment) -> Form:
    groups = sharing.grouped(plants, _key)
    masses = amounts.kilograms([sharing.mass_of(group) for group in groups])
    lines = zip(groups, masses.parts, strict=True)
    above, below = common_boxes(TABLE, _common(plants, consignment))
    return Form(
        kind="plant declaration",
        copies=1,
        boxes=above,
        closing=below,
        specimens=tuple(
            Specimen(
                name=f"line {number}",
                items=group,
                boxes=row_boxes(TABLE, _line(group, mass, consignment)),
                mass=mass,
            )
            for number, (group, mass) in enumerate(lines, start=1)
        ),
        total_mass=masses.total,
        rounding=f"kilograms {masses.rounding}",
    )


def _common(plants: list[Item], consignment: Consignment) -> Answers:
    """Return the answers of the blocks that stand once on the form."""
    importer, its_address = _receiving("importer", consignment)
    consignee, address = _receiving("consignee", consignment)
    return {
        "1": ask(
            f"the day it arrives, of the carrier, as MM/DD/YYYY; it sets out "
            f"{consignment.moves_on}"
        ),
        "2": ask("the number of the customs entry: ask the broker"),
        "3": ask("the container's number, empty where there is none: ask the carrier"),
        "4": ask("the bill of lading, empty where there is none: ask the carrier"),
        "5": ask(
            "the MID, which is made from the maker's country, name and address (19 CFR "
            "102, appendix): ask the broker"
        ),
        "6": importer,
        "7": its_address,
        "8": consignee,
        "9": address,
        "10": _merchandise(plants, consignment),
        "sign": ask("who prepares the declaration, with telephone; signed by pen"),
    }


def _receiving(what: str, consignment: Consignment) -> tuple[Answer, Answer]:
    """Return name and address of who receives in the United States, or what to ask."""
    who = ends.entering(consignment, (HERE,)).recipient
    whose = "the recipient of the shipment"
    if who == consignment.sender:
        whose = "the shop itself, to which it comes home"
    if what == "importer":
        whose = f"{whose}, unless the broker names another importer"

    def answer(value: str, part: str) -> Answer:
        if not value:
            return ask(f"the {what}'s {part} in the United States")
        if not who.country:
            return ask(
                f"whether the {what} is in the United States: it goes to other "
                f"countries as well",
                value,
            )
        return filled(value, whose)

    return answer(who.name, "name"), answer(", ".join(who.address), "address")


def _merchandise(plants: list[Item], consignment: Consignment) -> Answer:
    """Return what the goods are; of listed species the permit's number belongs here."""
    kinds: dict[str, list[str]] = {}
    for thing in consignment.things:
        kinds.setdefault(thing.what, []).append(thing.code)
    # What was not made here goes by its description, which is said once.
    said = "; ".join(
        what if codes == [what] else codes_in_a_box(codes, consignment.number, what)
        for what, codes in kinds.items()
    )
    said = said or codes_in_a_box(
        tuple(dict.fromkeys(item.thing for item in plants)), consignment.number
    )
    listed = [item for item in plants if item.documents and item.appendix]
    if listed:
        return ask(
            f"the number of the CITES document for "
            f"{in_a_row(list(dict.fromkeys(item.taxon for item in listed)))}, and what "
            f"the goods are for",
            said,
        )
    return filled(said, "the things of the shipment; add what they are for")


def _line(items: tuple[Item, ...], mass: str, consignment: Consignment) -> Answers:
    first = items[0]
    things = tuple(dict.fromkeys(item.thing for item in items))
    unit = lacey_units()["kg"]
    number = mass.split("\u2009")
    return {
        "11": _tariff(first, consignment),
        "12": ask(
            "the value of this line in US dollars: the shop writes it", differs=True
        ),
        "13": filled(
            first.part or first.form.replace("_", " "),
            f"{sharing.pieces_of(items)}, in "
            f"{codes_in_a_box(things, consignment.number)}",
        ),
        "14": _cells(first),
        "15": _harvest(first),
        "16": filled(
            "".join(number[:-1]), f"the wood alone, {sharing.how_weighed(items)}"
        ),
        "17": filled(unit.unit, f"{unit.meaning}; {NO_LIST}"),
        "18": _recycled(first),
    }


def _harvest(item: Item) -> Answer:
    """Return the country of harvest, or every one that it may be.

    Source: 7 CFR 357.3, where the country of harvest is unknown.
    """
    if item.origin:
        return sharing.country(item.origin, "country of harvest on record")
    said = ", ".join(f"{place_name(code)} ({code})" for code in item.may_be_from)
    return filled(said, "every country that it may be; nobody knows which")


def _cells(item: Item) -> dict[str, Answer]:
    """Return genus and species, each in its cell, or the pair that stands for them."""
    designation = designation_of(item.taxon)
    if designation is not None:
        why = f"special designation: {designation.when}"
        return {
            "Genus cell": filled(designation.genus_cell, why),
            "Species cell": filled(designation.species_cell, why),
        }
    genus, _, species = item.taxon.partition(" ")
    where = f"lot {some_of(item.lots)}" if item.lots else "on record"
    return {
        "Genus": filled(genus, f"scientific name, {where}"),
        "Species": filled(species, f"scientific name, {where}"),
    }


def _recycled(item: Item) -> Answer:
    designation = designation_of(item.taxon)
    cell = designation.species_cell if designation else ""
    if cell in ("RECYCLED", "COMPOSITE"):
        return ask("the share that is recycled, in percent")
    return not_for_this("solid wood: asked for what is recycled, as paper and board")


def _tariff(item: Item, consignment: Consignment) -> Answer:
    """Return the ten digits, or those that may be meant."""
    number = consignment.hts_number
    if len(number) == DIGITS:
        known = tariff_numbers().get(number)
        what = known.what if known else "not in our table, which holds a few only"
        return filled(number, f"said for the shipment: {what}")
    offers = tariff_offers(item.form, number)
    said = "; ".join(f"{row.code} {row.what}" for row in offers)
    wanted = "all ten digits, without points, of the broker"
    return ask(f"{wanted}; it may be {said}" if said else wanted, number)


def _notes(plants: list[Item], consignment: Consignment) -> tuple[str, ...]:
    notes = [
        "Where the form has no line left, go on with its continuation sheet.",
        "Nothing is left out as small: whether 7 CFR 357.4 spares the declaration is "
        "for the broker or USDA-APHIS to say.",
    ]
    forms = [item for item in plants if item.documents and item.appendix]
    if forms:
        comes_from = ends.entering(consignment, (HERE,)).legs[0]
        found = dict.fromkeys(
            f"{port.port} {port.state}"
            for item in forms
            for port in ports_for(item.form, comes_from)
        )
        notes.append(
            f"Plants that need a CITES document enter through a designated port: "
            f"{', '.join(found)} (50 CFR 24.12)."
        )
    return tuple(notes)
