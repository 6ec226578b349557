"""The languages of the papers stand in one list, and all that ask take them from it."""

from pathlib import Path
from typing import get_args

import pytest

from cli import printing, shop
from labels import tongue
from ledger.acts.settings import Settings, require_sound
from ledger.errors import RefusedError
from ledger.languages import LANGUAGES, Language


def test_a_language_of_the_list_is_one_of_all_that_ask() -> None:
    """The settings take it, its catalogue is there, and both options offer it."""
    asked, opened = get_args(printing.LanguageOption), get_args(shop.LanguageOption)

    assert asked[0] == Language | None
    assert opened[0] == Language
    assert tuple(LANGUAGES) == get_args(Language)
    for language in LANGUAGES:
        require_sound(Settings(language=language))
        assert tongue.tongue(language).language == language


def test_each_catalogue_is_of_a_language_of_the_list() -> None:
    """English stands in the papers themselves."""
    kept = {path.stem for path in Path(tongue.CATALOGUES).glob("*.mo")}

    assert kept | {"en"} == set(LANGUAGES)


def test_a_shop_speaks_no_other_language() -> None:
    """The refusal has the whole list."""
    with pytest.raises(RefusedError, match="one of en, fr, de, es, not 'tlh'"):
        require_sound(Settings(language="tlh"))
