"""The chain of custody of a shipment: each part's way, a step a line.

A step has its day, its document and its entry, and the edge of its square says how it
is shown. A gap is drawn as one, with what to do, and the first line counts them.
"""

from collections.abc import Sequence

from labels import faces, species_page
from labels.custody_facts import Chain, Step, stage_words
from labels.marks import State, stroke
from labels.materials_table import WIDTH, Block
from labels.page import (
    BARK,
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
from ledger.errors import RefusedError
from ledger.trade.consignment import Consignment, Shown

STAGE_AT, SAID_AT, DAY_AT, DOCUMENT_AT, ENTRY_AT, SHOWN_AT = (
    6.0,
    29.0,
    80.0,
    101.0,
    154.0,
    157.0,
)
SAID_WIDTH, DOCUMENT_WIDTH = DAY_AT - SAID_AT - 2, ENTRY_AT - DOCUMENT_AT - 13
SHOWN_WIDTH = WIDTH - SHOWN_AT
PART_WIDTH = 70.0
SIDE, FIRST, PITCH, LEADING = 2.7, 5.6, 5.0, 3.9

SPECIES = Style(face=faces.TEXT_SEMIBOLD_ITALIC, size=12.5, floor=9.5)
TRADE = Style(face=faces.TEXT, size=9.6, floor=7.6)
PART = Style(face=faces.TEXT_SEMIBOLD, size=10.2, floor=7.6, may_shorten=True)
STAGE = Style(face=faces.TEXT_ITALIC, size=9, colour=WALNUT)
SAID = Style(face=faces.TEXT, size=9.6, floor=8)
DATA = Style(face=faces.DATA, size=8.6, floor=7)
SHOWN = Style(face=faces.TEXT, size=9, floor=7.6)
CODE = Style(face=faces.DATA_MEDIUM, size=8.8, floor=7)
GAP = Style(face=faces.TEXT_SEMIBOLD, size=9.6, floor=7.6)
HEAD = Style(face=faces.TEXT_ITALIC, size=8.6, colour=WALNUT)
KEY = Style(face=faces.TEXT, size=9)
FURTHER = " ff."
CODED = ("lot", "board", "thing")
ABOUT = "The way of each part, from where it grew to what it goes as"
WORDS: dict[Shown, tuple[State, str]] = {
    "document": ("solid", "by a paper"),
    "diary": ("hollow", "by our own book"),
    "witness": ("hollow", "by a word"),
    "none": ("broken", "not shown"),
}
HOW = (
    "Papers are named by the code under which they are filed; numbers are entries of "
    "the record, ff. one more for each further piece. Our own book is what the "
    "workshop wrote down itself, a word what somebody told it. By a paper: only where "
    "one is named in the same line. "
    "A gap is said to be one: it may still be closed by asking."
)


def draw(
    consignment: Consignment,
    chains: Sequence[Chain],
    imprint: Imprint,
    *,
    size: Size = "A4",
) -> bytes:
    """Draw the chain of custody of a shipment."""
    if not chains:
        raise RefusedError("0 parts in the chain of custody; name at least 1")
    outline = Outline(
        title="Chain of custody",
        about=ABOUT,
        number=consignment.number,
        date=consignment.printed_on.isoformat(),
        place=imprint.place,
        columns=species_page.columns_of(consignment),
        glance=(*imprint.in_doubt, *glance(chains)),
        rows=[_chain_block(each) for each in chains],
        ends=[
            _key(),
            species_page.signature(
                consignment, imprint, heading="How it is shown", beside=HOW
            ),
        ],
        tail=[statement_block(species_page.dated(consignment))],
        heads=_heads,
        whom_to_ask=imprint.whom_to_ask,
    )
    return species_page.draw(outline, size=size)


def notices(
    consignment: Consignment, chains: Sequence[Chain], imprint: Imprint
) -> tuple[str, ...]:
    """Say what the paper could not print at its best."""
    texts = [
        text for each in chains for step in each.steps for text in (step[1], step[3])
    ]
    return (
        *species_page.notices(consignment, imprint),
        *faces.missing_notices([text for text in texts if text]),
    )


def glance(chains: Sequence[Chain]) -> tuple[tuple[str, str], ...]:
    """Return the line that is read first: gaps lead, and none has no figure.

    Where no paper shows anything, that leads.
    """
    gaps = sum(each.gaps for each in chains)
    whole = sum(
        each.pieces
        for each in chains
        if all(step.said and step.shown == "document" for step in each.steps)
    )
    parts = sum(each.pieces for each in chains)
    counted = (str(parts), "part" if parts == 1 else "parts")
    told = [(str(gaps), "gap to ask about" if gaps == 1 else "gaps to ask about")]
    said = [*told, counted] if gaps else [("", "gaps: none found"), counted]
    if not any(step.shown == "document" for each in chains for step in each.steps):
        # No gap in our own book is no proof to others, and must not read like one.
        bare = (str(parts), f"{counted[1]}, none shown by a paper")
        said = [*told, bare] if gaps else [bare, ("", "gaps: none in our own book")]
    said.append((str(len({each.taxon for each in chains})), "species"))
    if whole:
        said.append((str(whole), "by papers all the way"))
    return tuple(said)


def _heads(page: Page, left: float, y: float) -> None:
    for offset, words in (
        (STAGE_AT, "step"),
        (SAID_AT, "who, where, what"),
        (DAY_AT, "day"),
        (DOCUMENT_AT, "paper on file"),
        (SHOWN_AT, "how it is shown"),
    ):
        write(page, (left + offset, y), words, HEAD)
    write(page, (left + ENTRY_AT, y), "entry", HEAD, align="right")
    rule(page, (left, left + WIDTH), y + 2.2)


def _chain_block(each: Chain) -> Block:
    """Plan the way of one wood: its name, then its steps on a line."""
    steps = [_step_block(step, each) for step in each.steps]
    names = wrap(each.taxon, SPECIES, 100)
    head = FIRST + 4.6 * (len(names) - 1) + 1.6
    height = head + sum(step.height for step in steps) + 2.4
    tail = f", {each.thing}"
    whole = f"{each.part}{tail}" if each.part else each.thing
    part = shortened(whole, PART, PART_WIDTH, tail=tail if each.part else "")

    def draw_chain(page: Page, left: float, y: float) -> None:
        level = write_lines(page, (left, y + FIRST), names, SPECIES, 4.6) - 4.6
        x = left + measure(names[-1], SPECIES) + 3
        end = left + WIDTH
        free = end - x - min(measure(part, PART), PART_WIDTH) - 4
        write(page, (x, level), shortened(each.trade_name, TRADE, free), TRADE)
        at = (end, y + FIRST)
        write(page, at, part, PART, align="right", within=PART_WIDTH, field="part")
        level = y + head
        spots = []
        for step in steps:
            spots.append(level + PITCH - 2.5)
            step.draw(page, left, level)
            level += step.height
        _links(page, left + SIDE / 2, spots, each.steps)
        rule(page, (left, left + WIDTH), y + height, 0.22, HAIR)

    name = f"way of {each.part or each.taxon} of {each.thing}"
    return Block(height, draw_chain, name, is_row=True)


def _links(page: Page, x: float, spots: Sequence[float], steps: Sequence[Step]) -> None:
    """Draw the line from square to square, broken where a gap lies at an end."""
    for number in range(len(spots) - 1):
        start, end = spots[number] + SIDE + 0.5, spots[number + 1] - 0.5
        is_broken = steps[number].is_gap or steps[number + 1].is_gap
        dash = (0.5, 0.45) if is_broken else None
        stroke(page, [(x, start), (x, end)], 0.9, dash=dash, colour=BARK)


def _step_block(step: Step, way: Chain) -> Block:
    """Plan one step; what is not known is said with what to do."""
    name, to_do = stage_words(step.stage, is_animal=way.is_animal, is_made=way.is_made)
    told = CODE if step.stage in CODED else SAID
    state, words = WORDS[step.shown if step.said else "none"]
    style = told if step.said else GAP
    width = SAID_WIDTH if step.said else ENTRY_AT - SAID_AT - 13
    said = wrap(step.said or to_do, style, width)
    papers = wrap(step.document, DATA, DOCUMENT_WIDTH) if step.document else []
    height = PITCH + LEADING * (max(len(said), len(papers)) - 1)

    def draw_step(page: Page, left: float, y: float) -> None:
        level = y + PITCH - 0.3
        square(page, left, level - 2.4, SIDE, state)
        write(page, (left + STAGE_AT, level), name, STAGE)
        write_lines(page, (left + SAID_AT, level), said, style, LEADING)
        write(page, (left + DAY_AT, level), step.day, DATA)
        write_lines(page, (left + DOCUMENT_AT, level), papers, DATA, LEADING)
        if step.entry is not None:
            at = (left + ENTRY_AT, level)
            said_entry = f"{step.entry}{FURTHER}" if step.is_first else str(step.entry)
            write(page, at, said_entry, DATA, align="right", within=12)
        shown = SHOWN if step.said and step.shown != "none" else GAP
        at = (left + SHOWN_AT, level)
        write(page, at, words, shown, within=SHOWN_WIDTH)

    return Block(height, draw_step, f"step {name}")


def _key() -> Block:
    """Plan the meaning of the squares."""
    meant: tuple[tuple[State, str], ...] = (
        ("solid", "shown by a paper on file"),
        ("hollow", "by our own book, or by a word"),
        ("broken", "a gap: not shown"),
    )

    def draw_key(page: Page, left: float, y: float) -> None:
        x = left
        for state, words in meant:
            square(page, x, y + 3.1, SIDE, state)
            x += SIDE + 1.4
            x += write(page, (x, y + 5.5), words, KEY) + 7

    return Block(8.0, draw_key, "key")
