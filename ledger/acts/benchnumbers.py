"""The next number of a hold, a batch or a gauge, taken inside the lock."""

from ledger.acts.numbers import number_after
from ledger.acts.shop import Turn
from ledger.benchcodes import GaugeId, HoldId, MaterialId
from ledger.views.holds import newest_hold
from ledger.views.materials import newest_batch, newest_gauge


def next_hold(turn: Turn) -> str:
    """Return the number of the next hold."""
    year = _year(turn)
    start = f"H{year:02d}-"
    number = number_after(turn, start, newest_hold(turn.session, start))
    return str(HoldId(year=year, number=number))


def next_batch(turn: Turn) -> str:
    """Return the code of the next batch of a material."""
    year = _year(turn)
    start = f"M{year:02d}-"
    number = number_after(turn, start, newest_batch(turn.session, start))
    return str(MaterialId(year=year, number=number))


def next_gauge(turn: Turn) -> str:
    """Return the code of the next gauge."""
    year = _year(turn)
    start = f"G{year:02d}-"
    number = number_after(turn, start, newest_gauge(turn.session, start))
    return str(GaugeId(year=year, number=number))


def _year(turn: Turn) -> int:
    return int(turn.shop.today()[2:4])
