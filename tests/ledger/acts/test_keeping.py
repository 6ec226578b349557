"""Only a copy of this log goes to make room, and never the newest."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.acts.backups import note_backup, noted_backups
from ledger.acts.copies import back_up
from ledger.acts.keeping import Room, make_room
from ledger.errors import RefusedError
from tests.skerrymoor import Loft


@pytest.fixture
def stick(loft: Loft, tmp_path: Path) -> Iterator[Path]:
    """Give a stick with three copies, each noted, with entries between them."""
    folder = tmp_path / "stick"
    for n in range(3):
        copied(loft, folder)
        loft.supplier(f"Sawyer {n}")
    yield folder


def copied(loft: Loft, folder: Path) -> Path:
    """Copy a shop and note the copy."""
    copy = back_up(loft.shop, folder)
    head = loft.shop.store.head()
    note_backup(loft.shop, copy, size=head.size, root=head.root)
    return copy


def names(folder: Path) -> list[str]:
    """Return what lies on a stick, the oldest first."""
    return sorted(path.name for path in folder.iterdir())


def test_the_oldest_make_room(loft: Loft, stick: Path) -> None:
    """As many stay as were asked for; what goes is not known any more."""
    first, second, third = names(stick)
    room = make_room(loft.shop, stick, keep=2)

    assert room == Room([first], [])
    assert names(stick) == [second, third]
    assert [made.name for made in noted_backups(loft.shop.folder)] == [second, third]
    assert make_room(loft.shop, stick, keep=2) == Room([], [])
    assert make_room(loft.shop, stick, keep=1) == Room([second], [])


def test_a_wrong_clock_makes_no_old_copy_the_newest(loft: Loft, stick: Path) -> None:
    """Whichever holds most entries stays, though its time was said to be earlier."""
    first, second, third = names(stick)
    path = loft.shop.folder / "backups"
    noted = {made.name: made for made in noted_backups(loft.shop.folder)}
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace(noted[first].at, "2099-01-01T00:00:00Z"))

    assert make_room(loft.shop, stick, keep=1) == Room([first, second], [])
    assert names(stick) == [third]


def test_what_is_no_copy_of_this_log_stays(loft: Loft, stick: Path) -> None:
    """Whether nobody noted it, or it is another now, or no copy at all."""
    first, second, third = names(stick)
    (stick / "flitchbook-mine").mkdir()
    (stick / "flitchbook-notes.txt").write_text("mine")
    (stick / first / "ledger.sqlite3").write_bytes(b"no log")
    other = stick / second / "ledger.sqlite3"
    other.write_bytes((stick / third / "ledger.sqlite3").read_bytes())
    room = make_room(loft.shop, stick, keep=1)

    assert room.removed == []
    reasons = {name: why.partition(" (")[0] for name, why in room.left}
    assert reasons == {
        first: "it cannot be read",
        second: "it does not end where it was noted to end",
        "flitchbook-mine": "this shop has no note of it",
    }
    assert (stick / "flitchbook-notes.txt").read_text() == "mine"


def test_a_note_of_another_log_takes_nothing_away(loft: Loft, stick: Path) -> None:
    """As where the log was replaced and the note was kept."""
    path = loft.shop.folder / "backups"
    text = path.read_text(encoding="utf-8")
    for made in noted_backups(loft.shop.folder):
        text = text.replace(made.root, "0" * 64)
    path.write_text(text, encoding="utf-8")
    room = make_room(loft.shop, stick, keep=1)

    assert room.removed == []
    assert {why for _, why in room.left} == {"its note is not of this log"}


def test_none_is_never_kept(loft: Loft, stick: Path) -> None:
    """The newest copy stays whatever is asked."""
    before = names(stick)
    with pytest.raises(RefusedError, match="would leave no copy"):
        make_room(loft.shop, stick, keep=0)

    assert names(stick) == before
