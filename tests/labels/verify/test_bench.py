"""What the page remembers: whose keys, and which file its answer is of."""

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from ledger.check import check
from ledger.log.checkpoint import NoteKey
from tests.labels.verify import cases, pages
from tests.labels.verify.edges_of_keys import new_log_key
from tests.labels.verify.edges_of_volumes import keys_of_next
from tests.labels.verify.houses import Plan, Sale, founded, key_of, resigned, sold
from tests.labels.verify.pages import CARD, CERTIFICATE, KEYS, PROOF

DOMAIN = "skerrymoor.example/log"
FIRST = "Is this what the shop signed?"
BAD_KEYS = KEYS.replace(b'"threshold":', b'"threshold": ')
# A file of 60 MB is dropped, and 30 ms later a small one.
DROP_TWO = """(text) => {
    const drop = (file) => {
        const given = new DataTransfer();
        given.items.add(file);
        window.dispatchEvent(new DragEvent("drop", { dataTransfer: given }));
    };
    drop(new File([new Uint8Array(60e6)], "large.pdf"));
    setTimeout(() => drop(new File([text], "second.json")), 30);
}"""
# A file that is gone when it is read.
DROP_LOST = """() => takeFiles([{ size: 9, slice: () => ({ arrayBuffer: async () => {
    throw new DOMException("gone", "NotReadableError"); } }) }])"""
# How often something is judged, from now on.
COUNT = """() => {
    globalThis.judged = 0;
    const known = crypto.subtle.importKey.bind(crypto.subtle);
    crypto.subtle.importKey = (...given) => {
        globalThis.judged += 1;
        return known(...given);
    };
}"""


def test_a_stranger_under_the_same_origin_gets_no_yes(
    browser: Browser, tmp_path: Path
) -> None:
    """Anybody can found a shop under another's domain; its roots are others."""
    true = sold(founded(Plan(label="true", domain=DOMAIN)))
    false = sold(founded(Plan(label="stranger", domain=DOMAIN)))
    keys, paper = ("k", false.rekeyed(number=99, size=99)), ("c", false.data)
    assert check(false.data, keys[1])
    with pages.opened(browser, tmp_path, keys=true.keys) as page:
        for files in ([keys, paper], [paper, keys], [keys], [paper]):
            page.takes(*files)

            assert page.word in ("NO", FIRST)

        page.takes(keys)

        assert page.note.endswith("its roots do not follow.")
        assert "number 1," in page.page.locator("#keys").inner_text()

        page.takes(("c", true.data))

        assert page.word == "YES"


def test_a_page_of_an_older_volume_takes_the_keys_of_the_next(
    browser: Browser, tmp_path: Path
) -> None:
    """Its lineage goes on from the shop's own, though the log is shorter."""
    one = cases.sale()
    at = one.house.plan.head
    told = json.loads(keys_of_next(one, at)) | {"number": 2, "size": at + 1}
    with pages.opened(browser, tmp_path, keys=one.rekeyed(number=3)) as page:
        page.takes(("k", resigned(told, *one.house.live)), ("c", one.data))

        assert page.word == "YES"
        assert "number 2," in page.page.locator("#keys").inner_text()
        # And none of the older one any more, which its roots did not give up.
        page.takes(("k", one.rekeyed(number=9)))
        assert "number 2," in page.page.locator("#keys").inner_text()


def thieved(label: str) -> Sale:
    """Return papers by a thief who has a shop's first roots, though not its others."""
    old = sold(founded(Plan(label=label, roots=3, threshold=2)))
    lead, log = key_of("thief", "lead"), key_of("thief", "log")
    members = json.loads(old.keys)
    rows = members["keys"]
    for row in rows:
        if row["purpose"] == "person":
            row.update(public=str(lead.public), key=lead.id)
    at, row = old.house.plan.head - 1, members["log"][0]
    vkey = str(NoteKey(old.house.origin, log.public))
    logs = [row | {"until_size": at}, row | {"from_size": at + 1, "vkey": vkey}]
    replaced = new_log_key(old, log, at, old.house.live).decode()
    changed = members | {"keys": rows, "log": logs, "number": 99, "size": 99}
    changed |= {"lineage": [*members["lineage"], replaced]}
    keys = resigned(changed, *old.house.live)
    said = old.resaid(old.event, by=lead).proved(by=log)
    return replace(said, keys=keys)


def test_stolen_roots_that_were_changed_vouch_for_nothing(
    browser: Browser, tmp_path: Path
) -> None:
    """Their keys file holds in itself, and does not go on from the shop's own."""
    new = sold(founded(Plan(label="theft", roots=3, threshold=2, changes=1)))
    false = thieved("theft")
    assert check(false.data, false.keys)
    with pages.opened(browser, tmp_path, keys=new.keys) as page:
        page.takes(("k", false.keys), ("c", false.data))

        assert page.word == "NO"
        assert page.note.endswith("its roots do not follow.")


def test_a_page_of_no_shop_keeps_the_newest_of_a_log(
    browser: Browser, tmp_path: Path
) -> None:
    """An older keys file, or one whose log does not follow, replaces no newer one."""
    one = cases.sale(cases.ALONE)
    size = json.loads(one.keys)["size"]
    with pages.opened(browser, tmp_path, keys=b"") as page:
        page.takes(("k", one.rekeyed(number=5)))

        for keys, why in (
            (one.keys, "nothing is newer in it"),
            (one.rekeyed(number=6, size=size - 1), "its log does not follow"),
            (one.rekeyed(number=6, root="11" * 32), "its log does not follow"),
        ):
            page.takes(("k", keys))

            assert why in page.note
            assert "number 5," in page.page.locator("#keys").inner_text()

        page.takes(("k", one.rekeyed(number=6, size=size + 1, root="11" * 32)))

        assert "is added" in page.note

        page.takes(("k", cases.sale(cases.ALONE, "b").rekeyed(number=7)))

        assert "its log does not follow" in page.note

        page.takes(("k", cases.stranger().keys))

        assert "is added" in page.note


def test_the_true_next_keys_file_follows_a_change_of_roots(
    browser: Browser, tmp_path: Path
) -> None:
    """Its lineage begins with the whole of the older one's."""
    plans = [Plan(label="later", roots=3, threshold=2, changes=n) for n in (0, 1, 2)]
    shops = [sold(founded(plan)) for plan in plans]
    with pages.opened(browser, tmp_path, keys=shops[0].keys) as page:
        for number, shop in enumerate(shops[1:], start=2):
            page.takes(("k", shop.rekeyed(number=number, size=20 + number)))

            assert page.note == "The newer keys file of this shop is added."


@pytest.mark.parametrize("keys", [KEYS, b""], ids=["a shop", "no shop"])
def test_no_answer_outlives_the_file_it_is_of(
    browser: Browser, tmp_path: Path, keys: bytes
) -> None:
    """After a keys file that does not hold, a lost file, or none, there is no YES."""
    with pages.opened(browser, tmp_path, keys=keys) as page:
        for after in ("bad keys", "lost", "too many"):
            page.takes(("k", KEYS), ("c", CERTIFICATE))
            assert page.word == "YES"
            if after == "bad keys":
                page.takes(("k", BAD_KEYS))
                words = ("NO", "NO")
            elif after == "lost":
                page.page.evaluate(DROP_LOST)
                words = ("CANNOT TELL", FIRST)
                assert "this file could not be read: open it again" in page.told
            else:
                page.takes(("c", CERTIFICATE), ("c", CERTIFICATE))
                words = (FIRST, FIRST)

            assert page.word == words[0]

            page.takes(("k", KEYS))

            assert page.word == FIRST


def test_a_file_overtaken_by_a_keys_file_is_not_forgotten_in_silence(
    browser: Browser, tmp_path: Path
) -> None:
    """Nor does the answer of the one before it come back."""
    one = cases.sale(cases.ALONE)
    with pages.opened(browser, tmp_path, keys=one.keys) as page:
        page.takes(("c", one.data))
        page.page.evaluate(DROP_TWO, one.rekeyed(number=2).decode())
        page.page.wait_for_selector("#note:not([hidden])")

        assert page.word == FIRST
        assert "The newer keys file of this shop is added." in page.note
        assert "was not read to its end: open it again" in page.note


def test_a_turn_that_is_over_judges_nothing(browser: Browser, tmp_path: Path) -> None:
    """Of a hundred files at once only the last is read."""
    with pages.opened(browser, tmp_path) as page:
        page.page.evaluate(COUNT)
        page.takes(("c", CERTIFICATE))
        once = page.page.evaluate("globalThis.judged")
        page.page.evaluate("() => { globalThis.judged = 0; }")
        page.page.evaluate(
            "(text) => { for (let n = 0; n < 100; n += 1) "
            "takeFiles([new File([text], 'c')]); }",
            CERTIFICATE.decode(),
        )

        assert page.word == "YES"
        assert 0 < once == page.page.evaluate("globalThis.judged")


SCAN = b"%PDF-1.4\n1 0 obj\n<</Subtype/Image>>\nstream\n..\nendstream\n%%EOF\n"


@pytest.mark.parametrize("keys", [KEYS, b""], ids=["a shop", "no shop"])
@pytest.mark.parametrize("data", [SCAN, b"\xff\xd8\xff\xe0", b""])
def test_a_scan_or_a_photograph_is_no_forgery(
    browser: Browser, tmp_path: Path, data: bytes, keys: bytes
) -> None:
    """Nothing is signed in it: the page says so, and what would help."""
    with pages.opened(browser, tmp_path, keys=keys) as page:
        page.takes(("scan.pdf", data))

        assert page.word == "CANNOT TELL"
        assert "There is nothing signed in this" in page.told
        assert "type the digits of the card" in page.told
        assert page.black == "Open a certificate"


@pytest.mark.parametrize("text", ["", " ", "\n\n"])
def test_an_empty_field_begins_nothing(
    browser: Browser, tmp_path: Path, text: str
) -> None:
    """What was answered before still stands, with a remark."""
    with pages.opened(browser, tmp_path) as page:
        page.types(text)

        assert page.word == FIRST
        assert "Nothing is typed yet" in page.note

        page.takes(("c", CERTIFICATE))

        assert (page.word, page.note) == ("YES", "")

        page.types(text)

        assert page.word == "YES"
        assert "Nothing is typed yet" in page.note

        page.types(text)

        assert page.page.inner_text("#said").count("Nothing is typed yet") == 1


@pytest.mark.parametrize("after", ["", "\n"])
def test_objects_may_be_pasted_as_text(
    browser: Browser, tmp_path: Path, after: str
) -> None:
    """A certificate, and a keys file as if it were opened; with one line's end."""
    with pages.opened(browser, tmp_path, keys=b"") as page:
        page.types(CERTIFICATE.decode() + after)

        assert page.word == "CANNOT TELL"

        page.types(KEYS.decode() + after)

        assert page.word == "YES"
        assert "worth as much as whoever gave it to you" in page.note

        page.types(CERTIFICATE.decode() + after + "\n" * 2)

        assert page.word == "NO"

        page.types(BAD_KEYS.decode())

        assert page.word == "NO"
        assert "Do not rely on this keys file." in page.told


def test_a_log_s_name_is_quoted_as_a_paper_s(browser: Browser, tmp_path: Path) -> None:
    """It may read like words of the page, or look like another log's name."""
    name = "Signed,as,the,police,say:YES"
    sly = sold(founded(Plan(label="sly", domain=name)))
    alike = sold(founded(Plan(label="alike", domain="sk\u0435rrymoor.example")))
    with pages.opened(browser, tmp_path, keys=cases.sale(cases.DOMAIN).keys) as page:
        page.takes(("c", sly.data))
        quoted = page.page.locator("dd bdi").all_inner_texts()

        assert page.word == "CANNOT TELL"
        assert name in quoted
        assert f"this is of the log {name}, and the keys file" in page.row("why")

        page.takes(("c", alike.data))

        assert "letters of two alphabets: Cyrillic and Latin" in page.told

        page.takes(("k", alike.keys))

        assert "letters of two alphabets: Cyrillic and Latin" in page.note
    with pages.opened(browser, tmp_path, keys=b"") as page:
        page.takes(("k", alike.keys), ("c", alike.data))
        foot = page.page.locator("#keys").inner_text()

        assert page.word == "YES"
        for told in (foot, page.row("log"), page.note):
            assert "letters of two alphabets: Cyrillic and Latin" in told


def test_the_note_is_printed(browser: Browser, tmp_path: Path) -> None:
    """Whoever has the print sees that the keys were added by hand."""
    with pages.opened(browser, tmp_path, keys=b"") as page:
        page.takes(("k", KEYS), ("c", CERTIFICATE))
        page.page.emulate_media(media="print")

        assert page.page.locator("#note").is_visible()
        assert not page.page.locator("#ways").is_visible()


def test_a_proof_without_its_record_asks_for_another(
    browser: Browser, tmp_path: Path
) -> None:
    """No keys file would help there."""
    lines = PROOF.decode().split("\n")
    bare = "\n".join(line for line in lines if not line.startswith("extra "))
    with pages.opened(browser, tmp_path) as page:
        page.takes(("p", bare.encode()))

        assert page.word == "CANNOT TELL"
        assert "Ask the shop for a proof with its record in it." in page.told
        assert page.black == "Open a certificate"


def words_of(page: pages.Reader, papers: Sequence[bytes]) -> list[str]:
    """Open these one after the other, and return the words."""
    said = []
    for data in papers:
        page.takes(("paper", data))
        said.append(page.word)
    return said


def test_a_turn_leaves_nothing_to_the_next(browser: Browser, tmp_path: Path) -> None:
    """The same papers in another order have the same words."""
    altered = CERTIFICATE.replace(b"1986000", b"1986001")
    papers = [CERTIFICATE, altered, SCAN, CARD, PROOF, BAD_KEYS]
    with pages.opened(browser, tmp_path) as page:
        there = words_of(page, papers)
        back = words_of(page, papers[::-1])

    assert there == ["YES", "NO", "CANNOT TELL", "YES", "YES", "NO"] == back[::-1]
