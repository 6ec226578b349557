"""Of what a camera writes in Exif, how a picture is turned, and nothing else.

Source: TIFF revision 6.0, section 2 (header, directories, fields) and page 36
(Orientation); Exif 2.3 (CIPA DC-008), 4.6.3 (the pointer to GPS).
"""

import struct

ORIENTATION, GPS = 0x0112, 0x8825
SHORT = 3  # the type of a field
ORDERS = {b"II": "<", b"MM": ">"}
UPRIGHT = 1
TURNED = range(1, 9)


def orientation_of(tiff: bytes) -> int:
    """Return how a picture is turned, from 1 to 8; 1 where nothing sound is said."""
    value = tags_of(tiff).get(ORIENTATION) or UPRIGHT
    return value if value in TURNED else UPRIGHT


def tags_of(tiff: bytes) -> dict[int, int | None]:
    """Return the fields of the first directory; a single SHORT with its value.

    What is cut off ends it: nothing of a picture depends on it.
    """
    order = ORDERS.get(tiff[:2])
    tags: dict[int, int | None] = {}
    if order is None:
        return tags
    try:
        (start,) = struct.unpack_from(f"{order}I", tiff, 4)
        (count,) = struct.unpack_from(f"{order}H", tiff, start)
        for number in range(count):
            at = start + 2 + 12 * number
            tag, kind, of = struct.unpack_from(f"{order}HHI", tiff, at)
            (value,) = struct.unpack_from(f"{order}H", tiff, at + 8)
            tags.setdefault(tag, value if (kind, of) == (SHORT, 1) else None)
    except struct.error:
        pass
    return tags


def only_orientation(orientation: int) -> bytes:
    """Return the shortest Exif that says how a picture is turned."""
    header = struct.pack(">2sHI", b"MM", 42, 8)
    field = struct.pack(">HHIHH", ORIENTATION, SHORT, 1, orientation, 0)
    return header + struct.pack(">H", 1) + field + bytes(4)
