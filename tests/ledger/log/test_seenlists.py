"""An account remembers the newest status list of each shop, and by which key."""

from pathlib import Path

from ledger.log import seenlists
from ledger.log.seenlists import SeenList

ORIGIN, FOUNDING = "skerrymoor.example/log", b"a founding"
KEYS = ("ab" * 8, "cd" * 8)


def made(number: int, key: str = KEYS[0]) -> SeenList:
    """Return how a list of this number is remembered."""
    return SeenList.of(b"a list", number=number, key=key)


def test_the_newest_of_a_key_is_remembered_for_its_shop_alone(tmp_path: Path) -> None:
    """Another founding under the same name is another shop."""
    state = tmp_path / "state"
    for number in (5, 7, 6):
        seenlists.remember(state, ORIGIN, FOUNDING, made(number))

    assert seenlists.newest(state, ORIGIN, FOUNDING) == made(7)
    assert seenlists.newest(state, ORIGIN, b"another") is None
    assert seenlists.newest(state, "other.example/log", FOUNDING) is None


def test_another_keys_number_binds_nobody(tmp_path: Path) -> None:
    """Whoever is believed now is remembered, over the largest number of a thief."""
    seenlists.remember(tmp_path, ORIGIN, FOUNDING, made(2**53 - 1))
    seenlists.remember(tmp_path, ORIGIN, FOUNDING, made(8, KEYS[1]))

    assert seenlists.newest(tmp_path, ORIGIN, FOUNDING) == made(8, KEYS[1])


def test_what_cannot_be_read_or_kept_says_nothing(tmp_path: Path) -> None:
    """No folder, a file in its place, other bytes; and what was forgotten."""
    seenlists.remember(None, ORIGIN, FOUNDING, made(1))
    assert seenlists.newest(None, ORIGIN, FOUNDING) is None
    (tmp_path / "file").write_bytes(b"")
    seenlists.remember(tmp_path / "file", ORIGIN, FOUNDING, made(1))
    assert seenlists.newest(tmp_path / "file", ORIGIN, FOUNDING) is None

    seenlists.remember(tmp_path, ORIGIN, FOUNDING, made(1))
    (path,) = tmp_path.glob("*.list")
    for bad in (b"", b"1 2 3\n", b"\xff"):
        path.write_bytes(bad)
        assert seenlists.newest(tmp_path, ORIGIN, FOUNDING) is None
    seenlists.forget(tmp_path, ORIGIN)
    assert list(tmp_path.glob("*.list")) == []
    seenlists.forget(None, ORIGIN)
