"""Measure how soon the page that checks answers, on a processor a quarter as fast.

Run it as `python tests/benchmarks/bench_page.py [KEYS CERTIFICATE]`, with a shop's keys
file and a certificate or its PDF; without them, with those of the tests' vectors. Each
round opens the page anew from a file. Two times are told, by the page's own clock:
from the address until the page can be used, and from the choice of a file to the word.
What is promised is their sum.
"""

import statistics
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from labels import verify  # noqa: E402 - only now does the path lead there
from tests import browser as browsers  # noqa: E402 - only now does the path lead there

VECTORS = ROOT / "tests/vectors/log"
SLOWER = 4
ROUNDS = 15
MOST_MILLISECONDS = 1000
WATCH = """
    globalThis.seen = {};
    const note = (what) => { seen[what] = seen[what] || performance.now(); };
    new MutationObserver(() => {
        const ways = document.getElementById("ways");
        if (ways && !ways.hidden) note("ready");
        if (document.querySelector('#word[data-word="YES"]')) note("word");
    }).observe(document, { subtree: true, childList: true, attributes: true });
    document.addEventListener("change", () => note("chosen"), true);
"""


def measured(browser: Browser, page_file: Path, paper: Path) -> tuple[float, float]:
    """Return the milliseconds until the page is ready, and from a file to its word."""
    with browsers.page(browser) as page:
        session = page.context.new_cdp_session(page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.add_init_script(WATCH)
        page.goto(page_file.as_uri())
        page.wait_for_selector("#ways:not([hidden])")
        page.set_input_files("#file", paper)
        page.wait_for_selector('#word[data-word="YES"]')
        seen = page.evaluate("globalThis.seen")
        return seen["ready"], seen["word"] - seen["chosen"]


def main(keys: Path, paper: Path) -> None:
    """Print the median and the worst of each."""
    with tempfile.TemporaryDirectory() as folder, browsers.started() as browser:
        made = Path(folder) / "verify.html"
        made.write_bytes(verify.page(name="Skerrymoor", keys=keys.read_bytes()))
        measured(browser, made, paper)
        rounds = [measured(browser, made, paper) for _ in range(ROUNDS)]
        size = made.stat().st_size
    sums = [ready + word for ready, word in rounds]
    print(f"{size} bytes, {ROUNDS} rounds, processor slowed {SLOWER} times")
    for what, times in (
        ("ready", [ready for ready, _ in rounds]),
        ("file to word", [word for _, word in rounds]),
        ("first answer", sums),
    ):
        print(
            f"{what:13} {statistics.median(times):6.0f} ms, worst {max(times):6.0f} ms"
        )
    if statistics.median(sums) > MOST_MILLISECONDS:
        raise SystemExit(f"the first answer takes more than {MOST_MILLISECONDS} ms")


if __name__ == "__main__":
    given = [Path(name) for name in sys.argv[1:3]]
    main(*(given or [VECTORS / "keys.json", VECTORS / "certificate.json"]))
