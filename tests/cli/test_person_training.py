"""flitchbook person train, train-end, skill-checked, may, unqualified."""

import pytest

from tests.cli.bench import Bench
from tests.roadside import CARVE, FIRST


def test_a_training_from_its_beginning_to_its_end(roadway: Bench) -> None:
    """Who teaches, what was countersigned, and when it ended."""
    began = roadway.does("person train Benji necks --trainer Teresa --by 01")
    roadway.does(f"build sign {FIRST} '{CARVE}' --by 08")
    under = roadway.does("person may 08 necks --by 08")
    open_hands = roadway.does("person unqualified")
    told_open = roadway.does(f"build hands {FIRST} --json")
    (told_hand,) = roadway.data("person unqualified")["signatures"]
    roadway.does(f"build sign {FIRST} '{CARVE}' --by 04 --meaning witnessed")
    roadway.does("person qualify 08 necks --by 01")
    roadway.does("person train-end 08 necks --by 01")
    told = roadway.data("person may 08 necks --by 01")

    assert began.startswith("Benji Takahashi-Cole learns necks from Teresa Quispe, ent")
    assert "may do it under supervision only since 2026-01-05, entry" in under
    assert "  taught by Teresa Quispe from 2026-01-05, entry" in under
    assert "done under supervision: 1, of them countersigned: 0" in under
    assert "needs a countersign by a necks-qualified builder" in open_hands
    assert "Teresa" not in open_hands + told_open
    assert (told_hand["how"], told_hand["ability_entry"]) == ("not covered alone", None)
    assert (told["alone"], told["how"]) == (True, "qualified")
    assert told["supervised"] == told["countersigned"] != []
    assert told["taught"][0]["until"] == "2026-01-05"
    assert "Every signature is covered" in roadway.does("person unqualified")


def test_a_work_is_looked_at_until_a_day(roadway: Bench) -> None:
    """After it nothing is signed on it."""
    said = roadway.does("person skill-checked 04 necks --until 2026-01-06 --by 01")
    assert said.startswith("Teresa Quispe may sign necks until 2026-01-06, entry")
    roadway.at = roadway.at.replace(day=8)

    roadway.refuses(
        f"build sign {FIRST} '{CARVE}' --by 04", "badge 04 counted until 2026-01-06"
    )
    assert "it counted until 2026-01-06, and was not looked at again" in roadway.does(
        "person may 04 necks --by 04"
    )
    assert "may sign it alone, as a lead since" in roadway.does(
        "person may 01 necks --by 01"
    )


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("train 08 necks --trainer 03 --by 01", "may not do necks alone"),
        ("train 08 necks --trainer 04 --by 04", "letting somebody learn a work needs"),
        ("train nobody necks --trainer 04 --by 01", "nobody here is called 'nobody'"),
        ("train-end 08 necks --by 01", "there is nothing to end"),
        ("skill-checked 08 necks --until 2027-01-01 --by 01", "does not hold"),
        ("skill-checked 04 necks --until 2025-01-01 --by 01", "2025-01-01 is past"),
        ("may 08 necks --by 04", "is for Benji Takahashi-Cole and the lead"),
        ("may 08 necks", "say who signs: give --by"),
        ("may 08 harps --by 08", "knows no 'harps'"),
    ],
)
def test_what_is_not_said_of_learning(roadway: Bench, command: str, why: str) -> None:
    """One sentence, and nothing is written."""
    roadway.refuses(f"person {command}", why)


def test_who_learns_what_is_told_to_the_lead_and_to_each_of_the_own(
    roadway: Bench,
) -> None:
    """Nobody hears of it without a PIN, or of another's."""
    roadway.does("person train 08 necks --trainer 04 --by 01")
    line = "; learns necks from Teresa Quispe since 2026-01-05, entry "

    assert line in roadway.does("person list --training --by 01")
    assert line in roadway.does("person list --training --by 08")
    assert line not in roadway.does("person list --training --by 04")
    assert "learns" not in roadway.does("person list --json")
    roadway.refuses("person list --training", "say who signs: give --by")
