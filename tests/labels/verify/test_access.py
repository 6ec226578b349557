"""The page that checks, for everybody: by keyboard, by ear, large, in few colours."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from labels.verify import HERE
from tests.labels.verify import cases, pages, statuses
from tests.labels.verify.pages import CARD, CERTIFICATE, KEYS, Reader

STYLE = (HERE / "page.css").read_text(encoding="utf-8")
FIRST = "Is this what the shop signed?"
ALTERED = CERTIFICATE.replace(b"1986000", b"1986001")
ONE = cases.sale(cases.ALONE)
LISTED = statuses.listed(ONE.house, {ONE.token: ["reported"]})
STATES = {
    "": (KEYS, b"", b""),
    "YES": (KEYS, CERTIFICATE, b""),
    "YES, BUT": (ONE.keys, ONE.data, LISTED),
    "NO": (KEYS, ALTERED, b""),
    "CANNOT TELL": (b"", CERTIFICATE, b""),
}
# Colours of words and of what lies under them, as the style names them.
PAIRS = (
    ("ink", "paper"),
    ("ink", "maple"),
    ("walnut", "paper"),
    ("yes", "#ffffff"),
    ("wait", "#ffffff"),
    ("no", "#ffffff"),
    ("ask", "#ffffff"),
    ("ink", "#ffffff"),
)


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour such as #1b1714.

    Source: WCAG 2.2, definition of relative luminance.
    """
    channels = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def colour(name: str) -> str:
    """Return a colour that the style names, or the colour itself."""
    found = re.search(rf"--{name}: (#[0-9a-f]{{6}});", STYLE)
    return found[1] if found else name


def press(page: Reader, key: str, times: int = 1) -> str:
    """Press a key; return the name of what then has the focus."""
    for _ in range(times):
        page.page.keyboard.press(key)
    focused: str = page.page.evaluate("document.activeElement.id")
    return focused


@contextmanager
def showing(browser: Browser, folder: Path, word: str) -> Iterator[Reader]:
    """Open the page and let it answer with a word, or with none yet."""
    keys, data, status = STATES[word]
    with pages.opened(browser, folder, keys=keys, status=status) as page:
        if data:
            page.takes(("certificate.json", data))
        yield page


@pytest.mark.parametrize("word", STATES)
def test_an_accessibility_engine_finds_nothing(
    browser: Browser, tmp_path: Path, word: str
) -> None:
    """In any state, on a small phone, on a phone and on a desk."""
    with showing(browser, tmp_path, word) as page:
        for width in (320, 390, 1280):
            page.page.set_viewport_size({"width": width, "height": 844})
            page.page.wait_for_timeout(200)
            found = Axe().run(page.page)
            kinds = [
                (rule["id"], rule["impact"]) for rule in found.response["violations"]
            ]

            assert len(found.response["passes"]) > 15
            assert kinds == []
        assert page.page.locator("#word").inner_text() == (word or FIRST)


@pytest.mark.parametrize("word", STATES)
def test_nothing_runs_over_the_edge(
    browser: Browser, tmp_path: Path, word: str
) -> None:
    """At 320 px, and on phones of 320 and 390 px whose reader has doubled the size."""
    with showing(browser, tmp_path, word) as page:
        for width in (160, 195, 320):
            page.page.set_viewport_size({"width": width, "height": 422})
            size = page.page.evaluate(
                "[document.documentElement.scrollWidth, document.getElementById('word')"
                ".scrollWidth - document.getElementById('word').clientWidth]"
            )

            assert size == [width, 0]


@pytest.mark.parametrize(("ink", "ground"), PAIRS)
def test_words_stand_out_from_their_ground(ink: str, ground: str) -> None:
    """6.5 to 1 or better, where AA asks for 4.5.

    Source: WCAG 2.2, success criterion 1.4.3.
    """
    light, dark = sorted((luminance(colour(c)) for c in (ink, ground)), reverse=True)

    assert (light + 0.05) / (dark + 0.05) >= 6.5


def test_everything_is_done_by_keyboard(browser: Browser, tmp_path: Path) -> None:
    """Open a file, hear the answer, type a card, and come back to the buttons."""
    path = tmp_path / "altered.json"
    path.write_bytes(ALTERED)
    with pages.opened(browser, tmp_path) as page:
        # Asked for early: a dialogue that opens before is nobody's.
        page.page.on("filechooser", lambda chooser: chooser.set_files(path))

        assert press(page, "Tab") == "language"
        assert press(page, "Tab") == "open"

        press(page, "Enter")
        page.page.wait_for_selector('#word[data-word="NO"]')

        assert page.page.evaluate("document.activeElement.id") == "word"
        assert [press(page, "Tab") for _ in range(5)] == [
            "open",
            "add",
            "camera",
            "text",
            "judge",
        ]

        press(page, "Shift+Tab")
        page.page.keyboard.insert_text(CARD.decode().strip())
        press(page, "Tab")
        press(page, "Space")
        page.page.wait_for_selector('#word[data-word="YES"]')

        assert page.page.evaluate("document.activeElement.id") == "word"


def test_focus_is_seen(browser: Browser, tmp_path: Path) -> None:
    """A ring of 4 px around whatever a key would press."""
    with pages.opened(browser, tmp_path) as page:
        for name in ("language", "open", "add", "camera", "text", "judge"):
            assert press(page, "Tab") == name

            ring = page.page.evaluate(
                "(id) => { const s = getComputedStyle(document.getElementById(id)); "
                "return [s.outlineStyle, s.outlineWidth]; }",
                name,
            )

            assert ring == ["solid", "4px"]


def test_the_likely_button_is_the_black_one(browser: Browser, tmp_path: Path) -> None:
    """One on each screen, and the first: the keys file where it is wanting."""
    for word in STATES:
        with showing(browser, tmp_path, word) as page:
            black = page.page.locator("button.likely")
            first = page.page.locator("button").first.get_attribute("id")

            assert black.count() == 1
            assert black.get_attribute("id") == first
            assert first == ("add" if word == "CANNOT TELL" else "open")
    with pages.opened(browser, tmp_path, keys=b"") as page:
        assert page.black == "Add the shop’s keys file"


def test_every_control_is_large_enough_for_a_thumb(
    browser: Browser, tmp_path: Path
) -> None:
    """70 px at the least, and the plate 112 px."""
    with pages.opened(browser, tmp_path) as page:
        page.takes(("certificate.json", CERTIFICATE))
        heights = page.page.locator("button:visible, textarea").evaluate_all(
            "(all) => all.map((one) => one.getBoundingClientRect().height)"
        )
        plate = page.page.locator("#word").bounding_box()

        assert min(heights) >= 70
        assert plate is not None
        assert plate["height"] >= 112


def test_plates_differ_without_colour(browser: Browser, tmp_path: Path) -> None:
    """By their edges: solid, hollow, sawn and broken; in few colours too."""
    edges = {}
    for word in STATES:
        with showing(browser, tmp_path, word) as page:
            page.page.emulate_media(forced_colors="active")
            edges[word] = page.page.evaluate(
                "() => { const s = getComputedStyle(document.getElementById('word')); "
                "return [s.clipPath, s.backgroundImage, s.forcedColorAdjust, "
                "s.borderTopStyle]; }"
            )

    assert edges["YES"] == ["none", "none", "none", "none"]
    assert edges["YES, BUT"] == ["none", "none", "none", "solid"]
    assert edges["NO"][0].startswith("polygon(") and edges["NO"][2] == "none"
    assert edges["CANNOT TELL"][1].count("repeating-linear-gradient") == 4


def test_nothing_moves(browser: Browser, tmp_path: Path) -> None:
    """No plate is for a moment of a colour that is no answer."""
    told = (
        "() => Array.from(document.querySelectorAll('*'), (one) => { "
        "const s = getComputedStyle(one); "
        "return `${s.transitionDuration} ${s.animationName}`; })"
    )
    with pages.opened(browser, tmp_path) as page:
        page.takes(("certificate.json", CERTIFICATE))

        assert {*page.page.evaluate(told)} == {"0s none"}


def test_a_code_stays_on_one_line_if_a_line_holds_it(
    browser: Browser, tmp_path: Path
) -> None:
    """At the foot and in the note, days and names of logs do not break at a hyphen."""
    with pages.opened(browser, tmp_path, keys=b"", width=320) as page:
        page.takes(("keys.json", KEYS))
        codes = page.page.locator("#keys bdi.data, #note bdi.data")
        lines = codes.evaluate_all(
            "(all) => all.map((one) => { "
            "const range = document.createRange(); range.selectNodeContents(one); "
            "return [one.textContent, range.getClientRects().length]; })"
        )

        assert {text for text, _ in lines} == {"2026-11-24", "ledger-fb820faeaed9c82e"}
        assert {count for _, count in lines} == {1}


def test_a_screen_reader_hears_the_answer(browser: Browser, tmp_path: Path) -> None:
    """As a status that is there before it has anything to say."""
    with pages.opened(browser, tmp_path) as page:
        status = page.page.get_by_role("status")

        assert status.inner_text() == ""

        page.takes(("certificate.json", CERTIFICATE))

        assert status.inner_text().startswith("YES. Signed by this shop")
        assert page.page.get_by_role("heading", name="YES").count() == 1
