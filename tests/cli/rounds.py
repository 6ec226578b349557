"""A shop with wood on its shelves, and somebody who goes round it with a scanner.

walk.says(["L26-001-01.A", "204 g", "done"])
"""

import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from ledger.acts import policies
from ledger.acts.boards import BoardDraft
from ledger.acts.shop import Shop, open_shop
from ledger.ids import BoardId, scan_text
from ledger.quantities import THIN_SPACE
from tests import skerrymoor
from tests.cli.bench import NOON, Bench, Said
from tests.conftest import entropy_from
from tests.skerrymoor import WITHOUT_REST

HOST = "skerrymoor.example"
SERIAL, OTHER = "26-0001-8", "26-0002-6"
# Spruce rests 90 days, everything else may be used at once.
RESTED = WITHOUT_REST | {
    "version": 2,
    "rest": [{"species": ["Picea"], "least_days": 90, "preferred_days": 180}],
}
NECK = BoardDraft(
    meant_for="neck",
    length_um=810_000,
    width_um=95_000,
    thickness_um=24_000,
    masses_mg=(1_010_000,),
)


def stocked(folder: Path) -> None:
    """Open a shop: rested tops L26-001, neck and block L26-002, young tops L26-003.

    Two instruments are begun, and neither has any wood.
    """
    loft = skerrymoor.opened(folder)
    policies.adopt_policy(loft.shop, RESTED, loft.hands())
    loft.supplier()
    paper = loft.document()
    old = loft.receive(received_on="2025-08-01", documents=(paper,))
    loft.number(old, *[skerrymoor.TOP] * 3)
    necks = loft.receive(species="Swietenia macrophylla", harvested_in="FJ")
    loft.number(necks, NECK, replace(NECK, meant_for="block"))
    loft.number(loft.receive())
    loft.model()
    assert (loft.begin(), loft.begin()) == (SERIAL, OTHER)
    loft.shop.close()


@dataclass(slots=True, kw_only=True)
class Walk:
    """Somebody who stands in the loop, in this process, and types through a pipe."""

    bench: Bench

    def says(self, lines: Sequence[str | bytes], *, options: str = "--by 02") -> Said:
        """Type lines, hear the answers; the last line is the end of the input."""
        reading, writing = os.pipe()
        data = b"".join(
            (line if isinstance(line, bytes) else line.encode()) + b"\n"
            for line in lines
        )
        # A pipe holds 64 KiB; longer input comes out of a file.
        if len(data) > 60_000:
            os.close(reading)
            path = self.bench.file("typed", data)
            reading = os.open(path, os.O_RDONLY)
        else:
            os.write(writing, data)
        os.close(writing)
        with os.fdopen(reading) as stdin:
            self.bench.patch.setattr(sys, "stdin", stdin)
            said = self.bench.run(f"loop {options}")
        # A thin space stands before a unit; here any space does.
        return replace(said, out=said.out.replace(THIN_SPACE, " "))

    def answers(
        self, *lines: str, options: str = "--by 02", refused: int = 0
    ) -> list[str]:
        """Type lines that are all taken, but for so many that are refused.

        Returns the answers without the summary.
        """
        said = self.says(lines, options=options)
        assert (said.code, said.err) == (1 if refused else 0, ""), said
        assert said.out.count("nothing was recorded: ") == refused, said
        return said.out.splitlines()[:-1]

    @staticmethod
    def look(folder: Path) -> Shop:
        """Open the shop of a folder, to see what was recorded."""
        return open_shop(
            folder / "shop", now=lambda: NOON, entropy=entropy_from("look")
        )

    def shop(self) -> Shop:
        """Open the shop, to see what was recorded."""
        return self.look(self.bench.folder)

    def size(self) -> int:
        """Return how many entries there are."""
        shop = self.shop()
        try:
            return shop.store.head().size
        finally:
            shop.close()


def scan(code: str) -> str:
    """Return what a scanner types for a board's label."""
    return scan_text(BoardId.parse(code), host=HOST)
