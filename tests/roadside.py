"""A model with a road of six steps, each asking for something, and who walks it.

roadside.set_out(loft)       # wood, batches, gauges, people, two builds begun
roadside.done(loft, FIRST, "join the top")
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from ledger.acts import models, training
from ledger.events import GaugeCalibrated, GaugeListed, MaterialReceived
from ledger.events.build import Measure
from ledger.events.route import Characteristic, PlannedPart, PlannedStep, Quantity
from tests import skerrymoor
from tests.skerrymoor import NECK, TOP, Loft

MODEL = "Nightferry"
FIRST, SECOND = "26-0001-8", "26-0002-6"
BODY, NECK_OF_IT = "B26-0001", "N26-0001"
GLUE, STALE, CALIPER = "M26-001", "M26-002", "G26-001"
JOIN, CLOSE, CARVE = "join the top", "close the box", "carve the neck"
MARRY, FRET, SET_UP = "marry", "press the frets", "set up"
PARTS = (
    PlannedPart(part="top"),
    PlannedPart(part="neck"),
    PlannedPart(part="binding", optional=True),
)
STEPS = (
    PlannedStep(
        step=JOIN,
        qualification="plates",
        ways=("by hand", "by machine"),
        materials=("glue",),
        rest_days=2,
    ),
    PlannedStep(
        step=CLOSE,
        qualification="brace",
        after=(JOIN,),
        uses_up=("top", "binding"),
        gate="inspected",
        photograph=True,
        measured=(
            Characteristic(
                what="room",
                unit="humidity_ppm",
                least=Quantity(humidity_ppm=400_000),
                most=Quantity(humidity_ppm=500_000),
            ),
        ),
    ),
    PlannedStep(step=CARVE, qualification="necks", uses_up=("neck",)),
    PlannedStep(step=MARRY, qualification="necks", after=(CLOSE, CARVE), marries=True),
    PlannedStep(step=FRET, qualification="frets", after=(MARRY,), gate="approved"),
    PlannedStep(
        step=SET_UP,
        qualification="set-up",
        after=(FRET,),
        measured=(
            Characteristic(
                what="relief", unit="length_um", most=Quantity(length_um=300)
            ),
            Characteristic(what="mass", unit="mass_mg"),
        ),
    ),
)
# Whose badge does which step, where nobody else is named.
BY = {JOIN: "03", CLOSE: "03", CARVE: "04", MARRY: "04", FRET: "04", SET_UP: "06"}
GOOD_ROOM = Measure(what="room", humidity_ppm=450_000)


def set_out(loft: Loft) -> None:
    """Set down the model, stock the shop, and begin two instruments.

    Teresa (04) necks and frets, Noor (06) sets up and inspects, Benji (08) is an
    apprentice.
    """
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK, NECK, TOP)
    loft.enrol(qualifications=("necks", "frets"))
    loft.enrol("Noor Rahimi", "06", qualifications=("set-up", "inspect"))
    loft.enrol("Benji Takahashi-Cole", "08", qualifications=("apprentice",))
    models.define_model(
        loft.shop,
        name=MODEL,
        instrument="arch-top guitar",
        parts=PARTS,
        steps=STEPS,
        hands=loft.hands(),
    )
    loft.say(_glue(GLUE, expires_on="2028-01-05"))
    loft.say(_glue(STALE, expires_on="2026-01-04"))
    loft.say(GaugeListed(gauge=CALIPER, what="dial caliper", measures="length"))
    loft.say(
        GaugeCalibrated(
            gauge=CALIPER, on="2026-01-02", until="2026-06-30", outcome="good"
        )
    )
    assert (loft.begin(MODEL), loft.begin(MODEL)) == (FIRST, SECOND)
    loft.allot(FIRST, "top", "L26-001-01")
    loft.allot(FIRST, "neck", "L26-001-02")


@pytest.fixture(scope="session")
def roadside_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop with the model and two instruments begun, closed, to be copied."""
    folder = tmp_path_factory.mktemp("roadside")
    loft = skerrymoor.opened(folder)
    set_out(loft)
    loft.shop.close()
    return folder


@pytest.fixture
def road(
    tmp_path: Path, roadside_folder: Path, request: pytest.FixtureRequest
) -> Iterator[Loft]:
    """Give a shop with a model whose steps ask for something, and two begun."""
    made = skerrymoor.again(tmp_path, roadside_folder, request.node.name)
    yield made
    made.shop.close()


def learns(loft: Loft, work: str = "necks", trainer: str = "04") -> None:
    """Let Benji learn a work from Teresa."""
    training.begin(
        loft.shop,
        loft.person("08"),
        work,
        trainer=loft.person(trainer),
        hands=loft.hands(),
    )


def asked(loft: Loft, step: str) -> dict[str, Any]:
    """Return all that a step asks for, as it should be."""
    told: dict[str, dict[str, Any]] = {
        JOIN: {"way": "by hand", "materials": [GLUE]},
        CLOSE: {"measures": [GOOD_ROOM], "photographs": [picture(loft)]},
        MARRY: {"body": BODY, "neck": NECK_OF_IT},
        SET_UP: {
            "measures": [
                Measure(what="relief", length_um=180),
                Measure(what="mass", mass_mg=1_986_000),
            ]
        },
    }
    return told.get(step, {})


def done(loft: Loft, serial: str, step: str, badge: str = "", **said: Any) -> int:
    """Sign a step as done, with all that it asks for."""
    return loft.sign(serial, step, badge or BY[step], **(asked(loft, step) | said))


def walk(loft: Loft, serial: str, *, before: str) -> None:
    """Sign each step before one, its gate too."""
    for step in STEPS:
        if step.step == before:
            return
        done(loft, serial, step.step)
        if step.rest_days:
            later(loft, step.rest_days)
        if step.gate == "inspected":
            loft.sign(serial, step.step, "06", meaning="inspected")
        if step.gate == "approved":
            loft.sign(serial, step.step, "01", meaning="approved")


def later(loft: Loft, days: int) -> None:
    """Let days pass."""
    loft.clock.moment = loft.clock.moment.replace(day=loft.clock.moment.day + days)


def picture(loft: Loft, name: str = "inside.png") -> Path:
    """Return a small photograph."""
    return draw(loft.shop.folder.parent / name)


def draw(path: Path) -> Path:
    """Draw a small photograph."""
    Image.new("RGB", (8, 6), (120, 90, 60)).save(path)
    return path


def _glue(batch: str, *, expires_on: str) -> MaterialReceived:
    return MaterialReceived(
        batch=batch,
        what="hide glue, 192 g strength",
        use="glue",
        received_on="2026-01-02",
        expires_on=expires_on,
    )
