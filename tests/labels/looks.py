"""Compare a paper with the picture that was once looked at, and found good.

The pictures lie in tests/labels/pictures, in greys at 60 dots to the inch. Where a
drawing was changed on purpose, look at it at print size, then take its picture anew:

    FLITCHBOOK_TAKE_PICTURES=1 pytest tests/labels/test_figure.py
"""

import os
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageChops

from labels import picture

FOLDER = Path(__file__).parent / "pictures"
DPI = 60
# Another version of what renders smooths edges otherwise, by a shade or two.
SHADES = 2.0  # on average
FAR, FEW = 96, 0.002  # a dot that is this far off, and the share of such dots


def unlike(pdf: bytes, name: str, page: int = 0) -> str:
    """Return how a page differs from its picture; nothing if it does not."""
    path = FOLDER / f"{name}.png"
    now = picture.grey(pdf, page=page, dpi=DPI)
    if os.environ.get("FLITCHBOOK_TAKE_PICTURES"):
        FOLDER.mkdir(exist_ok=True)
        now.save(path, optimize=True)
    return differences(now, Image.open(BytesIO(path.read_bytes())))


def differences(now: Image.Image, then: Image.Image) -> str:
    """Return in words how two pictures in greys differ, or nothing."""
    if now.size != then.size:
        return f"{now.size} dots instead of {then.size}"
    tally = ImageChops.difference(now, then).histogram()
    dots = now.width * now.height
    shades = sum(shade * count for shade, count in enumerate(tally)) / dots
    far = sum(tally[FAR:]) / dots
    if shades > SHADES:
        return f"{shades:.2f} shades off on average, and {SHADES} may be"
    if far > FEW:
        return f"{far:.2%} of all dots differ, and {FEW:.2%} may"
    return ""
