"""What is to be compared by eye: a card can be copied, and so put beside anything."""

from hashlib import sha256
from pathlib import Path

from playwright.sync_api import Browser

from tests.labels.verify import cases, pages
from tests.labels.verify.houses import Sale
from tests.labels.verify.pages import CARD, Reader

FITS = (
    "A copy of this can be put beside any instrument: the wood, the number inside "
    "and the mass must fit."
)
PHOTOGRAPH = b"\xff\xd8 a photograph of the top"


def pictured(*files: bytes) -> Sale:
    """Return a certificate that has these photographs."""
    one = cases.sale(cases.ALONE)
    digests = [sha256(data).hexdigest() for data in files]
    return one.resaid(one.event | {"photographs": digests})


def marks(page: Reader) -> list[str]:
    """Return what the page asks to compare."""
    lists = page.page.locator("#told ul").first
    return lists.locator("li").all_inner_texts()


def test_a_yes_says_what_to_compare(browser: Browser, tmp_path: Path) -> None:
    """Number, model, year, mass and woods; for a card the certificate to ask for."""
    with pages.opened(browser, tmp_path) as page:
        page.types(CARD.decode())

        assert "Now compare" in page.told
        assert marks(page) == [
            "the number inside, character by character: 26-0001-8",
            "model: Tidewarden, certified in 2026",
            "weigh it: 1986\u2009g when it left; strings and dust change little",
            "its woods, by eye: Picea abies",
            "ask for certificate C-2026-00001: it names the makers and every part",
            FITS,
        ]

        page.takes(("c", pages.CERTIFICATE))

        assert marks(page)[-1] == FITS
        assert len(marks(page)) == 5
        assert page.page.locator("#comparing").count() == 0

        page.takes(("c", pages.CERTIFICATE[:-9]))

        assert "Now compare" not in page.told


def test_every_paper_says_in_four_languages_that_it_is_no_permit(
    browser: Browser, tmp_path: Path
) -> None:
    """For whoever reads it at a border, whatever language the page speaks."""
    with pages.opened(browser, tmp_path) as page:
        band = page.page.locator("#band")

        assert not band.is_visible()

        page.types(CARD.decode())

        assert band.inner_text().splitlines() == [
            "Maker’s statement, not a permit.",
            "Déclaration du luthier, pas un permis.",
            "Erklärung des Herstellers, keine Genehmigung.",
            "Declaración del luthier, no un permiso.",
        ]


def test_a_photograph_is_known_by_its_digest(browser: Browser, tmp_path: Path) -> None:
    """To the last bit; a copy that was saved anew is none of them."""
    one = pictured(b"another", PHOTOGRAPH)
    true, anew = tmp_path / "true.jpg", tmp_path / "anew.jpg"
    true.write_bytes(PHOTOGRAPH)
    anew.write_bytes(PHOTOGRAPH + b" ")
    with pages.opened(browser, tmp_path, keys=one.keys) as page:
        page.takes(("c", one.data))

        digests = [sha256(data).hexdigest()[:16] for data in (b"another", PHOTOGRAPH)]
        assert marks(page)[-2] == (
            "its photographs: ask the shop for the files, and open one below (SHA-256 "
            f"{digests[0]}…, {digests[1]}…)"
        )
        for path, said in (
            (
                true,
                "This file is photograph 2 of 2 of the certificate, to the last bit:",
            ),
            (anew, "This file is none of the 2 photographs of the certificate."),
        ):
            with page.page.expect_file_chooser() as chosen:
                page.page.click("#comparing")
            chosen.value.set_files(path)
            page.page.wait_for_selector(f"#compared:has-text('{said}')")

            assert page.word == "YES"

        page.takes(("c", one.data))

        assert page.page.inner_text("#compared") == ""
