"""Photographs, looked at to their last row before anybody files them.

What a camera wrote beside a picture is not filed with it.
"""

import io
import warnings
from pathlib import Path

from PIL import Image

from ledger.acts.bare import bare, has_place
from ledger.errors import NotFoundError, RefusedError

LARGEST_PICTURE = 40 * 1024 * 1024
# The last chunk of a PNG, which is the same in all of them.
# Source: ISO/IEC 15948, 11.2.5.
PNG_END = b"IEND\xaeB`\x82"
# By their first bytes. Source: ITU-T T.81 (JPEG), B.1.1.3; ISO/IEC 15948 (PNG), 5.2.
MAGIC = {"JPEG": b"\xff\xd8\xff", "PNG": b"\x89PNG\r\n\x1a\n"}
# What opening a damaged picture can raise.
BROKEN = (OSError, SyntaxError, ValueError, EOFError)
TOO_LARGE = (Image.DecompressionBombError, Image.DecompressionBombWarning)


def picture_bytes(path: Path) -> bytes:
    """Return what draws a photograph, once it was looked at to its end.

    A file with nothing beside its picture is returned as it is.

    Raises NotFoundError where there is no file, RefusedError where it is no JPEG or
    PNG, is cut off, or is larger than a photograph.
    """
    if not path.is_file():
        raise NotFoundError(f"there is no file {path}: name a photograph")
    size = path.stat().st_size
    if size > LARGEST_PICTURE:
        raise RefusedError(
            f"{path} has {size} bytes of at most {LARGEST_PICTURE}: save it smaller"
        )
    data = path.read_bytes()
    kind = kind_of(data)
    if kind is None:
        raise RefusedError(f"{path} is no picture: give a JPEG or a PNG file")
    try:
        _look_through(data, kind)
        kept = bare(data, kind)
        if kept != data:
            _look_through(kept, kind)
    except TOO_LARGE:
        raise RefusedError(
            f"{path} has more than {Image.MAX_IMAGE_PIXELS} dots: save it smaller"
        ) from None
    except BROKEN:
        raise RefusedError(
            f"{path} is cut off or damaged: copy it again from the camera"
        ) from None
    return kept


def beside_words(data: bytes) -> str:
    """Say what a file on record holds beside its picture; nothing where it is bare."""
    kind = kind_of(data)
    try:
        if kind is None or bare(data, kind) == data:
            return ""
        is_placed = has_place(data, kind)
    except EOFError:
        is_placed = False
    told = "with where it was taken" if is_placed else "which may be a place or a name"
    return f"its file holds what the camera wrote beside the picture, {told}"


def kind_of(data: bytes) -> str | None:
    """Return what kind of picture a file begins as, JPEG or PNG, or None."""
    return next((kind for kind, magic in MAGIC.items() if data.startswith(magic)), None)


def _look_through(data: bytes, kind: str) -> None:
    """Decode a picture to its last row."""
    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        if kind == "PNG":
            if PNG_END not in data:
                raise EOFError("the last chunk is missing")
            with Image.open(io.BytesIO(data), formats=[kind]) as picture:
                picture.verify()
        with Image.open(io.BytesIO(data), formats=[kind]) as picture:
            # An eighth of the size reads every byte and costs a tenth of the time.
            picture.draft("L", (picture.width // 8, picture.height // 8))
            picture.load()
