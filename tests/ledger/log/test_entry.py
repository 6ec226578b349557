"""Entries and records: seven members, two lines, and not a byte otherwise."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError, TamperError
from ledger.log import entry as entries
from ledger.log.encoding import canonical
from ledger.log.entry import (
    LARGEST_RECORD,
    MEMBERS,
    Entry,
    Record,
    at_moment,
    at_text,
    is_day,
    parse_record,
    seal,
)
from ledger.log.keys import signature_text
from ledger.log.merkle import leaf_hash
from tests.ledger.log.damage import bits_flipped, damaged
from tests.ledger.log.workshop import secret

KEY = secret("lead")
ENTRY = Entry(
    at="2026-11-24T22:08:35Z",
    event={"board": "L26-031-07", "kind": "board.weighed/1", "mass_mg": 412_000},
    index=1041,
    key=KEY.id,
    origin="ledger-0123456789abcdef",
    previous="5a" * 32,
)
RECORD = seal(ENTRY, KEY)


def sealed_anyhow(**members: Any) -> bytes:
    """Return a well-signed record of an entry with some members as they are given."""
    said = json.loads(RECORD.signed) | members
    signed = canonical({n: value for n, value in said.items() if value is not ...})
    return signed + b"\n" + signature_text(KEY.sign(signed)).encode() + b"\n"


def test_a_record_is_the_entry_and_its_signature_on_two_lines() -> None:
    """The signature covers the first line without LF; the hash covers all of it."""
    entry, signature, end = RECORD.data.split(b"\n")

    assert entry == RECORD.signed
    assert entry.startswith(b'{"at":"2026-11-24T22:08:35Z","event":{"board":')
    assert len(signature) == 88 and end == b""
    assert KEY.public.has_signed(entry, RECORD.signature)
    assert RECORD.leaf == leaf_hash(RECORD.data)


def test_a_record_is_read_as_it_was_sealed() -> None:
    """Reading gives back entry, signed bytes and signature."""
    assert parse_record(RECORD.data) == RECORD
    assert parse_record(RECORD.data).entry.kind == "board.weighed/1"
    assert RECORD.is_signed_by(KEY.public)
    assert not RECORD.is_signed_by(secret("office").public)


@given(
    st.dictionaries(
        st.from_regex(r"\A[a-z][a-z0-9_]{0,8}\Z"),
        st.integers(-(2**53) + 1, 2**53 - 1) | st.booleans() | st.just("Fichte\n¼"),
    ),
    st.integers(0, 2**53 - 1),
)
def test_any_event_survives_the_round_trip(said: dict[str, Any], index: int) -> None:
    """Whatever an event says within the profile is read as it was said."""
    event = said | {"kind": "board.weighed/1"}
    entry = replace(ENTRY, event=event, index=index)

    assert parse_record(seal(entry, KEY).data).entry == entry


@pytest.mark.parametrize("name", sorted(MEMBERS))
def test_an_entry_lacks_none_of_its_seven_members(name: str) -> None:
    """Without one of them it is no entry, however well signed."""
    with pytest.raises(TamperError, match="exactly seven members"):
        parse_record(sealed_anyhow(**{name: ...}))


def test_an_entry_has_no_eighth_member() -> None:
    """A new envelope would be a new format."""
    with pytest.raises(TamperError, match="exactly seven members"):
        parse_record(sealed_anyhow(station="bench"))


KINDS: list[object] = [
    *(None, 7, "", "board.weighed", "Board.weighed/1", "board.weighed/0", "board/1"),
    *("a.b.c/1", "a.b/01", "a.b/1\n", "a-.b/1", "a.b/1/2", ["board.weighed/1"]),
    *("a-b-.c/1", "a--b.c/1", "a.-b/1", "a.b-/1", "a:-b.c/1", "a.b:-c/1", "A.b/1"),
    *("a-B.c/1", "a.b-C/1", "a.b/-1", "a.b/1-", "a.b/x", "a1.b/1", "a.b/1x"),
]
FORMS: dict[str, list[object]] = {
    "at": [
        *(None, 7, "", "now", "2026-11-24", "2026-11-24T22:08:35"),
        *("2026-11-24 22:08:35Z", "2026-11-24T22:08:35+00:00"),
        *("2026-11-24T22:08:35.0Z", "2026-11-24t22:08:35z", "2026-11-24T22:08:35Z\n"),
        *("2026-11-24T24:00:00Z", "2026-11-24T22:08:60Z", "2026-02-29T22:08:35Z"),
        *("0000-01-01T00:00:00Z", "٢٠٢٦-11-24T22:08:35Z"),
    ],
    "event": [None, [], "board.weighed/1", {}, *({"kind": kind} for kind in KINDS)],
    "format": [None, "", "flitchbook-entry/2"],
    "index": [None, -1, True, "0", [1041]],
    "key": [None, 7, "", "5a" * 7, "5A" * 8, "5a" * 9, "5-" * 8, "g" * 16],
    "origin": [None, 7, "", ["a"], "a log", "a+log", "log\n", "\u3000", "a\u2028b"],
    "previous": [None, 0, "", "5a" * 31, "5A" * 32, "5a" * 33, "5-" * 32, "g" * 64],
}


@pytest.mark.parametrize(
    ("name", "value"), [(name, value) for name in FORMS for value in FORMS[name]]
)
def test_a_member_of_another_form_makes_no_entry(name: str, value: object) -> None:
    """Each member has one type and one form, and no other is read."""
    with pytest.raises(TamperError):
        parse_record(sealed_anyhow(**{name: value}))


@pytest.mark.parametrize(
    "kind",
    [
        *("shop.founded/1", "person.key-replaced/1", "a-b-c.d-e-f/1", "az-az.az-az/9"),
        *("work-in-hand.taken-up-again/1024", "board.weighed/305", "board.weighed/99"),
    ],
)
def test_nouns_verbs_and_versions_of_any_length_make_a_kind(kind: str) -> None:
    """Words are joined by single hyphens, and a version may have many digits."""
    entry = replace(ENTRY, event={"kind": kind})

    assert parse_record(seal(entry, KEY).data).entry.kind == kind


def test_every_hex_digit_may_stand_in_a_key_id_and_a_leaf_hash() -> None:
    """They are lower-case hex from 0 to f."""
    entry = replace(ENTRY, key="0123456789abcdef", previous="0123456789abcdef" * 4)

    assert parse_record(seal(entry, KEY).data).entry == entry


def test_what_is_entered_late_happened_when_it_says() -> None:
    """Where an entry tells no other time, it is of the moment it was entered."""
    late = replace(ENTRY, event=ENTRY.event | {"happened_at": "2026-11-20T08:00:00Z"})

    assert late.happened_at == "2026-11-20T08:00:00Z"
    assert ENTRY.happened_at == ENTRY.at


SIGNED = RECORD.signed
SAID = signature_text(RECORD.signature).encode()


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\n",
        b"\n\n",
        b"\n\n\n",
        SIGNED,
        SIGNED + b"\n",
        SIGNED + b"\n" + SAID,
        SIGNED + b"\n" + SAID + b"\n\n",
        SIGNED + b"\n" + SAID + b"\nand more",
        SIGNED + b"\n\n" + SAID + b"\n",
        SIGNED + b"\r\n" + SAID + b"\r\n",
        b"\n" + SIGNED + b"\n" + SAID + b"\n",
        SAID + b"\n" + SIGNED + b"\n",
        RECORD.data + RECORD.data,
        SIGNED + b" \n" + SAID + b"\n",
        SIGNED + b"\n" + SAID + b" \n",
        SIGNED + b"\n" + SAID[:-2] + b"\n",
        SIGNED + b"\n" + SAID[:-1] + b"A\n",
        SIGNED + b"\n" + SAID[:-4] + b"\n",
        SIGNED + b"\n" + b"\xff" * 88 + b"\n",
        SIGNED + b"\n" + SAID.replace(b"=", b"") + b"\n",
        b"[]\n" + SAID + b"\n",
        b"{}\n" + SAID + b"\n",
    ],
)
def test_what_is_not_two_such_lines_is_no_record(data: bytes) -> None:
    """Every LF has its place, and the second line is base64 of 64 bytes."""
    with pytest.raises(TamperError):
        parse_record(data)


def test_unused_bits_of_the_base64_are_zero() -> None:
    """The last letter before the padding could be another; only one is read."""
    for letter in b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/":
        other = SAID[:85] + bytes([letter]) + b"=="
        data = SIGNED + b"\n" + other + b"\n"
        if letter in b"AQgw":
            assert parse_record(data).signed == SIGNED
        else:
            with pytest.raises(TamperError, match="no signature in base64"):
                parse_record(data)


def test_a_flipped_bit_anywhere_is_seen() -> None:
    """Of no record one bit can change without a fault of form or of signature."""
    for bad in (*bits_flipped(RECORD.data), *damaged(RECORD.data)):
        assert not is_sound(bad)


def is_sound(data: bytes) -> bool:
    """Tell whether bytes are a record that the lead signed."""
    try:
        record: Record = parse_record(data)
    except TamperError:
        return False
    return record.is_signed_by(KEY.public)


def test_a_record_has_at_most_65535_bytes() -> None:
    """The largest record is sealed and read; one byte more is neither."""

    def longer(by: int) -> Entry:
        note = "x" * (LARGEST_RECORD - len(RECORD.data) - len(',"note":""') + by)
        return replace(ENTRY, event=ENTRY.event | {"note": note})

    largest = seal(longer(0), KEY)
    assert len(largest.data) == 65_535

    assert parse_record(largest.data) == largest
    with pytest.raises(RefusedError, match="65535 bytes, this one has 65536"):
        seal(longer(1), KEY)
    with pytest.raises(TamperError, match="at most 65535 bytes"):
        parse_record(sealed_anyhow(event=longer(1).event))


def test_what_is_not_canonical_is_not_sealed() -> None:
    """A float never gets as far as a signature."""
    with pytest.raises(RefusedError, match="float has no place"):
        seal(replace(ENTRY, event={"kind": "board.weighed/1", "mass_mg": 1.5}), KEY)


def test_the_first_record_follows_nothing() -> None:
    """Sixty-four zeros stand for the record before the first."""
    entry = replace(ENTRY, index=0, previous=entries.NO_PREVIOUS)

    assert entry.previous == "0000000000000000" * 4
    assert parse_record(seal(entry, KEY).data).entry == entry


@pytest.mark.parametrize(
    ("moment", "text"),
    [
        (datetime(2026, 11, 24, 22, 8, 35, tzinfo=UTC), "2026-11-24T22:08:35Z"),
        (datetime(2026, 11, 24, 22, 8, 35, 999_999, UTC), "2026-11-24T22:08:35Z"),
        (datetime(2028, 2, 29, 23, 59, 59, tzinfo=UTC), "2028-02-29T23:59:59Z"),
        (datetime(2106, 2, 7, 6, 28, 16, tzinfo=UTC), "2106-02-07T06:28:16Z"),
        (
            datetime(2027, 1, 1, 1, tzinfo=timezone(timedelta(hours=2))),
            "2026-12-31T23:00:00Z",
        ),
    ],
)
def test_a_moment_is_written_as_whole_seconds_of_utc(
    moment: datetime, text: str
) -> None:
    """Leap days, the end of 32-bit seconds and other zones are written as RFC 3339."""
    assert at_text(moment) == text
    assert at_moment(text) == moment.replace(microsecond=0)


def test_a_day_is_written_one_way_and_is_in_the_calendar() -> None:
    """A leap day is one in leap years only; a number is none."""
    assert is_day("2026-11-24") and is_day("2028-02-29")
    for odd in ("2026-02-29", "2026-2-9", "2026-11-24T00", "", 20261124, None, ["a"]):
        assert not is_day(odd)
