"""Which drawing a wood gets: its anatomy, by species and by genus.

The tints and lines of the first eight are the house's own. A species without a row of
its own is drawn as its genus is, and a genus without one as hardwood with scattered
vessels, which most are.
"""

from typing import Final, Literal, NamedTuple

Pattern = Literal[
    "straight", "waves", "dashes", "solid", "slanted", "flame", "blank", "crossed", "?"
]


class Anatomy(NamedTuple):
    """How a wood is drawn: the pattern, the tint under it and the colour of its lines.

    Tint and colour tell nothing that the pattern does not.
    """

    pattern: Pattern
    tint: str
    line: str


UNKNOWN: Final = Anatomy("?", "#FFFFFF", "#000000")

ANATOMIES: Final = {
    # Even rings, no vessels.
    "spruce": Anatomy("straight", "#F3E6C4", "#8A6A22"),
    "red conifer": Anatomy("straight", "#E6C39C", "#7A3F1C"),
    # Streaked heartwood.
    "rosewood": Anatomy("waves", "#A77A6E", "#2E1517"),
    "golden streaked": Anatomy("waves", "#D2A46A", "#5A3413"),
    # Diffuse-porous, long vessel lines.
    "mahogany": Anatomy("dashes", "#D9A98A", "#6B3218"),
    "pale tropical": Anatomy("dashes", "#EBDDB8", "#7A6233"),
    # Heartwood so dark that nothing is seen in it.
    "ebony": Anatomy("solid", "#1F1A18", "#1F1A18"),
    # Ring-porous and semi-ring-porous.
    "walnut": Anatomy("slanted", "#A58560", "#3D2610"),
    "pale ring-porous": Anatomy("slanted", "#E6D3AE", "#6A4E26"),
    # Diffuse-porous, fine, figured across the grain.
    "maple": Anatomy("flame", "#EFE4CF", "#7E6A44"),
    "cherry": Anatomy("flame", "#DDB592", "#74401F"),
    # Diffuse-porous, fine and plain.
    "holly": Anatomy("blank", "#FBFAF3", "#7A6A58"),
    # Blackened in the bog.
    "bog oak": Anatomy("crossed", "#77706A", "#1C1A18"),
}

# Those of the style sheet first, each with what it was drawn for.
OWN: Final = {
    "Picea abies": "spruce",
    "Dalbergia latifolia": "rosewood",
    "Swietenia macrophylla": "mahogany",
    "Diospyros crassiflora": "ebony",
    "Juglans nigra": "walnut",
    "Acer macrophyllum": "maple",
    "Ilex aquifolium": "holly",
    # Alone among its genus it is as dark as ebony.
    "Dalbergia melanoxylon": "ebony",
}

ALIKE: Final = {
    "spruce": "Abies Agathis Araucaria Larix Picea Pinus Pseudotsuga Tsuga",
    "red conifer": "Calocedrus Cedrus Chamaecyparis Cryptomeria Cupressus Fitzroya "
    "Juniperus Pilgerodendron Sequoia Taxodium Taxus Thuja",
    "rosewood": "Astronium Brosimum Cordia Dalbergia Guibourtia Machaerium Millettia "
    "Platymiscium Swartzia",
    "golden streaked": "Acacia Afzelia Aniba Microberlinia Olea Pericopsis Pterocarpus",
    "mahogany": "Cedrela Dipteryx Entandrophragma Eucalyptus Handroanthus Hymenaea "
    "Khaya Libidibia Manilkara Paubrasilia Peltogyne Shorea Swietenia Tabebuia Toona",
    "pale tropical": "Gonystylus Ochroma Paulownia Roseodendron Terminalia "
    "Triplochiton",
    "ebony": "Bobgunnia Brya Diospyros",
    "walnut": "Juglans Maclura Milicia Morus Tectona Ulmus",
    "pale ring-porous": "Carya Castanea Fraxinus Quercus Robinia",
    "maple": "Acer Aesculus Alnus Betula Fagus Platanus Populus",
    "cherry": "Malus Prunus Pyrus",
    "holly": "Buxus Carpinus Ilex Liriodendron Salix Tilia",
}
GENERA: Final = {
    genus: name for name, genera in ALIKE.items() for genus in genera.split()
}
OTHER: Final = "mahogany"


def is_known(species: str) -> bool:
    """Tell whether a wood was named at all."""
    return species.strip().casefold() not in ("", "unknown", "?")


def has_own_row(species: str) -> bool:
    """Tell whether a species has a drawing of its own, and not its genus's."""
    return species.strip() in OWN


def anatomy_of(species: str) -> Anatomy:
    """Return how a wood is drawn, by its scientific name or that of its genus.

    Source: the classes of porosity are features 3 to 5 of the IAWA list for hardwoods
    (1989); which genus is in which of them, and how dark its heartwood is, is common
    practice, no source, and from memory.
    """
    if not is_known(species):
        return UNKNOWN
    if "bog oak" in species.casefold():
        return ANATOMIES["bog oak"]
    genus = species.split()[0].capitalize()
    name = OWN.get(species.strip()) or GENERA.get(genus, OTHER)
    return ANATOMIES[name]
