"""A sealed file opens with its pass-phrase, whole and in its place, or not at all."""

import hashlib
import hmac
import json
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import LedgerError, NotFoundError, RefusedError, TamperError
from ledger.log.keyfile import Stretching
from ledger.log.sealedfile import (
    PIECE,
    TAG_SIZE,
    Lock,
    WrongPassPhraseError,
    lock_of,
    new_lock,
    pieces_of,
    seal,
    unseal,
)
from tests.conftest import entropy_from

PHRASE = "spruce lining bracket glue"
QUICK = Stretching(memory_kib=64, iterations=1, lanes=1)
LOCK = new_lock(PHRASE, entropy=entropy_from("lock"), stretching=QUICK)
NAME = "vault.sqlite3"
BORDERS = [0, 1, PIECE - 1, PIECE, PIECE + 1, 2 * PIECE, 2 * PIECE + 1]


def sealed(folder: Path, data: bytes, *, lock: Lock = LOCK, name: str = NAME) -> Path:
    """Seal some bytes into a new file of a folder."""
    path = folder / f"{len(list(folder.iterdir()))}.sealed"
    seal([data], path, name=name, lock=lock, entropy=entropy_from(path.name))
    return path


def opened(path: Path, *, lock: Lock = LOCK, name: str = NAME) -> bytes:
    """Return all that a sealed file holds."""
    return b"".join(unseal(path, name=name, lock=lock))


def length_of_line(path: Path) -> int:
    """Return where the pieces of a sealed file begin."""
    return path.read_bytes().index(b"\n") + 1


def expanded(secret: bytes, info: bytes) -> bytes:
    """Return one block of HKDF-SHA-256 without a salt, as RFC 5869 writes it."""
    extracted = hmac.new(bytes(32), secret, hashlib.sha256).digest()
    return hmac.new(extracted, info + b"\x01", hashlib.sha256).digest()


def test_another_reader_opens_it_by_its_description(tmp_path: Path) -> None:
    """Line, key, nonces and ends are those that the module describes."""
    data = bytes(range(256)) * 600
    raw = sealed(tmp_path, data).read_bytes()
    line, _, rest = raw.partition(b"\n")
    said = json.loads(line)
    key = expanded(LOCK.secret, b"flitchbook-sealed-file/1 " + line + b"\n")
    pieces = [rest[n : n + 65_552] for n in range(0, len(rest), 65_552)]
    plain = b""
    for number, piece in enumerate(pieces):
        end = bytes([number == len(pieces) - 1])
        nonce = bytes.fromhex(said["prefix"]) + number.to_bytes(4, "big") + end
        plain += AESGCM(key).decrypt(nonce, piece, None)

    assert plain == data
    assert (said["format"], said["name"]) == ("flitchbook-sealed-file/1", NAME)
    assert said["kdf"]["name"] == "argon2id"


@pytest.mark.parametrize("size", BORDERS)
def test_what_was_sealed_comes_out_at_every_border(tmp_path: Path, size: int) -> None:
    """However it was handed over, and none of it stands in the sealed file."""
    data = hashlib.shake_128(b"data").digest(size)
    path = sealed(tmp_path, data)
    plain = tmp_path / "plain"
    plain.write_bytes(data)
    again = tmp_path / "again"
    parts = pieces_of(plain)
    seal(parts, again, name=NAME, lock=LOCK, entropy=entropy_from("again"))

    assert opened(path) == opened(again) == data
    assert size < 16 or data[:16] not in path.read_bytes()
    assert path.stat().st_mode & 0o777 == 0o600


@given(parts=st.lists(st.integers(0, PIECE + 9), max_size=4))
def test_parts_of_any_size_come_out_as_one(
    tmp_path_factory: pytest.TempPathFactory, parts: list[int]
) -> None:
    """A stream has no borders of its own."""
    path = tmp_path_factory.mktemp("parts") / "one.sealed"
    stream = [bytes([n + 1]) * size for n, size in enumerate(parts)]
    seal(stream, path, name=NAME, lock=LOCK, entropy=entropy_from("parts"))

    assert opened(path) == b"".join(stream)


def test_each_flipped_bit_of_a_small_file_is_found(tmp_path: Path) -> None:
    """In the first line too: nothing of it can be changed unseen."""
    path = sealed(tmp_path, b"Maura Kiely")
    raw = path.read_bytes()
    for at in range(len(raw)):
        path.write_bytes(raw[:at] + bytes([raw[at] ^ 1]) + raw[at + 1 :])
        with pytest.raises(LedgerError):
            opened(path)

    path.write_bytes(raw)
    assert opened(path) == b"Maura Kiely"


def test_a_file_that_is_cut_off_is_found_at_every_piece(tmp_path: Path) -> None:
    """At a border it says so; within a piece it was changed."""
    path = sealed(tmp_path, bytes(3 * PIECE + 5))
    raw, begin = path.read_bytes(), length_of_line(path)
    for count in (1, 2, 3):
        path.write_bytes(raw[: begin + count * (PIECE + TAG_SIZE)])
        with pytest.raises(TamperError, match=f"cut off after its piece {count - 1}"):
            opened(path)
    for size in (begin, begin + 1, begin + PIECE, len(raw) - 1):
        path.write_bytes(raw[:size])
        with pytest.raises(TamperError, match="was changed in its piece"):
            opened(path)
    for size in (0, 1, begin - 1):
        path.write_bytes(raw[:size])
        with pytest.raises(TamperError, match="its first line has no end"):
            opened(path)


def test_pieces_that_changed_places_or_were_added_are_found(tmp_path: Path) -> None:
    """Each bears its number, and the last one that it is the last."""
    path = sealed(tmp_path, bytes(3 * PIECE))
    raw, begin = path.read_bytes(), length_of_line(path)
    line, step = raw[:begin], PIECE + TAG_SIZE
    one, two, three = (raw[begin + n * step : begin + (n + 1) * step] for n in range(3))
    for pieces in (two + one + three, one + one + three, one + three):
        path.write_bytes(line + pieces)
        with pytest.raises(TamperError, match="was changed in its piece"):
            opened(path)
    path.write_bytes(raw + three)
    with pytest.raises(TamperError, match="goes on after its end"):
        opened(path)


def test_a_file_in_another_s_place_is_found(tmp_path: Path) -> None:
    """Whether of the same copy under another name, or of another copy."""
    other = new_lock(PHRASE, entropy=entropy_from("other"), stretching=QUICK)
    path, strange = sealed(tmp_path, b"a"), sealed(tmp_path, b"b", lock=other)
    with pytest.raises(TamperError, match="lies where keys/log"):
        opened(path, name="keys/log.json")
    with pytest.raises(TamperError, match="is of another copy"):
        opened(strange)

    assert opened(strange, lock=other) == b"b"


def test_a_wrong_pass_phrase_is_told_from_damage(tmp_path: Path) -> None:
    """Before a piece is read; the right one gives the same lock again."""
    path = sealed(tmp_path, b"a")
    with pytest.raises(WrongPassPhraseError, match="that pass-phrase does not open"):
        lock_of(path, f"{PHRASE}s")

    assert lock_of(path, PHRASE) == LOCK
    with pytest.raises(NotFoundError, match="cannot be read"):
        lock_of(tmp_path / "none", PHRASE)
    with pytest.raises(RefusedError, match="of 11 characters seals nothing"):
        new_lock("short words", entropy=entropy_from("short"), stretching=QUICK)
    with pytest.raises(RefusedError, match="of 5 different characters is soon guessed"):
        new_lock("aaaabbbbccccddddeeee", entropy=entropy_from("a"), stretching=QUICK)


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        (b'"memory_kib":64', b'"memory_kib":99999999', "asks for memory_kib 99999999"),
        (b"sealed-file/1", b"sealed-file/2", "is no flitchbook-sealed-file/1"),
        (b'"piece":65536', b'"piece":65537', "is damaged"),
        (b'{"check"', b'["check"', "is damaged"),
        (b'"kdf":{', b'"kdg":{', "is no flitchbook-sealed-file/1"),
        (b'"argon2id"', b'"argon2xx"', "does not say how its pass-phrase is used"),
    ],
)
def test_a_hostile_first_line_is_refused_in_one_sentence(
    tmp_path: Path, old: bytes, new: bytes, why: str
) -> None:
    """Before it costs any memory."""
    path = sealed(tmp_path, b"a")
    raw = path.read_bytes()
    path.write_bytes(raw.replace(old, new, 1))

    assert old in raw
    with pytest.raises(TamperError, match=why):
        lock_of(path, PHRASE)
