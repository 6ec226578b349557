"""Witnesses sign what goes on, byte for byte as published, and nothing else."""

import base64
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log.checkpoint import NoteKey, sign_note, verified_checkpoint
from ledger.log.cosignature import (
    LATEST,
    TIME_SIZE,
    ForkError,
    OtherSizeError,
    ShorterError,
    WitnessKey,
    cosign,
    cosignature_lines,
    cosigned_at,
    cosigned_message,
    parse_request,
    require_going_on,
    with_lines,
)
from tests.ledger.log.damage import broken_paths, flipped
from tests.ledger.log.witnessed import (
    COSIGNED,
    LEAVES,
    LOG,
    LOG_KEY,
    NOTARY,
    SECONDS,
    VKEY,
    WITNESS,
    WITNESS_KEY,
    WITNESS_VKEY,
    head,
    note,
    request,
)

Standards = Callable[[str], Any]


def test_a_second_writer_comes_to_the_same_bytes(standards: Standards) -> None:
    """Keys, message, cosigned note and request of another implementation."""
    known = standards("notes_checkpoints.json")["generated_log_artifacts"]
    signed = known["checkpoint_signed"]

    assert (known["log_vkey"], known["witness_vkey"]) == (VKEY, WITNESS_VKEY)
    assert cosigned_message(head(8).text, SECONDS).decode() == known["cosigned_message"]
    assert note(8) + COSIGNED == signed
    assert request(3, 8).text == known["add_checkpoint_body_from_old3"]
    assert cosigned_at(signed, NOTARY) == known["witness_timestamp"]


def test_the_published_keys_sign_the_published_line() -> None:
    """RFC 8032's second key over the classic tree of eight."""
    line = cosign(head(8).text, name=WITNESS, secret=WITNESS_KEY, seconds=SECONDS)

    assert (str(LOG), str(NOTARY)) == (VKEY, WITNESS_VKEY)
    assert WitnessKey.parse(WITNESS_VKEY) == NOTARY
    assert line == COSIGNED
    assert cosigned_at(note(8) + line, NOTARY) == SECONDS
    assert cosigned_at(note(8), NOTARY) is None


def test_a_key_of_one_type_is_none_of_another() -> None:
    """A log's key checks no witness, and a witness's no log."""
    with pytest.raises(RefusedError):
        WitnessKey.parse(VKEY)
    with pytest.raises(RefusedError):
        NoteKey.parse(WITNESS_VKEY)
    with pytest.raises(RefusedError, match="does not fit its hash"):
        WitnessKey.parse(WITNESS_VKEY.replace("8f18e3dc", "8f18e3dd"))


def test_whoever_knows_no_witness_reads_the_checkpoint_all_the_same() -> None:
    """A line of another type is passed over."""
    assert verified_checkpoint(note(8) + COSIGNED, [LOG]) == head(8)


def test_a_request_is_read_as_it_was_written_from_every_size() -> None:
    """From each size to each, and it goes on in each."""
    for new in range(1, 9):
        for old in range(new + 1):
            given_out = request(old, new)
            assert parse_request(given_out.text) == given_out
            assert given_out.head == head(new)
            known = head(old) if old else None
            require_going_on(given_out, LOG, known)


def test_of_two_times_the_later_counts() -> None:
    """A witness that is asked again says when again."""
    later = cosign(head(8).text, name=WITNESS, secret=WITNESS_KEY, seconds=SECONDS + 9)

    assert cosigned_at(note(8) + later + COSIGNED, NOTARY) == SECONDS + 9


@given(st.integers(1, 2**63 - 1), st.integers(1, 8))
@example(2**63 - 1, 8)
@example(1, 1)
def test_any_time_is_signed_and_read(seconds: int, size: int) -> None:
    """The time is part of what is signed."""
    line = cosign(head(size).text, name=WITNESS, secret=WITNESS_KEY, seconds=seconds)

    assert cosigned_at(note(size) + line, NOTARY) == seconds
    with pytest.raises(TamperError, match="does not verify"):
        cosigned_at(note(size % 8 + 1) + line, NOTARY)


@pytest.mark.parametrize("seconds", [-1, 0, 2**63])
def test_what_is_no_time_is_not_signed(seconds: int) -> None:
    """Neither nought nor what does not fit."""
    with pytest.raises(RefusedError, match="no time of a cosignature"):
        cosign(head(8).text, name=WITNESS, secret=WITNESS_KEY, seconds=seconds)


@pytest.mark.parametrize("seconds", [0, LATEST + 1])
def test_what_is_no_time_is_not_read_either(seconds: int) -> None:
    """Though the witness's key signed it: nobody could say when it did."""
    signature = WITNESS_KEY.sign(cosigned_message(head(8).text, seconds))
    data = NOTARY.hash + seconds.to_bytes(TIME_SIZE, "big") + signature
    line = f"— {WITNESS} {base64.b64encode(data).decode()}\n"

    with pytest.raises(TamperError, match="does not verify"):
        cosigned_at(note(8) + line, NOTARY)


def test_no_byte_of_a_cosignature_can_change() -> None:
    """A changed line is another's, or is refused."""
    for bad in flipped(COSIGNED.encode()):
        try:
            at = cosigned_at(note(8) + bad.decode("utf-8", errors="replace"), NOTARY)
        except TamperError:
            continue
        assert at is None


def test_no_line_of_a_request_can_change() -> None:
    """Old size, each hash, and each byte of the note: nothing goes on."""
    text = request(3, 8).text
    for bad in flipped(text.encode()):
        with pytest.raises(LedgerError):
            changed = parse_request(bad.decode("utf-8", errors="replace"))
            require_going_on(changed, LOG, head(3))


def test_no_broken_path_goes_on() -> None:
    """A hash flipped, dropped, doubled or swapped shows nothing."""
    good = request(3, 8)
    for path in broken_paths(good.path):
        with pytest.raises(TamperError, match="nothing is signed"):
            require_going_on(replace(good, path=tuple(path)), LOG, head(3))


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("", "begins with 'old' and a size"),
        ("old 3", "begins with 'old' and a size"),
        ("old 3\n\n", "begins with 'old' and a size"),
        ("old 03\n\n" + note(8), "begins with 'old' and a size"),
        ("old -1\n\n" + note(8), "begins with 'old' and a size"),
        ("Old 3\n\n" + note(8), "begins with 'old' and a size"),
        (f"old {10**16}\n\n{note(8)}", "begins with 'old' and a size"),
        ("old 3\nAAAA\n\n" + note(8), "at most 63 hashes"),
        ("old 3\n\nnothing", "a text, a blank line"),
        ("old 3\n\n" + sign_note("a\n", name="b", secret=LOG_KEY), "root hash"),
        (note(8), "begins with 'old' and a size"),
    ],
)
def test_what_is_no_request_is_refused(text: str, wanted: str) -> None:
    """Each says what is wanted."""
    with pytest.raises(TamperError, match=wanted):
        parse_request(text)


@given(st.integers(0, 10**16 - 1))
@example(1_029_384_756_473_829)
@example(10**16 - 1)
def test_a_request_begins_at_any_size(size: int) -> None:
    """In as many digits as a tree's size may have."""
    assert parse_request(f"old {size}\n\n{note(8)}").old == size


def test_a_request_holds_as_many_hashes_as_a_tree_may_need() -> None:
    """And not one more."""
    text = f"{base64.b64encode(LEAVES[1]).decode()}\n"

    most = parse_request("old 3\n" + text * 63 + "\n" + note(8))
    assert most.path == (LEAVES[1],) * 63
    with pytest.raises(TamperError, match="at most 63 hashes"):
        parse_request("old 3\n" + text * 64 + "\n" + note(8))


def test_a_log_is_signed_for_from_its_first_entry_or_before_it() -> None:
    """From nothing there is nothing to show: hashes are too many, or another root."""
    require_going_on(request(0, 0), LOG, None)
    other = sign_note(
        replace(head(0), root=LEAVES[1]).text, name=LOG.name, secret=LOG_KEY
    )
    for bad in (
        replace(request(0, 8), path=(LEAVES[1],)),
        replace(request(0, 0), path=(LEAVES[1],)),
        replace(request(0, 0), note=other),
    ):
        with pytest.raises(TamperError, match="nothing is signed"):
            require_going_on(bad, LOG, None)


def test_one_size_with_two_roots_is_a_fork() -> None:
    """Wherever the request says it begins."""
    other = (*LEAVES[:7], LEAVES[0])
    for old in (0, 3, 8):
        forged = replace(request(old, 8), note=note(8, other))
        with pytest.raises(ForkError, match="FORK"):
            require_going_on(forged, LOG, head(8))


def test_another_size_than_the_witness_knows_is_told() -> None:
    """So that the shop can give it again from there."""
    with pytest.raises(OtherSizeError, match="is of 3 entries") as told:
        require_going_on(request(2, 8), LOG, head(3))

    assert told.value.size == 3
    with pytest.raises(OtherSizeError, match="is of 0 entries"):
        require_going_on(request(2, 8), LOG, None)


def test_a_log_that_became_shorter_is_told() -> None:
    """It may be an old request, or entries are lost; nothing is signed."""
    with pytest.raises(ShorterError, match="is of 5 entries, and 8 were signed for"):
        require_going_on(request(3, 5), LOG, head(8))
    with pytest.raises(RefusedError, match="begins at 8 entries and its checkpoint"):
        require_going_on(replace(request(3, 5), old=8), LOG, None)


def test_another_log_signs_nothing_here() -> None:
    """Its key is not the one that the witness was told."""
    with pytest.raises(TamperError, match="no key that is known here"):
        require_going_on(request(0, 8), NoteKey(LOG.name, NOTARY.public), None)


def test_a_reply_is_its_lines_or_a_whole_note() -> None:
    """Either way the line comes out, and stands under the note once."""
    assert cosignature_lines(COSIGNED) == (COSIGNED,)
    assert cosignature_lines(note(8) + COSIGNED)[1] == COSIGNED
    assert with_lines(note(8), (COSIGNED,)) == note(8) + COSIGNED
    assert with_lines(note(8) + COSIGNED, (COSIGNED,)) == note(8) + COSIGNED
    assert cosignature_lines(f"\n{COSIGNED}") == (COSIGNED,)
    for bad in ("", "nothing", f"{COSIGNED}nothing"):
        with pytest.raises(TamperError, match="replies with lines"):
            cosignature_lines(bad)
    with pytest.raises(TamperError, match="cannot stand under the note"):
        with_lines(note(8), ("— x\n",))


def test_lines_join_a_note_one_behind_the_other() -> None:
    """What its text says is none of its signatures, though it reads like one."""
    later = cosign(head(8).text, name=WITNESS, secret=WITNESS_KEY, seconds=SECONDS + 9)
    quoted = sign_note(head(8).text + COSIGNED, name=LOG.name, secret=LOG_KEY)

    assert with_lines(note(8), (COSIGNED, later)) == note(8) + COSIGNED + later
    assert with_lines(quoted, (COSIGNED,)) == quoted + COSIGNED
