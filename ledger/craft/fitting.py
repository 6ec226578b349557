"""Whether a piece of wood can become a part: its species, and enough of each size."""

from collections.abc import Iterator
from dataclasses import dataclass

from ledger.craft.policy import binomial
from ledger.craft.seasoning import Verdict
from ledger.quantities import millimetres

SIZES = (("length_um", "long"), ("width_um", "wide"), ("thickness_um", "thick"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A part as its model asks for it; no species named is any, no size is any size."""

    part: str
    species: tuple[str, ...] = ()
    length_um: int | None = None
    width_um: int | None = None
    thickness_um: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood:
    """A board as it is known: its species, several of glued wood, and its sizes."""

    species: tuple[str, ...]
    length_um: int | None = None
    width_um: int | None = None
    thickness_um: int | None = None


def is_of(species: str, wanted: str) -> bool:
    """Tell whether a species is the wanted one; a genus stands for all of its species.

    Source: International Code of Nomenclature for algae, fungi, and plants, article 23.
    """
    own, asked = binomial(species), taxon(wanted)
    return asked in (own, own.partition(" ")[0])


def taxon(name: str) -> str:
    """Return genus and species, or the genus alone: Dalbergia spp. is all Dalbergia.

    Source: International Code of Nomenclature for algae, fungi, and plants, article 23;
    "spp." is common practice.
    """
    return binomial(name).removesuffix(" spp.")


def fits(wood: Wood, wanted: Wanted) -> Verdict:
    """Tell whether wood can become a part, and if not, every reason why not.

    Each size is at least what the part has when it is done; a size that nobody took
    says nothing against it.

    Source: the model as the shop set it down; nature sets no limit.
    """
    return Verdict(reasons=(*_other_species(wood, wanted), *_too_small(wood, wanted)))


def _other_species(wood: Wood, wanted: Wanted) -> Iterator[str]:
    others = [
        own for own in wood.species if not any(is_of(own, w) for w in wanted.species)
    ]
    if wanted.species and others:
        yield (
            f"it is of {' and '.join(others)}, and the {wanted.part} is made of "
            f"{' or '.join(wanted.species)}"
        )


def _too_small(wood: Wood, wanted: Wanted) -> Iterator[str]:
    for name, word in SIZES:
        own, least = getattr(wood, name), getattr(wanted, name)
        if own is not None and least is not None and own < least:
            yield (
                f"it is {millimetres(own)} {word}, and the {wanted.part} is "
                f"{millimetres(least)} when it is done"
            )
