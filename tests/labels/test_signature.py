"""A signature in the PDF holds for three judges, and leaves the paper as it was."""

import sys
from dataclasses import replace
from datetime import UTC, date, datetime
from io import BytesIO
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from cryptography import x509
from cryptography.hazmat.backends.openssl.backend import backend
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding
from playwright.sync_api import Browser
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

from labels import signature
from labels.archive import MARKER
from labels.certificate import draw
from ledger.check import YES, check
from ledger.errors import RefusedError
from ledger.log.keys import SecretKey
from ledger.log.signet import Signet, make_signet
from tests import preflight
from tests.labels import signed
from tests.labels.samples import CERTIFICATE
from tests.labels.verify import pages

AT = datetime(2026, 11, 24, 15, 4, 5, tzinfo=UTC)
SHOP = "Skerrymoor Fretted Instruments"
CARD = SecretKey(b"the card key of an invented shop")


@pytest.fixture(scope="module")
def signet() -> Signet:
    """Give the signet of an invented card key."""
    return make_signet(CARD, shop=SHOP, since=date(2026, 1, 5))


@pytest.fixture(scope="module")
def paper() -> bytes:
    """Give a certificate that is drawn and finished, around a true file."""
    return draw(
        replace(CERTIFICATE, serial="26-0001-8"),
        paper="A4",
        certificate_file=pages.CERTIFICATE,
        proof_file=pages.PROOF,
    )


@pytest.fixture(scope="module")
def pdf(paper: bytes, signet: Signet) -> bytes:
    """Give the same certificate, signed."""
    return signed_by(signet, paper)


def signed_by(signet: Signet, paper: bytes) -> bytes:
    """Return a paper with a signature of this signet."""
    return signature.sign(
        paper,
        key=signet.key,
        certificates=(signet.certificate, signet.voucher),
        at=AT,
    )


def pem(certificate: bytes) -> bytes:
    """Return a certificate as OpenSSL takes it."""
    return x509.load_der_x509_certificate(certificate).public_bytes(Encoding.PEM)


def test_poppler_finds_it_valid_over_the_whole_file(pdf: bytes, tmp_path: Path) -> None:
    """Debian's pdfsig names the shop, the level's subfilter and the time.

    Source: ETSI EN 319 142-1 section 6.3 (ETSI.CAdES.detached, and M for the time).
    """
    told = signed.by_poppler(pdf, tmp_path)

    assert "Signature Validation: Signature is Valid." in told
    assert "Total document signed" in told
    assert "Signature Type: ETSI.CAdES.detached" in told
    assert f"Signer Certificate Common Name: {SHOP}" in told
    assert "Certificate issuer isn't Trusted" in told


def test_openssl_finds_the_cms_true_to_its_bytes(
    pdf: bytes, signet: Signet, tmp_path: Path
) -> None:
    """By the card key's certificate, and not by another shop's.

    Source: RFC 5652 (CMS), RFC 5126 section 5.7.3 (the signing certificate in it).
    """
    other = make_signet(SecretKey(bytes(32)), shop=SHOP, since=date(2026, 1, 5))

    assert signed.by_openssl(pdf, tmp_path, pem(signet.voucher))
    assert not signed.by_openssl(pdf, tmp_path, pem(other.voucher))


def test_the_library_finds_nothing_changed_since(pdf: bytes, signet: Signet) -> None:
    """It is intact, covers the entire file, and the changes it allows were kept."""
    found = signed.by_pyhanko(pdf, signet.voucher)

    assert found.bottom_line and found.trusted and found.docmdp_ok
    assert found.coverage.name == "ENTIRE_FILE"
    assert found.modification_level.name == "NONE"


@pytest.mark.parametrize("where", ["the page", "the certificate", "the update"])
def test_a_flipped_byte_is_found_out(
    pdf: bytes, paper: bytes, signet: Signet, tmp_path: Path, where: str
) -> None:
    """By each of them, wherever it lies in what was signed."""
    at = {
        "the page": 1000,
        "the certificate": paper.index(MARKER.encode()) + 200,
        "the update": len(pdf) - 60,
    }[where]
    flipped = pdf[:at] + bytes([pdf[at] ^ 1]) + pdf[at + 1 :]

    assert "Signature is Valid" not in signed.by_poppler(flipped, tmp_path)
    assert not signed.by_openssl(flipped, tmp_path, pem(signet.voucher))


def test_a_flipped_byte_is_not_intact(pdf: bytes, signet: Signet) -> None:
    """The library says so too, where the PDF can still be read."""
    at = pdf.index(b"flitchbook-certificate")
    flipped = pdf[:at] + b"F" + pdf[at + 1 :]

    assert not signed.by_pyhanko(flipped, signet.voucher).intact


def test_what_is_added_behind_it_is_told(
    pdf: bytes, signet: Signet, tmp_path: Path
) -> None:
    """A second update is no longer under it."""
    writer: Any = IncrementalPdfFileWriter(BytesIO(pdf))
    writer.root["/PageMode"] = generic.NameObject("/UseThumbs")
    writer.update_root()
    out = BytesIO()
    writer.write(out)
    told = signed.by_poppler(out.getvalue(), tmp_path)
    found = signed.by_pyhanko(out.getvalue(), signet.voucher)

    assert "Not total document signed" in told
    assert found.coverage.name != "ENTIRE_FILE" and not found.bottom_line


def test_the_paper_stays_byte_for_byte(pdf: bytes, paper: bytes) -> None:
    """What signs only adds; the certificate is found by its marker as before."""
    update = pdf[len(paper) :]

    assert pdf.startswith(paper)
    assert pdf.count(MARKER.encode()) == 1
    assert check(pdf, pages.KEYS).word == check(paper, pages.KEYS).word == YES
    for theirs in (b"/Metadata", b"/Info", b"yHanko", b"/Producer"):
        assert update.count(theirs) == (theirs == b"/Metadata")


def test_files_colours_and_metadata_are_those_of_the_paper(
    pdf: bytes, paper: bytes
) -> None:
    """Read by another library, the catalogue differs by what a signature needs."""
    with pikepdf.open(BytesIO(paper)) as old, pikepdf.open(BytesIO(pdf)) as new:
        assert set(new.Root.keys()) - set(old.Root.keys()) == {
            "/AcroForm",
            "/Extensions",
            "/Perms",
        }
        for name in ("/AF", "/OutputIntents", "/Metadata", "/Names"):
            assert new.Root[name].unparse() == old.Root[name].unparse()
        assert new.Root.Metadata.read_bytes() == old.Root.Metadata.read_bytes()
        assert "/Info" not in new.trailer
        assert new.trailer.ID[0] == old.trailer.ID[0]


def test_it_shows_nothing_and_lets_nothing_be_changed(pdf: bytes) -> None:
    """One field without extent that may be printed, and DocMDP with P = 1.

    Source: ISO 32000-1 sections 12.7.4.5 and 12.8.2.2 (table 254: 1, no changes).
    """
    with pikepdf.open(BytesIO(pdf)) as opened:
        (field,) = list(opened.Root.AcroForm.Fields)
        mine = opened.Root.Perms.DocMDP
        (reference,) = list(mine.Reference)

        assert [int(side) for side in field.Rect] == [0, 0, 0, 0]
        assert int(field.F) & 0b110 == 0b100  # printed, not hidden
        assert field.V.objgen == mine.objgen
        assert mine.SubFilter == "/ETSI.CAdES.detached"
        assert str(mine.M) == "D:20261124150405Z"
        assert reference.TransformMethod == "/DocMDP"
        assert int(reference.TransformParams.P) == 1


def test_it_has_what_the_level_asks_and_no_more(pdf: bytes, signet: Signet) -> None:
    """Content type, digest and signing certificate; the time stands in M alone.

    Source: ETSI EN 319 142-1 section 6.3, table 1 (B-B; signing-time shall not be).
    """
    data = signed.content(pdf)
    (signer,) = data["signer_infos"]
    named = {attribute["type"].native for attribute in signer["signed_attrs"]}

    assert named == {"content_type", "message_digest", "signing_certificate_v2"}
    assert not signer["unsigned_attrs"].native
    assert {one.chosen.dump() for one in data["certificates"]} == {
        signet.certificate,
        signet.voucher,
    }


def test_a_validator_for_the_older_part_misses_the_appearance_alone(pdf: bytes) -> None:
    """PDF/A-1b wants one for each widget, and since PDF/A-2 not for one without extent.

    The other three are the attachments and the part, as before it was signed.

    Source: ISO 19005-1 section 6.9; ISO 19005-2 section 6.3.3 leaves a box of nought
    without one.
    """
    assert preflight.error_codes(pdf) == {"1.4.7", "1.2.9", "7.11.2", "5.3.1"}


def test_the_page_that_checks_reads_it(
    pdf: bytes, paper: bytes, browser: Browser, tmp_path: Path
) -> None:
    """The certificate in it is as true as it was, and its signature is not judged."""
    broken = pdf.replace(b"/P 1", b"/P 3")
    told = (
        "The PDF bears a signature of its own, which is not judged here: a PDF viewer "
        "judges it."
    )
    with pages.opened(browser, tmp_path) as page:
        for data, note in ((pdf, told), (paper, ""), (broken, told)):
            page.takes(("certificate.pdf", data))

            assert (page.word, page.row("serial")) == ("YES", "26-0001-8")
            assert page.note == note
        page.takes(("keys.json", pages.KEYS))
        assert page.word == "YES" and page.note.endswith(told)


def test_the_signature_takes_no_chance(pdf: bytes, signet: Signet) -> None:
    """The key signs the same again, so that nobody needs to trust a source of it.

    Source: RFC 6979; RFC 5652 section 5.4 (what is signed, as a set of attributes).
    """
    (signer,) = signed.content(pdf)["signer_infos"]
    said = signer["signed_attrs"].untag().dump()
    again = signet.key.sign(said, ec.ECDSA(SHA256(), deterministic_signing=True))

    assert signer["signature"].native == again


@pytest.mark.parametrize("name", ["琴" * 100, "Skerrymoor " * 18, "S"])
def test_there_is_room_for_any_shop(paper: bytes, name: str, tmp_path: Path) -> None:
    """However long its name is, and in whatever script."""
    named = make_signet(CARD, shop=name, since=date(2026, 1, 5))
    pdf = signed_by(named, paper)

    assert "Signature is Valid" in signed.by_poppler(pdf, tmp_path)
    assert len(signed.parts(pdf)[1].rstrip(b"\0")) < signature.ROOM // 4


def test_where_the_library_is_missing_it_says_what_to_install(
    paper: bytes, signet: Signet, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One sentence, and no half-signed paper."""
    monkeypatch.setitem(sys.modules, "pyhanko", None)

    with pytest.raises(RefusedError, match="with the extra pdf-signature"):
        signed_by(signet, paper)


@pytest.mark.parametrize("broken", ["pyhanko", "asn1crypto"])
def test_a_library_that_does_not_load_is_told_before_anything_is_done(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, broken: str
) -> None:
    """It is there, and what is used of it is imported to know that it works."""
    path = tmp_path / broken / "__init__.py"
    path.parent.mkdir()
    path.write_text('raise ImportError("a part\\nis gone")\n', encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    for name in [name for name in sys.modules if name.startswith(broken)]:
        monkeypatch.delitem(sys.modules, name)

    with pytest.raises(RefusedError, match=r"does not load \(a part is gone\)"):
        signature.require_library()


def test_what_the_library_refuses_is_told_in_a_sentence(signet: Signet) -> None:
    """Its own errors do not come through, whichever of its kinds they are."""
    for paper in (b"no PDF", b"%PDF-1.7\n"):
        with pytest.raises(RefusedError, match="pyHanko did not sign the PDF"):
            signed_by(signet, paper)


def test_a_signature_that_has_no_room_is_refused(
    paper: bytes, signet: Signet, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The library finds it out only at the end, and no half of it is handed back."""
    monkeypatch.setattr(signature, "ROOM", 64)

    with pytest.raises(RefusedError, match="pyHanko did not sign the PDF"):
        signed_by(signet, paper)


def test_an_openssl_that_needs_chance_is_refused_before_anything_is_done(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One sentence says which it wants (OpenSSL 3.2 was the first)."""
    monkeypatch.setattr(backend, "ecdsa_deterministic_supported", lambda: False)

    with pytest.raises(RefusedError, match=r"3\.2 or newer"):
        signature.require_library()
