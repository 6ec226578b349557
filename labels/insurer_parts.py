"""The sections of a statement for an insurer, and how high each of them is.

Each is drawn from its heading's baseline down and returns the level that it ends on.
"""

from dataclasses import replace

from labels import faces, sections
from labels.facts import Maker, Measure, OwnerCertificate, shown_name
from labels.insurer_facts import Gone, InsurerStatement
from labels.page import (
    HAIR,
    WALNUT,
    Page,
    Style,
    measure,
    rule,
    thousands,
    wrap,
    write,
    write_lines,
)
from labels.sections import COLUMN_HEAD, DATA, NOTE, SPECIES, Frame
from labels.squares import square
from labels.tongue import Tongue

LABEL = Style(face=faces.TEXT_ITALIC, size=10, colour=WALNUT, floor=7.6)
ORDINAL = Style(face=faces.DATA_HEAVY, size=11)
COMPARED = Style(face=faces.DATA_MEDIUM, size=12, floor=7.6, may_shorten=True)
WOODS = Style(face=faces.TEXT_ITALIC, size=11, floor=7.6, may_shorten=True)
CELL = Style(face=faces.TEXT, size=9.4, floor=7.2, may_shorten=True)
TRADE = Style(face=faces.TEXT, size=9, colour=WALNUT, floor=7.2, may_shorten=True)
GONE = Style(face=faces.TEXT_SEMIBOLD, size=9, floor=6.8, may_shorten=True)
VALUE = Style(face=faces.DATA_MEDIUM, size=11.5, floor=8)
UNIT = Style(face=faces.TEXT, size=9, floor=7.6)
HEAD = Style(face=faces.TEXT_ITALIC, size=8.8, colour=WALNUT, floor=7, may_shorten=True)
LINE = Style(face=faces.TEXT, size=9.4)

PITCH, THINGS, VALUES, BOX = 7.4, 7.0, 42.0, 3.2  # of what is compared
PART, KINDS, TRADES, BOARD = 0.0, 36.0, 84.0, 126.0  # columns of woods [mm]
ROW, LEADING = 4.6, 4.3
COLUMN = 80.0  # of hands and of photographs
AGREES = 26.0  # at the end of what is compared
MOST_HANDS = 4
# From a heading's baseline to the first line under it, with and without column heads.
HEADED, ROWS = 6.4, 10.3
TABLED = HEADED + LEADING  # and to a first photograph
COMPARED_HEIGHT = 13.2 + 3 * PITCH + 2.2
MEASURES_HEIGHT = 12.0


def width(frame: Frame) -> float:
    """Return the width of the type [mm]."""
    return frame.right - frame.left


def woods_height(rows: int) -> float:
    """Return how high so many rows of woods are, with their heading [mm]."""
    return ROWS + (rows - 1) * ROW


def columns_height(statement: InsurerStatement, seen: int, say: Tongue) -> float:
    """Return the height of the higher column: hands, or so many photographs [mm]."""
    lines = len(named(statement.certificate, say))
    hands = HEADED + (lines - 1) * LEADING
    return max(hands, TABLED + seen * LEADING if seen else HEADED)


def compare(
    page: Page,
    frame: Frame,
    y: float,
    statement: InsurerStatement,
    seen: int,
    say: Tongue,
) -> float:
    """Set what to compare with the instrument, each with a square to tick.

    seen  photographs, whose digests stand below
    """
    sections.heading(page, frame, y, say("Is this the instrument?"))
    lead = say(
        "Four things to compare. Where one of them differs, ask the maker before you "
        "rely on this page."
    )
    at, free = (frame.left, y + 6.2), width(frame)
    write(page, at, lead, CELL, within=free, field="lead")
    y += 13.2
    rows = _rows(statement, seen, frame.right - AGREES - frame.left - VALUES, say)
    for number, (label, value, style, aside) in enumerate(rows):
        level = y + PITCH * number
        _compared(page, frame, level, f"{number + 1}", label, say)
        left = frame.left + VALUES
        end = frame.right - AGREES
        room = end - left - (measure(aside, NOTE) + 3 if aside else 0)
        taken = write(page, (left, level), value, style, within=room, field=label)
        write(page, (left + taken + 3, level), aside, NOTE)
    return y + 3 * PITCH + 2.2


def _compared(
    page: Page, frame: Frame, y: float, number: str, label: str, say: Tongue
) -> None:
    """Set the number of a thing to compare, its name, and the square at its end."""
    write(page, (frame.left, y), number, ORDINAL)
    at, free = (frame.left + THINGS, y), VALUES - THINGS - 2
    write(page, at, label, LABEL, within=free, field="label")
    square(page, frame.right - BOX, y - BOX + 0.4, BOX, "hollow")
    at = (frame.right - BOX - 2, y)
    write(page, at, say("agrees"), LABEL, align="right", within=20, field="agrees")
    rule(page, frame.sides, y + 2.2, 0.22, HAIR)


def _rows(
    statement: InsurerStatement, seen: int, room: float, say: Tongue
) -> list[tuple[str, str, Style, str]]:
    """Return what to compare: its name, what it is here, how set, and an aside."""
    shown, weighed = statement.certificate, statement.weighed
    mass = f"{thousands(weighed.grams)}{faces.THIN_SPACE}g"
    as_of = say("as of {day}, entry {entry}").format(
        day=weighed.day, entry=thousands(weighed.entry)
    )
    return [
        (say("serial"), shown.serial, COMPARED, ""),
        (say("mass"), mass, COMPARED, as_of),
        (say("woods"), _woods_to_compare(shown, room, say), WOODS, ""),
        (say("photographs"), _pictures(statement, seen, say), COMPARED, ""),
    ]


def _pictures(statement: InsurerStatement, seen: int, say: Tongue) -> str:
    """Say how many photographs can be compared, and how many of them stand below."""
    count = len(statement.photographs)
    if seen < count:
        return say("{shown} of {number}, digests below").format(
            shown=thousands(seen), number=thousands(count)
        )
    if not count:
        return none_on(statement, say)
    return say.many(
        count,
        "{number} on record, its digest below",
        "{number} on record, digests below",
    ).format(number=thousands(count))


def none_on(statement: InsurerStatement, say: Tongue) -> str:
    """Say that there is no photograph, or no file of one any more."""
    return say("no file of one is left") if statement.lost else say("none on record")


def _woods_to_compare(shown: OwnerCertificate, room: float, say: Tongue) -> str:
    """Return all species, the heaviest first, or where they are where it is narrow.

    A square is ticked for all of them, or not at all: some of them will not do.
    """
    grams: dict[str, int] = {}
    for row in shown.materials:
        grams[row.species] = grams.get(row.species, 0) + row.grams
    all_of_them = ", ".join(sorted(grams, key=lambda name: (-grams[name], name)))
    narrow = replace(WOODS, size=WOODS.floor)
    is_short = measure(all_of_them, narrow) <= room
    return all_of_them if is_short else say("the woods below")


def woods(
    page: Page,
    frame: Frame,
    y: float,
    statement: InsurerStatement,
    most: int,
    say: Tongue,
) -> float:
    """Set a row for each part, and first what came off since; the rest is counted."""
    shown = statement.certificate
    sections.heading(page, frame, y, say("Made of"))
    for offset, words, within in (
        (PART, say("part"), KINDS - PART),
        (KINDS, say("species"), TRADES - KINDS),
        (TRADES, say("trade name"), BOARD - TRADES),
        (BOARD, say("board"), 24),
    ):
        at = (frame.left + offset, y + 5.4)
        write(page, at, words, HEAD, within=within - 2)
    at = (frame.right, y + 5.4)
    write(page, at, "g", COLUMN_HEAD, align="right")
    rule(page, frame.sides, y + 6.8, 0.22, HAIR)
    y += ROWS
    gone = {each.part: each for each in statement.gone}
    rows = sorted(shown.materials, key=lambda row: row.part not in gone)
    for part, species, trade, _, _, board, _, grams in rows[:most]:
        x = frame.left
        write(page, (x + PART, y), say(part), CELL, within=KINDS - 2)
        write(page, (x + KINDS, y), species, SPECIES, within=TRADES - KINDS - 2)
        said = _gone(gone[part], say) if part in gone else trade
        style = GONE if part in gone else TRADE
        within = BOARD - TRADES - 2
        write(page, (x + TRADES, y), said, style, within=within, field=part)
        write(page, (x + BOARD, y), board, DATA, within=25, field=f"board of {part}")
        write(page, (frame.right, y), thousands(grams), DATA, align="right")
        y += ROW
    more = len(shown.materials) - most
    if more > 0:
        write(page, (frame.left, y), _on_the_certificate(more, say), COLUMN_HEAD)
        y += ROW
    return y - ROW


def _gone(gone: Gone, say: Tongue) -> str:
    """Say that a part is no more what the certificate says of it."""
    words = say("replaced {day}") if gone.is_replaced else say("taken off {day}")
    return words.format(day=gone.day)


def _on_the_certificate(more: int, say: Tongue) -> str:
    return say("and {number} more, on the certificate").format(number=thousands(more))


def measures(
    page: Page, frame: Frame, y: float, rows: tuple[Measure, ...], say: Tongue
) -> float:
    """Set the numbers of the instrument between two rules; y is the upper one's."""
    pitch = width(frame) / max(len(rows), 1)
    rule(page, frame.sides, y)
    rule(page, frame.sides, y + MEASURES_HEIGHT)
    for number, (label, value, unit) in enumerate(rows):
        x, within = frame.left + pitch * number, pitch - 3
        write(page, (x, y + 4.4), say(label), HEAD, within=within)
        room = within - measure(unit, UNIT) - 1
        at = (x, y + 9.6)
        taken = write(page, at, value, VALUE, within=room, field=label)
        write(page, (x + taken + 1, y + 9.6), unit, UNIT)
    return y + MEASURES_HEIGHT


def named(shown: OwnerCertificate, say: Tongue) -> list[str]:
    """Return the makers' names in a few lines; those without room are counted."""
    names = [_unbroken(maker, say) for maker in shown.makers]
    lines: list[str] = []
    for kept in range(1, len(names) + 1):
        said, more = ", ".join(names[:kept]), len(names) - kept
        if more:
            said += f", {_on_the_certificate(more, say)}"
        longer = wrap(said, LINE, COLUMN)
        if lines and len(longer) > MOST_HANDS:
            break
        lines = longer
    return lines[:MOST_HANDS]


def _unbroken(maker: Maker, say: Tongue) -> str:
    """Return a name that stays on one line, where a line can hold it."""
    name = shown_name(maker.name, maker.badge, say)
    is_short = measure(name, LINE) <= COLUMN
    return name.replace(" ", "\N{NO-BREAK SPACE}") if is_short else name


def hands(
    page: Page, frame: Frame, y: float, shown: OwnerCertificate, say: Tongue
) -> None:
    """Set who made it, in the left column."""
    _column_head(page, frame.left, y, say("By these hands"))
    lines = named(shown, say)
    write_lines(page, (frame.left, y + HEADED), lines, LINE, LEADING)


def _column_head(page: Page, x: float, y: float, words: str) -> None:
    write(page, (x, y), words, sections.HEADING, within=COLUMN, field="heading")
    rule(page, (x, x + COLUMN), y + 1.7)


def photographs(
    page: Page,
    frame: Frame,
    y: float,
    statement: InsurerStatement,
    most: int,
    say: Tongue,
) -> None:
    """Set which photographs the shop keeps, in the right column."""
    x = frame.right - COLUMN
    _column_head(page, x, y, say("Photographs on record"))
    if not statement.photographs:
        said = none_on(statement, say)
        write(page, (x, y + HEADED), said, HEAD, within=COLUMN, field="photographs")
        return
    for offset, words in ((0.0, say("day")), (24.0, say("SHA-256 begins with"))):
        write(page, (x + offset, y + HEADED), words, HEAD, within=40)
    at = (frame.right, y + HEADED)
    write(page, at, say("entry"), HEAD, align="right", within=16)
    level = y + TABLED
    for day, entry, digest in statement.photographs[:most]:
        write(page, (x, level), day, DATA)
        write(page, (x + 24, level), digest[:16], DATA)
        write(page, (frame.right, level), thousands(entry), DATA, align="right")
        level += LEADING
    said = _below_photographs(statement, most, say)
    write(page, (x, level), said, NOTE, within=COLUMN, field="note")


def _below_photographs(statement: InsurerStatement, most: int, say: Tongue) -> str:
    """Say what has no room, and of what there is no file any more."""
    more, lost = len(statement.photographs) - most, statement.lost
    told = []
    if more > 0:
        told.append(say("and {number} more, which the maker shows"))
    if lost:
        told.append(say("of {lost} no file is left"))
    said = say("; ").join(told) or say("A copy that was saved anew has another digest.")
    return said.format(number=thousands(more), lost=thousands(lost))
