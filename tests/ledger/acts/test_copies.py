"""The record carried elsewhere is the same to the byte, or it is not taken."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.acts import certificates, copies
from ledger.acts.heads import sign_head
from ledger.acts.settings import Settings
from ledger.acts.shop import Shop, open_shop
from ledger.audit import audit
from ledger.check import check_certificate
from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log.keysfile import read_keys_file
from ledger.views import fold
from tests.conftest import entropy_from
from tests.ledger.audit.tampering import appended, records_of
from tests.skerrymoor import NAME, Loft


def exported(loft: Loft, folder: Path, **how: bool) -> Path:
    """Write a shop's record into a folder, and return it."""
    copies.export(loft.shop, folder, **how)
    return folder


def reopened(folder: Path, loft: Loft) -> Shop:
    """Open a shop that was imported or backed up."""
    return open_shop(folder, now=loft.clock, entropy=entropy_from("reopened"))


def rows(shop: Shop) -> list[tuple[str, tuple[object, ...]]]:
    """Return every row of every view."""
    with shop.store.reading() as session:
        return list(fold.rows(session))


def test_an_imported_record_is_the_same_to_the_byte(
    certified: Loft, database_url: str, tmp_path: Path
) -> None:
    """Records, root, heads, views and papers; on either database."""
    copies.publish_keys(certified.shop, certified.roots[:2])
    source = exported(certified, tmp_path / "out", with_names=True)
    settings = Settings(database=database_url)
    size = copies.import_record(source, tmp_path / "in", settings)
    shop = reopened(tmp_path / "in", certified)
    old = certified.shop

    try:
        assert size == old.store.head().size
        assert list(shop.store.rows()) == list(old.store.rows())
        assert list(shop.store.tiles()) == list(old.store.tiles())
        assert shop.store.head() == old.store.head()
        assert list(shop.store.checkpoints()) == list(old.store.checkpoints())
        assert rows(shop) == rows(old)
        assert shop.standing().name == NAME
        assert [f.cause for f in audit(shop).findings] == ["custody"]
        number = "C-2026-00001"
        papers = [certificates.certificate_paper(s, number) for s in (shop, old)]
        assert papers[0].file.data == papers[1].file.data
    finally:
        shop.close()
    again = (source / "records.txt").read_bytes()
    assert again == b"".join(records_of(certified))


def test_names_stay_behind_unless_they_are_asked_for(
    certified: Loft, tmp_path: Path
) -> None:
    """Whoever gets the record judges it all the same."""
    source = exported(certified, tmp_path / "out")
    copies.import_record(source, tmp_path / "in", Settings())
    shop = reopened(tmp_path / "in", certified)
    causes = {finding.cause for finding in audit(shop).findings}
    shop.close()

    assert not (source / "vault.sqlite3").exists()
    every = b"".join(p.read_bytes() for p in source.rglob("*") if p.is_file())
    assert "Wolański".encode() not in every
    assert causes == {"absent", "custody"}


def cut_in_the_middle(source: Path) -> None:
    """Lose the end of the last record."""
    path = source / "records.txt"
    path.write_bytes(path.read_bytes()[:-30])


def cut_between_two(source: Path) -> None:
    """Lose the last record, and keep the head that speaks of it."""
    lines = (source / "records.txt").read_bytes().splitlines(keepends=True)
    (source / "records.txt").write_bytes(b"".join(lines[:-2]))


def change_a_letter(source: Path) -> None:
    """Write another model."""
    path = source / "records.txt"
    path.write_bytes(path.read_bytes().replace(b"Tidewarden", b"Tidewarder", 1))


def change_places(source: Path) -> None:
    """Let two records change places."""
    lines = (source / "records.txt").read_bytes().splitlines(keepends=True)
    moved = [*lines[:10], *lines[12:14], *lines[10:12], *lines[14:]]
    (source / "records.txt").write_bytes(b"".join(moved))


def double_one(source: Path) -> None:
    """Write the last record twice."""
    lines = (source / "records.txt").read_bytes().splitlines(keepends=True)
    (source / "records.txt").write_bytes(b"".join([*lines, *lines[-2:]]))


def sign_otherwise(source: Path) -> None:
    """Change a letter of the signed head."""
    text = (source / "checkpoints").read_text(encoding="utf-8")
    (source / "checkpoints").write_text(text[:-9] + "A" + text[-8:], encoding="utf-8")


def vouch_otherwise(source: Path) -> None:
    """Change the keys file."""
    path = source / "keys"
    path.write_bytes(path.read_bytes().replace(b'"number":1', b'"number":2'))


def empty(source: Path) -> None:
    """Write no record at all."""
    (source / "records.txt").write_bytes(b"")


def lose_records(source: Path) -> None:
    """Lose the file of the records."""
    (source / "records.txt").unlink()


def lose_checkpoints(source: Path) -> None:
    """Lose the file of the heads."""
    (source / "checkpoints").unlink()


@pytest.mark.parametrize(
    "damage",
    [
        cut_in_the_middle,
        cut_between_two,
        change_a_letter,
        change_places,
        double_one,
        sign_otherwise,
        vouch_otherwise,
        empty,
        lose_records,
        lose_checkpoints,
    ],
    ids=lambda damage: str(damage.__name__),
)
def test_a_record_that_was_changed_is_refused_before_the_first_write(
    certified: Loft, tmp_path: Path, damage: Callable[[Path], None]
) -> None:
    """Not even the folder is made."""
    copies.publish_keys(certified.shop, certified.roots[:2])
    source = exported(certified, tmp_path / "out")
    damage(source)
    with pytest.raises(LedgerError):
        copies.import_record(source, tmp_path / "in", Settings())

    assert not (tmp_path / "in").exists()


def test_a_record_that_does_not_add_up_is_refused(
    certified: Loft, tmp_path: Path
) -> None:
    """Soundly signed, and yet it allots a board that was never numbered."""
    event = {"board": "L26-099-01", "kind": "board.allotted/1", "part": "top"}
    appended(certified, event | {"serial": "26-0001-8"})
    source = exported(certified, tmp_path / "out")
    with pytest.raises(TamperError, match="is not imported"):
        copies.import_record(source, tmp_path / "in", Settings())

    assert not (tmp_path / "in").exists()


def test_nothing_is_imported_or_exported_into_a_folder_in_use(
    certified: Loft, tmp_path: Path
) -> None:
    """Whatever is in it stays as it is."""
    source = exported(certified, tmp_path / "out")
    before = {path: path.stat().st_mtime_ns for path in source.iterdir()}
    with pytest.raises(RefusedError, match="not empty"):
        copies.export(certified.shop, source)
    with pytest.raises(RefusedError, match="not empty"):
        copies.import_record(source, certified.shop.folder, Settings())

    assert {path: path.stat().st_mtime_ns for path in source.iterdir()} == before
    assert audit(certified.shop).findings == ()


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


def test_a_log_on_a_server_is_copied_by_the_server_s_tools(
    loft: Loft, tmp_path: Path
) -> None:
    """The refusal says what to do instead; no half copy is left."""
    on_server = replace(loft.shop, settings=Settings(database="postgresql://x/y"))
    with pytest.raises(RefusedError, match="flitchbook record export"):
        copies.back_up(on_server, tmp_path / "backups")

    assert not (tmp_path / "backups").exists()


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


def test_a_number_goes_on_in_an_imported_shop(certified: Loft, tmp_path: Path) -> None:
    """Readers take a higher number for the newer file."""
    for _ in range(3):
        copies.publish_keys(certified.shop, certified.roots[:2])
    source = exported(certified, tmp_path / "out")
    copies.import_record(source, tmp_path / "in", Settings())
    shutil.copy2(certified.shop.keys / "log.json", tmp_path / "in/keys/log.json")
    shop = reopened(tmp_path / "in", certified)
    path = copies.publish_keys(shop, certified.roots[:2])
    shop.close()

    assert read_keys_file(path.read_bytes()).number == 4


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


def test_an_export_speaks_of_no_head_beyond_its_records(
    certified: Loft, tmp_path: Path
) -> None:
    """Its checkpoints end where it ends, and its certificate checks by its keys."""
    copies.publish_keys(certified.shop, certified.roots[:2])
    source = exported(certified, tmp_path / "out")
    note = sign_head(certified.shop)
    paper = certificates.certificate_paper(certified.shop, "C-2026-00001")

    assert (source / "checkpoints").read_text(encoding="utf-8").endswith(note)
    assert check_certificate(paper.file.data, (source / "keys").read_bytes())
    assert (source / "policy" / "first-1.json").read_bytes()[:1] == b"{"
    assert "RFC 6962" in (source / "README").read_text()
    (digest,) = [path.name for path in (source / "attachments").iterdir()]
    assert len(digest) == 64
