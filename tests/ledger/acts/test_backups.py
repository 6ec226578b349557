"""What the shop knows of its copies: by their own names, and where they do not lie."""

from pathlib import Path

from ledger.acts.backups import (
    EXPORTS,
    Backup,
    is_of_this_log,
    is_on_same_disk,
    names_taken,
    newest_backup,
    note_backup,
    note_gone,
    noted_backups,
    noted_exports,
)
from ledger.acts.heads import sign_head
from tests.skerrymoor import Loft

OLDER = '{"at":"2026-01-05T12:00:00Z","name":"older","root":"00","size":3}\n'


def noted(loft: Loft, name: str, *, is_sealed: bool = False) -> Backup:
    """Note a copy of the log as it stands, beside the shop's folder."""
    sign_head(loft.shop)
    head, copy = loft.shop.store.head(), loft.shop.folder.parent / name
    copy.mkdir(exist_ok=True)
    return note_backup(
        loft.shop, copy, size=head.size, root=head.root, is_sealed=is_sealed
    )


def test_a_copy_is_noted_by_its_own_name_and_never_where_it_lies(loft: Loft) -> None:
    """But for the disk: one on the shop's own is lost with it."""
    made = noted(loft, "flitchbook-1", is_sealed=True)
    text = (loft.shop.folder / "backups").read_text(encoding="utf-8")

    assert newest_backup(loft.shop.folder) == made
    assert (made.sealed, made.is_elsewhere) == (True, False)
    assert str(loft.shop.folder.parent) not in text
    assert is_of_this_log(loft.shop, made) is True


def test_a_line_of_before_says_nothing_of_its_disk(loft: Loft) -> None:
    """It is read all the same."""
    (loft.shop.folder / "backups").write_text(OLDER)
    made = newest_backup(loft.shop.folder)

    assert made is not None
    assert (made.name, made.is_elsewhere, made.sealed) == ("older", None, False)


def test_what_made_room_is_no_copy_any_more(loft: Loft) -> None:
    """Its name stays taken, and the newest is the newest of those that are left."""
    for name in ("flitchbook-1", "flitchbook-2", "flitchbook-3"):
        noted(loft, name)
    note_gone(loft.shop, "flitchbook-3")
    folder = loft.shop.folder
    newest = newest_backup(folder)

    assert newest is not None and newest.name == "flitchbook-2"
    assert [made.name for made in noted_backups(folder)] == [
        "flitchbook-1",
        "flitchbook-2",
    ]
    assert "flitchbook-3" in names_taken(folder)


def test_exports_are_noted_apart(loft: Loft) -> None:
    """They are no copies, and an erasure asks for them too."""
    head = loft.shop.store.head()
    out = loft.shop.folder.parent / "out"
    out.mkdir()
    note_backup(loft.shop, out, size=head.size, root=head.root, file=EXPORTS)

    assert [made.name for made in noted_exports(loft.shop.folder)] == ["out"]
    assert newest_backup(loft.shop.folder) is None


def test_another_file_system_is_another_disk(tmp_path: Path) -> None:
    """A machine tells its file systems apart, and not what they lie on."""
    assert is_on_same_disk(tmp_path, tmp_path.parent)
    assert not is_on_same_disk(tmp_path, Path("/proc"))
