"""A slip's facts reach its paper: whose it is for, and the code in both its forms."""

from cli.papers_transfer import transfer_slip
from ledger.acts.slipcodes import read_code
from tests.handed import SERIAL, slip_of
from tests.shops import certified, certified_folder
from tests.skerrymoor import NAME, Loft

__all__ = ["certified", "certified_folder"]


def test_the_paper_has_the_slips_code_and_the_certificates_model(
    certified: Loft,
) -> None:
    """It is of the day of the slip's entry, whenever it is drawn."""
    slip = slip_of(certified)
    shown = transfer_slip(certified.shop, slip, "fr")

    assert (shown.serial, shown.model, shown.shop) == (SERIAL, "Tidewarden", NAME)
    assert (shown.number, shown.certificate) == ("W-2026-00001", "C-2026-00001")
    assert read_code(shown.code) == read_code(shown.scan) == slip.code
    assert (shown.entry, shown.day) == (slip.entry, "2026-01-05")
    assert shown.language == "fr"
