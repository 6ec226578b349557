"""Wood that was there before the record: what of each lot, on which paper."""

from dataclasses import dataclass

from demo import tops
from demo.stock import ACHTERBERG, FERRANTE, NAMBIAR, WAIRERE, Sawyer
from ledger.acts.grading import Seen
from ledger.events.wood import Evidence


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A board or a set of old stock as first measured; the story calls it by a name."""

    name: str
    meant_for: str
    sizes: tuple[str, str, str]
    masses: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OldStock:
    """A lot that was there before: on which paper, of what; it keeps its code."""

    code: str
    species: str
    trade_name: str
    boards: int
    received_on: str
    pieces: tuple[Piece, ...]
    form: str = "sawn"
    sawyer: Sawyer | None = None
    paper: str = ""
    number: str = ""
    harvested_in: str | None = None
    evidence: Evidence | None = None


ROSEWOOD = OldStock(
    code="L23-040",
    species="Dalbergia latifolia",
    trade_name="East Indian rosewood",
    boards=12,
    received_on="2023-09-14",
    sawyer=NAMBIAR,
    paper="invoice-nambiar.txt",
    number="ND-2023-0412",
    harvested_in="IN",
    evidence="invoice",
    pieces=(
        Piece(
            name="rosewood back",
            meant_for="back",
            sizes=("559 mm", "216 mm", "4.0 mm"),
            masses=("434 g", "435 g"),
        ),
        Piece(
            name="rosewood sides",
            meant_for="sides",
            sizes=("838 mm", "121 mm", "3.5 mm"),
            masses=("305 g", "307 g"),
        ),
    ),
)
MAHOGANY = OldStock(
    code="L25-019",
    species="Swietenia macrophylla",
    trade_name="big-leaf mahogany",
    boards=40,
    received_on="2025-03-02",
    sawyer=WAIRERE,
    paper="invoice-wairere.txt",
    number="1151",
    harvested_in="FJ",
    evidence="invoice",
    pieces=(
        Piece(
            name="long neck",
            meant_for="neck",
            sizes=("760 mm", "76 mm", "25 mm"),
            masses=("790 g",),
        ),
        Piece(
            name="block stock",
            meant_for="blocks and linings",
            sizes=("760 mm", "76 mm", "25 mm"),
            masses=("788 g",),
        ),
        Piece(
            name="body blank",
            meant_for="body",
            sizes=("483 mm", "337 mm", "44.5 mm"),
            masses=("3890 g",),
        ),
        Piece(
            name="short neck",
            meant_for="neck",
            sizes=("700 mm", "80 mm", "25 mm"),
            masses=("752 g",),
        ),
    ),
)
OLD_PIER = OldStock(
    code="L24-002",
    species="Diospyros crassiflora",
    trade_name="ebony, Old Pier stock",
    boards=6,
    received_on="2024-02-03",
    evidence="diary",
    pieces=(
        Piece(
            name="ebony plank",
            meant_for="fingerboard",
            sizes=("760 mm", "95 mm", "12 mm"),
            masses=("884 g",),
        ),
        Piece(
            name="broad ebony plank",
            meant_for="fingerboard",
            sizes=("780 mm", "110 mm", "12 mm"),
            masses=("1050 g",),
        ),
        Piece(
            name="ebony board",
            meant_for="fingerboard",
            sizes=("520 mm", "73 mm", "8 mm"),
            masses=("312 g",),
        ),
    ),
)
# Where the ebony may have grown, as the stock book says that came with it.
OLD_PIER_COUNTRIES = ("CM", "GA")
OLD_PIER_TOLD = "the stock book of the pier has both, and not which plank is whose"
MAPLE = OldStock(
    code="L24-031",
    species="Acer macrophyllum",
    trade_name="bigleaf maple",
    boards=8,
    received_on="2024-05-06",
    sawyer=ACHTERBERG,
    paper="invoice-achterberg.txt",
    number="0388",
    harvested_in="US",
    evidence="invoice",
    pieces=(
        Piece(
            name="maple back",
            meant_for="back",
            sizes=("560 mm", "230 mm", "24 mm"),
            masses=("1730 g", "1726 g"),
        ),
        Piece(
            name="maple sides",
            meant_for="sides",
            sizes=("860 mm", "85 mm", "3.0 mm"),
            masses=("123 g", "122 g"),
        ),
        Piece(
            name="maple neck",
            meant_for="neck",
            sizes=("760 mm", "80 mm", "60 mm"),
            masses=("2040 g",),
        ),
        Piece(
            name="maple strip",
            meant_for="bridge plate and binding",
            sizes=("1080 mm", "80 mm", "4.0 mm"),
            masses=("194 g",),
        ),
    ),
)
WALNUT = OldStock(
    code="L24-077",
    species="Juglans nigra",
    trade_name="black walnut",
    boards=4,
    received_on="2024-05-06",
    sawyer=ACHTERBERG,
    paper="invoice-achterberg.txt",
    number="0388",
    harvested_in="US",
    evidence="invoice",
    pieces=(
        Piece(
            name="walnut cap",
            meant_for="cap",
            sizes=("533 mm", "203 mm", "8.0 mm"),
            masses=("536 g", "534 g"),
        ),
        Piece(
            name="walnut offcut",
            meant_for="headplate and rosette",
            sizes=("600 mm", "100 mm", "5.0 mm"),
            masses=("186 g",),
        ),
    ),
)
ALPINE = OldStock(
    code="L25-031",
    species="Picea abies",
    trade_name="Alpine spruce",
    boards=6,
    received_on="2025-04-14",
    form="split wedges",
    sawyer=FERRANTE,
    paper="invoice-ferrante.txt",
    number="25/77",
    harvested_in="IT",
    evidence="invoice",
    pieces=(
        Piece(
            name="spruce wedges",
            meant_for="top",
            sizes=("560 mm", "230 mm", "25 mm"),
            masses=("1385 g", "1383 g"),
        ),
    ),
)
OLD_STOCK = (ROSEWOOD, MAHOGANY, OLD_PIER, MAPLE, WALNUT, ALPINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Carved:
    """Thick wood that is carved: what a meter shows in it, and what is seen.

    What is too thick to be looked at for a grade is metered only.
    """

    name: str
    reading_ppm: int
    setting: str
    seen: Seen | None = None


CARVED = (
    Carved(
        name="spruce wedges",
        reading_ppm=84_000,
        setting="spruce",
        seen=tops.looked_at((29, 27, 25), runout=900),
    ),
    Carved(
        name="maple back",
        reading_ppm=83_000,
        setting="maple",
        seen=tops.looked_at((14, 13, 11), runout=1_900, figure="strong"),
    ),
    Carved(
        name="maple sides",
        reading_ppm=82_000,
        setting="maple",
        seen=tops.looked_at((15, 13, 12), runout=1_700, figure="strong"),
    ),
    Carved(name="maple neck", reading_ppm=85_000, setting="maple"),
)
# In the damp of the spring it weighed so much more than when it was numbered.
SPRING_PERMILLE = (2, 1)
