"""The form of all that can be said: frozen, strict, by name only.

Members that are more than text or a number have types of their own: a day, a moment, a
subject, a digest, a code, an amount that is never below zero.
"""

import re
from datetime import date
from typing import Annotated, Any, TypeVar, dataclass_transform

from annotated_types import Ge, MinLen
from pydantic import AfterValidator, ConfigDict, StringConstraints
from pydantic.dataclasses import dataclass

from ledger.benchcodes import GaugeId, HoldId, MaterialId
from ledger.ids import (
    BoardId,
    BodyId,
    DocumentId,
    LotId,
    NeckId,
    ShipmentId,
    SlipId,
)
from ledger.log.entry import at_moment

T = TypeVar("T")

STRICT = ConfigDict(strict=True, extra="forbid", validate_by_name=True)

DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _day(text: str) -> str:
    if DAY.fullmatch(text) is None:
        raise ValueError("this is no day such as 2026-11-21")
    date.fromisoformat(text)
    return text


def _moment(text: str) -> str:
    at_moment(text)
    return text


def _sorted(words: tuple[str, ...]) -> tuple[str, ...]:
    if list(words) != sorted(set(words)):
        raise ValueError("these are not sorted, each of them once")
    return words


def _shaped(shape: re.Pattern[str]) -> StringConstraints:
    return StringConstraints(pattern=f"^(?:{shape.pattern})$")


Day = Annotated[str, AfterValidator(_day)]
Moment = Annotated[str, AfterValidator(_moment)]
Subject = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{32}$")]
# A SHA-256, or a commitment, which is an HMAC of the same length.
Digest = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
LotCode = Annotated[str, _shaped(LotId.form.shape)]
BoardCode = Annotated[str, _shaped(BoardId.form.shape)]
DocumentCode = Annotated[str, _shaped(DocumentId.form.shape)]
BodyCode = Annotated[str, _shaped(BodyId.form.shape)]
NeckCode = Annotated[str, _shaped(NeckId.form.shape)]
ShipmentCode = Annotated[str, _shaped(ShipmentId.form.shape)]
SlipCode = Annotated[str, _shaped(SlipId.form.shape)]
MaterialCode = Annotated[str, _shaped(MaterialId.form.shape)]
GaugeCode = Annotated[str, _shaped(GaugeId.form.shape)]
HoldCode = Annotated[str, _shaped(HoldId.form.shape)]
# Two letters of ISO 3166-1, or EU for the Union.
Country = Annotated[str, StringConstraints(pattern=r"^[A-Z]{2}$")]
Words = Annotated[str, StringConstraints(min_length=1)]
Countries = Annotated[tuple[Country, ...], MinLen(1), AfterValidator(_sorted)]
Numbers = Annotated[tuple[Words, ...], MinLen(1), AfterValidator(_sorted)]
Amount = Annotated[int, Ge(0)]
Count = Annotated[int, Ge(1)]


@dataclass_transform(frozen_default=True, kw_only_default=True)
def said(sentence: type[T]) -> type[T]:
    """Make a class a frozen set of members that refuses any other and any other type.

    A whole number stays a whole number: neither "12" nor 12.0 nor true will do.
    """
    made: type[Any] = dataclass(
        sentence, frozen=True, slots=True, kw_only=True, config=STRICT
    )
    return made
