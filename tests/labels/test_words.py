"""Tests of the ten words that stand for a checkpoint."""

from labels.words import WORDS, ten_words


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
