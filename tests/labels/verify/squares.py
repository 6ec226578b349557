"""Pictures for the page: squares as a camera sees them, and pictures that mean harm."""

import io
import struct
import zlib

from PIL import Image, ImageFilter

from labels.qr import Symbol, card_symbol
from tests.conftest import entropy_from
from tests.labels.verify.pages import CARD

TEXT = CARD.decode().strip()
WHITE, GREY = 255, 190


def square(symbol: Symbol, pixels: int) -> Image.Image:
    """Draw a symbol with its quiet zone, each module of so many pixels."""
    side = symbol.side + 8
    image = Image.new("L", (side, side), WHITE)
    for y, row in enumerate(symbol.rows):
        for x, dark in enumerate(row):
            if dark:
                image.putpixel((x + 4, y + 4), 0)
    return image.resize((side * pixels, side * pixels), Image.Resampling.NEAREST)


def photographed(
    text: str = TEXT,
    *,
    size: tuple[int, int] = (1200, 900),
    pixels: int = 6,
    turned: float = 7,
    blur: float = 0.8,
) -> Image.Image:
    """Photograph a card: turned, out of focus, in light from one side, with noise."""
    made = square(card_symbol(text), pixels).rotate(
        turned, Image.Resampling.BICUBIC, expand=True, fillcolor=GREY
    )
    whole = Image.new("L", size, GREY)
    whole.paste(made, ((size[0] - made.width) // 2, (size[1] - made.height) // 2))
    light = (
        Image.linear_gradient("L").resize(size).point(lambda n: 150 + n * 105 // 255)
    )
    seen = Image.composite(whole, Image.new("L", size, 0), light)
    noise = Image.frombytes("L", (97, 97), entropy_from("noise")(97 * 97)).resize(size)
    return Image.blend(seen.filter(ImageFilter.GaussianBlur(blur)), noise, 0.08)


def written(image: Image.Image, form: str = "JPEG") -> bytes:
    """Return a picture's file."""
    out = io.BytesIO()
    image.convert("RGB").save(out, form)
    return out.getvalue()


def bomb(width: int = 30_000, height: int = 30_000) -> bytes:
    """Return a small PNG that stands for a picture of 900 million pixels."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        said = kind + data
        return struct.pack(">I", len(data)) + said + struct.pack(">I", zlib.crc32(said))

    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    lines = zlib.compressobj(9)
    row = bytes(1 + width // 8)
    data = b"".join(lines.compress(row * 100) for _ in range(height // 100))
    body = chunk(b"IDAT", data + lines.flush())
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + body + chunk(b"IEND", b"")
