"""What is on record of an instrument's life, on a statement for an insurer.

What is open on the day comes first and always stands, on a further page if it must;
what has no room beside it is counted.
"""

from labels import faces, sections
from labels.insurer_facts import Counts, InsurerStatement
from labels.insurer_parts import HEADED, LEADING, LINE, width
from labels.page import Page, Style, thousands, wrap, write, write_lines
from labels.sections import BODY, COLUMN_HEAD, Frame
from labels.tongue import Tongue

Lines = list[list[str]]
OPEN = Style(face=faces.TEXT_SEMIBOLD, size=LINE.size)
TO_FIRST = 15.0  # of a further page, from the head to the section's heading
ABOVE_FOOT = 6.0


def in_lines(frame: Frame, statement: InsurerStatement, say: Tongue) -> Lines:
    """Return every remark in lines: what is open first, then what weighs most."""
    remarks, told = (*statement.today, *statement.told), []
    for number, (day, entry, text) in enumerate(remarks):
        words = say("{day}, entry {entry}: {text}").format(
            day=day, entry=thousands(entry), text=text
        )
        told.append(wrap(words, _style(statement, number), width(frame)))
    return told


def _style(statement: InsurerStatement, number: int) -> Style:
    """Return how a remark is set; what is open on the day is heavier."""
    return OPEN if number < len(statement.today) else LINE


def in_pages(frame: Frame, told: Lines, room: int, always: int) -> list[Lines]:
    """Return remarks page by page: as many pages as the first `always` need.

    room  lines on the first page; on each, one of them is for those that are not there
    """
    pages = [_with_room(told, room)]
    further = frame.foot - ABOVE_FOOT - frame.head - TO_FIRST - HEADED
    while (shown := sum(map(len, pages))) < always:
        rest = told[shown:]
        # One that fills more than a page would never come.
        pages.append(_with_room(rest, int(further / LEADING)) or rest[:1])
    return pages


def _with_room(told: Lines, room: int) -> Lines:
    """Return the first remarks that so many lines hold, one of them for the others."""
    if sum(map(len, told)) <= room:
        return told
    kept: Lines = []
    for lines in told:
        if sum(map(len, kept)) + len(lines) + 1 > room:
            break
        kept.append(lines)
    return kept


def draw(
    page: Page,
    frame: Frame,
    y: float,
    statement: InsurerStatement,
    pages: list[Lines],
    say: Tongue,
) -> None:
    """Set the section's part on the first page: counted, then told."""
    sections.heading(page, frame, y, say("On record of its life"))
    level, free = y + HEADED, width(frame)
    counted = _counted(statement, say)
    if counted:
        write(page, (frame.left, level), f"{counted}.", BODY, within=free)
        level += LEADING
    _remarks(page, frame, level, statement, pages, 0, say)


def further(
    page: Page,
    frame: Frame,
    statement: InsurerStatement,
    pages: list[Lines],
    number: int,
    say: Tongue,
) -> None:
    """Set the section's part on a further page, under its running head."""
    y = frame.head + TO_FIRST
    sections.heading(page, frame, y, say("On record of its life"))
    _remarks(page, frame, y + HEADED, statement, pages, number, say)


def _remarks(
    page: Page,
    frame: Frame,
    level: float,
    statement: InsurerStatement,
    pages: list[Lines],
    number: int,
    say: Tongue,
) -> None:
    """Set a page's remarks, and how many there are that are not on it."""
    before = sum(map(len, pages[:number]))
    for place, lines in enumerate(pages[number], before):
        style = _style(statement, place)
        level = write_lines(page, (frame.left, level), lines, style, LEADING)
    rows = len(statement.today) + len(statement.told)
    more = rows - before - len(pages[number])
    if more > 0:
        words = say.many(
            more,
            "and {number} more remark, which the maker shows",
            "and {number} more remarks, which the maker shows",
        ).format(number=thousands(more))
        if number + 1 < len(pages):
            words = say("more on the next page")
        write(page, (frame.left, level), words, COLUMN_HEAD)


def _counted(statement: InsurerStatement, say: Tongue) -> str:
    """Say how much there is of what changes an instrument, without what is nought."""
    told = [words for number, words in _counts(statement.counts, say) if number]
    is_told = bool(told or statement.today or statement.told)
    return ", ".join(told) if is_told else say("nothing on record")


def _counts(counts: Counts, say: Tongue) -> list[tuple[int, str]]:
    many = say.many
    services, parts, off, concessions, trips, owners = counts
    told = (
        (services, many(services, "{number} service", "{number} services")),
        (parts, many(parts, "{number} part replaced", "{number} parts replaced")),
        (off, many(off, "{number} part taken off", "{number} parts taken off")),
        (concessions, many(concessions, "{number} concession", "{number} concessions")),
        (trips, many(trips, "{number} trip", "{number} trips")),
        (
            owners,
            many(owners, "{number} owner registered", "{number} owners registered"),
        ),
    )
    return [(number, words.format(number=number)) for number, words in told]
