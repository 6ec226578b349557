"""What goes along and was not made here: read from a file that somebody wrote.

    {"things": [{"what": "flat-top guitar of 1964", "marks": "number 4711 inside",
                 "parts": [{"part": "back and sides", "species": "Dalbergia nigra",
                            "form": "finished_instruments", "mass": "1.1 kg",
                            "origin": "BR", "acquired": "1963-05-01",
                            "papers": ["D26-0009"]}]}]}

`marks`, `mass`, `origin`, `acquired` and `papers` may be left out where nobody knows.
Where the origin is one of several countries, `may_be_from` has them all instead.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from ledger import quantities
from ledger.acts.lots import checked_species
from ledger.acts.names import checked_day, checked_words
from ledger.errors import RefusedError
from ledger.events.shipment import DescribedPiece
from ledger.ids import DocumentId
from ledger.trade.movement import UNION, place_for
from ledger.trade.names import read_name
from ledger.trade.shipment import Material
from ledger.trade.tables import form_for, wood_forms

# What a share is called that is of such a piece: piece 1.
PIECE = "piece "
MOST_PIECES = 1000
OF_A_THING = frozenset({"what", "marks", "parts"})
OF_A_PART = frozenset(
    {"part", "species", "form", "mass", "origin", "may_be_from", "acquired", "papers"}
)
ANIMAL_FORMS = "inlay, part, finished, raw, skin, shell"


def read_described(data: object, today: str) -> tuple[DescribedPiece, ...]:
    """Read the pieces of things out of a file's JSON, strictly; none is of a later day.

    Raises RefusedError with the place in the file and what to write there.
    """
    things = _members(data, "the file", frozenset({"things"})).get("things")
    found = [
        piece
        for place, thing in enumerate(_list(things, "things"), start=1)
        for piece in _pieces(thing, f"thing {place}", today)
    ]
    if len(found) > MOST_PIECES:
        raise RefusedError(
            f"the file describes {len(found)} parts: plan at most {MOST_PIECES} at once"
        )
    return tuple(found)


def described_materials(pieces: Sequence[DescribedPiece]) -> Iterator[Material]:
    """Yield what the tables are asked about, piece by piece."""
    for place, piece in enumerate(pieces, start=1):
        yield Material(
            taxon=piece.species,
            part=piece.part,
            form=piece.form,
            mass_mg=piece.mass_mg,
            lot=f"{PIECE}{place}",
            acquired=date.fromisoformat(piece.acquired) if piece.acquired else None,
            origin=piece.origin,
            may_be_from=piece.may_be_from or (),
            documents=piece.documents,
            thing=piece.thing,
        )


def _pieces(thing: object, where: str, today: str) -> Iterator[DescribedPiece]:
    said = _members(thing, where, OF_A_THING)
    what = _text(said, "what", where)
    marks = _text(said, "marks", where) if "marks" in said else None
    for place, part in enumerate(_list(said.get("parts"), f"{where}, parts"), start=1):
        piece = _piece(part, f"{where}, part {place}", what, marks)
        if piece.acquired is not None and piece.acquired > today:
            raise RefusedError(
                f"{where}, part {place}: acquired {piece.acquired} is still to come, "
                f"and today is {today}: look at the day again"
            )
        yield piece


def _piece(part: object, where: str, what: str, marks: str | None) -> DescribedPiece:
    said = _members(part, where, OF_A_PART)
    name, species, form = (_text(said, n, where) for n in ("part", "species", "form"))
    papers = _list(said.get("papers", []), f"{where}, papers", least=0)
    try:
        return DescribedPiece(
            thing=what,
            marks=marks,
            part=name,
            species=checked_species(species),
            form=_form(form, species),
            mass_mg=_mass(said["mass"]) if "mass" in said else None,
            origin=_country(said["origin"]) if "origin" in said else None,
            may_be_from=_countries(said) or None,
            acquired=_day(said["acquired"]) if "acquired" in said else None,
            documents=tuple(str(DocumentId.parse(str(code))) for code in papers),
        )
    except RefusedError as fault:
        raise RefusedError(f"{where}: {fault}") from None


def _members(data: object, where: str, known: frozenset[str]) -> Mapping[str, Any]:
    if not isinstance(data, dict):
        raise RefusedError(
            f"{where} must be a JSON object with {', '.join(sorted(known))}: see "
            f"flitchbook shipment plan --help"
        )
    strange = sorted(set(data) - known)
    if strange:
        shown = ascii(strange[0][:40])
        raise RefusedError(
            f"{where} has no field {shown}; it has: {', '.join(sorted(known))}"
        )
    return {name: value for name, value in data.items() if value is not None}


def _list(value: object, where: str, *, least: int = 1) -> list[object]:
    if not isinstance(value, list) or len(value) < least:
        raise RefusedError(f"{where} must be a list with something in it")
    return value


def _text(said: Mapping[str, Any], name: str, where: str) -> str:
    value = said.get(name)
    if not isinstance(value, str) or not value.strip():
        raise RefusedError(
            f"{where} says nothing in its field '{name}': write a text there"
        )
    return str(checked_words(name, value))


def _mass(text: object) -> int:
    mass_mg = quantities.mass_mg(str(text))
    if mass_mg < 1:
        raise RefusedError(f"a mass of {text} is none: leave it out if nobody knows it")
    return mass_mg


def _form(text: str, species: str) -> str:
    """Return the form that a word means; one of wood is none of an animal."""
    form = form_for(text)
    if form is None:
        raise RefusedError(
            f"{text[:40]!a} is no form: write one of {', '.join(wood_forms())}, or "
            f"of an animal {ANIMAL_FORMS}"
        )
    name = read_name(species).name
    if name is not None and (name.kind == "animal") is (form in wood_forms()):
        is_animal = name.kind == "animal"
        raise RefusedError(
            f"{species} is {'an animal' if is_animal else 'a plant'}, and {form} is no "
            f"form of it: write one of "
            f"{ANIMAL_FORMS if is_animal else ', '.join(wood_forms())}"
        )
    return form


def _country(text: object) -> str:
    code = place_for(text) if isinstance(text, str) else None
    if code is None:
        raise RefusedError(
            f"{str(text)[:40]!a} is no country: write two letters such as BR, or "
            f"leave origin out"
        )
    return code


def _countries(said: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the countries that an origin may be, sorted; none where it is known."""
    named = _list(said.get("may_be_from", []), "may_be_from", least=0)
    codes = sorted({_country(code) for code in named})
    if named and ("origin" in said or len(codes) < 2 or UNION in codes):
        raise RefusedError(
            "may_be_from lists two countries or more where nobody knows which it is: "
            "write one alone as origin, and member States instead of the Union"
        )
    return tuple(codes)


def _day(text: object) -> str:
    day = text if isinstance(text, str) else ascii(text)
    checked_day(day)
    return day
