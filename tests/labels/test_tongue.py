"""The words of the papers stand in every language, whole and with their blanks."""

import gettext
import re
from io import BytesIO
from string import Formatter

import pytest

from labels import faces
from labels.tongue import CATALOGUES, tongue
from ledger.errors import RefusedError
from ledger.languages import LANGUAGES
from tests import languages


def _forms(words: object) -> list[str]:
    """Return words for one and for more, or the words that are for any number."""
    return list(words) if isinstance(words, (list, tuple)) else [str(words)]


def _blanks(words: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(words) if name is not None}


@pytest.mark.parametrize("language", languages.TRANSLATED)
def test_every_word_of_the_papers_stands_in_every_language(language: str) -> None:
    """No word is left in English, none is kept that no paper says."""
    kept = {message.id for message in languages.read(language) if message.id}
    said = {message.id for message in languages.said() if message.id}
    blank = [
        message.id
        for message in languages.read(language)
        if message.id and not all(_forms(message.string))
    ]

    assert said - kept == set(), "run python -m tests.languages, and translate"
    assert kept - said == set(), "run python -m tests.languages"
    assert blank == []


@pytest.mark.parametrize("language", languages.TRANSLATED)
def test_a_translation_has_the_blanks_of_its_words(language: str) -> None:
    """Every number and name of the English words has its place in the others."""
    for message in languages.read(language):
        if not message.id:
            continue
        blanks = _blanks(_forms(message.id)[-1])
        for form in filter(None, _forms(message.string)):
            assert _blanks(form) == blanks, message.id


@pytest.mark.parametrize("language", languages.TRANSLATED)
def test_what_is_packed_is_what_is_written(language: str) -> None:
    """The file that the papers read says what the file for people says."""
    path = CATALOGUES / f"{language}.mo"
    packed = gettext.GNUTranslations(BytesIO(path.read_bytes()))
    fresh = gettext.GNUTranslations(BytesIO(languages.packed(languages.read(language))))

    for message in languages.read(language):
        one, *more = _forms(message.id)
        if more:
            many = _forms(message.string)[-1] or more[0]
            assert packed.ngettext(one, more[0], 2) == many
        elif one:
            (said,) = _forms(message.string)
            assert packed.gettext(one) == fresh.gettext(one) == (said or one)


def test_words_of_no_catalogue_come_back_as_they_are() -> None:
    """A part that a shop named itself is printed as the shop wrote it."""
    for language in LANGUAGES:
        assert tongue(language)("Skerrymoor rib") == "Skerrymoor rib"
        assert tongue(language)("") == ""


def test_a_language_without_a_catalogue_is_refused_by_name() -> None:
    """The refusal says which languages there are."""
    with pytest.raises(RefusedError, match="en, fr, de, es, not in 'tlh'"):
        tongue("tlh")


def test_every_letter_of_every_language_is_in_the_house_s_own_faces() -> None:
    """None is printed as a geta mark, and none borrowed from the face for Japanese."""
    faces_of_papers = (faces.TEXT, faces.TEXT_ITALIC, faces.TEXT_SEMIBOLD, faces.CAPS)
    for language in languages.TRANSLATED:
        said = {
            letter
            for message in languages.read(language)
            if message.id
            for form in _forms(message.string)
            for letter in form
        }
        assert [
            (face, letter)
            for face in faces_of_papers
            for letter in said
            if not faces.has(face, letter)
        ] == []


def test_french_signs_hang_on_their_words() -> None:
    """No line begins with a colon, a semicolon, or a mark of question or surprise."""
    loose = [
        form
        for message in languages.read("fr")
        for form in _forms(message.string if message.id else "")
        if re.search(r" [:;!?»]|« |[^\s\u00a0][;!?]", form)
    ]

    assert loose == []
