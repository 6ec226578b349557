"""Files that mean harm: refused or shown safely, and the page never freezes."""

import json
import time
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from tests.labels.verify import pages
from tests.labels.verify.pages import BLANK, CERTIFICATE, SHOW, facts
from tests.odd_names import NAMES

MARKUP = "<img src=x onerror=globalThis.ran=1><script>globalThis.ran=1</script>"
# How long the page may not answer a click [ms], on a machine that others use too.
LONGEST_SILENCE = 2000
LISTEN = """() => {
    globalThis.longest = 0;
    let last = performance.now();
    setInterval(() => {
        const now = performance.now();
        globalThis.longest = Math.max(globalThis.longest, now - last);
        last = now;
    }, 10);
}"""


def yes(**other: Any) -> dict[str, Any]:
    """Return an answer that is YES, with facts of which some are hostile."""
    keys = {"origin": "ledger-0", "date": "2026-11-24", "number": 1, "size": 14}
    return {"word": "YES", "keys": keys, "facts": facts(**other)}


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b'{"disclosed":' + b"[" * 1_000_000, "canonical"),
        (b'{"disclosed":' + b'{"a":' * 200_000, "canonical"),
        (b'{"disclosed":' + b"[" * 400_000 + b"]" * 400_000 + b"}", "canonical"),
        (CERTIFICATE.replace(b"gg0Tw8", b"gg0T*8"), ""),
        (CERTIFICATE.replace(b"OozEs7pm", b"===="), ""),
        (b"flitchbook-" + b"\xff\xfe" * 100_000, ""),
        (b"%PDF-1.7\n" + b"/FLBK_Certificate" * 100_000, "holds 100000 certificate"),
        (b"%PDF-1.7\n/FLBK_Certificate>>\nstream\n" + b"{" * 9_000_000, "cut off"),
        (b"c2sp.org/tlog-proof@v1\n" + b"\n" * 1_000_000, ""),
        (b"c2sp.org/tlog-proof@v1\nextra " + b"A" * 1_000_000, ""),
        (b'{"date":' + b"9" * 1_000_000 + b"}", ""),
    ],
    ids=range(11),
)
def test_a_hostile_file_says_no(
    browser: Browser, tmp_path: Path, data: bytes, why: str
) -> None:
    """Deep JSON, broken base64, endless lists: refused, and the page still answers."""
    with pages.opened(browser, tmp_path) as page:
        page.page.evaluate(LISTEN)
        page.takes(("hostile", data))

        assert page.word == "NO"
        assert why in page.row("fault")
        assert page.page.evaluate("globalThis.longest") < LONGEST_SILENCE

        page.takes(("certificate.json", CERTIFICATE))

        assert page.word == "YES"


def test_a_file_of_a_gigabyte_is_refused_unread(
    browser: Browser, tmp_path: Path
) -> None:
    """By its size, at once; so is one of a byte too many."""
    large, less = tmp_path / "large.pdf", tmp_path / "less.pdf"
    with large.open("wb") as file:
        file.truncate(1_073_741_824)
    with less.open("wb") as file:
        file.truncate(67_108_865)
    with pages.opened(browser, tmp_path) as page:
        for path in (large, less):
            began = time.monotonic()
            page.page.set_input_files("#file", path)
            page.page.wait_for_selector('#word[data-word="CANNOT TELL"]')

            assert page.black == "Open a certificate"
            assert f"a file of {path.stat().st_size} bytes is not read" in page.told
            assert time.monotonic() - began < 5


def test_the_largest_file_leaves_the_page_answering(
    browser: Browser, tmp_path: Path
) -> None:
    """64 MiB are read in slices, and a click in between is answered."""
    path = tmp_path / "largest.pdf"
    path.write_bytes(b"%PDF-1.7\n" + b" " * (67_108_864 - 9))
    with pages.opened(browser, tmp_path) as page:
        page.page.evaluate(LISTEN)
        page.page.set_input_files("#file", path)
        page.page.wait_for_selector('#word[data-word="CANNOT TELL"]')

        assert "There is nothing signed in this" in page.told
        assert page.page.evaluate("globalThis.longest") < LONGEST_SILENCE


@pytest.mark.parametrize("size", [2_048, 1_000_000])
def test_an_endless_address_is_refused(
    browser: Browser, tmp_path: Path, size: int
) -> None:
    """By its length, before it is read as a card."""
    with pages.opened(browser, tmp_path, fragment=f"#{'1' * size}") as page:
        assert page.word == "CANNOT TELL"
        assert f"an address of {size + 1} bytes is not read" in page.told


def test_an_endless_text_is_refused(browser: Browser, tmp_path: Path) -> None:
    """Typed or pasted, by its length."""
    with pages.opened(browser, tmp_path) as page:
        page.types("1" * 1_048_577)

        assert page.word == "CANNOT TELL"
        assert "a text of 1048577 bytes is not read" in page.told


def test_markup_in_a_fact_is_only_text(browser: Browser, tmp_path: Path) -> None:
    """It is shown letter by letter, and nothing runs and nothing is fetched."""
    with pages.opened(browser, tmp_path, beside=SHOW) as page:
        for member in ("serial", "model", "number", "issued_on", "instrument"):
            page.is_shown(**yes(**{member: MARKUP}))

            assert MARKUP in page.told
            assert page.page.locator("#told img, #told script").count() == 0
            assert page.page.evaluate("globalThis.ran") is None


def test_letters_that_deceive_are_remarked_on(browser: Browser, tmp_path: Path) -> None:
    """Two alphabets in one name, letters in disguise, signs without ink.

    Source: Unicode Technical Standard 39, section 5.2.
    """
    with pages.opened(browser, tmp_path, beside=SHOW) as page:
        for name, remark in NAMES.items():
            maker = {"badge": "02", "work": "crib", "name": name}
            page.is_shown(**yes(makers=[maker]))
            remarks = page.page.locator("#told .remark").all_inner_texts()

            assert (name, remarks) == (name, [remark] if remark else [])
            assert f"{name}: crib" in (page.page.locator("#told").text_content() or "")


def test_words_of_other_directions_stay_in_their_place(
    browser: Browser, tmp_path: Path
) -> None:
    """Every piece of a paper is isolated, so that none turns its neighbours round."""
    with pages.opened(browser, tmp_path, beside=SHOW) as page:
        page.is_shown(**yes(model="דגם", serial="שלום 26"))
        pieces = page.page.locator("bdi").evaluate_all(
            "(all) => all.map((one) => getComputedStyle(one).unicodeBidi)"
        )

        assert len(pieces) > 5
        assert set(pieces) == {"isolate"}


@pytest.mark.parametrize("word", ["W" * 50_000, "a\n" * 2_000, "\u0301" * 3_000])
def test_a_name_without_end_is_cut_and_wrapped(
    browser: Browser, tmp_path: Path, word: str
) -> None:
    """300 signs are shown, with their number; at 320 px nothing runs over the edge."""
    with pages.opened(browser, tmp_path, width=320, beside=SHOW) as page:
        page.is_shown(**yes(model=word, serial=word))
        width = page.page.evaluate("document.documentElement.scrollWidth")
        over = page.page.locator("dd").evaluate_all(
            "(all) => all.map((one) => one.scrollWidth - one.clientWidth)"
        )

        assert width == 320
        assert set(over) == {0}
        assert len(page.told) < 3_000
        assert " characters)" in page.told


def test_piled_marks_do_not_paint_over_the_plate(
    browser: Browser, tmp_path: Path
) -> None:
    """What a name draws outside its own line is cut off."""
    with pages.opened(browser, tmp_path, beside=SHOW) as page:
        page.is_shown(**yes(serial="26" + "\u0301" * 200))
        kept = page.page.locator("dd").evaluate_all(
            "(all) => all.map((one) => getComputedStyle(one).contain)"
        )

        assert set(kept) == {"paint"}


def test_nothing_of_a_refused_paper_is_a_fact(browser: Browser, tmp_path: Path) -> None:
    """After NO, and where nobody can tell, it only says and claims."""
    with pages.opened(browser, tmp_path, beside=SHOW) as page:
        for word, label in (("NO", "claims"), ("CANNOT TELL", "signed")):
            page.is_shown(word=word, facts=facts())
            labels = page.page.locator("dt").all_inner_texts()

            assert labels[:2] == ["says", label]
            assert not {"serial", "model", "mass", "woods", "made by"} & {*labels}
            assert page.row("says") == "26-0147-3, Tidewarden"


def test_an_answer_is_what_the_reader_gives(browser: Browser, tmp_path: Path) -> None:
    """The answer made by hand in these tests has the members of a real one."""
    with pages.opened(browser, tmp_path) as page:
        told = page.page.evaluate(
            "async (text) => check(new TextEncoder().encode(text), null)",
            CERTIFICATE.decode(),
        )

        assert set(told) == set(BLANK)
        assert set(told["facts"]) == set(facts())
        assert set(told["facts"]["makers"][0]) == set(facts()["makers"][0])
        assert set(told["facts"]["materials"][0]) == set(facts()["materials"][0])
        assert json.dumps(told)
