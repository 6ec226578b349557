"""The label of a board, 51 by 22 mm, on a roll; `label_sheet` sets it on sheets.

A symbol at each end, so that a staple or a tear costs only one; between them what a
person needs: species, the triangle, the lot and its date; below, the code to read out.
"""

from dataclasses import dataclass, replace
from typing import Literal

from labels import archive, faces, marks, qr
from labels.page import (
    MM,
    WHITE,
    Page,
    Style,
    box,
    in_two,
    least,
    open_document,
    shortened,
    thousands,
    turn_over,
    write,
)
from labels.tongue import term, tongue
from ledger.errors import RefusedError

WIDTH, HEIGHT, MARGIN = 51.0, 22.0, 2.0
GAP = 0.9
FOOT = 18.3  # where the capitals of the bottom line begin, at the highest
OVERSHOOT = 0.12  # of round letters over the height of capitals
# What a board is that did not come in as it lies there.
MADE = (term("glued"), term("piece"), term("offcut"))


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardLabel:
    """What a board's label says; received is YYYY-MM-DD, what is such as "back".

    made is what a board from the saw or the glue is, such as "piece", and parent what
    it was sawn from; also are further lots that were glued into it; disputed is the
    entry in dispute that it rests on, if there is one. All of it is given in English,
    and printed in the language of the label.
    """

    code: str
    check: str
    genus: str
    epithet: str
    lot: str
    received: str
    what: str
    host: str
    half: Literal["A", "B"] | None = None
    replacement: int = 0
    origin_unknown: bool = False
    made: str = ""
    parent: str = ""
    also: tuple[str, ...] = ()
    disputed: int | None = None
    language: str = "en"


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What stands over a sheet of labels; date is YYYY-MM-DD."""

    lot: str
    species: str
    sawyer: str
    date: str
    who: str
    language: str = "en"


@dataclass(frozen=True, slots=True, kw_only=True)
class Printer:
    """How fine a printer prints, and the size of a module in its dots."""

    dots_per_inch: float
    dots: int

    @property
    def module(self) -> float:
        """The side of a module [mm]."""
        return self.dots * qr.INCH / self.dots_per_inch


ROLL_PRINTERS = {
    203: Printer(dots_per_inch=203.2, dots=4),  # eight dots to the millimetre
    300: Printer(dots_per_inch=300.0, dots=6),
    600: Printer(dots_per_inch=600.0, dots=12),
}
SHEET_PRINTER = Printer(dots_per_inch=600.0, dots=11)

# Half a name would be another one: what does not fit is refused.
SPECIES = Style(face=faces.DATA_ITALIC, size=8, floor=5.5, narrow=0.8)
SPECIES_AT = {2: (3.6, 6.4), 3: (2.5, 4.7, 6.9), 4: (1.9, 3.7, 5.5, 7.3)}
SMALL = Style(face=faces.DATA_MEDIUM, size=6.8, narrow=0.8)
CODE = Style(face=faces.DATA_BOLD, size=10.5, floor=9, narrow=0.8)
CHECK = Style(face=faces.DATA_BOLD, size=9.5, colour=WHITE)
WHAT = Style(face=faces.DATA_MEDIUM, size=7.5, floor=6.8, narrow=0.8, may_shorten=True)
LOUD = Style(face=faces.DATA_BOLD, size=7.5, floor=6.8, narrow=0.8)
UNKNOWN = Style(face=faces.DATA_BOLD, size=6.8, narrow=0.8)
DISPUTED = Style(face=faces.DATA_BOLD, size=6.8, floor=5.5, narrow=0.7)


def payload(label: BoardLabel) -> str:
    """Return what a board's symbol says; without a host, the code alone.

    A replacement says its number, so that the old label is known where it is read.
    """
    place = f"HTTPS://{label.host.upper()}/" if label.host else ""
    number = f"/{label.replacement}" if label.replacement else ""
    return f"{place}B/{label.code}{label.check}{number}"


def _species(page: Page, label: BoardLabel, x: float, y: float, within: float) -> None:
    """Set genus and epithet in a line each, or a long one in more.

    A name that no room is enough for was taken all the same, and loses its end.
    """
    lines = [
        (line, field)
        for words, field in ((label.genus, "genus"), (label.epithet, "epithet"))
        for line in _whole_words(words, within)
    ]
    if len(lines) not in SPECIES_AT:
        lines = [(label.genus, "genus"), (label.epithet, "epithet")]
    style = SPECIES if len(lines) == 2 else replace(SPECIES, size=SPECIES.floor)
    style = replace(style, may_shorten=True)
    for drop, (words, field) in zip(SPECIES_AT[len(lines)], lines, strict=True):
        at = (x, y + drop)
        write(page, at, words, style, align="centre", within=within, field=field)


def _whole_words(words: str, within: float) -> list[str]:
    """Return a name in as many lines as it needs that break at spaces."""
    lines = in_two(words, SPECIES, within)
    if len(lines) == 1 or " ".join(lines) != words:
        return [words]
    return [lines[0], *_whole_words(lines[1], within)]


def _origin_unknown(
    page: Page, label: BoardLabel, x: float, y: float, within: float
) -> None:
    """Set two words in a broken plate in place of the species."""
    say = tongue(label.language)
    marks.edge(page, (x - within / 2, y + 0.6, within, 6.6), "broken")
    upper, _, lower = say("ORIGIN UNKNOWN").partition(" ")
    for drop, word in ((3.4, upper), (6.2, lower)):
        inner = within - 1.2
        write(page, (x, y + drop), word, UNKNOWN, align="centre", within=inner)


def wood(page: Page, label: BoardLabel, at: tuple[float, float], w: float) -> None:
    """Set what wood it is about x from y down, 7.2 mm high: species, or none known."""
    if label.origin_unknown:
        _origin_unknown(page, label, *at, w)
    else:
        _species(page, label, *at, w)


def mark(page: Page, label: BoardLabel, at: tuple[float, float], w: float) -> None:
    """Set about x from y down, 3.6 mm high: the triangle, or what the saw made."""
    x, y = at
    if label.made:
        # A whole triangle would say that nobody has sawn it.
        _made(page, label, (x, y + (1.3 if label.parent else 2.8)), w)
    else:
        marks.triangle(page, x, y, label.half)


def _middle(page: Page, label: BoardLabel, at: tuple[float, float], w: float) -> None:
    """Set the column between the two symbols."""
    x, y = at
    wood(page, label, at, w)
    mark(page, label, (x, y + 8.0), w)
    lot, below = (lot_words(label), SMALL), below_lot(label)
    for drop, (words, style), field in ((14.2, lot, "lot"), (16.7, below, "received")):
        write(page, (x, y + drop), words, style, align="centre", within=w, field=field)


def _made(page: Page, label: BoardLabel, at: tuple[float, float], w: float) -> None:
    """Say what the saw or the glue made, and from which board the saw made it.

    The saw leaves it in its lot, which stands below: the board's number is enough.
    """
    say = tongue(label.language)
    write(page, at, say(label.made), LOUD, align="centre", within=w, field="made")
    if label.parent:
        below = (at[0], at[1] + 2.5)
        number = label.parent.removeprefix(f"{label.lot}-")
        words = say("of {board}").format(board=number)
        write(page, below, words, SMALL, align="centre", within=w, field="parent")


def lot_words(label: BoardLabel) -> str:
    """Return the lot, named as one."""
    say = tongue(label.language)
    return say("lot {lot}").format(lot=label.lot)


def below_lot(label: BoardLabel) -> tuple[str, Style]:
    """Return the day a lot came in; of several, the other one or their number.

    Before either stands which entry of them is in dispute.
    """
    say = tongue(label.language)
    if label.disputed is not None:
        words = say("disputed {entry}").format(entry=thousands(label.disputed))
        return words, DISPUTED
    if not label.also:
        return label.received, SMALL
    if len(label.also) == 1:
        return say("and {lot}").format(lot=label.also[0]), SMALL
    return say("+ {number} lots").format(number=len(label.also)), SMALL


def said(label: BoardLabel) -> tuple[str, Style, str]:
    """Return what stands at the right end of the bottom line, and its end that stays.

    Which half it is stays, and which replacement, however long the words before it are.
    """
    say = tongue(label.language)
    if label.replacement:
        words = say("REPLACEMENT {number}").format(number=label.replacement)
        return words, LOUD, f" {label.replacement}"
    style = LOUD if label.what.isupper() else WHAT
    part = label.what.removesuffix(f", half {label.half}")
    if label.half and part != label.what:
        half = say("half {half}").format(half=label.half)
        tail = f", {half}"
        return f"{say(part)}{tail}", style, tail
    return say(label.what), style, ""


def _fitted(label: BoardLabel) -> tuple[str, Style]:
    """Return what stands at the right end, shortened where the code needs its room."""
    words, style, tail = said(label)
    room = _room() - least(label.code, CODE)
    return shortened(words, style, room, tail=tail), style


def _side() -> float:
    """Return the side of the box behind the check character [mm]."""
    return CODE.size * marks.CAP_HEIGHT / MM + 0.2


def _room() -> float:
    """Return what the bottom line has for the code and what it is [mm]."""
    return WIDTH - 2 * MARGIN - _side() - 2 * GAP


def _foot(page: Page, label: BoardLabel, x: float, top: float) -> None:
    """Set the bottom line: code, check character reversed out, and what it is.

    The code keeps its size as long as what it is can be narrowed beside it, and is
    never shortened.
    """
    cap, side = marks.CAP_HEIGHT / MM, _side()
    baseline = top + CODE.size * cap
    words, style = _fitted(label)
    end = x + WIDTH - 2 * MARGIN
    free = _room() - least(words, style)
    corner = x + GAP
    corner += write(page, (x, baseline), label.code, CODE, within=free, field="code")
    box(page, corner, top, side, side)
    inner = top + side / 2 + CHECK.size * cap / 2
    write(page, (corner + side / 2, inner), label.check, CHECK, align="centre")
    free = end - corner - side - GAP
    at = (end, baseline)
    write(page, at, words, style, align="right", within=free + 1e-6, field="what")


def draw(
    page: Page, label: BoardLabel, corner: tuple[float, float], printer: Printer
) -> None:
    """Draw one label with its top left corner at a place on the page."""
    symbol = qr.board_symbol(payload(label))
    dpi, module = printer.dots_per_inch, printer.module
    # Four modules of white to each edge: wood around a label is not white.
    margin = max(MARGIN, qr.QUIET_ZONE * module)
    side, quiet = symbol.side * module, qr.QUIET_ZONE * module
    left = qr.snap(corner[0] + margin, dpi)
    top = qr.snap(corner[1] + margin, dpi)
    right = qr.snap(corner[0] + WIDTH - margin - side, dpi)
    qr.draw(page, symbol, left, top, module)
    qr.draw(page, symbol, right, top, module)
    inner = (left + side + quiet, right - quiet)
    middle = (sum(inner) / 2, corner[1])
    _middle(page, label, middle, inner[1] - inner[0])
    foot = max(top + side + quiet + OVERSHOOT, corner[1] + FOOT)
    _foot(page, label, corner[0] + MARGIN, foot)


def refuse_none(labels: list[BoardLabel]) -> None:
    """Refuse to print nothing."""
    if not labels:
        raise RefusedError("0 labels to print; name at least 1 board")


def roll(labels: list[BoardLabel], dpi: Literal[203, 300, 600] = 203) -> bytes:
    """Draw labels for a roll, one to a page, on the dots of its printer."""
    refuse_none(labels)
    printer = ROLL_PRINTERS[dpi]
    size = (
        qr.snap(WIDTH, printer.dots_per_inch),
        qr.snap(HEIGHT, printer.dots_per_inch),
    )
    language = labels[0].language
    say = tongue(language)
    title = say("Board labels, {number}").format(number=len(labels))
    page = open_document(size, title, language)
    for label in labels:
        draw(page, label, (0, 0), printer)
        turn_over(page)
    return archive.keep(page)


def notices(labels: list[BoardLabel]) -> tuple[str, ...]:
    """Say what these labels could not print at its best."""
    weaker = [qr.board_symbol(payload(label)).notice for label in labels]
    texts = [
        text
        for label in labels
        for text in (label.genus, label.epithet, label.lot, label.what, label.code)
    ]
    found = [notice for notice in weaker if notice]
    for label in labels:
        words, shown = said(label)[0], _fitted(label)[0]
        if words != shown:
            found.append(f"{label.code}: {words!r} is shortened to {shown!r}")
    return (*dict.fromkeys(found), *faces.missing_notices(texts))
