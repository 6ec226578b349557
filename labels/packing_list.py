"""The packing list of a shipment: each thing with its marks, and its wood by species.

Net masses are the workshop's own weighings. The packages and the gross mass are for the
pen of whoever packs, who alone has both on the scale.
"""

from collections.abc import Sequence
from typing import NamedTuple

from labels import faces, species_page
from labels.materials_table import LABEL, NOTE, WIDTH, Block
from labels.packing_nets import Nets, nets
from labels.page import (
    BARK,
    HAIR,
    WALNUT,
    Page,
    Style,
    measure,
    rule,
    wrap,
    write,
    write_lines,
)
from labels.species_facts import Imprint
from labels.species_page import Outline, Size
from labels.statement import statement_block
from ledger import quantities
from ledger.errors import RefusedError
from ledger.trade.consignment import Consignment, Item, Thing

PACKAGE_WIDTH = 15.0
THING_AT, PART_AT, PIECES_AT, NET_AT, GROSS_AT = 19.0, 69.0, 124.0, 147.0, 153.0
SPECIES_WIDTH, PART_WIDTH = PART_AT - THING_AT - 2, PIECES_AT - PART_AT - 12
THING_WIDTH = PIECES_AT - THING_AT - 12
FIRST, LEADING, PITCH = 5.2, 4.1, 4.3
MOST_IN_ONE = 30  # woods of a thing that are kept on one page with it
PEN = 0.3
NEVER = "—"

CODE = Style(face=faces.DATA_BOLD, size=10.4, floor=7.6)
WHAT = Style(face=faces.TEXT_SEMIBOLD, size=10.2, floor=8)
MARKS = Style(face=faces.TEXT, size=9, colour=WALNUT, floor=7.6)
SPECIES = Style(face=faces.TEXT_ITALIC, size=9.6, floor=7.2)
PART = Style(face=faces.TEXT, size=9, floor=7.6)
NET = Style(face=faces.DATA_BOLD, size=9.8, floor=7.6)
FIGURE = Style(face=faces.DATA, size=9, floor=7.2)
HEAD = Style(face=faces.TEXT_ITALIC, size=8.6, colour=WALNUT)
ABOUT = "Every thing in this shipment, its marks and its net mass"
WEIGHED = (
    "Net masses are the workshop’s own weighings, without case or packing; a dash was "
    "never weighed. They are rounded so that the rows add up to the totals. Packages "
    "and gross mass are written in by whoever packs."
)

STATED = " Those of what was not made here are as stated, and were not weighed here."


class Wood(NamedTuple):
    """One species in one thing or in all: how many pieces, and their net mass."""

    species: str
    parts: str
    pieces: int
    mass_mg: int | None  # None where a piece was never weighed
    is_animal: bool


def draw(
    consignment: Consignment,
    imprint: Imprint,
    *,
    letterhead: Sequence[str] = (),
    size: Size = "A4",
) -> bytes:
    """Draw the packing list of a shipment; a letterhead stands line by line."""
    _require_whole(consignment)
    told = nets(consignment)
    rows = [
        block
        for thing in consignment.things
        for block in _thing_blocks(thing, _items_of(consignment, thing), told)
    ]
    outline = Outline(
        title="Packing list",
        about=ABOUT,
        number=consignment.number,
        date=consignment.printed_on.isoformat(),
        place=imprint.place,
        columns=species_page.columns_of(consignment, letterhead),
        glance=(*imprint.in_doubt, *glance(consignment)),
        rows=rows,
        ends=[
            _totals(consignment, told),
            *_sums(consignment, told),
            _packed(),
            species_page.signature(
                consignment,
                imprint,
                heading="How it was weighed",
                beside=_weighed(consignment),
            ),
        ],
        tail=[statement_block(species_page.dated(consignment))],
        heads=_heads,
        whom_to_ask=imprint.whom_to_ask,
    )
    return species_page.draw(outline, size=size)


def notices(consignment: Consignment, imprint: Imprint) -> tuple[str, ...]:
    """Say what the list could not print at its best, and what cannot be so."""
    heavy = []
    for thing in consignment.things:
        woods = [item.mass_mg or 0 for item in _items_of(consignment, thing)]
        if thing.mass_mg is not None and sum(woods) > thing.mass_mg:
            heavy.append(
                f"{thing.code} weighs {quantities.kilograms(thing.mass_mg)}, and its "
                f"parts {quantities.kilograms(sum(woods))}: weigh it again"
            )
    return (*heavy, *species_page.notices(consignment, imprint))


def by_species(items: Sequence[Item]) -> list[Wood]:
    """Return items added up by species, in the order in which each comes first."""
    heaps: dict[tuple[str, bool], list[Item]] = {}
    for item in items:
        heaps.setdefault((item.taxon, item.kind == "animal"), []).append(item)
    return [
        Wood(
            species=species,
            parts=", ".join(dict.fromkeys(item.part for item in heap if item.part)),
            pieces=sum(item.pieces for item in heap),
            mass_mg=_sum([item.mass_mg for item in heap]),
            is_animal=is_animal,
        )
        for (species, is_animal), heap in heaps.items()
    ]


def glance(consignment: Consignment) -> tuple[tuple[str, str], ...]:
    """Return the line that is read first: what was not weighed leads."""
    things = [thing.mass_mg for thing in consignment.things]
    woods = [item.mass_mg for item in consignment.items if item.kind != "animal"]
    missing = things.count(None)
    said = [(str(missing), "not weighed")] if missing else []
    said.append((str(len(things)), "thing" if len(things) == 1 else "things"))
    for masses, words in ((things, "net"), (woods, "of wood")):
        known = [mass for mass in masses if mass is not None]
        if known:
            partly = "at least, " if len(known) < len(masses) else ""
            said.append((_kilograms(sum(known)), f"{partly}{words}"))
    return (*said, ("", "gross: for the packer’s pen"))


def _weighed(consignment: Consignment) -> str:
    """Say how masses were found; what has no lot was described by whoever sends it."""
    is_stated = any(not each.lots and each.mass_mg for each in consignment.items)
    return WEIGHED + STATED if is_stated else WEIGHED


def _require_whole(consignment: Consignment) -> None:
    """Refuse a list of nothing, and parts of things that are not on it."""
    if not consignment.things:
        raise RefusedError("0 things on the packing list; name at least 1")
    codes = [thing.code for thing in consignment.things]
    for item in consignment.items:
        if item.thing not in codes:
            raise RefusedError(
                f"{item.part or item.taxon} belongs to {item.thing}, which is not in "
                f"{consignment.number}: plan the shipment again"
            )


def _items_of(consignment: Consignment, thing: Thing) -> list[Item]:
    return [item for item in consignment.items if item.thing == thing.code]


def _sum(masses: Sequence[int | None]) -> int | None:
    """Return a sum, or None where a part of it is not known."""
    known = [mass for mass in masses if mass is not None]
    return sum(known) if len(known) == len(masses) else None


def _kilograms(mass_mg: int) -> str:
    return quantities.kilograms(mass_mg, places=2 if mass_mg >= 10**6 else 3)


def _heads(page: Page, left: float, y: float) -> None:
    for offset, words in (
        (0.0, "package"),
        (THING_AT, "thing, and what it is made of"),
        (GROSS_AT, "gross kg"),
    ):
        write(page, (left + offset, y), words, HEAD)
    for offset, words in ((PIECES_AT, "pieces"), (NET_AT, "net kg")):
        write(page, (left + offset, y), words, HEAD, align="right")
    rule(page, (left, left + WIDTH), y + 2.2)


def _thing_blocks(thing: Thing, items: Sequence[Item], told: Nets) -> list[Block]:
    """Plan a thing with its woods: one block, or several where they are many."""
    woods = [
        _wood_block(wood, thing.code, _as_printed(wood, (thing.code,), told))
        for wood in by_species(items)
    ]
    head = _thing_head(thing, _words(told.things.get(thing.code), told))
    end = _thing_end(thing.code)
    if len(woods) <= MOST_IN_ONE:
        return [species_page.together([head, *woods, end], is_row=True)]
    return [block._replace(is_row=True) for block in (head, *woods, end)]


def _as_printed(wood: Wood, codes: Sequence[str], told: Nets) -> str:
    """Return what wood of a species in some things weighs, or a dash."""
    if wood.mass_mg is None:
        return NEVER
    keys = ((code, wood.species, wood.is_animal) for code in codes)
    return _words(sum(told.woods.get(key, 0) for key in keys), told)


def _words(mass_mg: int | None, told: Nets) -> str:
    """Print kilograms without their unit, or a dash where nobody weighed it."""
    if mass_mg is None:
        return NEVER
    words = quantities.kilograms(mass_mg, places=told.places)
    return words.rpartition(faces.THIN_SPACE)[0]


def _thing_head(thing: Thing, mass: str) -> Block:
    year = "" if thing.made_in is None else str(thing.made_in)
    what = ", ".join(filter(None, (_kind(thing), thing.model, year)))
    beside = measure(thing.code, CODE) + 3.0
    # What it is stands beside its code, or where that is too long under it.
    is_beside = measure(what, WHAT) <= THING_WIDTH - beside
    whats = wrap(what, WHAT, THING_WIDTH)
    said = "; ".join((*thing.marks, *_certificate(thing)))
    marks = wrap(said, MARKS, WIDTH - THING_AT) if said else []
    height = FIRST + LEADING * (len(whats) - is_beside + len(marks)) + 0.6

    def draw_thing(page: Page, left: float, y: float) -> None:
        at, level = left + THING_AT, y + FIRST
        write(page, (at, level), thing.code, CODE, within=THING_WIDTH, field="code")
        write(page, (left + PIECES_AT, level), "1", NET, align="right")
        _mass(page, (left + NET_AT, level), mass, NET)
        for x, width in ((0.0, PACKAGE_WIDTH), (GROSS_AT, WIDTH - GROSS_AT)):
            rule(page, (left + x, left + x + width), level + 0.9, PEN, BARK)
        if is_beside:
            write(page, (at + beside, level), what, WHAT)
            level += LEADING
        else:
            level = write_lines(page, (at, level + LEADING), whats, WHAT, LEADING)
        write_lines(page, (at, level), marks, MARKS, LEADING)

    return Block(height, draw_thing, f"what {thing.code} is")


def _kind(thing: Thing) -> str:
    """Say what it is, where its code does not say so already."""
    return "" if thing.what == thing.code else thing.what


def _certificate(thing: Thing) -> tuple[str, ...]:
    named = f"owner’s paper {thing.certificate}"
    return (named,) if thing.certificate else ()


def _wood_block(wood: Wood, code: str, mass: str) -> Block:
    """Plan one species in a thing."""
    parts = wrap(wood.parts, PART, PART_WIDTH) if wood.parts else []
    names = wrap(wood.species, SPECIES, SPECIES_WIDTH)
    height = PITCH + LEADING * (max(1, len(parts), len(names)) - 1)

    def draw_wood(page: Page, left: float, y: float) -> None:
        level = y + PITCH - 0.6
        write_lines(page, (left + THING_AT, level), names, SPECIES, LEADING)
        write_lines(page, (left + PART_AT, level), parts, PART, LEADING)
        at = (left + PIECES_AT, level)
        write(page, at, str(wood.pieces), FIGURE, align="right", within=11)
        _mass(page, (left + NET_AT, level), mass, FIGURE)

    return Block(height, draw_wood, f"parts of {code}")


def _thing_end(code: str) -> Block:
    def draw_end(page: Page, left: float, y: float) -> None:
        rule(page, (left, left + WIDTH), y + 2.2, 0.22, HAIR)

    return Block(2.2, draw_end, code)


def _mass(page: Page, at: tuple[float, float], mass: str, style: Style) -> None:
    write(page, at, mass, style, align="right", within=20, field="mass")


def _totals(consignment: Consignment, told: Nets) -> Block:
    """Plan the sum of all things; what was never weighed is said to be missing."""
    weighed, of = len(told.things), len(consignment.things)
    total = _words(sum(told.things.values()) if told.things else None, told)
    return _total("All things", of, total, _missing(weighed, of), has_gross=True)


def _missing(weighed: int, of: int) -> str:
    return f"net: {weighed} of {of} weighed" if weighed < of else ""


def _total(
    label: str, pieces: int, mass: str, note: str, *, has_gross: bool = False
) -> Block:
    def draw_total(page: Page, left: float, y: float) -> None:
        rule(page, (left, left + WIDTH), y, 0.8 if has_gross else 0.22)
        level = y + 4.9
        write(page, (left, level), label, LABEL)
        write(page, (left + PART_AT, level), note, NOTE)
        write(page, (left + PIECES_AT, level), str(pieces), NET, align="right")
        _mass(page, (left + NET_AT, level), mass, NET)
        if has_gross:
            rule(page, (left + GROSS_AT, left + WIDTH), level + 0.9, PEN, BARK)

    return Block(6.8, draw_total, "totals")


def _sums(consignment: Consignment, told: Nets) -> list[Block]:
    """Plan the sums of wood, then of each species, then of what is no wood."""
    blocks: list[Block] = []
    codes = [thing.code for thing in consignment.things]
    for label, is_animal in (("All wood", False), ("Other than wood", True)):
        items = [i for i in consignment.items if (i.kind == "animal") == is_animal]
        if not items:
            continue
        pieces = sum(item.pieces for item in items)
        known = [mg for key, mg in told.woods.items() if key[2] == is_animal]
        note = _missing(sum(i.mass_mg is not None for i in items), len(items))
        total = _words(sum(known) if known else None, told)
        blocks.append(_total(label, pieces, total, note))
        blocks += [
            _wood_block(
                wood._replace(parts=""), "all things", _as_printed(wood, codes, told)
            )
            for wood in by_species(items)
        ]
        blocks.append(Block(1.2, _nothing, label))
    return blocks


def _nothing(_: Page, __: float, ___: float) -> None:
    return


def _packed() -> Block:
    """Plan the lines for whoever packs."""
    places = (("Packed by", 0.0, 66.0), ("on", 70.0, 102.0), ("packages", 106.0, 134.0))
    gross = ("gross kg", 138.0, WIDTH)

    def draw_packed(page: Page, left: float, y: float) -> None:
        rule(page, (left, left + WIDTH), y, 0.22, HAIR)
        for words, start, end in (*places, gross):
            taken = write(page, (left + start, y + 7.5), words, HEAD)
            rule(page, (left + start + taken + 1.6, left + end), y + 8.2, PEN, BARK)

    return Block(11.0, draw_packed, "packed by")
