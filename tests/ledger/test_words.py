"""Tests of the ten words that stand for a checkpoint."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.words import WORDS, spoken_bytes, ten_words


def test_each_byte_has_a_word_of_its_own() -> None:
    """The list holds 256 words in order, and three letters tell any two apart."""
    assert len(WORDS) == 256
    assert sorted(WORDS) == list(WORDS)
    assert len({word[:3] for word in WORDS}) == 256
    assert all(word.isascii() and word.islower() for word in WORDS)


def test_the_first_ten_bytes_are_spoken() -> None:
    """The words of a known root hash are those that are written down for it."""
    said = [
        "pocket",
        "lumber",
        "geyser",
        "oak",
        "crystal",
        "bench",
        "lizard",
        "evening",
        "copper",
        "hinge",
    ]
    root = bytes(WORDS.index(word) for word in said) + bytes(22)

    assert ten_words(root) == tuple(said)
    assert ten_words(bytes(32)) == ("acorn",) * 10
    assert ten_words(b"\xff" * 32) == ("zenith",) * 10


@given(st.binary(min_size=32, max_size=32), st.sampled_from([" ", ", ", "\n", " 3. "]))
def test_what_was_spoken_is_read_back(root: bytes, between: str) -> None:
    """Typed with commas, in two columns, with their numbers, in capitals."""
    typed = between.join(ten_words(root)).upper()

    assert spoken_bytes(typed) == root[:10]


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("", "has 10 words, and 0 are here"),
        ("acorn " * 9, "has 10 words, and 9 are here"),
        ("acorn " * 11, "has 10 words, and 11 are here"),
        ("acorn " * 9 + "lizzard", "'lizzard' is none .* is it 'lizard'"),
        ("acorn " * 9 + "若林", "'若林' is none of the words on our papers$"),
    ],
)
def test_words_that_are_not_ours_are_named(typed: str, why: str) -> None:
    """Whoever misreads a tag is told which word, and what it may be."""
    with pytest.raises(RefusedError, match=why):
        spoken_bytes(typed)
