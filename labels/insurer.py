"""A statement for whoever insures or appraises an instrument: one page, A4 or Letter.

It begins with what can be compared with the instrument itself; then come the woods, the
hands, the numbers, and all that is on record since. It names no value and no owner:
there are lines for both, to be filled in by hand. What has no room is counted.
"""

from dataclasses import replace
from typing import Literal, NamedTuple

from labels import archive, faces, insurer_foot, insurer_parts, sections
from labels.facts import OwnerCertificate
from labels.insurer_facts import Counts, InsurerStatement, Photograph, Weighed
from labels.page import (
    Page,
    Style,
    open_document,
    thousands,
    turn_over,
    write,
)
from labels.sections import FRAMES, NUMBER, Frame
from labels.tongue import Tongue, tongue

__all__ = ["Counts", "InsurerStatement", "Photograph", "Weighed", "draw", "notices"]

NAMED = replace(sections.RUNNING, floor=7.4)
TITLE = Style(face=faces.TEXT_SEMIBOLD, size=29, floor=15, may_shorten=True)
SERIAL = Style(face=faces.DATA_HEAVY, size=24, floor=13)
KIND = Style(face=faces.TEXT, size=10.4, floor=8, may_shorten=True)

HIGHER, LOWER = 6.0, 6.0  # than a certificate within its boards [mm]
FIRST = 28.6  # from the running head to the first heading
ABOVE, ABOVE_MEASURES, ABOVE_FOOT = 8.6, 3.4, 6.0
SECTIONS = 4
LEAST_REMARKS, LEAST_WOODS = 3, 4  # lines, before the other gets more room
WIDEST_GAP = 4.0


class Plan(NamedTuple):
    """How many rows of woods and which remarks there is room for.

    gap  [mm]  more above each section
    """

    woods: int
    remarks: list[list[str]]
    gap: float


def draw(statement: InsurerStatement, *, paper: Literal["A4", "Letter"]) -> bytes:
    """Return the page as a PDF to keep."""
    frame, shown = _frame(paper), statement.certificate
    say = tongue(shown.language)
    named = say("Statement for an insurer")
    page = open_document(frame.size, f"{named}, {shown.serial}", shown.language)
    sections.running_head(page, frame, shown.shop, named, NAMED, emblem=shown.emblem)
    _title(page, frame, shown, say)
    _sections(page, frame, statement, say)
    insurer_foot.draw(page, frame, shown, say, day=statement.day)
    _caution(page, frame, statement, say)
    turn_over(page)
    return archive.keep(page, day=statement.day)


def _frame(paper: Literal["A4", "Letter"]) -> Frame:
    """Return the certificate's frame, without the room that its boards take."""
    frame = FRAMES[paper]
    return replace(frame, head=frame.head - HIGHER, foot=frame.foot + LOWER)


def notices(statement: InsurerStatement) -> tuple[str, ...]:
    """Say which characters the page could not print."""
    shown = statement.certificate
    texts = [shown.shop, shown.model, shown.kind, shown.run, shown.serial]
    texts += [maker.name or "" for maker in shown.makers]
    texts += [cell for row in shown.materials for cell in row[:3]]
    texts += [label for label, _, _ in shown.measures]
    texts += [row.text for row in (*shown.remarks, *statement.since)]
    return faces.missing_notices(texts)


def _sections(
    page: Page, frame: Frame, statement: InsurerStatement, say: Tongue
) -> None:
    """Set the sections one under another, as they were planned."""
    shown, plan = statement.certificate, _plan(frame, statement, say)
    between = ABOVE + plan.gap
    y = frame.head + FIRST
    y = insurer_parts.compare(page, frame, y, statement, say) + between
    y = insurer_parts.woods(page, frame, y, statement, plan.woods, say)
    if shown.measures[1:]:
        y += ABOVE_MEASURES
        y = insurer_parts.measures(page, frame, y, shown.measures[1:], say)
    y += between
    insurer_parts.hands(page, frame, y, shown, say)
    insurer_parts.photographs(page, frame, y, statement, say)
    y += insurer_parts.columns_height(statement, say) + between
    insurer_parts.record(page, frame, y, statement, plan.remarks, say)


def _plan(frame: Frame, statement: InsurerStatement, say: Tongue) -> Plan:
    """Give woods all the room there is once a few remarks have theirs."""
    shown, leading = statement.certificate, insurer_parts.LEADING
    room = insurer_foot.top(frame) - ABOVE_FOOT - frame.head - FIRST
    room -= insurer_parts.COMPARED_HEIGHT + (SECTIONS - 1) * ABOVE
    room -= insurer_parts.columns_height(statement, say) + insurer_parts.HEADED
    if shown.measures[1:]:
        room -= ABOVE_MEASURES + insurer_parts.MEASURES_HEIGHT
    told = insurer_parts.remarks_in_lines(frame, statement, say)
    kept = min(sum(map(len, told)), LEAST_REMARKS) * leading
    rows, most = len(shown.materials), LEAST_WOODS
    while most < rows and insurer_parts.woods_height(most + 1) + kept <= room:
        most += 1
    room -= insurer_parts.woods_height(min(rows, most))
    remarks = _with_room(told, int(room / leading + 0.01))
    lines = sum(map(len, remarks)) + (len(remarks) < len(told))
    gap = max(room - lines * leading, 0.0) / SECTIONS
    woods = rows if rows <= most else most - 1
    return Plan(woods, remarks, min(gap, WIDEST_GAP))


def _with_room(told: list[list[str]], room: int) -> list[list[str]]:
    """Return the first remarks that so many lines hold, one of them for the others."""
    if sum(map(len, told)) <= room:
        return told
    kept: list[list[str]] = []
    for lines in told:
        if sum(map(len, kept)) + len(lines) + 1 > room:
            break
        kept.append(lines)
    return kept


def _title(page: Page, frame: Frame, shown: OwnerCertificate, say: Tongue) -> None:
    """Set the model and the serial, and under them what it is and which paper."""
    level, end, whole = frame.head + 14.6, frame.right, frame.right - frame.left
    serial = shown.serial
    at = (end, level)
    taken = write(page, at, serial, SERIAL, align="right", within=70, field="serial")
    free = whole - taken - 6
    at = (frame.left, level)
    write(page, at, shown.model, TITLE, within=free, field="model")
    level += 6.4
    number = f"{shown.number}  {shown.issued}"
    at = (end, level)
    taken = write(page, at, number, NUMBER, align="right", within=60, field="number")
    kind = say(shown.kind)
    said = ". ".join(filter(None, (kind[:1].upper() + kind[1:], shown.run)))
    at, free = (frame.left, level), whole - taken - 4
    write(page, at, f"{said}." if said else "", KIND, within=free, field="kind")


def _caution(
    page: Page, frame: Frame, statement: InsurerStatement, say: Tongue
) -> None:
    """Say what the page rests on, and what it does not say."""
    said = say(
        "Maker’s statement from workshop records as of {day}, entry {entry}. It names "
        "no value: it is no appraisal, no title and no permit. What was done elsewhere "
        "and never entered is not on it. Owners’ names stay with the maker."
    ).format(day=statement.day, entry=thousands(statement.as_of_entry))
    insurer_foot.caution(page, frame, said)
