"""A JPEG file, segment by segment: what draws the picture, and what stands beside it.

Source: ITU-T T.81, B.1.1 (markers, fill bytes), B.2 (order) and table B.1; ITU-T T.871
(JFIF), 10.1; ITU-T T.872, 6.5.3 (the Adobe segment); ICC.1:2010, B.4 (profiles); Exif
2.3 (CIPA DC-008), 4.7.2.
"""

import re
from collections.abc import Iterator

from ledger.acts.bare.exif import only_orientation

# Neither a stuffed zero, nor a fill byte, nor a restart within a scan.
MARKER = re.compile(rb"\xff[^\x00\xff\xd0-\xd7]")
TEM, SOI, EOI, SOS = 0x01, 0xD8, 0xD9, 0xDA
APP0, APP1, APP2, APP14 = 0xE0, 0xE1, 0xE2, 0xEE
# DHT, the arithmetic coder's conditions, DQT, DNL, DRI, and what begins a frame.
FRAMES = {0xC0, 0xC1, 0xC2, 0xC3, *range(0xC5, 0xC8), *range(0xC9, 0xCC)}
FRAMES |= {0xCD, 0xCE, 0xCF}
DRAWS = {0xC4, 0xCC, 0xDB, 0xDC, 0xDD, *FRAMES, SOS, EOI}
JFIF, ICC, ADOBE, EXIF = b"JFIF\0", b"ICC_PROFILE\0", b"Adobe", b"Exif\0\0"
# Without a thumbnail behind it, and of its two edges in dots [bytes].
JFIF_SIZE, THUMBNAIL = 14, b"\0\0"
ADOBE_SIZE = 12


def bare(data: bytes, orientation: int | None) -> bytes:
    """Return a file without what does not draw it; EOFError where it is cut off.

    An orientation takes the place of the first segment of a camera's.
    """
    kept = [data[:2]]
    for marker, lead, body in _segments(data):
        if marker in DRAWS:
            kept.append(lead + body)
        elif own := _own(marker, body[2:]):
            kept.append(lead + _sized(own))
        elif marker == APP1 and orientation is not None:
            kept.append(lead + _sized(EXIF + only_orientation(orientation)))
            orientation = None
    return b"".join(kept)


def exif_in(data: bytes) -> bytes:
    """Return what a camera wrote of a picture, or nothing."""
    for marker, _, body in _segments(data):
        if marker == APP1 and body[2:].startswith(EXIF):
            return body[2 + len(EXIF) :]
    return b""


def _own(marker: int, said: bytes) -> bytes:
    """Return of an application's segment what a reader needs for the colours."""
    if marker == APP0 and said.startswith(JFIF) and len(said) >= JFIF_SIZE:
        return said[: JFIF_SIZE - len(THUMBNAIL)] + THUMBNAIL
    if marker == APP14 and said.startswith(ADOBE) and len(said) >= ADOBE_SIZE:
        return said[:ADOBE_SIZE]
    return said if marker == APP2 and said.startswith(ICC) else b""


def _sized(said: bytes) -> bytes:
    """Return a segment's body behind its length, which counts itself."""
    return (len(said) + 2).to_bytes(2, "big") + said


def _segments(data: bytes) -> Iterator[tuple[int, bytes, bytes]]:
    """Yield each marker, its own bytes, and its body: its length and what it says.

    Fill bytes are the marker's, and the dots of a scan its body's. What else stands
    between two of them is nothing, and neither is what follows the end.
    """
    at = 2
    while True:
        mark = _next_marker(data, at)
        gap = data[at:mark]
        lead = (b"" if gap.strip(b"\xff") else gap) + data[mark : mark + 2]
        marker, at = data[mark + 1], mark + 2
        if marker == EOI:
            yield marker, lead, b""
            return
        if marker in (TEM, SOI):
            continue
        size = int.from_bytes(data[at : at + 2], "big")
        if size < 2 or at + size > len(data):
            raise EOFError("a segment is cut off")
        end = _next_marker(data, at + size) if marker == SOS else at + size
        yield marker, lead, data[at:end]
        at = end


def _next_marker(data: bytes, at: int) -> int:
    found = MARKER.search(data, at)
    if found is None:
        raise EOFError("the end of the picture is missing")
    return found.start()
