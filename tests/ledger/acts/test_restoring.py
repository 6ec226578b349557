"""A copy comes back as the shop that it is of, sealed or not, or says why not."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.acts import copies
from ledger.acts.restoring import (
    is_sealed,
    lock_of_copy,
    open_copy_for_audit,
    put_back,
    require_copy,
    require_sealed_whole,
)
from ledger.acts.settings import read_settings, write_settings
from ledger.acts.shop import open_shop
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log.sealedfile import WrongPassPhraseError
from ledger.log.store import Store
from ledger.views import fold
from tests.conftest import entropy_from
from tests.ledger.acts.test_copying import lock
from tests.skerrymoor import Loft


def sealed_copy(loft: Loft, folder: Path) -> Path:
    """Make a sealed copy with a letter in it."""
    loft.document("his letter", is_personal=True)
    return copies.back_up(loft.shop, folder, lock=lock())


def files(folder: Path) -> dict[str, bytes]:
    """Return what lies beside the log and the vault of a shop."""
    names = ("keys", "attachments", "published")
    found = [path for name in names for path in (folder / name).glob("*")]
    return {str(path.relative_to(folder)): path.read_bytes() for path in found}


@pytest.mark.parametrize("is_under_seal", [True, False])
def test_a_copy_put_back_is_the_same_shop(
    certified: Loft, tmp_path: Path, is_under_seal: bool
) -> None:
    """Entry for entry, row for row, file for file; and it goes on."""
    certified.document("his letter", is_personal=True)
    copies.publish_keys(certified.shop, certified.roots[:2])
    key = lock() if is_under_seal else None
    copy = copies.back_up(certified.shop, tmp_path / "stick", lock=key)
    folder = tmp_path / "again"
    folder.mkdir()
    put_back(copy, folder, lock=key)
    shop = open_shop(folder, now=certified.clock, entropy=entropy_from("again"))
    old = certified.shop
    try:
        assert list(shop.store.rows()) == list(old.store.rows())
        assert shop.store.head() == old.store.head()
        with shop.store.reading() as ours, old.store.reading() as theirs:
            assert list(fold.rows(ours)) == list(fold.rows(theirs))
        assert audit(shop).findings == ()
        assert files(folder) == files(old.folder)
        certified.shop = shop
        certified.supplier("A new sawyer")
        assert audit(shop).findings == ()
    finally:
        certified.shop = old
        shop.close()
    assert is_sealed(copy) is is_under_seal
    assert (folder / "vault.sqlite3").stat().st_mode & 0o777 == 0o600


def test_a_sealed_copy_is_judged_where_it_lies(certified: Loft, tmp_path: Path) -> None:
    """Through its seal, and nothing is written in the clear meanwhile."""
    copy = sealed_copy(certified, tmp_path / "stick")
    before = sorted(path.name for path in copy.rglob("*"))
    shop = open_copy_for_audit(copy, now=certified.clock, lock=lock())
    report = audit(shop)
    shop.close()

    assert {found.cause for found in report.findings} == {"absent"}
    assert bool(report)
    assert require_sealed_whole(copy, lock()) == 2 + len(
        list((copy / "keys").iterdir())
    )
    assert sorted(path.name for path in copy.rglob("*")) == before


def exchange_two(copy: Path) -> None:
    """Let a key take the place of another."""
    one, two = sorted((copy / "keys").glob("*.sealed"))[:2]
    data = one.read_bytes()
    one.write_bytes(two.read_bytes())
    two.write_bytes(data)


def flip_letter(copy: Path) -> None:
    """Change a byte of the sealed letter."""
    (path,) = (copy / "attachments").glob("*.sealed")
    data = bytearray(path.read_bytes())
    data[-3] ^= 1
    path.write_bytes(data)


def cut_vault(copy: Path) -> None:
    """Lose the end of the sealed vault."""
    path = copy / "vault.sqlite3.sealed"
    path.write_bytes(path.read_bytes()[:-1])


@pytest.mark.parametrize(
    "damage",
    [exchange_two, flip_letter, cut_vault],
    ids=lambda damage: str(damage.__name__),
)
def test_a_sealed_copy_that_was_changed_is_found_and_not_put_back(
    certified: Loft, tmp_path: Path, damage: Callable[[Path], None]
) -> None:
    """By whoever judges it and by whoever needs it."""
    copy = sealed_copy(certified, tmp_path / "stick")
    damage(copy)
    folder = tmp_path / "again"
    folder.mkdir()
    with pytest.raises(TamperError, match="take another copy"):
        require_sealed_whole(copy, lock())
    with pytest.raises(TamperError, match="take another copy"):
        put_back(copy, folder, lock=lock())


def test_a_sealed_copy_opens_with_its_pass_phrase_only(
    certified: Loft, tmp_path: Path
) -> None:
    """And its shop is opened by nobody as it lies."""
    copy = sealed_copy(certified, tmp_path / "stick")
    with pytest.raises(WrongPassPhraseError):
        lock_of_copy(copy, "another set of words")
    with pytest.raises(LedgerError, match="flitchbook record restore"):
        open_shop(copy, now=certified.clock, entropy=entropy_from("none"))

    assert lock_of_copy(copy, "spruce lining bracket") == lock()


@pytest.mark.parametrize("missing", ["shop.toml", "ledger.sqlite3", "vault.sqlite3"])
def test_what_is_no_copy_is_told(certified: Loft, tmp_path: Path, missing: str) -> None:
    """By what it has not, or by what it is."""
    copy = copies.back_up(certified.shop, tmp_path / "stick")
    (copy / missing).unlink()
    with pytest.raises(RefusedError, match=f"it has no {missing}"):
        require_copy(copy)
    (copy / "records.txt").touch()
    with pytest.raises(RefusedError, match="flitchbook record import"):
        require_copy(copy)


def test_a_sealed_file_in_an_open_copy_is_refused(
    certified: Loft, tmp_path: Path
) -> None:
    """Somebody mixed two copies, and which key is whose is not known."""
    copy = copies.back_up(certified.shop, tmp_path / "stick")
    sealed = sealed_copy(certified, tmp_path / "sealed")
    shutil.copy(sealed / "keys/log.json.sealed", copy / "keys")
    folder = tmp_path / "again"
    folder.mkdir()
    with pytest.raises(RefusedError, match="is sealed, and the copy's vault is not"):
        put_back(copy, folder, lock=None)


def test_a_copy_that_names_a_database_of_somebody_s_own_is_not_obeyed(
    loft: Loft, tmp_path: Path
) -> None:
    """Nor are its folders for backups: the shop's log is the one that lay in it."""
    copy = copies.back_up(loft.shop, tmp_path / "stick")
    foreign = Store.create(f"sqlite:///{tmp_path / 'foreign'}")
    foreign.close()
    said = replace(
        read_settings(copy),
        database=f"sqlite:///{tmp_path / 'foreign'}",
        backup_to=str(tmp_path / "theirs"),
    )
    write_settings(copy, said)
    (tmp_path / "again").mkdir()
    put_back(copy, tmp_path / "again", lock=None)
    judged = open_copy_for_audit(copy, now=loft.clock, lock=None)
    found = audit(judged)
    judged.close()

    assert found.size == loft.shop.store.head().size
    assert read_settings(tmp_path / "again") == loft.shop.settings
