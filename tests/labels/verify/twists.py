"""How what was said goes wrong: byte by byte, line by line, member by member."""

import base64
import copy
import json
from collections.abc import Iterator
from typing import Any

from tests.labels.verify.sayings import Chance, Json, loosely

# Behind a name that is to stand twice in an object; canonical names have no tilde.
AGAIN = "~"
# What somebody may put where something else belongs.
ODD: tuple[Any, ...] = (
    None,
    True,
    False,
    0,
    1,
    -1,
    2**53 - 1,
    2**53,
    10**400,
    0.0,
    1e300,
    "",
    " ",
    "0",
    "x",
    "lead",
    "constructor",
    "__proto__",
    "e\u0301",
    "ſ",
    "\u0660",
    "\n",
    "\r",
    "\t",
    "\x00",
    "\x7f",
    "\x85",
    "\u202e",
    "\u061c",
    "\u2028",
    "\ufeff",
    "\uffff",
    "\ud800",
    "\U0001f40c",
    [],
    [[]],
    {},
    [{}],
    {"kind": "x"},
)
SPACES = "\x1c\x1f\x85\xa0\u1680\u180e\u2003\u200b\u2028\u202f\u205f\u3000\ufeff"

Place = tuple[Any, ...]


def places(value: Any, at: Place = ()) -> Iterator[Place]:
    """Yield where in a value every member and item stands, outermost first."""
    if at:
        yield at
    if isinstance(value, dict | list):
        for name in value if isinstance(value, dict) else range(len(value)):
            yield from places(value[name], (*at, name))


def changed(value: Any, at: Place, new: Any) -> Any:
    """Return a copy in which something else stands in one place."""
    made = copy.deepcopy(value)
    _inner(made, at[:-1])[at[-1]] = new
    return made


def twisted(value: Json) -> Iterator[tuple[str, Json]]:
    """Yield an object with each member of each depth in turn odd, lost or doubled."""
    for at in places(value):
        old = _inner(value, at)
        name = ".".join(map(str, at))
        for odd in (*ODD, *_near(old)):
            if type(odd) is not type(old) or odd != old:
                yield f"{name} is {odd!r:.40}", changed(value, at, odd)
        for what, made in _moved(value, at):
            yield f"{name} {what}", made


def _near(old: Any) -> Iterator[Any]:
    """Yield what somebody could take for the same."""
    yield [old]
    yield {"value": old}
    if isinstance(old, str):
        yield from (f" {old}", f"{old} ", f"{old}\n", old.upper(), old.title())
        yield from (old[:-1], old[1:], old + old[-1:], old + "\u0301", old + "\u200f")
        yield old.translate({ord(d): 0xFF10 + int(d) for d in "0123456789"})
    elif isinstance(old, bool):
        yield int(old)
        yield not old
    elif isinstance(old, int):
        yield from (float(old), old + 1, old - 1, -old, str(old), old + 2**53)
    elif isinstance(old, list):
        yield from (old[::-1], old + old[-1:], old[:-1], dict(enumerate_text(old)))


def enumerate_text(items: list[Any]) -> Iterator[tuple[str, Any]]:
    """Yield each item under a name, as an object would hold it."""
    return ((f"i{n}", item) for n, item in enumerate(items))


def _moved(value: Json, at: Place) -> Iterator[tuple[str, Json]]:
    """Yield a member lost, renamed, doubled, or with another beside it."""
    *above, name = at
    made = copy.deepcopy(value)
    inner = _inner(made, tuple(above))
    old = inner[name]
    del inner[name]
    yield "is lost", made
    if not isinstance(name, str):
        yield "is doubled", changed(value, tuple(above), _doubled(value, at))
        return
    for new in (f"{name}x", name.upper(), f"{name}\u0301", "__proto__", ""):
        renamed = copy.deepcopy(made)
        _inner(renamed, tuple(above))[new] = old
        yield f"is called {new}", renamed
    for beside in (f"{name}{AGAIN}", "more", "Z", "constructor"):
        more = copy.deepcopy(value)
        _inner(more, tuple(above))[beside] = old
        yield f"has {beside} beside it", more


def _doubled(value: Json, at: Place) -> list[Any]:
    rows = list(_inner(value, at[:-1]))
    return [*rows[: at[-1]], rows[at[-1]], *rows[at[-1] :]]


def _inner(value: Any, at: Place) -> Any:
    for name in at:
        value = value[name]
    return value


def bytes_of(value: object) -> bytes:
    """Write a twisted value down, with the members that stand twice in it."""
    return loosely(value).replace(AGAIN.encode(), b"")


def damaged(data: bytes, chance: Chance) -> tuple[str, bytes]:
    """Return bytes that are cut, doubled, lost or turned in one place, and how."""
    at = chance.below(max(1, len(data)))
    how = chance.pick(("turned", "turned", "turned", "cut", "lost", "doubled", "put"))
    before, after = data[:at], data[at + 1 :]
    if how == "turned":
        bit = chance.below(8)
        turned = bytes([data[at] ^ 1 << bit])
        return f"bit {bit} of byte {at} turned", before + turned + after
    if how == "put":
        odd = chance.pick((b"\x00", b"\xff", b" ", b"\n", b"\r", b"\xef\xbb\xbf", b'"'))
        return f"{odd!r} put at {at}", before + odd + data[at:]
    kept = {"cut": before, "lost": before + after}
    return f"{how} at {at}", kept.get(how, before + data[at : at + 9] + data[at:])


def lines_moved(text: str, chance: Chance) -> tuple[str, str]:
    """Return a text of which two lines changed places, or one went or came twice."""
    lines = text.split("\n")
    a, b = chance.below(len(lines)), chance.below(len(lines))
    how = chance.pick(("swapped", "lost", "doubled", "emptied"))
    if how == "swapped":
        lines[a], lines[b] = lines[b], lines[a]
    elif how == "lost":
        del lines[a]
    elif how == "doubled":
        lines.insert(b, lines[a])
    else:
        lines[a] = ""
    return f"line {a} {how} ({b})", "\n".join(lines)


def base64_otherwise(text: str) -> Iterator[tuple[str, str]]:
    """Yield base64 as other writers would have it, or careless ones."""
    data = base64.b64decode(text)
    bare = text.rstrip("=")
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"
    if bare != text:
        yield "without padding", bare
    yield "padded more", text + "="
    yield "padded twice more", text + "=="
    for_addresses = base64.urlsafe_b64encode(data).decode()
    if for_addresses != text:
        yield "for addresses", for_addresses
    yield "with a space", f"{text[:5]} {text[5:]}"
    yield "with a tab", f"{text[:5]}\t{text[5:]}"
    yield "with a line", f"{text[:5]}\n{text[5:]}"
    yield "with a return", f"{text}\r"
    yield "with a dash", f"{text[:5]}-{text[5:]}"
    yield "with padding inside", f"{text[:4]}===={text[4:]}"
    yield "with a full-width letter", "\uff21" + text[1:]
    yield "of less", base64.b64encode(data[:-1]).decode()
    yield "of more", base64.b64encode(data + b"\x00").decode()
    yield "of nothing", ""
    yield "padding alone", "===="
    if bare != text:
        last = letters[letters.index(bare[-1]) ^ 1]
        yield "with unused bits", bare[:-1] + last + text[len(bare) :]


def hex_otherwise(text: str) -> Iterator[tuple[str, str]]:
    """Yield hex digits as other writers would have them, or careless ones."""
    yield "in capitals", text.upper()
    yield "with a mark", f"0x{text[2:]}"
    yield "with spaces", f"{text[:2]} {text[3:]}"
    yield "with an underscore", f"{text[:2]}_{text[3:]}"
    yield "shorter", text[:-2]
    yield "longer", f"{text}00"
    yield "odd", text[:-1]
    yield "in full-width digits", "\uff11" + text[1:]
    yield "in Arabic digits", "\u0661" + text[1:]
    yield "with a letter too many", f"{text[:-1]}g"
    yield "with a line", f"{text}\n"


def json_otherwise(data: bytes) -> Iterator[tuple[str, bytes]]:
    """Yield an object as other writers of JSON would have it."""
    value = json.loads(data)
    names = list(value)
    yield "with spaces", json.dumps(value, sort_keys=True).encode()
    yield "over lines", json.dumps(value, sort_keys=True, indent=2).encode()
    backwards = {name: value[name] for name in reversed(names)}
    yield "backwards", json.dumps(backwards, separators=(",", ":")).encode()
    yield (
        "in ASCII",
        json.dumps(
            value, sort_keys=True, separators=(",", ":"), ensure_ascii=True
        ).encode(),
    )
    yield "with a mark before it", b"\xef\xbb\xbf" + data
    for after in (b"\n", b" ", b"\x00", b"{}", b",", b"//", b"\xc2\xa0"):
        yield f"with {after!r} after it", data + after
        yield f"with {after!r} before it", after + data
    yield "in sixteen bits", data.decode("utf-8", "replace").encode("utf-16")
    yield "with slashes escaped", data.replace(b"/", b"\\/")
    yield "with a letter escaped", data.replace(b'"format"', b'"f\\u006frmat"')
    yield "with a comma too many", data[:-1] + b",}"
    yield "in single quotes", data.replace(b'"', b"'")
    yield "in a list", b"[" + data + b"]"
    yield "as text", json.dumps(data.decode("utf-8", "replace")).encode()
    yield "twice", data + data
    for number in (b"1.0", b"1e1", b"01", b"-0", b"+1", b"0x1", b"NaN", b"1_0", b"-"):
        yield f"with {number!r}", data[:-1] + b',"z":' + number + b"}"
    for word in (b"Infinity", b"undefined", b"True", b"nul", b'"\\x41"', b'"\\u12"'):
        yield f"with {word!r}", data[:-1] + b',"z":' + word + b"}"
    for raw in (b"\xc0\x80", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", b"\xe2\x80", b"\t"):
        yield f"with the bytes {raw!r}", data[:-1] + b',"z":"' + raw + b'"}'
    for depth in (15, 16, 17, 1500, 100_000):
        deep = b"[" * depth + b"]" * depth
        yield f"nested {depth} deep", data[:-1] + b',"z":' + deep + b"}"
