"""Files in which nothing is signed: neither true nor forged."""

import pytest

from ledger.check import CANNOT_TELL, MARKER, NO, YES, certificate_bytes, check
from ledger.check.unsigned import LARGEST_READ, nothing_to_judge
from ledger.errors import TamperError
from tests.ledger.buying import PINNED, pdf_around

SCAN = b"%PDF-1.4\n1 0 obj\n<</Subtype/Image>>\nstream\n..\nendstream\n%%EOF\n"


@pytest.mark.parametrize(
    "data",
    [b"", b"\n", SCAN, b"\xff\xd8\xff\xe0", b"PK\x03\x04", b"hello", b"V#12x"],
)
def test_where_nothing_is_signed_nobody_can_tell(data: bytes) -> None:
    """A scan, a photograph, a letter: not true, and no forgery either."""
    for keys in (None, PINNED.keys):
        answer = check(data, keys)

        assert answer.word == CANNOT_TELL
        assert "nothing signed is found in this file" in answer.reasons[0]


def test_a_page_that_lost_its_attachment_says_nothing() -> None:
    """Whoever takes the file out of a true page, or of a false one, has no answer."""
    page = pdf_around(PINNED.data).replace(MARKER, b"/Other")

    assert check(page, PINNED.keys).word == CANNOT_TELL
    assert check(pdf_around(PINNED.data), PINNED.keys).word == YES


@pytest.mark.parametrize("before", [b" ", b"\n", b"\xef\xbb\xbf", b"x"])
def test_what_names_one_of_our_forms_is_judged(before: bytes) -> None:
    """A certificate with something before it is damaged, and not nothing."""
    assert check(before + PINNED.data, PINNED.keys).word == NO
    assert check(PINNED.file.record.data, PINNED.keys).word == NO


def test_a_file_beyond_all_size_is_neither_true_nor_false() -> None:
    """It is not read, whatever it is."""
    for start in (b"%PDF-" + MARKER, b"{", b"."):
        answer = check(start + b"\x00" * (64 * 1_048_576), None)

        assert answer.word == CANNOT_TELL
        assert answer.reasons[0] == "a file of over 67108864 bytes is not read"
    assert nothing_to_judge(b"{" + bytes(64 * 1_048_576 - 1)) is None


@pytest.mark.parametrize(
    ("page", "said"),
    [
        (b"%PDF-1.7\nno such thing", "no certificate file"),
        (b"%PDF-1.7\n" + bytes(LARGEST_READ), "is not read"),
        (b"%PDF-1.7\n" + bytes(LARGEST_READ - 9), "no certificate file"),
    ],
)
def test_a_page_without_an_attachment_gives_none(page: bytes, said: str) -> None:
    """Whoever takes the file out of a page hears why there is none."""
    with pytest.raises(TamperError, match=said):
        certificate_bytes(page)
