"""Photographs as a camera files them, with its words beside the picture.

photographed(progressive=True)   a JPEG with Exif, GPS, XMP, IPTC, a comment and a tail
scanned()                        a PNG with words, a time, Exif and a tail
"""

import io
import struct
import zlib

from PIL import ExifTags, Image, PngImagePlugin

TOLD = (b"Aoife Kiely", b"Lumen 40", b"harbour", b"maker's note", b"thumbnail", b"tail")


def gradient(mode: str = "RGB") -> Image.Image:
    """Return a picture in which every row and every column is another."""
    ramp = Image.linear_gradient("L").resize((72, 48))
    other = ramp.transpose(Image.Transpose.FLIP_LEFT_RIGHT).rotate(180)
    return Image.merge("RGB", (ramp, other, ramp.rotate(90))).convert(mode)


def camera_words(orientation: int = 6) -> Image.Exif:
    """Return what a camera writes: who, with what, when, where, which way up."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif[ExifTags.Base.Artist] = "Aoife Kiely"
    exif[ExifTags.Base.Model] = "Lumen 40"
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.MakerNote] = b"maker's note"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = (53.0, 16.0, 0.0)
    return exif


def segment(marker: int, said: bytes) -> bytes:
    """Return a segment of a JPEG file."""
    return struct.pack(">BBH", 0xFF, marker, len(said) + 2) + said


def chunk(name: bytes, said: bytes) -> bytes:
    """Return a chunk of a PNG file."""
    checked = zlib.crc32(name + said)
    return struct.pack(">I", len(said)) + name + said + struct.pack(">I", checked)


def packed(picture: Image.Image, kind: str, **how: object) -> bytes:
    """Return a picture's file."""
    out = io.BytesIO()
    picture.save(out, kind, **how)
    return out.getvalue()


def photographed(
    mode: str = "RGB", *, progressive: bool = False, orientation: int = 6
) -> bytes:
    """Return a JPEG with what a camera, its owner and an editor wrote beside it."""
    plain = packed(
        gradient(mode),
        "JPEG",
        progressive=progressive,
        exif=camera_words(orientation),
        icc_profile=b"a profile",
        comment=b"by the harbour",
    )
    more = (
        segment(0xE0, b"JFXX\0\x10 a thumbnail"),
        segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta>Aoife Kiely"),
        segment(0xED, b"Photoshop 3.0\x008BIM\x04\x04 at the harbour"),
        segment(0xE2, b"FPXR\0 a second thumbnail"),
    )
    # Behind JFIF or what stands first, as a camera does; and what it hangs on the end.
    first = 4 + int.from_bytes(plain[4:6], "big") - 2 + 2
    return b"".join((plain[:first], *more, plain[first:], b"a tail of film"))


def scanned(mode: str = "RGB", *, orientation: int = 6) -> bytes:
    """Return a PNG with words, a time, and Exif; and something behind its end."""
    words = PngImagePlugin.PngInfo()
    words.add_text("Author", "Aoife Kiely")
    words.add_itxt("Comment", "by the harbour", zip=False)
    words.add(b"tIME", struct.pack(">HBBBBB", 2026, 3, 2, 9, 0, 0))
    how: dict[str, object] = {"pnginfo": words, "exif": camera_words(orientation)}
    how |= {"icc_profile": b"a profile", "dpi": (300, 300)}
    return packed(gradient(mode), "PNG", **how) + b"a tail of film"
