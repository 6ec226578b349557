"""The pages behind a certificate: what did not fit, what must be said, the checkpoint.

Rows are planned first and drawn after, so that each page can say how many there are.
"""

from collections.abc import Mapping
from dataclasses import replace

from labels import (
    evidence_border,
    evidence_photographs,
    evidence_time,
    faces,
    sections,
)
from labels.blocks import Block, page_of, share_out, space, together
from labels.evidence_facts import Border, Evidence
from labels.facts import Maker, Material, OwnerCertificate, Remark, hatches_of
from labels.hatches import Hatch
from labels.ornament_ink import draw_end_grain, draw_spine
from labels.page import (
    WALNUT,
    Page,
    Style,
    bookmark,
    thousands,
    turn_over,
    wrap,
    write,
    write_lines,
)
from labels.sections import BODY, DATA, NOTE, Frame
from labels.tongue import Tongue, tongue

TITLE = Style(face=faces.TEXT_SEMIBOLD, size=27)
SERIAL = Style(face=faces.DATA_HEAVY, size=18, floor=11)
SUMMARY = Style(face=faces.TEXT, size=10, colour=WALNUT)
HASH = Style(face=faces.DATA, size=7.6, floor=6)
WORD = Style(face=faces.DATA_MEDIUM, size=11.5)
ORDINAL = Style(face=faces.TEXT_ITALIC, size=8.8, colour=WALNUT)

DATE, ENTRY, SAID = 0.0, 22.0, 40.0
LEADING = 4.5
BETWEEN_SECTIONS = 9.0
TREE = 14.0  # radius of the end grain beside the words
EDGE, STILE = 8.0, 6.2  # of the spine
HEADING_HEIGHT = 3.4


HEAD_UP, FOOT_DOWN = 7.5, 9.5  # a spine alone leaves more room than a frame [mm]
HANDS, TREES = "hands", "trees"
SPINE = "spine"
FIRST = 2  # the number of the first page behind page 1


def _heading(frame: Frame, words: str) -> Block:
    """Plan a section's heading, as it stands where the section goes on."""

    def draw(page: Page, y: float) -> None:
        sections.heading(page, frame, y + BETWEEN_SECTIONS, words)

    return Block(BETWEEN_SECTIONS + HEADING_HEIGHT, draw)


def _going_on(blocks: list[Block], over: Block) -> list[Block]:
    """Let the heading stand over whatever is first on a page."""
    return [blocks[0], *(block._replace(over=over) for block in blocks[1:])]


def _under_heading(frame: Frame, words: str, first: Block) -> Block:
    """Keep a heading and the first block under it together."""

    def draw(page: Page, y: float) -> None:
        bookmark(page, words, y, level=1)
        sections.heading(page, frame, y + BETWEEN_SECTIONS, words)
        first.draw(page, y + BETWEEN_SECTIONS + HEADING_HEIGHT)

    return Block(BETWEEN_SECTIONS + HEADING_HEIGHT + first.height, draw)


def _section(
    frame: Frame,
    words: str,
    blocks: list[Block],
    *,
    later: Block,
    begins: str = "",
) -> list[Block]:
    """Set blocks under a heading, and under a later one where they go on."""
    if not blocks:
        return []
    first = _under_heading(frame, words, blocks[0])
    return _going_on([first._replace(begins=begins), *blocks[1:]], later)


def _continued(frame: Frame, words: str, say: Tongue) -> Block:
    return _heading(frame, say("{section}, continued").format(section=words))


def _named(words: str, blocks: list[Block]) -> list[Block]:
    """Name blocks that bring a heading of their own in the list of contents."""
    if not blocks:
        return []
    first = blocks[0]

    def draw(page: Page, y: float) -> None:
        bookmark(page, words, y, level=1)
        first.draw(page, y)

    return [first._replace(draw=draw), *blocks[1:]]


def _at_a_border(frame: Frame, border: Border | None, say: Tongue) -> list[Block]:
    day = border.day if border else ""
    words = say("At a border, as of {day}").format(day=day)
    blocks = _named(words, evidence_border.blocks(frame, border, say))
    return _going_on(blocks, _continued(frame, words, say)) if blocks else []


def _hand(frame: Frame, maker: Maker, say: Tongue) -> Block:
    lines = sections.told(frame, maker, say, is_narrow=False)
    height = frame.hand_pitch + sections.WORK_LEADING * (len(lines) - 1)

    def draw(page: Page, y: float) -> None:
        sections.hand(page, frame, y + 4.2, maker, lines, say)

    return Block(height, draw)


def _tree(frame: Frame, row: Material, hatch: Hatch, say: Tongue) -> Block:
    pitch = frame.tree_pitch
    return Block(
        pitch, lambda page, y: sections.tree(page, frame, y, row, pitch, hatch, say)
    )


def _tree_heads(frame: Frame, say: Tongue) -> Block:
    return Block(4, lambda page, y: sections.tree_heads(page, frame, y - 2.9, say))


def _remark(frame: Frame, remark: Remark) -> Block:
    """Plan one remark: date, entry, and the text in as many lines as it needs."""
    date, entry, text = remark
    lines = wrap(text, BODY, frame.right - frame.left - SAID)

    def draw(page: Page, y: float) -> None:
        level = y + 4.2
        write(page, (frame.left + DATE, level), date, DATA)
        at = (frame.left + SAID - 5, level)
        write(page, at, thousands(entry), DATA, align="right")
        write_lines(page, (frame.left + SAID, level), lines, BODY, LEADING)

    return Block(LEADING * len(lines) + 1.2, draw)


def _paragraph(frame: Frame, text: str, style: Style, leading: float) -> list[Block]:
    """Plan a paragraph, a block a line, so that it may break over a page."""

    def line(words: str) -> Block:
        return Block(
            leading,
            lambda page, y: _write_at(page, frame, y + leading, words, style),
        )

    return [line(words) for words in wrap(text, style, frame.right - frame.left)]


def _write_at(page: Page, frame: Frame, y: float, words: str, style: Style) -> None:
    write(page, (frame.left, y), words, style)


def _ten_words(frame: Frame, words: tuple[str, ...], root: bytes) -> Block:
    """Plan the ten words in two columns of five, numbered, and the end grain."""
    pitch = 5.6

    def draw(page: Page, y: float) -> None:
        for index, word in enumerate(words):
            column, row = divmod(index, 5)
            x, level = frame.left + 52 * column, y + 7 + pitch * row
            write(page, (x + 4.4, level), str(index + 1), ORDINAL, align="right")
            write(page, (x + 7, level), word, WORD)
        middle = (frame.right - TREE - 2, y + 3 + TREE)
        draw_end_grain(page, middle, root, TREE)

    return Block(5 + 5 * pitch, draw)


def _core(frame: Frame, certificate: OwnerCertificate) -> Block:
    """Plan the core of the certificate's entry, to lay the owner card against."""
    return Block(
        7.4,
        lambda page, y: sections.core_of_entry(page, frame, certificate, y + 1.4),
    )


def _checkpoint(frame: Frame, certificate: OwnerCertificate) -> list[Block]:
    say = tongue(certificate.language)
    note = [
        block
        for line in certificate.checkpoint_note.splitlines()
        if line
        for block in _paragraph(frame, line, HASH, 3.5)
    ]
    why = say(
        "The same in ten words and as the end of a tree, to compare by eye or on the "
        "telephone: a quick look, not a proof."
    )
    attached = say(
        "Attached to this file: certificate.json, the certificate itself, and "
        "certificate.tlog-proof, the proof that its entry stands in the maker’s record."
    )
    drawn = say(
        "Frame, end grain and core of page 1 and the spine of this page are drawn "
        "from the hash of entry {entry}."
    ).format(entry=thousands(certificate.entry))
    return [
        *note,
        space(2.4),
        *_paragraph(frame, why, NOTE, 3.7),
        _ten_words(frame, certificate.ten_words, certificate.root),
        *_paragraph(frame, attached, NOTE, 3.7),
        space(2.4),
        _core(frame, certificate),
        *_paragraph(frame, drawn, NOTE, 3.7),
    ]


def _hands(frame: Frame, makers: tuple[Maker, ...], say: Tongue) -> list[Block]:
    words, rows = (
        say("By these hands, continued"),
        [_hand(frame, row, say) for row in makers],
    )
    return _section(frame, words, rows, later=_heading(frame, words), begins=HANDS)


def _trees(
    frame: Frame,
    materials: tuple[Material, ...],
    hatches: Mapping[str, Hatch],
    say: Tongue,
) -> list[Block]:
    """Plan the trees left over, the heads of their columns on every page."""
    if not materials:
        return []
    words, heads = say("From these trees, continued"), _tree_heads(frame, say)
    rows = [_tree(frame, row, hatches[row.species], say) for row in materials]
    rows = [together([heads, rows[0]]), *rows[1:]]
    later = together([_heading(frame, words), heads])
    return _section(frame, words, rows, later=later, begins=TREES)


def _plainly(frame: Frame, certificate: OwnerCertificate, say: Tongue) -> list[Block]:
    words, rows = say("Said plainly"), _said_plainly(frame, certificate)
    return _section(frame, words, rows, later=_continued(frame, words, say))


def _said_plainly(frame: Frame, certificate: OwnerCertificate) -> list[Block]:
    if certificate.remarks:
        return [_remark(frame, remark) for remark in certificate.remarks]
    say = tongue(certificate.language)
    nothing = say("No remark up to entry {entry}.").format(
        entry=thousands(certificate.as_of_entry)
    )
    return _paragraph(frame, nothing, BODY, LEADING)


def plan(
    frame: Frame,
    certificate: OwnerCertificate,
    makers: tuple[Maker, ...],
    materials: tuple[Material, ...],
) -> list[list[Block]]:
    """Lay the blocks out on pages; makers and materials are those page 1 left over."""
    frame, found = sheet(frame), certificate.evidence or Evidence()
    hatches, say = hatches_of(certificate), tongue(certificate.language)
    blocks = [
        *evidence_time.blocks(frame, found, say, hatches),
        *_at_a_border(frame, found.border, say),
        *_hands(frame, makers, say),
        *_trees(frame, materials, hatches, say),
        *_plainly(frame, certificate, say),
    ]
    whole = frame.foot - _top(frame) - 3
    words = say("Checkpoint")
    checkpoint = _section(
        frame,
        words,
        _checkpoint(frame, certificate),
        later=_continued(frame, words, say),
    )
    # A note with very many cosignatures is longer than a page and has to break.
    fits = sum(block.height for block in checkpoint) <= whole
    blocks += [together(checkpoint)] if fits else checkpoint
    pictures = evidence_photographs.blocks(frame, found, say)
    pictures = _named(say("Photographs on record"), pictures)
    if pictures and sum(block.height for block in pictures) <= whole:
        pictures = [together(pictures)]
    return share_out([*blocks, *pictures], whole)


def continued_on(pages: list[list[Block]]) -> tuple[int, int]:
    """Return on which page hands and trees go on that page 1 has no room for."""
    hands, trees = (page_of(pages, begins) or 0 for begins in (HANDS, TREES))
    return hands + FIRST, trees + FIRST


def sheet(frame: Frame) -> Frame:
    """Return where things stand on a page behind the first, which has no frame."""
    return replace(frame, head=frame.head - HEAD_UP, foot=frame.foot + FOOT_DOWN)


def _top(frame: Frame) -> float:
    return frame.head + 23.6


def _head(page: Page, frame: Frame, certificate: OwnerCertificate, title: str) -> None:
    number, say = certificate.number, tongue(certificate.language)
    said = say("Owner certificate")
    sections.running_head(page, frame, said, number, sections.NUMBER)
    level = frame.head + 15
    write(page, (frame.left, level), title, TITLE, within=110)
    at = (frame.right, level)
    serial = certificate.serial
    write(page, at, serial, SERIAL, align="right", within=52, field="serial")
    counts = ", ".join(_counts(certificate, say))
    names = say("Each remark names the entry it is drawn from.")
    free = frame.right - frame.left
    at = (frame.left, frame.head + 22)
    write(page, at, f"{counts}. {names}", SUMMARY, within=free, field="summary")


def _counts(certificate: OwnerCertificate, say: Tongue) -> tuple[str, ...]:
    """Return in words how many entries, steps and signers an instrument rests on."""
    entries, steps = certificate.entries, certificate.steps
    signers = certificate.signers
    return (
        say.many(entries, "{number} entry", "{number} entries").format(
            number=thousands(entries)
        ),
        say.many(steps, "{number} step", "{number} steps").format(
            number=thousands(steps)
        ),
        say.many(signers, "{number} signer", "{number} signers").format(
            number=thousands(signers)
        ),
    )


def notices(certificate: OwnerCertificate) -> tuple[str, ...]:
    """Say which photographs on record the pages had to do without."""
    unseen = certificate.evidence.unseen if certificate.evidence else ()
    return tuple(
        f"the photograph of entry {entry} cannot be shown: it is not on file as it "
        f"was recorded; bring it back from a backup, and draw the paper again"
        for entry in unseen
    )


def draw(
    page: Page, frame: Frame, certificate: OwnerCertificate, pages: list[list[Block]]
) -> None:
    """Draw the planned pages after page 1."""
    frame = sheet(frame)
    long, say = frame.size[1] - 2 * EDGE, tongue(certificate.language)
    # The spine is the same on every page, and stands in the file once.
    page.canvas.beginForm(SPINE)
    draw_spine(page, certificate.leaf, at=(EDGE, EDGE), length=long, breadth=STILE)
    page.canvas.endForm()
    for number, blocks in enumerate(pages, start=FIRST):
        title = say("Evidence") if number == FIRST else say("Evidence, continued")
        if number == FIRST:
            bookmark(page, title)
        page.canvas.doForm(SPINE)
        _head(page, frame, certificate, title)
        together(blocks).draw(page, _top(frame))
        said = say("page {number} of {whole}").format(
            number=number, whole=len(pages) + 1
        )
        sections.page_foot(page, frame, certificate, said)
        turn_over(page)
