"""The match card: two boards laid open side by side, their numbers, and why these two.

A board is drawn to scale from what was measured: its size, the width of its rings, the
angle of its grain, mirrored on the joint. What was not measured is not drawn. Where
there is a photograph of the face, it stands in the place of the drawing.
"""

import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageOps, UnidentifiedImageError
from reportlab.lib.utils import ImageReader

from labels import faces
from labels.faces import THIN_SPACE
from labels.marks import Box, Point
from labels.page import BARK, ELLIPSIS, HAIR, MM, WALNUT, Page, Style, measure, wrap
from labels.plot_figure import (
    NAME,
    NOTE,
    Figure,
    Heading,
    Label,
    begin,
    clip,
    head,
    line,
    say,
    say_nothing,
    unclip,
)
from ledger.errors import RefusedError

MICRONS = 1000
GAP = 1.2  # between the boards [mm]
EVERY = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
LEAST_PITCH = 0.9  # of the rings that are drawn [mm]
CAPTION = 16.0  # under the boards
LEADING, BEFORE_SECTION = 4.1, 1.9
RUNNER_UP_LINES = 4
ROW, CLOSEST_ROW = 5.0, 3.8
PHOTO_DPI = 300
MOST_PIXELS = 80_000_000
STEEPEST = 20_000  # of a grain that is drawn [millidegree]
# Tangent of a millidegree, enough for the few degrees a board's grain has.
PER_MILLIDEGREE = 1.7453292519943e-5
COLUMNS = (0.40, 0.60, 0.80, 1.0)  # right edges, in parts of the table

WHAT = Style(face=faces.TEXT, size=8.8, floor=7.6, may_shorten=True)
CELL = Style(face=faces.DATA, size=8.2, floor=6.8)
COLUMN_HEAD = Style(face=faces.TEXT_ITALIC, size=8.6, colour=WALNUT)
SECTION = Style(face=faces.CAPS, size=9, colour=WALNUT, tracking=0.07)
WHY = Style(face=faces.TEXT, size=8.8)
FACE_NAME = Style(face=faces.DATA_BOLD, size=8.2, floor=6, narrow=0.8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One board: its face, and what was measured of its grain.

    A grain that leans away from the joint towards the top has a positive angle. Where
    nobody said to which side it leans, it is drawn away from the joint.
    """

    name: str
    length_um: int
    width_um: int
    ring_um: int | None = None
    grain_millidegree: int | None = None
    is_side_known: bool = True
    photograph: bytes | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """One number of both boards and by how much they differ, as they are printed."""

    what: str
    left: str
    right: str
    difference: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RunnerUp:
    """The next best pair, and why it was not chosen."""

    name: str
    why_not: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MatchCard:
    """What a match card shows."""

    heading: Heading
    left: Candidate | None
    right: Candidate | None
    rows: tuple[Comparison, ...] = ()
    why: tuple[str, ...] = ()
    runner_up: RunnerUp | None = None


def one_in(ring_um: int, scale: float) -> int:
    """Return of how many rings one is drawn, so that they stay apart on paper."""
    pitch = ring_um / MICRONS * scale
    return next((n for n in EVERY if n * pitch >= LEAST_PITCH), EVERY[-1])


def open_photograph(content: bytes, name: str) -> Image.Image:
    """Open a photograph of a face, upright, without what the camera wrote beside it."""
    try:
        with warnings.catch_warnings():
            # The size is judged below, in words that say what to do.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            picture = Image.open(BytesIO(content), formats=("JPEG", "PNG"))
        pixels = picture.width * picture.height
        if pixels > MOST_PIXELS:
            raise RefusedError(
                f"the photograph of {name} has {pixels} pixels of at most "
                f"{MOST_PIXELS}; make it smaller"
            )
        upright: Image.Image = ImageOps.exif_transpose(picture).convert("RGB")
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError) as error:
        raise RefusedError(
            f"the photograph of {name} is no JPEG or PNG that can be read ({error}); "
            f"take it again"
        ) from None
    return upright


def _photograph(figure: Figure, face: Box, candidate: Candidate) -> None:
    """Set a photograph inside a face, whole, in its own proportions."""
    picture = open_photograph(candidate.photograph or b"", candidate.name)
    x, y, w, h = face
    share = min(w / picture.width, h / picture.height)
    wide, high = picture.width * share, picture.height * share
    dots = (
        max(1, min(picture.width, round(wide * PHOTO_DPI / 25.4))),
        max(1, min(picture.height, round(high * PHOTO_DPI / 25.4))),
    )
    picture = picture.resize(dots, Image.Resampling.LANCZOS)
    out = BytesIO()
    (picture.convert("L") if figure.one_colour else picture).save(
        out, format="JPEG", quality=88
    )
    left, foot = x + (w - wide) / 2, y + (h + high) / 2
    figure.page.canvas.drawImage(
        ImageReader(BytesIO(out.getvalue())),
        left * MM,
        (figure.page.height - foot) * MM,
        wide * MM,
        high * MM,
    )


def _rings(
    face: Box, candidate: Candidate, scale: float, *, mirrored: bool
) -> Iterator[list[Point]]:
    """Yield the rings on a face, counted from the joint outwards."""
    x, y, w, h = face
    ring_um = candidate.ring_um or 1
    pitch = one_in(ring_um, scale) * ring_um / MICRONS * scale
    angle = candidate.grain_millidegree or 0
    lean = max(-STEEPEST, min(STEEPEST, angle)) * PER_MILLIDEGREE * h
    reach = w + abs(lean)
    for n in range(int(2 * reach / pitch) + 2):
        foot = -abs(lean) + pitch * (n + 0.5)
        if foot > reach:
            return
        ends = (foot + lean, foot)
        if mirrored:
            yield [(x + ends[0], y), (x + ends[1], y + h)]
        else:
            yield [(x + w - ends[0], y), (x + w - ends[1], y + h)]


def _face(
    figure: Figure, face: Box, candidate: Candidate, scale: float, *, mirrored: bool
) -> None:
    """Draw a face: its photograph, its rings, or that nobody counted them."""
    x, y, w, h = face
    corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y), (x + w, y)]
    if candidate.photograph:
        _photograph(figure, face, candidate)
        line(figure, corners, 0.5)
    elif candidate.ring_um:
        clip(figure, face)
        for ring in _rings(face, candidate, scale, mirrored=mirrored):
            line(figure, ring, 0.35, colour=BARK)
        unclip(figure)
        line(figure, corners, 0.9)
    else:
        line(figure, corners, 0.9, dash=(2.0, 1.4))
        for number, said in enumerate(("rings", "not", "counted")):
            at = (x + w / 2, y + h / 2 - 4 + 4 * number)
            if w > 12:
                say(figure, at, said, NOTE, align="centre", within=w - 1)


def grain_said(candidate: Candidate) -> str:
    """Say what is known of a board's grain."""
    if not candidate.ring_um:
        return "rings not counted"
    hundredth = (candidate.ring_um + 5) // 10
    said = f"rings {hundredth // 100}.{hundredth % 100:02d}{THIN_SPACE}mm"
    if candidate.grain_millidegree is None:
        return f"{said}, angle not measured"
    tenth = (abs(candidate.grain_millidegree) + 50) // 100
    side = "outward" if candidate.grain_millidegree >= 0 else "inward"
    lean = f"{tenth // 10}.{tenth % 10}°" + (f" {side}" if tenth else "")
    if not candidate.is_side_known:
        lean = f"{tenth // 10}.{tenth % 10}°, side not noted"
    return f"{said}, grain {lean}"


def _scale(area: Box, left: Candidate, right: Candidate) -> float:
    """Return by how much both boards are made smaller, the same for both."""
    for board in (left, right):
        if min(board.width_um, board.length_um) <= 0:
            raise RefusedError(
                f"board {board.name} is {board.length_um} by {board.width_um} um, "
                f"and neither can be nought; measure it again"
            )
    wide = (left.width_um + right.width_um) / MICRONS
    long = max(left.length_um, right.length_um) / MICRONS
    return min((area[2] - GAP) / wide, (area[3] - CAPTION) / long)


def _boards(figure: Figure, area: Box, left: Candidate, right: Candidate) -> None:
    """Lay both boards open beside the joint, and caption them."""
    x, y, w, _ = area
    scale = _scale(area, left, right)
    joint = x + w / 2
    wide = [board.width_um / MICRONS * scale for board in (left, right)]
    # Boards of unequal width are shifted so that both stay on the card.
    joint += (wide[0] - wide[1]) / 2
    long = [board.length_um / MICRONS * scale for board in (left, right)]
    foot = y + max(long)
    faces_at = (
        (joint - GAP / 2 - wide[0], foot - long[0], wide[0], long[0]),
        (joint + GAP / 2, foot - long[1], wide[1], long[1]),
    )
    for board, face, mirrored in zip(
        (left, right), faces_at, (False, True), strict=True
    ):
        _face(figure, face, board, scale, mirrored=mirrored)
    line(figure, [(joint, y - 1.2), (joint, foot + 1.2)], 0.65, dash=(1.2, 1.2))
    middles = ((x, x + w / 2 - 1), (x + w / 2 + 1, x + w))
    for board, (start, end) in zip((left, right), middles, strict=True):
        at, room = (start + end) / 2, end - start
        level = foot + 5
        say(figure, (at, level), board.name, FACE_NAME, align="centre", within=room)
        said = grain_said(board)
        say(figure, (at, level + 4), said, NOTE, align="centre", within=room)
    said = _drawn_said(left, right, scale)
    say(figure, (x + w / 2, foot + 13.6), said, NOTE, align="centre", within=w)


def _drawn_said(left: Candidate, right: Candidate, scale: float) -> str:
    """Say what the picture is: to which scale, which rings, what is a photograph."""
    ratio = round(10 / scale)
    said = [f"1 : {ratio // 10}.{ratio % 10}"]
    drawn = [board for board in (left, right) if board.ring_um and not board.photograph]
    counts = sorted({one_in(board.ring_um or 1, scale) for board in drawn})
    if counts:
        which = " or ".join(f"1 in {count}" for count in counts)
        said.append(f"{which} rings drawn from measures")
    sides = (("left", left), ("right", right))
    seen = [side for side, board in sides if board.photograph]
    if seen:
        said.append(f"{' and '.join(seen)} from a photograph")
    return "; ".join(said)


def _table(figure: Figure, area: Box, rows: tuple[Comparison, ...]) -> float:
    """Set the numbers of both boards, and return the level under the last."""
    x, y, w, h = area
    pitch = min(ROW, (h * 0.62) / (len(rows) + 1))
    if pitch < CLOSEST_ROW:
        most = int(h * 0.62 / CLOSEST_ROW) - 1
        raise RefusedError(
            f"{len(rows)} numbers, and the card has room for {most}; choose fewer"
        )
    edges = [x + w * share for share in COLUMNS]
    heads = ("left", "right", "differ by")
    for end, said in zip(edges[1:], heads, strict=True):
        say(figure, (end, y + 3), said, COLUMN_HEAD, align="right")
    line(figure, [(x, y + 4.6), (x + w, y + 4.6)], 0.5)
    level = y + 4.6
    for row in rows:
        level += pitch
        base, wide = level - pitch * 0.28, w * 0.2 - 2
        say(figure, (x, base), row.what, WHAT, within=w * COLUMNS[0] - 1)
        cells = (row.left, row.right, row.difference)
        for end, said in zip(edges[1:], cells, strict=True):
            say(figure, (end, base), said, CELL, align="right", within=wide)
        line(figure, [(x, level), (x + w, level)], 0.22, colour=HAIR)
    return level


Lines = list[tuple[str, Style]]


def _cut(lines: Lines, most: int, width: float) -> Lines:
    """Keep as many lines as there is room for, the last with an ellipsis if need be."""
    if len(lines) <= most:
        return lines
    said, style = lines[most - 1]
    while said and measure(f"{said}{ELLIPSIS}", style) > width:
        said = said[:-1].rstrip()
    return [*lines[: most - 1], (f"{said.rstrip(' ,.;')}{ELLIPSIS}", style)]


def _said_lines(card: MatchCard, width: float, most: int) -> Lines:
    """Return the reasons line by line, as many as there is room for.

    Where it is tight, the runner-up gives way down to its name and two lines.
    """
    why: Lines = [(said, WHY) for text in card.why for said in wrap(text, WHY, width)]
    if why:
        why.insert(0, ("Why these two", SECTION))
    after: Lines = []
    if card.runner_up:
        name = [(said, NAME) for said in wrap(card.runner_up.name, NAME, width)]
        reasons = wrap(card.runner_up.why_not, WHY, width)
        after = [("Runner-up", SECTION), *name, *((said, WHY) for said in reasons)]
    kept = _cut(why, max(most - min(len(after), RUNNER_UP_LINES), 2), width)
    return kept + _cut(after, max(most - len(kept), 2), width)


def _reasons(figure: Figure, area: Box, card: MatchCard) -> None:
    """Set why these two, and why not the next best."""
    x, level, w, h = area
    headings = bool(card.why) + (card.runner_up is not None)
    most = int((h - headings * BEFORE_SECTION) / LEADING)
    for said, style in _said_lines(card, w, most):
        level += LEADING + (BEFORE_SECTION if style is SECTION else 0.0)
        say(figure, (x, level), said, style)


def draw(
    page: Page, box: Box, plot: MatchCard, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw a match card at a place, and return the words that were set."""
    figure = begin(page, box, one_colour=one_colour)
    x, y, w, h = head(figure, plot.heading)
    if plot.left is None or plot.right is None:
        say_nothing(
            figure, (x, y, w, h), "No two boards of these can lie side by side."
        )
        return tuple(figure.labels)
    split = w * 0.44
    _boards(figure, (x, y, split, h), plot.left, plot.right)
    table = (x + split + 6, y - 2, w - split - 6, h + 2)
    level = _table(figure, table, plot.rows) if plot.rows else y - 2
    room = (table[0], level + 0.8, table[2], y + h - level - 0.8)
    _reasons(figure, room, plot)
    return tuple(figure.labels)
