"""What is asked: a thing of some wood, on a day, on its way."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar

from ledger.errors import RefusedError
from ledger.scales import in_a_row
from ledger.trade.movement import (
    UNION,
    Movement,
    Purpose,
    owner_changes_by,
    place_for,
    purpose_for,
    read_movement,
    says_inside,
)

MG_PER_KG = 1_000_000
_LONGEST_TEXT = 300
_MOST_PARTS = 1000
_MOST_PLACES = 300
_HEAVIEST_MG = 10**15
_ALL_PPM = 10**6
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
# Heading, subheading, rate line and statistical number, with or without points.
_HTS_NUMBER = re.compile(r"[0-9]{4}(?:\.?[0-9]{2}){0,3}")
# What a file of cases says beside a question; it changes no answer.
REMARKS = frozenset(
    {
        "id",
        "item",
        "note",
        "cites_covered",
        "documents",
        "rule",
        "source_ids",
        "answered_in_official_guidance",
        "confidence",
    }
)
_OF_A_PART = frozenset(
    {"taxon", "form", "mass_mg", "acquired", "origin", "may_be_from"}
)
_WHENCE = frozenset({"origin", "may_be_from"})
FIELDS = _OF_A_PART | {
    "date",
    "legs",
    "from",
    "to",
    "movement",
    "purpose",
    "owner_changes",
    "parts",
    "listed_wood_kg",
    "hts_number",
    "plant_ppm",
    "entry_plant_mass_mg",
}
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A piece of one taxon in one form, alone or within a larger thing."""

    taxon: str
    form: str
    mass_mg: int | None = None
    acquired: date | None = None
    origin: str | None = None
    may_be_from: tuple[str, ...] = ()  # where it is of one of these, unknown which
    shipped_from: str | None = None  # where it differs from the first leg


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One thing, of one or several parts, that moves on a day."""

    parts: tuple[Part, ...]
    date: date
    movement: Movement | None
    unread: str = ""  # the line of a movement that could not be read
    alone: str = ""  # the one country named, where nothing says that it stays inside
    hts_number: str | None = None  # 4 to 10 digits of the tariff of the United States
    plant_ppm: int | None = None  # of the weight of the product unit
    entry_plant_mass_mg: int | None = None  # under the heading, in the whole entry


def question_from(data: object) -> Question:
    """Read a question from JSON data, strictly: what is not understood is refused.

    A movement may be given as `legs`, `purpose` and `owner_changes`, with `from` and
    `to` in place of two legs, or as one line `movement`. A line that does not parse
    makes a question that can only be answered with ask.

    Source: the fields that the rules of the tables depend on.
    """
    fields = _object(data, "a question", FIELDS | REMARKS)
    movement, unread = _movement(fields)
    is_alone = movement is not None and _is_alone(movement, fields)
    parts, day = _parts(fields, movement), _required(fields, "date", _day)
    _require_acquired_by(parts, day)
    return Question(
        parts=parts,
        date=day,
        movement=None if is_alone else movement,
        unread=unread,
        alone=movement.legs[0] if movement is not None and is_alone else "",
        hts_number=_optional(fields, "hts_number", _hts_number),
        plant_ppm=_optional(fields, "plant_ppm", _ppm),
        entry_plant_mass_mg=_optional(fields, "entry_plant_mass_mg", _milligrams),
    )


def _is_alone(movement: Movement, fields: Mapping[str, Any]) -> bool:
    """Tell whether one country alone was named, and not that things stay inside it."""
    if len(movement.legs) > 1:
        return False
    return "movement" not in fields or not says_inside(fields["movement"])


def _require_acquired_by(parts: Iterable[Part], day: date) -> None:
    """See that nothing moves before it was acquired."""
    for part in parts:
        if part.acquired is not None and part.acquired > day:
            raise RefusedError(
                f"acquired is {part.acquired}, after the movement on {day}; write the "
                f"day on which {part.taxon[:60]} was acquired, or leave it out"
            )


def hts_number_from(text: str) -> str:
    """Return the digits of a number in the tariff of the United States.

    Raises RefusedError for what is no heading (4 digits), subheading (6), rate line (8)
    or statistical number (10).

    Source: Harmonized Tariff Schedule of the United States, general statistical notes.
    """
    said = text.strip()
    if _HTS_NUMBER.fullmatch(said) is None:
        raise RefusedError(
            f"{said[:60]!r} is no number of the US tariff: write its 4, 6, 8 or 10 "
            f"digits, with or without points, such as 9202.90.40"
        )
    return said.replace(".", "")


def _parts(fields: Mapping[str, Any], movement: Movement | None) -> tuple[Part, ...]:
    """Return the parts: the thing itself, then what is within it."""
    given = fields.get("parts", [])
    if not isinstance(given, list) or len(given) > _MOST_PARTS:
        raise RefusedError(f"parts must be a list of at most {_MOST_PARTS} parts")
    first = () if given and "taxon" not in fields else _first(fields, movement)
    within = (_object(part, "a part", _OF_A_PART) for part in given)
    return (*first, *(_part({**_common(fields, part), **part}) for part in within))


def _common(fields: Mapping[str, Any], part: Mapping[str, Any]) -> dict[str, Any]:
    """Return what was said of the whole thing, and not of the part itself."""
    names = {"acquired", *_WHENCE}
    if not _WHENCE.isdisjoint(part):
        names -= _WHENCE
    return {name: fields[name] for name in names if name in fields}


def _first(fields: Mapping[str, Any], movement: Movement | None) -> tuple[Part, ...]:
    """Return the thing itself; `Picea abies / Acer rubrum` are two."""
    whole = {name: fields[name] for name in _OF_A_PART if name in fields}
    if "listed_wood_kg" in fields and "mass_mg" not in fields:
        mass = _optional(fields, "listed_wood_kg", _kilograms)
        # No listed wood at all is no mass of it.
        whole |= {"mass_mg": mass} if mass else {}
    taxa = _required(fields, "taxon", _text).split(" / ")
    starts = movement.starts if movement else ()
    each = starts if len(starts) == len(taxa) else (None,) * len(taxa)
    return tuple(
        _part({**whole, "taxon": taxon}, shipped_from=start)
        for taxon, start in zip(taxa, each, strict=True)
    )


def _part(fields: Mapping[str, Any], shipped_from: str | None = None) -> Part:
    return Part(
        taxon=_required(fields, "taxon", _text),
        form=_required(fields, "form", _text),
        mass_mg=_optional(fields, "mass_mg", _milligrams),
        acquired=_optional(fields, "acquired", _day),
        origin=_optional(fields, "origin", _place),
        may_be_from=_may_be_from(fields),
        shipped_from=shipped_from,
    )


def _may_be_from(fields: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the countries that an origin may be, sorted; none where it is known."""
    given = fields.get("may_be_from")
    if given is None:
        return ()
    listed = given if isinstance(given, list) else []
    codes = sorted({_place("may_be_from", code) for code in listed[:_MOST_PLACES]})
    if "origin" in fields or len(codes) < 2 or UNION in codes:
        raise RefusedError(
            'may_be_from lists two countries or more, as ["ID", "MG"], where nobody '
            "knows which it is: write one alone as origin, and member States instead "
            "of the Union"
        )
    return tuple(codes)


def _movement(fields: Mapping[str, Any]) -> tuple[Movement | None, str]:
    """Return the movement, or the line that could not be read."""
    whole = [name for name in ("legs", "movement") if name in fields]
    ends = [name for name in ("from", "to") if name in fields]
    if len(whole) + bool(ends) > 1:
        raise RefusedError(
            f"a question says its way once: with legs, with a movement, or with from "
            f"and to; this one has {in_a_row([*whole, *ends])}"
        )
    if "from" in fields and "to" not in fields:
        raise RefusedError("from is said without to; say where it goes, too")
    if "movement" not in fields:
        return _from_legs(fields), ""
    line = _required(fields, "movement", _text)
    movement = read_movement(line)
    if movement is None:
        return None, line
    return _told(movement, fields), ""


def _from_legs(fields: Mapping[str, Any]) -> Movement:
    if "to" in fields:
        ends = (_required(fields, "from", _place), _required(fields, "to", _place))
        return _told(Movement(legs=ends), fields)
    legs = fields.get("legs")
    if not isinstance(legs, list) or not 1 <= len(legs) <= 50:
        raise RefusedError(
            'legs must be a list of countries in the order of travel, as ["FR", "JP"]'
        )
    return _told(Movement(legs=tuple(_place("legs", leg) for leg in legs)), fields)


def _told(movement: Movement, fields: Mapping[str, Any]) -> Movement:
    """Add what was said of purpose and owner beside the route."""
    purpose = _optional(fields, "purpose", _purpose) or movement.purpose
    owner = _optional(fields, "owner_changes", _truth)
    if owner is None:
        owner = owner_changes_by(purpose)
    return Movement(
        legs=movement.legs, starts=movement.starts, purpose=purpose, owner_changes=owner
    )


def _object(data: object, what: str, known: frozenset[str]) -> dict[str, Any]:
    if not isinstance(data, dict):
        raise RefusedError(f"{what} must be a JSON object, not {_kind(data)}")
    strange = sorted(set(data) - known)
    if strange:
        listed = ", ".join(sorted(known - REMARKS))
        shown = strange[0][:60] if strange[0].isprintable() else "of that name"
        raise RefusedError(f"{what} has no field {shown}; it has: {listed}")
    return {name: value for name, value in data.items() if value is not None}


def _required(
    fields: Mapping[str, Any], name: str, read: Callable[[str, Any], Value]
) -> Value:
    if name not in fields:
        raise RefusedError(f"{name} is missing; say it in the question")
    return read(name, fields[name])


def _optional(
    fields: Mapping[str, Any], name: str, read: Callable[[str, Any], Value]
) -> Value | None:
    return read(name, fields[name]) if fields.get(name) is not None else None


def _text(name: str, value: Any) -> str:
    if not isinstance(value, str) or not value.strip():
        raise RefusedError(f"{name} must be a text, not {_kind(value)}")
    if not value.isprintable():
        raise RefusedError(f"{name} holds signs that cannot be printed; type it again")
    if len(value) > _LONGEST_TEXT:
        raise RefusedError(
            f"{name} has {len(value)} characters of at most {_LONGEST_TEXT}"
        )
    return value.strip()


def _day(name: str, value: Any) -> date:
    text = _text(name, value)
    try:
        day = date.fromisoformat(text) if _DAY.fullmatch(text) else None
    except ValueError:
        day = None
    if day is None:
        raise RefusedError(f"{name} is {text}, which is no day; write it as 2026-10-01")
    return day


def _place(name: str, value: Any) -> str:
    text = _text(name, value)
    code = place_for(text)
    if code is None:
        raise RefusedError(
            f"{name} names {text}, which is no country; write its two letters, such as "
            f"FR for France"
        )
    return code


def _purpose(name: str, value: Any) -> Purpose:
    text = _text(name, value)
    purpose = purpose_for(text)
    if purpose is None:
        raise RefusedError(
            f"{name} is {text}, which is not known; say sale, no sale, gift, personal, "
            f"performance, display, loan, competition, teaching, appraisal or repair"
        )
    return purpose


def _hts_number(name: str, value: Any) -> str:
    return hts_number_from(_text(name, value))


def _truth(name: str, value: Any) -> bool:
    if not isinstance(value, bool):
        raise RefusedError(f"{name} must be true or false, not {_kind(value)}")
    return value


def _milligrams(name: str, value: Any) -> int:
    """Read a mass; 412000 is 412 g."""
    how = "write the mass in whole milligrams, as 412000 for 412 g"
    if isinstance(value, bool) or not isinstance(value, int):
        raise RefusedError(f"{name} is {_kind(value)}: {how}")
    if value == 0:
        raise RefusedError(f"{name} is 0: {how}, or leave it out where nobody weighed")
    if not 0 < value <= _HEAVIEST_MG:
        raise RefusedError(f"{name} is {value}, outside 1 to {_HEAVIEST_MG} mg: {how}")
    return value


def _ppm(name: str, value: Any) -> int:
    """Read a share; 50000 is 5 %."""
    how = "write the share in parts per million, as 50000 for 5 %"
    if isinstance(value, bool) or not isinstance(value, int):
        raise RefusedError(f"{name} is {_kind(value)}: {how}")
    if not 0 <= value <= _ALL_PPM:
        raise RefusedError(f"{name} is {value}, outside 0 to {_ALL_PPM}: {how}")
    return value


def _kilograms(name: str, value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise RefusedError(f"{name} must be a number, not {_kind(value)}")
    if not 0 <= value <= _HEAVIEST_MG // MG_PER_KG:
        raise RefusedError(f"{name} is {value}, which is no weight in kilograms")
    return round(Decimal(str(value)) * MG_PER_KG)


def _kind(value: Any) -> str:
    """Return what a JSON value is, in a word."""
    if isinstance(value, str):
        return "a text" if value.strip() else "an empty text"
    if isinstance(value, float):
        return "a number with a fraction"
    words = {dict: "an object", list: "a list", bool: "a truth"}
    return words.get(type(value), "nothing" if value is None else "a number")
