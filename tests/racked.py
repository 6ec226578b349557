"""A rack of two dozen halves for the tests of matching: tapped, graded, and some not.

    loft = racked.rack(loft)      L26-001-01.A to L26-001-10.B, L26-001-11 to -14

Sets 01 to 10 were graded and tapped, each half a little otherwise; 11 is a set that is
still one board, 12 was never measured, 13 is rejected, 14 is a neck.
"""

from typing import Any

from ledger.acts import grading, rejects
from ledger.acts.boards import BoardDraft
from ledger.acts.grading import Seen
from ledger.craft.rings import RingCount
from ledger.events.board import Mode
from tests import rung
from tests.skerrymoor import NECK, TOP, Loft

LOT = "L26-001"
SETS = 10
SERIALS = ("26-0001-8", "26-0002-6", "26-0003-4", "26-0004-2")
SIZES = "--length '530 mm' --width '200 mm' --thickness '3 mm'"


def rack(loft: Loft, *, builds: int = 4) -> Loft:
    """Stock a shop that has no wood yet, and begin instruments that want tops."""
    loft.supplier()
    lot = loft.receive()
    loft.number(lot, *(_set(number) for number in range(SETS)))
    loft.number(lot, _one(len(SERIALS)), BoardDraft(meant_for="top"), _one(0), NECK)
    for number in range(1, SETS + 1):
        judge(loft, f"{LOT}-{number:02d}", rings=30 + number % 3)
        for half in "AB":
            tap(loft, f"{LOT}-{number:02d}.{half}", _hertz(number, half))
    rejects.reject(loft.shop, f"{LOT}-13", faults=["shake"], hands=loft.hands("02"))
    loft.model()
    for _ in range(builds):
        loft.begin()
    return loft


def judge(
    loft: Loft, code: str, *, rings: int = 30, badge: str = "02", **said: Any
) -> None:
    """Grade a set or a board, first if nothing else is said."""
    seen = Seen(
        rings=(RingCount(rings=rings, span_um=50_000),),
        skew_millidegree=1_200,
        figure="none",
    )
    told: dict[str, Any] = {"word": "first", "hands": loft.hands(badge)} | said
    grading.grade(loft.shop, code, seen, **told)


def tap(loft: Loft, code: str, hertz: float) -> None:
    """Record that a half rang at so many hertz along, and across as it then does."""
    tones: dict[Mode, float] = {"along": hertz, "across": 2 * hertz + 9}
    number = int.from_bytes(code.encode())
    loft.say(rung.said(code, at=number, tones=tones), "03")


def _set(number: int) -> BoardDraft:
    """Return a set whose halves are nearly alike, and unlike others."""
    mass = 198_000 + 2_300 * (number * 7 % SETS)
    return BoardDraft(
        meant_for="top",
        length_um=TOP.length_um,
        width_um=TOP.width_um,
        thickness_um=TOP.thickness_um,
        masses_mg=(mass, mass + 300 * (number % 4)),
    )


def _one(number: int) -> BoardDraft:
    return BoardDraft(
        meant_for="top",
        length_um=TOP.length_um,
        width_um=TOP.width_um,
        thickness_um=TOP.thickness_um,
        masses_mg=(204_000 + number,),
    )


def _hertz(number: int, half: str) -> float:
    return 71 + 0.65 * (number * 3 % SETS) + (0.12 if half == "B" else 0)
