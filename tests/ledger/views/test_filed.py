"""Every file that an entry names is known, kept, carried along and missed."""

from pathlib import Path

import pytest
from PIL import Image

from cli.record_pages import write_pages
from ledger.acts import copies, exchange, measuring, tapping
from ledger.acts.settings import Settings
from ledger.acts.shop import open_for_audit
from ledger.audit import audit
from ledger.audit.findings import Finding
from ledger.errors import TamperError
from ledger.log import attachments
from ledger.views.filed import Filed, filed
from tests import ringing
from tests.skerrymoor import TOP, Loft

HALF = "L26-001-01.A"


@pytest.fixture(scope="module")
def recording(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a recording of a spruce half, tapped three times."""
    return ringing.plate(tmp_path_factory.mktemp("taps") / "half.wav", taps=3)


@pytest.fixture
def heard(loft: Loft, tmp_path: Path, recording: Path) -> Loft:
    """Give a shop with two papers, one of them personal, a photograph and a tap."""
    loft.supplier()
    loft.document("a letter", is_personal=True)
    loft.number(loft.receive(documents=(loft.document(),)), TOP)
    path = tmp_path / "half.png"
    Image.new("RGB", (64, 48), (200, 170, 120)).save(path)
    measuring.photograph(loft.shop, HALF, path, face="front", hands=loft.hands("02"))
    tapping.tap(
        loft.shop,
        HALF,
        recording,
        held_as="plate",
        expected={"along": 71_000, "across": 150_000, "twist": 52_000},
        hands=loft.hands("03"),
        as_read=True,
    )
    return loft


def files(loft: Loft) -> list[Filed]:
    """Return every file that an entry names."""
    with loft.shop.store.reading() as session:
        return filed(session, loft.shop.store.record)


def findings(folder: Path, loft: Loft) -> tuple[Finding, ...]:
    """Audit a shop's folder."""
    shop = open_for_audit(folder, now=loft.clock)
    try:
        return audit(shop).findings
    finally:
        shop.close()


def test_papers_pictures_and_recordings_are_files_in_order(heard: Loft) -> None:
    """Each with the entry that names it; only the letter lies behind a salt."""
    found = files(heard)

    assert [(f.what, f.is_salted) for f in found] == [
        ("D26-0001", True),
        ("D26-0002", False),
        (f"photograph of {HALF}", False),
        (f"recording of {HALF}", False),
    ]
    assert [f.idx for f in found] == sorted({f.idx for f in found})
    assert {f.digest for f in found} == set(attachments.digests(heard.shop.attachments))


def test_no_file_is_swept_that_an_entry_names(heard: Loft) -> None:
    """Folding again takes the orphans only; a struck picture stays, as its entry."""
    picture, tap = files(heard)[2:]
    heard.say(heard.strike(picture.idx))
    heard.say(heard.strike(tap.idx))
    orphan = attachments.put(heard.shop.attachments, b"nobody speaks of this")
    copies.rebuild(heard.shop)
    kept = set(attachments.digests(heard.shop.attachments))

    assert orphan not in kept
    assert kept == {f.digest for f in files(heard)}
    assert len(kept) == 4
    assert audit(heard.shop).findings == ()


@pytest.mark.parametrize("number", [2, 3])
@pytest.mark.parametrize("fault", ["gone", "changed", "a folder"])
def test_a_missing_picture_or_recording_is_found(
    heard: Loft, number: int, fault: str
) -> None:
    """By its entry, with what it was of; once, and as damage."""
    file = files(heard)[number]
    path = attachments.get(heard.shop.attachments, file.digest)
    data = path.read_bytes()
    path.unlink()
    if fault == "changed":
        path.write_bytes(data[:-1] + bytes([data[-1] ^ 1]))
    if fault == "a folder":
        path.mkdir()

    (finding,) = audit(heard.shop).findings
    assert (finding.index, finding.cause) == (file.idx, "attachment")
    assert not finding.is_open
    assert file.what in finding.detail


def test_a_backup_holds_every_file(heard: Loft, tmp_path: Path) -> None:
    """And is whole when it is audited by itself."""
    copy = copies.back_up(heard.shop, tmp_path / "copies")
    held = set(attachments.digests(copy / "attachments"))

    assert held == {f.digest for f in files(heard)}
    assert findings(copy, heard) == ()


@pytest.mark.parametrize("with_names", [True, False])
def test_an_export_carries_pictures_and_recordings_over(
    heard: Loft, tmp_path: Path, with_names: bool
) -> None:
    """The letter comes only with the names; all else is there and whole."""
    source, again = tmp_path / "export", tmp_path / "again"
    exchange.export(heard.shop, source, with_names=with_names, draw=write_pages)
    exchange.import_record(source, again, Settings())
    expected = {f.digest for f in files(heard) if with_names or not f.is_salted}

    assert set(attachments.digests(again / "attachments")) == expected
    assert not any(finding.cause == "attachment" for finding in findings(again, heard))


def test_a_changed_recording_is_not_imported(heard: Loft, tmp_path: Path) -> None:
    """Nor is anything else of that export."""
    source = tmp_path / "export"
    exchange.export(heard.shop, source, draw=write_pages)
    recording = files(heard)[3].digest
    (source / "attachments" / recording).write_bytes(b"another sound")
    with pytest.raises(TamperError, match=f"attachment {recording} now has"):
        exchange.import_record(source, tmp_path / "again", Settings())

    assert not (tmp_path / "again").exists()


def test_a_file_that_several_entries_name_is_kept_for_the_last(heard: Loft) -> None:
    """A picture of the whole set is one file and two entries."""
    path = heard.shop.folder.parent / "set.png"
    Image.new("RGB", (32, 32), (90, 60, 40)).save(path)
    hands = heard.hands("02")
    measuring.photograph(heard.shop, "L26-001-01", path, face="front", hands=hands)
    a, b = files(heard)[-2:]
    heard.say(heard.strike(a.idx))
    copies.rebuild(heard.shop)

    assert a.digest == b.digest
    assert audit(heard.shop).findings == ()
