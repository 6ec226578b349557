"""A witness signs what goes on from what it remembers, and keeps what proves a fork."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

import pytest

from ledger.acts.witnessing import Holder, needs_pin, new_key_file, open_key, witness
from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log.checkpoint import NoteKey
from ledger.log.cosignature import ForkError, cosigned_at
from ledger.log.keyfile import WrongPinError, sealed
from tests.ledger.log.witnessed import (
    COSIGNED,
    LEAVES,
    LOG,
    NOTARY,
    ORIGIN,
    SECONDS,
    WITNESS,
    WITNESS_KEY,
    note,
    request,
)
from tests.skerrymoor import CHEAP

HOLDER = Holder(name=WITNESS, secret=WITNESS_KEY)
NOW = datetime.fromtimestamp(SECONDS, UTC)


def asked(
    folder: Path, data: str, *, log: NoteKey | None = None, now: datetime = NOW
) -> str:
    """Return what the witness replies."""
    return witness(folder, data.encode(), holder=HOLDER, log=log, now=now).line


def memory(folder: Path) -> Path:
    """Return where the witness remembers the log."""
    return folder / sha256(ORIGIN.encode()).hexdigest()


def test_the_published_head_is_signed_as_published(tmp_path: Path) -> None:
    """From three entries to eight; the head is remembered as it was signed."""
    asked(tmp_path, request(0, 3).text, log=LOG)

    assert asked(tmp_path, request(3, 8).text) == COSIGNED
    assert (memory(tmp_path) / "checkpoint").read_text() == note(8) + COSIGNED
    assert (memory(tmp_path) / "log").read_text() == f"{LOG}\n"


def test_every_size_follows_from_every_smaller_one(tmp_path: Path) -> None:
    """Also the same again, with a new time."""
    for new in range(1, 9):
        for old in range(1, new + 1):
            folder = tmp_path / f"{old}-{new}"
            asked(folder, request(0, old).text, log=LOG)
            line = asked(folder, request(old, new).text)
            assert cosigned_at(note(new) + line, NOTARY) == SECONDS


def test_a_log_that_it_was_not_told_about_is_not_signed(tmp_path: Path) -> None:
    """Nor one whose key is given for another, or another time otherwise."""
    other = NoteKey("example.org/another", LOG.public)
    false = NoteKey(ORIGIN, NOTARY.public)
    with pytest.raises(NotFoundError, match="was not told about the log example"):
        asked(tmp_path, request(0, 3).text)
    with pytest.raises(RefusedError, match="is the key of example"):
        asked(tmp_path, request(0, 3).text, log=other)
    with pytest.raises(TamperError, match="no key that is known here"):
        asked(tmp_path, request(0, 3).text, log=false)
    asked(tmp_path, request(0, 3).text, log=LOG)
    with pytest.raises(RefusedError, match="another key of"):
        asked(tmp_path, request(3, 8).text, log=false)


def test_a_fork_is_told_and_both_notes_are_kept(tmp_path: Path) -> None:
    """And what it remembers stays as it is."""
    asked(tmp_path, request(0, 8).text, log=LOG)
    before = (memory(tmp_path) / "checkpoint").read_text()
    other = note(8, (*LEAVES[:7], LEAVES[0]))
    with pytest.raises(ForkError, match=r"FORK: .* both notes are kept"):
        asked(tmp_path, replace(request(8, 8), note=other).text)

    kept = {path.read_text() for path in memory(tmp_path).glob("fork-*.note")}
    assert kept == {before, other}
    assert (memory(tmp_path) / "checkpoint").read_text() == before


def test_what_is_refused_leaves_nothing_behind(tmp_path: Path) -> None:
    """A size that is another, a log that became shorter, hashes that do not fit."""
    asked(tmp_path, request(0, 5).text, log=LOG)
    before = sorted(path.read_bytes() for path in memory(tmp_path).glob("[cl]*"))
    for bad, why in (
        (request(3, 8), "given again from 5"),
        (request(3, 4), "held against its log"),
        (replace(request(5, 8), path=request(3, 8).path), "nothing is signed"),
        (replace(request(5, 8), path=()), "nothing is signed"),
    ):
        with pytest.raises((RefusedError, TamperError), match=why):
            asked(tmp_path, bad.text)

    assert sorted(p.read_bytes() for p in memory(tmp_path).glob("[cl]*")) == before


@pytest.mark.parametrize("name", ["checkpoint", "log"])
@pytest.mark.parametrize("data", [b"", b"\xff", b"nothing\n"])
def test_a_damaged_memory_signs_nothing(tmp_path: Path, name: str, data: bytes) -> None:
    """Else it would begin anew, and a fork would pass."""
    asked(tmp_path, request(0, 3).text, log=LOG)
    (memory(tmp_path) / name).write_bytes(data)

    with pytest.raises((RefusedError, TamperError)):
        asked(tmp_path, request(0, 8).text)


def test_a_note_full_of_strange_lines_does_not_fill_the_memory(tmp_path: Path) -> None:
    """What others signed stands in the shop's note, and is not remembered here."""
    full = replace(request(0, 3), note=note(3) + COSIGNED * 99)
    asked(tmp_path, full.text, log=LOG)

    assert (memory(tmp_path) / "checkpoint").read_text().count("\n— ") == 2
    assert asked(tmp_path, request(3, 8).text) == COSIGNED


def test_strange_lines_under_the_log_s_own_name_stop_no_witness(
    tmp_path: Path,
) -> None:
    """Only the line that its key signed is remembered, and once."""
    strange = "— " + f"{ORIGIN} " + "A" * 92 + "\n"
    whole = note(3)
    own = whole.rpartition("\n\n")[2]
    full = replace(request(0, 3), note=whole + strange * 98 + own)
    asked(tmp_path, full.text, log=LOG)

    assert (memory(tmp_path) / "checkpoint").read_text().count("\n— ") == 2
    assert asked(tmp_path, request(3, 8).text) == COSIGNED


def test_two_histories_of_other_sizes_leave_what_may_prove_it(tmp_path: Path) -> None:
    """Both heads and what was given are kept, a few times and no more."""
    asked(tmp_path, request(0, 5).text, log=LOG)
    before = (memory(tmp_path) / "checkpoint").read_text()
    other = replace(request(5, 8), note=note(8, LEAVES[::-1]))
    with pytest.raises(TamperError, match="both heads and what was given are kept"):
        asked(tmp_path, other.text)

    kept = {path.read_text() for path in memory(tmp_path).glob("doubt-*.note")}
    assert kept == {before, other.note, other.text}
    for number in range(20):
        bad = replace(request(5, 8), path=(bytes([number]) * 32,))
        with pytest.raises(TamperError, match="two histories: show what is kept"):
            asked(tmp_path, bad.text)
    assert len(list(memory(tmp_path).glob("doubt-*"))) <= 18


def test_what_cannot_be_remembered_is_not_signed(tmp_path: Path) -> None:
    """The memory is written first."""
    (tmp_path / "file").write_text("")

    with pytest.raises(RefusedError, match="nothing is signed"):
        asked(tmp_path / "file", request(0, 3).text, log=LOG)


def test_a_key_file_comes_back_with_its_name(
    entropy: Callable[[int], bytes],
) -> None:
    """With a PIN and without one."""
    for pin in (None, "8812"):
        data, key = new_key_file("harbour.example", pin, entropy)
        assert needs_pin(data) == (pin is not None)
        assert open_key(data, pin).key == key

    with pytest.raises(WrongPinError):
        open_key(data, "8813")
    for name in ("", "two words", "a+b", "x" * 101):
        with pytest.raises(RefusedError, match="no name of a witness"):
            new_key_file(name, None, entropy)


def test_no_other_key_is_a_witness(entropy: Callable[[int], bytes]) -> None:
    """One key, one purpose; and a damaged file is told."""
    data, _ = new_key_file("harbour.example", None, entropy)
    root = sealed(
        WITNESS_KEY, purpose="root", pin="1", entropy=entropy, stretching=CHEAP
    )
    whole = data.decode()
    inner = whole[whole.index('"key":') + 6 : whole.index(',"name"')]

    with pytest.raises(TamperError, match="made for something else"):
        open_key(whole.replace(inner, root.decode()).encode(), "1")
    for bad in (b"", b"{}", data[:-1], data.replace(b"/1", b"/2", 1)):
        with pytest.raises(TamperError):
            open_key(bad, None)
