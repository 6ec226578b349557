"""The label of thin wood: a strip over its edge, with one symbol on each side.

A plate of 4 mm has no end grain for a label of 22 mm. The strip hangs over an edge
that the template leaves as waste: both sides hang from the fold and read upright, and
the code stands on the fold, where it is seen in a rack. Over the edges of two halves
that lie face to face goes one strip as well: each side is of its own half, and slit
along the middle it becomes a label of each.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from math import ceil
from typing import Literal

from labels import archive, faces, marks, qr
from labels.label import (
    CODE,
    GAP,
    OVERSHOOT,
    ROLL_PRINTERS,
    SMALL,
    BoardLabel,
    Printer,
    below_lot,
    lot_words,
    mark,
    payload,
    said,
    wood,
)
from labels.page import (
    MM,
    WHITE,
    Page,
    Style,
    box,
    fit,
    least,
    measure,
    open_document,
    shortened,
    turn_over,
    write,
)
from labels.tongue import tongue
from ledger.errors import RefusedError

WIDTH, MARGIN = 25.0, 2.0
WITHIN = WIDTH - 2 * MARGIN
LEAST_FOLD, MOST_FOLD = 2.5, 12.0  # of one piece [mm]
CAP = marks.CAP_HEIGHT / MM  # [mm] of a point
RIM = 0.2  # of the check character's box beyond the capitals
END = 1.5  # white after the last line
HATCH, HATCH_PITCH = 1.6, 1.3
# Sixteen characters and their check stand in 21 mm at the floor.
ON_SIDE = replace(CODE, floor=6.8)
Line = tuple[float, str, Style, str]  # a baseline below the symbol, words, style, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A strip over the edge of one piece, or of two halves that lie face to face.

    thickness  of each piece [mm]
    """

    front: BoardLabel
    thickness: float
    back: BoardLabel | None = None

    @property
    def is_pair(self) -> bool:
        """Tell whether its two sides are of two halves."""
        return self.back is not None

    @property
    def labels(self) -> tuple[BoardLabel, ...]:
        """The labels that it is in one."""
        return (self.front, self.back) if self.back else (self.front,)


def fold(strip: Strip) -> float:
    """Return how much of a strip lies over the edge of one piece [mm].

    As thick as the piece, up to the next half millimetre, and never too narrow for a
    line of letters.
    """
    if not 0 < strip.thickness <= MOST_FOLD:
        raise RefusedError(
            f"{strip.front.code} is {strip.thickness:g} mm thick, and a strip goes "
            f"over more than 0 and at most {MOST_FOLD:g} mm: take the board label, "
            f"flitchbook label board"
        )
    return max(LEAST_FOLD, ceil(strip.thickness * 2 - 1e-9) / 2)


def side(strip: Strip, printer: Printer) -> float:
    """Return how far a side hangs down from the fold [mm]."""
    return _below(printer) + _lines(strip.front, is_pair=strip.is_pair)[-1][0] + END


def size(strip: Strip, printer: Printer) -> tuple[float, float]:
    """Return width and length of a strip, on whole dots [mm]."""
    dpi = printer.dots_per_inch
    folds = fold(strip) * len(strip.labels)
    length = 2 * qr.snap(side(strip, printer), dpi) + qr.snap(folds, dpi)
    return qr.snap(WIDTH, dpi), length


def roll(strips: list[Strip], dpi: Literal[203, 300, 600] = 203) -> bytes:
    """Draw strips for a continuous roll, one to a page of its own length."""
    if not strips:
        raise RefusedError("0 strips to print; name at least 1 board")
    printer = ROLL_PRINTERS[dpi]
    language = strips[0].front.language
    say = tongue(language)
    wrap, thin = say("Wrap labels, {number}"), say("Thin-set labels, {number}")
    title = (wrap if strips[0].is_pair else thin).format(number=len(strips))
    first = open_document(size(strips[0], printer), title, language)
    for strip in strips:
        width, length = size(strip, printer)
        first.canvas.setPageSize((width * MM, length * MM))
        _draw(replace(first, width=width, height=length), strip, printer)
        turn_over(first)
    return archive.keep(first)


def notices(strips: list[Strip]) -> tuple[str, ...]:
    """Say what these strips could not print at its best."""
    labels = [label for strip in strips for label in strip.labels]
    weaker = [qr.board_symbol(payload(label)).notice for label in labels]
    found = [notice for notice in weaker if notice]
    for label in labels:
        words, shown = said(label)[0], _what(label)[0]
        if words != shown:
            found.append(f"{label.code}: {words!r} is shortened to {shown!r}")
    texts = [
        text for label in labels for text in (label.genus, label.epithet, label.what)
    ]
    return (*dict.fromkeys(found), *faces.missing_notices(texts))


def _below(printer: Printer) -> float:
    """Return where the letters of a side begin below the fold [mm]."""
    return (qr.board_symbol("B/").side + 2 * qr.QUIET_ZONE) * printer.module


def _what(label: BoardLabel) -> tuple[str, Style]:
    words, style, tail = said(label)
    return shortened(words, style, WITHIN, tail=tail), style


def _lines(label: BoardLabel, *, is_pair: bool) -> list[Line]:
    """Return the lines below code, wood and mark of a half, or of a back below code.

    A pair has one line for its lot, which its code says as well: a dispute goes there.
    """
    what, style = _what(label)
    lot, say = (lot_words(label), SMALL), tongue(label.language)
    below = below_lot(label)
    if is_pair:
        last = lot if label.disputed is None else below
        return [(17.2, what, style, "what"), (19.8, *last, "lot")]
    return [
        (6.1, what, style, "what"),
        (8.7, *lot, "lot"),
        (11.3, *below, "received"),
        (15.0, say("on the waste edge"), SMALL, "edge"),
    ]


def _draw(page: Page, strip: Strip, printer: Printer) -> None:
    """Draw a strip as it lies flat: the front hangs down, the back up from the fold."""
    middle = page.height - qr.snap(side(strip, printer), printer.dots_per_inch)
    _side(page, strip, strip.front, middle, printer)
    with _turned(page):
        _side(page, strip, strip.back or strip.front, middle, printer, is_back=True)
    _fold(page, strip, middle)


@contextmanager
def _turned(page: Page) -> Iterator[None]:
    """Turn the page by half a turn about its middle, and back."""
    page.canvas.saveState()
    page.canvas.transform(-1, 0, 0, -1, page.width * MM, page.height * MM)
    yield
    page.canvas.restoreState()


def _side(
    page: Page,
    strip: Strip,
    label: BoardLabel,
    top: float,
    printer: Printer,
    *,
    is_back: bool = False,
) -> None:
    """Set a side from the fold down: its symbol, its code, and what a person needs."""
    symbol, dpi = qr.board_symbol(payload(label)), printer.dots_per_inch
    x = qr.snap((page.width - symbol.side * printer.module) / 2, dpi)
    y = top + qr.QUIET_ZONE * printer.module
    qr.draw(page, symbol, x, y, printer.module)
    middle, y = page.width / 2, top + _below(printer)
    _code(page, label, (middle, y + 2.8))
    if strip.is_pair or not is_back:
        wood(page, label, (middle, y + 3.0), WITHIN)
        mark(page, label, (middle, y + 10.8), WITHIN)
    if strip.is_pair or is_back:
        for drop, words, style, field in _lines(label, is_pair=strip.is_pair):
            at = (middle, y + drop)
            write(page, at, words, style, align="centre", within=WITHIN, field=field)


def _code(page: Page, label: BoardLabel, at: tuple[float, float]) -> None:
    """Set the code and its check character reversed out, about x on a baseline."""
    x, baseline = at
    # Code and check character shrink together.
    most = (WITHIN - GAP - RIM) / (least(label.code, CODE) / CODE.floor + CAP)
    edge = min(CODE.size, most) * CAP + RIM
    within = WITHIN - GAP - edge
    style, squeeze = fit(label.code, ON_SIDE, within + 1e-6, "code")
    left = x - (measure(label.code, style) * squeeze + GAP + edge) / 2
    left += write(page, (left, baseline), label.code, ON_SIDE, within=within + 1e-6)
    left += GAP
    box(page, left, baseline - edge + RIM / 2, edge, edge)
    # No letter on a thermal head is smaller than the floor.
    letter = max(style.size * 0.9, ON_SIDE.floor)
    check = Style(face=faces.DATA_BOLD, size=letter, colour=WHITE)
    inner = baseline - edge / 2 + RIM / 2 + check.size * CAP / 2
    write(page, (left + edge / 2, inner), label.check, check, align="centre")


def _fold(page: Page, strip: Strip, foot: float) -> None:
    """Set what lies over the edge: the code of each piece, and that it is waste."""
    zone = fold(strip)
    top = page.height - foot
    _across(page, strip.front.code, foot - zone, foot)
    if strip.back:
        with _turned(page):
            _across(page, strip.back.code, foot - zone, foot)
        _level(page, (top + foot) / 2, (1.5, 0.75))
    # Their ink lies within the fold, so that the symbols' quiet zones stay white.
    for y in (top + 0.1, foot - 0.1):
        _level(page, y, (0.5, 0.5))
    for line in _hatches(page.width, top + 0.5, foot - 0.5):
        marks.stroke(page, list(line), 0.5)


def _level(page: Page, y: float, dash: tuple[float, float]) -> None:
    marks.stroke(page, [(0, y), (page.width, y)], 0.5, dash=dash)


def _across(page: Page, code: str, top: float, foot: float) -> None:
    """Set a code along the edge of a piece, as large as the edge is high."""
    room = (foot - top - 0.7) / CAP
    style = replace(CODE, size=min(CODE.size, room), floor=6.8)
    within = page.width - 2 * (HATCH + 0.6)
    shown, _ = fit(code, style, within, "code")
    level = (top + foot) / 2 + shown.size * CAP / 2 - OVERSHOOT / 2
    at = (page.width / 2, level)
    write(page, at, code, style, align="centre", within=within, field="code")


def _hatches(
    width: float, top: float, foot: float
) -> Iterator[tuple[marks.Point, ...]]:
    """Yield strokes at 45 degrees over both ends of the fold: what is cut off."""
    for left in (0.0, width - HATCH):
        y = top + HATCH_PITCH
        while y <= foot + HATCH:
            low, high = min(y, foot), max(y - HATCH, top)
            yield (left + y - low, low), (left + y - high, high)
            y += HATCH_PITCH
