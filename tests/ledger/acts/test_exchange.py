"""The record carried elsewhere is the same to the byte, or it is not taken."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from cli.record_pages import write_pages
from ledger.acts import certificates, copies, exchange, policies
from ledger.acts.heads import sign_head
from ledger.acts.settings import Settings, read_settings, write_settings
from ledger.acts.shop import Shop, open_shop
from ledger.audit import audit
from ledger.check import check_certificate
from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log import attachments
from ledger.log.keysfile import read_keys_file
from ledger.views import fold
from tests.conftest import entropy_from
from tests.ledger.acts.test_copying import lock
from tests.ledger.audit.tampering import appended, records_of
from tests.ledger.log.keeping import folder_holds
from tests.skerrymoor import NAME, Loft


def exported(loft: Loft, folder: Path, *, with_names: bool = False) -> Path:
    """Write a shop's record into a folder, and return it."""
    exchange.export(loft.shop, folder, with_names=with_names, draw=write_pages)
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
    size = exchange.import_record(source, tmp_path / "in", settings)
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
        assert [f.cause for f in audit(shop).findings] == ["absent"]
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
    exchange.import_record(source, tmp_path / "in", Settings())
    shop = reopened(tmp_path / "in", certified)
    causes = {finding.cause for finding in audit(shop).findings}
    shop.close()

    assert not (source / "vault.sqlite3").exists()
    every = b"".join(p.read_bytes() for p in source.rglob("*") if p.is_file())
    assert "Wolański".encode() not in every
    assert causes == {"absent"}


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
        exchange.import_record(source, tmp_path / "in", Settings())

    assert not (tmp_path / "in").exists()


def test_half_a_keys_file_is_named_with_what_to_do(loft: Loft, tmp_path: Path) -> None:
    """And without it the record is imported."""
    copies.publish_keys(loft.shop, loft.roots[:2])
    source = exported(loft, tmp_path / "out")
    keys = source / "keys"
    keys.write_bytes(keys.read_bytes()[:500])
    with pytest.raises(TamperError, match=f"{keys} is no whole keys file .* set it as"):
        exchange.import_record(source, tmp_path / "in", Settings())
    keys.unlink()

    assert exchange.import_record(source, tmp_path / "in", Settings())


def test_a_record_that_does_not_add_up_is_refused(
    certified: Loft, tmp_path: Path
) -> None:
    """Soundly signed, and yet it allots a board that was never numbered."""
    event = {"board": "L26-099-01", "kind": "board.allotted/1", "part": "top"}
    appended(certified, event | {"serial": "26-0001-8"})
    source = exported(certified, tmp_path / "out")
    with pytest.raises(TamperError, match="is not imported"):
        exchange.import_record(source, tmp_path / "in", Settings())

    assert not (tmp_path / "in").exists()


def test_nothing_is_imported_or_exported_into_a_folder_in_use(
    certified: Loft, tmp_path: Path
) -> None:
    """Whatever is in it stays as it is."""
    source = exported(certified, tmp_path / "out")
    before = {path: path.stat().st_mtime_ns for path in source.iterdir()}
    with pytest.raises(RefusedError, match="not empty"):
        exchange.export(certified.shop, source, draw=write_pages)
    with pytest.raises(RefusedError, match="not empty"):
        exchange.import_record(source, certified.shop.folder, Settings())

    assert {path: path.stat().st_mtime_ns for path in source.iterdir()} == before
    assert audit(certified.shop).findings == ()


def test_a_number_goes_on_in_an_imported_shop(certified: Loft, tmp_path: Path) -> None:
    """Readers take a higher number for the newer file."""
    for _ in range(3):
        copies.publish_keys(certified.shop, certified.roots[:2])
    source = exported(certified, tmp_path / "out")
    exchange.import_record(source, tmp_path / "in", Settings())
    shutil.copy2(certified.shop.keys / "log.json", tmp_path / "in/keys/log.json")
    shop = reopened(tmp_path / "in", certified)
    path = copies.publish_keys(shop, certified.roots[:2])
    shop.close()

    assert read_keys_file(path.read_bytes()).number == 4


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


def test_personal_papers_stay_behind_with_the_names(
    certified: Loft, tmp_path: Path
) -> None:
    """Asked for, both come along, and are whole where they arrive."""
    certified.document("his letter", is_personal=True)
    attachments.put(certified.shop.attachments, b"his draft, filed by nobody")
    bare = exported(certified, tmp_path / "bare")
    full = exported(certified, tmp_path / "full", with_names=True)
    exchange.import_record(full, tmp_path / "in", Settings())
    shop = reopened(tmp_path / "in", certified)
    causes = [finding.cause for finding in audit(shop).findings]
    shop.close()

    held = [b"".join(p.read_bytes() for p in f.rglob("*/*")) for f in (bare, full)]
    assert [b"his letter" in data for data in held] == [False, True]
    assert not [data for data in held if b"his draft" in data]
    assert set(causes) <= {"absent"}
    assert (tmp_path / "in/vault.sqlite3").stat().st_mode & 0o777 == 0o600
    assert (full / "vault.sqlite3").stat().st_mode & 0o777 == 0o600
    assert (full / "names.csv").stat().st_mode & 0o777 == 0o600
    for folder in (full, tmp_path / "in"):
        assert folder.stat().st_mode & 0o777 == 0o700


def test_every_policy_that_was_adopted_is_exported(loft: Loft, tmp_path: Path) -> None:
    """Not only the one in force."""
    policy = dict(loft.shop.standing().policy or {})
    for version in (2, 3):
        policies.adopt_policy(loft.shop, policy | {"version": version}, loft.hands())
    source = exported(loft, tmp_path / "out")

    names = sorted(path.name for path in (source / "policy").iterdir())
    signing = [f"first-{version}.json" for version in (1, 2, 3)]
    assert names == [*signing, "house-bench-1.json"]


def test_settings_come_along_without_the_database(loft: Loft, tmp_path: Path) -> None:
    """Place and host are kept; where the log lies is said anew."""
    secret = replace(loft.shop.settings, database="postgresql://somebody@x/y")
    shop = replace(loft.shop, settings=secret)
    exchange.export(shop, tmp_path / "out", draw=write_pages)
    write_settings(
        tmp_path / "out",
        replace(read_settings(tmp_path / "out"), backup_to="elsewhere"),
    )
    exchange.import_record(tmp_path / "out", tmp_path / "in", Settings())

    assert "somebody" not in (tmp_path / "out/shop.toml").read_text(encoding="utf-8")
    assert read_settings(tmp_path / "in") == loft.shop.settings
    assert (tmp_path / "in/shop.toml").stat().st_mode & 0o777 == 0o600


def change_paper(folder: Path) -> None:
    """Write something else into a paper."""
    next(folder.iterdir()).write_text("another paper")


def link_paper(folder: Path) -> None:
    """Put a link in a paper's place."""
    path = next(folder.iterdir())
    moved = path.rename(folder.parent / "elsewhere")
    path.symlink_to(moved)


def name_paper(folder: Path) -> None:
    """Put a file under another name beside the papers."""
    (folder / "evil").write_text("no digest")


@pytest.mark.parametrize(
    "damage",
    [change_paper, link_paper, name_paper],
    ids=lambda damage: str(damage.__name__),
)
def test_papers_are_verified_before_the_first_write(
    certified: Loft, tmp_path: Path, damage: Callable[[Path], None]
) -> None:
    """Only whole files under their own digests are taken."""
    source = exported(certified, tmp_path / "out")
    damage(source / "attachments")
    with pytest.raises(TamperError, match="is not imported"):
        exchange.import_record(source, tmp_path / "in", Settings())

    assert not (tmp_path / "in").exists()


def test_an_import_that_fails_can_be_tried_again(
    certified: Loft, database_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a server no table is left behind either."""
    source = exported(certified, tmp_path / "out")
    settings = Settings(database=database_url)

    def no_room(*_: object) -> None:
        raise OSError("no room")

    with monkeypatch.context() as patch:
        patch.setattr(exchange, "_import_papers", no_room)
        with pytest.raises(OSError, match="no room"):
            exchange.import_record(source, tmp_path / "in", settings)
    if database_url.startswith("sqlite"):
        Path(database_url.removeprefix("sqlite:///")).unlink()
    size = exchange.import_record(source, tmp_path / "in", settings)

    assert size == certified.shop.store.head().size


def test_sealed_names_come_back_with_their_pass_phrase(
    certified: Loft, tmp_path: Path
) -> None:
    """Entry for entry and letter for letter, and nobody else reads one of them."""
    certified.document("his letter", is_personal=True)
    source = tmp_path / "out"
    exchange.export(
        certified.shop, source, with_names=True, lock=lock(), draw=write_pages
    )
    bare, folder = tmp_path / "bare", tmp_path / "in"
    exchange.import_record(source, folder, Settings(), lock=lock())
    with pytest.raises(TamperError, match="is not imported"):
        exchange.import_record(source, bare, Settings())
    shop = reopened(folder, certified)
    causes = {finding.cause for finding in audit(shop).findings}
    names = shop.vault.subjects()
    shop.close()

    assert causes == {"absent"}
    assert names == certified.shop.vault.subjects()
    for secret in ("Wolański", "his letter"):
        assert not folder_holds(source, secret)
    assert not (source / "names.csv").exists()
    assert set(attachments.digests(folder / "attachments")) == set(
        attachments.digests(certified.shop.attachments)
    )


def test_nothing_is_sealed_where_no_names_are(certified: Loft, tmp_path: Path) -> None:
    """Whoever asks for it meant the names too."""
    with pytest.raises(RefusedError, match="ask for them too, with --with-names"):
        exchange.export(certified.shop, tmp_path / "out", lock=lock(), draw=write_pages)

    assert not (tmp_path / "out").exists()
