"""The code under the fold of a transfer slip, as it is printed, typed and scanned.

    OKLX-IEZC-…, seven groups, the last of three characters

Its 16 bytes are written in base 32, whose letters and digits are hardly taken for one
another, and a check character ends them. Blanks, hyphens and small letters do not
matter; a nought is read as O, a one as I and an eight as B, for none of the three is
ever printed. The check character is of the same 32, reckoned as the hybrid systems do:
it finds every single wrong letter, and nearly every two that changed places.

Source: RFC 4648 section 6 (base 32); ISO/IEC 7064:2003, hybrid systems, whose
procedure is taken over to 32 characters, which the standard has no system for.
"""

from base64 import b32decode, b32encode
from hashlib import sha256

from ledger.codes import check_character, tidied
from ledger.errors import RefusedError

SIZE = 16
LETTERS = 26
GROUP = 4
# What is never printed, read as what it is taken for.
READ_AS = str.maketrans("018", "OIB")
ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"


def printed_code(raw: bytes) -> str:
    """Return a code as a slip shows it, in groups; `read_code` is the inverse."""
    code = scanned_code(raw)
    return "-".join(code[at : at + GROUP] for at in range(0, len(code), GROUP))


def scanned_code(raw: bytes) -> str:
    """Return a code as the square on a slip holds it."""
    letters = b32encode(raw).decode("ascii").rstrip("=")
    return letters + check_character(letters, ALPHABET)


def read_code(text: str) -> bytes:
    """Return the bytes of a code, typed or scanned.

    Raises RefusedError for one that was mistyped; whether it is true is not asked here.
    """
    code = tidied(text).replace(" ", "").replace("-", "").translate(READ_AS)
    strange = sorted(set(code) - set(ALPHABET))
    if len(code) != LETTERS + 1 or strange:
        raise RefusedError(
            f"a slip's code has {LETTERS + 1} letters and digits in groups of "
            f"{GROUP}, and {_counted(code, strange)}: type it again"
        )
    raw = b32decode(f"{code[:LETTERS]}======")
    if scanned_code(raw) != code:
        raise RefusedError(
            "the code is mistyped, for its last character does not fit the others: "
            "compare it with the slip, group by group"
        )
    return raw


def code_digest(raw: bytes) -> str:
    """Return the SHA-256 by which an entry names a code, in hex."""
    return sha256(raw).hexdigest()


def _counted(code: str, strange: list[str]) -> str:
    if strange:
        return f"{strange[0]!r} is none of them"
    return f"these are {len(code)}"
