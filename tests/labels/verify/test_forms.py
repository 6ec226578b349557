"""Each form that the page reads is read as the ledger reads it, and refused alike."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Browser

from ledger.events.form import DAY
from ledger.log.card import _exact_cbor
from ledger.log.checkpoint import NoteKey, parse_checkpoint, parse_note
from ledger.log.encoding import canonical, parse_object
from ledger.log.entry import at_moment
from ledger.log.keys import SMALL_ORDER, PublicKey, base64_bytes, hex_bytes
from tests.labels.verify import parts
from tests.labels.verify.pages import PROOF
from tests.labels.verify.parts import FAULT, RFC_8032, Ask, said


@pytest.fixture(scope="module")
def ask(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ask]:
    """Give a way to ask one of the page's functions about many inputs."""
    with parts.asked(browser, tmp_path_factory.mktemp("parts")) as asking:
        yield asking


JSON = [
    *("", "{}", "[]", "1", "null", '{"a":1}', '{"a":01}', '{"a":-0}', '{"a":-1}'),
    *('{"a":1.0}', '{"a":1e1}', '{"a":NaN}', '{"a":+1}', '{"a":.5}', '{"a":0x1}'),
    *(f'{{"a":{2**53 - 1}}}', f'{{"a":{2**53}}}', f'{{"a":-{2**53 - 1}}}'),
    *(f'{{"a":{"9" * 16}}}', f'{{"a":{"9" * 5000}}}', '{"a":true}', '{"a":True}'),
    *('{"a":"\\u0041"}', '{"a":"\\/"}', '{"a":"\\n"}', '{"a":"\\t"}', '{"a":"\n"}'),
    *('{"a":"\\\\"}', '{"a":"\\""}', '{"a":"\\ud800"}', '{"a":"\\', '{"a":"'),
    *('{"a":1,"a":1}', '{"b":1,"a":1}', '{"a":1,"b":1}', '{"a":1,}', '{"a" :1}'),
    *('{"A":1}', '{"":1}', '{"_a":1}', '{"a-b":1}', '{"é":1}', '{"a1_":1}', "{a:1}"),
    *('{"__proto__":1}', '{"constructor":{"prototype":1}}', '{"a":1} ', ' {"a":1}'),
    *('{"a":1}\n', '\ufeff{"a":1}', '{"a":"\ufeff"}', '{"a":[]}', '{"a":[1,]}'),
    *('{"a":[1 ,2]}', '{"a":[1,2]}', '{"a":tru}', '{"a":undefined}', '{"a":{}}'),
    *(f'{{"a":"x{chr(code)}"}}' for code in range(0x20, 0xA2)),
    *(f'{{"a":"{chr(code)}"}}' for code in range(0x2000, 0x2070)),
    *(f'{{"a":"{chr(code)}"}}' for code in (0x61B, 0x61C, 0x61D, 0xFFFF, 0x1F600)),
    *(f'{{"a":{"[" * n}{"]" * n}}}' for n in (14, 15, 16, 17, 100_000)),
    *(f'{{"a":{"[" * n}1{"]" * n}}}' for n in (15, 16)),
    *('{"a":' * n + "1" + "}" * n for n in (15, 16, 17, 50_000)),
]
RAW = [b'{"a":"\xff"}', b'{"a":"\xc0\x80"}', b'{"a":"\xed\xa0\x80"}', b'{"a":"\xf4\x90']


def test_canonical_bytes_are_the_same_bytes(ask: Ask) -> None:
    """What one reads the other reads, and writes again as it was; the rest is refused.

    Source: RFC 8785 and the profile; the ledger's own reader is the judge.
    """
    inputs = [text.encode("utf-8") for text in JSON] + RAW
    ours = [said(lambda data: canonical(parse_object(data)), data) for data in inputs]

    assert ask("rewritten", [[data] for data in inputs]) == ours
    assert 90 < ours.count(FAULT) < len(ours) - 90


BASE64: list[Any] = [
    *("", "AA==", "AAA=", "AAAA", "AB==", "AAB=", "A", "AA", "AAA", "=", "==", "===="),
    *(
        "A===",
        "AA=A",
        "AA==AA==",
        "AAAA====",
        "AA-_",
        "AA+/",
        " AA==",
        "AA==\n",
        "ÀAA=",
    ),
    *("AA=\u003d", "AA\uff1d\uff1d", None, 5, [], "A" * 4096, "_AAA", "AAAA\n", "AÁ=="),
]


def test_base64_is_written_one_way(ask: Ask) -> None:
    """Padded, no other letters, unused bits zero."""
    ours = [said(base64_bytes, text) for text in BASE64]

    assert ask("base64Bytes", [[text] for text in BASE64]) == ours


def test_hex_is_written_one_way(ask: Ask) -> None:
    """In small letters, and of just so many bytes."""
    texts = [
        "",
        "00",
        "0f",
        "0F",
        "0g",
        "000",
        "0x",
        "٠٠",
        " 0",
        "0\n",
        None,
        0,
        ["00"],
    ]
    inputs = [[text, size] for text in texts for size in (0, 1, 2)]
    ours = [said(hex_bytes, *given) for given in inputs]

    assert ask("hexBytes", inputs) == ours


def test_the_calendar_is_the_same(ask: Ask) -> None:
    """From the year 1 to 9999, with leap years and without leap seconds."""
    days = [f"{y}-{m:02d}-{d:02d}" for y in YEARS for m in range(14) for d in ENDS]
    days += ["2026-1-01", "٢٠٢٦-01-01", "2026-01-01\n", "20260101", "2026-W01-1", ""]
    hours = ["T00:00:00Z", "T23:59:59Z", "T23:59:60Z", "T24:00:00Z", "T12:60:00Z"]
    moments = [f"2024-02-{day}{hour}" for day in (28, 29, 30) for hour in hours]
    moments += [
        "2026-01-01T00:00:00+00:00",
        "2026-01-01 00:00:00Z",
        "2026-01-01T1:1:1Z",
    ]

    assert ask("isDay", [[day] for day in days]) == [_is_day(day) for day in days]
    assert ask("isMoment", [[text] for text in moments]) == [
        said(at_moment, text) != FAULT for text in moments
    ]


YEARS = ["0000", "0001", "1900", "2000", "2023", "2024", "2100", "9999"]
ENDS = (0, 1, 28, 29, 30, 31, 32)


def _is_day(text: str) -> bool:
    shaped = DAY.fullmatch(text) is not None
    return shaped and said(at_moment, f"{text}T00:00:00Z") != FAULT


def test_texts_are_sorted_by_code_points(ask: Ask) -> None:
    """Where UTF-16 would put a far letter before a near one."""
    texts = [
        "",
        "a",
        "aa",
        "b",
        "\ud7ff",
        "\ue000",
        "\uffff",
        "\U00010000",
        "\U0010ffff",
    ]
    pairs = [[one, other] for one in texts for other in texts]

    assert ask("byCodePoint", pairs) == [(a > b) - (a < b) for a, b in pairs]
    assert all(one < other for one, other in pairwise(texts))


NAMES = [
    "a",
    "a b",
    "a+b",
    "",
    "\ufeff",
    "a\xa0b",
    "a\x85b",
    "a\u3000b",
    "a\u200bb",
    "é",
]
NAMES += ["a\u1680b", "a\u180eb", "a\u2028b", "a\u202fb", "a\u205fb", "\U0001f600"]
HEAD = PROOF.decode("utf-8").partition("\n\n")[2]
TEXT, _, LINE = HEAD.rpartition("\n\n")
ORIGIN, SIZE, ROOT = TEXT.split("\n")
NOTES = [
    *(
        HEAD,
        HEAD[:-1],
        HEAD + "\n",
        HEAD.replace("\n", "\r\n"),
        "\n\n" + LINE,
        TEXT,
        "",
    ),
    *(HEAD + LINE, HEAD + LINE * 99, HEAD + LINE * 100, HEAD.replace("—", "-")),
    *(f"{TEXT}\nmore\n\nand\n\n{LINE}", f"{TEXT}\n\n\n{LINE}", f"{TEXT}\n{LINE}"),
    *(f"{TEXT}\n{chr(code)}\n\n{LINE}" for code in range(0x21)),
    *(f"{TEXT}\n{chr(code)}\n\n{LINE}" for code in (0x7F, 0x85, 0x2028, 0xFEFF)),
    *(f"{TEXT}\n\n— {name} AAAAAAA=\n" for name in NAMES),
    *(f"{TEXT}\n\n— x {data}\n" for data in ("", "AAAAAA==", "AAAAAAA=", "AAAAAAB=")),
    *(f"{ORIGIN}\n{n}\n{ROOT}\n\n{LINE}" for n in ("0", "00", "-1", "+1", "1.0", "١")),
    *(f"{ORIGIN}\n{n}\n{ROOT}\n\n{LINE}" for n in (2**53 - 1, 2**53, 10**16, "1 ")),
    *(
        f"{ORIGIN}\n{SIZE}\n{root}\n\n{LINE}"
        for root in ("", "AAAA", ROOT[:-1], ROOT + "=")
    ),
    *(
        f"{TEXT}\n{letter * n}\n\n{LINE}"
        for letter in "aé\U0001f600"
        for n in (65_300, 65_400)
    ),
]


def test_notes_are_read_alike(ask: Ask) -> None:
    """Blank lines, spaces of other scripts, lengths in letters, too large sizes."""

    def head(text: str) -> list[Any]:
        found = parse_checkpoint(parse_note(text))
        return [found.origin, found.size, found.root.hex()]

    ours = [said(head, text) for text in NOTES]

    assert ask("head", [[text] for text in NOTES]) == ours
    assert 15 < ours.count(FAULT) < len(ours) - 15


def test_verifier_keys_are_read_alike(ask: Ask) -> None:
    """With the hash of name and key, and a name without spaces."""
    raw = bytes.fromhex(RFC_8032[0][0])
    keys = [str(NoteKey(name, PublicKey(raw))) for name in NAMES]
    keys += [str(NoteKey("x", PublicKey(small))) for small in SMALL_ORDER]
    keys += [keys[0][:-1], keys[0].upper(), keys[0] + "=", keys[0].replace("+A", "+B")]
    ours = [said(lambda text: NoteKey.parse(text).public.raw, key) for key in keys]

    assert ask("noteKey", [[key] for key in keys]) == ours
    assert ask("noteKey", [[None], [5], [[]], ["a"], ["a+b"]]) == [FAULT] * 5
    assert 5 < len(ours) - ours.count(FAULT) < 12


CBOR = [
    *("00", "17", "18", "1817", "1818", "18ff", "1900ff", "190100", "1a0000ffff"),
    *("1a00010000", "1b00000000ffffffff", "1b0000000100000000", "1b001fffffffffffff"),
    *("1c", "1f", "20", "3863", "40", "4100", "41", "5800", "5f4100ff", "60", "6161"),
    *("61ff", "62c080", "63eda080", "63efbbbf", "80", "8100", "81", "9800", "9fff"),
    *(
        "a0",
        "a10000",
        "a200000000",
        "a201000000",
        "a200000100",
        "bfff",
        "a16161",
        "0000",
    ),
    *("5bffffffffffffffff", "9bffffffffffffffff", "bbffffffffffffffff", "c0", "c200"),
]


def test_cbor_is_written_one_way(ask: Ask) -> None:
    """The shortest heads, names in order, each once, and nothing behind.

    Source: RFC 8949 section 4.2.1; the ledger's own library is the judge.
    """
    inputs = [bytes.fromhex(text) for text in CBOR]
    ours = [
        said(lambda raw: _exact_cbor(raw) is not None and "read", d) for d in inputs
    ]

    assert ask("cbor", [[data] for data in inputs]) == ours
    assert 15 < ours.count("read") < 30


def test_numbers_that_no_card_has_are_no_numbers_here(ask: Ask) -> None:
    """Beyond 2^53 - 1, true, fractions, tags and names that are text: all refused."""
    texts = [
        "1b0020000000000000",
        "f5",
        "f93c00",
        "c24101",
        "d9d9f700",
        "a1616100",
        "f6",
    ]

    assert ask("cbor", [[bytes.fromhex(text)] for text in texts]) == [FAULT] * 7
