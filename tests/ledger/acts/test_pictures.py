"""A photograph is a whole JPEG or PNG of a reasonable size, or it is refused."""

import io
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image

from ledger.acts import pictures
from ledger.acts.pictures import beside_words, picture_bytes
from ledger.errors import NotFoundError, RefusedError
from tests.ledger.acts.photographed import photographed, scanned


def picture(kind: str, size: tuple[int, int] = (160, 120)) -> bytes:
    """Return a picture with something to see in it."""
    image = Image.linear_gradient("L").resize(size).convert("RGB")
    out = io.BytesIO()
    image.save(out, kind)
    return out.getvalue()


def chunk(name: bytes, data: bytes) -> bytes:
    """Return a chunk of a PNG file."""
    checked = zlib.crc32(name + data)
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", checked)


def endless() -> bytes:
    """Return a PNG of a few bytes that says it is a hundred thousand dots wide."""
    header = struct.pack(">IIBBBBB", 100_000, 100_000, 8, 2, 0, 0, 0)
    body = zlib.compress(b"\0" * 1000)
    chunks = chunk(b"IHDR", header) + chunk(b"IDAT", body) + chunk(b"IEND", b"")
    return pictures.MAGIC["PNG"] + chunks


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_whole_picture_is_read_as_it_is(kind: str, tmp_path: Path) -> None:
    """Nothing of it is changed or left out."""
    path = tmp_path / "picture"
    path.write_bytes(picture(kind))

    assert picture_bytes(path) == picture(kind)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_picture_cut_off_anywhere_is_refused(kind: str, tmp_path: Path) -> None:
    """From the first byte to the last but one."""
    whole, path = picture(kind), tmp_path / "picture"
    for size in {*range(0, len(whole), 37), len(whole) - 1, len(whole) - 2}:
        path.write_bytes(whole[:size])
        with pytest.raises(RefusedError, match=r"cut off or damaged|is no picture"):
            picture_bytes(path)


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "is no picture"),
        (b"%PDF-1.7", "is no picture"),
        (b"GIF89a", "is no picture"),
        (b"\xff\xd8\xff\xd8" * 50, "cut off or damaged"),
        (pictures.MAGIC["PNG"] + b"\0" * 100, "cut off or damaged"),
        (endless(), "save it smaller"),
    ],
)
def test_what_is_no_picture_is_refused(data: bytes, why: str, tmp_path: Path) -> None:
    """In one sentence, whatever its first bytes promise."""
    path = tmp_path / "picture"
    path.write_bytes(data)
    with pytest.raises(RefusedError, match=why) as refusal:
        picture_bytes(path)

    assert "\n" not in str(refusal.value)


def test_a_picture_larger_than_a_photograph_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both sizes are named, and it is not read at all."""
    path = tmp_path / "picture"
    path.write_bytes(picture("PNG"))
    monkeypatch.setattr(pictures, "LARGEST_PICTURE", 100)
    with pytest.raises(RefusedError, match="bytes of at most 100: save it smaller"):
        picture_bytes(path)


def test_a_picture_that_is_not_there_is_not_found(tmp_path: Path) -> None:
    """Neither is a folder a picture."""
    for path in (tmp_path / "none.jpg", tmp_path):
        with pytest.raises(NotFoundError, match="there is no file"):
            picture_bytes(path)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_what_the_camera_wrote_is_not_filed(kind: str, tmp_path: Path) -> None:
    """The picture is; and a file on record that has it is known by its words."""
    whole = photographed() if kind == "JPEG" else scanned()
    path = tmp_path / "picture"
    path.write_bytes(whole)
    kept = picture_bytes(path)

    assert b"Aoife Kiely" in whole and b"Aoife Kiely" not in kept
    assert beside_words(whole).endswith("beside the picture, with where it was taken")
    assert beside_words(picture(kind) + b"more").endswith("a place or a name")
    assert beside_words(kept) == beside_words(picture(kind)) == ""
    assert beside_words(b"nothing") == ""
