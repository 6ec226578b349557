"""The status list: what it takes from a YES, and which list counts."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from labels import verify
from ledger.check import BUT, CANNOT_TELL, NO, YES, Answer, check
from ledger.check.status import NO_LIST, SAID_OF
from ledger.log.keys import SecretKey
from tests.labels.verify import cases, pages, statuses
from tests.labels.verify.cards import card, claims, item
from tests.labels.verify.houses import Plan, Sale, founded, sold
from tests.labels.verify.pages import Reader
from tests.labels.verify.sayings import Chance, b64

ONE = cases.sale(cases.ALONE)
CARD = card(item(claims(ONE, Chance("a card"))), ONE.house.key("card")).encode()
PROOF = ONE.proof(ONE.record).encode()
TODAY = "2026-11-30"
STANDINGS: tuple[tuple[tuple[str, ...], str, str], ...] = (
    ((), "YES", "nothing is said against it in status list 1 of 2026-11-24, 6 days"),
    (("superseded",), "YES", "superseded: the shop issued a newer certificate of"),
    (("withdrawn",), "YES, BUT", "withdrawn by the shop: ask it why"),
    (("reported",), "YES, BUT", "reported: contact the maker before you buy or"),
    (statuses.STATES, "YES, BUT", "withdrawn by the shop: ask it why\nreported: "),
)
CLOCK = """Date = class extends Date {
    constructor(...given) { super(...(given.length ? given : ["2026-11-30"])); } };"""
# A browser that keeps nothing: it refuses even to be asked.
KEEPS_NOTHING = """Object.defineProperty(globalThis, "localStorage", {
    get: () => { throw new DOMException("no", "SecurityError"); } });"""
TAKEN = """async ([list, keys]) => {
    const bytes = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
    try {
        const read = await readStatusList(bytes(list));
        await requireVouched(read, await readKeysFile(bytes(keys)));
        return "taken";
    } catch (fault) {
        return fault instanceof Fault ? fault.message : `threw ${fault}`;
    }
}"""
# What is shown on the plate and in the row, for a paper beside a list.
JUDGED = """async ([data, keys, list, today]) => {
    const bytes = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
    bench.keys = { data: bytes(keys) };
    bench.list = bench.waiting = null;
    localStorage.clear();
    await addList(bytes(list), false);
    const answer = await check(bytes(data), bytes(keys));
    const standing = standingOf(answer);
    const { word } = wordsFor({ ...answer, standing }, { ...aboutBench(), today });
    const lines = standingWords(standing, answer.index, today);
    return [word, lines.map((line) => [line].flat()
        .map(({ before, said, after }) => before + said + after).join(""))];
}"""
# What is said of a thief's list by the first keys, and of a true one by both in turn.
STOLEN = """async ([first, thiefs, older, second, trues]) => {
    const bytes = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
    const told = [];
    localStorage.clear();
    bench.list = bench.waiting = null;
    for (const [keys, list] of [[first, thiefs], [first, older], [second, trues]]) {
        bench.keys = { data: bytes(keys) };
        await judgeListAgain();
        const [one] = await addList(bytes(list), false);
        told.push(`${one.before}${one.said}${one.after}`.trim());
    }
    return told;
}"""
BESIDE = f"""globalThis.taken = {TAKEN}; globalThis.judged = {JUDGED};
globalThis.stolen = {STOLEN};"""


@pytest.fixture(scope="module")
def page(
    browser: Browser, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Reader]:
    """Give one page whose parts can be asked, and whose clock stands still."""
    folder = tmp_path_factory.mktemp("page")
    with pages.opened(browser, folder, keys=ONE.keys, beside=BESIDE) as reader:
        yield reader


def listed(*states: str, **other: Any) -> bytes:
    """Return a list of the shop that says these of its one certificate."""
    return statuses.listed(ONE.house, {ONE.token: states} if states else {}, **other)


def taken(page: Reader, data: bytes, keys: bytes) -> str:
    """Return whether the page takes a list, or why it does not."""
    given = [b64(one) for one in (data, keys)]
    said: str = page.page.evaluate("(given) => taken(given)", given)
    return said


def test_lists_are_judged_strictly(page: Reader) -> None:
    """Each that is odd in one thing is refused by a fault; each at an edge holds."""
    refused = [(what, taken(page, *given)) for what, *given in statuses.odd(ONE)]
    held = [(what, taken(page, *given)) for what, *given in statuses.even(ONE)]

    assert len(refused) > 20 and len(held) > 4
    assert [what for what, said in refused if said == "taken"] == []
    assert [said for _, said in refused if said.startswith("threw")] == []
    assert {said for _, said in held} == {"taken"}
    assert {said for what, said in refused if " key" in what and "no " not in what} == {
        "status list 1 cannot be judged by this keys file"
    }
    assert "at most 1048576 bytes" in taken(
        page, b'{"certificates":' * 70_000, ONE.keys
    )


def judged(page: Reader, data: bytes, keys: bytes, status: bytes) -> list[Any]:
    """Return what the page says of a paper beside a list: its word, and its lines."""
    given = [*(b64(one) for one in (data, keys, status)), TODAY]
    said: list[Any] = page.page.evaluate("(given) => judged(given)", given)
    return said


def as_told(answer: Answer) -> list[Any]:
    """Return what the ledger answers, in the page's words."""
    if answer.status is None:
        return [answer.word, []]
    if answer.status.number is None:
        return [answer.word, [NO_LIST.replace("shop's was opened", "shop’s is here")]]
    said = [reason for reason in answer.reasons if reason in SAID_OF.values()]
    aged, *more = answer.status.words
    aged = aged.replace(" (", ", ").replace(" old)", " old")
    return [answer.word, [*said, aged.replace("said in s", "so says s"), *more]]


def test_both_readers_say_the_same_of_a_list(page: Reader) -> None:
    """The word, the reasons in their order, age and size, of each paper and list."""
    lists = [(what, data, keys) for what, data, keys in statuses.even(ONE)]
    lists += [(what, data, keys) for what, data, keys in statuses.odd(ONE)]
    lists += [(" ".join(said), listed(*said), ONE.keys) for said, _, _ in STANDINGS]
    lists += [("old", listed("reported", next="2026-11-29", size=1), ONE.keys)]
    apart, words = [], set()
    for what, data, keys in lists:
        for paper in (ONE.data, CARD, PROOF, ONE.data[:-9]):
            answer = check(paper, keys, data, today=TODAY)
            seen = judged(page, paper, keys, data)
            words.add(answer.word)
            if seen != as_told(answer):
                apart.append((what, paper[:20], seen, as_told(answer)))

    assert apart == []
    assert words == {YES, BUT, NO, CANNOT_TELL}


def test_both_readers_believe_the_pinned_list(page: Reader) -> None:
    """A list that neither of their tests made, of the pinned certificate."""
    pinned = (pages.VECTORS / "status.json").read_bytes()
    for paper in (pages.CERTIFICATE, pages.CARD, pages.PROOF):
        answer = check(paper, pages.KEYS, pinned, today=TODAY)

        assert answer.word == BUT
        assert judged(page, paper, pages.KEYS, pinned) == as_told(answer)


@contextmanager
def shown(browser: Browser, folder: Path, status: bytes = b"") -> Iterator[Reader]:
    """Open the shop's page six days after the list, whatever the day of the test."""
    with pages.opened(
        browser, folder, keys=ONE.keys, status=status, before=CLOCK
    ) as page:
        yield page


def test_a_list_takes_the_green_from_a_yes(browser: Browser, tmp_path: Path) -> None:
    """On a certificate and on its card; a NO and a CANNOT TELL stay what they are."""
    with shown(browser, tmp_path) as page:
        for number, (states, word, said) in enumerate(STANDINGS, start=1):
            page.takes(("l", listed(*states, number=number)))
            for paper in (ONE.data, CARD, PROOF):
                page.takes(("paper", paper))

                assert (page.word, said in page.row("status")) == (word, True)
                assert page.page.title().startswith(f"{word} – ")
                first = page.page.locator("dt").first.inner_text()
                assert first == ("status" if word == "YES, BUT" else "serial")
        page.takes(("c", ONE.data[:-9]))

        assert (page.word, page.row("status")) == ("NO", "")

        page.takes(("c", pages.CERTIFICATE))

        assert (page.word, page.row("status")) == ("CANNOT TELL", "")


def test_without_a_list_nothing_is_known(browser: Browser, tmp_path: Path) -> None:
    """The page says so; a list that comes by hand answers at once, with its age."""
    with shown(browser, tmp_path) as page:
        page.takes(("c", ONE.data))

        assert page.word == "YES"
        assert page.row("status").startswith(
            "no list of the shop’s is here, so whether"
        )
        assert "This page holds no status list" in page.page.inner_text("footer")

        page.takes(("l", listed("withdrawn", number=4, next="2026-11-29", size=10)))

        assert page.word == "YES, BUT"
        assert page.note == "Status list 4 of this shop is added."
        for told in (
            "so says status list 4 of 2026-11-24, 6 days old",
            "the list is older than this certificate",
            "this list was to be replaced on 2026-11-29: get the newer one",
        ):
            assert told in page.row("status").splitlines()
        foot = page.page.inner_text("#list")
        assert foot.startswith(
            "The status list that you added is number 4 of 2026-11-24"
        )
        assert foot.endswith("A newer one was due: ask the shop for it.")

        page.takes(("p", PROOF))

        assert page.word == "YES, BUT"


def test_an_older_list_is_refused(browser: Browser, tmp_path: Path) -> None:
    """By what the page holds, and by what the browser remembers of another visit."""
    with shown(browser, tmp_path, status=listed(number=3)) as page:
        page.takes(("l", listed("reported", number=5)))
        page.takes(("l", listed(number=4)))

        assert page.note.endswith(
            "list 4 is older than list 5, which this page has seen."
        )

        page.takes(("l", listed("withdrawn", number=5)))

        assert "list 5 says otherwise than the list 5 which this page" in page.note

        page.takes(("l", listed("reported", number=5)), ("c", ONE.data))

        assert page.word == "YES, BUT"

        page.page.reload()
        page.page.wait_for_selector("#ways:not([hidden])")

        assert page.note == (
            "The status list in this page is not used: list 3 is older than list 5, "
            "which this page has seen."
        )

        page.takes(("c", ONE.data))

        assert "no list of the shop’s is here" in page.row("status")


def test_a_stolen_keys_number_shuts_out_no_true_list(page: Reader) -> None:
    """Once the keys file says that the key was stolen, its list binds nobody."""
    card, next_card = ONE.house.key("card"), ONE.house.key("nobody")
    row = next(each for each in ONE.rows(card) if each["key"] == card.id)
    changed = [*ONE.rows(card, disputed_since=5), row | named(next_card)]
    given = [
        b64(data)
        for data in (
            ONE.keys,
            listed(number=2**53 - 1),
            listed("reported", number=20),
            ONE.rekeyed(number=2, keys=sorted(changed, key=lambda each: each["key"])),
            listed("reported", number=21, by=next_card),
        )
    ]
    told = page.page.evaluate("(given) => stolen(given)", given)

    assert told == [
        "Status list 9007199254740991 of this shop is added.",
        "That status list is not used: list 20 is older than list 9007199254740991, "
        "which this page has seen.",
        "Status list 21 of this shop is added.",
    ]


def named(secret: SecretKey) -> dict[str, str]:
    """Return how a keys file names a key."""
    return {"key": secret.id, "public": str(secret.public)}


def test_a_browser_that_keeps_nothing_still_checks(
    browser: Browser, tmp_path: Path
) -> None:
    """It goes by the list in the page alone."""
    with pages.opened(
        browser,
        tmp_path,
        keys=ONE.keys,
        status=listed("reported"),
        before=KEEPS_NOTHING,
    ) as page:
        page.takes(("c", ONE.data))

        assert page.word == "YES, BUT"


def test_a_bad_list_counts_as_none(browser: Browser, tmp_path: Path) -> None:
    """Alone or beside a paper: it is told, and the paper's word is its own."""
    bad = listed("withdrawn").replace(b"withdrawn", b"reported")
    with shown(browser, tmp_path) as page:
        for files in ([("l", bad)], [("c", ONE.data), ("l", bad)]):
            page.takes(*files)

            assert page.note == (
                "That status list is not used: status list 1 is not signed by key "
                f"{ONE.house.key('card').id}, which it names."
            )
        assert page.word == "YES"
        assert "no list of the shop’s" in page.row("status")


def stranger() -> Sale:
    """Return the papers of somebody who founded a shop under the same name."""
    return sold(founded(Plan(label="a stranger's", domain="skm.example")))


def test_a_list_waits_for_its_keys(browser: Browser, tmp_path: Path) -> None:
    """And is judged again by others; a stranger's list does not shut out the shop's."""
    true = sold(founded(Plan(label="the true one", domain="skm.example")))
    papers = [
        (one.keys, statuses.listed(one.house, number=number), one.data)
        for one, number in ((stranger(), 99), (true, 1))
    ]
    with pages.opened(browser, tmp_path, keys=b"") as page:
        keys, data, paper = papers[0]
        page.takes(("l", data))

        assert "it waits until the shop’s keys file is here" in page.note

        page.takes(("k", keys), ("c", paper))

        assert "nothing is said against it" in page.row("status")
    keys, data, paper = papers[1]
    with pages.opened(browser, tmp_path, keys=keys) as page:
        page.takes(("l", data), ("c", paper))

        assert "nothing is said against it" in page.row("status")


def test_the_list_lies_in_the_page_as_it_is() -> None:
    """In base64, as the keys file does."""
    data = listed("reported")
    made = verify.page(name="", keys=ONE.keys, status=data).decode()

    assert f'data-status="{b64(data)}"' in made
