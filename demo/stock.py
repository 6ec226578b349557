"""Spruce in the invented shop: who saws, what comes on a list, months of weighing."""

from dataclasses import dataclass
from datetime import date

from demo import tops
from ledger.events.board import Mode
from ledger.events.wood import Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Sawyer:
    """A sawyer known by name, and how the name may be shown."""

    name: str
    shown: Shown
    region: str
    country: str


VALDESUND = Sawyer(
    name="Valdesund Skog", shown="by-name", region="Valdesund", country="NO"
)
NAMBIAR = Sawyer(
    name="Nambiar Depot Auctions", shown="by-name", region="Kerala", country="IN"
)
WAIRERE = Sawyer(
    name="Wairere Timber Family",
    shown="by-region",
    region="the west coast",
    country="FJ",
)
ACHTERBERG = Sawyer(
    name="Achterberg Salvage", shown="known-to-maker", region="the canal", country="US"
)
FERRANTE = Sawyer(
    name="Ferrante & Daughters", shown="by-name", region="the high valley", country="IT"
)
SAWYERS = (VALDESUND, NAMBIAR, WAIRERE, ACHTERBERG, FERRANTE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A delivery that comes with the sawyer's packing list."""

    sawyer: Sawyer
    paper: str
    received_on: str
    form: str = "sawn"
    by_species: bool = False
    harvested_in: str | None = None


VALDESUND_LIST = Listed(
    sawyer=VALDESUND,
    paper="packing-list-valdesund.csv",
    received_on="2026-01-12",
    form="split billet",
)
ACHTERBERG_LIST = Listed(
    sawyer=ACHTERBERG,
    paper="packing-list-achterberg.csv",
    received_on="2026-02-02",
    by_species=True,
    harvested_in="US",
)
SETS = 24
CHOSEN = 11


BRACE_MASS_MG = 900_000


# The sets that are judged are measured once, and weighed twice while they dry.
MEASURED_ON = "2026-02-06"
SPRING_DAYS = ("2026-02-09", "2026-03-09")
# The month before the build, once a week: the crib's air in thousandths.
WEEKS = ("2026-06-15", "2026-06-22", "2026-06-29", "2026-07-06", "2026-07-13")
AIR = ((293_150, 441_000), (293_450, 446_000), (292_950, 438_000))
TAPS = {"A": "top-half-a.wav", "B": "top-half-b.wav"}
TAPPED_NEAR_MILLIHERTZ: dict[Mode, int] = {
    "along": 70_000,
    "across": 147_000,
    "twist": 51_000,
}


def first_mass_mg(number: int, half: str) -> int:
    """Return what a half of a spruce set weighs when it comes in."""
    judged = tops.BY_NUMBER.get(number)
    if judged is not None:
        return judged.first_mg(half)
    return 1000 * (198 + number * 7 % 23 if half == "A" else 199 + number * 5 % 19)


def weeks_here(day: str) -> int:
    """Return how many weeks the spruce lies in the crib on a day."""
    came = date.fromisoformat(VALDESUND_LIST.received_on)
    return (date.fromisoformat(day) - came).days // 7


def weekly_mass_mg(first: int, week: int) -> int:
    """Return what a piece weighs in a week of that month: it nears its rest.

    The excess of 0.6 % shrinks to seven tenths each week.
    """
    rest = first * 994 // 1000
    still: int = (first - rest) * 7**week // 10**week
    return rest + still
