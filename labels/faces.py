"""The faces of the house, and which of them has a letter for each character.

Two voices: the maker speaks in the serif (text), the record in the sans (data).
Names from Japan are set in a third face. A character that no face has is printed as
the compositor's geta mark, and the paper says so in its notices.
"""

import re
import unicodedata
from functools import cache, lru_cache
from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

FOLDER = Path(__file__).parent / "fonts"

TEXT = "FlitchText-Regular"
TEXT_ITALIC = "FlitchText-Italic"
TEXT_SEMIBOLD = "FlitchText-SemiBold"
TEXT_SEMIBOLD_ITALIC = "FlitchText-SemiBoldItalic"
CAPS = "FlitchTextCaps-Medium"
DATA = "FlitchData-Regular"
DATA_MEDIUM = "FlitchData-Medium"
DATA_ITALIC = "FlitchData-MediumItalic"
DATA_BOLD = "FlitchData-Bold"
DATA_HEAVY = "FlitchData-ExtraBold"
MINCHO = "FlitchMincho-Regular"

GETA = "〓"
THIN_SPACE = "\u2009"
_BEFORE_A_WORD = re.compile(f"{THIN_SPACE}(?=[a-z]{{3}})")
_LINE_ENDS = dict.fromkeys(map(ord, "\t\n\v\f\r\x85\u2028\u2029"), " ")
_SPACES = {**_LINE_ENDS, 0x202F: THIN_SPACE}  # no face has the narrow no-break space


@cache
def load(face: str) -> TTFont:
    """Fetch a face from the case, once."""
    font = TTFont(face, str(FOLDER / f"{face}.ttf"))
    pdfmetrics.registerFont(font)
    return font


def has(face: str, character: str) -> bool:
    """Tell whether a face has a letter for a character."""
    return ord(character) in load(face).face.charToGlyph


def tidy(text: str) -> str:
    """Compose accents and turn line ends into spaces, as a line of type needs.

    A thin space does for the sign of a unit; before a word it would look like none.
    """
    spaced = unicodedata.normalize("NFC", text).translate(_SPACES)
    return _BEFORE_A_WORD.sub("\N{NO-BREAK SPACE}", spaced)


def chain(face: str) -> tuple[str, ...]:
    """Return the faces to ask for a letter, in order."""
    if face.startswith("FlitchData"):
        return (face, TEXT, MINCHO)
    return (face, MINCHO)


@lru_cache(maxsize=10_000)
def face_for(character: str, face: str) -> str | None:
    """Return the first face that has a character, or none."""
    return next((name for name in chain(face) if has(name, character)), None)


def runs(text: str, face: str) -> list[tuple[str, str]]:
    """Split a line into (face, letters), with a geta mark for what no face has."""
    split: list[tuple[str, str]] = []
    for character in tidy(text):
        found = face_for(character, face)
        letter = character if found else GETA
        name = found or MINCHO
        if split and split[-1][0] == name:
            split[-1] = (name, split[-1][1] + letter)
        else:
            split.append((name, letter))
    return split


def missing(text: str) -> str:
    """Return the characters that would print as geta marks, each once, in order."""
    absent = (c for c in tidy(text) if face_for(c, TEXT) is None)
    return "".join(dict.fromkeys(absent))


def missing_notices(texts: list[str]) -> tuple[str, ...]:
    """Say which characters of these texts the paper cannot show."""
    return tuple(
        f"no face has {' '.join(f'U+{ord(c):04X}' for c in absent)} of {text!r}; "
        f"printed as {GETA}"
        for text in dict.fromkeys(texts)
        if (absent := missing(text))
    )


def width(text: str, face: str, size: float) -> float:
    """Measure a line of type [pt], without tracking."""
    return float(
        sum(load(name).stringWidth(letters, size) for name, letters in runs(text, face))
    )
