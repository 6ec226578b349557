"""Instruments to draw: every kind of them, whole, in the making, and of odd woods."""

from labels.figure import FigureFacts, PartWood

SPRUCE, ROSEWOOD, MAHOGANY = (
    "Picea abies",
    "Dalbergia latifolia",
    "Swietenia macrophylla",
)
EBONY, WALNUT, MAPLE = "Diospyros crassiflora", "Juglans nigra", "Acer macrophyllum"
HOLLY, BOG_OAK = "Ilex aquifolium", "Quercus robur (bog oak)"


def facts(kind: str, **woods: str | tuple[str, ...]) -> FigureFacts:
    """Return an instrument by its parts, such as bridge_plate, and their woods."""
    return FigureFacts(
        kind=kind,
        parts=tuple(
            PartWood(part.replace("_", " "), (wood,) if isinstance(wood, str) else wood)
            for part, wood in woods.items()
        ),
    )


def flat_top() -> FigureFacts:
    """Return the flat-top of the story, as it was certified."""
    return facts(
        "flat-top guitar, dreadnought-size",
        top=SPRUCE,
        back=ROSEWOOD,
        sides=ROSEWOOD,
        neck=MAHOGANY,
        fingerboard=EBONY,
        bridge=EBONY,
        bridge_plate=MAPLE,
        headplate=ROSEWOOD,
        braces=SPRUCE,
        binding=WALNUT,
        rosette=(HOLLY, WALNUT, BOG_OAK),
    )


def arch_top() -> FigureFacts:
    """Return an arch-top with a neck of two woods and two ebonies."""
    return facts(
        "arch-top guitar, 17 in wide",
        top=SPRUCE,
        back=MAPLE,
        sides=MAPLE,
        neck=(MAPLE, WALNUT),
        fingerboard=EBONY,
        headplate=EBONY,
        bridge=ROSEWOOD,
        tailpiece="Diospyros mun",
        pickguard=EBONY,
        binding=MAPLE,
    )


def solid_body() -> FigureFacts:
    """Return a solid body with a cap."""
    return facts(
        "solid-body guitar", body=MAHOGANY, cap=WALNUT, neck=MAPLE, fingerboard=EBONY
    )


def unknown() -> FigureFacts:
    """Return an instrument of wood that nobody knows, but for its top."""
    return facts(
        "flat-top guitar",
        top=SPRUCE,
        back=(),
        neck="unknown",
        heel=(),
        fingerboard=(),
        bridge=(),
        binding=(),
        rosette=("unknown",),
    )


def every() -> dict[str, FigureFacts]:
    """Return every instrument above, by name."""
    return {
        "flat-top": flat_top(),
        "arch-top": arch_top(),
        "solid-body": solid_body(),
        "unknown": unknown(),
    }
