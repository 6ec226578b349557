"""Tests of the certificate as a file to keep."""

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest

from labels import archive
from labels.certificate import OwnerCertificate, draw
from labels.page import bookmark, open_document, turn_over
from ledger.errors import RefusedError
from tests import preflight
from tests.labels.samples import CERTIFICATE, CERTIFICATE_FILE, PROOF_FILE

VECTORS = Path(__file__).parents[1] / "vectors" / "log"
MARK = archive.MARKER.encode()


def drawn(
    certificate: OwnerCertificate = CERTIFICATE,
    file: bytes = CERTIFICATE_FILE,
    proof: bytes = PROOF_FILE,
) -> bytes:
    """Return a certificate as a file to keep."""
    return draw(certificate, paper="A4", certificate_file=file, proof_file=proof)


def found_by_marker(pdf: bytes) -> bytes:
    """Read the certificate file as one does who cannot take a PDF apart."""
    at = pdf.index(MARK)
    line_end = pdf.index(b"\n", at)
    assert pdf[:line_end].endswith(b">>")
    assert pdf[line_end + 1 :].startswith(b"stream\n")
    begin = line_end + 1 + len(b"stream\n")
    return pdf[begin : pdf.index(b"\nendstream", begin)]


@pytest.mark.parametrize(
    "file",
    [
        CERTIFICATE_FILE,
        (VECTORS / "certificate.json").read_bytes(),
        b"{}",
        b'{"a":">>","b":"stream"}',
        '{"name":"Wolański 荒川"}'.encode(),
        bytes(range(256)) * 40,
        b'{"line":1}\n',
    ],
)
def test_the_certificate_file_is_found_by_its_marker(file: bytes) -> None:
    """Whatever its bytes, they stand in the paper as they are."""
    pdf = drawn(file=file)

    assert pdf.count(MARK) == 1
    assert found_by_marker(pdf) == file


def test_names_that_spell_the_marker_do_not_mislead() -> None:
    """A model, a serial and a number with the marker in them leave one marker."""
    named = f"Tide {archive.MARKER} 1"
    hostile = replace(
        CERTIFICATE,
        model=named,
        serial=f"26{archive.MARKER}",
        number=f"C{archive.MARKER}",
    )
    pdf = drawn(hostile)

    assert pdf.count(MARK) == 1
    assert found_by_marker(pdf) == CERTIFICATE_FILE


@pytest.mark.parametrize(
    ("file", "why"),
    [
        (b'{"model":"' + MARK + b'"}', "stands 2 times in the paper"),
        (b"endstream", "holds the word endstream"),
    ],
)
def test_a_file_that_could_not_be_found_again_is_refused(file: bytes, why: str) -> None:
    """Better no paper than one that a stranger would misread."""
    with pytest.raises(RefusedError, match=why):
        drawn(file=file)


def test_both_files_ride_inside_and_say_how_they_bear_on_the_page() -> None:
    """The certificate file is the source, the proof a supplement; both are listed."""
    with pikepdf.open(BytesIO(drawn())) as pdf:
        specs = list(pdf.Root.AF)
        told = [
            (
                str(spec.UF),
                str(spec.AFRelationship),
                str(spec.EF.F.Subtype),
                spec.EF.F.read_bytes(),
                int(spec.EF.F.Params.Size),
            )
            for spec in specs
        ]
        named = [str(name) for name in list(pdf.Root.Names.EmbeddedFiles.Names)[::2]]
        first = specs[0].EF.F

        assert "/Filter" not in first
        assert named == ["certificate.json", "certificate.tlog-proof"]

    assert told == [
        (
            "certificate.json",
            "/Source",
            "/application/json",
            CERTIFICATE_FILE,
            len(CERTIFICATE_FILE),
        ),
        (
            "certificate.tlog-proof",
            "/Supplement",
            "/text/plain",
            PROOF_FILE,
            len(PROOF_FILE),
        ),
    ]


def test_colours_title_and_part_are_declared() -> None:
    """The output intent is sRGB; the metadata say PDF/A-3b and the title."""
    pdf = drawn()
    with pikepdf.open(BytesIO(pdf)) as opened:
        intent = opened.Root.OutputIntents[0]
        metadata = opened.Root.Metadata.read_bytes().decode()

        assert intent.S == pikepdf.Name.GTS_PDFA1
        assert intent.DestOutputProfile.read_bytes()[36:40] == b"acsp"
        assert opened.Root.Lang == "en"
        assert "/Info" not in opened.trailer

    assert "<pdfaid:part>3</pdfaid:part>" in metadata
    assert "Owner certificate C-2026-00088, 26-0147-3" in metadata
    assert b"Helvetica" not in pdf


def test_a_validator_for_the_older_part_objects_to_the_attachments_alone() -> None:
    """Preflight judges PDF/A-1b: it names the two attachments and the part, no more."""
    assert preflight.error_codes(drawn()) == {"1.4.7", "1.2.9", "7.11.2"}


def test_a_title_with_signs_of_markup_is_still_metadata() -> None:
    """Ampersands and brackets in a number do not break the metadata."""
    odd = replace(CERTIFICATE, number="C<&>1")
    with pikepdf.open(BytesIO(drawn(odd))) as pdf:
        title = pdf.open_metadata().get("dc:title")

    assert title == "Owner certificate C<&>1, 26-0147-3"


def test_a_paper_of_one_leaf_and_of_no_day_says_neither() -> None:
    """No list of contents, no date made up, not even for a file inside."""
    page = open_document((51, 22), "label")
    bookmark(page, "the only leaf")
    turn_over(page)
    file = archive.Attachment(
        name="wood.txt",
        content=b"spruce",
        mime_type="text/plain",
        relationship="Data",
        about="what it is of",
    )
    kept = archive.keep(page, files=(file,))
    with pikepdf.open(BytesIO(kept)) as pdf:
        metadata = pdf.Root.Metadata.read_bytes()

        assert dict(pdf.Root.AF[0].EF.F.Params.items()) == {"/Size": 6}
        assert "/Outlines" not in pdf.Root
    assert b"Date" not in metadata and b"Flitchbook" in metadata
    assert b"the only leaf" not in kept


def test_a_title_is_set_as_a_line_of_type_is() -> None:
    """Letters and accents are one, and a line end is a space."""
    page = open_document((51, 22), "Wola\u0144ski\nand N\u0303")
    turn_over(page)
    with pikepdf.open(BytesIO(archive.keep(page))) as pdf:
        title = pdf.open_metadata().get("dc:title")

    assert title == "Wolański and Ñ"


def test_a_paper_says_which_language_it_speaks() -> None:
    """To a reader aloud in the catalogue of the file, to an archive in the metadata."""
    with pikepdf.open(BytesIO(drawn(replace(CERTIFICATE, language="fr")))) as pdf:
        metadata = pdf.Root.Metadata.read_bytes().decode()

        assert pdf.Root.Lang == "fr"
    assert (
        "<dc:language><rdf:Bag><rdf:li>fr</rdf:li></rdf:Bag></dc:language>" in metadata
    )
    assert "Certificat du propriétaire C-2026-00088, 26-0147-3" in metadata
