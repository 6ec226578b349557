"""A card's square in a picture and before a camera; pictures that mean harm."""

from contextlib import closing
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser

from labels.qr import board_symbol
from tests import browser as browsers
from tests.labels.verify import pages, squares
from tests.labels.verify.pages import CARD
from tests.labels.verify.sayings import b64
from tests.labels.verify.test_hostile import LISTEN, LONGEST_SILENCE

# A browser's own reader of squares, which reads one text wherever it looks.
OWN_READER = """globalThis.BarcodeDetector = class {
    static async getSupportedFormats() { return ["aztec", "qr_code"]; }
    async detect() { return [{ rawValue: %r }]; }
};"""
SIZES = """(all) => all.map((one) => {
    const size = sizing(Uint8Array.from(atob(one), (c) => c.charCodeAt(0)));
    return size && [size.width, size.height];
})"""
ROOM = ("--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream")


def test_a_photograph_of_a_card_is_read(browser: Browser, tmp_path: Path) -> None:
    """A small one, one upside down, and one of 12 million pixels."""
    large = squares.photographed(size=(4000, 3000), pixels=14, turned=-4, blur=2)
    with pages.opened(browser, tmp_path) as page:
        page.page.evaluate(LISTEN)
        for data in (
            squares.written(squares.photographed()),
            squares.written(squares.photographed(turned=180), "GIF"),
            squares.written(large),
        ):
            page.takes(("s", b"a scan"))
            page.takes(("card", data))

            assert (page.word, page.row("serial")) == ("YES", "26-0001-8")
            assert page.page.evaluate("globalThis.longest") < LONGEST_SILENCE


def test_another_square_is_no_owner_s_card(browser: Browser, tmp_path: Path) -> None:
    """The shop's own labels by their names, and a stranger's as what it says."""
    board = board_symbol("HTTPS://SKM.EXAMPLE/B/L26-031-07.AI")
    image = squares.square(board, 8)
    with pages.opened(browser, tmp_path, beside=READ) as page:
        page.takes(("board", squares.written(image, "PNG")))

        assert page.word == "CANNOT TELL"
        assert "This square is no owner’s card, so nobody can tell." in page.told
        assert "it is a board’s label, and nothing in it is signed" in page.row("why")
        assert page.row("says") == "HTTPS://SKM.EXAMPLE/B/L26-031-07.AI"

        for text, what in (
            ("https://skm.example/S/26-0001-8", "an instrument’s build tag"),
            ("L/L26-031I", "it is a lot’s card"),
            ("https://skm.example/path/M/M26-001I", "a label of the workshop’s own"),
            ("4006381333931", "no square of a shop’s that this page knows"),
            ("<script>globalThis.ran = 1</script>", "no square of a shop’s"),
        ):
            page.page.evaluate("(text) => takeRead(readSquare(text))", text)

            assert (page.word, page.row("says")) == ("CANNOT TELL", text)
            assert what in page.row("why")
        assert page.page.evaluate("globalThis.ran") is None


READ = "globalThis.sizing = pictureSize;"


def test_a_picture_is_weighed_before_it_is_drawn(
    browser: Browser, tmp_path: Path
) -> None:
    """By its head: 900 million pixels in 110 kB are refused at once."""
    bomb = squares.bomb()
    with pages.opened(browser, tmp_path) as page:
        page.page.evaluate(LISTEN)
        for data, pixels in ((bomb, 900_000_000), (bomb[:60], 900_000_000)):
            page.takes(("bomb.png", data))

            assert page.word == "CANNOT TELL"
            assert f"a picture of {pixels} pixels is not read" in page.row("why")
        assert len(bomb) < 130_000
        assert page.page.evaluate("globalThis.longest") < LONGEST_SILENCE


def test_a_torn_picture_is_one_without_a_square(
    browser: Browser, tmp_path: Path
) -> None:
    """Neither a fault of the page nor a forgery."""
    whole = squares.written(squares.photographed(size=(300, 300), pixels=1))
    with pages.opened(browser, tmp_path) as page:
        for data in (whole, whole[:900], whole[:4], squares.bomb(3000, 3000)[:200]):
            page.takes(("torn", data))

            assert page.word == "CANNOT TELL"
            assert "There is nothing signed in this" in page.told


def test_heads_of_pictures_say_their_size(browser: Browser, tmp_path: Path) -> None:
    """Of PNG, JPEG, WebP and GIF, whole, cut short anywhere, and of other bytes."""
    image = Image.new("RGB", (301, 77), "white")
    whole = [squares.written(image, form) for form in ("PNG", "JPEG", "WEBP", "GIF")]
    # The first frame of a film may be larger than its screen.
    film = bytearray(whole[3])
    film[6:10] = b"\x01\x00\x01\x00"
    cut = [data[:n] for data in whole for n in range(0, 40)]
    other = [b"", b"\xff\xd8", b"RIFF....WEBPVP8X", b"GIF89a" + b"\x21" * 400, CARD]
    with pages.opened(browser, tmp_path, beside=READ) as page:

        def sizes(given: list[bytes]) -> list[list[int] | None]:
            texts = [b64(data) for data in given]
            found: list[list[int] | None] = page.page.evaluate(SIZES, texts)
            return found

        assert sizes([*whole, bytes(film)]) == [[301, 77]] * 5
        assert {str(one) for one in sizes(cut)} <= {"None", "[301, 77]"}
        assert sizes(other) == [None] * 5


def test_a_browser_s_own_reader_comes_first(browser: Browser, tmp_path: Path) -> None:
    """Where it has one that knows these squares."""
    text = squares.TEXT
    grey = squares.written(Image.new("L", (99, 99), 128))
    with pages.opened(browser, tmp_path, before=OWN_READER % text) as page:
        page.takes(("grey", grey))

        assert (page.word, page.row("serial")) == ("YES", "26-0001-8")


def test_a_camera_reads_a_card(browser: Browser, tmp_path: Path) -> None:
    """It stops by itself when it has, by hand, and when nobody looks at the page."""
    film = tmp_path / "card.mjpeg"
    frame = squares.photographed(size=(640, 480), pixels=4, turned=2, blur=0.4)
    film.write_bytes(squares.written(frame) * 4)
    options = (*browsers.OPTIONS, *ROOM, f"--use-file-for-fake-video-capture={film}")
    another = browser.browser_type.launch(
        executable_path=browsers.program(), args=list(options)
    )
    with closing(another), pages.opened(another, tmp_path) as page:
        page.page.click("#camera")
        page.page.wait_for_selector('#word[data-word="YES"]')

        assert page.row("serial") == "26-0001-8"
        assert is_dark(page)

        film.write_bytes(squares.written(Image.new("L", (640, 480), 128)) * 4)
        for stop in ("document.getElementById('stop').click()", HIDE):
            page.page.click("#camera")
            page.page.wait_for_selector("#viewer:not([hidden])")

            assert page.page.evaluate("document.activeElement.id") == "stop"

            page.page.evaluate(stop)

            assert is_dark(page)
        assert page.word == "YES"


def is_dark(page: pages.Reader) -> bool:
    """Tell whether no camera is in use."""
    dark = "document.getElementById('seen').srcObject === null"
    return bool(page.page.evaluate(dark)) and not page.page.is_visible("#viewer")


HIDE = """Object.defineProperty(document, "hidden", { get: () => true });
document.dispatchEvent(new Event("visibilitychange"));"""


def test_without_a_camera_a_photograph_is_asked_for(
    browser: Browser, tmp_path: Path
) -> None:
    """Of the device, where the page may not ask; and why, where none answers."""
    none = "Object.defineProperty(navigator, 'mediaDevices', { value: undefined });"
    with pages.opened(browser, tmp_path, before=none) as page:
        with page.page.expect_file_chooser() as chosen:
            page.page.click("#camera")
        path = tmp_path / "card.jpg"
        path.write_bytes(squares.written(squares.photographed()))
        chosen.value.set_files(path)
        page.page.wait_for_selector('#word[data-word="YES"]')
    with pages.opened(browser, tmp_path) as page:
        page.page.click("#camera")
        page.page.wait_for_selector("#note:not([hidden])")

        assert page.note.startswith("The camera could not be used (Not")
        assert page.note.endswith("): open a photograph of the card instead.")
        assert is_dark(page)
