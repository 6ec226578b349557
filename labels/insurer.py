"""A statement for whoever insures or appraises an instrument: one page, A4 or Letter.

It begins with what can be compared with the instrument itself; then come the woods, the
hands, the numbers, and all that is on record since. It names no value and no owner:
there are lines for both, to be filled in by hand. What has no room is counted, save
what is open on the day: for that there is a further page, if it must be.
"""

from dataclasses import replace
from typing import Literal, NamedTuple

from labels import (
    archive,
    faces,
    insurer_foot,
    insurer_parts,
    insurer_record,
    letterhead,
    sections,
)
from labels.facts import OwnerCertificate
from labels.insurer_facts import Counts, Gone, InsurerStatement, Photograph, Weighed
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

__all__ = [
    "Counts",
    "Gone",
    "InsurerStatement",
    "Photograph",
    "Weighed",
    "draw",
    "notices",
]

NAMED = replace(sections.RUNNING, floor=7.4)
TITLE = Style(face=faces.TEXT_SEMIBOLD, size=29, floor=15, may_shorten=True)
SERIAL = Style(face=faces.DATA_HEAVY, size=24, floor=13)
KIND = Style(face=faces.TEXT, size=10.4, floor=8, may_shorten=True)

HIGHER, LOWER = 6.0, 6.0  # than a certificate within its boards [mm]
FIRST = 28.6  # from the running head to the first heading
ABOVE, ABOVE_MEASURES, ABOVE_FOOT = 8.6, 3.4, 6.0
SECTIONS = 4
# Lines of each, before another gets more room.
LEAST_REMARKS, LEAST_WOODS, LEAST_PHOTOGRAPHS = 3, 4, 4
REACHED = 3.6  # how far the title moves down for each row of how to reach the maker
WIDEST_GAP = 4.0


class Plan(NamedTuple):
    """How many rows of woods and photographs, and which remarks, there is room for.

    remarks    page by page
    gap  [mm]  more above each section
    """

    woods: int
    photographs: int
    remarks: list[insurer_record.Lines]
    gap: float


def draw(statement: InsurerStatement, *, paper: Literal["A4", "Letter"]) -> bytes:
    """Return the page as a PDF to keep."""
    frame, shown = _frame(paper), statement.certificate
    say = tongue(shown.language)
    named = say("Statement for an insurer")
    page = open_document(frame.size, f"{named}, {shown.serial}", shown.language)
    sections.running_head(page, frame, shown.shop, named, NAMED, emblem=shown.emblem)
    rows = letterhead.reach(page, frame, statement.reach)
    under = replace(frame, head=frame.head + REACHED * rows)
    plan = _plan(under, statement, say)
    _title(page, under, shown, say)
    _sections(page, under, statement, plan, say)
    insurer_foot.draw(page, frame, shown, say, day=statement.day)
    _caution(page, frame, statement, say)
    turn_over(page)
    for number in range(1, len(plan.remarks)):
        _further(page, frame, statement, plan, number, say)
    return archive.keep(page, day=statement.day)


def _further(
    page: Page,
    frame: Frame,
    statement: InsurerStatement,
    plan: Plan,
    number: int,
    say: Tongue,
) -> None:
    """Set a further page for what is open on the day and had no room."""
    shown, named = statement.certificate, say("Statement for an insurer")
    sections.running_head(page, frame, shown.shop, named, NAMED, emblem=shown.emblem)
    level = frame.head + 8.6
    write(page, (frame.left, level), f"{shown.serial}  {shown.number}", NUMBER)
    words = say("page {number} of {whole}")
    said = words.format(number=number + 1, whole=len(plan.remarks))
    write(page, (frame.right, level), said, sections.NOTE, align="right")
    insurer_record.further(page, frame, statement, plan.remarks, number, say)
    _caution(page, frame, statement, say)
    turn_over(page)


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
    texts += [row.text for row in (*statement.today, *statement.told)]
    texts += statement.reach
    return faces.missing_notices(texts)


def _sections(
    page: Page, frame: Frame, statement: InsurerStatement, plan: Plan, say: Tongue
) -> None:
    """Set the sections one under another, as they were planned."""
    shown, seen, between = statement.certificate, plan.photographs, ABOVE + plan.gap
    y = frame.head + FIRST
    y = insurer_parts.compare(page, frame, y, statement, seen, say) + between
    y = insurer_parts.woods(page, frame, y, statement, plan.woods, say)
    if shown.measures[1:]:
        y += ABOVE_MEASURES
        y = insurer_parts.measures(page, frame, y, shown.measures[1:], say)
    y += between
    insurer_parts.hands(page, frame, y, shown, say)
    insurer_parts.photographs(page, frame, y, statement, seen, say)
    y += insurer_parts.columns_height(statement, seen, say) + between
    insurer_record.draw(page, frame, y, statement, plan.remarks, say)


def _plan(frame: Frame, statement: InsurerStatement, say: Tongue) -> Plan:
    """Give woods all the room there is once the first remarks have theirs.

    Those are what is open on the day, and a few others; photographs come last.
    """
    leading, told = (
        insurer_parts.LEADING,
        insurer_record.in_lines(frame, statement, say),
    )
    room = _free(frame, statement, say)
    always = len(statement.today)
    first = sum(map(len, told[:always])) + (len(told) > always)
    kept = min(sum(map(len, told)), first + LEAST_REMARKS) * leading
    rows, most = len(statement.certificate.materials), LEAST_WOODS
    while most < rows and insurer_parts.woods_height(most + 1) + kept <= room:
        most += 1
    room -= insurer_parts.woods_height(min(rows, most))
    seen, room = _photographs(statement, room, sum(map(len, told)) * leading, say)
    remarks = insurer_record.in_pages(frame, told, int(room / leading + 0.01), always)
    lines = sum(map(len, remarks[0])) + (len(remarks[0]) < len(told))
    gap = max(room - lines * leading, 0.0) / SECTIONS
    woods = rows if rows <= most else most - 1
    return Plan(woods, seen, remarks, min(gap, WIDEST_GAP))


def _free(frame: Frame, statement: InsurerStatement, say: Tongue) -> float:
    """Return the room that woods and remarks share [mm]."""
    measured, seen = statement.certificate.measures[1:], _least(statement)
    room = insurer_foot.top(frame) - ABOVE_FOOT - frame.head - FIRST
    room -= insurer_parts.COMPARED_HEIGHT + (SECTIONS - 1) * ABOVE
    room -= insurer_parts.columns_height(statement, seen, say) + insurer_parts.HEADED
    if measured:
        room -= ABOVE_MEASURES + insurer_parts.MEASURES_HEIGHT
    return room


def _least(statement: InsurerStatement) -> int:
    return min(len(statement.photographs), LEAST_PHOTOGRAPHS)


def _photographs(
    statement: InsurerStatement, room: float, kept: float, say: Tongue
) -> tuple[int, float]:
    """Return how many photographs stand below, and the room they leave [mm].

    kept  [mm]  for all remarks
    """
    seen = _least(statement)
    first = insurer_parts.columns_height(statement, seen, say)
    while seen < len(statement.photographs):
        more = insurer_parts.columns_height(statement, seen + 1, say) - first
        if more + kept > room:
            break
        seen += 1
    return seen, room - insurer_parts.columns_height(statement, seen, say) + first


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
