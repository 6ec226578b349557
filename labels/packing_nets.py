"""Net masses as a packing list prints them: rounded so that all of them add up."""

from typing import NamedTuple, TypeVar

from ledger.trade.consignment import Consignment
from ledger.trade.forms.amounts import milligrams

Key = TypeVar("Key")


class Nets(NamedTuple):
    """Net masses as they are printed, so that they add up [mg].

    things are by code and woods by thing, species and whether it is of an animal;
    places are decimals of a kilogram. What was never weighed has none.
    """

    things: dict[str, int]
    woods: dict[tuple[str, str, bool], int]
    places: int


def nets(consignment: Consignment) -> Nets:
    """Return the masses as printed: the woods of each thing, and the things.

    A thing that weighs what its woods do is printed as their sum.
    """
    woods: dict[tuple[str, str, bool], int] = {}
    for item in consignment.items:
        if item.mass_mg is not None:
            key = (item.thing, item.taxon, item.kind == "animal")
            woods[key] = woods.get(key, 0) + item.mass_mg
    whole = {t.code: t.mass_mg for t in consignment.things if t.mass_mg is not None}
    # One number of decimals for all that stands on the list.
    places = milligrams([*woods.values(), *whole.values()]).places
    printed: dict[tuple[str, str, bool], int] = {}
    for is_animal in (False, True):
        of_kind = {key: mg for key, mg in woods.items() if key[2] == is_animal}
        printed |= _shared(of_kind, places)
    sums = {
        code: sum(mg for key, mg in printed.items() if key[0] == code)
        for code, mass in whole.items()
        if mass == sum(mg for key, mg in woods.items() if key[0] == code)
    }
    others = {code: mass for code, mass in whole.items() if code not in sums}
    return Nets(sums | _shared(others, places), printed, places)


def _shared(masses: dict[Key, int], places: int) -> dict[Key, int]:
    parts = milligrams(list(masses.values()), places=places).parts
    return dict(zip(masses, parts, strict=True))
