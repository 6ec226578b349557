"""Pages 1 and 3 of a booklet: which instrument it is, and by whose hands."""

from typing import Final

from labels import faces, marks
from labels.booklet_facts import OwnerBooklet
from labels.booklet_parts import (
    FIRST,
    MARGIN,
    MORE,
    folio,
    foot,
    head,
    sides,
    width,
)
from labels.emblem import draw_emblem
from labels.facts import Maker, figure_of, hatches_of, shown_name
from labels.figure import draw_figure, size_of
from labels.ornament_ink import draw_end_grain
from labels.page import (
    WALNUT,
    Page,
    Style,
    oxford,
    shortened,
    wrap,
    write,
)
from labels.tongue import Tongue

SHOP = Style(
    face=faces.CAPS, size=9.5, colour=WALNUT, tracking=0.07, floor=7, may_shorten=True
)
MODEL = Style(face=faces.TEXT_SEMIBOLD, size=30, floor=14, may_shorten=True)
KIND = Style(face=faces.TEXT, size=10, floor=8, may_shorten=True)
RUN = Style(face=faces.TEXT_ITALIC, size=10, floor=8, may_shorten=True)
SERIAL = Style(face=faces.DATA_HEAVY, size=17.5, floor=10)
NUMBER = Style(face=faces.DATA_MEDIUM, size=8.4, floor=6.8)
MOTTO = Style(face=faces.TEXT_ITALIC, size=12, colour=WALNUT, floor=9)
NAME = Style(face=faces.TEXT_SEMIBOLD, size=9.8, floor=7.6, may_shorten=True)
WORK = Style(face=faces.TEXT, size=8.6, floor=8, may_shorten=True)

EMBLEM_HEIGHT, EMBLEM_WIDTH = 6.4, 18.0  # at most [mm]
FIGURE_TOP, FIGURE_LOW = 56.0, 38.0  # from the head, and from the foot
FIGURES_APART = 38.0
TREE = 22.0  # radius of an end grain
MARKED, WORK_LEADING, NAME_LEADING, MAKERS_APART = 9.0, 3.7, 4.3, 2.0
WORK_LINES: Final = 2


def title(page: Page, booklet: OwnerBooklet, say: Tongue) -> None:
    """Set page 1: whose work it is, which instrument, and its figure."""
    shown, (left, right) = booklet.certificate, sides(page)
    room = width(page)
    if shown.emblem is not None:
        high = min(EMBLEM_HEIGHT, EMBLEM_WIDTH / shown.emblem.ratio)
        wide = shown.emblem.width(high)
        draw_emblem(page, shown.emblem, (right - wide, 15.6 - high), high)
        room -= wide + 3
    write(page, (left, 15), shown.shop, SHOP, within=room, field="shop")
    oxford(page, (left, right), 18, "small")
    write(page, (left, 31), shown.model, MODEL, within=width(page), field="model")
    kind = say(shown.kind)
    said = ", ".join(filter(None, (kind, str(booklet.year))))
    said = said[:1].upper() + said[1:]
    write(page, (left, 37), said, KIND, within=width(page), field="kind")
    write(page, (left, 42), shown.run, RUN, within=width(page), field="run")
    at = (left, 51)
    serial = shown.serial
    taken = write(page, at, serial, SERIAL, within=55, field="serial")
    free, at = width(page) - taken - 4, (right, 51)
    number = shown.number
    write(page, at, number, NUMBER, align="right", within=free, field="number")
    _figure(page, booklet)
    y = page.height - 27
    write(page, (left, y), say("Owner’s booklet"), SHOP, within=width(page))
    motto = say("Made by these hands, from these trees.")
    write(page, (left, y + 7), motto, MOTTO, within=width(page), field="motto")
    if booklet.superseded_by:
        said = say("Superseded by {number}; true as of {day}.").format(
            number=booklet.superseded_by, day=shown.issued
        )
        write(page, (left, y + 12.4), said, MORE, within=width(page), field="newer")
    folio(page, 1, shown.serial)


def _figure(page: Page, booklet: OwnerBooklet) -> None:
    """Draw the instrument from both sides as high as there is room for.

    Of a kind without an outline the end grain of the certificate's entry stands there.
    """
    shown, middle = booklet.certificate, page.width / 2
    top, low = FIGURE_TOP, page.height - FIGURE_LOW
    facts = figure_of(shown.kind, ((m.part, m.species) for m in shown.materials))
    if facts is None:
        draw_end_grain(page, (middle, (top + low) / 2), shown.leaf, TREE)
        return
    _, high = size_of(shown.kind, 1.0)
    unit = round((low - top) / high, 3)
    at, hatches = (middle - FIGURES_APART / 2, top), hatches_of(shown)
    draw_figure(page, at, unit, facts, apart=FIGURES_APART, hatches=hatches)


def hands(page: Page, booklet: OwnerBooklet, say: Tongue) -> None:
    """Set page 3: everybody who worked on it, and what they did."""
    head(page, say("By these hands"))
    makers = booklet.certificate.makers
    y, until = FIRST, foot(page)
    for number, maker in enumerate(makers):
        lines = _work(page, maker, say)
        high = NAME_LEADING + WORK_LEADING * (len(lines) - 1)
        is_last = number == len(makers) - 1
        # Somebody may follow, who is counted at least.
        if y + high + (0 if is_last else MAKERS_APART + WORK_LEADING) > until:
            more = len(makers) - number
            said = say("and {number} more, on the certificate").format(number=more)
            write(page, (MARGIN + MARKED, y), said, MORE)
            break
        _maker(page, y, maker, lines, say)
        y += high + MAKERS_APART + WORK_LEADING
    folio(page, 3, booklet.certificate.serial)


def _work(page: Page, maker: Maker, say: Tongue) -> list[str]:
    """Return what somebody did in a few lines; what has no room is counted."""
    room, did = width(page) - MARKED, maker.work.split(", ")
    lines = wrap(maker.work, WORK, room)
    for kept in range(len(did) - 1, 0, -1):
        if len(lines) <= WORK_LINES:
            break
        said = say("{works}, and {number} more").format(
            works=", ".join(did[:kept]), number=len(did) - kept
        )
        lines = wrap(said, WORK, room)
    if len(lines) <= WORK_LINES:
        return lines
    rest = " ".join(lines[WORK_LINES - 1 :])
    return [*lines[: WORK_LINES - 1], shortened(rest, WORK, room)]


def _maker(page: Page, y: float, maker: Maker, lines: list[str], say: Tongue) -> None:
    x, room = MARGIN + MARKED, width(page) - MARKED
    marks.hand_mark(page, MARGIN + 0.2, y, maker.badge, 2.9)
    name = shown_name(maker.name, maker.badge, say)
    write(page, (x, y), name, NAME, within=room, field=f"name of badge {maker.badge}")
    for number, line in enumerate(lines):
        at = (x, y + NAME_LEADING + WORK_LEADING * number)
        write(page, at, line, WORK, within=room, field=f"work of badge {maker.badge}")
