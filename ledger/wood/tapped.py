"""A tapped plate: what is known of it, and what comes of that."""

from collections.abc import Mapping
from dataclasses import dataclass

from ledger.wood.sizes import Sizes
from ledger.wood.uncertainty import Estimate

# The long mode (2,0), the cross mode (0,2) and the twist (1,1), by the log's names.
NAMES = ("along", "across", "twist")
# Modes this close are easily taken for one another.
ALIKE = 0.06


@dataclass(frozen=True, slots=True, kw_only=True)
class Tapped:
    """A board, its tones [Hz] by name as far as heard, and its Poisson ratio."""

    sizes: Sizes
    tones: Mapping[str, Estimate]
    poisson: Estimate

    @property
    def is_complete(self) -> bool:
        """Whether all three modes were heard."""
        return all(name in self.tones for name in NAMES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What a tapped plate comes to, how that was found, and what is to be said of it.

    e_along, e_across, g  [Pa]
    sound_speed           [m/s]        along the grain
    radiation_ratio       [m4/(kg s)]  along the grain
    """

    e_along: Estimate | None
    e_across: Estimate | None
    g: Estimate | None
    sound_speed: Estimate | None
    radiation_ratio: Estimate | None
    method: str
    warnings: tuple[str, ...]
