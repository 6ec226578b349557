"""The page that checks: what a person sees who opens, drops, pastes or types."""

import re
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from playwright.sync_api import Browser

from labels import verify
from ledger.acts import certificates, copies
from tests.labels.verify import pages
from tests.labels.verify.pages import CARD, CERTIFICATE, KEYS, PROOF, SHOP
from tests.skerrymoor import Loft

NOBODY = "A maker’s certificate"
DROP = """([kind, name, text]) => {
    const given = new DataTransfer();
    if (name) { given.items.add(new File([text], name)); }
    else { given.setData("text/plain", text); }
    const told = { bubbles: true, cancelable: true };
    window.dispatchEvent(kind === "drop"
        ? new DragEvent("drop", { ...told, dataTransfer: given })
        : new ClipboardEvent("paste", { ...told, clipboardData: given }));
}"""

# A true paper whose reading takes 700 ms, and at once after it a false one.
OVERTAKE = """([slow, first, second]) => {
    const known = crypto.subtle.digest.bind(crypto.subtle);
    const late = (given) => new Promise((done) => setTimeout(done, 700, given));
    let isFirst = slow === "hash";
    crypto.subtle.digest = async (...given) => {
        const waits = isFirst;
        isFirst = false;
        return waits ? late(0).then(() => known(...given)) : known(...given);
    };
    const data = new TextEncoder().encode(first);
    const slice = () => ({ arrayBuffer: () => late(data.buffer) });
    if (slow === "file") { takeFiles([{ size: data.length, slice }]); }
    else { takeRead({ data }); }
    setTimeout(() => takeFiles([new File([second], "second")]), 100);
    return ["word", "told"].map((name) => document.getElementById(name).textContent)
        .concat(document.title);
}"""


def pdf(*attached: bytes) -> bytes:
    """Return what of a PDF the page looks at: streams behind their marker lines."""
    streams = b"".join(
        b"<< /FLBK_Certificate true >>\nstream\n%s\nendstream\n" % data
        for data in attached
    )
    return b"%PDF-1.7\n" + streams + b"%%EOF\n"


def test_a_true_certificate_says_yes_and_asks_to_compare(
    browser: Browser, tmp_path: Path
) -> None:
    """Serial, species, mass and makers stand under the word, and what is not known."""
    with pages.opened(browser, tmp_path) as page:
        page.takes(("certificate.json", CERTIFICATE))

        assert page.word == "YES"
        assert "Signed by this shop, and not a letter changed." in page.told
        assert "Now look: is this the instrument? Compare it" in page.told
        assert page.row("serial") == "26-0001-8"
        assert page.row("model") == "Tidewarden"
        assert page.row("mass") == "1986\u2009g, when it left"
        assert page.row("woods") == "Picea abies 190.5\u2009g"
        assert page.row("made by") == (
            "Oluwaseun Adeyemi-Brandt: voice; approved\nRukmini Desai: papers"
        )
        assert page.row("in the log") == "no. 10, entered 2026-11-21"
        assert re.fullmatch(
            r"the shop’s keys file of 2026-11-24, .+", page.row("checked by")
        )
        assert page.row("log") == ""
        assert "no title and no permit" in page.page.locator("#limits").inner_text()


@pytest.mark.parametrize(
    ("word", "keys", "data"),
    [
        ("YES", KEYS, CERTIFICATE),
        ("NO", KEYS, CERTIFICATE.replace(b"1986000", b"1986001")),
        ("CANNOT TELL", b"", CERTIFICATE),
    ],
)
def test_the_word_stands_wherever_somebody_may_look(
    browser: Browser, tmp_path: Path, word: str, keys: bytes, data: bytes
) -> None:
    """On the plate, in the title, in what a screen reader says, and in print."""
    with pages.opened(browser, tmp_path, keys=keys) as page:
        page.takes(("certificate.json", data))
        printed = pdfium.PdfDocument(page.page.pdf())
        text = printed[0].get_textpage().get_text_range()
        printed.close()

        assert page.word == word
        assert page.page.title() == f"{word} – {SHOP if keys else NOBODY}"
        assert page.page.locator("#said").inner_text().startswith(f"{word}. ")
        assert page.page.evaluate("document.activeElement.id") == "word"
        assert re.search(rf"^{word}\s*$", text, re.MULTILINE)
        assert "Open a certificate" not in text


def test_one_changed_byte_says_no(browser: Browser, tmp_path: Path) -> None:
    """Wherever it is, nothing of the paper is then shown as a fact."""
    with pages.opened(browser, tmp_path) as page:
        for at in range(0, len(CERTIFICATE), 97):
            data = bytearray(CERTIFICATE)
            data[at] ^= 1
            page.takes(("certificate.json", bytes(data)))

            assert (page.word, page.row("fault") != "") == ("NO", True)
            assert page.row("serial") == page.row("mass") == page.row("woods") == ""


def test_a_stranger_s_shop_of_the_same_name_says_cannot_tell(
    browser: Browser, tmp_path: Path, certified: Loft
) -> None:
    """Nor does its keys file help, on a page that another shop has made."""
    paper = certificates.certificate_paper(certified.shop, "C-2026-00001")
    stranger = copies.publish_keys(certified.shop, certified.roots[:2]).read_bytes()
    with pages.opened(browser, tmp_path, name=SHOP) as page:
        page.takes(("certificate.json", paper.file.data))

        assert page.word == "CANNOT TELL"
        assert "a shop of the same name is another shop" in page.row("why")
        assert "ask that shop for its own page" in page.told
        assert page.black == "Open a certificate"

        page.takes(("keys.json", stranger))

        assert page.word == "CANNOT TELL"
        assert "is of another log" in page.note


def test_a_newer_keys_file_of_the_shop_tells_of_newer_entries(
    browser: Browser, tmp_path: Path, certified: Loft
) -> None:
    """The page of last year reads this year's certificate once it is added."""
    shop, roots = certified.shop, certified.roots[:2]
    old = copies.publish_keys(shop, roots).read_bytes()
    number = certified.issue(certified.another())
    paper = certificates.certificate_paper(shop, number).file.data
    new = copies.publish_keys(shop, roots).read_bytes()
    with pages.opened(browser, tmp_path, keys=old) as page:
        page.takes(("certificate.json", paper))

        assert page.word == "CANNOT TELL"
        assert "is newer than this keys file" in page.row("why")
        assert "Perhaps the shop has a newer keys file" in page.told

        page.takes(("keys.json", new))

        assert page.word == "YES"
        assert page.note == "The newer keys file of this shop is added."
        assert page.row("log").startswith("ledger-")
        assert "number 2" in page.page.locator("#keys").inner_text()
        assert "Signed by this shop" in page.told

        page.takes(("keys.json", old))

        assert page.word == "YES"
        assert "number 1, and this page holds number 2" in page.note


def test_a_page_of_no_shop_takes_a_keys_file_and_says_whose_it_is(
    browser: Browser, tmp_path: Path
) -> None:
    """Without it the answer is CANNOT TELL; a name without keys is not shown."""
    with pages.opened(browser, tmp_path, keys=b"") as page:
        assert SHOP not in page.page.locator("header").inner_text()
        assert "This page holds no shop’s keys" in page.told

        page.takes(("certificate.json", CERTIFICATE))

        assert page.word == "CANNOT TELL"
        assert "Ask the shop itself for its keys file" in page.told

        page.takes(("keys.json", KEYS))

        assert page.word == "YES"
        assert "Signed by the shop whose keys file you added" in page.told
        assert page.row("log") == "ledger-fb820faeaed9c82e"
        assert "worth as much as whoever gave it to you" in page.note


def test_a_certificate_and_a_keys_file_may_come_together(
    browser: Browser, tmp_path: Path
) -> None:
    """In either order; but of two certificates none is judged."""
    paper, keys = ("certificate.json", CERTIFICATE), ("keys.json", KEYS)
    with pages.opened(browser, tmp_path, keys=b"") as page:
        page.takes(paper, keys)

        assert page.word == "YES"

        page.takes(paper, paper)

        assert page.word == "Is this what the shop signed?"
        assert page.note == "2 files at once: open one certificate at a time"
        assert page.page.evaluate("bench.data") is None

        page.takes(paper)
        page.takes(*[paper] * 11)

        assert page.word == "Is this what the shop signed?"
        assert "11 files at once are not read" in page.note
        assert page.page.evaluate("bench.data") is None


def test_a_keys_file_that_does_not_hold_is_not_taken(
    browser: Browser, tmp_path: Path
) -> None:
    """One changed digit: alone it is a NO, and the page stays without keys."""
    bad = KEYS.replace(b'"threshold":', b'"threshold": ')
    with pages.opened(browser, tmp_path, keys=b"") as page:
        page.takes(("keys.json", bad))

        assert page.word == "NO"
        assert "Do not rely on this keys file." in page.told
        assert "canonical" in page.row("fault")

        page.takes(("certificate.json", CERTIFICATE))

        assert page.word == "CANNOT TELL"

        page.takes(("keys.json", bad), ("certificate.json", CERTIFICATE))

        assert page.word == "CANNOT TELL"
        assert page.note.startswith("That keys file does not hold: ")


@pytest.mark.parametrize("damaged", [KEYS[:-1], KEYS.replace(b"2026", b"2027", 1)])
def test_a_page_with_damaged_keys_is_a_page_without(
    browser: Browser, tmp_path: Path, damaged: bytes
) -> None:
    """It shows no maker's name then, and never says YES."""
    with pages.opened(browser, tmp_path, keys=damaged) as page:
        page.takes(("certificate.json", CERTIFICATE))

        assert page.word == "CANNOT TELL"
        assert SHOP not in page.page.locator("header").inner_text()


def test_a_pdf_is_read_for_the_file_in_it(browser: Browser, tmp_path: Path) -> None:
    """Behind its marker line; with two of them none is the true one."""
    with pages.opened(browser, tmp_path) as page:
        page.takes(("certificate.pdf", pdf(CERTIFICATE)))

        assert (page.word, page.row("serial")) == ("YES", "26-0001-8")

        page.takes(("certificate.pdf", pdf(CERTIFICATE, CERTIFICATE)))

        assert page.word == "NO"
        assert "holds 2 certificate files" in page.row("fault")


def test_a_proof_says_that_an_entry_stands_in_the_log(
    browser: Browser, tmp_path: Path
) -> None:
    """Its makers go by badge, since no name is in the log."""
    with pages.opened(browser, tmp_path) as page:
        page.takes(("certificate.tlog-proof", PROOF))

        assert page.word == "YES"
        assert page.row("made by") == "badge 01: voice; approved\nbadge 12: papers"


@pytest.mark.parametrize(
    "text",
    [
        CARD.decode(),
        f"  {CARD.decode().partition('#')[2]}\n",
        CARD.decode().replace("#", "#\n").replace("/v", "/\u00a0v"),
        "\n".join(re.findall(".{1,40}", CARD.decode())),
        "v# " + " ".join(re.findall(".{1,9}", CARD.decode().strip().split("#")[1])),
        " ".join(re.findall(".{1,5}", CARD.decode().strip().partition("#")[2])),
    ],
)
def test_a_card_s_text_may_be_typed(
    browser: Browser, tmp_path: Path, text: str
) -> None:
    """With its address, as bare digits, and in groups as people write them."""
    with pages.opened(browser, tmp_path) as page:
        page.types(text)

        assert page.word == "YES"
        assert page.row("woods") == "Picea abies 191\u2009g"
        assert page.row("made by") == "2 people; the certificate names them"


def test_a_card_s_text_may_come_with_the_address(
    browser: Browser, tmp_path: Path
) -> None:
    """A camera opens the page at it; a second card in the same page is judged too."""
    digits = CARD.decode().strip().partition("#")[2]
    with pages.opened(browser, tmp_path, fragment=f"#{digits}") as page:
        assert (page.word, page.row("serial")) == ("YES", "26-0001-8")

        page.page.evaluate("(text) => { location.hash = text; }", f"{digits[:-1]}0")
        page.page.wait_for_selector('#word[data-word="NO"]')


@pytest.mark.parametrize("kind", ["drop", "paste"])
@pytest.mark.parametrize("name", ["certificate.json", ""])
def test_files_and_texts_may_be_dropped_and_pasted(
    browser: Browser, tmp_path: Path, kind: str, name: str
) -> None:
    """Anywhere on the page."""
    given = CERTIFICATE.decode() if name else CARD.decode()
    with pages.opened(browser, tmp_path) as page:
        page.page.evaluate(DROP, [kind, name, given])
        page.page.wait_for_selector('#word[data-word="YES"]')

        assert page.row("serial") == "26-0001-8"


@pytest.mark.parametrize("slow", ["file", "hash"])
def test_only_the_newest_file_is_answered(
    browser: Browser, tmp_path: Path, slow: str
) -> None:
    """A file that was opened first and took long never covers what came after it."""
    altered = CERTIFICATE.replace(b"1986000", b"1986001").decode()
    with pages.opened(browser, tmp_path) as page:
        page.takes(("certificate.json", CERTIFICATE))
        during = page.page.evaluate(OVERTAKE, [slow, CERTIFICATE.decode(), altered])
        page.page.wait_for_selector('#word[data-word="NO"]')
        page.page.wait_for_timeout(1500)

        assert during == ["READING", "", f"Reading – {SHOP}"]
        assert page.word == "NO"
        assert page.row("serial") == ""


def test_without_ed25519_nobody_can_tell(browser: Browser, tmp_path: Path) -> None:
    """A browser that cannot check says so, before and after a file is opened."""
    with pages.opened(browser, tmp_path, before=pages.WITHOUT_ED25519) as page:
        assert "This browser cannot check the signatures (Ed25519)" in page.told

        for name, data in (("c", CERTIFICATE), ("c", CARD), ("c", PROOF), ("k", KEYS)):
            page.takes((name, data))

            assert page.word in ("CANNOT TELL", "Is this what the shop signed?")
            assert "Open this page in a newer one" in page.told


def test_a_fault_of_the_page_itself_takes_the_word_away(
    browser: Browser, tmp_path: Path
) -> None:
    """Where reading fails as nothing should, no YES stays on the screen."""
    with pages.opened(browser, tmp_path) as page:
        page.takes(("certificate.json", CERTIFICATE))
        page.page.evaluate("() => { crypto.subtle.digest = async () => { throw 7; }; }")
        page.takes(("certificate.json", CERTIFICATE))

        assert page.word == "CANNOT TELL"
        assert "this page failed while it read: 7" in page.row("why")


def test_the_policy_lets_nothing_else_run(browser: Browser, tmp_path: Path) -> None:
    """A script, a style or a picture that is put in afterwards is not obeyed."""
    policy = re.search(r'content="([^"]*)"', verify.page().decode())
    with pages.opened(browser, tmp_path) as page:
        page.page.evaluate(
            """() => {
                const script = document.createElement("script");
                script.textContent = "globalThis.ran = true";
                document.body.append(script);
                const frame = document.createElement("iframe");
                frame.src = "https://skerrymoor.example/";
                document.body.append(frame);
            }"""
        )
        page.page.wait_for_timeout(200)
        complaints = [*page.complaints]
        page.complaints.clear()
        page.asked.clear()

        assert policy is not None
        assert "default-src 'none'" in policy[1]
        assert "unsafe" not in policy[1] and "http" not in policy[1]
        assert page.page.evaluate("globalThis.ran") is None
        assert len(complaints) == 2
        assert all("Content Security Policy" in said for said in complaints)
