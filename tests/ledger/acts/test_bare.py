"""Of a photograph's file stays what draws it, to the last dot, and nothing else."""

import io
from collections.abc import Callable

import pytest
from PIL import ExifTags, Image, ImageOps

from ledger.acts.bare import bare, has_place
from ledger.acts.bare.exif import only_orientation, orientation_of
from tests.ledger.acts.photographed import (
    TOLD,
    camera_words,
    chunk,
    gradient,
    packed,
    photographed,
    scanned,
    segment,
)

FILES: dict[str, tuple[str, Callable[[], bytes]]] = {
    "baseline": ("JPEG", photographed),
    "progressive": ("JPEG", lambda: photographed(progressive=True)),
    "grey": ("JPEG", lambda: photographed("L")),
    "four inks": ("JPEG", lambda: photographed("CMYK")),
    "png": ("PNG", scanned),
    "png with a palette": ("PNG", lambda: scanned("P")),
    "png that shows through": ("PNG", lambda: scanned("RGBA")),
}


def opened(data: bytes, kind: str) -> Image.Image:
    """Return a picture, decoded to its last row."""
    picture = Image.open(io.BytesIO(data), formats=[kind])
    picture.load()
    return picture


@pytest.mark.parametrize("name", FILES)
def test_the_picture_is_the_same_and_nothing_is_told(name: str) -> None:
    """Every dot, its colours' profile and which way up; no word, and no tail."""
    kind, write = FILES[name]
    whole = write()
    kept = bare(whole, kind)
    before, after = opened(whole, kind), opened(kept, kind)

    assert any(told in whole for told in TOLD)
    assert not [told for told in TOLD if told in kept]
    assert (before.mode, before.size) == (after.mode, after.size)
    assert before.tobytes() == after.tobytes()
    assert after.info.get("icc_profile") == b"a profile"
    assert dict(after.getexif()) == {ExifTags.Base.Orientation: 6}
    turned = [ImageOps.exif_transpose(each) for each in (before, after)]
    assert turned[0].size == turned[1].size == (48, 72)
    assert turned[0].tobytes() == turned[1].tobytes()


@pytest.mark.parametrize("name", FILES)
def test_what_is_bare_stays_the_same_to_the_bit(name: str) -> None:
    """So a file that is filed again has the digest that it had."""
    kind, write = FILES[name]
    kept = bare(write(), kind)

    assert bare(kept, kind) == kept
    assert bare(kept + b"more", kind) == kept


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_file_without_a_camera_s_words_is_left_alone(kind: str) -> None:
    """As a drawing program writes it."""
    data = packed(gradient(), kind)

    assert bare(data, kind) == data
    assert not has_place(data, kind)


@pytest.mark.parametrize("write", [photographed, scanned])
def test_of_an_upright_picture_no_word_of_the_camera_stays(
    write: Callable[..., bytes],
) -> None:
    """Nor where the orientation is none that there is."""
    kind = "JPEG" if write is photographed else "PNG"
    for orientation in (1, 0, 9):
        kept = bare(write(orientation=orientation), kind)
        assert b"Exif" not in kept and b"eXIf" not in kept


def test_where_it_was_taken_is_seen() -> None:
    """Before, and no more afterwards."""
    for kind, data in (("JPEG", photographed()), ("PNG", scanned())):
        assert has_place(data, kind)
        assert not has_place(bare(data, kind), kind)


def test_fill_bytes_stay_and_what_is_between_segments_goes() -> None:
    """A marker may be preceded by any number of fill bytes (ITU-T T.81, B.1.1.2)."""
    data = packed(gradient(), "JPEG")
    filled = data.replace(b"\xff\xdb", b"\xff\xff\xff\xdb", 1)
    strewn = data.replace(b"\xff\xdb", b"\xff\x00Aoife\xff\xdb", 1)

    assert bare(filled, "JPEG") == filled
    assert bare(strewn, "JPEG") == data


def test_a_thumbnail_within_jfif_goes() -> None:
    """Its two edges are nought then (ITU-T T.871, 10.1)."""
    data = packed(gradient(), "JPEG")
    header = data[6 : 4 + int.from_bytes(data[4:6], "big")]
    small = segment(0xE0, header[:-2] + b"\x01\x01" + b"rgb")
    shown = data.replace(segment(0xE0, header), small, 1)

    assert shown != data and bare(shown, "JPEG") == data


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_cut_off_is_told(name: str) -> None:
    """Before its last byte, wherever that is."""
    kind, write = FILES[name]
    kept = bare(write(), kind)
    for size in {*range(8, len(kept), 41), len(kept) - 1}:
        with pytest.raises(EOFError):
            bare(kept[:size], kind)


def test_damaged_exif_turns_nothing() -> None:
    """Cut off anywhere, of another order of bytes, or leading nowhere."""
    whole = camera_words(8).tobytes().removeprefix(b"Exif\0\0")
    turned = {orientation_of(whole[:size]) for size in range(len(whole))}

    assert turned == {1, 8}
    for tiff in (b"", b"XX" + whole[2:], b"II*\0\xff\xff\xff\xff"):
        assert orientation_of(tiff) == 1
    little = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x05\0\0\0\0\0\0\0"
    assert orientation_of(little) == 5
    assert [orientation_of(only_orientation(n)) for n in range(2, 9)] == [*range(2, 9)]


def test_a_chunk_that_nobody_knows_goes() -> None:
    """What may stay is a list, and what goes is not."""
    data = packed(gradient(), "PNG")
    odd = data[:-12] + chunk(b"prVt", b"Aoife Kiely") + data[-12:]

    assert bare(odd, "PNG") == data
