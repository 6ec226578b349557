"""Whether a measure can be right: a density no such wood has is a slip of somebody's.

    550 kg/m³ is no spruce, 7 000 000 kg/m³ is inches typed as millimetres

What cannot be is refused, with both numbers and what to do. Who has measured again and
reads the same says so with --as-read, and it is taken as it was read.
"""

from dataclasses import dataclass
from fractions import Fraction

from ledger.craft.measured import Unit, measure_words
from ledger.errors import RefusedError
from ledger.events.build import Measure
from ledger.events.route import unit_of
from ledger.quantities import grams, kilograms_per_cubic_metre, millimetres, percent
from ledger.wood.density import density
from ledger.wood.species import density_band
from ledger.wood.uncertainty import Estimate

# Where nobody knows the wood: from balsa, dry, to lignum vitae, wet.
LIGHTEST_GRAM_PER_M3 = 80_000
HEAVIEST_GRAM_PER_M3 = 1_500_000
# By how much a board may be heavier or lighter than when it was last weighed.
MASS_PPM = 150_000
# No board grows by more, nor is it worked down to less than this part of itself.
GROWTH_PPM = 150_000
SMALLEST_PART = 10
# Wood that took up all the water its fibres hold; beyond, it is green.
WETTEST_PPM = 300_000
INCH = Fraction("25.4")
# What is read of instruments, from a purfling to a double bass: common practice, no
# source. A bending iron is the hottest thing at the bench.
OF_AN_INSTRUMENT: dict[Unit, tuple[int, int]] = {
    "length_um": (-100_000, 3_000_000),
    "mass_mg": (100, 50_000_000),
    "frequency_millihertz": (1_000, 20_000_000),
    "humidity_ppm": (50_000, 950_000),
    "temperature_millikelvin": (243_150, 573_150),
    "angle_millidegree": (-180_000, 180_000),
    "pitch_ppm": (-109_101, 122_462),
    "time_seconds": (1, 366 * 86_400),
}
# What is read of boards, from a string's thickness to a sawn log [um], [mg].
OF_A_BOARD = {
    "length": (5_000, 12_000_000),
    "width": (1_000, 2_000_000),
    "thickness": (100, 1_000_000),
}
# No part of an instrument is thicker, not even the body of a double bass [um].
THICKEST_UM = 300_000
# What is named so is above nothing.
NEVER_BELOW = ("length", "width", "thickness", "mass", "depth", "height", "diameter")
BOARD_MASS_MG = (100, 2_000_000_000)
WHOLE_PPM = 1_000_000
SLIPS = (
    (INCH**3, "the sizes look like inches typed as millimetres"),
    (INCH**2, "two of the sizes look like inches typed as millimetres"),
    (INCH, "one of the sizes looks like inches typed as millimetres"),
)
REMEDY = "measure and weigh again"


class UnlikelyError(RefusedError):
    """A measure that can hardly be; who measured again may say that it is so.

    `doubt` is what is unlikely and what to look at, without how to insist.
    """

    def __init__(self, doubt: str) -> None:
        super().__init__(f"{doubt}, or say that it is so with --as-read")
        self.doubt = doubt


@dataclass(frozen=True, slots=True, kw_only=True)
class Usual:
    """Densities that are plausible, and for which wood."""

    wood: str
    low_gram_per_m3: int
    high_gram_per_m3: int
    is_known: bool

    @property
    def words(self) -> str:
        """The band in words: 328 to 547 kg/m³."""
        low = round(self.low_gram_per_m3 / 1000)
        return f"{low} to {_density(self.high_gram_per_m3)}"

    def holds(self, gram_per_m3: int | Fraction) -> bool:
        """Tell whether a density lies within."""
        return self.low_gram_per_m3 <= gram_per_m3 <= self.high_gram_per_m3


def usual_density(species: str) -> Usual:
    """Return the densities that are plausible for a species; for others, for any wood.

    At 12 % moisture; wood as it comes in is often wetter, and heavier for it.
    """
    band = density_band(species)
    if band is None:
        return Usual(
            wood="any wood",
            low_gram_per_m3=LIGHTEST_GRAM_PER_M3,
            high_gram_per_m3=HEAVIEST_GRAM_PER_M3,
            is_known=False,
        )
    return Usual(
        wood=band.name,
        low_gram_per_m3=round(band.low * 1000),
        high_gram_per_m3=round(band.high * 1000),
        is_known=True,
    )


def density_gram_per_m3(
    *,
    mass_mg: int | None,
    length_um: int | None,
    width_um: int | None,
    thickness_um: int | None,
) -> int | None:
    """Return the density of a board, or None where something was never measured."""
    if not (mass_mg and length_um and width_um and thickness_um):
        return None
    found = density(
        length=_exactly(length_um / 1e6),
        width=_exactly(width_um / 1e6),
        thickness=_exactly(thickness_um / 1e6),
        mass=_exactly(mass_mg / 1e6),
    )
    return round(found.value * 1000)


def density_words(gram_per_m3: int, species: str) -> str:
    """Say what a density is beside the usual one: 432 kg/m³: normal for Picea abies."""
    usual, told = usual_density(species), _density(gram_per_m3)
    if not usual.is_known:
        return f"{told}, and no usual density of {species} is known here"
    if usual.holds(gram_per_m3):
        return f"{told}: normal for {usual.wood}"
    way = "below" if gram_per_m3 < usual.low_gram_per_m3 else "above"
    return f"{told}: {way} the usual {usual.words} of {usual.wood}, kept as read"


def require_density(code: str, species: str, gram_per_m3: int) -> None:
    """Refuse a density that the wood cannot have, and say what it looks like."""
    usual = usual_density(species)
    if usual.holds(gram_per_m3):
        return
    for times, what in SLIPS if usual.is_known else SLIPS[:1]:
        if usual.holds(gram_per_m3 / times):
            raise UnlikelyError(
                f"board {code} would have {_density(gram_per_m3)}, and {usual.wood} "
                f"has {usual.words}: {what}; type them with their unit"
            )
    check = f"the species is {species}, see that it is; " if usual.is_known else ""
    raise UnlikelyError(
        f"board {code} would have {_density(gram_per_m3)}, and {usual.wood} has "
        f"{usual.words}: {check}{REMEDY}"
    )


def require_like_last_mass(code: str, mass_mg: int, last_mg: int) -> None:
    """Refuse a mass that is far from the last one of the same, unworked board."""
    if _is_far(mass_mg, last_mg):
        raise UnlikelyError(
            f"board {code} weighs {grams(mass_mg)} and weighed {grams(last_mg)} last, "
            f"a difference above {percent(MASS_PPM)}: see that the scale shows nought "
            f"when empty and that it is this board; after work on it measure it first"
        )


def require_like_listed_mass(code: str, mass_mg: int, listed_mg: int) -> None:
    """Refuse a first mass that is far from the one on the sawyer's list."""
    if _is_far(mass_mg, listed_mg):
        raise UnlikelyError(
            f"board {code} weighs {grams(mass_mg)} and {grams(listed_mg)} on the "
            f"sawyer's list, a difference above {percent(MASS_PPM)}: see that the "
            f"scale shows nought when empty and that it is this board"
        )


def require_like_last_size(code: str, what: str, new_um: int, last_um: int) -> None:
    """Refuse a size that grew, or that no working down explains."""
    told = f"the {what} of board {code} is {millimetres(new_um)} and was "
    told += f"{millimetres(last_um)} last"
    if last_um * 10 in range(new_um * 250, new_um * 258):
        raise UnlikelyError(
            f"{told}: it looks like inches typed as millimetres; type it with its unit"
        )
    if new_um * SMALLEST_PART < last_um:
        raise UnlikelyError(
            f"{told}, more than {SMALLEST_PART} times as much: measure again"
        )
    if (new_um - last_um) * 1_000_000 > GROWTH_PPM * last_um:
        raise UnlikelyError(
            f"{told}, and no board grows by more than {percent(GROWTH_PPM)}: see that "
            f"it is this board"
        )


def require_measure(serial: str, measure: Measure, *, as_read: bool) -> None:
    """Refuse a value that nobody reads of an instrument, unless it is so as read.

    Air that holds more water than it can, and a size of nothing or less, are refused
    whatever is said.
    """
    unit = unit_of(measure)
    value = getattr(measure, unit)
    told = f"the {measure.what} of {serial} is given as {measure_words(unit, value)}"
    if unit == "humidity_ppm" and value > WHOLE_PPM:
        raise RefusedError(f"{told}, and there is no more than 100 %: read it again")
    words = measure.what.casefold().split()
    if unit == "length_um" and value <= 0 and {*words} & {*NEVER_BELOW}:
        raise RefusedError(f"{told}, and a size is above nothing: read it again")
    least, most = OF_AN_INSTRUMENT[unit]
    if unit == "length_um" and "thickness" in words:
        least, most = 0, THICKEST_UM
    if not (as_read or least <= value <= most):
        low, high = measure_words(unit, least), measure_words(unit, most)
        raise UnlikelyError(
            f"{told}, and what is read of an instrument lies between {low} and {high}: "
            f"read it again and type it with its unit"
        )


def require_size(code: str, what: str, um: int) -> None:
    """Refuse a size that no board has."""
    least, most = OF_A_BOARD[what]
    if not least <= um <= most:
        raise UnlikelyError(
            f"the {what} of board {code} is given as {millimetres(um)}, and boards "
            f"have {millimetres(least)} to {millimetres(most)}: measure again and type "
            f"it with its unit"
        )


def require_mass(code: str, mass_mg: int) -> None:
    """Refuse a mass that no board has."""
    least, most = BOARD_MASS_MG
    if not least <= mass_mg <= most:
        raise UnlikelyError(
            f"the mass of board {code} is given as {grams(mass_mg)}, and boards weigh "
            f"{grams(least)} to {grams(most)}: weigh it again and type it with its unit"
        )


def require_moisture(code: str, moisture_ppm: int) -> None:
    """Refuse a moisture that only green wood has."""
    if moisture_ppm > WETTEST_PPM:
        raise UnlikelyError(
            f"board {code} would have a moisture of {percent(moisture_ppm)}, and above "
            f"{percent(WETTEST_PPM)} wood is green: read the meter again"
        )


def _exactly(value: float) -> Estimate:
    return Estimate(value=value, u=0.0)


def _is_far(mass_mg: int, other_mg: int) -> bool:
    return abs(mass_mg - other_mg) * 1_000_000 // other_mg > MASS_PPM


def _density(gram_per_m3: int) -> str:
    return kilograms_per_cubic_metre(gram_per_m3, places=0)
