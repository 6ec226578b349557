"""Where the page was opened from, and what it keeps for the day without a network."""

import http.server
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, Page, Route

from labels import verify
from tests.labels.verify import pages
from tests.labels.verify.pages import CARD, CERTIFICATE, KEYS, SHOP

HOST = "skm.example"
DIGITS = CARD.decode().strip().partition("#")[2]
# The paths of all that the browser keeps of a site.
KEPT = """async () => {
    const kept = await Promise.all((await caches.keys()).map(async (name) =>
        (await (await caches.open(name)).keys()).map(({ url }) => url)));
    return kept.flat().map((url) => new URL(url).pathname);
}"""
OFFLINE = "An offline copy: whoever gave you the file could have changed it."


class Quiet(http.server.SimpleHTTPRequestHandler):
    """Gives out a folder, and says nothing of it."""

    def log_message(self, *_: object) -> None:
        """Tell nobody."""


@contextmanager
def given_out(folder: Path) -> Iterator[http.server.ThreadingHTTPServer]:
    """Give out a folder on this machine, as any host of plain files does."""
    handler = partial(Quiet, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield server


@contextmanager
def visited(browser: Browser) -> Iterator[Page]:
    """Yield a page with a network."""
    context = browser.new_context(viewport={"width": 390, "height": 844})
    try:
        yield context.new_page()
    finally:
        context.close()


OPENED = (
    (HOST, f"https://{HOST}/v/", f"This page was opened from {HOST}. Only the shop’s"),
    ("", "https://else.example/v/", "This page was opened from else.example. Only the"),
    (
        HOST,
        "https://else.example/v/",
        "This page was opened from else.example, and the shop’s own address is "
        f"{HOST}: do not rely on what it says.",
    ),
    (
        HOST,
        f"https://{HOST}.else.example/",
        f"This page was opened from {HOST}.else.example, and the shop’s own",
    ),
    (
        "many.example/skm",
        "https://many.example/other/v/",
        "This page was opened from many.example, and the shop’s own address is "
        "many.example/skm",
    ),
    ("many.example/skm", "https://many.example/skm/v/", "This page was opened from"),
)


def test_a_page_cannot_vouch_for_itself(browser: Browser) -> None:
    """It names where it came from, and warns where that is not the shop's."""
    body = ""

    def answer(route: Route) -> None:
        route.fulfill(body=body, content_type="text/html; charset=utf-8")

    with visited(browser) as page:
        page.route("**/*", answer)
        for host, address, words in OPENED:
            body = verify.page(name=SHOP, keys=KEYS, host=host).decode()
            page.goto(address)
            page.wait_for_selector("#ways:not([hidden])")
            said = page.inner_text("#whence")
            is_loud = "do not rely" in said

            assert said.startswith(words)
            assert page.locator("main > #whence.warning").count() == is_loud
            assert is_loud == ("the shop’s own address is" in said)


def test_an_offline_copy_says_that_it_is_one(browser: Browser, tmp_path: Path) -> None:
    """And where a card names another address than the shop's, that is told."""
    other = CARD.decode().replace("skm.example", "skn.example")
    with pages.opened(browser, tmp_path, host=HOST) as page:
        assert page.page.inner_text("#whence") == OFFLINE

        page.types(CARD.decode())

        assert (page.word, page.note) == ("YES", "")

        page.types(other)

        assert page.word == "YES"
        assert page.note == (
            "The card names the address skn.example, and the shop’s own is "
            "skm.example: ask the shop before you open it."
        )


def test_a_site_s_page_opens_without_its_site(browser: Browser, tmp_path: Path) -> None:
    """Once seen, it is kept; and while the site answers, the site's is the newest.

    A card points to it without a slash at its end. The rest of the site is left alone,
    even where its name begins like the page's.
    """
    site, paper = tmp_path / "site", tmp_path / "certificate.json"
    paper.write_bytes(CERTIFICATE)
    (site / "v").mkdir(parents=True)
    (site / "violins.html").write_text("<title>Violins</title>")
    files = verify.site(name="Older", keys=KEYS, status=b"", host=HOST)
    for name, data in files.items():
        (site / name).write_bytes(data)
    with visited(browser) as page:
        faults: list[str] = []
        page.on("pageerror", lambda fault: faults.append(str(fault)))
        with given_out(site) as server:
            home = f"http://127.0.0.1:{server.server_port}"
            page.goto(f"{home}/v#{DIGITS}")
            page.wait_for_selector('#word[data-word="YES"]')
            page.evaluate("navigator.serviceWorker.ready.then(() => 1)")
            made = verify.page(name=SHOP, keys=KEYS, beside="\n", workers="'self'")
            (site / "v/index.html").write_bytes(made)
            page.reload()

            assert page.inner_text("#maker") == SHOP

            page.goto(f"{home}/violins.html")

            assert page.title() == "Violins"

            server.shutdown()
        for address in ("/v/index.html", "/v/", "/v"):
            page.goto("about:blank")
            page.goto(f"{home}{address}#{DIGITS}")
            page.wait_for_selector('#word[data-word="YES"]')

            assert page.inner_text("#maker") == SHOP

        kept = page.evaluate(KEPT)

        assert kept == ["/v/"]
        page.set_input_files("#file", paper)
        page.wait_for_selector("#told h2")

        assert page.inner_text("#word") == "YES"
        assert faults == []

        with pytest.raises(Error):
            page.goto(f"{home}/violins.html")


def test_a_single_file_asks_for_no_worker() -> None:
    """Only the site's page does, and it takes one from nowhere but its own place."""
    single = verify.page(name=SHOP, keys=KEYS).decode()
    files = verify.site(name=SHOP, keys=KEYS, status=b"{}", host=HOST)
    site = files["v/index.html"].decode()

    assert "worker" not in single.partition("<style>")[0]
    assert "serviceWorker" not in single
    assert "worker-src 'self'; " in site.partition("<style>")[0]
    assert site.count(".register(`${above}v-keep.js`") == 1
    assert sorted(files) == [
        *("v-keep.js", "v/index.html", "v/keys.json", "v/status.json"),
    ]
    assert (files["v/keys.json"], files["v/status.json"]) == (KEYS, b"{}")
