"""What lies beside the wood: glue, lacquer, wire and strings, and what measures."""

from dataclasses import dataclass

from demo.bench import Bench
from ledger.acts import gauges, materials
from ledger.acts.materials import BatchDraft
from ledger.craft.wares import Measures, Use
from ledger.events import GaugeCalibrated


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """A batch as it came in; the story calls it by its name."""

    name: str
    what: str
    use: Use
    received_on: str
    expires_on: str | None = None
    species: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """What measures: its name in the story, what stands on it, how long it is right."""

    name: str
    what: str
    measures: Measures
    mark: str
    until: str


BATCHES = (
    Batch(
        name="old hide glue",
        what="hide glue, grains",
        use="glue",
        received_on="2026-02-10",
        expires_on="2026-08-10",
    ),
    Batch(
        name="wood glue",
        what="white wood glue, 5 l",
        use="glue",
        received_on="2026-05-04",
        expires_on="2027-05-04",
    ),
    Batch(
        name="fret wire",
        what="fret wire, nickel silver, 2.0 mm",
        use="frets",
        received_on="2026-03-16",
    ),
    Batch(
        name="rods",
        what="truss rods, two ways",
        use="hardware",
        received_on="2026-03-16",
    ),
    Batch(
        name="lacquer",
        what="lacquer for the gun, clear",
        use="finish",
        received_on="2026-06-08",
        expires_on="2027-06-08",
    ),
    Batch(
        name="tuners",
        what="tuners, three a side",
        use="hardware",
        received_on="2026-04-20",
    ),
    Batch(
        name="bone",
        what="bone blanks for nuts and saddles",
        use="bone",
        received_on="2026-04-20",
        species="Bos taurus",
    ),
    Batch(
        name="bronze strings",
        what="strings of bronze, 12 to 53",
        use="strings",
        received_on="2026-06-22",
    ),
    Batch(
        name="flat-wound strings",
        what="strings, wound flat, 13 to 56",
        use="strings",
        received_on="2026-06-22",
    ),
    Batch(
        name="nickel strings",
        what="strings of nickel, 10 to 46",
        use="strings",
        received_on="2026-06-22",
    ),
    Batch(
        name="dots",
        what="dots of pearl shell, 6 mm",
        use="shell",
        received_on="2026-04-20",
        species="Pinctada maxima",
    ),
    Batch(
        name="fibre binding",
        what="binding of black fibre",
        use="binding",
        received_on="2026-04-20",
    ),
    Batch(
        name="pickups",
        what="pickups, a pair wound here",
        use="electronics",
        received_on="2026-07-06",
    ),
    Batch(
        name="steel bridge",
        what="bridge of steel, six saddles",
        use="hardware",
        received_on="2026-07-06",
    ),
)
FRESH_GLUE = Batch(
    name="hide glue",
    what="hide glue, grains",
    use="glue",
    received_on="2026-08-11",
    expires_on="2027-02-11",
)
CALIBRATED_ON = "2026-02-02"
TOOLS = (
    Tool(
        name="caliper",
        what="caliper, 200 mm",
        measures="length",
        mark="C1",
        until="2027-02-01",
    ),
    Tool(
        name="scale",
        what="bench scale, 6 kg",
        measures="mass",
        mark="S2",
        until="2027-02-01",
    ),
    Tool(
        name="hygrometer",
        what="hygrometer of the Loft",
        measures="humidity",
        mark="H1",
        until="2027-02-01",
    ),
    Tool(
        name="thermometer",
        what="thermometer of the irons",
        measures="temperature",
        mark="T1",
        until="2027-02-01",
    ),
    Tool(
        name="feelers",
        what="straight edge and feelers",
        measures="length",
        mark="F1",
        until="2027-02-01",
    ),
    # Nobody looked at its paper when the summer came.
    Tool(
        name="other feelers",
        what="straight edge and feelers",
        measures="length",
        mark="F2",
        until="2026-07-31",
    ),
    Tool(
        name="strobe",
        what="tuner with a strobe",
        measures="sound",
        mark="N1",
        until="2027-02-01",
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """The codes of batches and of gauges, by what the story calls them."""

    batches: dict[str, str]
    tools: dict[str, str]

    def put(self, bench: Bench, batch: Batch) -> None:
        """Let a batch come in, by the keeper of the crib."""
        draft = BatchDraft(
            what=batch.what,
            use=batch.use,
            received_on=batch.received_on,
            expires_on=batch.expires_on,
            species=batch.species,
        )
        maura = bench.hands["02"]
        self.batches[batch.name] = materials.receive_batch(bench.shop, draft, maura)


def fill(bench: Bench) -> Shelf:
    """Enter what lies on the shelf, and what measures with its last calibration."""
    lead, shelf = bench.hands["01"], Shelf(batches={}, tools={})
    for tool in TOOLS:
        code = gauges.add_gauge(
            bench.shop,
            what=tool.what,
            measures=tool.measures,
            mark=tool.mark,
            hands=lead,
        )
        shelf.tools[tool.name] = code
        calibrate(bench, code, on=CALIBRATED_ON, until=tool.until)
    for batch in BATCHES:
        shelf.put(bench, batch)
    return shelf


def calibrate(bench: Bench, gauge: str, *, on: str, until: str) -> None:
    """Compare a gauge with the shop's better one, and find it good."""
    event = GaugeCalibrated(gauge=gauge, on=on, until=until, outcome="good")
    gauges.calibrate(bench.shop, event, bench.hands["01"])
