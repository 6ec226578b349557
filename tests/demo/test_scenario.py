"""The story ends the same way wherever and whenever it is played."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from demo import cast, scenario
from ledger.audit import audit
from ledger.log.keyfile import Stretching

GOLDEN = "5fc4bb0673b3dd36ea2d8431f201c469ae1deb2bc656c7caf9be319a52161588"
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
    """Twenty-four sets, three lots of old stock, one serial, one certificate."""
    assert (story.serial, story.certificate) == ("26-0147-3", "C-2026-00001")
    assert len([code for code in story.boards if code.endswith(".A")]) == cast.SETS + 1
    assert story.hands("03").by.id == story.keys["03"].id
    assert str(story.card_key().public) not in {
        str(key.public) for key in story.keys.values()
    }


def test_nobody_s_name_is_in_the_log(story: scenario.Story) -> None:
    """Neither a builder's, nor a sawyer's, nor the owner's."""
    names = [b.name for b in (cast.LEAD, cast.OFFICE, *cast.BUILDERS)]
    names += [cast.OWNER, *(sawyer.name for sawyer in cast.SAWYERS)]
    said = b"".join(record for _, record in story.shop.store.records())

    assert not [name for name in names if name.encode() in said]


def test_chance_is_counted_and_the_clock_is_set() -> None:
    """Two stories meet the same chance, and a morning begins at eight."""
    one, other, clock = scenario.Chance(), scenario.Chance(), scenario.Clock()
    clock.morning_of("2026-07-20")

    assert one(70) == other(70) != other(70)
    assert clock().isoformat() == "2026-07-20T08:01:00+00:00"
