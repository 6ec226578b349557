"""The next number of a hold, a batch or a gauge, taken inside the lock."""

from ledger.acts.shop import Turn
from ledger.benchcodes import GaugeId, HoldId, MaterialId
from ledger.views.holds import newest_hold
from ledger.views.materials import newest_batch, newest_gauge


def next_hold(turn: Turn) -> str:
    """Return the number of the next hold."""
    year = _year(turn)
    number = _after(newest_hold(turn.session, f"H{year:02d}-"))
    return str(HoldId(year=year, number=number))


def next_batch(turn: Turn) -> str:
    """Return the code of the next batch of a material."""
    year = _year(turn)
    number = _after(newest_batch(turn.session, f"M{year:02d}-"))
    return str(MaterialId(year=year, number=number))


def next_gauge(turn: Turn) -> str:
    """Return the code of the next gauge."""
    year = _year(turn)
    number = _after(newest_gauge(turn.session, f"G{year:02d}-"))
    return str(GaugeId(year=year, number=number))


def _year(turn: Turn) -> int:
    return int(turn.shop.today()[2:4])


def _after(newest: str | None) -> int:
    return int(newest.rpartition("-")[2]) + 1 if newest else 1
