"""The input sheet for the Union's deforestation regulation: known, or to be asked.

It is no statement and files nothing. Each wood has the points of article 9 in order,
with what is known, where that comes from, or whom to ask for it.
"""

from collections.abc import Iterator

from labels import faces, species_page
from labels.materials_table import LABEL, NOTE, WIDTH, Block
from labels.page import (
    HAIR,
    WALNUT,
    Page,
    Style,
    measure,
    rule,
    shortened,
    wrap,
    write,
    write_lines,
)
from labels.species_facts import Imprint
from labels.species_page import Outline, Size
from labels.squares import square
from labels.statement import statement_block
from ledger import quantities
from ledger.trade.consignment import Consignment
from ledger.trade.due_diligence import KEEP_YEARS, UNCHECKED, Sheet, Wood
from ledger.trade.forms.worksheet import Box

POINT_AT, LABEL_AT, VALUE_AT, FROM_AT = 5.0, 12.5, 53.0, 119.0
LABEL_WIDTH, VALUE_WIDTH = VALUE_AT - LABEL_AT - 2.5, FROM_AT - VALUE_AT - 3
FROM_WIDTH = WIDTH - FROM_AT
SIDE, FIRST, PITCH, LEADING = 2.5, 5.8, 5.4, 3.9
NAME_WIDTH, FORM_WIDTH = 104.0, 66.0

SPECIES = Style(face=faces.TEXT_SEMIBOLD_ITALIC, size=12.5, floor=9.5)
TRADE = Style(face=faces.TEXT, size=9.6, floor=7.6)
FORM = Style(face=faces.TEXT_SEMIBOLD, size=10.2, floor=7.6, may_shorten=True)
POINT = Style(face=faces.DATA_MEDIUM, size=8.6)
WHAT = Style(face=faces.TEXT_ITALIC, size=9, colour=WALNUT)
VALUE = Style(face=faces.TEXT, size=9.6)
COMES = Style(face=faces.TEXT, size=9, colour=WALNUT)
TO_ASK = Style(face=faces.TEXT_SEMIBOLD, size=9)
HEAD = Style(face=faces.TEXT_ITALIC, size=8.6, colour=WALNUT)
ABOUT = "What Regulation (EU) 2023/1115 asks of each wood, and what is not known"
NOT_FILED = (
    f"This sheet files nothing: whoever first places the wood on the Union’s market "
    f"files the statement, and keeps what it rests on {KEEP_YEARS} years. {UNCHECKED}"
)


def draw(
    consignment: Consignment, sheet: Sheet, imprint: Imprint, *, size: Size = "A4"
) -> bytes:
    """Draw the input sheet of a shipment."""
    outline = Outline(
        title="Due diligence input",
        about=ABOUT,
        number=consignment.number,
        date=consignment.printed_on.isoformat(),
        place=imprint.place,
        columns=species_page.columns_of(consignment),
        glance=glance(sheet),
        rows=[_customer_block(sheet), *map(_wood_block, sheet.woods)],
        ends=[
            _key(sheet),
            species_page.signature(
                consignment, imprint, heading="What this is for", beside=NOT_FILED
            ),
        ],
        tail=[statement_block(species_page.dated(consignment))],
        heads=_heads,
        whom_to_ask=imprint.whom_to_ask,
    )
    return species_page.draw(outline, size=size)


def notices(
    consignment: Consignment, sheet: Sheet, imprint: Imprint
) -> tuple[str, ...]:
    """Say what the sheet could not print at its best."""
    boxes = [sheet.customer, *(box for wood in sheet.woods for box in wood.boxes)]
    texts = [text for box in boxes for text in (box.value, box.comes_from) if text]
    said = (
        *species_page.notices(consignment, imprint),
        *faces.missing_notices(texts),
    )
    return tuple(dict.fromkeys(said))


def glance(sheet: Sheet) -> tuple[tuple[str, str], ...]:
    """Return the line that is read first: what must be asked leads."""
    asked = sheet.asked
    masses = [wood.mass_mg for wood in sheet.woods]
    known = [mass for mass in masses if mass is not None]
    said = [(str(asked), "to ask about")] if asked else [("", "nothing left to ask")]
    species = {wood.taxon for wood in sheet.woods}
    said.append((str(len(species)), "species"))
    if known:
        partly = "at least, " if len(known) < len(masses) else ""
        kilograms = quantities.kilograms(
            sum(known), places=2 if sum(known) >= 10**6 else 3
        )
        said.append((kilograms, f"{partly}net"))
    plots = "plot on file" if sheet.plots == 1 else "plots on file"
    said.append((str(sheet.plots), plots) if sheet.plots else ("", "no plot on file"))
    return tuple(said)


def _heads(page: Page, left: float, y: float) -> None:
    for offset, words in (
        (POINT_AT, "article 9(1)"),
        (VALUE_AT, "what is known"),
        (FROM_AT, "where it comes from, or what to do"),
    ):
        write(page, (left + offset, y), words, HEAD)
    rule(page, (left, left + WIDTH), y + 2.2)


def _customer_block(sheet: Sheet) -> Block:
    """Plan to whom it goes, which is asked once for all woods."""
    box = _box_block(sheet.customer)
    height = FIRST + 1.2 + box.height + 2.4

    def draw_customer(page: Page, left: float, y: float) -> None:
        write(page, (left, y + FIRST), "All woods", LABEL)
        box.draw(page, left, y + FIRST + 1.2)
        rule(page, (left, left + WIDTH), y + height, 0.22, HAIR)

    return Block(height, draw_customer, "customer", is_row=True)


def _wood_block(wood: Wood) -> Block:
    """Plan one wood: its name, then the points in order."""
    boxes = [_box_block(box) for box in wood.boxes]
    names = wrap(wood.taxon, SPECIES, NAME_WIDTH)
    head = FIRST + 4.6 * (len(names) - 1) + 1.2
    height = head + sum(box.height for box in boxes) + 2.4
    form = ", ".join(filter(None, (wood.form.replace("_", " "), wood.origin or "")))

    def draw_wood(page: Page, left: float, y: float) -> None:
        level = write_lines(page, (left, y + FIRST), names, SPECIES, 4.6) - 4.6
        x = left + measure(names[-1], SPECIES) + 3
        free = left + WIDTH - x - min(measure(form, FORM), FORM_WIDTH) - 4
        write(page, (x, level), shortened(wood.trade_name, TRADE, free), TRADE)
        at = (left + WIDTH, y + FIRST)
        write(page, at, form, FORM, align="right", within=FORM_WIDTH)
        level = y + head
        for box in boxes:
            box.draw(page, left, level)
            level += box.height
        rule(page, (left, left + WIDTH), y + height, 0.22, HAIR)

    return Block(height, draw_wood, f"points of {wood.taxon}", is_row=True)


def _box_block(box: Box) -> Block:
    """Plan one point: its square, its label, what is known, and the rest."""
    is_asked = box.state == "ask"
    labels = wrap(box.label, WHAT, LABEL_WIDTH)
    values = wrap(box.value, VALUE, VALUE_WIDTH) if box.value else []
    style = TO_ASK if is_asked else COMES
    comes = wrap(box.comes_from, style, FROM_WIDTH)
    height = PITCH + LEADING * (max(map(len, (labels, values, comes))) - 1)

    def draw_box(page: Page, left: float, y: float) -> None:
        level = y + PITCH - 0.9
        square(page, left, level - 2.3, SIDE, "broken" if is_asked else "solid")
        write(page, (left + POINT_AT, level), box.number, POINT)
        write_lines(page, (left + LABEL_AT, level), labels, WHAT, LEADING)
        write_lines(page, (left + VALUE_AT, level), values, VALUE, LEADING)
        write_lines(page, (left + FROM_AT, level), comes, style, LEADING)

    return Block(height, draw_box, box.label)


def _key(sheet: Sheet) -> Block:
    """Plan the meaning of the squares, and what was left out."""
    lines = wrap(" ".join(_left_out(sheet)), NOTE, WIDTH - 62)

    def draw_key(page: Page, left: float, y: float) -> None:
        x = left
        for state, words in (("solid", "known"), ("broken", "ask")):
            is_known = state == "solid"
            square(page, x, y + 3.2, SIDE, "solid" if is_known else "broken")
            x += write(page, (x + SIDE + 1.4, y + 5.5), words, VALUE) + SIDE + 8
        write_lines(page, (left + 62, y + 5.5), lines, NOTE, LEADING)

    return Block(8.0 + LEADING * max(0, len(lines) - 1), draw_key, "key")


def _left_out(sheet: Sheet) -> Iterator[str]:
    if sheet.left_out == 1:
        yield (
            "1 other thing is not in Annex I of the Regulation and not on this sheet."
        )
    elif sheet.left_out:
        yield (
            f"{sheet.left_out} other things are not in Annex I of the Regulation and "
            f"not on this sheet."
        )
    yield "The plots themselves go along as a file, GeoJSON (RFC 7946)."
