"""The owner card: the instrument on the front, and how to check it on the back.

ISO/IEC 7810 ID-1, 85.6 by 53.98 mm. No owner's name: a lost card must not tell a
stranger whose house to visit.
"""

from dataclasses import dataclass

from labels import archive, faces, qr
from labels.emblem import Emblem, draw_emblem
from labels.faces import THIN_SPACE
from labels.figure import FigureFacts, draw_figure, size_of
from labels.ornament_ink import CoreSize, core_width, draw_core, draw_spine
from labels.page import (
    WALNUT,
    Page,
    Style,
    in_two,
    least,
    open_document,
    oxford,
    rule,
    shortened,
    thousands,
    turn_over,
    wrap_small,
    write,
    write_lines,
)
from labels.tongue import term, tongue

SIZE = (85.6, 53.98)
LEFT, RIGHT = 9.0, 80.6
FIGURE_AT, FIGURE_TOP, FIGURE_UNIT = 67.0, 12.6, 0.178
SPINE = 5.2
EMBLEM_HEIGHT, EMBLEM_WIDTH = 5.6, 18.0  # at most [mm]
CORE_TOP, CORE = 47.4, CoreSize(row=2.0, gap=0.6)
MODULE = 10 * qr.INCH / qr.DOTS_PER_INCH
COLUMN = (45.2, 81.0)
SPECIES_SHOWN = 2
LABELS = 8.4  # what the label of a fact has in any case [mm]
FACTS_TOP, FACTS_PITCH, FACTS_CLOSE, FACTS_AT_EASE = 35.0, 3.25, 2.95, 5


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnerCard:
    """What a card shows; the chief species stand first.

    leaf is the hash of the certificate's `entry`, which spine and core are drawn from.
    """

    shop: str
    model: str
    kind: str
    year: int
    run: str
    serial: str
    certificate: str
    entry: int
    leaf: bytes
    card_text: str
    mass_g: int
    species: tuple[str, ...]
    key_line: str
    emblem: Emblem | None = None
    figure: FigureFacts | None = None
    language: str = "en"


SHOP = Style(
    face=faces.CAPS, size=7.6, colour=WALNUT, tracking=0.07, floor=6.8, may_shorten=True
)
MODEL = Style(face=faces.TEXT_SEMIBOLD, size=26, floor=13, may_shorten=True)
MODEL_WRAPPED = Style(face=faces.TEXT_SEMIBOLD, size=14.5, floor=11, may_shorten=True)
KIND = Style(face=faces.TEXT, size=8.6, floor=7, may_shorten=True)
RUN = Style(face=faces.TEXT_ITALIC, size=8.6, floor=7, may_shorten=True)
SERIAL = Style(face=faces.DATA_HEAVY, size=17.5, floor=10)
NUMBER = Style(face=faces.DATA_MEDIUM, size=7.6, floor=6)
BESIDE = Style(face=faces.TEXT_ITALIC, size=7.6, colour=WALNUT)
HEADING = Style(face=faces.CAPS, size=8, colour=WALNUT, tracking=0.07)
BODY = Style(face=faces.TEXT, size=7.4, floor=6.8)
ASIDE = Style(face=faces.TEXT_ITALIC, size=7.4, floor=6.8)
LABEL = Style(face=faces.TEXT, size=7.4, colour=WALNUT, floor=6.8, may_shorten=True)
VALUE = Style(face=faces.DATA_MEDIUM, size=7.2, floor=6)
SPECIES = Style(face=faces.TEXT_ITALIC, size=7.6, floor=6.8, may_shorten=True)
DRAWN = Style(face=faces.TEXT_ITALIC, size=7, colour=WALNUT, floor=6.8)
KEY = Style(face=faces.DATA, size=6.6, floor=6)

NOT_A_TITLE = term("Maker’s record. No title, no permit.")
TO_CHECK = term(
    "Ask the shop for its page that checks. Give it what the square says, in a browser "
    "of today."
)
NOTHING_SENT = term("No network; nothing is sent.")
THEN_LOOK = term("Then look: do serial, woods and mass match what you hold?")


def _front(page: Page, card: OwnerCard) -> None:
    wide = _figure(page, card) - LEFT
    draw_spine(page, card.leaf, at=(0, 0), length=SIZE[1], breadth=SPINE)
    draw_core(page, (LEFT, CORE_TOP), card.leaf, CORE, ink=WALNUT)
    write(page, (LEFT, 7.6), card.shop, SHOP, within=_named(page, card), field="shop")
    oxford(page, (LEFT, RIGHT), 9.8, "card")
    _model(page, card.model, wide)
    say = tongue(card.language)
    kind = f"{say(card.kind)}, {card.year}"
    write(page, (LEFT, 26.2), kind, KIND, within=wide, field="kind")
    name, _, place = card.run.rpartition(", ")
    run = shortened(card.run, RUN, wide, tail=f", {place}" if name else "")
    write(page, (LEFT, 29.9), run, RUN, within=wide, field="run")
    write(page, (LEFT, 39.6), card.serial, SERIAL, within=44, field="serial")
    at, number = (LEFT, 44.0), card.certificate
    taken = write(page, at, number, NUMBER, within=26, field="certificate")
    drawn = say("core and grain of its entry {entry}").format(
        entry=thousands(card.entry)
    )
    free = wide - taken - 1.5
    at = (LEFT + taken + 1.5, 44.0)
    write(page, at, drawn, DRAWN, within=free, field="entry")


def _model(page: Page, model: str, within: float) -> None:
    """Set the model on one line, or a long one on two."""
    if least(model, MODEL) <= within:
        write(page, (LEFT, 21.2), model, MODEL, within=within, field="model")
        return
    lines = in_two(model, MODEL_WRAPPED, within)
    for line, y in zip(lines, (16.0, 21.2)[-len(lines) :], strict=True):
        write(page, (LEFT, y), line, MODEL_WRAPPED, within=within, field="model")


def _figure(page: Page, card: OwnerCard) -> float:
    """Draw the instrument's front, and return where the words must end [mm].

    A core that is longer than most pushes it to the right.
    """
    if card.figure is None:
        return RIGHT
    wide, _ = size_of(card.figure.kind, FIGURE_UNIT)
    middle = max(FIGURE_AT, LEFT + core_width(card.leaf) + 1.5 + wide / 2)
    at = (min(middle, RIGHT - wide / 2), FIGURE_TOP)
    draw_figure(page, at, FIGURE_UNIT, card.figure, show="front")
    return at[0] - wide / 2 - 1


def _named(page: Page, card: OwnerCard) -> float:
    """Draw the shop's emblem, and return how far its name may reach beside it [mm]."""
    if card.emblem is None:
        return RIGHT - LEFT
    height = min(EMBLEM_HEIGHT, EMBLEM_WIDTH / card.emblem.ratio)
    wide = card.emblem.width(height)
    draw_emblem(page, card.emblem, (RIGHT - wide, 8.4 - height), height)
    return RIGHT - LEFT - wide - 3


def _shown(card: OwnerCard) -> tuple[str, ...]:
    """Return the chief woods; a third takes the line that would count it."""
    most = SPECIES_SHOWN + (len(card.species) == SPECIES_SHOWN + 1)
    return card.species[:most]


def _facts(page: Page, card: OwnerCard) -> None:
    """Set serial, mass, chief woods and the shop's key."""
    (x, end), say = COLUMN, tongue(card.language)
    mass = f"{thousands(card.mass_g)}{THIN_SPACE}g"
    shown = _shown(card)
    woods = [(say("wood"), name, SPECIES) for name in shown]
    left_over = len(card.species) - len(shown)
    if left_over > 0:
        more = say("and {number} more").format(number=left_over)
        woods.append(("", more, LABEL))
    rows = [
        (say("serial"), card.serial, VALUE),
        (say("mass"), mass, VALUE),
        *woods,
        (say("card key"), card.key_line, KEY),
    ]
    pitch = FACTS_PITCH if len(rows) <= FACTS_AT_EASE else FACTS_CLOSE
    for number, (label, value, style) in enumerate(rows):
        y = FACTS_TOP + pitch * number
        room = max(LABELS, end - x - 1 - least(value, style))
        taken = write(page, (x, y), label, LABEL, within=room, field="label")
        at = max(x + 9, x + taken + 0.6)
        write(page, (at, y), value, style, within=end - at, field=label)


def _back(page: Page, card: OwnerCard) -> None:
    (x, end), say = COLUMN, tongue(card.language)
    symbol = qr.card_symbol(card.card_text)
    corner = (qr.snap(4.6, qr.DOTS_PER_INCH), qr.snap(7.4, qr.DOTS_PER_INCH))
    qr.draw(page, symbol, *corner, MODULE)
    middle = corner[0] + symbol.side * MODULE / 2
    write(page, (middle, 47.9), say(NOT_A_TITLE), LABEL, align="centre", within=36)
    write(page, (x, 10.1), say("To check"), HEADING)
    y = 14.2
    for words, said, most in (
        (TO_CHECK, BODY, 3),
        (NOTHING_SENT, BODY, 1),
        (THEN_LOOK, ASIDE, 2),
    ):
        style, lines = wrap_small(say(words), said, end - x, most)
        lead = 0.4 if said is ASIDE else 0.0
        y = write_lines(page, (x, y + lead), lines, style, 3.05)
    rule(page, (x, end), 31.2, 0.3)
    _facts(page, card)


def draw(card: OwnerCard) -> bytes:
    """Draw both sides of a card, the front first."""
    say = tongue(card.language)
    title = say("Owner card {serial}").format(serial=card.serial)
    page = open_document(SIZE, title, card.language)
    _front(page, card)
    turn_over(page)
    _back(page, card)
    turn_over(page)
    return archive.keep(page)


def notices(card: OwnerCard) -> tuple[str, ...]:
    """Say which characters the card could not print."""
    woods = _shown(card)
    return faces.missing_notices(
        [card.shop, card.model, card.kind, card.run, card.serial, *woods]
    )
