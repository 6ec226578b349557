"""The later pages of a booklet: as it left, how to keep it, and lines to write on."""

from labels import booklet_trees, faces, qr, to_check
from labels.booklet_facts import Moves, OwnerBooklet
from labels.booklet_parts import (
    BODY,
    FIRST,
    MARGIN,
    NOTE,
    folio,
    foot,
    head,
    paragraphs,
    sides,
    upright,
    width,
)
from labels.facts import Measure, OwnerCertificate, shown_name
from labels.ornament_ink import draw_core
from labels.page import (
    HAIR,
    WALNUT,
    Page,
    Style,
    rule,
    thousands,
    wrap,
    write,
    write_lines,
)
from labels.tongue import Tongue

COLUMN = Style(
    face=faces.TEXT_ITALIC, size=8.6, colour=WALNUT, floor=6.8, may_shorten=True
)
WHAT = Style(face=faces.TEXT, size=9.4, floor=7, may_shorten=True)
VALUE = Style(face=faces.DATA_MEDIUM, size=9.4, floor=7)
LABEL = Style(face=faces.TEXT, size=8.4, colour=WALNUT, floor=6.8)
FACT = Style(face=faces.DATA_MEDIUM, size=8.4, floor=6.8, may_shorten=True)
SPECIES = Style(face=faces.TEXT_ITALIC, size=9, floor=7, may_shorten=True)
CHECK = Style(face=faces.TEXT, size=8.4)

MODULE = 10 * qr.INCH / qr.DOTS_PER_INCH
SYMBOL_TOP, BESIDE, CHECK_LEADING = 21.0, 41.0, 3.7
SET_UP_ROW, WRITTEN_ROW = 7.2, 8.6
LEFT_AT, LATER_AT, LAST_AT = 36.0, 56.0, 71.0  # columns of measures
DAY, DONE, WHO = 0.0, 19.0, 62.0  # columns of service
CARE_SHARE, ABOVE = 0.66, 6.0  # of page 5, at most; above what follows
# The airs that a handbook is asked about, at one warmth.
AIRS = {
    "dry_air": f"30{faces.THIN_SPACE}%",
    "usual_air": f"45{faces.THIN_SPACE}%",
    "damp_air": f"60{faces.THIN_SPACE}%",
    "doubt": f"1{faces.THIN_SPACE}%",
}
LEAST_AIR, MOST_AIR = "40", f"60{faces.THIN_SPACE}%"
ACROSS = f"100{faces.THIN_SPACE}mm"
WARMTH = "20\N{NO-BREAK SPACE}°C"


def set_up(page: Page, booklet: OwnerBooklet, say: Tongue) -> None:
    """Set page 4: what was measured last, with columns to write later values in."""
    head(page, say("Set up as it left"))
    shown, (left, right) = booklet.certificate, sides(page)
    rows = (*shown.measures[:1], *booklet.set_up)
    top, until = FIRST - 1.4, foot(page)
    heads = (
        (LEFT_AT, shown.issued),
        (LATER_AT, say("day")),
        (LAST_AT, say("day")),
    )
    for offset, words in heads:
        write(page, (left + offset, top), words, COLUMN, within=18, field="head")
    most = max(int((until - top - 4) / SET_UP_ROW), 1)
    kept = rows if len(rows) <= most else rows[: most - 1]
    y = top + 2
    for row in kept:
        rule(page, (left, right), y, 0.22, HAIR)
        _measured(page, y + 4.9, row, say)
        y += SET_UP_ROW
    rule(page, (left, right), y, 0.22, HAIR)
    for offset in (LATER_AT - 1.6, LAST_AT - 1.6):
        upright(page, left + offset, top - 2.6, y)
    more = len(rows) - len(kept)
    if more:
        said = say("and {number} more, on record").format(number=more)
        write(page, (left, y + 4.4), said, COLUMN)
    elif until - y > 16:
        note = say(
            "Strings, air and a journey move these numbers. Write down yours once or "
            "twice a year: a repairer sees from them what has changed."
        )
        paragraphs(page, y + 6.4, until, [note])
    folio(page, 4, shown.serial)


def _measured(page: Page, y: float, row: Measure, say: Tongue) -> None:
    label, value, unit = row
    x = MARGIN
    write(page, (x, y), say(label), WHAT, within=LEFT_AT - 2, field="measure")
    said = f"{value}{faces.THIN_SPACE}{unit}"
    within = LATER_AT - LEFT_AT - 3
    write(page, (x + LEFT_AT, y), said, VALUE, within=within, field=label)


def care(page: Page, booklet: OwnerBooklet, say: Tongue) -> None:
    """Set page 5: how to keep it, and what to ask before it travels."""
    head(page, say("Care"))
    until = FIRST + (foot(page) - FIRST) * CARE_SHARE
    y = paragraphs(page, FIRST, until, _care_words(booklet, say)) + ABOVE
    head(page, say("Before you travel"), y)
    named = say(
        "Page 2 names the species that had room, the certificate every wood, by "
        "their scientific names."
    )
    if booklet_trees.names_all(page, booklet, say):
        named = say("Page 2 names every species on record by its scientific name.")
    told = say(
        "What a country asks for depends on the species, on the lists of that year, "
        "and on why you cross. {named} "
        "Ask the CITES Management Authority of both countries, or a customs broker, "
        "weeks before: at the border it is too late. This booklet is no permit."
    ).format(named=named)
    paragraphs(page, y + 7, foot(page), [told])
    folio(page, 5, booklet.certificate.serial)


def _care_words(booklet: OwnerBooklet, say: Tongue) -> list[str]:
    """Return what is known of wood and air: by the trade, the record, a handbook."""
    return [
        say(
            "Wood takes up water from damp air and gives it off to dry air. Along the "
            "grain it hardly moves; across it, it swells and shrinks, and what is "
            "glued fast bends or opens."
        ),
        _room_words(booklet, say),
        _moves_words(booklet.moves, say) if booklet.moves else "",
        say(
            "Common practice: keep it in air of {least} to {most} relative humidity, "
            "and in its case with a hygrometer when the room is drier or damper; let "
            "it come to another climate in the closed case; never in the sun, at a "
            "heater, or in a parked car. Where strings rise or sink with the season, a "
            "fret end can be felt, or anything buzzes, opens or lifts, ask the maker "
            "or a repairer."
        ).format(least=LEAST_AIR, most=MOST_AIR),
    ]


def _room_words(booklet: OwnerBooklet, say: Tongue) -> str:
    """Say in which air its wood was kept, each with the entry that says so."""
    said = []
    if booklet.room is not None:
        room = booklet.room
        said.append(
            say("We keep our wood in air of {least} to {most} (entry {entry}).").format(
                least=room.least, most=room.most, entry=thousands(room.entry)
            )
        )
    if booklet.air is not None:
        air = booklet.air
        said.append(
            say(
                "Read last before the certificate: {room}, {humidity}, {warmth}, "
                "{day} (entry {entry})."
            ).format(
                room=air.room,
                humidity=air.humidity,
                warmth=air.warmth,
                day=air.day,
                entry=thousands(air.entry),
            )
        )
    return " ".join(said)


def _moves_words(moves: Moves, say: Tongue) -> str:
    return say(
        "By a handbook, at {warmth} wood comes to rest at about {usual} of water in "
        "air of {usual_air}, at {dry} in air of {dry_air}, at {damp} in air of "
        "{damp_air}, give or take {doubt}. {across} across the standing rings of "
        "{species} then shrink by about {shrinks} or swell by about {swells}. Reckoned "
        "for such wood, not measured on yours ({source})."
    ).format(warmth=WARMTH, across=ACROSS, **AIRS, **moves._asdict())


def service(page: Page, booklet: OwnerBooklet, say: Tongue, number: int) -> None:
    """Set a page of blank lines: when, what was done, by whom."""
    head(page, say("Service, to be written by hand"))
    left, right = sides(page)
    y, until = FIRST - 1.4, foot(page)
    heads = (
        (DAY, say("day"), DONE - DAY),
        (DONE, say("what was done, and with what"), WHO - DONE),
        (WHO, say("who, initials"), width(page) - WHO),
    )
    for offset, words, within in heads:
        at = (left + offset, y)
        write(page, at, words, COLUMN, within=within - 2, field="head")
    lines = int((until - y - 2) / WRITTEN_ROW)
    for line in range(lines + 1):
        rule(page, (left, right), y + 2 + line * WRITTEN_ROW)
    for offset in (DONE - 1.6, WHO - 1.6):
        upright(page, left + offset, y - 2.6, y + 2 + lines * WRITTEN_ROW)
    folio(page, number, booklet.certificate.serial)


def check(page: Page, booklet: OwnerBooklet, say: Tongue) -> None:
    """Set page 8: how to check it, and what to do when it is gone."""
    shown = booklet.certificate
    head(page, say("To check"))
    x = qr.snap(MARGIN, qr.DOTS_PER_INCH)
    top = qr.snap(SYMBOL_TOP, qr.DOTS_PER_INCH)
    qr.draw(page, qr.card_symbol(shown.card_text), x, top, MODULE)
    look = say(
        "Then look: serial, woods and mass must match the instrument in your hands."
    )
    at = (MARGIN + BESIDE, top + 2.6)
    lines = wrap(f"{to_check.words(say)} {look}", CHECK, width(page) - BESIDE)
    write_lines(page, at, lines, CHECK, CHECK_LEADING)
    y = _facts(page, shown, top + 42, say)
    head(page, say("If it is lost or stolen"), y + 5)
    told = say(
        "Keep in another place: photographs of the serial, of front, back and head, "
        "of every mark of use, and the receipt. Give them to the police and to your "
        "insurer, and tell the maker. A serial alone proves nothing: anybody can "
        "copy one. This is the maker’s record, no title."
    )
    paragraphs(page, y + 12, foot(page), [told], BODY)
    folio(page, 8, shown.serial)


def _facts(page: Page, shown: OwnerCertificate, y: float, say: Tongue) -> float:
    """Set the core and which certificate it is of; return the last level."""
    draw_core(page, (MARGIN, y - 2), shown.leaf, ink=WALNUT)
    y += 8
    entry = say("entry {entry}").format(entry=thousands(shown.entry))
    signer = shown_name(shown.signer_name, shown.signer_badge, say)
    rows = (
        (say("certificate"), f"{shown.number}, {shown.issued}, {entry}"),
        (say("signed"), signer),
        (say("card key"), shown.key_id),
    )
    for number, (label, value) in enumerate(rows):
        level = y + 4 * number
        write(page, (MARGIN, level), label, LABEL, within=19, field="label")
        at, free = (MARGIN + 21, level), width(page) - 21
        write(page, at, value, FACT, within=free, field=label)
    level = y + 4 * len(rows)
    said = say("The rings are those of the entry: lay your owner card against them.")
    write(page, (MARGIN, level), said, NOTE, within=width(page), field="core")
    return level + 2
