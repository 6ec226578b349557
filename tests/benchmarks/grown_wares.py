"""The wood that a shop of flat-top guitars buys, part by part."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Ware:
    """The wood of one part as it is bought; `is_sawn` in so many pieces of a billet."""

    part: str
    species: str
    country: str
    sizes_um: tuple[int, int, int]
    density: int  # kg/m3
    finished_mg: int
    is_set: bool = False
    is_sawn: bool = False

    @property
    def mass_mg(self) -> int:
        """The mass of one board."""
        length, width, thickness = self.sizes_um
        return length * width * thickness * self.density // 10**12


WARES = (
    Ware(
        part="top",
        species="Picea abies",
        country="IT",
        sizes_um=(559_000, 203_000, 4_200),
        density=440,
        finished_mg=190_000,
        is_set=True,
    ),
    Ware(
        part="back",
        species="Dalbergia latifolia",
        country="IN",
        sizes_um=(559_000, 216_000, 4_000),
        density=850,
        finished_mg=360_000,
        is_set=True,
    ),
    Ware(
        part="sides",
        species="Dalbergia latifolia",
        country="IN",
        sizes_um=(838_000, 121_000, 3_500),
        density=850,
        finished_mg=355_000,
        is_set=True,
    ),
    Ware(
        part="neck",
        species="Swietenia macrophylla",
        country="FJ",
        sizes_um=(760_000, 76_000, 25_000),
        density=545,
        finished_mg=480_000,
    ),
    Ware(
        part="fingerboard",
        species="Diospyros crassiflora",
        country="CM",
        sizes_um=(520_000, 73_000, 8_000),
        density=1_030,
        finished_mg=163_000,
    ),
    Ware(
        part="bridge",
        species="Diospyros crassiflora",
        country="CM",
        sizes_um=(180_000, 42_000, 11_000),
        density=1_030,
        finished_mg=39_000,
    ),
    Ware(
        part="bridge plate",
        species="Acer saccharum",
        country="US",
        sizes_um=(200_000, 75_000, 3_500),
        density=700,
        finished_mg=15_000,
    ),
    Ware(
        part="binding",
        species="Acer saccharum",
        country="US",
        sizes_um=(838_000, 100_000, 3_000),
        density=700,
        finished_mg=20_000,
        is_sawn=True,
    ),
    Ware(
        part="braces",
        species="Picea abies",
        country="IT",
        sizes_um=(600_000, 250_000, 40_000),
        density=440,
        finished_mg=110_000,
        is_sawn=True,
    ),
    Ware(
        part="blocks",
        species="Swietenia macrophylla",
        country="FJ",
        sizes_um=(600_000, 200_000, 40_000),
        density=545,
        finished_mg=180_000,
        is_sawn=True,
    ),
    Ware(
        part="linings",
        species="Tilia cordata",
        country="DE",
        sizes_um=(800_000, 150_000, 20_000),
        density=490,
        finished_mg=90_000,
        is_sawn=True,
    ),
)
