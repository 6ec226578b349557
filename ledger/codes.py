"""How a code is typed and how it is scanned, and the character that checks it.

A code has two forms, and neither is ever mistaken for the other.

*Typed*: what stands on the wood. It bears no check character, unless one is set off
by a space, as a label prints it: `L26-031-07.A I`.

*Scanned*: `HTTPS://HOST/B/L26-031-07.AI`, or `B/L26-031-07.AI` where the shop has no
host. It always ends in the check character. That the last character is the check
character is said by the form and never guessed, for `L26-031-107` may be board 107
typed, or board 10 scanned. A text with a slash in it is a scan; `read` takes both
forms, and `read_scan` takes a scan only, even one whose address was cut off.

The label that replaced a board's first one says which it is after another slash:
`B/L26-031-07.AI/1` is replacement 1.

A separator would have cost a symbol one of its 35 characters, and so the shop's host
one letter; this way half `L23-040-02.A` takes thirteen, its check character included.
"""

import re
from dataclasses import dataclass

from ledger.errors import RefusedError

DIGITS = "0123456789"
LETTERS_AND_DIGITS = DIGITS + "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

LONGEST_SHOWN = 60
SCAN = re.compile(
    r"(?:HTTPS?://(?P<host>[^/ ]+)(?:/[^/ ]+)*?/|/)?(?P<mark>[A-Z])/(?P<code>[^/ ]+)"
    r"(?:/(?P<label>[1-9][0-9]{0,2}))?"
)
# Editors and phones turn a typed hyphen into one of these.
HYPHENS = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2014\u2212"), "-")


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """How the code of one noun looks, and the letter before it in a scan."""

    noun: str
    mark: str
    shape: re.Pattern[str]
    example: str
    last_year: int = 99
    last_number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Scan:
    """What a scanner read: whose host, which noun's letter, and the checked code.

    `label` is the number of the replacement it was read from; 0 is the first label.
    """

    host: str | None
    mark: str
    code: str
    label: int = 0


def check_character(code: str, alphabet: str = LETTERS_AND_DIGITS) -> str:
    """Return the character that guards a code against one wrong letter.

    Characters outside the alphabet, such as hyphens and dots, are left out. With
    letters and digits it is Mod 37,36, with digits alone MOD 11,10.

    Source: ISO/IEC 7064:2003, hybrid systems.
    """
    modulus = len(alphabet)
    product = modulus
    for character in code:
        if character in alphabet:
            total = (product + alphabet.index(character)) % modulus or modulus
            product = total * 2 % (modulus + 1)
    return alphabet[(modulus + 1 - product) % modulus]


def tidied(text: str) -> str:
    """Return a typed or scanned text in capitals, with plain hyphens and no margins."""
    return (
        " ".join(text.translate(HYPHENS).upper().split()) if _is_plain(text) else text
    )


def shown(text: str) -> str:
    """Return a text as an answer may quote it: escaped, and not too long."""
    short = text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + "…"
    return repr(short)


def split_scan(text: str) -> Scan | None:
    """Return the parts of a scan, or None where the text was typed.

    The host is told so that a label of another shop can be known as such.
    """
    tidy = tidied(text)
    if "/" not in tidy:
        return None
    found = SCAN.fullmatch(tidy)
    # Only boards have labels that are replaced by a numbered one.
    if not found or (found["label"] and found["mark"] != "B"):
        raise RefusedError(
            f"{shown(text)} is no scan of a label; scan again, or type the code alone"
        )
    return Scan(
        host=found["host"],
        mark=found["mark"],
        code=found["code"],
        label=int(found["label"] or 0),
    )


def read(text: str, form: Form) -> re.Match[str]:
    """Return the parts of a noun's code, typed or scanned."""
    if split_scan(text):
        return read_scan(text, form)
    code, _, check = tidied(text).partition(" ")
    found = form.shape.fullmatch(code)
    if not found:
        raise RefusedError(
            f"{shown(text)} is not the code of a {form.noun}; write it like "
            f"{form.example}, with its check character after a space or not at all"
        )
    if check:
        _compare(code, check)
    return found


def read_scan(text: str, form: Form) -> re.Match[str]:
    """Return the parts of a noun's code as scanned, its check character compared."""
    scan = split_scan(text)
    if scan and scan.mark != form.mark:
        raise RefusedError(
            f"{shown(text)} was not scanned from a {form.noun}; "
            f"scan a code like {form.example}"
        )
    code = scan.code if scan else tidied(text)
    found = form.shape.fullmatch(code[:-1])
    if not found:
        raise RefusedError(
            f"{shown(text)} is not what the label of a {form.noun} says; it ends in "
            f"the check character, like {form.example}{check_character(form.example)}"
        )
    _compare(code[:-1], code[-1])
    return found


def _compare(code: str, check: str) -> None:
    expected = check_character(code)
    if check != expected:
        raise RefusedError(
            f"the check character of {code} is {expected}, not {shown(check)[1:-1]}; "
            f"scan or type it again"
        )


def _is_plain(text: str) -> bool:
    """Tell whether `upper` will turn no foreign letter, such as long s, into ours."""
    return text.translate(HYPHENS).isascii()


def require_numbers(form: Form, year: int, number: int) -> None:
    """See that a year and a running number fit into a code of this form."""
    if not 0 <= year <= form.last_year:
        raise RefusedError(
            f"year {year} does not fit the code of a {form.noun}; "
            f"it runs from 0 to {form.last_year}, as in {form.example}"
        )
    if not 1 <= number <= form.last_number:
        raise RefusedError(
            f"number {number} does not fit the code of a {form.noun}; "
            f"it runs from 1 to {form.last_number}, as in {form.example}"
        )
