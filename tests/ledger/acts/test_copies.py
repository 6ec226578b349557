"""What the roots vouch for is judged first; a copy is whole; views are folded again."""

import os
from datetime import timedelta
from pathlib import Path

import pytest

from ledger.acts import copies, people
from ledger.acts.backups import note_backup, note_gone
from ledger.acts.corrections import correct
from ledger.acts.shop import Shop, open_shop
from ledger.audit import audit
from ledger.errors import RefusedError, TamperError
from ledger.log import attachments
from ledger.log.keysfile import read_keys_file
from ledger.views import fold
from ledger.views.standing import GoverningEntry
from tests.conftest import entropy_from
from tests.ledger.audit.tampering import appended
from tests.skerrymoor import NECK, Loft


def reopened(folder: Path, loft: Loft) -> Shop:
    """Open a shop that was backed up."""
    return open_shop(folder, now=loft.clock, entropy=entropy_from("reopened"))


def rows(shop: Shop) -> list[tuple[str, tuple[object, ...]]]:
    """Return every row of every view."""
    with shop.store.reading() as session:
        return list(fold.rows(session))


def test_a_backup_is_a_shop_of_its_own(certified: Loft, tmp_path: Path) -> None:
    """It opens, audits clean, and its keys are its owner's only."""
    copies.publish_keys(certified.shop, certified.roots[:2])
    copy = copies.back_up(certified.shop, tmp_path / "backups")
    certified.model("Slipway")
    shop = reopened(copy, certified)
    report, newest = audit(shop), shop.store.newest_checkpoint()
    shop.close()

    assert report.findings == ()
    assert newest is not None
    assert newest[0] == report.size
    assert {p.stat().st_mode & 0o077 for p in (copy / "keys").iterdir()} == {0}
    assert (copy / "keys").stat().st_mode & 0o077 == 0
    assert copy.name == f"flitchbook-{certified_stamp(copy)}"
    assert [p.name for p in (copy / "published").iterdir()] == ["keys-0001.json"]


def certified_stamp(copy: Path) -> str:
    """Return the time in a backup's name, which has the form of one."""
    stamp = copy.name.removeprefix("flitchbook-")
    assert len(stamp) == len("20260105T120000Z")
    return stamp


def test_a_copy_s_name_is_given_once(certified: Loft, tmp_path: Path) -> None:
    """Two in one second have two names, also of what made room for another."""
    certified.clock.step = timedelta()
    shop = certified.shop
    first = copies.back_up(shop, tmp_path / "one")
    note_backup(shop, first, size=1, root=b"r" * 32)
    second = copies.back_up(shop, tmp_path / "two")
    note_backup(shop, second, size=1, root=b"r" * 32)
    note_gone(shop, second.name)
    third = copies.back_up(shop, tmp_path / "two")

    assert second.name == f"{first.name}-2"
    assert third.name == f"{first.name}-3"


def test_keys_files_are_numbered_upwards_for_ever(certified: Loft) -> None:
    """A number that is gone is not given again, nor is another's file written over."""
    shop, roots = certified.shop, certified.roots[:2]
    paths = [copies.publish_keys(shop, roots) for _ in range(3)]
    newest = paths[-1].read_bytes()
    paths[0].unlink()
    certified.model("Slipway")
    last = copies.publish_keys(shop, certified.roots[1:])
    file, head = read_keys_file(last.read_bytes()), shop.store.head()

    assert [path.name for path in paths] == [f"keys-000{n}.json" for n in (1, 2, 3)]
    assert last.name == "keys-0004.json"
    assert paths[-1].read_bytes() == newest
    assert (file.number, file.size, file.root) == (4, head.size, head.root)
    assert copies.newest_keys(shop) == last


@pytest.mark.parametrize("count", [0, 1])
def test_fewer_roots_than_the_threshold_publish_nothing(
    certified: Loft, count: int
) -> None:
    """A lead's key beside them does not help."""
    keys = [*certified.roots[:count], certified.keys["01"]]
    with pytest.raises(RefusedError, match=f"needs 2 of the shop's roots, and {count}"):
        copies.publish_keys(certified.shop, keys)

    assert copies.newest_keys(certified.shop) is None


def test_rebuilding_gives_the_same_views_and_sweeps_the_vault(
    loft_on_each: Loft,
) -> None:
    """Whatever became of them, and whoever is kept without an entry."""
    loft = loft_on_each
    serial = loft.build()
    loft.issue(serial)
    loft.sell(serial)
    before = rows(loft.shop)
    loft.shop.vault.put("ab" * 16, "person.name", "Kenji Arakawa", b"k" * 32)
    with loft.shop.store.appending() as appending:
        fold.empty(appending.session)
        appending.session.flush()
    assert rows(loft.shop) == []

    size = copies.rebuild(loft.shop)

    assert size == loft.shop.store.head().size
    assert rows(loft.shop) == before
    assert "ab" * 16 not in loft.shop.vault.subjects()
    assert audit(loft.shop).findings == ()


def test_the_roots_vouch_for_no_role_that_was_slipped_back(certified: Loft) -> None:
    """A withdrawal taken out of the view stands in the log, and the log is walked."""
    shop, jakub = certified.shop, certified.person("03")
    hands = certified.hands("01", "roots")
    people.appoint(shop, jakub, "lead", hands)
    gone = people.dismiss(shop, jakub, "lead", hands)
    with shop.store.appending() as appending:
        row = appending.session.get_one(GoverningEntry, gone.index)
        appending.session.delete(row)
    file = read_keys_file(copies.publish_keys(shop, certified.roots[:2]).read_bytes())

    known = file.key(certified.keys["03"].id)
    assert known is not None
    assert known.has_role("lead", gone.index)
    assert not known.has_role("lead", gone.index + 1)


def test_the_roots_vouch_for_no_role_that_somebody_gave_himself(
    certified: Loft,
) -> None:
    """The first finding is named, and no keys file is written."""
    subject = certified.person("03").subject
    event = {"kind": "role.granted/1", "role": "lead", "subject": subject}
    made = appended(certified, event, certified.keys["03"])
    with pytest.raises(TamperError, match=f"entry {made.entry.index}: authority"):
        copies.publish_keys(certified.shop, certified.roots[:2])

    assert copies.newest_keys(certified.shop) is None


def test_the_newest_keys_file_is_the_one_of_the_highest_number(
    certified: Loft,
) -> None:
    """Ten thousand comes after nine thousand."""
    folder = certified.shop.folder / "published"
    folder.mkdir()
    for name in ("keys-9999.json", "keys-10000.json", "keys-x.json"):
        (folder / name).write_text("")

    newest = copies.newest_keys(certified.shop)
    assert newest is not None
    assert newest.name == "keys-10000.json"


def test_a_backup_is_for_its_owner_s_eyes(certified: Loft, tmp_path: Path) -> None:
    """The vault's copy and every other file, whatever the usual mode is."""
    usual = os.umask(0)
    try:
        copy = copies.back_up(certified.shop, tmp_path / "backups")
    finally:
        os.umask(usual)

    files = [path for path in copy.rglob("*") if path.is_file()]
    assert {path.stat().st_mode & 0o777 for path in files} == {0o600}
    assert copy.stat().st_mode & 0o777 == 0o700


def test_rebuilding_sweeps_files_and_salts_that_no_entry_names(loft: Loft) -> None:
    """What a cut left of a paper goes, and what is on file stays."""
    shop = loft.shop
    loft.document("a note")
    loft.document("a letter", is_personal=True)
    kept, salts = attachments.digests(shop.attachments), shop.vault.salted()
    shop.vault.put_salt("a" * 64, b"s" * 32, loft.person("03").subject)
    attachments.put(shop.attachments, b"half filed")
    copies.rebuild(shop)

    assert attachments.digests(shop.attachments) == kept
    assert shop.vault.salted() == salts
    assert audit(shop).findings == ()


def test_rebuilding_what_does_not_add_up_changes_nothing(certified: Loft) -> None:
    """One sentence says where, and what to do; the views stay as they were."""
    before = rows(certified.shop)
    event = {"board": "L26-999-01", "kind": "board.allotted/1", "part": "top"}
    made = appended(certified, event | {"serial": "26-0001-8"})
    said = f"up to {made.entry.index} do not add up.*run flitchbook record audit"
    with pytest.raises(TamperError, match=said):
        copies.rebuild(certified.shop)

    assert rows(certified.shop) == before


def test_rebuilding_sweeps_a_reason_whose_entry_never_came(loft: Loft) -> None:
    """And leaves those that were given."""
    loft.supplier()
    loft.number(loft.receive(), NECK)
    index = loft.shop.store.head().size - 1
    correct(loft.shop, index, reason="numbered twice", hands=loft.hands("02"))
    given = loft.shop.vault.commitments("reason")
    subject = loft.person("02").subject
    loft.shop.vault.put(subject, "reason", "never said", b"k" * 32)
    copies.rebuild(loft.shop)

    assert len(given) == 1
    assert loft.shop.vault.commitments("reason") == given
    assert audit(loft.shop).findings == ()


def test_rebuilding_makes_tables_of_another_edition_anew(loft_on_each: Loft) -> None:
    """With the columns of today, on each database."""
    loft = loft_on_each
    loft.build()
    lot = loft.receive()
    before = rows(loft.shop)
    with loft.shop.store.engine.begin() as connection:
        connection.exec_driver_sql("ALTER TABLE board DROP COLUMN place")
        connection.exec_driver_sql("DROP TABLE viewedition")
        connection.exec_driver_sql("DROP TABLE model")
    with pytest.raises(RefusedError, match="run flitchbook record rebuild"):
        loft.number(lot)
    copies.rebuild(loft.shop)

    assert rows(loft.shop) == before
    assert audit(loft.shop).findings == ()


def test_rebuilding_what_does_not_add_up_keeps_an_older_edition(loft: Loft) -> None:
    """The tables themselves come back with their rows."""
    loft.build()
    event = {"board": "L26-999-01", "kind": "board.allotted/1", "part": "top"}
    appended(loft, event | {"serial": "26-0001-8"})
    with loft.shop.store.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE viewedition SET digest = 'older'")
    before = rows(loft.shop)
    with pytest.raises(TamperError, match="the views stay as they are"):
        copies.rebuild(loft.shop)
    with loft.shop.store.reading() as session:
        is_new = fold.is_of_this_edition(session)

    assert not is_new
    assert rows(loft.shop) == before
