"""The inside of a build tag: the route, and who signed each step.

A signed step prints filled and an open one leaves a box to ink, so that the eye sees
how far a build has come without a scan.
"""

from dataclasses import replace
from typing import NamedTuple

from labels import faces, marks
from labels.page import (
    HAIR,
    WALNUT,
    WHITE,
    Page,
    Style,
    box,
    least,
    measure,
    oxford,
    rule,
    write,
)
from labels.squares import square
from labels.tag_facts import BuildTag, Signed, TagStep
from labels.tag_front import mark_within
from labels.tongue import Tongue, term, tongue

PANELS = ((6.0, 99.0), (111.0, 204.0))
FIRST = 15.6  # upper edge of the first row
LAST = 139.6  # lower edge of the last
ROWS, MOST_ROWS = 21, 24  # in a panel: at ease, and at most
SIDE = 2.7
BASE = 0.68  # of a row, where its letters stand
NUMBER, NAME, INK = 9.0, 11.0, 24.0
MAPLE = "#F1E8D6"

SERIAL = Style(face=faces.DATA_HEAVY, size=15, floor=9)
TITLE = Style(face=faces.TEXT_SEMIBOLD, size=15.5, floor=9, may_shorten=True)
ABOUT = Style(face=faces.TEXT, size=9.6, colour=WALNUT, floor=6.8, may_shorten=True)
COUNT = Style(face=faces.CAPS, size=9, colour=WALNUT, tracking=0.07)
ORDINAL = Style(face=faces.DATA_MEDIUM, size=8.8, floor=7)
LOUD = Style(face=faces.DATA_BOLD, size=8.8, floor=7)
STEP = Style(face=faces.TEXT, size=9.8, floor=7.6, may_shorten=True)
LOUD_STEP = Style(face=faces.TEXT_SEMIBOLD, size=9.8, floor=7.6, may_shorten=True)
ASIDE = Style(face=faces.TEXT_ITALIC, size=8.8, colour=WALNUT, floor=6.8)
SMALL_ASIDE = Style(face=faces.TEXT_ITALIC, size=6.8, colour=WALNUT, floor=6.8)
NEXT = Style(face=faces.TEXT_SEMIBOLD, size=9.8)
DATE = Style(face=faces.DATA, size=8.4, floor=7)
BADGE = Style(face=faces.DATA_MEDIUM, size=8.4, floor=6.8)
KEY = Style(face=faces.TEXT, size=8.8)

EDGES: tuple[tuple[marks.State, str], ...] = (
    ("solid", term("signed")),
    ("hollow", term("open")),
    ("sawn", term("on hold")),
    ("broken", term("not known")),
)


class Place(NamedTuple):
    """Where a row stands: its two ends, its upper edge and its height [mm]."""

    start: float
    end: float
    y: float
    pitch: float


def sheets(steps: tuple[TagStep, ...]) -> list[tuple[TagStep, ...]]:
    """Share a route out on insides, 48 steps at most on each."""
    full = 2 * MOST_ROWS
    return [steps[n : n + full] for n in range(0, len(steps), full)] or [()]


def _words(
    page: Page, row: Place, step: TagStep, style: Style, within: float, say: Tongue
) -> None:
    """Set name and remark, on one line while that holds them, else on two small ones.

    A gate is said in words, not by the weight of its letters alone.
    """
    x, field, name = row.start + NAME, f"name of step {step.number}", say(step.name)
    aside = ", ".join(filter(None, (say("gate") if step.is_gate else "", step.remark)))
    beside = within - least(aside, ASIDE) - 1.8 if aside else within
    if least(name, style) <= beside or not aside:
        level = row.y + row.pitch * BASE
        taken = write(page, (x, level), name, style, within=beside, field=field)
        x, left, aside_style = x + taken + 1.8, within - taken - 1.8 + 1e-6, ASIDE
    else:
        at, small = (x, row.y + row.pitch * 0.44), replace(style, size=style.floor)
        write(page, at, name, small, within=within, field=field)
        level, left, aside_style = row.y + row.pitch * 0.88, within, SMALL_ASIDE
    if aside:
        field = f"remark of step {step.number}"
        write(page, (x, level), aside, aside_style, within=left, field=field)


def _empty_box(page: Page, x: float, y: float, height: float) -> None:
    """Draw a box to ink, white even on a tint."""
    box(page, x, y, INK, height, WHITE)
    corners = [(x, y), (x + INK, y), (x + INK, y + height), (x, y + height)]
    marks.stroke(page, corners + corners[:2], 0.5)


def _signature(page: Page, x: float, y: float, step: TagStep, signed: Signed) -> None:
    """Print who signed and when where the box would be; y is the baseline."""
    field = f"signature of step {step.number}"
    write(page, (x, y), signed.day, DATE, within=9.6, field=field)
    mark_within(page, (x + 10.4, y), signed.badge, 2.4, 9.2)
    at = (x + INK, y)
    write(page, at, signed.badge, BADGE, align="right", within=13, field=field)


def _row(page: Page, place: Place, step: TagStep, tag: BuildTag) -> None:
    """Set a step between its rules; the next is tinted, and named so."""
    start, end, y, pitch = place
    level, stop = y + pitch * BASE, end - INK - 1.5
    is_next = tag.next_step is not None and step.number == tag.next_step.number
    if is_next:
        box(page, start, y, end - start, pitch, MAPLE)
    rule(page, (start, end), y + pitch, 0.22, HAIR)
    state = _state(step, tag.edge if is_next else "hollow")
    square(page, start + 0.6, y + (pitch - SIDE) / 2, SIDE, state)
    at, number = (start + NUMBER, level), str(step.number)
    ordinal, style = (LOUD, LOUD_STEP) if step.is_gate or is_next else (ORDINAL, STEP)
    write(page, at, number, ordinal, align="right", within=5, field="step number")
    say = tongue(tag.language)
    following = say("next") if is_next else ""
    room = stop - start - NAME - (measure(following, NEXT) + 1.5 if is_next else 0)
    _words(page, place, step, style, room, say)
    if is_next:
        write(page, (stop, level), following, NEXT, align="right")
    if step.signed:
        _signature(page, end - INK, level, step, step.signed)
    else:
        _empty_box(page, end - INK, y + 0.6, pitch - 1.2)


def _state(step: TagStep, edge: marks.State) -> marks.State:
    """Return the edge of a step's square; only a hold or a doubt shows before it."""
    if step.signed:
        return "solid"
    return edge if edge in ("sawn", "broken") else "hollow"


def _heads(page: Page, tag: BuildTag, sheet: str) -> None:
    """Set the serial, the model, and how far the route has come."""
    (left, end), (start, right) = PANELS
    say, y = tongue(tag.language), 10.4
    x = left + write(page, (left, y), tag.serial, SERIAL, within=36, field="serial") + 5
    x += write(page, (x, y), say("Route"), TITLE) + 1.8
    write(page, (x, y), say(tag.kind), ABOUT, within=end - x, field="kind")
    signed = sum(step.signed is not None for step in tag.steps)
    said = say("Signed {number} of {whole}")
    said = f"{said.format(number=signed, whole=len(tag.steps))}{sheet}"
    taken = write(page, (right, y), said, COUNT, align="right") + 4
    free = right - start - taken
    write(page, (start, y), tag.model, TITLE, within=free, field="model")
    for panel in PANELS:
        oxford(page, panel, 13.4, "small")


def _key(page: Page, tag: BuildTag) -> None:
    """Say what the squares mean, and a gate and an empty box where there is one."""
    say, x = tongue(tag.language), PANELS[0][0] + 0.6
    words = [say(word) for _, word in EDGES]
    room = PANELS[0][1] - x - len(EDGES) * (SIDE + 1.3)
    gap = min(6.0, (room - sum(measure(word, KEY) for word in words)) / 3)
    for (state, _), word in zip(EDGES, words, strict=True):
        square(page, x, 141.6, SIDE, state)
        x += SIDE + 1.3
        x += write(page, (x, 143.9), word, KEY) + gap
    gate = say("A gate opens for a named person.")
    how = say("Empty box: date and initials, in ink.")
    said = [gate] if any(step.is_gate for step in tag.steps) else []
    said += [how] if any(step.signed is None for step in tag.steps) else []
    write(page, (PANELS[1][0], 143.9), " ".join(said), ASIDE, within=93)


def draw(page: Page, tag: BuildTag, steps: tuple[TagStep, ...], sheet: str) -> None:
    """Draw a share of the route over both panels; sheet is such as ", sheet 1 of 2"."""
    _heads(page, tag, sheet)
    rows = ROWS if len(steps) <= 2 * ROWS else MOST_ROWS
    pitch = (LAST - FIRST) / rows
    for number, step in enumerate(steps):
        column, row = divmod(number, rows)
        start, end = PANELS[column]
        _row(page, Place(start, end, FIRST + row * pitch, pitch), step, tag)
    _key(page, tag)
