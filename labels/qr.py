"""Symbols a phone or a scanner reads, as black rectangles on whole printer dots.

Source: ISO/IEC 18004 for versions, levels, segments and the quiet zone of four modules.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from qrcode.constants import ERROR_CORRECT_H, ERROR_CORRECT_M, ERROR_CORRECT_Q
from qrcode.main import QRCode
from qrcode.util import QRData
from reportlab.lib.colors import black

from labels.page import MM, Page
from ledger.errors import RefusedError

QUIET_ZONE = 4  # modules
NUMERIC: Final = 1  # mode indicators
ALPHANUMERIC: Final = 2
BYTE: Final = 4
BOARD_VERSION = 3
# characters of one alphanumeric segment in version 3
BOARD_LEVELS = (
    ("H", ERROR_CORRECT_H, 35),
    ("Q", ERROR_CORRECT_Q, 47),
    ("M", ERROR_CORRECT_M, 61),
)
CARD_VERSION = 17
CARD_BITS = 367 * 8  # data codewords of 17-Q
INCH = 25.4
DOTS_PER_INCH = 600  # of the finest printer, whose dots a paper's modules are


@dataclass(frozen=True, slots=True, kw_only=True)
class Symbol:
    """The dark and light modules of a symbol, without its quiet zone."""

    rows: tuple[tuple[bool, ...], ...]
    version: int
    level: str
    notice: str = ""

    @property
    def side(self) -> int:
        """The number of modules along an edge."""
        return len(self.rows)


def _encode(segments: list[QRData], version: int, correction: int) -> list[list[bool]]:
    code = QRCode(version=version, error_correction=correction, border=0)
    for segment in segments:
        code.add_data(segment, optimize=0)
    code.make(fit=False)
    return code.get_matrix()


def _freeze(matrix: list[list[bool]]) -> tuple[tuple[bool, ...], ...]:
    return tuple(tuple(bool(module) for module in row) for row in matrix)


@lru_cache(maxsize=4096)
def board_symbol(text: str) -> Symbol:
    """Return the symbol of a board, always 29 modules wide.

    The highest of the levels H, Q and M that holds the text; a lower one than H comes
    with a notice.
    """
    if not re.fullmatch(r"[0-9A-Z $%*+\-./:]+", text):
        raise RefusedError(
            f"{text!r} cannot be a board symbol: only digits, capitals and $%*+-./: "
            f"can; choose another label host"
        )
    chosen = next((row for row in BOARD_LEVELS if len(text) <= row[2]), None)
    if chosen is None:
        raise RefusedError(
            f"{text!r} has {len(text)} characters, and a board symbol holds "
            f"{BOARD_LEVELS[-1][2]}; choose a shorter label host"
        )
    level, correction, _ = chosen
    segment = QRData(text.encode("ascii"), mode=ALPHANUMERIC)
    notice = (
        ""
        if level == "H"
        else (
            f"{text!r} has {len(text)} characters, and {BOARD_LEVELS[0][2]} is "
            f"the most for the strongest symbol; printed at level {level}"
        )
    )
    rows = _freeze(_encode([segment], BOARD_VERSION, correction))
    return Symbol(rows=rows, version=BOARD_VERSION, level=level, notice=notice)


def card_bits(head: str, digits: str) -> int:
    """Count the bits of a byte segment and a numeric segment in versions 10 to 26."""
    tail = (0, 4, 7)[len(digits) % 3]
    return (4 + 16 + 8 * len(head)) + (4 + 12 + 10 * (len(digits) // 3) + tail)


@lru_cache(maxsize=64)
def card_symbol(text: str) -> Symbol:
    """Return the symbol of a signed card: an address up to #, then decimal digits."""
    head, mark, digits = text.partition("#")
    sound = mark and head.isascii() and re.fullmatch("[0-9]+", digits)
    if not sound:
        raise RefusedError(
            f"{text[:40]!r} is no card text: an address, # and decimal digits make "
            f"one; issue the card again"
        )
    needed = card_bits(head + mark, digits)
    if needed > CARD_BITS:
        raise RefusedError(
            f"the card text needs {needed} bits, and its symbol holds {CARD_BITS}; "
            f"shorten the model or the label host"
        )
    segments = [
        QRData((head + mark).encode("ascii"), mode=BYTE),
        QRData(digits.encode("ascii"), mode=NUMERIC),
    ]
    rows = _freeze(_encode(segments, CARD_VERSION, ERROR_CORRECT_Q))
    return Symbol(rows=rows, version=CARD_VERSION, level="Q")


def snap(position: float, dots_per_inch: float) -> float:
    """Move a position [mm] to the nearest whole printer dot."""
    return round(position * dots_per_inch / INCH) * INCH / dots_per_inch


def row_runs(row: tuple[bool, ...]) -> list[tuple[int, int]]:
    """Return the dark runs of a row as (first module, length)."""
    runs: list[tuple[int, int]] = []
    start = None
    for index, dark in enumerate((*row, False)):
        if dark and start is None:
            start = index
        elif not dark and start is not None:
            runs.append((start, index - start))
            start = None
    return runs


def draw(page: Page, symbol: Symbol, x: float, y: float, module: float) -> None:
    """Draw a symbol with its top left dark corner at (x, y); module [mm]."""
    path = page.canvas.beginPath()
    size = module * MM
    for index, row in enumerate(symbol.rows):
        bottom = (page.height - y) * MM - (index + 1) * size
        for start, length in row_runs(row):
            path.rect(x * MM + start * size, bottom, length * size, size)
    page.canvas.setFillColor(black)
    page.canvas.drawPath(path, stroke=0, fill=1)
