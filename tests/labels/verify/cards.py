"""Cards for the two readers: their CBOR, made by hand so that it can be wrong.

Source: RFC 8949 (CBOR), RFC 9052 section 4.2 (COSE_Sign1).
"""

from collections.abc import Iterator
from typing import Any

from ledger.log import merkle
from ledger.log.card import to_digits
from ledger.log.keys import SecretKey
from tests.labels.verify.houses import Sale
from tests.labels.verify.sayings import WORDS, Chance

ADDRESS = "https://skerrymoor.example/v#"
# Items that are written well and stand where none of them belongs, in CBOR's bytes.
ODD_ITEMS: dict[str, bytes] = {
    "nothing": bytes.fromhex("f6"),
    "undefined": bytes.fromhex("f7"),
    "true": bytes.fromhex("f5"),
    "false": bytes.fromhex("f4"),
    "nought": bytes.fromhex("00"),
    "minus one": bytes.fromhex("20"),
    "2^53": bytes.fromhex("1b0020000000000000"),
    "2^53 + 1": bytes.fromhex("1b0020000000000001"),
    "2^64 - 1": bytes.fromhex("1bffffffffffffffff"),
    "2^64": bytes.fromhex("c249010000000000000000"),
    "-2^64": bytes.fromhex("3bffffffffffffffff"),
    "-2^64 - 1": bytes.fromhex("c349010000000000000000"),
    "a small big number": bytes.fromhex("c24101"),
    "1.0": bytes.fromhex("f93c00"),
    "0.0": bytes.fromhex("f90000"),
    "-0.0": bytes.fromhex("f98000"),
    "1.0 in four bytes": bytes.fromhex("fa3f800000"),
    "1.1": bytes.fromhex("fb3ff199999999999a"),
    "not a number": bytes.fromhex("f97e00"),
    "another not a number": bytes.fromhex("f97e01"),
    "infinity": bytes.fromhex("f97c00"),
    "a simple value": bytes.fromhex("f0"),
    "a far simple value": bytes.fromhex("f8ff"),
    "a simple value written long": bytes.fromhex("f818"),
    "no bytes": bytes.fromhex("40"),
    "no text": bytes.fromhex("60"),
    "text": bytes.fromhex("6178"),
    "text of an a with a ring": bytes.fromhex("63" + "61cc8a"),
    "text with a control": bytes.fromhex("6100"),
    "text with a line": bytes.fromhex("610a"),
    "text turned round": bytes.fromhex("63e280ae"),
    "text with a mark": bytes.fromhex("63efbbbf"),
    "text with half a pair": bytes.fromhex("63eda080"),
    "text that is none": bytes.fromhex("61ff"),
    "text in pieces": bytes.fromhex("7f6161ff"),
    "bytes in pieces": bytes.fromhex("5f4161ff"),
    "no list": bytes.fromhex("80"),
    "a list without end": bytes.fromhex("9fff"),
    "no map": bytes.fromhex("a0"),
    "a map without end": bytes.fromhex("bfff"),
    "a map": bytes.fromhex("a10102"),
    "a pair": bytes.fromhex("82617801"),
    "a list of a pair": bytes.fromhex("8182617801"),
    "a pair of many grams": bytes.fromhex("81826178c249010000000000000000"),
    "a pair of true": bytes.fromhex("81826178f5"),
    "a pair of a fraction": bytes.fromhex("81826178f93c00"),
    "a time": bytes.fromhex("c074323031332d30332d32315432303a30343a30305a"),
    "a time in seconds": bytes.fromhex("c11a514b67b0"),
    "a time beyond times": bytes.fromhex("c11bffffffffffffffff"),
    "a time that is no number": bytes.fromhex("c1f97e00"),
    "a decimal": bytes.fromhex("c48221196ab3"),
    "a huge decimal": bytes.fromhex("c4821bffffffffffffffff01"),
    "a big fraction": bytes.fromhex("c5822003"),
    "a huge big fraction": bytes.fromhex("c5821a0000ffff03"),
    "a ratio": bytes.fromhex("d81e820103"),
    "a ratio over nought": bytes.fromhex("d81e820100"),
    "an address": bytes.fromhex("d8206178"),
    "a pattern": bytes.fromhex("d8236128"),
    "a mail": bytes.fromhex("d8246178"),
    "an identity": bytes.fromhex("d8254101"),
    "a set": bytes.fromhex("d901028101"),
    "a set of lists": bytes.fromhex("d901028180"),
    "an internet address": bytes.fromhex("d9010444c0a80001"),
    "a day": bytes.fromhex("d903ec6a323032362d31312d3231"),
    "a day in days": bytes.fromhex("d86418ff"),
    "a shared value": bytes.fromhex("d81c6178"),
    "a value that holds itself": bytes.fromhex("d81c81d81d00"),
    "a reference to nothing": bytes.fromhex("d81d05"),
    "a namespace of texts": bytes.fromhex("d90100816178"),
    "a reference to a text": bytes.fromhex("d81900"),
    "a tag on itself": bytes.fromhex("d9d9f76178"),
    "an unknown tag": bytes.fromhex("da7fffffff6178"),
    "embedded CBOR": bytes.fromhex("d8184101"),
    "a reserved head": bytes.fromhex("1c"),
    "an end alone": bytes.fromhex("ff"),
    "too little": bytes.fromhex("5820"),
    "far too little": bytes.fromhex("5b7fffffffffffffff"),
    "a list far too short": bytes.fromhex("9b7fffffffffffffff"),
}


def head(major: int, number: int, width: int = -1) -> bytes:
    """Write the first bytes of an item, in the shortest way or another."""
    if width < 0:
        width = next((n for n, end in enumerate(_ENDS) if number < end), 4)
    if width == 0:
        return bytes([major << 5 | number])
    return bytes([major << 5 | 23 + width]) + number.to_bytes(1 << width - 1, "big")


_ENDS = (24, 1 << 8, 1 << 16, 1 << 32)


def item(value: Any) -> bytes:
    """Write what a card holds in the one deterministic way."""
    if isinstance(value, int):
        return head(0, value) if value >= 0 else head(1, -1 - value)
    if isinstance(value, bytes):
        return head(2, len(value)) + value
    if isinstance(value, str):
        text = value.encode("utf-8", "surrogatepass")
        return head(3, len(text)) + text
    if isinstance(value, dict):
        return mapped([(item(k), item(v)) for k, v in value.items()])
    return head(4, len(value)) + b"".join(map(item, value))


def mapped(pairs: list[tuple[bytes, bytes]]) -> bytes:
    """Write a map of items that are written already, in their canonical order."""
    pairs = sorted(pairs, key=lambda pair: (len(pair[0]), pair[0]))
    return head(5, len(pairs)) + b"".join(k + v for k, v in pairs)


def claims(sale: Sale, chance: Chance) -> dict[int, Any]:
    """Return what the card of a certificate says, with words by chance."""
    words = [word for word in WORDS if "\n" not in word and len(word) < 100]
    species = [["Picea abies", 191], [chance.pick(words), 3]]
    return {
        0: 1,
        1: "26-0001-8",
        2: chance.pick((0, 20778, 999_999)),
        3: "C-2026-00001",
        4: chance.pick(words),
        5: species[: chance.below(3)],
        6: chance.pick((0, 1986, 2**53 - 1)),
        7: chance.below(4),
        8: sale.index,
        9: merkle.leaf_hash(sale.record),
        10: sale.token,
    }


def card(
    payload: bytes,
    secret: SecretKey,
    *,
    header: bytes = b"",
    signature: bytes = b"",
    before: str = ADDRESS,
) -> str:
    """Return a card's text around a payload, signed unless a signature is given."""
    said = header or item({1: -19, 4: bytes.fromhex(secret.id)})
    signature = signature or secret.sign(to_be_signed(said, payload))
    return before + to_digits(item([said, {}, payload, signature]))


def to_be_signed(header: bytes, payload: bytes) -> bytes:
    """Return the bytes that a card key signs."""
    return item(["Signature1", header, b"", payload])


def payloads_otherwise(said: dict[int, Any]) -> Iterator[tuple[str, bytes]]:
    """Yield the facts of a card with each in turn lost, or another kind of item."""
    pairs = {key: item(value) for key, value in said.items()}
    for key in said:
        rest = [(item(k), v) for k, v in pairs.items() if k != key]
        yield f"{key} is lost", mapped(rest)
        for name, odd in ODD_ITEMS.items():
            yield f"{key} is {name}", mapped([*rest, (item(key), odd)])
        for name in (
            "true",
            "false",
            "1.0",
            "0.0",
            "-1",
            "nothing",
            "a small big number",
        ):
            odd = ODD_ITEMS.get(name, item(-1))
            yield f"{key} is called {name}", mapped([*rest, (odd, pairs[key])])
    every = [(item(k), v) for k, v in pairs.items()]
    for name, odd in ODD_ITEMS.items():
        yield f"there is {name} beside them", mapped([*every, (odd, odd)])
        yield f"they are {name}", odd
    yield "backwards", head(5, len(every)) + b"".join(k + v for k, v in every[::-1])
    yield "twice", head(5, 2 * len(every)) + 2 * b"".join(k + v for k, v in every)
    yield "without end", b"\xbf" + b"".join(k + v for k, v in every) + b"\xff"
    yield "with a long head", head(5, len(every), 1) + mapped(every)[1:]
    yield "with something after", mapped(every) + b"\x00"
    for width in (1, 2, 3, 4):
        long = [(k, head(0, 1, width)) if k == b"\x00" else (k, v) for k, v in every]
        yield f"with a number of width {width}", mapped(long)


def headers_otherwise(kid: bytes) -> Iterator[tuple[str, bytes]]:
    """Yield what says algorithm and key, otherwise."""
    algorithm, key = (item(1), item(-19)), (item(4), item(kid))
    for name, odd in ODD_ITEMS.items():
        yield f"the algorithm is {name}", mapped([(item(1), odd), key])
        yield f"the key is {name}", mapped([algorithm, (item(4), odd)])
        yield f"there is {name} beside them", mapped([algorithm, key, (odd, odd)])
        yield f"the algorithm is called {name}", mapped([(odd, item(-19)), key])
        yield f"it is {name}", odd
    for number in (-8, -7, -18, -20, 19):
        yield f"the algorithm is {number}", mapped([(item(1), item(number)), key])
    for name, raw in (("-19.0", "f9ccc0"), ("4.0", "f94400")):
        odd = bytes.fromhex(raw)
        yield f"the algorithm is {name}", mapped([(item(1), odd), key])
        yield f"the key is called {name}", mapped([algorithm, (odd, item(kid))])
    for size in (0, 7, 9, 32):
        yield f"the key has {size} bytes", mapped([algorithm, (item(4), bytes(size))])
    yield "the key is text", mapped([algorithm, (item(4), head(3, 8) + b"12345678")])
    yield "twice", head(5, 4) + 2 * (b"".join(algorithm) + b"".join(key))
    yield "in another order", head(5, 2) + b"".join(key) + b"".join(algorithm)
    yield "empty", b""


def outside_otherwise(
    header: bytes, payload: bytes, signature: bytes
) -> Iterator[tuple[str, bytes]]:
    """Yield the four parts of a card put together otherwise."""
    parts = [item(header), item({}), item(payload), item(signature)]
    whole = b"".join(parts)
    yield "tagged", b"\xd2" + head(4, 4) + whole
    yield "without end", b"\x9f" + whole + b"\xff"
    yield "with a long head", head(4, 4, 1) + whole
    yield "with something after", head(4, 4) + whole + b"\x00"
    yield "of five", head(4, 5) + whole + item(b"")
    yield "of five with nothing", head(4, 5) + whole + ODD_ITEMS["nothing"]
    yield "a map", mapped([(item(n), part) for n, part in enumerate(parts)])
    yield "of three", head(4, 3) + b"".join(parts[:3])
    yield "nothing", b""
    for depth in (3, 30, 300, 640):
        yield f"nested {depth} deep", b"\x81" * depth + b"\x00"
        yield f"shared {depth} deep", b"\xd8\x1c" * (depth // 2) + b"\x00"
    for n in range(4):
        for name, odd in ODD_ITEMS.items():
            said = [*parts[:n], odd, *parts[n + 1 :]]
            yield f"part {n} is {name}", head(4, 4) + b"".join(said)
    for size in (0, 1, 63, 65, 128):
        said = [*parts[:3], item(bytes(size))]
        yield f"the signature has {size} bytes", head(4, 4) + b"".join(said)
    yield "too long", head(4, 4) + b"".join(parts[:3]) + item(bytes(700))


def digits_otherwise(text: str) -> Iterator[tuple[str, str]]:
    """Yield a card's text as somebody may type it, or wrongly."""
    address, _, digits = text.rpartition("#")
    yield "alone behind V#", f"V#{digits}"
    yield "behind v#", f"v#{digits}"
    yield "in capitals", text.upper()
    for around in (" ", "\n", "\r\n", "\t", "\x0b", "\x0c", "\x1c", "\xa0", "\ufeff"):
        yield f"between {around!r}", f"{around}{text}{around}"
        yield f"with {around!r} inside", f"{text[:-9]}{around}{text[-9:]}"
        yield f"with {around!r} before the digits", f"{address}#{around}{digits}"
    yield "the digits alone", digits
    yield "of another host", f"https://other.example/v#{digits}"
    yield "without safety", f"http://skerrymoor.example/v#{digits}"
    yield "with a folder", f"https://skerrymoor.example/a/b/v#{digits}"
    yield "with two marks", f"https://skerrymoor.example/v#v#{digits}"
    yield "with a quote in the host", f'https://skerry"moor/v#{digits}'
    yield "with a hash in the host", f"https://skerry#moor/v#{digits}"
    for size in (252, 253, 254):
        yield f"with a host of {size}", f"https://{'h' * size}/v#{digits}"
    yield "with no host", f"https:///v#{digits}"
    yield "without digits", f"{address}#"
    yield "with a letter", f"{address}#{digits[:-1]}x"
    yield "with a sign", f"{address}#+{digits[1:]}"
    yield "with full-width digits", f"{address}#\uff11{digits[1:]}"
    yield "with Arabic digits", f"{address}#\u0661{digits[1:]}"
    yield "with an underscore", f"{address}#1_{digits[2:]}"
    yield "beyond bytes", f"{address}#{'9' * 17}{digits[17:]}"
    yield "just beyond bytes", f"{address}#{1 << 56:017}{digits[17:]}"
    yield "just within bytes", f"{address}#{(1 << 56) - 1:017}{digits[17:]}"
    for size in (1, 2, 3, 4, 5, 16, 17, 18, 1614, 1999, 2000, 2001, 5000):
        yield f"of {size} noughts", f"{address}#{'0' * size}"
    for n in range(1, 18):
        yield f"without its last {n}", text[:-n]
        yield f"with {n} noughts more", text + "0" * n
