"""What a hand meter's reading comes to at the temperature of the wood.

A meter with pins reads electrical resistance, and warm wood conducts better: at 35 deg
C it reads more than 1 % too high, in a cold shed too low. A meter that has a setting
for temperature corrects by itself and is not corrected again. The setting for the
species is kept as it was read: only the meter's maker knows what it does.
"""

from dataclasses import dataclass

from ledger.errors import RefusedError
from ledger.wood.uncertainty import Estimate

RULE = "resistance-temperature/1"
AS_READ = "as-read/1"
COLDEST, WARMEST = -20.0, 60.0
# Within these a meter with pins is calibrated; outside a reading tells little.
LEAST, MOST = 7.0, 25.0
# Standard uncertainty of a reading: within the calibrated range, and outside.
U_WITHIN, U_OUTSIDE = 1.0, 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterMoisture:
    """The moisture [%] that a reading comes to, the rule's name, and what to doubt."""

    moisture: Estimate
    rule: str
    warnings: tuple[str, ...]


def moisture_from_meter(
    *, reading: float, temperature: float, is_compensated: bool
) -> MeterMoisture:
    """Return the moisture content that a meter with pins found.

    reading      [%]      as the meter showed it, set for the species
    temperature  [deg C]  of the wood
    is_compensated        whether the meter was set to that temperature

    Source: Pfaff and Garrahan, Forest Products Journal 36 (1986), as in ASTM D4444 and
    D7438, with a = 1 and b = 0 since the meter is set for the species; constants from
    memory. Standard uncertainty of 1 %: common practice, no source.
    """
    _require_readable(reading, temperature)
    found = reading if is_compensated else _at_room(reading, temperature)
    warnings = []
    if found < LEAST:
        warnings.append(
            f"a meter with pins tells little below {LEAST:g} %, and this is "
            f"{found:.1f} %: weigh the board over some weeks instead"
        )
    if found > MOST:
        warnings.append(
            f"above {MOST:g} % a meter tells only that wood is wet, and this is "
            f"{found:.1f} %"
        )
    within = LEAST <= found <= MOST
    return MeterMoisture(
        moisture=Estimate(value=max(0.0, found), u=U_WITHIN if within else U_OUTSIDE),
        rule=AS_READ if is_compensated else RULE,
        warnings=tuple(warnings),
    )


def _at_room(reading: float, t: float) -> float:
    shifted = reading + 0.567 - 0.0260 * t + 0.000051 * t**2
    return float(shifted / (0.881 * 1.0056**t))


def _require_readable(reading: float, temperature: float) -> None:
    if not 0 < reading <= 100:
        raise RefusedError(
            f"{reading:g} % is no reading of a meter, which shows above 0 and up to "
            f"100 %: read it again"
        )
    if not COLDEST <= temperature <= WARMEST:
        raise RefusedError(
            f"the rule for meters holds from {COLDEST:g} to {WARMEST:g} °C, and "
            f"{temperature:g} °C lies outside: let the wood come to the room"
        )
