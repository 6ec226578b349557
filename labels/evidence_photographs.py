"""The photographs behind a certificate: made smaller for paper, each with its digest.

A picture is turned upright, brought to sRGB, cropped only where it is very long, and
packed by fixed rules, so that the same file gives the same bytes with one version of
the library that packs it.
"""

import warnings
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageCms, ImageOps
from reportlab.lib.utils import ImageReader

from labels import faces
from labels.blocks import Block, space, together
from labels.evidence_facts import Evidence, Photograph
from labels.evidence_time import BEFORE, UNDER_HEADING, head
from labels.page import MM, Page, Style, thousands, wrap, write, write_lines
from labels.sections import NOTE, Frame
from labels.terms import FACES, in_a_row
from labels.tongue import Tongue
from ledger.errors import RefusedError

LONG_EDGE = 1600  # dots, at most
LARGEST_BYTES = 300_000
# What may be filed may be shown: the library's own limit, which filing goes by.
LARGEST_PIXELS = 89_478_485
QUALITIES = (86, 80, 72, 64, 55, 45, 35)
LONGEST = 2  # times as long as wide; what is longer is cropped around its middle
DIGITS = 16  # of a digest under a picture
LEAST_DPI = 60  # a picture of few dots is not blown up further

BETWEEN = 8.0  # two pictures [mm]
HIGH = 74.0
CAPTION = 15.5
NOTE_LEADING = 3.7
WHAT = Style(face=faces.TEXT, size=9.6, floor=7.6, may_shorten=True)
WHEN = Style(face=faces.DATA, size=8.2, floor=6.8)
DIGEST = Style(face=faces.DATA_MEDIUM, size=8.2, floor=6.8)
# What opening a damaged picture can raise.
BROKEN = (
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    Image.DecompressionBombError,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """A picture as it goes on paper: a JPEG file, and its size in dots."""

    jpeg: bytes
    width: int
    height: int
    is_cropped: bool


def ready(original: bytes) -> Ready:
    """Return a photograph made ready for paper.

    Raises RefusedError where it cannot be read to its last row, or is too large.
    """
    try:
        with warnings.catch_warnings():
            # The size is judged below, in words that say what to do.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            opened = Image.open(BytesIO(original), formats=("JPEG", "PNG"))
        pixels = opened.width * opened.height
        if pixels > LARGEST_PIXELS:
            raise RefusedError(
                f"a photograph has {pixels} dots of at most {LARGEST_PIXELS}: file it "
                f"smaller"
            )
        opened.draft(None, (2 * LONG_EDGE, 2 * LONG_EDGE))
        opened.load()
        upright = ImageOps.exif_transpose(opened)
        return _smaller(_in_srgb(upright, opened.info.get("icc_profile")))
    except BROKEN as fault:
        raise RefusedError(
            f"a photograph cannot be read ({fault}): bring it back from a backup"
        ) from None


def _smaller(picture: Image.Image) -> Ready:
    """Crop a picture that is very long, and make it as small as paper needs it."""
    wide, high = picture.size
    most_wide, most_high = min(wide, LONGEST * high), min(high, LONGEST * wide)
    is_cropped = (most_wide, most_high) != (wide, high)
    if is_cropped:
        left, top = (wide - most_wide) // 2, (high - most_high) // 2
        picture = picture.crop((left, top, left + most_wide, top + most_high))
    share = LONG_EDGE / max(picture.size)
    if share < 1:
        dots = tuple(max(1, round(edge * share)) for edge in picture.size)
        picture = picture.resize((dots[0], dots[1]), Image.Resampling.LANCZOS)
    # What the camera wrote beside the picture, such as where it was, stays behind.
    picture.info = {}
    wide, high = picture.size
    jpeg = _packed(picture)
    return Ready(jpeg=jpeg, width=wide, height=high, is_cropped=is_cropped)


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """Bring a picture to sRGB by its own profile, or by the common reading without."""
    if "A" in picture.getbands() or "transparency" in picture.info:
        # What shows through is paper.
        clear = picture.convert("RGBA")
        picture = Image.new("RGBA", clear.size, "white")
        picture.alpha_composite(clear)
        picture = picture.convert("RGB")
    if profile and picture.mode in ("RGB", "CMYK", "L"):
        # A profile that is of another kind of picture says nothing of this one.
        with suppress(ImageCms.PyCMSError, OSError):
            own = ImageCms.ImageCmsProfile(BytesIO(profile))
            common = ImageCms.createProfile("sRGB")
            managed = ImageCms.profileToProfile(picture, own, common, outputMode="RGB")
            return managed or picture.convert("RGB")
    if picture.mode in ("I;16", "I", "F"):
        return picture.point(lambda dot: dot / 256).convert("L").convert("RGB")
    return picture.convert("RGB")


def _packed(picture: Image.Image) -> bytes:
    """Pack a picture as a JPEG, the finest that is small enough."""
    data = b""
    for quality in QUALITIES:
        out = BytesIO()
        picture.save(
            out,
            format="JPEG",
            quality=quality,
            subsampling="4:2:0",
            optimize=False,
            progressive=False,
        )
        data = out.getvalue()
        if len(data) <= LARGEST_BYTES:
            return data
    half = tuple(max(1, edge // 2) for edge in picture.size)
    return _packed(picture.resize((half[0], half[1]), Image.Resampling.LANCZOS))


def blocks(frame: Frame, evidence: Evidence, say: Tongue) -> list[Block]:
    """Plan the photographs two by two, under what they are and how to compare them."""
    shown = evidence.photographs
    lines = [*_how_to_compare(shown, say), *_left_out(evidence, say)]
    if not lines:
        return []
    pairs = [shown[start : start + 2] for start in range(0, len(shown), 2)]
    rows = [_row(frame, pair, say) for pair in pairs]
    return [together([_head(frame, lines, say), *rows[:1]]), *rows[1:]]


def _how_to_compare(shown: Sequence[Photograph], say: Tongue) -> list[str]:
    if not shown:
        return []
    return [
        say(
            "Under each stand the first sixteen digits of the SHA-256 of the file as "
            "it was filed, by which its entry names it. Ask the shop for that file, "
            "and take its SHA-256: the same digits, the same photograph. On this page "
            "it is made smaller, and turned to the colours of this paper."
        )
    ]


def _left_out(evidence: Evidence, say: Tongue) -> list[str]:
    """Say which photographs are on record and not on this paper."""
    if evidence.are_left_out:
        return [say("Photographs on record are left out here.")]
    lines = []
    if evidence.unseen:
        numbers = [thousands(entry) for entry in evidence.unseen]
        said = say.many(
            len(numbers),
            "The photograph of entry {entries} is not shown: it is no longer on file "
            "as it was recorded.",
            "The photographs of entries {entries} are not shown: they are no longer "
            "on file as they were recorded.",
        )
        lines.append(said.format(entries=in_a_row(numbers, say)))
    if evidence.more:
        said = say.many(
            evidence.more,
            "{number} other photograph is on file in the shop.",
            "{number} other photographs are on file in the shop.",
        )
        lines.append(said.format(number=thousands(evidence.more)))
    return lines


def _head(frame: Frame, texts: Sequence[str], say: Tongue) -> Block:
    wide = frame.right - frame.left
    lines = [line for text in texts for line in wrap(text, NOTE, wide)]
    top = BEFORE + UNDER_HEADING

    def draw(page: Page, y: float) -> None:
        head(page, frame.sides, y + BEFORE, say("Photographs on record"))
        at = (frame.left, y + top + NOTE_LEADING)
        write_lines(page, at, lines, NOTE, NOTE_LEADING)

    return together([Block(top + NOTE_LEADING * len(lines), draw), space(3.0)])


def _row(frame: Frame, pair: Sequence[Photograph], say: Tongue) -> Block:
    """Plan one photograph or two side by side, their captions on one level."""
    wide = (frame.right - frame.left - BETWEEN) / 2
    sizes = [_size(photograph, wide) for photograph in pair]
    high = max(size[1] for size in sizes)

    def draw(page: Page, y: float) -> None:
        for number, (photograph, size) in enumerate(zip(pair, sizes, strict=True)):
            left = frame.left + number * (wide + BETWEEN)
            _picture(page, (left, y + high), photograph, size)
            _caption(page, (left, y + high + 4.6), photograph, wide, say)

    return Block(high + CAPTION, draw)


def _size(photograph: Photograph, wide: float) -> tuple[float, float]:
    """Return how large a picture is drawn, whole and in its proportions [mm]."""
    largest = 25.4 / LEAST_DPI
    share = min(wide / photograph.width, HIGH / photograph.height, largest)
    return photograph.width * share, photograph.height * share


def _picture(
    page: Page,
    foot: tuple[float, float],
    photograph: Photograph,
    size: tuple[float, float],
) -> None:
    """Set a picture with its lower left corner at a point."""
    page.canvas.drawImage(
        ImageReader(BytesIO(photograph.jpeg)),
        foot[0] * MM,
        (page.height - foot[1]) * MM,
        size[0] * MM,
        size[1] * MM,
    )


def _caption(
    page: Page,
    at: tuple[float, float],
    photograph: Photograph,
    within: float,
    say: Tongue,
) -> None:
    x, y = at
    write(page, at, what(photograph, say), WHAT, within=within)
    entry = say("entry {entry}").format(entry=thousands(photograph.entry))
    cropped = f", {say('cropped')}" if photograph.is_cropped else ""
    when = f"{photograph.day}  {entry}{cropped}"
    write(page, (x, y + 3.9), when, WHEN, within=within, field="photograph")
    digest = f"SHA-256 {photograph.digest[:DIGITS]}…"
    write(page, (x, y + 7.7), digest, DIGEST, within=within, field="digest")


def what(photograph: Photograph, say: Tongue) -> str:
    """Say what a photograph shows: a face of a board, or the instrument at a step.

    Of a part without a board it shows what came off the instrument.
    """
    if photograph.board:
        face = FACES.get(photograph.face, photograph.face)
        said = say("{part}: {board}, {face}")
        return said.format(
            part=say(photograph.part), board=photograph.board, face=say(face)
        )
    if photograph.step:
        return say("the instrument: {step}").format(step=say(photograph.step))
    if photograph.part:
        return say("{part}, taken off").format(part=say(photograph.part))
    return say("the instrument, in service")
