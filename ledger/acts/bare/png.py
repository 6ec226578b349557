"""A PNG file, chunk by chunk: what draws the picture, and what stands beside it.

Source: ISO/IEC 15948, 5.2 (signature), 5.3 (layout of a chunk) and 11 (chunks).
"""

import struct
import zlib
from collections.abc import Iterator

from ledger.acts.bare.exif import only_orientation

START = 8  # the signature [bytes]
END, EXIF = b"IEND", b"eXIf"
DRAWS = {b"IHDR", b"PLTE", b"IDAT", END, b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP"}
DRAWS |= {b"sBIT", b"bKGD", b"pHYs"}


def bare(data: bytes, orientation: int | None) -> bytes:
    """Return a file without what does not draw it; EOFError where it is cut off.

    An orientation takes the place of the first chunk that goes.
    """
    kept = [data[:START]]
    for name, whole in _chunks(data):
        if name in DRAWS:
            kept.append(whole)
        elif orientation is not None:
            kept.append(_chunk(EXIF, only_orientation(orientation)))
            orientation = None
    return b"".join(kept)


def exif_in(data: bytes) -> bytes:
    """Return what a camera wrote of a picture, or nothing."""
    return next((whole[8:-4] for name, whole in _chunks(data) if name == EXIF), b"")


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Yield each chunk's name and all its bytes, to the last; what follows is none."""
    at, name = START, b""
    while name != END:
        size, name = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8]
        end = at + 12 + size
        if end > len(data):
            raise EOFError("a chunk is cut off")
        yield name, data[at:end]
        at = end


def _chunk(name: bytes, said: bytes) -> bytes:
    checked = zlib.crc32(name + said)
    return struct.pack(">I", len(said)) + name + said + struct.pack(">I", checked)
