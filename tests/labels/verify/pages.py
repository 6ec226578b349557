"""The page that checks, open in a browser that has no network.

    with pages.opened(browser, folder) as page:
        page.takes("certificate.json", data)

        assert page.word == "YES"

What the page asked of any network, and what it complained of, is kept and must be
nothing when it is closed.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, ConsoleMessage, Page, Request

from labels import verify
from tests import browser as browsers

VECTORS = Path(__file__).parent.parent.parent / "vectors/log"
SHOP = "Skerrymoor Fretted Instruments"
KEYS = (VECTORS / "keys.json").read_bytes()
CERTIFICATE = (VECTORS / "certificate.json").read_bytes()
CARD = (VECTORS / "card.txt").read_bytes()
PROOF = (VECTORS / "certificate.tlog-proof").read_bytes()
# An answer as the reader gives it, to be shown without a signature of its own.
BLANK: dict[str, Any] = {
    "word": "NO",
    "reasons": ["it does not hold"],
    "kind": "certificate",
    "facts": None,
    "names": {},
    "index": 10,
    "entered": "2026-11-21T15:40:00Z",
    "said": "certificate.issued/1",
    "checkpoint": None,
    "keys": None,
    "key": "c54e7deb9709ea6b",
    "card": None,
    "listed": None,
}
SHOW = "globalThis.show = (answer) => showWords(wordsFor(answer, aboutBench()), '');"
WITHOUT_ED25519 = """
    const known = crypto.subtle.importKey.bind(crypto.subtle);
    crypto.subtle.importKey = async (form, key, kind, ...rest) => {
        if ((kind.name || kind) === "Ed25519") {
            throw new DOMException("unknown", "NotSupportedError");
        }
        return known(form, key, kind, ...rest);
    };
"""


@dataclass(slots=True, kw_only=True)
class Reader:
    """Somebody who has the page open."""

    page: Page
    folder: Path
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    @property
    def word(self) -> str:
        """The word on the plate, when the page has done reading."""
        self.settles()
        return self.page.locator("#word").inner_text()

    @property
    def told(self) -> str:
        """What stands under the plate."""
        self.settles()
        return self.page.locator("#told").inner_text()

    @property
    def note(self) -> str:
        """What the page remarks about what was opened."""
        return self.page.locator("#note").inner_text()

    @property
    def black(self) -> str:
        """What stands on the likely button."""
        return self.page.locator("button.likely").inner_text()

    def row(self, label: str) -> str:
        """Return what stands beside a label; several lines for several values."""
        return "\n".join(
            self.page.locator(f"dt:text-is('{label}') ~ dd").evaluate_all(
                "(all) => { const mine = []; const first = all[0]; "
                "for (let one = first; one && one.tagName === 'DD'; "
                "one = one.nextElementSibling) mine.push(one.innerText); "
                "return mine; }"
            )
        )

    def settles(self) -> None:
        """Wait until the page reads no more."""
        self.page.wait_for_selector('#word:not([data-word="READING"])', timeout=60_000)

    def takes(self, *files: tuple[str, bytes]) -> None:
        """Open files, as the button does."""
        paths = []
        for number, (name, data) in enumerate(files):
            paths.append(self.folder / f"{number}-{name}")
            paths[-1].write_bytes(data)
        self.page.set_input_files("#file", files=paths)
        self.settles()

    def types(self, text: str) -> None:
        """Put a text into the field, and press the button under it."""
        self.page.fill("#text", text)
        self.page.click("#judge")
        self.settles()

    def is_shown(self, **answer: Any) -> None:
        """Show an answer that was made by hand."""
        self.page.evaluate("(answer) => show(answer)", BLANK | answer)


@contextmanager
def opened(
    browser: Browser,
    folder: Path,
    *,
    name: str = SHOP,
    keys: bytes = KEYS,
    status: bytes = b"",
    host: str = "",
    width: int = 390,
    before: str = "",
    fragment: str = "",
    beside: str = "",
) -> Iterator[Reader]:
    """Yield the page of a shop; `before` is script that runs before it."""
    path = folder / "verify.html"
    made = verify.page(name=name, keys=keys, status=status, host=host, beside=beside)
    path.write_bytes(made)
    with visited(
        browser, path, width=width, before=before, fragment=fragment
    ) as reader:
        yield reader


@contextmanager
def visited(
    browser: Browser,
    path: Path,
    *,
    width: int = 390,
    before: str = "",
    fragment: str = "",
) -> Iterator[Reader]:
    """Yield a page that lies in a file, and see that it wanted nothing from outside."""
    with browsers.page(browser, width=width) as page:
        reader = Reader(page=page, folder=path.parent)

        def heard(said: ConsoleMessage) -> None:
            reader.complaints.append(said.text)

        def wanted(request: Request) -> None:
            reader.asked.append(request.url[:80])

        page.on("console", heard)
        page.on("pageerror", lambda fault: reader.complaints.append(str(fault)))
        page.on("request", wanted)
        if before:
            page.add_init_script(before)
        page.goto(path.as_uri() + fragment)
        page.wait_for_selector("#ways:not([hidden])")
        reader.settles()
        yield reader
        foreign = [
            url for url in reader.asked if not url.startswith(("file:", "data:"))
        ]
        assert (foreign, reader.complaints) == ([], [])


def facts(**other: Any) -> dict[str, Any]:
    """Return the facts of a certificate, as the reader gives them."""
    maker = {"badge": "03", "work": "plates", "name": "Jakub Wolański"}
    part = {
        "part": "top",
        "species": "Picea abies",
        "trade_name": None,
        "board": "L26-004-11",
        "mass_mg": 190_500,
        "harvested_in": "IT",
        "received_on": "2026-01-05",
        "sawyer": None,
    }
    said: dict[str, Any] = {
        "serial": "26-0147-3",
        "number": "C-2026-00088",
        "model": "Tidewarden",
        "issued_on": "2026-11-21",
        "mass_mg": 1_986_000,
        "instrument": None,
        "run": None,
        "makers": [maker],
        "materials": [part],
        "measures": [],
        "photographs": [],
    }
    return said | other
