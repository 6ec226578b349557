"""The front of a build tag: which instrument, what is next, and who may sign it."""

from dataclasses import replace
from math import ceil

from labels import faces, marks, qr, rack_parts
from labels.facts import shown_name
from labels.ornament_ink import CoreSize, core_width, draw_core
from labels.page import (
    WALNUT,
    WHITE,
    Page,
    Style,
    fit,
    in_two,
    least,
    measure,
    oxford,
    rule,
    thousands,
    wrap,
    write,
)
from labels.tag_facts import BuildTag, MaySign
from labels.tongue import Tongue, tongue
from ledger.errors import RefusedError

LEFT, BLOCK, RIGHT = 111.0, 150.0, 204.0
SIDES = (LEFT, RIGHT)
MODULE = 26 * qr.INCH / qr.DOTS_PER_INCH
SYMBOL_TOP = 50.6
TEETH, TOOTH = 24, 1.7
BAND = (118.2, 134.0)  # upper and lower edge of the black band
CORE_TOP, CORE = 138.9, CoreSize(row=2.0, gap=0.6)
WOOD_ROWS, WOOD_ROWS_AT_EASE = 3, 7
NAME_LINES, NAME_PITCH = 4, 4.5
WHY_LINES, WHY_PITCH, WHY_GAP = 3, 3.6, 0.9
THEN_SHOWN = 3
ENGLISH = tongue("en")

HEAD = Style(
    face=faces.CAPS, size=9.6, colour=WALNUT, tracking=0.07, floor=7.6, may_shorten=True
)
SHOP_WRAPPED = Style(
    face=faces.CAPS, size=8.6, colour=WALNUT, tracking=0.07, floor=7, may_shorten=True
)
PRINT = Style(face=faces.DATA_BOLD, size=8.4)
SERIAL = Style(face=faces.DATA_HEAVY, size=50.5, floor=20)
MODEL = Style(face=faces.TEXT_SEMIBOLD, size=25, floor=11, may_shorten=True)
RUN = Style(face=faces.TEXT_ITALIC, size=10.4, floor=7.6, may_shorten=True)
RUN_PLACE = Style(face=faces.DATA_MEDIUM, size=9.6, floor=7)
LABEL = Style(face=faces.TEXT, size=9.6, floor=7)
KIND = Style(face=faces.TEXT, size=9.6, floor=7, may_shorten=True)
CODE = Style(face=faces.DATA_MEDIUM, size=9, floor=6.8)
STEP_NUMBER = Style(face=faces.DATA_HEAVY, size=24, floor=14)
STEP_NAME = Style(face=faces.TEXT_SEMIBOLD, size=17, floor=12, may_shorten=True)
STEP_WRAPPED = Style(face=faces.TEXT_SEMIBOLD, size=11.5, floor=8, may_shorten=True)
NAME = Style(face=faces.TEXT, size=10.2, floor=8, may_shorten=True)
ASIDE = Style(face=faces.TEXT_ITALIC, size=9.2, colour=WALNUT, floor=7.6)
WHY = replace(ASIDE, may_shorten=True)
THEN = Style(face=faces.TEXT, size=9.8, floor=8, may_shorten=True)
BOARD = Style(face=faces.DATA_MEDIUM, size=8.4, floor=6.8)
SPECIES = Style(face=faces.TEXT_ITALIC, size=9.6, floor=7.6, may_shorten=True)
PART = Style(face=faces.TEXT, size=9.6, floor=7.6, may_shorten=True)
DUST = Style(face=faces.DATA_HEAVY, size=13.5, colour=WHITE)
ORDERS = Style(face=faces.DATA_BOLD, size=8.8, colour=WHITE, floor=7)
HAZARD = Style(face=faces.DATA_ITALIC, size=8, colour=WHITE)
WARNING = Style(face=faces.DATA_MEDIUM, size=7.6, colour=WHITE, floor=6.8)
DRAWN = Style(face=faces.TEXT_ITALIC, size=7.6, colour=WALNUT, floor=6.8)
PRINTED = Style(face=faces.TEXT, size=8.8, colour=WALNUT, floor=7)


def payload(tag: BuildTag) -> str:
    """Return what a tag's symbol says; without a host, the serial alone."""
    place = f"HTTPS://{tag.host.upper()}/" if tag.host else ""
    return f"{place}S/{tag.serial}"


def _shop(page: Page, shop: str) -> None:
    """Set the shop right of the hole, a long name on two lines."""
    within = 40.0
    if measure(shop, HEAD) * HEAD.narrow <= within:
        write(page, (RIGHT, 9), shop, HEAD, align="right", within=within, field="shop")
        return
    lines = in_two(shop, SHOP_WRAPPED, within)
    for words, y in zip(lines, (6.6, 10.4) if len(lines) > 1 else (9,), strict=True):
        at = (RIGHT, y)
        style = SHOP_WRAPPED
        write(page, at, words, style, align="right", within=within, field="shop")


def _head(page: Page, tag: BuildTag, say: Tongue) -> None:
    said = say("print {number}").format(number=tag.print_number)
    beside = measure(said, PRINT) + 1.5 if tag.print_number > 1 else 0
    taken = write(page, (LEFT, 9), say("Build tag"), HEAD, within=40 - beside)
    if tag.print_number > 1:
        write(page, (LEFT + taken + 1.5, 9), said, PRINT, within=40 - taken)
    _shop(page, tag.shop)
    rack_parts.hole(page, (LEFT + RIGHT) / 2)
    oxford(page, SIDES, 14.6, "small")


def _run(page: Page, run: str, within: float, say: Tongue) -> float:
    """Set the run and the place in it at the right end, and return their width."""
    name, _, place = run.rpartition(", ")
    number, _, whole = place.partition(" of ")
    if number.isdigit() and whole.isdigit():
        place = say("{number} of {whole}").format(number=number, whole=whole)
    lines = [(name, RUN, 38.4), (place, RUN_PLACE, 42.5)]
    if not name:
        lines = [(place, RUN, 42.5)]
    return max(
        write(page, (RIGHT, y), words, style, align="right", within=within, field="run")
        for words, style, y in lines
    )


def _title(page: Page, tag: BuildTag, say: Tongue) -> None:
    """Set the serial, the one big thing on the tag, and the model under it."""
    wide = RIGHT - LEFT
    write(page, (LEFT, 31.5), tag.serial, SERIAL, within=wide, field="serial")
    free = min(44.0, max(wide - 4 - least(tag.model, MODEL), 20.0))
    taken = _run(page, tag.run, free, say) + 4 if tag.run else 0
    at = (LEFT, 42.5)
    write(page, at, tag.model, MODEL, within=wide - taken, field="model")
    rule(page, SIDES, 46)


def _symbol(page: Page, tag: BuildTag, say: Tongue) -> None:
    """Draw the symbol, and under its quiet zone what the parts are numbered."""
    symbol = qr.board_symbol(payload(tag))
    x, y = qr.snap(LEFT, qr.DOTS_PER_INCH), qr.snap(SYMBOL_TOP, qr.DOTS_PER_INCH)
    qr.draw(page, symbol, x, y, MODULE)
    end = LEFT + symbol.side * MODULE
    body, neck = (89.7, say("body"), tag.body), (93.5, say("neck"), tag.neck)
    for level, label, code in (body, neck):
        free = end - LEFT - min(measure(code, CODE), 22) - 1
        write(page, (LEFT, level), label, LABEL, within=free, field=label)
        at = (end, level)
        write(page, at, code, CODE, align="right", within=22, field=label)
    write(
        page, (LEFT, 97.3), say(tag.kind), KIND, within=BLOCK - 2 - LEFT, field="kind"
    )


def _step_name(page: Page, x: float, name: str) -> None:
    """Set a step's name on one line, or a long one on two."""
    within = RIGHT - x
    if measure(name, STEP_NAME) * STEP_NAME.narrow * 12 / 17 <= within:
        write(page, (x, 61.6), name, STEP_NAME, within=within, field="next step")
        return
    first, *rest = wrap(name, STEP_WRAPPED, within)
    for line, y in ((first, 57.6), (" ".join(rest), 62.2)):
        write(page, (x, y), line, STEP_WRAPPED, within=within, field="next step")


def _next(page: Page, tag: BuildTag, say: Tongue) -> None:
    """Set the next step and the plate of its state."""
    wide, gate = RIGHT - BLOCK, say("gate")
    aside = measure(gate, ASIDE) + 2 if tag.next_step and tag.next_step.is_gate else 0
    at = (BLOCK, 52.8)
    taken = write(page, at, say("Next when printed"), HEAD, within=wide - aside)
    if tag.next_step is None:
        write(page, (BLOCK, 61.6), say("All steps signed"), STEP_NAME, within=wide)
    else:
        number, name, is_gate = tag.next_step
        if is_gate:
            write(page, (BLOCK + taken + 2, 52.8), gate, ASIDE)
        at, digits = (BLOCK, 61.6), str(number)
        field = "next step"
        x = BLOCK + write(page, at, digits, STEP_NUMBER, within=18, field=field) + 3
        _step_name(page, x, say(name))
    marks.plate(page, (BLOCK, 65.2, wide, 9.0), tag.edge, say(tag.state.upper()))
    for number, words in enumerate(_why_lines(tag)):
        write(page, (BLOCK, 78.2 + number * WHY_PITCH), words, WHY, within=wide)


def _why_lines(tag: BuildTag) -> list[str]:
    """Return what stands under the plate: one on two lines, of several a line each."""
    if len(tag.why) == 1:
        return rack_parts.lines_of(tag.why[0], WHY, RIGHT - BLOCK, 2)
    return list(tag.why[:WHY_LINES])


def _why_height(tag: BuildTag) -> float:
    """Return by how much the names stand lower, for what stands above them [mm]."""
    lines = len(_why_lines(tag))
    return lines * WHY_PITCH + WHY_GAP if lines else 0.0


def name_lines(tag: BuildTag) -> int:
    """Count the lines for names that are left under the plate and its reasons."""
    return NAME_LINES - ceil(_why_height(tag) / NAME_PITCH - 1e-9)


def mark_within(
    page: Page, at: tuple[float, float], badge: str, height: float, within: float
) -> None:
    """Cut a hand mark of a height, or a lower one where a long numeral is too wide."""
    number = int(badge) if badge.isascii() and badge.isdigit() and len(badge) < 4 else 0
    natural = sum(marks.CUTS[letter][0] for letter in marks.numeral(number)) * height
    fitted = height * min(1.0, within / natural) if natural else height
    marks.hand_mark(page, *at, badge, fitted)


def _person_lines(person: MaySign, say: Tongue) -> list[tuple[str, str]]:
    """Return the lines a person takes: name, and condition where it needs its own."""
    name = shown_name(person.name, person.badge, say)
    free = RIGHT - BLOCK - 8.5
    beside = measure(name, NAME) + measure(person.condition, ASIDE) + 2
    if not person.condition or beside <= free:
        return [(name, person.condition)]
    return [(name, ""), ("", person.condition)]


def people_shown(tag: BuildTag, say: Tongue = ENGLISH) -> int:
    """Count the people there is room for; none is shown without their condition."""
    sizes, lines = [len(_person_lines(p, say)) for p in tag.may_sign], name_lines(tag)
    if sum(sizes) <= lines:
        return len(sizes)
    # The last line counts those that are left over.
    return max(n for n in range(len(sizes)) if sum(sizes[:n]) <= lines - 1)


def _may_sign(page: Page, tag: BuildTag, say: Tongue) -> None:
    """Set who may sign the next step, or who may lift the hold that stops it."""
    is_held = tag.edge == "sawn"
    if tag.next_step is None and not is_held:
        return
    lower = _why_height(tag)
    heading = say("May lift the hold") if is_held else say("May sign")
    write(page, (BLOCK, 79.4 + lower), heading, HEAD, within=RIGHT - BLOCK)
    x, y, shown = BLOCK + 8.5, 83.8 + lower, people_shown(tag, say)
    if not tag.may_sign:
        nobody = say("nobody, when this was printed")
        write(page, (BLOCK, y), nobody, ASIDE, within=RIGHT - BLOCK)
    for person in tag.may_sign[:shown]:
        mark_within(page, (BLOCK + 0.2, y), person.badge, 2.8, 7.6)
        for name, condition in _person_lines(person, say):
            field = f"name of badge {person.badge}"
            end = (
                x
                + write(page, (x, y), name, NAME, within=RIGHT - x, field=field)
                + (2 if name else 0)
            )
            field = f"condition of badge {person.badge}"
            at = (end, y)
            write(page, at, condition, ASIDE, within=RIGHT - end, field=field)
            y += NAME_PITCH
    if left_over := len(tag.may_sign) - shown:
        said = say("and {number} more: scan").format(number=left_over)
        write(page, (x, y), said, ASIDE, within=RIGHT - x)


def _then(page: Page, tag: BuildTag, say: Tongue) -> None:
    """Set as many of the steps to come as one line holds."""
    rule(page, SIDES, 99.6)
    x = LEFT + write(page, (LEFT, 104), say("Then"), HEAD) + 3
    if not tag.then:
        said = say("nothing: the route ends here")
        write(page, (x, 104), said, ASIDE, within=RIGHT - x)
        return
    chosen = tag.then[:THEN_SHOWN]
    while len(chosen) > 1 and not _fits(" · ".join(chosen), RIGHT - x, THEN):
        chosen = chosen[:-1]
    line = " · ".join(chosen)
    write(page, (x, 104), line, THEN, within=RIGHT - x, field="then")


def _fits(words: str, within: float, style: Style) -> bool:
    try:
        fit(words, style, within)
    except RefusedError:
        return False
    return True


def species_words(species: str, within: float, say: Tongue = ENGLISH) -> str:
    """Return the species of a board, shortened where it is glued and they are long."""
    names = species.split(" and ")
    if len(names) == 1 or _fits(species, within, SPECIES):
        return species
    parted = [name.partition(" ") for name in names]
    short = " and ".join(f"{genus[:1]}. {epithet}" for genus, _, epithet in parted)
    many = say("{number} species").format(number=len(names))
    return short if _fits(short, within, SPECIES) else many


def wood_shown(tag: BuildTag) -> int:
    """Count the boards there is room for; the last line counts those left over."""
    count, rows = len(tag.wood), _wood_rows(tag)
    return count if count <= rows else rows - 1


def _wood_rows(tag: BuildTag) -> int:
    """Return how many lines of boards go above the band, or where none is drawn."""
    return WOOD_ROWS if tag.hazards else WOOD_ROWS_AT_EASE


def _wood(page: Page, tag: BuildTag, say: Tongue) -> None:
    rule(page, SIDES, 106.2)
    y, shown = 110.4, wood_shown(tag)
    pitch = 3.5 if len(tag.wood) >= _wood_rows(tag) else 4.2
    x = LEFT + write(page, (LEFT, y), say("Wood"), HEAD) + 3
    if not tag.wood:
        said = say("no board allotted when this was printed")
        write(page, (x, y), said, ASIDE, within=RIGHT - x)
    for part, species, board in tag.wood[:shown]:
        field = f"board of {part}"
        write(page, (x, y), board, BOARD, within=23, field=field)
        at = (RIGHT, y)
        field = "part"
        named = say(part)
        taken = write(page, at, named, PART, align="right", within=24, field=field)
        at, free = (x + 25, y), RIGHT - taken - 2 - x - 25
        said = species_words(species, free, say)
        write(page, at, said, SPECIES, within=free, field=f"species of {part}")
        y += pitch
    if left_over := len(tag.wood) - shown:
        said = say("and {number} more boards: scan").format(number=left_over)
        write(page, (x, y), said, ASIDE, within=RIGHT - x)


def _band(page: Page) -> None:
    """Draw the black band with teeth along its top: a hazard to people."""
    top, foot = BAND
    pitch = (RIGHT - LEFT) / TEETH
    points = [(LEFT, foot), (LEFT, top + TOOTH)]
    for number in range(TEETH):
        x = LEFT + number * pitch
        points += [(x + pitch / 2, top), (x + pitch, top + TOOTH)]
    marks.polygon(page, [*points, (RIGHT, foot)])


def hazard_lines(
    hazards: tuple[str, ...], say: Tongue = ENGLISH
) -> tuple[list[str], int]:
    """Return the species a band names in two lines, and how many are left over."""
    within = RIGHT - LEFT - 5
    for shown in range(len(hazards), 0, -1):
        left_over = len(hazards) - shown
        named, more = ", ".join(hazards[:shown]), say("and {number} more")
        words = f"{named} {more.format(number=left_over)}" if left_over else named
        lines = wrap(words, HAZARD, within)
        if len(lines) <= 2:
            return lines, left_over
    raise RefusedError(
        f"hazards do not fit the paper: {hazards[0]!r} takes more than 2 lines; "
        f"shorten it"
    )


def _dust(page: Page, tag: BuildTag, say: Tongue) -> None:
    """Warn of woods in this build whose dust makes people ill; say nothing else."""
    if not tag.hazards:
        return
    lines, _ = hazard_lines(tag.hazards, say)
    _band(page)
    x = LEFT + 2.5
    # One line of species leaves the three lines more air.
    pitch = 3.1 if len(lines) == 2 else 3.8
    y = BAND[0] + (5.3 if len(lines) == 2 else 5.7)
    taken = write(page, (x, y), say("DUST"), DUST) + 3
    orders = say("Extraction on. Mask on. Wash before you eat.")
    write(page, (x + taken, y), orders, ORDERS, within=RIGHT - x - taken - 2.5)
    for line in lines:
        y += pitch
        write(page, (x, y), line, HAZARD)
    warning = say(
        "Skin and lungs can turn allergic. No tag or sleeve near a running machine."
    )
    write(page, (x, y + pitch), warning, WARNING, within=RIGHT - x - 2.5)


def _printed(page: Page, tag: BuildTag, say: Tongue) -> None:
    time = f"{tag.printed_at} {tag.zone}".rstrip()
    said = say("Printed {time}. The ledger may know more: scan.").format(time=time)
    draw_core(page, (LEFT, CORE_TOP), tag.root, CORE)
    beside = (RIGHT, CORE_TOP + CORE.height - 0.4)
    free = RIGHT - LEFT - core_width(tag.root) - 3
    drawn = say("core of the checkpoint of {number} entries")
    drawn = drawn.format(number=thousands(tag.size))
    write(page, beside, drawn, DRAWN, align="right", within=free, field="core")
    at = (LEFT, 137.6)
    write(page, at, said, PRINTED, within=RIGHT - LEFT, field="printed at")


def draw(page: Page, tag: BuildTag) -> None:
    """Draw the front panel, right of the fold on the outside."""
    say = tongue(tag.language)
    for part in (_head, _title, _symbol, _next, _may_sign, _then, _wood, _dust):
        part(page, tag, say)
    _printed(page, tag, say)
