"""What is published has a number that rises, and no file is written over."""

from pathlib import Path

from ledger.acts.numbered import KEYS_FILES, STATUS_LISTS, keep_next, newest


def test_the_newest_is_the_one_of_the_highest_number(tmp_path: Path) -> None:
    """Ten thousand comes after nine thousand; each series has its own numbers."""
    assert newest(tmp_path / "none", KEYS_FILES) is None
    for name in (
        "keys-9999.json",
        "keys-10000.json",
        "keys-x.json",
        "keys-\u00b2.json",
    ):
        (tmp_path / name).write_text("")
    found = newest(tmp_path, KEYS_FILES)

    assert found is not None and (found.number, found.path.name) == (
        10_000,
        "keys-10000.json",
    )
    assert newest(tmp_path, STATUS_LISTS) is None


def test_the_next_is_made_for_its_number(tmp_path: Path) -> None:
    """Counted from 1, in a folder that is made for it."""
    made = [
        keep_next(tmp_path / "out", STATUS_LISTS, lambda number: b"%d" % number)
        for _ in range(2)
    ]

    assert [each.path.name for each in made] == ["status-0001.json", "status-0002.json"]
    assert [each.path.read_bytes() for each in made] == [b"1", b"2"]
    assert [each.data for each in made] == [b"1", b"2"]


def test_a_number_that_another_station_takes_meanwhile_is_passed_over(
    tmp_path: Path,
) -> None:
    """Neither file is written over."""
    other = tmp_path / "keys-0001.json"

    def slowly(number: int) -> bytes:
        other.write_bytes(b"another station's")
        return b"%d" % number

    made = keep_next(tmp_path, KEYS_FILES, slowly)

    assert (made.number, made.path.read_bytes()) == (2, b"2")
    assert other.read_bytes() == b"another station's"
