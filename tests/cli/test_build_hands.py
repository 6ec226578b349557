"""flitchbook build hands: who did what, and who was qualified that day."""

from tests.cli.bench import Bench
from tests.roadside import CARVE, FIRST


def test_each_hand_is_told_with_its_entries(roadway: Bench) -> None:
    """In words and as data; before anybody signed it says so."""
    assert "nobody has signed anything yet" in roadway.does(f"build hands {FIRST}")
    index = roadway.data(f"build sign {FIRST} '{CARVE}' --by 04")["entry"]
    said = roadway.does(f"build hands {FIRST}")
    (told,) = roadway.data(f"build hands {FIRST} '{CARVE}'")["hands"]

    assert f"carve the neck: did by Teresa Quispe, 2026-01-05, entry {index}" in said
    assert "qualified in necks on that day, entry" in said
    assert (told["how"], told["covered"], told["entry"]) == ("qualified", True, index)


def test_late_work_and_rework_show_as_such(roadway: Bench) -> None:
    """With both days, and with the entry that opened it again."""
    roadway.at = roadway.at.replace(day=6)
    roadway.does(
        f"build sign {FIRST} '{CARVE}' --by 04 --happened-at 2026-01-05T15:00:00Z"
    )
    roadway.does(f"build rework {FIRST} '{CARVE}' --why x --by 01")
    said = roadway.does(f"build hands {FIRST}")

    assert "2026-01-05, entered 2026-01-06, entry" in said
    assert "; to be done again by entry" in said
    roadway.refuses(f"build hands {FIRST} varnish", "has no step 'varnish'")
    roadway.refuses("build hands 26-0009-1", "there is no instrument 26-0009-1")
