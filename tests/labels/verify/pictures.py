"""Take the README's picture of the page that checks: YES, NO and CANNOT TELL.

Run it as `python tests/labels/verify/pictures.py DEMO`, where DEMO is what the
demonstration made; the picture goes to demo/pictures/verify.png. The page is the demo
shop's own, in a phone-sized browser without a network. It is shown the demo's
certificate, the same with one byte changed, and that of a stranger's shop of the same
name. The demonstration itself needs no browser.
"""

import io
import sys
import tempfile
from pathlib import Path

from PIL import Image

ROOT = Path(__file__).parents[3]
sys.path.insert(0, str(ROOT))

from labels import verify  # noqa: E402 - only now does the path lead there
from tests import browser as browsers  # noqa: E402 - only now does the path lead there

STRANGER = ROOT / "tests/vectors/log/certificate.json"
PICTURE = ROOT / "demo/pictures/verify.png"
SHOP = "Skerrymoor Fretted Instruments"
DAY = "2026-11-25T12:00:00Z"
WIDTH, HEIGHT, GAP = 390, 844, 12
GROUND = "#7a766f"
COLOURS = 128


def papers(demo: Path, folder: Path) -> dict[str, Path]:
    """Return a paper for each word."""
    true = demo / "papers/certificate-A4.pdf"
    altered = folder / "altered.pdf"
    altered.write_bytes(true.read_bytes().replace(b"1986000", b"1986001"))
    return {"YES": true, "NO": altered, "CANNOT TELL": STRANGER}


def taken(demo: Path) -> list[Image.Image]:
    """Return the page as it stands on a phone, once for each word."""
    shots: list[Image.Image] = []
    with tempfile.TemporaryDirectory() as name, browsers.started() as browser:
        path = Path(name) / "verify.html"
        keys = (demo / "keys.json").read_bytes()
        path.write_bytes(verify.page(name=SHOP, keys=keys))
        for word, paper in papers(demo, Path(name)).items():
            with browsers.page(browser, width=WIDTH, height=HEIGHT) as page:
                page.clock.set_fixed_time(DAY)
                page.goto(path.as_uri())
                page.wait_for_selector("#ways:not([hidden])")
                page.set_input_files("#file", paper)
                page.wait_for_selector(f'#word[data-word="{word}"]')
                page.wait_for_timeout(300)
                shots.append(Image.open(io.BytesIO(page.screenshot())))
    return shots


def side_by_side(shots: list[Image.Image]) -> Image.Image:
    """Return the three in one picture, in few colours."""
    width = len(shots) * (WIDTH + GAP) + GAP
    whole = Image.new("RGB", (width, HEIGHT + 2 * GAP), GROUND)
    for number, shot in enumerate(shots):
        whole.paste(shot, (GAP + number * (WIDTH + GAP), GAP))
    return whole.quantize(COLOURS, dither=Image.Dither.NONE)


if __name__ == "__main__":
    side_by_side(taken(Path(sys.argv[1]))).save(PICTURE, optimize=True)
