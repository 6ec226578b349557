"""What the saw is tried on: a rosewood back set of 869 g, and a neck blank.

The worked example of a split: 690 g of plates, a headplate of 54 g, strips of 61 g and
64 g of waste are 869 g.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from ledger.acts import sawing
from ledger.acts.sawing import PieceDraft
from ledger.audit import audit
from ledger.views.boards import Board
from tests.skerrymoor import NECK, TOP, Loft

BACK = replace(
    TOP,
    meant_for="back",
    width_um=216_000,
    thickness_um=4_000,
    masses_mg=(434_000, 435_000),
)
SET = "L26-001-01"
PLATES = PieceDraft(meant_for="plates", mass_mg=690_000)
HEADPLATE = PieceDraft(
    meant_for="headplate",
    mass_mg=54_000,
    length_um=210_000,
    width_um=90_000,
    thickness_um=3_200,
)
# Its length in inches, typed as millimetres.
SWAPPED = replace(HEADPLATE, length_um=8_270)
STRIP = PieceDraft(meant_for="bridge strip", mass_mg=20_000, is_offcut=True)
STRIPS = (STRIP, STRIP, replace(STRIP, mass_mg=21_000))
DUST = 64_000


def stocked(loft: Loft) -> Loft:
    """Let a back set and a neck blank come in, each in a lot of its own."""
    loft.supplier()
    rosewood = {"species": "Dalbergia latifolia", "harvested_in": "IN"}
    loft.number(loft.receive(documents=(loft.document(),), **rosewood), BACK)
    loft.number(loft.receive(), NECK)
    loft.model()
    loft.begin()
    loft.begin()
    return loft


def split(loft: Loft, code: str, *pieces: PieceDraft, **told: Any) -> list[str]:
    """Saw a board, as somebody at the bench."""
    hands = loft.hands("03")
    return sawing.split(loft.shop, codes=[code], pieces=pieces, hands=hands, **told)


def join(loft: Loft, codes: Sequence[str], mass_mg: int, **told: Any) -> str:
    """Glue boards into a neck."""
    draft = PieceDraft(meant_for="neck", mass_mg=mass_mg)
    hands = loft.hands("03")
    return sawing.join(loft.shop, codes=codes, draft=draft, hands=hands, **told)


def untouched(loft: Loft, size: int) -> bool:
    """Tell that nothing was recorded since, and that everything is whole."""
    return loft.shop.store.head().size == size and audit(loft.shop).findings == ()


def board(loft: Loft, code: str) -> Board:
    """Return a board as it is known."""
    with loft.shop.store.reading() as session:
        found = session.get_one(Board, code)
        session.expunge_all()
    return found
