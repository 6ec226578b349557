"""The one way to write a value down: canonical bytes.

They are RFC 8785 under a strict profile in which the standard library's json gives
the very same bytes: member names are `[a-z][a-z0-9_]*`; values are strings, booleans,
null and integers within ±(2^53 - 1), no fraction, no exponent, no minus zero; objects
and lists nest at most sixteen deep, the outermost being one; strings hold no control
character but LF, none of Unicode's Bidi_Control and no lone surrogate.

    >>> canonical({"mass_mg": 412000, "board": "L26-031-07"})
    b'{"board":"L26-031-07","mass_mg":412000}'

`parse` is the inverse, and refuses whatever `canonical` would not have written.
"""

import json
import re
import unicodedata
from typing import Any

from ledger.errors import RefusedError, TamperError

# What canonical bytes can hold; nested values are Plain again.
Plain = dict[str, Any] | list[Any] | str | int | bool | None

LARGEST = 2**53 - 1
DEEPEST = 16
MEMBER = re.compile(r"[a-z][a-z0-9_]*\Z")
# C0 but LF, DEL and C1, Unicode's Bidi_Control (PropList.txt), lone surrogates.
FORBIDDEN = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
    "\ud800-\udfff]"
)


def canonical(value: Plain) -> bytes:
    """Return the canonical bytes of a value, without a final LF.

    Raises RefusedError where the profile does not allow the value.
    """
    fault = profile_fault(value)
    if fault:
        raise RefusedError(f"this cannot be written down: {fault}")
    return _written(value)


def is_count(value: object, *, least: int) -> bool:
    """Tell whether a value is a whole number from `least` on; true is none."""
    return type(value) is int and value >= least


def parse(data: bytes) -> Plain:
    """Return the value of canonical bytes.

    Raises TamperError where the bytes are not the ones `canonical` would write.
    """
    try:
        text = data.decode("utf-8")
        value: Plain = json.loads(
            text, parse_float=_refuse_number, parse_constant=_refuse_number
        )
    except UnicodeDecodeError:
        raise TamperError("these bytes are not canonical: they are no text") from None
    except json.JSONDecodeError as problem:
        if text.startswith("{") and _is_cut_off(problem):
            raise TamperError(
                "these bytes end in the middle: the file is cut off, get it again"
            ) from None
        raise TamperError(f"these bytes are not canonical: {problem}") from None
    except (ValueError, RecursionError) as problem:
        raise TamperError(f"these bytes are not canonical: {problem}") from None
    fault = profile_fault(value)
    if fault:
        raise TamperError(f"these bytes are not canonical: {fault}")
    if _written(value) != data:
        raise TamperError("these bytes are not canonical: written again they differ")
    return value


def parse_object(data: bytes) -> dict[str, Any]:
    """Return the members of a canonical object; any other value is a TamperError."""
    value = parse(data)
    if not isinstance(value, dict):
        raise TamperError("these bytes are canonical, but not an object")
    return value


def profile_fault(value: object, depth: int = 1) -> str | None:
    """Say why a value is outside the profile, or return None.

    Source: RFC 8785; RFC 7493 (I-JSON) section 2.2 for the range of integers.
    """
    if value is None or isinstance(value, bool):
        return None
    if isinstance(value, str):
        return _text_fault(value)
    if isinstance(value, int):
        return None if -LARGEST <= value <= LARGEST else "a number is beyond 2^53 - 1"
    if not isinstance(value, dict | list | tuple):
        return f"{type(value).__name__} has no place in it"
    if depth > DEEPEST:
        return f"it nests deeper than {DEEPEST}"
    inner = value.values() if isinstance(value, dict) else value
    names = value if isinstance(value, dict) else ()
    for name in names:
        if not _is_member_name(name):
            return f"{name!r} is no member name"
    faults = (profile_fault(item, depth + 1) for item in inner)
    return next((fault for fault in faults if fault), None)


def writing_fault(value: object) -> str | None:
    """Say why a value should not be written today, though it would stay readable.

    Text is to be in Unicode's form NFC and of assigned characters. Only a writer
    judges this: a later Unicode must not turn old records into faults.
    """
    if isinstance(value, str):
        if unicodedata.normalize("NFC", value) != value:
            return f"{value!r} is not in Unicode form NFC"
        odd = next((c for c in value if unicodedata.category(c) == "Cn"), None)
        return f"U+{ord(odd):04X} is no assigned character" if odd else None
    inner: list[object] = []
    if isinstance(value, dict):
        inner = list(value.values())
    elif isinstance(value, list | tuple):
        inner = list(value)
    return next((fault for fault in map(writing_fault, inner) if fault), None)


def _is_cut_off(problem: json.JSONDecodeError) -> bool:
    """Tell whether a text ended where more was to come: within a value or after it."""
    rest = problem.doc[problem.pos :]
    begun = any(word.startswith(rest) for word in ("true", "false", "null", "-"))
    return begun or problem.msg.startswith("Unterminated string")


def _is_member_name(name: object) -> bool:
    return isinstance(name, str) and MEMBER.match(name) is not None


def _text_fault(text: str) -> str | None:
    found = FORBIDDEN.search(text)
    return f"text holds the character U+{ord(found[0]):04X}" if found else None


def _written(value: Plain) -> bytes:
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return text.encode("utf-8")


def _refuse_number(text: str) -> None:
    raise ValueError(f"{text} is no integer")
