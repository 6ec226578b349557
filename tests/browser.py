"""A browser for the tests: found, started once, and without any network."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

PROGRAMS = ("chromium", "chromium-browser", "google-chrome")
# As root in a container there is no sandbox; nothing here loads what is not ours.
OPTIONS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)


def program() -> str:
    """Return which Chromium is installed, or skip where none is."""
    found = next(filter(None, map(shutil.which, PROGRAMS)), None)
    if found is None:
        pytest.skip("there is no Chromium: apt install chromium")
    return found


@contextmanager
def started() -> Iterator[Browser]:
    """Yield a headless Chromium, or skip where none is installed."""
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=program(), args=list(OPTIONS))
        yield browser
        browser.close()


@contextmanager
def page(browser: Browser, *, width: int = 390, height: int = 844) -> Iterator[Page]:
    """Yield an empty page the size of a phone, with the network off."""
    context = browser.new_context(
        viewport={"width": width, "height": height}, offline=True
    )
    try:
        yield context.new_page()
    finally:
        context.close()
