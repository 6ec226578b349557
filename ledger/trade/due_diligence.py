"""What the Union's deforestation regulation asks of wood, item by item: known, or ask.

It is an input sheet for whoever files the statement. A box that nobody knows is asked;
none is ever filled with a guess. Whether the evidence is enough is for whoever files.

Source: Regulation (EU) 2023/1115, article 9(1)(a) to (h), articles 2(28) and 9(3), set
down from memory: the text was not read when this was written.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ledger.errors import RefusedError
from ledger.quantities import cubic_metres, kilograms
from ledger.scales import in_a_row
from ledger.trade.consignment import Consignment, Item
from ledger.trade.forms.sharing import IN_DOUBT, doubt_words, how_weighed, paper_words
from ledger.trade.forms.worksheet import Box
from ledger.trade.movement import is_in_union, one_of_places
from ledger.trade.tables import FINISHED_FOR_MUSIC

# Source: Regulation (EU) 2023/1115, article 2(13), and article 9(3) on keeping.
CLEARED_AFTER = "2020-12-31"
KEEP_YEARS = 5
SMALL = 10_000  # mg
# Source: Harmonized System 2022, headings 44.03, 44.07, 44.08, 44.09 and 44.12.
WOOD_FORMS = frozenset(
    {"logs", "sawn_wood", "veneer_sheets", "transformed_wood_4409", "plywood"}
)
SUPPLIER = "supplier: name, address, e-mail"
CUSTOMER = "customer: name, address, e-mail"
UNCHECKED = (
    "The points of article 9 were not re-checked against the printed text; compare "
    "them with the text in force before the statement is filed."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """A firm or a person, as the Regulation asks for them: with address and e-mail."""

    name: str
    address: tuple[str, ...] = ()
    country: str = ""
    email: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grown:
    """The plots of a lot as they are on file; days are YYYY-MM-DD.

    With a `hold` their paper is in doubt, and they are asked as if there were none.
    """

    lot: str
    document: str
    number: int
    harvested_from: str
    harvested_to: str
    hold: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood:
    """One species in one form from one country, and its boxes in their order."""

    taxon: str
    trade_name: str
    form: str
    origin: str | None
    items: tuple[Item, ...]
    boxes: tuple[Box, ...]

    @property
    def mass_mg(self) -> int | None:
        """The net mass of all; None where something was not weighed."""
        masses = [item.mass_mg for item in self.items if item.mass_mg is not None]
        return sum(masses) if len(masses) == len(self.items) else None

    @property
    def asked(self) -> int:
        """How many boxes must be asked."""
        return sum(box.state == "ask" for box in self.boxes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The input sheet of a consignment: who gets it, and each wood of chapter 44."""

    customer: Box
    woods: tuple[Wood, ...]
    left_out: int  # things of other chapters, such as finished instruments
    plots: int

    @property
    def asked(self) -> int:
        """How many boxes must be asked in all."""
        customer = self.customer.state == "ask"
        return customer + sum(wood.asked for wood in self.woods)


def due_diligence(
    consignment: Consignment,
    *,
    customer: Contact | None,
    suppliers: Mapping[str, Contact],
    grown: Mapping[str, Grown],
) -> Sheet:
    """Return the input sheet of a consignment, woods in the order of its items.

    suppliers, grown  by lot; what is missing is asked, as is what is in doubt

    Source: Regulation (EU) 2023/1115, article 9(1) and Annex I.
    """
    if not any(is_in_union(leg, consignment.moves_on) for leg in consignment.legs):
        raise RefusedError(
            f"nothing in {consignment.number} asks for due diligence: it neither "
            f"enters nor leaves the European Union"
        )
    wood = [item for item in consignment.items if _is_asked_about(item)]
    if not wood:
        raise RefusedError(
            f"nothing in {consignment.number} is wood of chapter 44: instruments and "
            f"their finished parts are not in Annex I of Regulation (EU) 2023/1115"
        )
    heaps: dict[tuple[str, str, tuple[str, ...]], list[Item]] = {}
    for item in wood:
        heaps.setdefault((item.taxon, item.form, item.countries), []).append(item)
    lots = {lot for item in wood for lot in item.lots}
    sender = _sender(consignment)
    return Sheet(
        customer=_importers_own(customer) if sender else _customer(customer),
        woods=tuple(
            _wood(tuple(items), suppliers, grown, sender) for items in heaps.values()
        ),
        left_out=len({item.thing for item in consignment.items})
        - len({item.thing for item in wood}),
        plots=sum(
            one.number for lot, one in grown.items() if lot in lots and not one.hold
        ),
    )


def _is_asked_about(item: Item) -> bool:
    return item.kind != "animal" and item.form not in FINISHED_FOR_MUSIC


def _wood(
    items: tuple[Item, ...],
    suppliers: Mapping[str, Contact],
    grown: Mapping[str, Grown],
    sender: Contact | None,
) -> Wood:
    first = items[0]
    lots = _in_order(lot for item in items for lot in item.lots)
    doubted = [grown[lot] for lot in lots if lot in grown and grown[lot].hold]
    grown = {lot: one for lot, one in grown.items() if not one.hold}
    boxes = (
        _description(items),
        _names(first),
        _quantity(items),
        _country(first),
        _plots(lots, grown, doubted),
        _harvest(lots, grown),
        _supplier(lots, suppliers)
        if sender is None
        else _from(sender, lots, suppliers),
        _no_clearing(lots, grown),
        _lawful(items),
    )
    return Wood(
        taxon=first.taxon,
        trade_name=first.trade_name,
        form=first.form,
        origin=first.origin,
        items=items,
        boxes=boxes,
    )


def _filled(number: str, label: str, value: str, comes_from: str) -> Box:
    return _box(number, label, value, comes_from, asked=False)


def _asked(number: str, label: str, what_to_do: str, known: str = "") -> Box:
    return _box(number, label, known, what_to_do, asked=True)


def _box(number: str, label: str, value: str, comes_from: str, *, asked: bool) -> Box:
    return Box(
        number=number,
        label=label,
        value=value,
        comes_from=comes_from,
        state="ask" if asked else "filled",
        is_from_memory=True,
    )


def _description(items: tuple[Item, ...]) -> Box:
    label = "description, trade name, type"
    first, form = items[0], items[0].form.replace("_", " ")
    parts = ", ".join(_in_order(item.part for item in items if item.part))
    said = ", ".join(filter(None, (first.trade_name, parts, form)))
    if first.form not in WOOD_FORMS:
        return _asked(
            "(a)",
            label,
            "Ask the customs broker whether this is wood of chapter 44, and of which "
            "heading.",
            said,
        )
    return _filled("(a)", label, said, _recorded(first))


def _names(first: Item) -> Box:
    label = "common name, full scientific name"
    genus, _, rest = first.taxon.partition(" ")
    known = ", ".join(filter(None, (first.trade_name, first.taxon)))
    if not rest or rest.startswith("spp") or first.taxon.casefold() == "unknown":
        return _asked(
            "(a)",
            label,
            "Ask the supplier for genus and species; a genus or a name of the trade is "
            "not enough.",
            "" if genus.casefold() == "unknown" else known,
        )
    if not first.trade_name:
        return _asked("(a)", label, "Ask the supplier for the common name.", known)
    return _filled("(a)", label, known, f"{_recorded(first)}; the table of names")


def _quantity(items: tuple[Item, ...]) -> Box:
    label = "quantity: net mass, volume or pieces"
    pieces = sum(item.pieces for item in items)
    count = "1 piece" if pieces == 1 else f"{pieces} pieces"
    volumes = [item.volume_mm3 for item in items if item.volume_mm3 is not None]
    whole = cubic_metres(sum(volumes), places=6) if len(volumes) == len(items) else ""
    unweighed = _in_order(item.thing for item in items if item.mass_mg is None)
    beside = ", ".join(filter(None, (whole, count)))
    if unweighed:
        return _asked(
            "(b)", label, f"Weigh {in_a_row(unweighed)} and print this again.", beside
        )
    mass_mg = sum(item.mass_mg or 0 for item in items)
    # Below ten grams three decimals would lose a tenth of it.
    mass = kilograms(mass_mg, places=3 if mass_mg >= SMALL else None)
    return _filled("(b)", label, f"{mass} net; {beside}", how_weighed(items))


def _recorded(item: Item) -> str:
    return "the lot, as it was received" if item.lots else "as it was described"


def _country(first: Item) -> Box:
    label = "country of production"
    if first.origin is None:
        todo = "Ask the supplier in which country, and region, it grew."
        return _asked("(c)", label, todo, one_of_places(first.may_be_from))
    return _filled("(c)", label, first.origin, _recorded(first))


def _plots(
    lots: tuple[str, ...], grown: Mapping[str, Grown], doubted: Iterable[Grown]
) -> Box:
    label = "geolocation of all plots"
    known = [grown[lot] for lot in lots if lot in grown]
    said = "; ".join(
        f"{one.lot}: {one.number} {'plot' if one.number == 1 else 'plots'}, paper "
        f"{one.document}"
        for one in known
    )
    missing = [lot for lot in lots if lot not in grown]
    if missing or not lots:
        of = f" of {in_a_row(missing)}" if missing else ""
        todo = [f"HOLD {one.hold}: {one.document} {IN_DOUBT}." for one in doubted]
        todo.append(f"Ask the supplier for the plots{of} as GeoJSON.")
        return _asked("(d)", label, " ".join(todo), said)
    return _filled("(d)", label, said, "the file of plots that goes along, GeoJSON")


def _harvest(lots: tuple[str, ...], grown: Mapping[str, Grown]) -> Box:
    label = "time of harvest"
    known = [grown[lot] for lot in lots if lot in grown]
    said = "; ".join(
        f"{one.lot}: {_days(one.harvested_from, one.harvested_to)}" for one in known
    )
    missing = [lot for lot in lots if lot not in grown]
    if missing or not lots:
        of = in_a_row(missing) if missing else "it"
        return _asked("(d)", label, f"Ask the supplier when {of} was cut.", said)
    return _filled("(d)", label, said, "the sawyer, as the plots were filed")


def _days(first: str, last: str) -> str:
    return first if first == last else f"{first} to {last}"


def _supplier(lots: tuple[str, ...], suppliers: Mapping[str, Contact]) -> Box:
    label = SUPPLIER
    known = list(dict.fromkeys(suppliers[lot] for lot in lots if lot in suppliers))
    said = "; ".join(map(_contact_words, known))
    missing = [lot for lot in lots if lot not in suppliers]
    if missing or not lots:
        of = in_a_row(missing) if missing else "it"
        return _asked("(e)", label, f"Write down who supplied {of}.", said)
    lacking = _lacking(known)
    if lacking:
        return _asked("(e)", label, f"Ask the supplier for the {lacking}.", said)
    return _filled("(e)", label, said, "the shop's list of suppliers")


def _sender(consignment: Consignment) -> Contact | None:
    """Return who sends wood into the Union: to the importer, that is the supplier."""
    if is_in_union(consignment.legs[0], consignment.moves_on):
        return None
    who = consignment.sender
    return Contact(name=who.name, address=who.address, country=who.country)


def _from(
    sender: Contact, lots: tuple[str, ...], suppliers: Mapping[str, Contact]
) -> Box:
    """Return the supplier of whoever imports it: the sender, and who lies behind."""
    known = dict.fromkeys(suppliers[lot] for lot in lots if lot in suppliers)
    said = _contact_words(sender)
    if known:
        said = f"{said}; behind it: {'; '.join(map(_contact_words, known))}"
    if not sender.name:
        return _asked("(e)", SUPPLIER, "Write down who sends it.", said)
    lacking = _lacking([sender])
    if lacking:
        return _asked("(e)", SUPPLIER, f"Add the {lacking} of the sender.", said)
    return _filled("(e)", SUPPLIER, said, "the sender supplies whoever imports it")


def _importers_own(importer: Contact | None) -> Box:
    """Return to whom the importer hands it on, which no sender knows."""
    known = f"to {importer.name}, who imports it" if importer and importer.name else ""
    return _asked(
        "(f)",
        CUSTOMER,
        "Ask the importer to whom it is handed on, if to anyone.",
        known,
    )


def _customer(customer: Contact | None) -> Box:
    label = CUSTOMER
    if customer is None or not customer.name:
        return _asked("(f)", label, "Write down to whom it goes.")
    lacking = _lacking([customer])
    said = _contact_words(customer)
    if lacking:
        return _asked("(f)", label, f"Ask the customer for the {lacking}.", said)
    return _filled("(f)", label, said, "the shipment, as it was planned")


def _contact_words(contact: Contact) -> str:
    parts = (contact.name, *contact.address, contact.country, contact.email)
    return ", ".join(part for part in parts if part)


def _lacking(contacts: list[Contact]) -> str:
    lacking = []
    if any(not contact.address for contact in contacts):
        lacking.append("postal address")
    if any(not contact.email for contact in contacts):
        lacking.append("e-mail address")
    return " and the ".join(lacking)


def _no_clearing(lots: tuple[str, ...], grown: Mapping[str, Grown]) -> Box:
    """Return the box that no workshop can fill: it is asked, whatever is on file."""
    filed = all(lot in grown for lot in lots) and lots
    how = "Compare the plots" if filed else "Get the plots, and compare them"
    return _asked(
        "(g)",
        f"no forest cleared after {CLEARED_AFTER}",
        f"{how} with a map of forest of {CLEARED_AFTER}; ask the supplier for proof.",
    )


def _lawful(items: tuple[Item, ...]) -> Box:
    label = "cut as the country's law asks"
    papers = _in_order(paper_words(paper) for item in items for paper in item.held)
    doubts = _in_order(
        f"{doubt_words(one)}. " for item in items for one in item.doubted
    )
    told = "Judge whether these papers show it; nobody has done so here."
    if not papers:
        told = "Ask the supplier for the papers of the harvest; none is held."
    return _asked("(h)", label, f"{''.join(doubts)}{told}", "; ".join(papers))


def _in_order(texts: Iterable[str]) -> tuple[str, ...]:
    """Return texts in the order in which each comes first."""
    return tuple(dict.fromkeys(texts))
