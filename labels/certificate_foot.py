"""The foot of a certificate's page 1: how to check it, who signs, what it is not."""

from dataclasses import replace

from labels import faces, ornament_ink, qr, sections
from labels.facts import OwnerCertificate, shown_name
from labels.page import (
    HAIR,
    Page,
    Style,
    in_two,
    rule,
    thousands,
    wrap,
    wrap_small,
    write,
    write_lines,
)
from labels.sections import DATA, HEADING, NAME, SMALL, WORK, Frame
from labels.tongue import term, tongue

CHECK = Style(face=faces.TEXT, size=9, floor=8)
TO_CHECK = term(
    "Ask the shop for its page that checks, once. Then, in a browser of today and with "
    "no network, open this file in it: the answer is YES; YES, BUT; NO; or CANNOT "
    "TELL. Nothing is installed, nothing is sent."
)
THE_SQUARE = term("With the paper alone, give it what the square says.")
THEN_LOOK = term(
    "Then look: serial, woods and mass must match the instrument in your hands."
)
CHECK_LINES, CHECK_HEIGHT = 7, 27.3  # the height from the first line to the last

TREE = 9.2  # radius of the end grain


def _to_check(
    page: Page, frame: Frame, certificate: OwnerCertificate, top: float
) -> None:
    say = tongue(certificate.language)
    module = frame.module_dots * qr.INCH / qr.DOTS_PER_INCH
    x = qr.snap(frame.left, qr.DOTS_PER_INCH)
    qr.draw(page, qr.card_symbol(certificate.card_text), x, top, module)
    at = frame.left + 42
    write(page, (at, top + 2.4), say("To check"), HEADING)
    y = top + 7.4
    # Both in the size that the longer of them needs.
    style, _ = wrap_small(say(THEN_LOOK), CHECK, 55, 2)
    told = f"{say(TO_CHECK)} {say(THE_SQUARE)}"
    style, lines = wrap_small(told, style, 55, CHECK_LINES)
    lines += wrap(say(THEN_LOOK), style, 55)
    leading = min(3.9, CHECK_HEIGHT / (len(lines) - 1))
    write_lines(page, (at, y), lines, style, leading)


def _signed(
    page: Page, frame: Frame, certificate: OwnerCertificate, top: float
) -> None:
    """Set the line to sign on, and who signs."""
    x = frame.left + 102.5
    free = frame.right - x
    say = tongue(certificate.language)
    write(page, (x, top + 2.4), say("Signed"), HEADING)
    middle = (frame.right - TREE, top + TREE - 1.2)
    ornament_ink.draw_end_grain(page, middle, certificate.leaf, TREE)
    rule(page, (x, frame.right), top + 18.4)
    name = shown_name(certificate.signer_name, certificate.signer_badge, say)
    rank = ", ".join(filter(None, (certificate.signer_rank, certificate.place)))
    _who(page, (x, top), free, name, rank)
    entry = say("entry {entry}").format(entry=thousands(certificate.entry))
    entry = f"{certificate.issued}  {entry}"
    write(page, (x, top + 30.6), entry, DATA, within=free, field="issued")
    key = say("signer’s key {key}").format(key=certificate.key_id)
    write(page, (x, top + 34.0), key, DATA, within=free, field="key")


def _who(
    page: Page, at: tuple[float, float], free: float, name: str, rank: str
) -> None:
    """Set name and rank in two lines, or one of them, the name first, in two."""
    x, top = at
    names = in_two(name, NAME, free)
    ranks = in_two(rank, WORK, free) if len(names) == 1 else [rank]
    rows = [(words, NAME, "signer") for words in names]
    rows += [(words, WORK, "signer's rank") for words in ranks]
    levels = (22.8, 26.9) if len(rows) == 2 else (21.6, 24.6, 27.6)
    for (words, style, field), drop in zip(rows, levels, strict=True):
        if len(rows) > 2:
            style = replace(style, size=style.floor)
        write(page, (x, top + drop), words, style, within=free, field=field)


def _caution(page: Page, frame: Frame, certificate: OwnerCertificate) -> None:
    rule(page, frame.sides, frame.foot, 0.22, HAIR)
    say = tongue(certificate.language)
    text = say(
        "Maker’s statement from workshop records as of {day}, entry {entry}. Not a "
        "permit and not a title. Before this instrument crosses a border, ask your "
        "CITES Management Authority or a customs broker."
    ).format(day=certificate.as_of, entry=thousands(certificate.as_of_entry))
    style, lines = wrap_small(text, SMALL, frame.right - frame.left, 2)
    write_lines(page, (frame.left, frame.foot + 4.2), lines, style, 3.5)


def draw(page: Page, frame: Frame, certificate: OwnerCertificate, top: float) -> None:
    """Draw the foot; top is that of the symbol [mm]."""
    _to_check(page, frame, certificate, top)
    _signed(page, frame, certificate, top)
    sections.core_of_entry(page, frame, certificate, frame.core)
    _caution(page, frame, certificate)
