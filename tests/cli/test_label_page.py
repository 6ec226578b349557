"""flitchbook label page: one file, with the newest keys file of the shop inside."""

import base64
import json
import re
from html import unescape

from playwright.sync_api import Browser

from ledger.acts.copies import publish_keys
from tests import skerrymoor
from tests.cli.bench import SERIAL, Bench
from tests.labels.verify import pages

PUBLISH = "shop keys --root sticks/root-1.json --root sticks/root-2.json"
PAGE = "label page --out verify.html"


def inside(bench: Bench, name: str = "verify.html") -> tuple[str, bytes]:
    """Return the maker's name and the keys file that a page holds."""
    text = (bench.folder / name).read_text(encoding="utf-8")
    found = re.search(r'data-keys="([^"]*)" data-maker="([^"]*)"', text)

    assert found is not None
    return unescape(found[2]), base64.b64decode(found[1])


def test_a_page_holds_the_shop_s_newest_keys_file(bench: Bench) -> None:
    """A page made again after another publication holds the newer one."""
    for number in (1, 2):
        published = bench.data(PUBLISH)["file"]
        told = bench.data(f"label page --out verify-{number}.html")
        held = inside(bench, f"verify-{number}.html")

        assert held == (skerrymoor.NAME, (bench.folder / published).read_bytes())
        assert told["number"] == number
        assert told["size"] == json.loads(held[1])["size"]
        assert told["keys"] == published


def test_a_page_is_made_without_a_pin_and_without_an_entry(bench: Bench) -> None:
    """It only reads: nobody signs, and the log is no longer than before."""
    bench.does(PUBLISH)
    (bench.folder / "pins").unlink()
    before = bench.data("shop show")["size"]
    said = bench.does(PAGE)

    assert said.startswith("verify.html: the page that checks, with keys file 1 of ")
    assert bench.data("shop show")["size"] == before


def test_a_page_with_keys_stays_small(bench: Bench) -> None:
    """700 kB are the most, so that it can go into any letter."""
    bench.does(PUBLISH)
    told = bench.data(PAGE)

    assert told["bytes"] == (bench.folder / "verify.html").stat().st_size <= 700_000


def test_a_bare_page_is_of_no_shop(bare: Bench) -> None:
    """It is made in a folder where there is no shop, and holds no keys."""
    told = bare.data(f"{PAGE} --bare")

    assert set(told) == {"file", "bytes"}
    assert inside(bare) == ("", b"")


def test_a_page_wants_a_published_keys_file(bench: Bench) -> None:
    """Before the roots vouched for the shop's keys there is nothing to put in it."""
    bench.refuses(PAGE, "published no keys file yet: run flitchbook shop keys, or")


def test_a_page_is_not_made_of_a_damaged_keys_file(bench: Bench) -> None:
    """One that strangers would refuse is refused here first."""
    path = bench.folder / bench.data(PUBLISH)["file"]
    path.write_bytes(path.read_bytes().replace(b'"number":1', b'"number":3'))

    bench.refuses(PAGE, "does not hold (the keys file's signature")


def test_a_page_is_not_made_of_another_shop_s_keys(bench: Bench) -> None:
    """A stranger's keys file in the folder does not get into this shop's page."""
    path, clock = bench.folder / bench.data(PUBLISH)["file"], skerrymoor.Clock()
    folder = bench.folder / "other"
    founded = skerrymoor.founded(folder, clock=clock, label="elsewhere")
    other = skerrymoor.manned(founded, clock, folder)
    path.write_bytes(publish_keys(other.shop, other.roots[:2]).read_bytes())
    other.shop.close()

    bench.refuses(PAGE, "publish another with flitchbook shop keys")


def test_a_page_is_never_written_over_a_file(bench: Bench) -> None:
    """As with every paper."""
    bench.does(PUBLISH)

    bench.refuses("label page --out pins", "pins is there already: name another")


def test_the_page_reads_the_papers_of_its_shop(bench: Bench, browser: Browser) -> None:
    """The PDF as the printer got it: YES, with what it is made of and by whom."""
    bench.does("certificate print C-2026-00001 --by 01 --out paper.pdf")
    bench.does(PUBLISH)
    bench.does(PAGE)
    paper = (bench.folder / "paper.pdf").read_bytes()
    with pages.visited(browser, bench.folder / "verify.html") as page:
        page.takes(("paper.pdf", paper))

        assert page.word == "YES"
        assert page.row("serial") == SERIAL
        assert page.row("mass") == "1986\u2009g, when it left"
        assert "Picea abies" in page.row("woods")
        assert "Jakub Wolański: " in page.row("made by")

        page.takes(("paper.pdf", paper.replace(b"1986000", b"1986001")))

        assert page.word == "NO"


def test_a_page_holds_the_newest_status_list(bench: Bench) -> None:
    """As the shop published it, by number and not by name."""
    bench.does(PUBLISH)
    issued = bench.data("certificate status --by 01")
    published = bench.folder / issued["file"]
    (published.parent / "status-999.json").write_bytes(published.read_bytes())
    told = bench.data(PAGE)
    text = (bench.folder / "verify.html").read_text(encoding="utf-8")
    found = re.search(r'data-status="([^"]*)"', text)

    assert told["status"].endswith("status-999.json")
    assert told["status_number"] == issued["number"]
    assert found is not None
    assert base64.b64decode(found[1]) == published.read_bytes()


def test_a_page_is_not_made_of_a_list_that_nobody_believes(bench: Bench) -> None:
    """One that is damaged, or of a key that the keys file does not know."""
    bench.does(PUBLISH)
    issued = bench.data("certificate status --by 01")
    path, number = bench.folder / issued["file"], issued["number"]
    whole = path.read_bytes()
    for data, why in (
        (b"{}", "does not hold: this is no flitchbook-status/1; issue another"),
        (
            whole.replace(b'"number":%d' % number, b'"number":%d' % (number + 1)),
            "did not sign it; issue another",
        ),
    ):
        path.write_bytes(data)

        bench.refuses(PAGE, why)


def test_a_site_s_page_is_written_over_an_older_one(bench: Bench) -> None:
    """And over nothing else: a folder that holds other files is left as it is."""
    bench.does(PUBLISH)
    site = bench.folder / "site"
    bench.refuses("label page --site site", "there is no folder site: make it")
    for folder in (".", "shop", "shop/published"):
        bench.refuses(f"label page --site {folder}", "would go on the web: name one")
    site.mkdir()
    said = bench.does("label page --site site")

    assert said.startswith("site/v: the page that checks, with keys file 1 of ")
    (site / "v/status.json").write_bytes(b"of an older page")
    (site / "v/index.html.x.part").write_bytes(b"what a power cut left")
    bench.does(PUBLISH)
    told = bench.data("label page --site site")
    names = sorted(str(path.relative_to(site)) for path in site.rglob("*.*"))

    assert names == told["files"] == ["v-keep.js", "v/index.html", "v/keys.json"]
    assert told["number"] == 2
    assert (site / "v/keys.json").read_bytes() == inside(bench, "site/v/index.html")[1]

    (site / "v/diary.txt").write_text("mine")

    bench.refuses("label page --site site", "diary.txt, which is no file of this page")

    (site / "v/diary.txt").unlink()
    (site / "v-keep.js").write_text("mine")

    bench.refuses("label page --site site", "v-keep.js is no file of this page")


def test_a_page_goes_to_one_place(bench: Bench) -> None:
    """A file or a site, and a site is always a shop's."""
    for options in ("", "--out a.html --site site", "--site site --bare"):
        assert bench.run(f"label page {options}").code == 2
