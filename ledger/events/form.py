"""The form of all that can be said: frozen, strict, by name only."""

from typing import Any, TypeVar, dataclass_transform

from pydantic import ConfigDict
from pydantic.dataclasses import dataclass

T = TypeVar("T")

STRICT = ConfigDict(strict=True, extra="forbid", validate_by_name=True)


@dataclass_transform(frozen_default=True, kw_only_default=True)
def said(sentence: type[T]) -> type[T]:
    """Make a class a frozen set of members that refuses any other and any other type.

    A whole number stays a whole number: neither "12" nor 12.0 nor true will do.
    """
    made: type[Any] = dataclass(
        sentence, frozen=True, slots=True, kw_only=True, config=STRICT
    )
    return made
