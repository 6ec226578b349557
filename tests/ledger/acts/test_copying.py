"""A shop is copied while it is in use, and what is in the copy is of one moment."""

import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.acts import copies, copying, people
from ledger.acts.backups import newest_backup
from ledger.acts.settings import Settings, read_settings
from ledger.acts.shop import Shop, open_for_audit, open_shop
from ledger.audit import audit
from ledger.errors import RefusedError
from ledger.ids import LotId
from ledger.log import attachments
from ledger.log.keyfile import Stretching
from ledger.log.sealedfile import Lock, new_lock
from ledger.views import fold
from tests.conftest import entropy_from
from tests.ledger.log.keeping import folder_holds
from tests.skerrymoor import NECK, Loft

QUICK = Stretching(memory_kib=64, iterations=1, lanes=1)


def lock() -> Lock:
    """Return a lock that costs nothing to make."""
    return new_lock(
        "spruce lining bracket", entropy=entropy_from("lock"), stretching=QUICK
    )


@contextmanager
def writing(loft: Loft) -> Iterator[None]:
    """Let another process number boards, file papers and name sawyers meanwhile."""
    answer, told = os.pipe()
    folder, lot = loft.shop.folder, loft.receive(boards=900)
    loft.shop.close()
    child = os.fork()
    if child == 0:
        try:
            write_without_end(loft, folder, lot, told)
        finally:
            os._exit(1)
    os.close(told)
    os.read(answer, 1)
    loft.shop = open_shop(folder, now=loft.clock, entropy=entropy_from("copier"))
    try:
        yield
        # It was still at work when all was copied.
        assert os.waitpid(child, os.WNOHANG) == (0, 0)
    finally:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        os.close(answer)


def write_without_end(loft: Loft, folder: Path, lot: LotId, told: int) -> None:
    """Be another station, which says when it has begun."""
    loft.shop = open_shop(folder, now=loft.clock, entropy=entropy_from("writer"))
    for n in range(900):
        loft.number(lot, NECK)
        loft.document(f"letter {n}", is_personal=True)
        loft.supplier(f"Sawyer {n}")
        if n == 0:
            os.write(told, b"\n")


def test_a_copy_is_whole_while_another_process_writes(
    loft: Loft, tmp_path: Path
) -> None:
    """Each of three copies is of one moment: no name, paper or entry is missing."""
    loft.supplier()
    with writing(loft):
        made = [copies.back_up(loft.shop, tmp_path / "stick") for _ in range(3)]
    sizes = []
    for copy in made:
        shop = open_for_audit(copy, now=loft.clock)
        report = audit(shop)
        shop.close()
        # A name may be kept already whose entry came just after.
        assert {found.cause for found in report.findings} <= {"orphan"}
        sizes.append(report.size)

    assert sizes == sorted(sizes) and sizes[0] > 0


def test_an_erasure_in_the_middle_begins_the_copy_again(
    certified: Loft, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The name is in no file of the copy, and its log says that it was erased."""
    wanted = certified.person("03")
    name = "Wolański"
    bring, tries = copying._copy_beside, list[bool]()

    def erased_after(shop: Shop, copy: Path, key: Lock | None) -> None:
        bring(shop, copy, key)
        tries.append(folder_holds(copy, name))
        if len(tries) == 1:
            people.erase(shop, wanted.subject, certified.hands("12", "01"))

    monkeypatch.setattr(copying, "_copy_beside", erased_after)
    copy = copies.back_up(certified.shop, tmp_path / "stick")
    shop = open_for_audit(copy, now=certified.clock)
    report = audit(shop)
    shop.close()

    assert tries == [True, False]
    assert report.findings == ()
    assert not folder_holds(copy, name)


def test_a_sealed_copy_shows_no_name_key_or_letter(
    certified: Loft, tmp_path: Path
) -> None:
    """What is nobody's secret lies there as it is."""
    certified.document("his letter", is_personal=True)
    certified.sell("26-0001-8")
    plain = copies.back_up(certified.shop, tmp_path / "plain")
    copy = copies.back_up(certified.shop, tmp_path / "stick", lock=lock())
    names = {str(path.relative_to(copy)) for path in copy.rglob("*") if path.is_file()}
    kept = set(attachments.digests(certified.shop.attachments))
    personal = certified.shop.vault.salted()

    for secret in ("Wolański", "Kiely", "his letter", '"wrapped"'):
        assert folder_holds(plain, secret)
        assert not folder_holds(copy, secret)
    assert {"vault.sqlite3.sealed", "keys/log.json.sealed"} <= names
    assert "vault.sqlite3" not in names
    assert {f"attachments/{d}.sealed" for d in personal} <= names
    assert set(attachments.digests(copy / "attachments")) == kept - personal
    assert (copy / "vault.sqlite3.sealed").stat().st_mode & 0o777 == 0o600


def test_an_emblem_and_what_is_known_of_copies_come_along(
    certified: Loft, tmp_path: Path
) -> None:
    """Half-written files do not, nor do links."""
    shop = replace(certified.shop, settings=Settings(emblem="emblem.svg"))
    (shop.folder / "emblem.svg").write_text("<svg/>")
    (shop.folder / "backups").write_text("{}\n")
    (shop.attachments / "x.part").write_text("half")
    (shop.keys / "other.json").symlink_to(shop.keys / "log.json")
    copy = copies.back_up(shop, tmp_path / "stick")

    assert (copy / "emblem.svg").read_text() == "<svg/>"
    assert (copy / "backups").read_text() == "{}\n"
    assert not list(copy.rglob("*.part"))
    assert not (copy / "keys" / "other.json").exists()


def test_a_shop_on_a_server_is_copied_into_a_folder(
    loft_on_each: Loft, tmp_path: Path
) -> None:
    """The copy is a shop by itself, entry for entry, and names no server."""
    loft = loft_on_each
    loft.build()
    copy = copies.back_up(loft.shop, tmp_path / "stick")
    shop = open_shop(copy, now=loft.clock, entropy=entropy_from("copy"))
    try:
        assert list(shop.store.rows()) == list(loft.shop.store.rows())
        assert list(shop.store.checkpoints()) == list(loft.shop.store.checkpoints())
        with shop.store.reading() as ours, loft.shop.store.reading() as theirs:
            assert list(fold.rows(ours)) == list(fold.rows(theirs))
        assert audit(shop).findings == ()
    finally:
        shop.close()
    assert read_settings(copy).database == ""
    assert (copy / "ledger.sqlite3").stat().st_mode & 0o777 == 0o600


def test_who_is_erased_without_end_lets_no_copy_be(
    certified: Loft, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is refused, and nothing is left of it."""
    monkeypatch.setattr(copying, "_erased_since", lambda *_: True)
    with pytest.raises(RefusedError, match="make the backup again"):
        copies.back_up(certified.shop, tmp_path / "stick")

    assert not list((tmp_path / "stick").glob("flitchbook-*"))


def test_a_copy_that_a_power_cut_left_is_none(
    certified: Loft, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It bears another name, is noted nowhere, and the next copy is whole."""
    stick, folder = tmp_path / "stick", certified.shop.folder
    certified.shop.close()
    child = os.fork()
    if child == 0:
        try:
            die_while_copying(certified, folder, stick, monkeypatch)
        finally:
            os._exit(1)
    _, status = os.waitpid(child, 0)
    certified.shop = open_shop(
        folder, now=certified.clock, entropy=entropy_from("after")
    )
    left = [path.name for path in stick.iterdir()]
    copy = copies.back_up(certified.shop, stick)
    shop = open_for_audit(copy, now=certified.clock)
    report = audit(shop)
    shop.close()

    assert os.WTERMSIG(status) == signal.SIGKILL, "it ended by itself"
    assert len(left) == 1 and left[0].endswith(".part")
    assert newest_backup(folder) is None
    assert report.findings == ()


def die_while_copying(
    loft: Loft, folder: Path, stick: Path, patch: pytest.MonkeyPatch
) -> None:
    """Copy on a machine whose power goes when the log is copied."""
    patch.setattr(copying, "_copy_beside", lambda *_: os.kill(os.getpid(), 9))
    shop = open_shop(folder, now=loft.clock, entropy=entropy_from("cut"))
    copies.back_up(shop, stick)
