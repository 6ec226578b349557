"""A customs officer in a hall without a network, with the shop's page on a phone.

She has the certificate's file, the card that lies in the case, and the list of
materials that travels with it. The page's list of what is said against certificates is
of 12 January, and she looks on the 21st. Whatever she is shown, she sees no green that
the shop's own keys and its list do not give.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from cli.label_page import of_shop
from cli.papers import owner_certificate
from cli.papers_shipment import materials_paper
from labels import certificate, materials, verify
from ledger.acts import shipments
from ledger.acts.certificates import CertificatePaper, card_text, certificate_paper
from ledger.acts.copies import publish_keys
from ledger.acts.freight import Goods
from ledger.acts.heads import head_now, prove
from ledger.acts.shipments import Journey
from ledger.acts.signing import find_person
from ledger.log.entry import parse_record
from tests import skerrymoor
from tests.aftersale import FIRST, SERIAL
from tests.handed import card_of, later, listed, reported
from tests.labels import reading
from tests.labels.verify import pages, squares
from tests.labels.verify.pages import Reader
from tests.skerrymoor import Loft

PHOTOGRAPH = b"\xff\xd8 the inside, before it was closed"
LOOKED, OVERDUE = "2026-01-21T09:00:00Z", "2026-02-12T09:00:00Z"
PLATE = "getComputedStyle(document.getElementById('word')).backgroundColor"
NO_PERMIT = (
    *("Not a permit.", "Ce n’est pas un permis.", "No es un permiso."),
    "Keine Genehmigung.",
)
# A phone of the smaller kind.
WIDTH = 360


@dataclass(frozen=True, slots=True, kw_only=True)
class Hall:
    """What the officer has: papers, files, and what came to her by another way."""

    folder: Path
    paper: bytes  # the certificate's PDF
    card: str
    pictured: bytes  # a certificate that names a photograph
    signer: str
    card_key: str
    newer: bytes  # a status list by which the instrument is reported
    goods: bytes  # the materials list


@pytest.fixture(scope="module")
def hall(tmp_path_factory: pytest.TempPathFactory, certified_folder: Path) -> Hall:
    """Let the instrument leave the shop with its papers."""
    folder = tmp_path_factory.mktemp("hall")
    loft = skerrymoor.again(folder, certified_folder, "hall")
    goods, pictured = shipped(loft), photographed(loft)
    later(loft, 7)
    publish_keys(loft.shop, loft.roots[:2])
    listed(loft)
    (folder / "verify.html").write_bytes(of_shop(loft.shop)[0])
    (folder / "bare.html").write_bytes(verify.page())
    facts, card = certificate_paper(loft.shop, FIRST), card_of(loft)
    text = card_text(loft.shop, facts, card)
    paper = drawn(loft, facts, text)
    reported(loft)
    newer = listed(loft)
    loft.shop.close()
    return Hall(
        folder=folder,
        paper=paper,
        card=text,
        pictured=pictured,
        signer=facts.entry.key,
        card_key=card.id,
        newer=newer,
        goods=goods,
    )


def drawn(loft: Loft, facts: CertificatePaper, text: str) -> bytes:
    """Draw the certificate as its owner gets it."""
    return certificate.draw(
        owner_certificate(loft.shop, facts, text),
        paper="A4",
        certificate_file=facts.file.data,
        proof_file=facts.proof_file.encode(),
    )


def shipped(loft: Loft) -> bytes:
    """Plan its way to Japan, and draw the list of materials."""
    plan = shipments.plan(
        loft.shop,
        goods=Goods(serials=(SERIAL,)),
        journey=Journey(legs=("IT", "JP"), moves_on="2026-01-20", purpose="sale"),
        hands=loft.hands("12"),
    )
    shown = materials_paper(
        loft.shop,
        plan,
        head=head_now(loft.shop),
        signer=find_person(loft.shop, "12"),
        recipient="",
        sender="",
    )
    return materials.draw(shown)


def photographed(loft: Loft) -> bytes:
    """Issue another instrument's certificate, and one of it that names a photograph."""
    true = certificate_paper(loft.shop, loft.issue(loft.another()))
    seen = (sha256(PHOTOGRAPH).hexdigest(),)
    event = replace(true.event, number="C-2026-00003", photographs=seen)
    index = loft.say(event).index
    record = parse_record(loft.shop.store.record(index))
    proof = prove(loft.shop, index)
    return replace(true.file, record=record, proof=proof).data


@pytest.fixture(scope="module")
def phone(hall: Hall, browser: Browser) -> Iterator[Reader]:
    """Open the shop's page from a file, with the network off."""
    path = hall.folder / "verify.html"
    with pages.visited(browser, path, width=WIDTH) as page:
        yield page


@pytest.fixture
def page(phone: Reader) -> Reader:
    """Give the page as it is opened for the first time, on the officer's day."""
    phone.page.evaluate("localStorage.clear()")
    phone.page.clock.set_fixed_time(LOOKED)
    phone.page.reload()
    phone.page.wait_for_selector("#ways:not([hidden])")
    return phone


def plate(page: Reader) -> tuple[str, str]:
    """Return the word, and the colour that it stands on."""
    colour: str = page.page.evaluate(PLATE)
    return page.word, colour


def square(text: str) -> bytes:
    """Photograph a card with another phone, a little askew."""
    return squares.written(squares.photographed(text))


def test_the_certificate_says_what_it_is_made_of(hall: Hall, page: Reader) -> None:
    """Each wood by its scientific name, with part and mass; by which key, of what age.

    One letter that is another makes it a NO.
    """
    page.takes(("certificate.pdf", hall.paper))

    assert page.word == "YES"
    assert page.row("serial") == SERIAL
    assert page.row("model") == "Tidewarden"
    assert "2026-01-05" in page.row("issued")
    assert page.row("signed") == f"key {hall.signer}"
    for part in ("top: Picea abies", "neck: Picea abies"):
        assert part in page.told
    assert "190.5\u2009g" in page.told and "611\u2009g" in page.told
    assert page.row("status") == (
        "nothing is said against it in status list 46 of 2026-01-12, 9 days old"
    )
    page.takes(("altered.pdf", hall.paper.replace(b"Tidewarden", b"Tidewardem")))

    assert page.word == "NO"


def test_a_card_fits_any_case_and_so_she_compares(hall: Hall, page: Reader) -> None:
    """Its square alone says YES; what it lies beside must be the instrument it names.

    A digit that is another makes it a NO.
    """
    page.takes(("card.jpg", square(hall.card)))

    assert page.word == "YES"
    assert page.row("signed") == f"key {hall.card_key}"
    compare = page.page.locator("#told ul").first.locator("li").all_inner_texts()
    assert compare[:4] == [
        f"the number inside, character by character: {SERIAL}",
        "model: Tidewarden, certified in 2026",
        "weigh it: 1986\u2009g when it left; strings and dust change little",
        "its woods, by eye: Picea abies",
    ]
    assert compare[-1].startswith("A copy of this can be put beside any")
    page.types(f"{hall.card[:-1]}{(int(hall.card[-1]) + 1) % 10}")

    assert page.word == "NO"


def test_a_photograph_is_compared_by_its_digest(hall: Hall, page: Reader) -> None:
    """The file that the shop sends on request, and no other."""
    page.takes(("pictured.json", hall.pictured))
    digest = sha256(PHOTOGRAPH).hexdigest()

    assert f"(SHA-256 {digest[:16]}…)" in page.told

    path = hall.folder / "inside.jpg"
    path.write_bytes(PHOTOGRAPH)
    with page.page.expect_file_chooser() as chosen:
        page.page.click("#comparing")
    chosen.value.set_files(path)
    page.page.wait_for_selector("#compared:has-text('photograph 1 of 1')")

    assert page.word == "YES"


def test_an_old_list_is_told_and_a_report_is_never_green(
    hall: Hall, page: Reader
) -> None:
    """On the PDF and on the card; the page says whom to ask and no more."""
    page.takes(("certificate.pdf", hall.paper))
    word, green = plate(page)
    page.page.clock.set_fixed_time(OVERDUE)
    page.takes(("certificate.pdf", hall.paper))

    assert (word, page.word) == ("YES", "YES")
    due = "this list was to be replaced on 2026-02-11: get the newer one"
    assert due in page.row("status") and "31 days old" in page.row("status")

    page.takes(("newer.json", hall.newer))
    for paper in (("certificate.pdf", hall.paper), ("card.jpg", square(hall.card))):
        page.takes(paper)
        word, colour = plate(page)

        assert word == "YES, BUT" and colour != green
        assert "reported: contact the maker before you buy" in page.row("status")
        assert "stolen" not in page.row("status")


def test_without_the_shop_s_keys_nothing_is_green(
    hall: Hall, page: Reader, browser: Browser
) -> None:
    """In a page of no shop the same papers are whole, and nobody can tell."""
    page.takes(("certificate.pdf", hall.paper))
    _, green = plate(page)
    with pages.visited(browser, hall.folder / "bare.html", width=WIDTH) as bare:
        for paper in (("certificate.pdf", hall.paper), ("card.jpg", square(hall.card))):
            bare.takes(paper)
            word, colour = plate(bare)

            assert word == "CANNOT TELL" and colour != green
            assert "Ask the shop itself for its keys file" in bare.told


def test_the_printed_list_says_in_four_languages_that_it_is_no_permit(
    hall: Hall,
) -> None:
    """Large enough to be read without a phone, on each page, with the same woods."""
    for number in range(reading.pages(hall.goods)):
        text = reading.text(hall.goods, number)

        assert [words for words in NO_PERMIT if words not in text] == []
    text = reading.text(hall.goods)
    assert "Picea abies" in text and SERIAL in text
