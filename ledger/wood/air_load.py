"""The air that moves with a thin plate, and makes it ring lower than in a vacuum.

A light top drags so much air that its moduli read 4 to 9 % low, a rosewood plate half
as much. The correction is our own reckoning, with no published figure beside it: it is
off unless asked for, and what it made is labelled. Thin one plate in steps, and E stays
flat only with it.
"""

import bisect
import math

from ledger.errors import RefusedError
from ledger.wood.sizes import Sizes
from ledger.wood.uncertainty import Estimate, product

METHOD = "air load by vortex rings/1"
AIR = 1.2  # kg/m3
ALONG, ACROSS, TWIST = "along", "across", "twist"
# Length over width, and how thick a sheet of air moves, over the root of length times
# width: of the two woods reckoned, the one whose modes mix less at that ratio.
ASPECTS = (1.0, 1.2, 1.375, 1.6, 2.0, 2.4, 2.75, 3.2, 4.0, 5.0, 6.5)
# fmt: off
SHEETS = {
    TWIST: (0.1773, 0.1759, 0.1728, 0.1695, 0.1621, 0.1544,
            0.1498, 0.1415, 0.1316, 0.1216, 0.1095),
    ALONG: (0.2003, 0.2114, 0.2188, 0.2282, 0.2243, 0.2317,
            0.2356, 0.2364, 0.2360, 0.2322, 0.2233),
    ACROSS: (0.1985, 0.1875, 0.1779, 0.1669, 0.1642, 0.1495,
             0.1411, 0.1303, 0.1217, 0.1083, 0.0992),
}
# fmt: on
TURNED = {ALONG: ACROSS, ACROSS: ALONG, TWIST: TWIST}
# Between the finest mesh reckoned and what the meshes tend to; air at 15 to 25 °C.
U_SHEET = 0.08


def in_vacuum(mode: str, frequency: Estimate, sizes: Sizes) -> Estimate:
    """Return the frequency [Hz] at which a plate would ring without air.

    mode  along, across or twist

    f^2 grows by 1 + air / (rho h) times the thickness of the sheet of air that moves;
    from 1 / 6.5 to 6.5 in length over width.

    Source: own vortex-ring panels, unbaffled and incompressible, computed; a square
    plate in translation comes to 0.4549 rho a^3, and R. D. Blevins gives 0.455 (from
    memory).
    """
    moved = (
        AIR
        * _sheet(mode, sizes.aspect)
        * math.sqrt(sizes.length.value * sizes.width.value)
    )
    share = moved * sizes.length.value * sizes.width.value / sizes.mass.value
    more = Estimate(value=1 + share, u=U_SHEET * share)
    return product(1, (frequency, 1), (more, 0.5))


def _sheet(mode: str, aspect: float) -> float:
    """Interpolate in the table; a plate that is wider than long is turned round."""
    if aspect < 1:
        return _sheet(TURNED[mode], 1 / aspect)
    if aspect > ASPECTS[-1]:
        raise RefusedError(
            f"the air's part is known up to {ASPECTS[-1]:g} times as long as wide, and "
            f"this board is {aspect:.3g} times: leave the air out"
        )
    right = max(1, bisect.bisect_left(ASPECTS, aspect))
    low, high = ASPECTS[right - 1], ASPECTS[right]
    share = math.log(aspect / low) / math.log(high / low)
    sheets = SHEETS[mode]
    return sheets[right - 1] * (1 - share) + sheets[right] * share
