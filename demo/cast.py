"""Who is in the invented shop, what it makes, and who did what."""

from dataclasses import dataclass

from ledger.events.build import Meaning, Measure
from ledger.events.route import PlannedStep

SHOP = "Skerrymoor Fretted Instruments"
PLACE = "the Loft, Port Anslow"
HOST = "skm.example"
FIRST_SERIAL = "26-0147-3"
OWNER = "Amélie Rousset"
OWNER_PLACE = "Lyon"


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
    Builder(name="Benji Takahashi-Cole", badge="08", pin="0854"),
    Builder(name="Philippa Osei", badge="09", pin="0938", may=("papers",)),
    Builder(name="Ines Carvalhal", badge="10", pin="1083", may=("inspect",)),
)


MODEL = "Tidewarden"
INSTRUMENT = "flat-top guitar, dreadnought-size"
PARTS = (
    "top",
    "back and sides",
    "neck",
    "fingerboard and bridge",
    "braces",
    "headplate",
    "binding",
)
STEPS = (
    PlannedStep(step="plates joined and thicknessed", qualification="plates"),
    PlannedStep(step="braced and voiced", qualification="brace"),
    PlannedStep(step="box closed", qualification="plates"),
    PlannedStep(step="neck carved and fitted", qualification="necks"),
    PlannedStep(step="bound", qualification="bind"),
    PlannedStep(step="fretted", qualification="frets"),
    PlannedStep(step="finished", qualification="finish"),
    PlannedStep(step="set up", qualification="set-up"),
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
        weighed=(("top", "190 g"), ("back and sides", "688 g")),
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
        weighed=(
            ("neck", "480 g"),
            ("fingerboard and bridge", "202 g"),
            ("headplate", "28 g"),
        ),
    ),
    Work(day="2026-08-31", badge="03", step="bound", weighed=(("binding", "27 g"),)),
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
# The first step of the next guitar, whose tag shows it.
BEGUN = Work(day="2026-11-10", badge="03", step="plates joined and thicknessed")
