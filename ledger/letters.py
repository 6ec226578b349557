"""What a reader cannot see in a text: letters in disguise, signs without ink.

A name is shown as it was written, and beside it what the eye would miss: letters of
two alphabets in one name, letters in disguise, signs that cannot be seen, marks piled
upon letters. The page that checks tells the same.

    >>> letter_remarks("M\u0430ura Kiely")
    ['letters of two alphabets: Cyrillic and Latin']

Source: Unicode Technical Standard 39, section 5.2, highly restrictive level; an
alphabet is told by the first word of a letter's name in the Unicode Character Database.
"""

import re
from unicodedata import category, name, normalize

EAST_ASIAN = "East Asian"
ALPHABETS = {
    "LATIN": "Latin",
    "FEMININE": "Latin",
    "MASCULINE": "Latin",
    "KELVIN": "Latin",
    "ANGSTROM": "Latin",
    "SUPERSCRIPT": "Latin",
    "ROMAN": "Latin",
    "TURNED": "Latin",
    "CYRILLIC": "Cyrillic",
    "GREEK": "Greek",
    "OHM": "Greek",
    "ARMENIAN": "Armenian",
    "CHEROKEE": "Cherokee",
    "COPTIC": "Coptic",
    "HEBREW": "Hebrew",
    "ARABIC": "Arabic",
} | dict.fromkeys(
    (
        *("CJK", "IDEOGRAPHIC", "VERTICAL", "HIRAGANA", "HENTAIGANA", "KATAKANA"),
        *("HANGUL", "BOPOMOFO"),
    ),
    EAST_ASIAN,
)
# Letters of no alphabet or of all: signs of measure, of mathematics, of phonetics.
OF_NONE = frozenset(
    (
        *("MICRO", "MODIFIER", "MATHEMATICAL", "DOUBLE-STRUCK", "SCRIPT"),
        *("BLACK-LETTER", "ALEF", "BET", "GIMEL", "DALET", "PLANCK", "INFORMATION"),
        *("KATAKANA-HIRAGANA", "EULER", "VEDIC", "CARON", "MASU"),
    )
)
# A small raised letter of these is one of theirs still.
GREEK_LIKE = ("GREEK", "CYRILLIC")
WIDE = ("FULLWIDTH", "HALFWIDTH")
UNSEEN = ("Cf", "Co", "Cn", "Cs", "Zl", "Zp")
# Unicode's Default_Ignorable_Code_Point beyond those, and the empty Braille cell.
INKLESS = re.compile(
    "[\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u2800\u3164\ufe00-\ufe0f\uffa0"
    "\U000e0100-\U000e01ef]"
)
PLAIN = re.compile("[0-9A-Za-z]")
PILE = re.compile("M{4}")


def letter_remarks(text: str) -> list[str]:
    """Return a sentence for each thing about a text's letters that the eye would miss.

    Latin beside East Asian letters is how such names are written, and is no remark.
    """
    kinds = [category(sign) for sign in text]
    remarks = _told_alphabets(sorted(set(filter(None, map(_alphabet, text)))))
    if any(map(_is_disguised, text)):
        remarks.append("letters or digits in an unusual form")
    if INKLESS.search(text) or any(kind in UNSEEN for kind in kinds):
        remarks.append("signs that cannot be seen")
    if any(
        kind == "Zs" and sign not in " \u3000"
        for sign, kind in zip(text, kinds, strict=True)
    ):
        remarks.append("spaces of an unusual kind")
    if PILE.search("".join(category(sign)[0] for sign in normalize("NFD", text))):
        remarks.append("marks piled upon letters")
    return remarks


def _told_alphabets(found: list[str]) -> list[str]:
    foreign = [alphabet for alphabet in found if alphabet not in ("Latin", EAST_ASIAN)]
    if foreign and len(found) > 1:
        return [f"letters of two alphabets: {' and '.join(found)}"]
    return [f"{foreign[0]} letters"] if foreign else []


def _alphabet(sign: str) -> str | None:
    """Return the alphabet of a letter; None for a sign of none, and of all."""
    if category(sign)[0] != "L":
        return None
    words = [word for word in name(sign, "NAMELESS").split() if word not in WIDE]
    if words[0] in OF_NONE:
        return next((ALPHABETS[word] for word in words if word in GREEK_LIKE), None)
    return ALPHABETS.get(words[0], "another alphabet's")


def _is_disguised(sign: str) -> bool:
    """Tell a script letter or a wide digit, and a digit of another writing."""
    kind = category(sign)
    if kind == "Nd" and sign not in "0123456789":
        return True
    plain = normalize("NFKC", sign)
    is_odd = kind[0] in "LN" and ord(sign) > 0xFF and plain != normalize("NFC", sign)
    return is_odd and PLAIN.search(plain) is not None
