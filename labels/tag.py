"""The build tag that travels with an instrument: A5 on its side, folded to A6.

Printed on one side, the outside alone does; the route is on the inside. A tag is stale
as soon as somebody signs, so it says when it was printed.
"""

from dataclasses import replace
from typing import Literal

from labels import archive, faces, marks, qr, tag_back, tag_front, tag_inside
from labels.page import (
    A4,
    BARK,
    LETTER,
    MM,
    WALNUT,
    Page,
    Style,
    bookmark,
    open_document,
    turn_over,
    write,
)
from labels.tag_facts import BuildTag, MaySign, NextStep, Signed, TagStep, Wood
from labels.tongue import Tongue, tongue
from ledger.errors import RefusedError

__all__ = [
    "BuildTag",
    "MaySign",
    "NextStep",
    "Signed",
    "TagStep",
    "Wood",
    "draw",
    "notices",
]

SIZE = (210.0, 148.0)
FOLD, FOLD_TICK = 105.0, 3.0
SHEETS = {"A5": SIZE, "A4": A4[::-1], "Letter": LETTER[::-1]}
CROP_GAP, CROP_TICK = 2.0, 5.0
HOW = Style(face=faces.TEXT, size=8, colour=WALNUT, floor=6.8)


def _crop_ticks(sheet: Page, corner: tuple[float, float]) -> None:
    """Draw ticks outside the four corners, clear of the tag."""
    left, top = corner
    right, foot = left + SIZE[0], top + SIZE[1]
    for x, outward in ((left, -1), (right, 1)):
        for y, beyond in ((top, -1), (foot, 1)):
            start, end = CROP_GAP, CROP_GAP + CROP_TICK
            level = [(x + outward * start, y), (x + outward * end, y)]
            upright = [(x, y + beyond * start), (x, y + beyond * end)]
            marks.stroke(sheet, level, 0.5)
            marks.stroke(sheet, upright, 0.5)


def _fold(leaf: Page) -> None:
    """Tick the fold at the head and at the foot."""
    for ends in ((0.0, FOLD_TICK), (SIZE[1] - FOLD_TICK, SIZE[1])):
        marks.stroke(leaf, [(FOLD, y) for y in ends], 0.5, colour=BARK)


def _begin(sheet: Page) -> Page:
    """Return the leaf in the middle of a sheet, whose own corner is its zero."""
    x, y = ((sheet.width - SIZE[0]) / 2, (sheet.height - SIZE[1]) / 2)
    # Whole dots, so that the symbol keeps to them.
    x, y = (qr.snap(place, qr.DOTS_PER_INCH) for place in (x, y))
    leaf = replace(sheet, width=SIZE[0], height=SIZE[1])
    sheet.canvas.saveState()
    sheet.canvas.translate(x * MM, (sheet.height - SIZE[1] - y) * MM)
    return leaf


def _finish(sheet: Page, leaf: Page, say: Tongue) -> None:
    """End a leaf: its fold, and on a larger sheet the ticks to cut at."""
    _fold(leaf)
    sheet.canvas.restoreState()
    if sheet.width > SIZE[0]:
        x, y = ((sheet.width - SIZE[0]) / 2, (sheet.height - SIZE[1]) / 2)
        _crop_ticks(sheet, (x, y))
        how = say(
            "Print at 100 %, on both sides, turned over the short edge. Cut at the "
            "ticks, fold at the middle."
        )
        write(sheet, (x + CROP_GAP, y + SIZE[1] + CROP_TICK), how, HOW, within=SIZE[0])
    turn_over(sheet)


def _refuse_nonsense(tag: BuildTag) -> None:
    if tag.print_number < 1:
        raise RefusedError(
            f"print {tag.print_number} is no count; 1 is the first print, 2 the next"
        )


def draw(tag: BuildTag, *, paper: Literal["A5", "A4", "Letter"] = "A5") -> bytes:
    """Draw a tag, the outside first; A4 and Letter hold it in their middle."""
    _refuse_nonsense(tag)
    say = tongue(tag.language)
    title = say("Build tag {serial}").format(serial=tag.serial)
    sheet = open_document(SHEETS[paper], title, tag.language)
    bookmark(sheet, title)
    leaf = _begin(sheet)
    tag_front.draw(leaf, tag)
    tag_back.draw(leaf, tag)
    _finish(sheet, leaf, say)
    shares = tag_inside.sheets(tag.steps)
    for number, steps in enumerate(shares, start=1):
        said = say("sheet {number} of {whole}")
        said = f", {said.format(number=number, whole=len(shares))}"
        said = said if len(shares) > 1 else ""
        bookmark(sheet, f"{say('Route')}{said}")
        leaf = _begin(sheet)
        tag_inside.draw(leaf, tag, steps, said)
        _finish(sheet, leaf, say)
    note = archive.checkpoint_file(tag.checkpoint_note)
    return archive.keep(sheet, day=tag.printed_at[:10], files=(note,))


def _left_over(tag: BuildTag) -> list[str]:
    """Say what stands on the tag as a number alone, for want of room."""
    people, wood = len(tag.may_sign), len(tag.wood)
    say = tongue(tag.language)
    hazards = tag_front.hazard_lines(tag.hazards, say)[1] if tag.hazards else 0
    counts = (
        ("who may sign", people, people - tag_front.people_shown(tag, say)),
        ("boards", wood, wood - tag_front.wood_shown(tag)),
        ("species in the dust band", len(tag.hazards), hazards),
    )
    return [
        f"{what}: {whole}, and {left} of them found no room; printed as a count"
        for what, whole, left in counts
        if left
    ]


def notices(tag: BuildTag) -> tuple[str, ...]:
    """Say what the tag could not print at its best."""
    weaker = qr.board_symbol(tag_front.payload(tag)).notice
    texts = [tag.shop, tag.model, tag.kind, tag.run, tag.serial, tag.body, tag.neck]
    texts += [tag.state, *tag.why, *tag.then, *tag.hazards, tag.checkpoint_note]
    texts += [tag.next_step.name] if tag.next_step else []
    texts += [text or "" for person in tag.may_sign for text in person[1:]]
    texts += [text for wood in tag.wood for text in wood]
    texts += [text for step in tag.steps for text in (step.name, step.remark)]
    found = [notice for notice in (weaker, *_left_over(tag)) if notice]
    return (*found, *faces.missing_notices(texts))
