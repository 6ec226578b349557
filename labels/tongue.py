"""The words of a paper in the language of who will hold it.

The words are written in English where they are used, and stand in the other languages
in the catalogues beside this module (the PO format of GNU gettext). Names, codes, dates
and numbers are the same in every language; so is whatever a person wrote.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from gettext import GNUTranslations, NullTranslations
from pathlib import Path

from ledger.errors import RefusedError
from ledger.languages import LANGUAGES

CATALOGUES = Path(__file__).parent / "languages"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tongue:
    """A language, two letters of ISO 639-1, and its words.

    Called with English words it returns them in the language; words that the catalogue
    does not have, such as a part that a shop named itself, come back as they are.
    """

    language: str
    catalogue: NullTranslations

    def __call__(self, words: str) -> str:
        """Return words in the language."""
        return self.catalogue.gettext(words) if words else ""

    def many(self, number: int, one: str, more: str) -> str:
        """Return the words for one, or those for a number of them."""
        return self.catalogue.ngettext(one, more, number)


def tongue(language: str) -> Tongue:
    """Return the words of a language; RefusedError where there are none."""
    if language not in LANGUAGES:
        raise RefusedError(
            f"papers are printed in {', '.join(LANGUAGES)}, not in {language!r}"
        )
    return Tongue(language=language, catalogue=_catalogue(language))


@cache
def _catalogue(language: str) -> NullTranslations:
    path = CATALOGUES / f"{language}.mo"
    if language == "en":
        return NullTranslations()
    with path.open("rb") as stream:
        return GNUTranslations(stream)


def term(words: str) -> str:
    """Return words as they are, and mark them as ones that the catalogues have."""
    return words


Say = Callable[[str], str]
