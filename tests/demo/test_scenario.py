"""The story ends the same way wherever and whenever it is played."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from demo import cast, scenario, stock
from ledger.audit import audit
from ledger.log.keyfile import Stretching
from ledger.views.readings import readings_of, taps_of

GOLDEN = "9e4ed99b4a2e47201fb222c3fed24f041116489ff6ddcff494197e4e3aef996c"
CHEAP = Stretching(memory_kib=64, iterations=1, lanes=1)
PLAY = (
    "import sys; from pathlib import Path; from demo.scenario import play; "
    "from ledger.log.keyfile import Stretching; "
    "print(play(Path(sys.argv[1]), stretching="
    "Stretching(memory_kib=64, iterations=1, lanes=1)).root)"
)
ROOT = Path(scenario.__file__).parent.parent


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> scenario.Story:
    """Give the story, played with keys that open at once."""
    return scenario.play(tmp_path_factory.mktemp("story"), stretching=CHEAP)


@pytest.mark.parametrize(
    ("seed", "zone", "language"),
    [("0", "UTC", "C.UTF-8"), ("4711", "Pacific/Auckland", "C")],
)
def test_the_story_ends_at_its_golden_root(
    tmp_path: Path, seed: str, zone: str, language: str
) -> None:
    """Another hash seed, another time zone, another language: one root."""
    place = {"PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": language}
    done = subprocess.run(
        [sys.executable, "-c", PLAY, str(tmp_path / "demo")],
        env={**os.environ, **place, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )

    assert done.stdout == f"{GOLDEN}\n"


def test_the_story_is_whole(story: scenario.Story) -> None:
    """Its log audits clean, and its root is the golden one."""
    report = audit(story.shop)

    assert report and story.root == GOLDEN
    assert report.root.hex() == GOLDEN


def test_the_story_is_of_one_guitar(story: scenario.Story) -> None:
    """Twenty-four sets, six lots, one serial sold and one on the bench."""
    assert (story.serial, story.certificate) == ("26-0147-3", "C-2026-00001")
    assert (story.next_serial, story.shipment) == ("26-0148-1", "X26-0001")
    assert len([code for code in story.boards if code.endswith(".A")]) == stock.SETS
    assert story.hands("03").by.id == story.keys["03"].id
    assert str(story.card_key().public) not in {
        str(key.public) for key in story.keys.values()
    }


def test_nobody_s_name_is_in_the_log(story: scenario.Story) -> None:
    """Neither a builder's, nor a sawyer's, nor the owner's."""
    names = [b.name for b in (cast.LEAD, cast.OFFICE, *cast.BUILDERS)]
    names += [cast.OWNER, *(sawyer.name for sawyer in stock.SAWYERS)]
    said = b"".join(record for _, record in story.shop.store.records())

    assert not [name for name in names if name.encode() in said]


def test_what_went_wrong_was_refused_and_told(story: scenario.Story) -> None:
    """A heavy child, a slip of the pen, young wood, a wrong board, an apprentice."""
    told = [mishap.replace("\u2009", " ") for mishap in story.mishaps]
    heavy, slip, young, taken, alone = told

    assert "children weigh more than the parent" in heavy and heavy.endswith(
        "540 g: 54 g?"
    )
    assert slip.startswith("entry ") and "is struck by entry" in slip
    assert "rested 164 of 365 days" in young
    assert "is already allotted to 26-0147-3" in taken
    assert "needs the qualification frets, which badge 08 does not hold" in alone


def test_the_tapped_set_is_as_stiff_as_spruce(story: scenario.Story) -> None:
    """Recordings of a computed plate: 11 GPa along, 0.85 across, 0.75 in twist.

    Source: the plate of tests/vectors/wood/make.py, scaled to these sizes.
    """
    with story.shop.store.reading() as session:
        taps = taps_of(session, story.chosen)
        readings = readings_of(session, taps[-1].idx)
    heard = {reading.mode: reading.frequency_millihertz for reading in readings}

    assert heard == pytest.approx(
        {"along": 70_138, "across": 147_627, "twist": 51_312}, abs=50
    )
