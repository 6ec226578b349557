"""A slip's code comes back from paper as it was, and a slip of the pen is told."""

from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts.slipcodes import (
    ALPHABET,
    LETTERS,
    code_digest,
    printed_code,
    read_code,
    scanned_code,
)
from ledger.codes import check_character
from ledger.errors import RefusedError

RAW = st.binary(min_size=16, max_size=16)


def test_base_32_is_that_of_the_standard() -> None:
    """The vectors of RFC 4648 section 10 begin a code, as far as 16 bytes go."""
    for text, letters in ((b"foobar", "MZXW6YTBOI"), (b"fooba", "MZXW6YTB")):
        shared = len(text) * 8 // 5
        assert scanned_code(text.ljust(16, b"\0"))[:shared] == letters[:shared]


@given(raw=RAW)
def test_what_is_printed_or_scanned_is_read_again(raw: bytes) -> None:
    """Seven groups, blanks or hyphens, capitals or not; the digest is of the bytes."""
    printed = printed_code(raw)

    assert [len(group) for group in printed.split("-")] == [4, 4, 4, 4, 4, 4, 3]
    for text in (printed, printed.lower(), printed.replace("-", " "), f" {printed} "):
        assert read_code(text) == raw
    assert read_code(scanned_code(raw)) == raw
    assert set(scanned_code(raw)) <= set(ALPHABET)
    assert code_digest(raw) == sha256(raw).hexdigest()


@given(raw=RAW)
def test_a_nought_a_one_and_an_eight_are_taken_for_letters(raw: bytes) -> None:
    """None of the three is ever printed, so nothing else can be meant."""
    worse = printed_code(raw).translate(str.maketrans("OIB", "018"))
    assert read_code(worse) == raw


@given(raw=RAW, at=st.integers(0, LETTERS), letter=st.sampled_from(ALPHABET))
def test_every_wrong_letter_is_told_as_mistyped(
    raw: bytes, at: int, letter: str
) -> None:
    """Wherever it stands, the check character itself included."""
    code = scanned_code(raw)
    wrong = code[:at] + letter + code[at + 1 :]
    if wrong != code:
        with pytest.raises(RefusedError, match="the code is mistyped"):
            read_code(wrong)


def test_bits_that_stand_for_nothing_are_nought() -> None:
    """Another letter at the end of the base 32 would be another way to write it."""
    letters = scanned_code(bytes(16))[:LETTERS]
    other = letters[:-1] + "B"
    with pytest.raises(RefusedError, match="mistyped"):
        read_code(other + check_character(other, ALPHABET))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "these are 0"),
        ("AAAQ-EAYE", "these are 8"),
        ("AAAQ-EAYE-AUDA-OCAJ-BIFQ-YDIO-B459", "'9' is none of them"),
        ("é" * 27, "'é' is none of them"),
    ],
)
def test_what_is_no_code_is_refused_without_being_quoted(text: str, said: str) -> None:
    """A code is a secret, and an answer may be read over a shoulder."""
    with pytest.raises(RefusedError, match=said) as refused:
        read_code(text)
    assert not text or text not in str(refused.value)
