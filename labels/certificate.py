"""The owner certificate, page 1: by whose hands, from which trees.

Everything on it can be traced to an entry. A person whose name was erased is shown by
badge. No owner's name stands on it, and nothing that a copier would lose.
"""

from dataclasses import replace
from typing import Literal, NamedTuple

from labels import (
    archive,
    certificate_foot,
    evidence,
    faces,
    ornament_ink,
    qr,
    sections,
)
from labels.facts import (
    MOST_MEASURES,
    Maker,
    Material,
    Measure,
    OwnerCertificate,
    Remark,
    figure_of,
    hatches_of,
)
from labels.figure import draw_figure, has_figure, size_of
from labels.page import (
    WALNUT,
    Page,
    Style,
    bookmark,
    measure,
    open_document,
    rule,
    shortened,
    turn_over,
    write,
)
from labels.sections import (
    BESIDE_FIGURE,
    COLUMN_HEAD,
    FRAMES,
    NOTE,
    NUMBER,
    TREES_HEAD,
    Frame,
)
from labels.tongue import Tongue, term, tongue
from ledger.errors import RefusedError

__all__ = [
    "Maker",
    "Material",
    "Measure",
    "OwnerCertificate",
    "Remark",
    "draw",
    "notices",
]

HANDS_SHOWN, TREES_SHOWN = 9, 8
MOTTO = term("Made by these hands, from these trees.")

MODEL = Style(face=faces.TEXT_SEMIBOLD, size=48, floor=22, may_shorten=True)
SERIAL = Style(face=faces.DATA_HEAVY, size=27, floor=14)
KIND = Style(face=faces.TEXT, size=11, floor=8.5, may_shorten=True)
MOTTO_STYLE = Style(face=faces.TEXT_ITALIC, size=19, colour=WALNUT, floor=14)
MEASURED = replace(COLUMN_HEAD, floor=7.2, may_shorten=True)
MORE = Style(face=faces.TEXT_ITALIC, size=9.6, colour=WALNUT)
VALUE = Style(face=faces.DATA_MEDIUM, size=13.5, floor=9)
UNIT = Style(face=faces.TEXT, size=9.5, floor=8)

MOTTO_DROP = 38.6  # from the running head
HANDS_FIRST = 7.4  # from the heading's baseline to the first name
TREES_NOTE = 4.0
MEASURES_HEIGHT = 12.4
SIGNED_HEIGHT = 34.6
ABOVE_CORE = 1.8
FIGURE_DROP, FIGURE_GAP = 33.0, 5.4  # below the head; above what follows
FIGURE_APART, FIGURE_EDGE = 29.8, 13.0  # between the leaves; right of the last one
INSET, STILE = 8.0, 6.2  # of the frame
LEAST_GAPS = (8.6, 8.2, 3.9, 4.4)  # before hands, trees, measures and the foot
LEAST_STRETCH, MOST_STRETCH, MOST_GAP = 0.94, 1.3, 10.0


class Plan(NamedTuple):
    """Where page 1's sections begin, and how far its rows are apart [mm]."""

    hands: float
    trees: float
    measures: float
    hand_pitch: float
    tree_pitch: float


def _foot_top(frame: Frame) -> float:
    """Return the top of the symbol at the foot, on a whole dot."""
    side = 85 * frame.module_dots * qr.INCH / qr.DOTS_PER_INCH
    return qr.snap(frame.core - ABOVE_CORE - max(side, SIGNED_HEIGHT), qr.DOTS_PER_INCH)


def _hands_shown(certificate: OwnerCertificate) -> int:
    """Return how many are named; one alone takes the line that would count them."""
    count = len(certificate.makers)
    return count if count <= HANDS_SHOWN + 1 else HANDS_SHOWN


def _works(frame: Frame, certificate: OwnerCertificate) -> list[list[str]]:
    """Return what page 1 says that each did, in two lines while there is room."""
    is_narrow = has_figure(certificate.kind)
    shown = certificate.makers[: _hands_shown(certificate)]
    works, spare = [], max(HANDS_SHOWN - len(shown), 0)
    say = tongue(certificate.language)
    for maker in shown:
        most, on = 1 + min(spare, 1), frame.hands_on
        works.append(
            sections.told(frame, maker, say, is_narrow=is_narrow, most=most, on=on)
        )
        spare -= len(works[-1]) - 1
    return works


def _continued(frame: Frame, certificate: OwnerCertificate) -> tuple[Maker, ...]:
    """Return whom page 1 leaves out, and before them whose work it cuts short."""
    cut = [
        maker
        for maker, lines in zip(
            certificate.makers, _works(frame, certificate), strict=False
        )
        if maker.work not in (", ".join(lines), " ".join(lines).lstrip())
    ]
    return (*cut, *certificate.makers[_hands_shown(certificate) :])


def _plan(frame: Frame, certificate: OwnerCertificate) -> Plan:
    """Share the free height: first a little between rows, the rest between sections.

    Where the figure reaches below the hands, only what is left under it is shared.
    """
    hands = max(min(len(certificate.makers), HANDS_SHOWN + 1) - 1, 0)
    trees = min(len(certificate.materials), TREES_SHOWN)
    below = sections.WORK_LEADING * sum(len(w) - 1 for w in _works(frame, certificate))
    above = HANDS_FIRST + below + LEAST_GAPS[0] + LEAST_GAPS[1]
    after = TREES_HEAD + TREES_NOTE + LEAST_GAPS[2] + LEAST_GAPS[3]
    after += MEASURES_HEIGHT if certificate.measures else 0
    motto, end = frame.head + MOTTO_DROP, _foot_top(frame) - after
    of_hands, of_trees = hands * frame.hand_pitch, trees * frame.tree_pitch
    stretch, gap = _shared(end - motto - above, of_hands + of_trees, len(LEAST_GAPS))
    at_trees = motto + above + of_hands * stretch + 2 * gap
    lowest = _figure_foot(frame, certificate) + FIGURE_GAP
    if at_trees < lowest:
        at_trees = lowest
        stretch, gap = _shared(end - at_trees, of_trees, len(LEAST_GAPS) - 2)
    hand_pitch, tree_pitch = frame.hand_pitch * stretch, frame.tree_pitch * stretch
    under = at_trees + TREES_HEAD + trees * tree_pitch + TREES_NOTE
    at_hands, at_measures = motto + LEAST_GAPS[0] + gap, under + LEAST_GAPS[2] + gap
    return Plan(at_hands, at_trees, at_measures, hand_pitch, tree_pitch)


def _shared(free: float, rows: float, gaps: int) -> tuple[float, float]:
    """Return how far rows are stretched, and what each of the gaps gets more [mm]."""
    stretch = min(max(free / rows, LEAST_STRETCH), MOST_STRETCH) if rows > 0 else 1.0
    return stretch, min(max(0.0, free - rows * stretch) / gaps, MOST_GAP)


def _title(page: Page, frame: Frame, certificate: OwnerCertificate) -> None:
    """Set the model and the serial, the one big thing on the page."""
    say, shop = tongue(certificate.language), certificate.shop
    head = say("Owner certificate")
    sections.running_head(page, frame, shop, head, emblem=certificate.emblem)
    level = frame.head + 20.4
    end = (frame.right, level)
    serial = certificate.serial
    taken = write(page, end, serial, SERIAL, align="right", within=60, field="serial")
    free = frame.right - frame.left - taken - 6
    write(
        page, (frame.left, level), certificate.model, MODEL, within=free, field="model"
    )
    kind = say(certificate.kind)
    kind = kind[:1].upper() + kind[1:]
    name, _, place = certificate.run.rpartition(", ")
    said = f"{kind}. {certificate.run}." if certificate.run else f"{kind}."
    said = shortened(said, KIND, 126, tail=f", {place}." if name else "")
    level += 8
    write(page, (frame.left, level), said, KIND, within=126, field="kind and run")
    end = (frame.right, level)
    number = certificate.number
    write(page, end, number, NUMBER, align="right", within=36, field="number")
    free = BESIDE_FIGURE if has_figure(certificate.kind) else frame.right - frame.left
    at = (frame.left, frame.head + MOTTO_DROP)
    write(page, at, say(MOTTO), MOTTO_STYLE, within=free, field="motto")


def _hands(page: Page, frame: Frame, certificate: OwnerCertificate, plan: Plan) -> None:
    is_narrow = has_figure(certificate.kind)
    say = tongue(certificate.language)
    said = say("By these hands")
    sections.heading(page, frame, plan.hands, said, is_narrow=is_narrow)
    y = plan.hands + HANDS_FIRST
    works = _works(frame, certificate)
    for maker, lines in zip(certificate.makers, works, strict=False):
        sections.hand(page, frame, y, maker, lines, say, is_narrow=is_narrow)
        y += plan.hand_pitch + sections.WORK_LEADING * (len(lines) - 1)
    left_over = len(certificate.makers) - _hands_shown(certificate)
    if left_over > 0:
        at = (frame.left + sections.NAMES, y)
        more = say("and {number} more, page {page}").format(
            number=left_over, page=frame.hands_on
        )
        write(page, at, more, MORE)


def _figure_foot(frame: Frame, certificate: OwnerCertificate) -> float:
    """Return how far down the figure reaches; without one it takes no room [mm]."""
    if not has_figure(certificate.kind):
        return 0.0
    _, high = size_of(certificate.kind, frame.figure_unit)
    return frame.head + FIGURE_DROP + high


def _figure(page: Page, frame: Frame, certificate: OwnerCertificate) -> None:
    """Draw the instrument from the front and from behind, right of the hands."""
    woods = ((row.part, row.species) for row in certificate.materials)
    facts = figure_of(certificate.kind, woods)
    if facts is None:
        return
    at = (frame.right - FIGURE_APART - FIGURE_EDGE, frame.head + FIGURE_DROP)
    hatches = hatches_of(certificate)
    unit, apart = frame.figure_unit, FIGURE_APART
    draw_figure(page, at, unit, facts, apart=apart, hatches=hatches)


def _trees(page: Page, frame: Frame, certificate: OwnerCertificate, plan: Plan) -> None:
    say = tongue(certificate.language)
    sections.heading(page, frame, plan.trees, say("From these trees"))
    sections.tree_heads(page, frame, plan.trees, say)
    y, hatches = plan.trees + TREES_HEAD, hatches_of(certificate)
    for row in certificate.materials[:TREES_SHOWN]:
        hatch = hatches[row.species]
        sections.tree(page, frame, y, row, plan.tree_pitch, hatch, say)
        y += plan.tree_pitch
    left_over = len(certificate.materials) - TREES_SHOWN
    note = say(
        "Months: in our racks before use, rounded down. g: finished mass, as weighed."
    )
    if left_over > 0:
        more = say("And {number} more, page {page}.").format(
            number=left_over, page=frame.trees_on
        )
        note = f"{note} {more}"
    at, free = (frame.left, y + TREES_NOTE), frame.right - frame.left
    write(page, at, note, NOTE, within=free, field="note on trees")


def _measure_width(row: Measure) -> float:
    label, value, unit = row
    number = measure(value, VALUE) + 1 + measure(unit, UNIT)
    return max(measure(label, COLUMN_HEAD), number)


def _measure_places(
    frame: Frame, rows: tuple[Measure, ...]
) -> list[tuple[float, float]]:
    """Return where each measure begins and the width it may take."""
    whole = frame.right - frame.left
    widths = [_measure_width(row) for row in rows]
    between = (whole - sum(widths)) / max(1, len(rows) - 1)
    if between < 3:
        share = (whole - 3 * (len(rows) - 1)) / sum(widths)
        if share >= MEASURED.narrow * MEASURED.floor / MEASURED.size:
            free = [width * share for width in widths]
            starts = [frame.left + sum(free[:n]) + 3 * n for n in range(len(rows))]
            return list(zip(starts, free, strict=True))
        even = whole / len(rows)
        return [(frame.left + even * n, even - 3) for n in range(len(rows))]
    between = min(between, 26.0)
    starts = [frame.left + sum(widths[:n]) + between * n for n in range(len(rows))]
    return [(x, width + 0.01) for x, width in zip(starts, widths, strict=True)]


def _measures(
    page: Page, frame: Frame, rows: tuple[Measure, ...], y: float, say: Tongue
) -> None:
    """Set the numbers of the finished instrument between two rules."""
    rows = tuple(row._replace(label=say(row.label)) for row in rows)
    if not rows:
        return
    rule(page, frame.sides, y)
    rule(page, frame.sides, y + MEASURES_HEIGHT)
    for (x, free), (label, value, unit) in zip(
        _measure_places(frame, rows), rows, strict=True
    ):
        write(page, (x, y + 4.3), label, MEASURED, within=free, field=label)
        beside = measure(unit, UNIT) + 1
        taken = write(
            page, (x, y + 10), value, VALUE, within=free - beside, field=label
        )
        write(page, (x + taken + 1, y + 10), unit, UNIT)


def _front(page: Page, frame: Frame, certificate: OwnerCertificate) -> None:
    plan, say = _plan(frame, certificate), tongue(certificate.language)
    top = _foot_top(frame)
    ornament_ink.draw_frame(page, certificate.leaf, inset=INSET, breadth=STILE)
    _title(page, frame, certificate)
    _hands(page, frame, certificate, plan)
    _figure(page, frame, certificate)
    _trees(page, frame, certificate, plan)
    _measures(page, frame, certificate.measures, plan.measures, say)
    certificate_foot.draw(page, frame, certificate, top)
    turn_over(page)


def draw(
    certificate: OwnerCertificate,
    *,
    paper: Literal["A4", "Letter"],
    certificate_file: bytes,
    proof_file: bytes,
) -> bytes:
    """Draw a certificate as a file to keep, with its facts and their proof inside."""
    if len(certificate.measures) > MOST_MEASURES:
        raise RefusedError(
            f"{len(certificate.measures)} measures, and the page has room for "
            f"{MOST_MEASURES}; choose fewer"
        )
    frame, language = FRAMES[paper], certificate.language
    say = tongue(language)
    title = say("Owner certificate {number}, {serial}").format(
        number=certificate.number, serial=certificate.serial
    )
    page = open_document(frame.size, title, language)
    makers = _continued(frame, certificate)
    materials = certificate.materials[TREES_SHOWN:]
    pages = evidence.plan(frame, certificate, makers, materials)
    hands_on, trees_on = evidence.continued_on(pages)
    front = replace(frame, hands_on=hands_on, trees_on=trees_on)
    bookmark(page, say("Owner certificate"))
    _front(page, front, certificate)
    evidence.draw(page, frame, certificate, pages)
    return archive.finish(
        page, day=certificate.issued, certificate=certificate_file, proof=proof_file
    )


def notices(certificate: OwnerCertificate) -> tuple[str, ...]:
    """Say which characters the certificate could not print."""
    texts = [
        certificate.shop,
        certificate.place,
        certificate.model,
        certificate.kind,
        certificate.run,
        certificate.serial,
        certificate.signer_name or "",
        certificate.signer_rank,
    ]
    rows = (*certificate.makers, *certificate.materials, *certificate.measures)
    texts += [cell for row in rows for cell in row if isinstance(cell, str)]
    texts += [text for _date, _entry, text in certificate.remarks]
    return (*faces.missing_notices(texts), *evidence.notices(certificate))
