"""Tests of the photographs behind a certificate, good ones and others."""

import hashlib
from dataclasses import replace
from io import BytesIO

import pytest
from PIL import Image

from labels import evidence_photographs as shown
from labels.archive import PROFILE
from labels.blocks import together
from labels.evidence import sheet
from labels.evidence_facts import Evidence
from labels.page import close_document, open_document, turn_over
from labels.sections import FRAMES
from labels.tongue import tongue
from ledger.errors import RefusedError
from tests.labels import overlaps, reading
from tests.labels.evidence_samples import CROWDED, EVIDENCE, jpeg, photograph

SAY = tongue("en")
FRAME = sheet(FRAMES["A4"])
UPSIDE_DOWN, ON_ITS_SIDE = 3, 6  # Exif 2.3, 4.6.4: orientation


def packed(picture: Image.Image, kind: str = "JPEG", **how: object) -> bytes:
    """Return a picture as a file."""
    out = BytesIO()
    picture.save(out, format=kind, **how)
    return out.getvalue()


def opened(ready: shown.Ready) -> Image.Image:
    """Return the picture that goes on paper."""
    return Image.open(BytesIO(ready.jpeg))


def drawn(evidence: Evidence) -> bytes:
    """Draw the photographs of some evidence on a page of their own."""
    page = open_document(FRAME.size, "photographs")
    together(shown.blocks(FRAME, evidence, SAY)).draw(page, 30)
    turn_over(page)
    return close_document(page)


def words(evidence: Evidence) -> str:
    """Return the words beside the photographs, all spaces alike."""
    return " ".join(reading.text(drawn(evidence)).split())


def test_a_turned_photograph_stands_upright() -> None:
    """As the camera was held, and without what it wrote beside the picture."""
    plain = Image.open(BytesIO(jpeg((80, 40))))
    exif = Image.Exif()
    exif[0x0112] = ON_ITS_SIDE
    exif[0x010E] = "the garden behind the house"
    turned = packed(plain, exif=exif, comment=b"at the back door", quality=95)
    ready = shown.ready(turned)

    assert (ready.width, ready.height) == (40, 80)
    assert opened(ready).size == (40, 80)
    # Dark was at the left, and is on top when it is turned to the right.
    assert sum(opened(ready).convert("RGB").getpixel((20, 10))) < 300  # type: ignore[arg-type]  # three bands
    assert b"garden" not in ready.jpeg and b"back door" not in ready.jpeg


@pytest.mark.parametrize("mode", ["RGB", "L", "CMYK"])
def test_every_kind_of_jpeg_becomes_one_of_three_bands(mode: str) -> None:
    """Grey ones and those for a press keep dark and light where they were."""
    found = opened(shown.ready(jpeg((60, 40), mode))).convert("RGB")
    dark, light = (sum(found.getpixel((x, 20))) for x in (10, 50))  # type: ignore[arg-type]  # three bands

    assert dark < 330 < light


def test_a_profile_of_its_own_is_brought_to_the_paper_s_colours() -> None:
    """One whose red is the common blue is turned; one that is spoiled is not heard."""
    common = PROFILE.read_bytes()
    swapped = common.replace(b"rXYZ", b"?XYZ", 1).replace(b"bXYZ", b"rXYZ", 1)
    swapped = swapped.replace(b"?XYZ", b"bXYZ", 1)
    blue = Image.new("RGB", (20, 20), (20, 30, 200))
    seen = {
        name: opened(shown.ready(packed(blue, icc_profile=profile, quality=95)))
        for name, profile in (("swapped", swapped), ("spoiled", b"spoiled" * 40))
    }
    red, _, rest = seen["swapped"].getpixel((9, 9))  # type: ignore[misc]  # three bands

    assert red > 180 and rest < 60
    assert seen["spoiled"].getpixel((9, 9))[2] > 180  # type: ignore[index]  # three bands
    assert "icc_profile" not in seen["swapped"].info


def test_what_shows_through_is_paper() -> None:
    """A PNG without a ground stands on white."""
    clear = shown.ready(packed(Image.new("RGBA", (16, 16), (0, 0, 0, 0)), "PNG"))

    assert min(opened(clear).convert("L").tobytes()) > 250


def test_the_largest_photograph_is_bounded_and_the_same_each_time() -> None:
    """Noise of six megapixels: 1600 dots, 300 kB, twice the same bytes."""
    noise = hashlib.shake_256(b"noise").digest(300 * 200 * 3)
    large = Image.frombytes("RGB", (300, 200), noise).resize((3000, 2000), 0)
    ready, again = (shown.ready(packed(large, quality=92)) for _ in range(2))

    assert len(ready.jpeg) <= shown.LARGEST_BYTES
    assert max(ready.width, ready.height) == shown.LONG_EDGE
    assert not ready.is_cropped and ready == again


def test_a_very_long_photograph_is_cropped_around_its_middle() -> None:
    """Twice as long as wide is the most, and it is told."""
    ready = shown.ready(jpeg((900, 100)))

    assert (ready.width, ready.height, ready.is_cropped) == (200, 100, True)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"a drawing of a guitar",
        jpeg((200, 200))[:700],
        packed(Image.new("RGB", (64, 64), "red"), "PNG")[:60],
        packed(Image.new("RGB", (8, 8)), "GIF"),
    ],
)
def test_a_photograph_that_cannot_be_read_is_refused(data: bytes) -> None:
    """Neither cut off nor of another kind it goes on paper."""
    with pytest.raises(RefusedError, match="cannot be read"):
        shown.ready(data)


def test_each_stands_with_what_it_shows_its_entry_and_its_digest() -> None:
    """Sixteen digits of the file that was filed, and how to compare them."""
    said, (first, second, _) = words(EVIDENCE), EVIDENCE.photographs

    assert "top: L26-004-11.A, front" in said
    assert "the instrument: voice the top 2026-07-24 entry 756" in said
    assert f"SHA-256 {first.digest[:16]}…" in said
    assert f"SHA-256 {second.digest[:16]}…" in said
    assert first.digest[:17] not in said
    assert "Ask the shop for that file" in said


def test_what_cannot_be_shown_is_said_and_no_frame_is_empty() -> None:
    """Of one entry, of several, and of those for which there was no room."""
    one = words(replace(EVIDENCE, photographs=(), unseen=(75,)))

    assert "The photograph of entry 75 is not shown" in one
    assert "SHA-256" not in one
    assert "entries 41, 42 and 90 001 are not shown" in words(CROWDED)
    assert "1234 other photographs are on file in the shop." in words(CROWDED)
    assert shown.blocks(FRAME, Evidence(), SAY) == []


def test_where_photographs_are_left_out_one_line_says_so() -> None:
    """And nothing of how to compare what is not there."""
    said = words(Evidence(are_left_out=True))

    assert said == "Photographs on record Photographs on record are left out here."


def test_what_may_be_filed_is_not_too_large_for_paper() -> None:
    """Filing goes by the limit of the library."""
    assert shown.LARGEST_PIXELS == Image.MAX_IMAGE_PIXELS


def test_an_instrument_in_service_is_told_as_such() -> None:
    """Whose photograph names neither a step nor a board."""
    plain = replace(photograph(5, step="x"), step="")

    assert "the instrument, in service" in words(Evidence(photographs=(plain,)))


def test_a_part_that_came_off_is_not_told_as_the_instrument() -> None:
    """It names its part, and no board."""
    off = replace(photograph(5, step="x"), step="", part="top")
    said = words(Evidence(photographs=(off,)))

    assert "top, taken off" in said and "in service" not in said


@pytest.mark.parametrize("evidence", [EVIDENCE, CROWDED])
def test_no_caption_runs_into_another(evidence: Evidence) -> None:
    """Two by two, however long the words beside them are."""
    pdf = drawn(evidence)

    assert overlaps.overlaps(pdf) == []
    assert overlaps.outside(pdf, [(FRAME.left, FRAME.right)]) == []
    assert "cropped" not in words(EVIDENCE) and "cropped" in words(CROWDED)
