"""The pages behind a certificate: what did not fit, what must be said, the checkpoint.

Rows are planned first and drawn after, so that each page can say how many there are.
"""

from collections.abc import Callable
from typing import NamedTuple

from labels import faces, sections
from labels.facts import Maker, Material, OwnerCertificate, Remark, hatches_of
from labels.hatches import Hatch
from labels.ornament_ink import draw_end_grain, draw_spine
from labels.page import (
    WALNUT,
    Page,
    Style,
    thousands,
    turn_over,
    wrap,
    write,
    write_lines,
)
from labels.sections import BODY, DATA, NOTE, Frame

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


class Block(NamedTuple):
    """Something of a height [mm] that is drawn from its upper edge, on one page."""

    height: float
    draw: Callable[[Page, float], None]


def _under_heading(frame: Frame, words: str, first: Block) -> Block:
    """Keep a heading and the first block under it together."""

    def draw(page: Page, y: float) -> None:
        sections.heading(page, frame, y + BETWEEN_SECTIONS, words)
        first.draw(page, y + BETWEEN_SECTIONS + HEADING_HEIGHT)

    return Block(BETWEEN_SECTIONS + HEADING_HEIGHT + first.height, draw)


def _section(frame: Frame, words: str, blocks: list[Block]) -> list[Block]:
    if not blocks:
        return []
    return [_under_heading(frame, words, blocks[0]), *blocks[1:]]


def _together(blocks: list[Block]) -> Block:
    """Keep blocks on one page."""

    def draw(page: Page, y: float) -> None:
        for block in blocks:
            block.draw(page, y)
            y += block.height

    return Block(sum(block.height for block in blocks), draw)


def _hand(frame: Frame, maker: Maker) -> Block:
    _, within = sections.work_room(frame, maker, is_narrow=False)
    lines = sections.work_lines(within, maker.work)
    height = frame.hand_pitch + sections.WORK_LEADING * (len(lines) - 1)

    def draw(page: Page, y: float) -> None:
        sections.hand(page, frame, y + 4.2, maker, lines)

    return Block(height, draw)


def _tree(frame: Frame, row: Material, hatch: Hatch) -> Block:
    pitch = frame.tree_pitch
    return Block(
        pitch, lambda page, y: sections.tree(page, frame, y, row, pitch, hatch)
    )


def _tree_heads(frame: Frame) -> Block:
    return Block(4, lambda page, y: sections.tree_heads(page, frame, y - 2.9))


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
    note = [
        block
        for line in certificate.checkpoint_note.splitlines()
        if line
        for block in _paragraph(frame, line, HASH, 3.5)
    ]
    why = (
        "The same in ten words and as the end of a tree, to compare by eye or on the "
        "telephone: a quick look, not a proof."
    )
    attached = (
        "Attached to this file: certificate.json, the certificate itself, and "
        "certificate.tlog-proof, the proof that its entry stands in the maker’s record."
    )
    drawn = (
        f"Frame, end grain and core of page 1 and the spine of this page are drawn "
        f"from the hash of entry {thousands(certificate.entry)}."
    )
    space = Block(2.4, lambda _page, _y: None)
    return [
        *note,
        space,
        *_paragraph(frame, why, NOTE, 3.7),
        _ten_words(frame, certificate.ten_words, certificate.root),
        *_paragraph(frame, attached, NOTE, 3.7),
        space,
        _core(frame, certificate),
        *_paragraph(frame, drawn, NOTE, 3.7),
    ]


def _said_plainly(frame: Frame, certificate: OwnerCertificate) -> list[Block]:
    if certificate.remarks:
        return [_remark(frame, remark) for remark in certificate.remarks]
    nothing = f"No remark up to entry {thousands(certificate.as_of_entry)}."
    return _paragraph(frame, nothing, BODY, LEADING)


def plan(
    frame: Frame,
    certificate: OwnerCertificate,
    makers: tuple[Maker, ...],
    materials: tuple[Material, ...],
) -> list[list[Block]]:
    """Lay the blocks out on pages; makers and materials are those page 1 left over."""
    hatches = hatches_of(certificate)
    trees = [_tree(frame, row, hatches[row.species]) for row in materials]
    blocks = [
        *_section(
            frame, "By these hands, continued", [_hand(frame, row) for row in makers]
        ),
        *_section(
            frame,
            "From these trees, continued",
            [_tree_heads(frame), *trees] if trees else [],
        ),
        *_section(frame, "Said plainly", _said_plainly(frame, certificate)),
    ]
    whole = frame.foot - _top(frame) - 3
    checkpoint = _section(frame, "Checkpoint", _checkpoint(frame, certificate))
    # A note with very many cosignatures is longer than a page and has to break.
    fits = sum(block.height for block in checkpoint) <= whole
    return _share_out(blocks + ([_together(checkpoint)] if fits else checkpoint), whole)


def _share_out(blocks: list[Block], whole: float) -> list[list[Block]]:
    """Fill pages of a height with blocks, in order."""
    pages: list[list[Block]] = [[]]
    left = whole
    for block in blocks:
        if block.height > left and pages[-1]:
            pages.append([])
            left = whole
        pages[-1].append(block)
        left -= block.height
    return pages


def _top(frame: Frame) -> float:
    return frame.head + 25


def _head(page: Page, frame: Frame, certificate: OwnerCertificate, title: str) -> None:
    number = certificate.number
    sections.running_head(page, frame, "Owner certificate", number, sections.NUMBER)
    level = frame.head + 15
    write(page, (frame.left, level), title, TITLE, within=110)
    at = (frame.right, level)
    serial = certificate.serial
    write(page, at, serial, SERIAL, align="right", within=52, field="serial")
    counts = ", ".join(
        f"{thousands(number)} {word if number == 1 else words}"
        for number, word, words in (
            (certificate.entries, "entry", "entries"),
            (certificate.steps, "step", "steps"),
            (certificate.signers, "signer", "signers"),
        )
    )
    summary = f"{counts}. Each remark names the entry it is drawn from."
    write(page, (frame.left, frame.head + 22), summary, SUMMARY)


def draw(
    page: Page, frame: Frame, certificate: OwnerCertificate, pages: list[list[Block]]
) -> None:
    """Draw the planned pages after page 1."""
    long = frame.size[1] - 2 * EDGE
    for number, blocks in enumerate(pages, start=2):
        title = "Evidence" if number == 2 else "Evidence, continued"
        draw_spine(page, certificate.leaf, at=(EDGE, EDGE), length=long, breadth=STILE)
        _head(page, frame, certificate, title)
        _together(blocks).draw(page, _top(frame))
        said = f"page {number} of {len(pages) + 1}"
        sections.page_foot(page, frame, certificate, said)
        turn_over(page)
