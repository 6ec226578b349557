"""A photograph's file, bare of all that does not draw the picture.

A camera writes beside a picture where it was taken, with which device, and whose that
is. Of a file only what draws the picture is kept, by lists of what may stay and byte
for byte, so that nothing is packed anew and the same file always gives the same bytes:

    bare(data, "JPEG")        the file to be kept; the very same where nothing is taken
    has_place(data, "JPEG")   whether it says where it was taken
"""

from collections.abc import Callable

from ledger.acts.bare import jpeg, png
from ledger.acts.bare.exif import GPS, UPRIGHT, orientation_of, tags_of

BARED: dict[str, Callable[[bytes, int | None], bytes]]
BARED = {"JPEG": jpeg.bare, "PNG": png.bare}
EXIF_IN = {"JPEG": jpeg.exif_in, "PNG": png.exif_in}


def bare(data: bytes, kind: str) -> bytes:
    """Return what draws a picture, and how it is turned where it lies on its side.

    kind  "JPEG" or "PNG", as the file begins

    Raises EOFError where the file ends before its picture does.
    """
    orientation = orientation_of(EXIF_IN[kind](data))
    return BARED[kind](data, orientation if orientation != UPRIGHT else None)


def has_place(data: bytes, kind: str) -> bool:
    """Tell whether a file has a room for where it was taken; EOFError as `bare`."""
    return GPS in tags_of(EXIF_IN[kind](data))
