"""The page's words: each sentence in four languages, and no English in the others."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from labels import terms, verify
from labels.tongue import tongue
from tests.labels.verify import literals, pages, statuses
from tests.labels.verify.cases import ALONE, sale
from tests.labels.verify.pages import CARD, CERTIFICATE, SHOW, facts

HOLE = re.compile(r"\{[0-9]\+?\}")
# Words that stand alone; whether they are said is found in the script as it stands.
ALONE_WORDS = (
    *("YES", "NO", "READING", "Reading", "Reading.", "serial", "model", "kind", "run"),
    *("mass", "woods", "issued", "status", "says", "log", "signed", "claims", "fault"),
    *("why", "on", "today", ": ", "Latin", "Cyrillic", "Greek", "Armenian", "Cherokee"),
    *("Coptic", "Hebrew", "Arabic"),
)
# Shapes into which the script puts whole sentences, and which it writes in pieces.
SHAPES = ("{1} and {2}", ", {1}", ", {1}.")
# Every text on the page that has letters, and whether it is a paper's; what names its
# language is not asked.
TEXTS = r"""() => {
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const texts = [];
    while (walk.nextNode()) {
        const node = walk.currentNode;
        const within = node.parentElement;
        if (within.closest("script, [lang]:not(html), [hidden]")) continue;
        if (/\p{L}/u.test(node.data)) texts.push([node.data, !!within.closest("bdi")]);
    }
    return texts.concat(Array.from(document.querySelectorAll("[aria-label]"),
        (one) => [one.getAttribute("aria-label"), false]), [[document.title, false]]);
}"""


def translations(name: str) -> dict[str, str]:
    """Return what a language says for each sentence."""
    text = (verify.HERE / f"words/{name}.json").read_text(encoding="utf-8")
    said: dict[str, str] = json.loads(text)
    return said


@pytest.mark.parametrize("name", verify.LANGUAGES)
def test_every_sentence_has_its_translation(name: str) -> None:
    """Whatever the script or its reader can say, with the same holes, and no more."""
    said, known = literals.sentences(), translations(name)
    lacking = [f"{place}: {text}" for text, place in said.items() if text not in known]
    wrong = [
        english
        for english, text in known.items()
        if {hole[:2] for hole in HOLE.findall(english)}
        != {hole[:2] for hole in HOLE.findall(text)}
    ]

    assert len(said) > 250
    assert lacking == []
    assert sorted(known.keys() - said.keys()) == sorted([*ALONE_WORDS, *SHAPES])
    assert wrong == []
    assert list(known) == sorted(known)


def test_words_that_stand_alone_are_said() -> None:
    """None of them is a leftover."""
    said = {text for text in _all_literals() if text}

    assert [word for word in ALONE_WORDS if word not in said] == []


def _all_literals() -> list[str]:
    paths = (verify.HERE / "js").iterdir()
    texts = [path.read_text(encoding="utf-8") for path in paths]
    return [one for text in texts for one in literals.literals(text)]


@pytest.mark.parametrize("name", ["fr"])
def test_french_has_its_spaces(name: str) -> None:
    """One that does not break before a colon, a semicolon and both loud marks."""
    assert [
        text
        for text in translations(name).values()
        if re.search("(?<!\u00a0)[:;!?]", text)
    ] == []


def test_literals_are_read_as_a_browser_reads_them() -> None:
    """Joined ones as one, holes numbered through, comments and patterns passed over."""
    source = """// "no"
    const a = "it is " + `the ${n} of ${m ? "its own" : `${k} more`}` +
        ` and ${b}`;
    const c = /["'` ]/.test(d) ? f("a\\u00e9 b", g / 2) : "x" + LAST_ONE;
    """

    assert literals.literals(source) == [
        *("its own", "{1} more", "it is the {1} of {2} and {3}", "aé b", "x{1}"),
    ]


def test_sentences_are_found_again_by_their_shape(
    browser: Browser, tmp_path: Path
) -> None:
    """With anything in their holes; what a paper says is never translated."""
    said = list(translations("de"))
    filled = [re.sub(r"\{([0-9])\}", r"<\1>", text) for text in said]
    with pages.opened(browser, tmp_path, beside="globalThis.saying = say;") as page:
        page.page.select_option("#language", "de")
        spoken = page.page.evaluate("(all) => all.map((one) => saying(one))", filled)
        quoted = page.page.evaluate(
            "(all) => all.map((one) => saying(one))",
            [
                'the name "mass" is not the one the record commits to',
                "the keys file does not hold: the keys file is signed by 1 of 2 roots",
                f"this is of the log {'of the log ' * 20_000}",
                "no sentence of this page",
                *(", 9 days old", ", 1 day old", ", today", ", board "),
            ],
        )

    for english, text, found in zip(said, filled, spoken, strict=True):
        wanted = re.sub(r"\{([0-9])\+?\}", r"<\1>", translations("de")[english])
        assert (text, found) == (text, wanted)
    assert quoted[0] == 'der Name "mass" ist nicht der, auf den sich der Datensatz ' + (
        "festlegt"
    )
    assert quoted[
        1
    ] == "die Schlüsseldatei ist nicht gültig: die Schlüsseldatei ist von 1 " + (
        "der 2 nötigen Wurzeln signiert"
    )
    assert quoted[3] == "no sentence of this page"
    assert quoted[4:] == [", 9 Tage alt", ", 1 Tag alt", ", heute", ", Brett "]


def english_left(page: pages.Reader, name: str) -> list[str]:
    """Return the texts that stay as they are when the page changes its language."""
    known = translations(name)
    page.page.select_option("#language", "en")
    before: list[Any] = page.page.evaluate(TEXTS)
    page.page.select_option("#language", name)
    after: list[Any] = page.page.evaluate(TEXTS)

    assert len(before) == len(after) > 8
    return [
        one
        for (one, is_paper), (other, _) in zip(before, after, strict=True)
        if one == other
        and one.removesuffix(f" – {pages.SHOP}") not in known
        and not is_paper
        and re.search(r"[^\W\d_]{2}", one)
        and one != pages.SHOP
    ]


def test_no_english_is_left(browser: Browser, tmp_path: Path) -> None:
    """In any state of the page, whatever is no paper's changes with the language."""
    one = sale(ALONE)
    listed = statuses.listed(one.house, {one.token: statuses.STATES}, next="2026-11-24")
    with pages.opened(
        browser, tmp_path, keys=one.keys, status=listed, beside=SHOW
    ) as page:

        def none_is_left() -> None:
            for name in verify.LANGUAGES:
                assert (name, english_left(page, name)) == (name, [])
                assert page.page.get_attribute("html", "lang") == name

        none_is_left()
        for files in (
            [("c", one.data)],
            [("c", CERTIFICATE)],
            [("c", CERTIFICATE.replace(b"1986000", b"1986001"))],
            [("k", one.keys), ("k", pages.KEYS)],
            [("k", pages.KEYS.replace(b'"threshold":', b'"threshold": '))],
            [("s", b"a scan")],
            [("c", CARD), ("c", CARD)],
            [("l", listed.replace(b'"number":1', b'"number":2'))],
        ):
            page.takes(*files)
            none_is_left()
        keys = {"origin": "ledger-0", "date": "2026-11-24", "number": 1, "size": 9}
        said = {"keys": keys, "standing": {"list": None, "states": []}}
        for shown in ({"card": CARD_FACTS}, {"facts": facts(photographs=["00"])}):
            page.is_shown(word="YES", **said, **shown)
            none_is_left()


@pytest.mark.parametrize("name", verify.LANGUAGES)
def test_parts_and_works_are_named_as_on_paper(
    browser: Browser, tmp_path: Path, name: str
) -> None:
    """By the catalogues' own words; a shop's own stay as it wrote them."""
    say = tongue(name)
    work = "join the top, press the frets (witnessed), polish (twice), constructor"
    maker = {"badge": "03", "work": work, "name": "Jakub Wolański"}
    said = facts(makers=[maker], instrument=terms.KINDS[1])
    keys = {"origin": "ledger-0", "date": "2026-11-24", "number": 1, "size": 9}
    with pages.opened(browser, tmp_path, beside=SHOW) as page:
        page.page.select_option("#language", name)
        page.is_shown(word="YES", keys=keys, facts=said)

        assert page.row(translations(name)["made by"]) == (
            f"Jakub Wolański{translations(name)[': ']}{terms.works_in(work, say)}"
        )
        assert page.row(translations(name)["kind"]) == say("flat-top guitar")
        assert page.page.locator("#told ul li").last.inner_text().startswith(say("top"))
    assert say("join the top") != "join the top"


def test_a_long_row_of_works_is_cut_at_a_comma(
    browser: Browser, tmp_path: Path
) -> None:
    """In the language that is spoken, and its length is told."""
    works = ", ".join(terms.STEPS)
    with pages.opened(browser, tmp_path, beside=SHOW) as page:
        page.page.select_option("#language", "de")
        maker = {"badge": "03", "work": works, "name": "Jakub Wolański"}
        keys = {"origin": "ledger-0", "date": "2026-11-24", "number": 1, "size": 9}
        page.is_shown(word="YES", keys=keys, facts=facts(makers=[maker]))
        _, _, row = page.row(translations("de")["made by"]).partition(": ")
        shown, _, length = row.partition("… (")

    said = terms.works_in(works, tongue("de"))
    assert said.startswith(shown) and shown.endswith(", ")
    assert 250 < len(shown) <= 300
    assert length == f"{len(said)} Zeichen)"


CARD_FACTS = {
    "serial": "26-0147-3",
    "number": "C-2026-00088",
    "model": "Tidewarden",
    "issued_on": "2026-11-21",
    "species": [["Picea abies", 190], ["+", 1200]],
    "mass_g": 1986,
    "makers": 2,
    "index": 10,
}


def test_the_browser_s_language_comes_first(browser: Browser, tmp_path: Path) -> None:
    """The first that the page knows; the word that papers name stands below its own."""
    wants = (
        "Object.defineProperty(navigator, 'languages', "
        "{ get: () => ['nn-NO', 'de-CH', 'en'] });"
    )
    with pages.opened(browser, tmp_path, before=wants) as page:
        page.takes(("c", CERTIFICATE))
        gloss = page.page.evaluate(
            "getComputedStyle(document.getElementById('word'), '::after').content"
        )

        assert (page.word, gloss) == ("JA", '"YES"')
        assert page.page.get_attribute("html", "lang") == "de"
        assert page.page.title().startswith("JA – ")
        assert page.page.get_by_label("Sprache").input_value() == "de"
        assert page.row("Nr.") == "26-0001-8"


def test_no_language_runs_over_the_edge(browser: Browser, tmp_path: Path) -> None:
    """On a phone of 360 px, and on one of 320, in each answer."""
    one = sale(ALONE)
    listed = statuses.listed(one.house, {one.token: ["withdrawn"]})
    with pages.opened(browser, tmp_path, keys=one.keys, status=listed) as page:
        for data in (one.data, CERTIFICATE, one.data[:-9]):
            page.takes(("c", data))
            for name in ("en", *verify.LANGUAGES):
                page.page.select_option("#language", name)
                for width in (320, 360):
                    page.page.set_viewport_size({"width": width, "height": 740})
                    whole, *over = page.page.evaluate(WIDTHS)

                    assert (name, whole, {*over}) == (name, width, {0})


WIDTHS = """[document.documentElement.scrollWidth, ...Array.from(
    document.querySelectorAll("button, #word, header p, dt"),
    (one) => one.scrollWidth - one.clientWidth)]"""


def test_parts_know_no_language() -> None:
    """The readers' own sentences stay English, by which the two are compared."""
    assert "say(" not in verify.bundle("check.js")
