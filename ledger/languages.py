"""The languages that papers for owners can speak, each once and for all that ask."""

from typing import Literal, get_args

# Two letters of ISO 639-1, and below what each is called in itself, in the same order.
Language = Literal["en", "fr", "de", "es"]
_NAMES = ("English", "français", "Deutsch", "español")
LANGUAGES: dict[str, str] = dict(zip(get_args(Language), _NAMES, strict=True))
