"""Movements as people write them: US -> EU -> US, no sale."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import pairwise
from typing import Literal

from ledger.scales import some_of
from ledger.trade.tables import places, stands

UNION = "EU"
# What a movement is for; every word a person may use means one of these.
Purpose = Literal[
    "sale",
    "no sale",
    "gift",
    "personal",
    "performance",
    "display",
    "loan",
    "competition",
    "teaching",
    "appraisal",
    "repair",
]
_OTHER_NAMES = {
    **{"UK": "GB", "USA": "US", "EL": "GR"},
    **{"EU27": UNION, "UNION": UNION, "EUROPEAN UNION": UNION},
}
_ARROW = re.compile(r"\s*(?:->|→)\s*|\s+to\s+")
_INSIDE = re.compile(
    r"^(?:inside |within |in )?(?:the )?(.+?)(?: internal| domestic| interstate)?$",
    re.IGNORECASE,
)
_INSIDE_BEFORE = frozenset({"inside", "within", "in"})
_INSIDE_AFTER = frozenset({"internal", "domestic", "interstate"})

_REGIONS = {"africa": "Africa", "neotropics": "the Neotropics"}
# Names of places that a sentence gives an article.
_WITH_ARTICLE = re.compile(
    r"(?:United|Virgin|US|Isle) .+|[^&]* (?:Islands|Republic|Rep\.|Territory|Terr\.)"
    r"|Congo .+|Turks .+|Bahamas|Comoros|Gambia|Maldives|Netherlands|Philippines"
    r"|Seychelles|European Union"
)
COMMERCIAL = frozenset({"sale", "commercial"})
# Movements that the 2026 text of annotation #10 names.
PLAYED = frozenset(
    {
        "performance",
        "personal",
        "display",
        "loan",
        "competition",
        "teaching",
        "appraisal",
        "repair",
    }
)
_PURPOSES: dict[str, Purpose] = {
    "sale": "sale",
    "for sale": "sale",
    "sold": "sale",
    "sales": "sale",
    "commercial": "sale",
    "trade": "sale",
    "t": "sale",
    "no sale": "no sale",
    "not for sale": "no sale",
    "non-commercial": "no sale",
    "noncommercial": "no sale",
    "non commercial": "no sale",
    "personal": "personal",
    "personal use": "personal",
    "household move": "personal",
    "p": "personal",
    "performance": "performance",
    "concert": "performance",
    "tour": "performance",
    "display": "display",
    "exhibit": "display",
    "exhibition": "display",
    "loan": "loan",
    "competition": "competition",
    "teaching": "teaching",
    "appraisal": "appraisal",
    "repair": "repair",
    "gift": "gift",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """Where things go, what for, and whether they change hands on the way."""

    legs: tuple[str, ...]  # country codes in the order of travel, or EU
    starts: tuple[str, ...] = ()  # where several things set out from several countries
    purpose: Purpose | None = None
    owner_changes: bool | None = None

    @property
    def is_commercial(self) -> bool | None:
        """Tell whether the movement is trade; nothing where that was not said."""
        if self.purpose is None:
            return True if self.owner_changes else None
        return self.purpose in COMMERCIAL

    @property
    def returns(self) -> bool:
        """Tell whether the things come back to where they set out from."""
        return len(self.legs) > 2 and self.legs[0] == self.legs[-1]


def read_movement(text: str) -> Movement | None:
    """Read a movement written in a line, or return nothing where it does not parse.

        US -> EU -> US, no sale
        CA/IN -> EU
        UK sale

    Source: common practice, no source; places are ISO 3166-1 codes or names.
    """
    route, _, told = text.partition(",")
    words = " ".join(told.lower().split())
    steps = _ARROW.split(route.strip())
    if len(steps) == 1:
        return _read_inside(f"{steps[0]} {words}".strip())
    purpose = _purpose(words)
    if words and purpose is None:
        return None
    return _read_route(steps, purpose)


def says_inside(text: str) -> bool:
    """Tell whether a line says of one country that things stay inside it.

    Inside US, US interstate sale, and a sale there: UK sale. A country and a purpose
    after a comma may as well leave out where things go.

    Source: common practice, no source.
    """
    route, _, told = text.partition(",")
    first = route.split()
    if not first:
        return False
    is_said = first[0].lower() in _INSIDE_BEFORE
    is_said = is_said or any(word.lower() in _INSIDE_AFTER for word in first[1:])
    return is_said or (not told and _read_sale(first))


def _read_sale(words: list[str]) -> bool:
    """Tell whether a line is a place and a word of trade, with nothing between."""
    ends = (purpose_for(" ".join(words[cut:])) for cut in range(1, len(words)))
    return next(filter(None, ends), None) in COMMERCIAL


def purpose_for(text: str) -> Purpose | None:
    """Return the purpose that a word means, or nothing where it is unknown.

    Source: the purposes of annotation #10, text of 2026; other words are common
    practice, no source.
    """
    return _purpose(" ".join(text.lower().split()))


def purpose_words(purpose: str) -> str:
    """Return a purpose as a paper says it: also by the word that people use for it.

    Source: common practice, no source.
    """
    return "display (exhibition)" if purpose == "display" else purpose


def place_for(text: str) -> str | None:
    """Return the code of a country or of the Union, or nothing where it is none.

    Source: ISO 3166-1.
    """
    word = " ".join(text.split())
    # A sharp s in capitals is the code of South Sudan.
    capitals = word.upper() if word.isascii() else word
    code = _OTHER_NAMES.get(capitals, capitals)
    if code == UNION or code in places():
        return code
    named = [
        row.code for row in places().values() if row.name.casefold() == word.casefold()
    ]
    return named[0] if named else None


def is_in_union(code: str, day: date) -> bool:
    """Tell whether a country belonged to the Union on a day.

    Source: the treaties of accession; for the United Kingdom the end of 2020.
    """
    if code == UNION:
        return True
    place = places()[code]
    return place.eu_from is not None and stands(place.eu_from, place.eu_until, day)


# Every part of a thing, and every rule, asks for the same movement.
@lru_cache(maxsize=1024)
def crossings(legs: tuple[str, ...], day: date) -> tuple[tuple[str, str], ...]:
    """Return the borders of the Convention that a movement crosses, in order.

    Between two members of the Union there is none.

    Source: Regulation (EC) 338/97: the Union is one territory; 50 CFR 23 for the rest.
    """
    pairs = pairwise(legs)
    return tuple(
        (here, there)
        for here, there in pairs
        if here != there and not (is_in_union(here, day) and is_in_union(there, day))
    )


def place_name(code: str) -> str:
    """Return a place as it stands alone, on a line of an address.

    Source: ISO 3166-1.
    """
    return "European Union" if code == UNION else places()[code].name


def place_words(code: str) -> str:
    """Return a place as a sentence names it: the United Kingdom, France.

    Source: ISO 3166-1; the articles are common practice, no source.
    """
    name = place_name(code)
    return f"the {name}" if _WITH_ARTICLE.fullmatch(name) else name


def where_words(codes: Iterable[str]) -> str:
    """Return countries and regions in a row, as the tables write a range.

    Source: ISO 3166-1 for the countries; the Appendices for the names of the regions.
    """
    return some_of([_REGIONS.get(code, code) for code in sorted(codes)])


def one_of_places(codes: Sequence[str]) -> str:
    """Return places of which it is one: Cameroon (CM), Gabon (GA) or Ghana (GH).

    Of none it is empty.

    Source: ISO 3166-1.
    """
    said = [f"{place_words(code)} ({code})" for code in codes]
    return " or ".join(filter(None, (", ".join(said[:-1]), *said[-1:])))


def _read_route(steps: list[str], purpose: Purpose | None) -> Movement | None:
    starts = tuple(place_for(part) for part in steps[0].split("/"))
    rest = tuple(place_for(step) for step in steps[1:])
    known = tuple(code for code in (*starts, *rest) if code is not None)
    if len(known) != len(starts) + len(rest):
        return None
    return Movement(
        legs=(known[0], *known[len(starts) :]),
        starts=known[: len(starts)] if len(starts) > 1 else (),
        purpose=purpose,
        owner_changes=owner_changes_by(purpose),
    )


def owner_changes_by(purpose: Purpose | None) -> bool | None:
    """Tell whether a purpose by itself changes the owner; nothing where it is open.

    Source: common practice, no source.
    """
    if purpose in COMMERCIAL or purpose == "gift":
        return True
    return False if purpose in PLAYED else None


def _read_inside(text: str) -> Movement | None:
    """Read a movement inside one place: US interstate sale, UK sale, inside DE."""
    words = text.split()
    for cut in range(1, len(words) + 1):
        code = _inside(" ".join(words[:cut]))
        told = " ".join(words[cut:]).lower()
        purpose = _purpose(told)
        if code is not None and (purpose is not None or not told):
            owner = owner_changes_by(purpose)
            return Movement(legs=(code,), purpose=purpose, owner_changes=owner)
    return None


def _inside(text: str) -> str | None:
    match = _INSIDE.match(text)
    return place_for(match[1]) if match else None


def _purpose(words: str) -> Purpose | None:
    """Return the purpose in a few words; of several the one that is trade."""
    parts = [part for part in re.split(r"[,;]| and ", words) if part.strip()]
    meant = [_PURPOSES.get(part.strip()) for part in parts]
    if not meant or None in meant:
        return None
    return "sale" if "sale" in meant else meant[-1]
