"""Canonical bytes: RFC 8785 within the profile, and nothing outside it."""

import ast
import json
import re
from collections.abc import Callable
from typing import Any

import pytest
import rfc8785
from hypothesis import example, given
from hypothesis import strategies as st

from ledger.errors import RefusedError, TamperError
from ledger.log.encoding import (
    FORBIDDEN,
    LARGEST,
    Plain,
    canonical,
    is_count,
    parse,
    parse_object,
    writing_fault,
)
from tests.ledger.log.damage import damaged

Standards = Callable[[str], Any]

NAMES = st.from_regex(r"\A[a-z][a-z0-9_]{0,12}\Z")
TEXTS = st.text(st.characters(codec="utf-8")).map(lambda text: FORBIDDEN.sub("", text))
SCALARS = st.one_of(st.none(), st.booleans(), st.integers(-LARGEST, LARGEST), TEXTS)
VALUES: st.SearchStrategy[Any] = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=5) | st.dictionaries(NAMES, inner, max_size=5)
    ),
    max_leaves=20,
)


def nested(depth: int) -> Plain:
    """Return objects and lists that nest so deep, the outermost being one."""
    value: Plain = {}
    for n in range(depth - 1):
        value = [value] if n % 2 else {"inner": value}
    return value


@given(VALUES)
def test_an_independent_library_writes_the_same_bytes(value: Plain) -> None:
    """A library written for RFC 8785 agrees on every value of the profile."""
    assert canonical(value) == rfc8785.dumps(value)


@given(VALUES)
def test_what_was_written_is_read_and_written_again(value: Plain) -> None:
    """Reading and writing are inverses of each other."""
    assert parse(canonical(value)) == value
    assert canonical(parse(canonical(value))) == canonical(value)


def test_the_published_documents_are_outside_the_profile(standards: Standards) -> None:
    """RFC 8785's documents use names, numbers or characters that ours may not hold."""
    for document in standards("jcs_rfc8785.json")["documents"]:
        with pytest.raises(RefusedError, match="this cannot be written down"):
            canonical(json.loads(document["input"]))
        with pytest.raises(TamperError, match="these bytes are not canonical"):
            parse(bytes.fromhex(document["output_hex"]))


def test_the_published_numbers_are_read_where_they_are_safe_integers(
    standards: Standards,
) -> None:
    """Of the numbers of appendix B only integers within 2^53 - 1 are read."""
    safe = 0
    for row in standards("jcs_rfc8785.json")["numbers_appendix_b"]:
        text = row["json"] or "NaN"
        if re.fullmatch("0|-?[1-9][0-9]*", text) and abs(int(text)) < 2**53:
            safe += 1
            assert parse(text.encode()) == int(text)
        else:
            with pytest.raises(TamperError, match="these bytes are not canonical"):
                parse(text.encode())

    assert safe == 2


def test_the_edge_cases_of_a_second_writer_agree(standards: Standards) -> None:
    """Each edge case is written as elsewhere, or refused: never written otherwise."""
    written = 0
    for case in standards("jcs_rfc8785.json")["extra"]:
        source = case["input_python_repr"]
        value: Any = (
            float(source) if source in ("nan", "inf") else ast.literal_eval(source)
        )
        try:
            data = canonical(value)
        except RefusedError:
            continue
        written += 1
        assert data.hex() == case.get("output_hex"), case["desc"]

    assert written >= 3


@pytest.mark.parametrize(
    ("value", "fault"),
    [
        (2**53, "is beyond 2"),
        (-(2**53), "is beyond 2"),
        (-(10**300), "is beyond 2"),
        (1.0, "float has no place"),
        (-0.0, "float has no place"),
        (float("nan"), "float has no place"),
        (b"bytes", "bytes has no place"),
        ({1, 2}, "set has no place"),
        ({"Board": 1}, "'Board' is no member name"),
        ({"board-no": 1}, "'board-no' is no member name"),
        ({"1st": 1}, "'1st' is no member name"),
        ({"_x": 1}, "'_x' is no member name"),
        ({"": 1}, "'' is no member name"),
        ({"x\n": 1}, "is no member name"),
        ({"größe": 1}, "is no member name"),
        ({1: 1}, "1 is no member name"),
        ({None: 1}, "None is no member name"),
        ("\ud800", r"U\+D800"),
        ("\udfff", r"U\+DFFF"),
        ("\x00", r"U\+0000"),
        ("\t", r"U\+0009"),
        ("\x0b", r"U\+000B"),
        ("\r\n", r"U\+000D"),
        ("\x1f", r"U\+001F"),
        ("\x7f", r"U\+007F"),
        ("\x80", r"U\+0080"),
        ("\x9f", r"U\+009F"),
        ([{"deep": ["\u202e"]}], r"U\+202E"),
        (nested(17), "nests deeper than 16"),
        ([1, nested(16)], "nests deeper than 16"),
    ],
)
def test_what_is_outside_the_profile_is_not_written(value: Any, fault: str) -> None:
    """Numbers, names, characters and depth each have their limit, and it is told."""
    with pytest.raises(RefusedError, match=f"cannot be written down: .*{fault}"):
        canonical(value)


def test_a_number_too_long_to_be_printed_is_refused_all_the_same() -> None:
    """Python itself will not print five thousand digits, which changes nothing."""
    with pytest.raises(RefusedError, match="is beyond 2"):
        canonical(10**5000)


# Unicode's property Bidi_Control, all twelve of them (PropList.txt).
BIDI = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


@pytest.mark.parametrize("char", BIDI)
def test_nothing_can_turn_the_direction_of_a_text(char: str) -> None:
    """No character that reorders what a reader sees is written, or read."""
    with pytest.raises(RefusedError, match=f"U\\+{ord(char):04X}"):
        canonical(f"412 g{char}")
    with pytest.raises(TamperError, match=f"U\\+{ord(char):04X}"):
        parse(f'"412 g{char}"'.encode())


@pytest.mark.parametrize(
    "value",
    [
        LARGEST,
        -LARGEST,
        0,
        "two\nlines",
        "\u00a0\u2028\u2029\ufeff\uffff",
        "Fichte, gespalten: ä ö ü \U0001f602",
        '"\\/',
        nested(16),
        {"a": True, "a0": False, "a_": None, "aa": [1, True]},
    ],
)
def test_what_is_just_inside_the_profile_is_written(value: Any) -> None:
    """The largest integers, LF, and sixteen levels are allowed, and come back."""
    assert parse(canonical(value)) == value
    assert canonical(value) == rfc8785.dumps(value)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b" ",
        b"\n",
        b"{}\n",
        b" {}",
        b"{} ",
        b"[1, 2]",
        b'{"a": 1}',
        b'{"b":1,"a":1}',
        b'{"a":1,"a":1}',
        b'{"a":1,"a":2}',
        b'{"a":1,"\\u0061":1}',
        b"1.0",
        b"1e2",
        b"1E2",
        b"-0",
        b"01",
        b"+1",
        b"0x10",
        b"9007199254740992",
        b"-9007199254740992",
        b"1e400",
        b"9" * 4300,
        b"9" * 5000,
        b"-" + b"9" * 100_000,
        b"NaN",
        b"Infinity",
        b"-Infinity",
        b"True",
        b"'a'",
        b'"\\/"',
        b'"\\u00e4"',
        b'"\\u000A"',
        b'"\\u000a"',
        b'"a\nb"',
        b'"\\ud83d\\ude02"',
        b'"\\ud83d"',
        b'"\\udc00"',
        b'"\xed\xa0\x80"',
        b'"\xc0\xaf"',
        b'"\xff"',
        b'"\x80"',
        b"\xef\xbb\xbf{}",
        '{"a":1}'.encode("utf-16"),
        b"{}{}",
        b"[1,]",
        b"{'a':1}",
        b"/**/1",
        b"\x00",
        b'"',
        b"[" * 100_000,
        b"[" * 100_000 + b"]" * 100_000,
        b'{"a":' * 100_000,
        b"[" * 17 + b"]" * 17,
    ],
    ids=lambda data: repr(data[:16]),
)
def test_bytes_that_nobody_here_would_write_are_refused(data: bytes) -> None:
    """Spaces, other orders, escapes, numbers, encodings and depths are all refused."""
    with pytest.raises(TamperError, match="these bytes are not canonical"):
        parse(data)


@given(st.binary(max_size=200))
@example(b'{"a":[null,true,{"b":"\\n"}]}')
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    """Reading never fails in another way, and reads only what would be written so."""
    assert reads_as_written(data)


@given(st.text(alphabet='{}[]":,\\unl0123456789.eE+-abtrfs \n', max_size=60))
def test_any_text_that_looks_like_it_is_read_or_refused(text: str) -> None:
    """The same holds for text made of the characters that the form is made of."""
    assert reads_as_written(text.encode())


@given(VALUES)
def test_damaged_bytes_are_refused_or_honestly_another_value(value: Plain) -> None:
    """Bytes with one flipped, lost or cut off never read as the value they were."""
    data = canonical(value)

    for bad in damaged(data[:400]):
        assert reads_as_written(bad)


def reads_as_written(data: bytes) -> bool:
    """Tell whether bytes are refused, or are what their value is written as."""
    try:
        value = parse(data)
    except TamperError:
        return True
    return canonical(value) == data


@pytest.mark.parametrize("data", [b"[]", b'"a"', b"1", b"null", b"true"])
def test_only_an_object_has_members(data: bytes) -> None:
    """A list or a bare value is canonical, and still no object."""
    with pytest.raises(TamperError, match="but not an object"):
        parse_object(data)


@pytest.mark.parametrize(
    ("value", "fault"),
    [
        ("A\u030a", "is not in Unicode form NFC"),
        ({"name": ["\u212b"]}, "is not in Unicode form NFC"),
        (("\u0378",), r"U\+0378 is no assigned character"),
        ({"a": {"b": "\uffff"}}, r"U\+FFFF is no assigned character"),
    ],
)
def test_only_a_writer_asks_for_composed_and_assigned_characters(
    value: Any, fault: str
) -> None:
    """A later Unicode must not turn old records into faults, so reading lets it be."""
    said = writing_fault(value)

    assert said is not None
    assert fault.replace("\\", "") in said
    assert parse(canonical(value)) is not None


@pytest.mark.parametrize("value", ["Å", {"a": [1, None, "plain"]}, True, 7, []])
def test_ordinary_text_has_no_writing_fault(value: Any) -> None:
    """Composed, assigned characters and numbers may be written today."""
    assert writing_fault(value) is None


def test_the_members_of_an_object_are_read_and_no_other_value() -> None:
    """A list or a text may be canonical, and is still no object."""
    assert parse_object(b'{"a9z":1}') == {"a9z": 1}
    for data in (b"[]", b'"a"', b"null", b"7"):
        with pytest.raises(TamperError, match="but not an object"):
            parse_object(data)


@pytest.mark.parametrize("code", [*range(10), *range(11, 32), *range(127, 160)])
def test_no_control_character_is_written_or_read(code: int) -> None:
    """Neither as it is nor escaped."""
    with pytest.raises(RefusedError, match=f"U\\+{code:04X}"):
        canonical(f"a{chr(code)}b")
    with pytest.raises(TamperError):
        parse(f'"a\\u{code:04x}b"'.encode())


@pytest.mark.parametrize("name", ["aB", "a:b", "a?", "aZ", "a[", "a^", "a-b", "a/"])
def test_a_member_s_name_is_of_small_letters_digits_and_underscores(name: str) -> None:
    """What stands between them in ASCII is none of them."""
    with pytest.raises(RefusedError, match="is no member name"):
        canonical({name: 1})


def test_a_count_is_a_whole_number_and_no_yes() -> None:
    """From its least on; neither true, a fraction nor a text of digits is one."""
    assert [n for n in range(-2, 4) if is_count(n, least=1)] == [1, 2, 3]
    assert is_count(0, least=0)
    for odd in (True, False, 1.0, "1", None, [1]):
        assert not is_count(odd, least=0)


def test_a_fault_behind_sound_text_is_found() -> None:
    """Wherever it stands in a list or an object."""
    sound, odd = "Picea", "e\u0301"
    for value in ([sound, odd], {"a": sound, "b": odd}, [[sound], [sound, [odd]]]):
        assert "not in Unicode form NFC" in str(writing_fault(value))


def test_an_object_that_ends_in_the_middle_is_told_as_cut_off() -> None:
    """Wherever it was cut; what is whole and wrong is told as what it is."""
    whole = canonical({"a": [True, None, -12, {"b": 'x\\"\n'}], "c": False, "d": ""})
    for end in range(1, len(whole)):
        with pytest.raises(TamperError, match="the file is cut off, get it again"):
            parse(whole[:end])
    for wrong in (
        b"",
        b"[1",
        b'{"a":1}}',
        b'{"a":trve}',
        whole + b"x",
        b'{"a" 1}',
        b'{"a":-x',
    ):
        with pytest.raises(TamperError, match="not canonical"):
            parse(wrong)
