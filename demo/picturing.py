"""Photographs that never were: a few dots, reckoned in whole numbers only.

The file has the same bytes on every machine, for nothing in it is compressed: its one
stream of data is made of stored blocks.

Source: ISO/IEC 15948 (PNG), 5 and 11.2; RFC 1950 and RFC 1951, 3.2.4.
"""

import struct
import zlib
from hashlib import sha256
from pathlib import Path

WIDTH, HEIGHT = 96, 64
MAGIC = b"\x89PNG\r\n\x1a\n"
# The largest stored block.
LONGEST = 65_535


def write(path: Path, of: str) -> Path:
    """Write a picture of something, grey in grey, and return its path."""
    rows = b"".join(b"\0" + _row(of, y) for y in range(HEIGHT))
    head = struct.pack(">IIBBBBB", WIDTH, HEIGHT, 8, 0, 0, 0, 0)
    path.write_bytes(
        MAGIC
        + _chunk(b"IHDR", head)
        + _chunk(b"IDAT", _stored(rows))
        + _chunk(b"IEND", b"")
    )
    return path


def _row(of: str, y: int) -> bytes:
    """Return a row of dots: rings around a middle that the thing's name tells."""
    across, down, apart = sha256(of.encode()).digest()[:3]
    x0, y0, wide = across % WIDTH, down % HEIGHT, 40 + apart
    return bytes(
        80 + ((x - x0) ** 2 + (y - y0) ** 2) // wide % 12 * 12 for x in range(WIDTH)
    )


def _stored(data: bytes) -> bytes:
    """Return data as a stream that says it byte for byte."""
    size = struct.pack("<HH", len(data), LONGEST - len(data))
    return b"\x78\x01\x01" + size + data + struct.pack(">I", zlib.adler32(data))


def _chunk(name: bytes, data: bytes) -> bytes:
    body = name + data
    return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))
