"""The sizes and the mass of a flat board, and which of them cannot be."""

from dataclasses import dataclass

from ledger.errors import RefusedError
from ledger.wood.density import density
from ledger.wood.uncertainty import Estimate, require_measured

# From the lightest balsa to the wall of a wood cell itself, swollen; no wood is beyond.
# Source: Wood Handbook FPL-GTR-190, chapter 4 (cell wall 1.54 dry); from memory.
LIGHTEST, HEAVIEST = 40.0, 1600.0  # kg/m3
FLATTEST = 2.0  # at least so many times as wide as thick, to be a plate at all


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """A flat board: a along the grain and b across, h thick.

    length, width, thickness  [m]
    mass                      [kg]
    """

    length: Estimate
    width: Estimate
    thickness: Estimate
    mass: Estimate

    @property
    def aspect(self) -> float:
        """Length over width."""
        return self.length.value / self.width.value

    @property
    def density(self) -> Estimate:
        """Mass over volume [kg/m3]."""
        return density(
            length=self.length,
            width=self.width,
            thickness=self.thickness,
            mass=self.mass,
        )

    @property
    def turned(self) -> "Sizes":
        """The same board, had somebody taken its length for its width."""
        return Sizes(
            length=self.width,
            width=self.length,
            thickness=self.thickness,
            mass=self.mass,
        )


def require_board(sizes: Sizes) -> None:
    """Refuse sizes and a mass that no flat board of wood has.

    Source: no length or mass is zero or less; no wood is heavier than its cell wall.
    """
    for measured in (sizes.length, sizes.width, sizes.thickness, sizes.mass):
        require_measured(measured)
    narrow = min(sizes.length.value, sizes.width.value)
    if narrow < FLATTEST * sizes.thickness.value:
        raise RefusedError(
            f"{narrow * 1000:g} mm wide and {sizes.thickness.value * 1000:g} mm thick "
            f"is no plate: see that the three sizes were not exchanged, or ask for it "
            f"as a bar"
        )
    weight = sizes.density.value
    if not LIGHTEST <= weight <= HEAVIEST:
        raise RefusedError(
            f"the board would have {weight:.0f} kg/m³, and no wood lies outside "
            f"{LIGHTEST:g} to {HEAVIEST:g}: measure and weigh again, and see the units"
        )
