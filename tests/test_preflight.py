"""The judge of PDF/A is really asked, and really finds fault."""

from io import BytesIO

from reportlab.pdfgen.canvas import Canvas

from tests import preflight


def test_a_plain_paper_is_not_fit_for_the_archive() -> None:
    """A font that is not embedded, no colour profile and no metadata are found."""
    paper = BytesIO()
    canvas = Canvas(paper)
    canvas.drawString(99, 99, "spruce")
    canvas.save()

    assert {"3.1.3", "2.4.3", "7.1"} <= preflight.error_codes(paper.getvalue())


def test_what_is_no_pdf_has_errors_of_syntax() -> None:
    """Bytes that only begin like a PDF are judged, and do not stop the judge."""
    codes = preflight.error_codes(b"%PDF-1.4\nspruce")

    assert codes
    assert all(code.startswith("1.") for code in codes)
