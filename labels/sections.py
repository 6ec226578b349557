"""Parts that both pages of a certificate share: hands, trees, heads and feet."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from labels import faces, marks, ornament_ink
from labels.emblem import Emblem, draw_emblem
from labels.facts import Maker, Material, OwnerCertificate, shown_name
from labels.hatches import Hatch
from labels.hatches_ink import SWATCH, draw_swatch
from labels.page import (
    A4,
    HAIR,
    LETTER,
    WALNUT,
    Page,
    Style,
    in_two,
    least,
    measure,
    oxford,
    rule,
    shortened,
    thousands,
    wrap,
    wrap_small,
    write,
    write_lines,
)
from labels.tongue import Tongue, tongue


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The paper and where things stand on it [mm]."""

    size: tuple[float, float]
    left: float
    head: float  # baseline of the running head
    core: float  # top of the core, where there is one
    foot: float  # hair rule above the last lines
    hand_pitch: float
    tree_pitch: float
    module_dots: int  # of the card symbol, at 600 dpi
    figure_unit: float  # a hundredth of a body's length
    hands_on: int = 2  # the page on which hands go on that page 1 has no room for
    trees_on: int = 2

    @property
    def right(self) -> float:
        """The right edge of the type."""
        return self.size[0] - self.left

    @property
    def sides(self) -> tuple[float, float]:
        """Both edges of the type."""
        return self.left, self.right


FRAMES = {
    "A4": Frame(
        size=A4,
        left=22,
        head=24,
        core=263.8,
        foot=269.9,
        hand_pitch=5.45,
        tree_pitch=7.55,
        module_dots=10,
        figure_unit=0.315,
    ),
    "Letter": Frame(
        size=LETTER,
        left=24.95,
        head=22.4,
        core=248.0,
        foot=255.0,
        hand_pitch=4.95,
        tree_pitch=6.95,
        module_dots=9,
        figure_unit=0.295,
    ),
}

RUNNING = Style(
    face=faces.CAPS, size=11.5, colour=WALNUT, tracking=0.07, floor=9, may_shorten=True
)
RUNNING_LEADING = 3.8
NUMBER = Style(face=faces.DATA_MEDIUM, size=10, floor=8)
HEADING = Style(face=faces.CAPS, size=10, colour=WALNUT, tracking=0.07)
COLUMN_HEAD = Style(face=faces.TEXT_ITALIC, size=8.8, colour=WALNUT)
BODY = Style(face=faces.TEXT, size=10, floor=7.6, may_shorten=True)
ASIDE = Style(face=faces.TEXT_ITALIC, size=9.6, floor=7.6, may_shorten=True)
NAME = Style(face=faces.TEXT_SEMIBOLD, size=10.2, floor=8, may_shorten=True)
WORK = Style(face=faces.TEXT, size=9.6, floor=7.6, may_shorten=True)
SPECIES = Style(face=faces.TEXT_ITALIC, size=10.2, floor=7.6, may_shorten=True)
BELOW = Style(face=faces.TEXT, size=8.2, colour=WALNUT, floor=6.8, may_shorten=True)
DATA = Style(face=faces.DATA, size=8.8, floor=6.8)
SMALL = Style(face=faces.TEXT, size=7.8, floor=6.8)
NOTE = Style(face=faces.TEXT, size=7.8, colour=WALNUT, floor=6.8)

NAMES, WORKS = 9.0, 62.0
WORK_LEADING = 3.9
EMBLEM_HEIGHT, EMBLEM_WIDTH = 7.6, 24.0  # at most [mm]
PART, SAWN, SAWYER, BOARD, MONTHS, GRAMS = 10.0, 44.0, 86.0, 126.0, 155.0, 166.0
BESIDE_FIGURE = 102.0  # how far hands reach where a figure stands beside them [mm]
AFTER_NAME = 2.5
NAME_ROOM = WORKS - NAMES - 2
COUNT_ROOM = 27.0  # what "42 jobs: page 2" takes beside a long name, in any language
TREES_HEAD = 6.9  # from the heading's baseline to the first row


def heading(
    page: Page, frame: Frame, y: float, words: str, *, is_narrow: bool = False
) -> None:
    """Set a section's heading over its rule."""
    write(page, (frame.left, y), words, HEADING)
    end = frame.left + BESIDE_FIGURE if is_narrow else frame.right
    rule(page, (frame.left, end), y + 1.7)


def running_head(
    page: Page,
    frame: Frame,
    left: str,
    right: str,
    style: Style = RUNNING,
    emblem: Emblem | None = None,
) -> None:
    """Set the line over a page and the rule under it, the shop's emblem before it."""
    at = (frame.right, frame.head)
    taken = write(page, at, right, style, align="right", within=50, field="number")
    start, within = frame.left, frame.right - frame.left - taken - 6
    if emblem is not None:
        height = min(EMBLEM_HEIGHT, EMBLEM_WIDTH / emblem.ratio)
        draw_emblem(page, emblem, (start, frame.head + 0.9 - height), height)
        start += emblem.width(height) + 3
        within -= emblem.width(height) + 3
    lines = in_two(left, RUNNING, within)
    style = RUNNING if len(lines) == 1 else replace(RUNNING, size=RUNNING.floor)
    for number, line in enumerate(lines, 1 - len(lines)):
        at = (start, frame.head + RUNNING_LEADING * number)
        write(page, at, line, style, within=within, field="shop")
    oxford(page, frame.sides, frame.head + 3)


def work_room(
    frame: Frame, maker: Maker, say: Tongue, *, is_narrow: bool
) -> tuple[float, float]:
    """Return where what somebody did begins, and the width that it has [mm].

    Beside a long name it has what a count takes, and the name all the rest.
    """
    name, end = shown_name(maker.name, maker.badge, say), BESIDE_FIGURE
    if not is_narrow:
        end = frame.right - frame.left
    if is_long(maker, say):
        begins = NAMES + least(name, NAME) + AFTER_NAME
        begins = max(min(begins, end - COUNT_ROOM), NAMES + NAME_ROOM + AFTER_NAME)
        return begins, end - begins
    if not is_narrow:
        return WORKS, frame.right - frame.left - WORKS
    begins = NAMES + min(measure(name, NAME), NAME_ROOM) + AFTER_NAME
    return begins, BESIDE_FIGURE - begins


def told(
    frame: Frame,
    maker: Maker,
    say: Tongue,
    *,
    is_narrow: bool,
    most: int = 0,
    on: int = 2,
) -> list[str]:
    """Break what somebody did into lines beside the name, or below a long one.

    The first line is empty where the name has it for itself. `most` and `on` are
    those of `work_lines`.
    """
    if is_long(maker, say) and most != 1:
        within = (BESIDE_FIGURE if is_narrow else frame.right - frame.left) - NAMES
        below = work_lines(within, maker.work, say, most - 1 if most else 0, on)
        return ["", *below]
    _, within = work_room(frame, maker, say, is_narrow=is_narrow)
    return work_lines(within, maker.work, say, most, on)


def is_long(maker: Maker, say: Tongue) -> bool:
    """Tell whether a name is too long for its column at its smallest."""
    return least(shown_name(maker.name, maker.badge, say), NAME) > NAME_ROOM


def work_lines(
    within: float, work: str, say: Tongue, most: int = 0, on: int = 2
) -> list[str]:
    """Break what somebody did into lines; what most lines do not hold is counted.

    One work that is longer than them is shortened. What is narrow enough stays on one
    line, and without a number nothing is left out. `on` is the page with the rest.
    """
    if measure(work, WORK) * WORK.narrow <= within:
        return [work]
    lines, did = wrap(work, WORK, within), work.split(", ")
    for shown in range(len(did) - 1, 0, -1):
        if not most or len(lines) <= most:
            break
        said = say("{works}, and {number} more: page {page}").format(
            works=", ".join(did[:shown]), number=len(did) - shown, page=on
        )
        lines = wrap(said, WORK, within)
    if most and len(lines) > most:
        counted = say("{number} jobs: page {page}").format(number=len(did), page=on)
        return [shortened(work, WORK, within) if len(did) == 1 else counted]
    return lines


def hand(
    page: Page,
    frame: Frame,
    y: float,
    maker: Maker,
    lines: Sequence[str],
    say: Tongue,
    *,
    is_narrow: bool = False,
) -> None:
    """Set one maker: hand mark, name, and what was done, in lines."""
    badge, name, _ = maker
    marks.hand_mark(page, frame.left + 0.2, y, badge, 2.9)
    at = (frame.left + NAMES, y)
    shown = shown_name(name, badge, say)
    field = f"name of badge {badge}"
    begins, within = work_room(frame, maker, say, is_narrow=is_narrow)
    room = begins - NAMES - AFTER_NAME if is_long(maker, say) else NAME_ROOM
    if not lines[0]:
        begins, room = NAMES, begins + within - NAMES
        within = room
    write(page, at, shown, NAME, within=room, field=field)
    for number, line in enumerate(lines):
        at = (frame.left + begins, y + WORK_LEADING * number)
        write(page, at, line, WORK, within=within, field=f"work of badge {badge}")


def tree_heads(page: Page, frame: Frame, y: float, say: Tongue) -> None:
    """Set the heads of the columns of woods; y is the section heading's baseline."""
    level = y + 5.4
    for offset, words, within in (
        (PART, say("part"), SAWN - PART),
        (SAWN, say("species"), SAWYER - SAWN),
        (SAWYER, say("sawyer, place of growth"), BOARD - SAWYER),
        (BOARD, say("board"), 18.0),
    ):
        at, free = (frame.left + offset, level), within - 2
        write(page, at, words, COLUMN_HEAD, within=free, field="head")
    for offset, words in ((MONTHS, say("months")), (GRAMS, "g")):
        at = (frame.left + offset, level)
        write(page, at, words, COLUMN_HEAD, align="right")
    rule(page, frame.sides, y + TREES_HEAD, 0.22, HAIR)


def tree(
    page: Page,
    frame: Frame,
    y: float,
    row: Material,
    pitch: float,
    hatch: Hatch,
    say: Tongue,
) -> None:
    """Set one part and its tree in a row of a height; y is the row's upper rule."""
    swatch = (frame.left, y + (pitch - SWATCH[1]) / 2)
    draw_swatch(page, swatch, hatch)
    part, species, trade, sawyer, place, board, months, grams = row
    upper, lower = y + pitch * 0.41, y + pitch * 0.85
    sawyer_style = BODY if place else ASIDE
    cells: tuple[tuple[float, float, str, Style, float, str], ...] = (
        (PART, upper, say(part), BODY, SAWN - PART - 2, "part"),
        (SAWN, upper, species, SPECIES, SAWYER - SAWN - 2, "species"),
        (SAWN, lower, trade, BELOW, SAWYER - SAWN - 2, "trade name"),
        (SAWYER, upper, sawyer, sawyer_style, BOARD - SAWYER - 1.5, "sawyer"),
        (SAWYER, lower, place, BELOW, BOARD - SAWYER - 1.5, "place of growth"),
        (BOARD, upper, board, DATA, 21.5, "board"),
    )
    for offset, level, words, style, within, field in cells:
        at = (frame.left + offset, level)
        name = f"{field} of {part}"
        write(page, at, words, style, within=within, field=name)
    for offset, number in ((MONTHS, months), (GRAMS, grams)):
        at = (frame.left + offset, upper)
        write(page, at, thousands(number), DATA, align="right", within=10)
    rule(page, frame.sides, y + pitch, 0.22, HAIR)


def core_of_entry(
    page: Page, frame: Frame, certificate: OwnerCertificate, top: float
) -> None:
    """Draw the core of the certificate's entry, and say how it is used."""
    ornament_ink.draw_core(page, (frame.left, top), certificate.leaf, ink=WALNUT)
    at = frame.left + max(60.0, ornament_ink.core_width(certificate.leaf) + 3)
    say = tongue(certificate.language)
    text = say(
        "The core of entry {entry}: one ring for each hex digit of its hash. Lay your "
        "owner card against it: on a true pair the rings line up."
    ).format(entry=thousands(certificate.entry))
    style, lines = wrap_small(text, NOTE, frame.right - at, 2)
    write_lines(page, (at, top + 1.9), lines, style, 3.2)


def page_foot(
    page: Page, frame: Frame, certificate: OwnerCertificate, number: str
) -> None:
    """Set the last line of an evidence page."""
    rule(page, frame.sides, frame.foot, 0.22, HAIR)
    say = tongue(certificate.language)
    said = say("Maker’s statement, not a permit.")
    said += f" {certificate.serial} · {certificate.number} · {certificate.issued}"
    at = (frame.left, frame.foot + 4.2)
    write(page, at, said, SMALL, within=130, field="serial")
    write(page, (frame.right, frame.foot + 4.2), number, NOTE, align="right")
