"""What the eye would miss in a name is told, as the page that checks tells it."""

import pytest

from ledger.letters import letter_remarks
from tests.odd_names import NAMES


@pytest.mark.parametrize("name", NAMES, ids=ascii)
def test_what_the_eye_would_miss_in_a_name_is_told(name: str) -> None:
    """In the words of the page that checks, which is given the same names."""
    remark = NAMES[name]

    assert letter_remarks(name) == ([remark] if remark else [])


@pytest.mark.parametrize(
    ("text", "remarks"),
    [
        ("", []),
        ("12 \u00b5m", []),
        ("\u00aa \u212a \u207f \uff76", ["letters or digits in an unusual form"]),
        ("a\u1d78", ["letters of two alphabets: Cyrillic and Latin"]),
        ("a\u0905", ["letters of two alphabets: Latin and another alphabet's"]),
        ("\u0905", ["another alphabet's letters"]),
        ("\uac00\u3105\u3041", []),
        ("e\u0301\u0323\u0330", []),
        ("\ue000", ["signs that cannot be seen"]),
        (
            "\u0391\u0430a",
            ["letters of two alphabets: Cyrillic and Greek and Latin"],
        ),
    ],
)
def test_each_kind_of_letter_has_its_alphabet(text: str, remarks: list[str]) -> None:
    """Signs of measure are of none, raised letters their own, three marks no pile."""
    assert letter_remarks(text) == remarks
