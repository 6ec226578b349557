"""Tests of files kept by what they hold."""

import hashlib
import os
import subprocess
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log import attachments

SALT = bytes(range(32))
EMPTY = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Name a shop's folder of attachments, not made yet."""
    return tmp_path / "attachments"


@pytest.mark.parametrize(("data", "digest"), [(b"", EMPTY), (b"abc", ABC)])
def test_a_file_lies_under_its_digest(folder: Path, data: bytes, digest: str) -> None:
    """The digests of nothing and of "abc" are those of FIPS 180-4's examples."""
    assert attachments.put(folder, data) == digest
    assert attachments.get(folder, digest).read_bytes() == data
    assert attachments.read(folder, digest) == data
    attachments.verify(folder, digest)


def test_a_file_put_from_disk_is_the_one_that_sha256sum_knows(
    folder: Path, tmp_path: Path
) -> None:
    """A recording of several pieces is streamed, and its digest is the known one."""
    recording = tmp_path / "tap.wav"
    recording.write_bytes(b"rings" * 700_000)
    digest = attachments.put(folder, recording)
    said = subprocess.run(
        ["sha256sum", folder / digest], capture_output=True, check=True
    )

    assert recording.stat().st_size > 3 * attachments.PIECE
    assert said.stdout.decode().split()[0] == digest


@given(data=st.binary(max_size=200), salt=st.binary(min_size=32, max_size=32))
def test_a_salt_hides_what_a_file_is(
    data: bytes, salt: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """The salted digest is SHA-256 of the salt and the file, and needs the salt."""
    folder = tmp_path_factory.mktemp("shop")
    digest = attachments.put(folder, data, salt=salt)

    assert digest == hashlib.sha256(salt + data).hexdigest()
    assert attachments.read(folder, digest, salt=salt) == data
    with pytest.raises(TamperError):
        attachments.verify(folder, digest)


def test_putting_a_file_twice_changes_nothing(folder: Path) -> None:
    """One file and nothing else is there afterwards."""
    digests = {attachments.put(folder, b"note") for _ in range(3)}

    assert attachments.digests(folder) == tuple(digests)
    assert [path.name for path in folder.iterdir()] == list(digests)


def test_putting_a_file_again_mends_a_damaged_one(folder: Path) -> None:
    """The whole file replaces whatever lay in its place."""
    digest = attachments.put(folder, b"note")
    (folder / digest).write_bytes(b"nope")
    attachments.put(folder, b"note")

    attachments.verify(folder, digest)


@given(place=st.integers(0, 63), bit=st.integers(0, 7))
def test_every_altered_bit_is_found(
    place: int, bit: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """The answer names the digest, and the one found instead."""
    folder = tmp_path_factory.mktemp("shop")
    data = bytearray(b"x" * 64)
    digest = attachments.put(folder, bytes(data))
    data[place] ^= 1 << bit
    (folder / digest).write_bytes(data)

    found = hashlib.sha256(data).hexdigest()
    with pytest.raises(TamperError, match=f"{digest} now has the digest {found}"):
        attachments.verify(folder, digest)
    with pytest.raises(TamperError):
        attachments.read(folder, digest)


def test_a_file_cut_off_is_found(folder: Path) -> None:
    """A shorter file has another digest."""
    digest = attachments.put(folder, b"a long note")
    (folder / digest).write_bytes(b"a long")

    with pytest.raises(TamperError, match="bring it back from a backup"):
        attachments.verify(folder, digest)


def test_a_missing_file_is_told(folder: Path) -> None:
    """A digest without its file is not found."""
    attachments.put(folder, b"note")

    with pytest.raises(NotFoundError, match="bring it back from a backup"):
        attachments.verify(folder, EMPTY)


@pytest.mark.parametrize(
    "digest", ["", "../keys/log", ABC.upper(), ABC + "\n", ABC[1:]]
)
def test_only_a_digest_names_a_file(folder: Path, digest: str) -> None:
    """No name leads out of the folder."""
    with pytest.raises(RefusedError, match="is no digest of a file"):
        attachments.get(folder, digest)


def test_too_large_a_file_leaves_nothing(folder: Path, tmp_path: Path) -> None:
    """The limit is the largest size allowed, and what is beyond it leaves no trace."""
    photo = tmp_path / "photo.jpg"
    photo.write_bytes(b"1234567890")

    assert attachments.put(folder, photo, limit=10)
    with pytest.raises(RefusedError, match=r"photo.jpg has more than 9 bytes"):
        attachments.put(folder, photo, limit=9)
    assert len(list(folder.iterdir())) == 1


def test_only_regular_files_are_kept(folder: Path, tmp_path: Path) -> None:
    """A folder, a pipe, a link and a missing file are refused, and nobody waits."""
    (tmp_path / "file").write_bytes(b"note")
    (tmp_path / "link").symlink_to(tmp_path / "file")
    os.mkfifo(tmp_path / "pipe")

    for name in ("", "link", "pipe", "missing"):
        with pytest.raises(RefusedError, match="choose a file"):
            attachments.put(folder, tmp_path / name)
    assert attachments.digests(folder) == ()


def test_a_link_in_the_place_of_a_file_is_found(folder: Path, tmp_path: Path) -> None:
    """Even one that leads to the very same bytes."""
    digest = attachments.put(folder, b"note")
    (folder / digest).rename(tmp_path / "elsewhere")
    (folder / digest).symlink_to(tmp_path / "elsewhere")

    with pytest.raises(TamperError, match="is not the file that was kept"):
        attachments.verify(folder, digest)


def test_a_salt_of_another_length_is_refused(folder: Path) -> None:
    """A short salt would not hide the file."""
    with pytest.raises(RefusedError, match="a salt has 32 bytes, not 31"):
        attachments.put(folder, b"note", salt=SALT[1:])


def test_removing_is_for_good_and_may_be_repeated(folder: Path) -> None:
    """A removed file is gone, and removing it again is no fault."""
    digest = attachments.put(folder, b"note", salt=SALT)
    attachments.remove(folder, digest)
    attachments.remove(folder, digest)

    assert list(folder.iterdir()) == []


def test_what_a_power_cut_left_is_swept_and_what_is_being_written_is_not(
    folder: Path,
) -> None:
    """Only unfinished files older than the given time go."""
    digest = attachments.put(folder, b"note")
    (folder / "old.part").write_bytes(b"half")
    (folder / "new.part").write_bytes(b"half")
    os.utime(folder / "old.part", (1_000_000, 1_000_000))

    assert attachments.sweep(folder, before=datetime(2001, 9, 9, tzinfo=UTC)) == 1
    assert sorted(p.name for p in folder.iterdir()) == sorted([digest, "new.part"])
    assert attachments.digests(folder) == (digest,)


@given(data=st.binary(max_size=200), salt=st.sampled_from([b"", SALT]))
def test_a_digest_is_known_before_anything_is_kept(
    data: bytes, salt: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """It is the one under which the file then lies."""
    folder = tmp_path_factory.mktemp("shop")
    digest = attachments.digest_of(data, salt=salt)
    assert attachments.digests(folder) == ()

    assert attachments.put(folder, data, salt=salt, announced=digest) == digest


def test_a_file_that_is_not_the_announced_one_is_not_kept(folder: Path) -> None:
    """It changed between two readings."""
    digest = attachments.digest_of(b"one")
    with pytest.raises(RefusedError, match="changed while it was read"):
        attachments.put(folder, b"two", announced=digest)

    assert list(folder.iterdir()) == []
