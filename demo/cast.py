"""Who and what there is in the invented shop."""

from dataclasses import dataclass

from ledger.events.build import Meaning, Measure, Step
from ledger.events.wood import Evidence, Shown

SHOP = "Skerrymoor Fretted Instruments"
PLACE = "the Loft, Port Anslow"
HOST = "skm.example"
FIRST_SERIAL = "26-0147-3"
OWNER = "Amélie Rousset"


@dataclass(frozen=True, slots=True, kw_only=True)
class Builder:
    """Somebody at the Loft: name, badge, PIN, and what may be signed."""

    name: str
    badge: str
    pin: str
    may: tuple[str, ...] = ()


LEAD = Builder(name="Oluwaseun Adeyemi-Brandt", badge="01", pin="0107")
OFFICE = Builder(name="Rukmini Desai", badge="12", pin="1276", may=("papers",))
BUILDERS = (
    Builder(name="Maura Kiely", badge="02", pin="0235", may=("receive",)),
    Builder(
        name="Jakub Wolański", badge="03", pin="0391", may=("plates", "brace", "bind")
    ),
    Builder(name="Teresa Quispe", badge="04", pin="0448", may=("necks", "frets")),
    Builder(name="Hallvard Ness", badge="05", pin="0560", may=("finish",)),
    Builder(name="Noor Rahimi", badge="06", pin="0612", may=("set-up",)),
    Builder(name="Ines Carvalhal", badge="10", pin="1083", may=("inspect",)),
)


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
SAWYERS = (VALDESUND, NAMBIAR, WAIRERE)

MODEL = "Tidewarden"
INSTRUMENT = "flat-top guitar, dreadnought-size"
PARTS = ("top", "back and sides", "neck", "fingerboard and bridge", "braces")
STEPS = (
    Step(step="plates joined and thicknessed", qualification="plates"),
    Step(step="braced and voiced", qualification="brace"),
    Step(step="box closed", qualification="plates"),
    Step(step="neck carved and fitted", qualification="necks"),
    Step(step="bound", qualification="bind"),
    Step(step="fretted", qualification="frets"),
    Step(step="finished", qualification="finish"),
    Step(step="set up", qualification="set-up"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """A lot: from whom, on which paper, of what; old stock keeps its code."""

    code: str
    species: str
    trade_name: str
    boards: int
    received_on: str
    form: str = "sawn"
    sawyer: Sawyer | None = None
    paper: str = ""
    number: str = ""
    harvested_in: str | None = None
    evidence: Evidence | None = None


SPRUCE = Delivery(
    code="",
    species="Picea abies",
    trade_name="mountain spruce",
    boards=25,
    received_on="2026-01-12",
    form="split billet",
    sawyer=VALDESUND,
    paper="delivery-note-valdesund.txt",
    number="2026-17",
    harvested_in="NO",
)
ROSEWOOD = Delivery(
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
)
MAHOGANY = Delivery(
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
)
OLD_PIER = Delivery(
    code="L25-002",
    species="Diospyros crassiflora",
    trade_name="ebony, Old Pier stock",
    boards=6,
    received_on="2025-02-03",
    evidence="diary",
)
DELIVERIES = (ROSEWOOD, MAHOGANY, OLD_PIER, SPRUCE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A board or a set as first measured, and the part it becomes if it is chosen."""

    delivery: Delivery
    part: str
    meant_for: str
    length: str
    width: str
    thickness: str
    masses: tuple[str, ...]


SETS = 24
CHOSEN = 11
PIECES = (
    *(
        Piece(
            delivery=SPRUCE,
            part="top" if number == CHOSEN else "",
            meant_for="top",
            length="559 mm",
            width="203 mm",
            thickness="4.2 mm",
            masses=(f"{198 + number * 7 % 23} g", f"{199 + number * 5 % 19} g"),
        )
        for number in range(1, SETS + 1)
    ),
    Piece(
        delivery=ROSEWOOD,
        part="back and sides",
        meant_for="back",
        length="559 mm",
        width="216 mm",
        thickness="4.0 mm",
        masses=("434 g", "435 g"),
    ),
    Piece(
        delivery=MAHOGANY,
        part="neck",
        meant_for="neck",
        length="760 mm",
        width="76 mm",
        thickness="25 mm",
        masses=("790 g",),
    ),
    Piece(
        delivery=OLD_PIER,
        part="fingerboard and bridge",
        meant_for="fingerboard",
        length="520 mm",
        width="73 mm",
        thickness="8 mm",
        masses=("320 g",),
    ),
    Piece(
        delivery=SPRUCE,
        part="braces",
        meant_for="brace stock",
        length="559 mm",
        width="130 mm",
        thickness="28 mm",
        masses=("900 g",),
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A step as it was signed: when, by whom, with what measured and weighed."""

    day: str
    badge: str
    step: str
    meaning: Meaning = "did"
    measured: tuple[Measure, ...] = ()
    weighed: tuple[tuple[str, str], ...] = ()


WORK = (
    Work(
        day="2026-07-20",
        badge="03",
        step="plates joined and thicknessed",
        weighed=(("top", "190 g"), ("back and sides", "715 g")),
    ),
    Work(
        day="2026-07-28",
        badge="03",
        step="braced and voiced",
        weighed=(("braces", "110 g"),),
    ),
    Work(day="2026-07-29", badge="01", step="braced and voiced", meaning="approved"),
    Work(day="2026-08-05", badge="03", step="box closed"),
    Work(day="2026-08-06", badge="10", step="box closed", meaning="inspected"),
    Work(
        day="2026-08-24",
        badge="04",
        step="neck carved and fitted",
        weighed=(("neck", "480 g"), ("fingerboard and bridge", "202 g")),
    ),
    Work(day="2026-08-31", badge="03", step="bound"),
    Work(day="2026-09-07", badge="04", step="fretted"),
    Work(day="2026-09-28", badge="05", step="finished"),
    Work(
        day="2026-11-09",
        badge="06",
        step="set up",
        measured=(
            Measure(what="mass", mass_mg=1_986_000),
            Measure(what="relief", length_um=180),
            Measure(what="action, bass", length_um=2_300),
            Measure(what="action, treble", length_um=1_700),
            Measure(what="main air", frequency_millihertz=98_400),
            Measure(what="set up at", humidity_ppm=450_000),
        ),
    ),
)
