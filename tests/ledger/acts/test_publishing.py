"""What lies in a folder of tiles proves the log to a reader who has nothing else.

The reader here is written from the text of C2SP tlog-tiles and RFC 6962 alone: it takes
the size from the checkpoint, opens files, and hashes.
"""

import base64
import hashlib
import random
import shutil
from contextlib import closing
from pathlib import Path

import pytest

from ledger.acts.heads import sign_head
from ledger.acts.layout import EVIDENCE
from ledger.acts.publishing import CHECKPOINT, LaidOut, bring_up, lay_out
from ledger.acts.shop import open_shop
from ledger.errors import RefusedError, TamperError
from ledger.log import merkle, tiles
from ledger.log.checkpoint import Checkpoint, NoteKey, sign_note
from tests.ledger.log.test_tiles import Kept, add
from tests.ledger.log.workshop import secret
from tests.skerrymoor import Loft

WHY = "metamorphic-log is not installed (extra dev): nothing is compared with it"
notes = pytest.importorskip("metamorphic_log", reason=WHY)
KEY = NoteKey("example.org/benchlog", secret("log").public)
# From before the first whole tile to past the second.
SIZES = (1, 2, 3, 100, 255, 256, 257, 300, 511, 512, 513, 600)


def leaf(index: int, history: str = "") -> bytes:
    """Return the leaf at an index, in one history or another."""
    return merkle.leaf_hash(f"{history}{index}".encode())


def tiles_of(size: int, history: str = "") -> Kept:
    """Return all tiles of a log."""
    kept: Kept = {}
    for index in range(size):
        add(kept, index, leaf(index, history))
    return kept


KEPT = tiles_of(max(SIZES))


def signed(size: int, history: str = "", key: NoteKey = KEY, by: str = "log") -> str:
    """Return the checkpoint of a log."""
    root = merkle.root(leaf(index, history) for index in range(size))
    head = Checkpoint(origin=key.name, size=size, root=root)
    return sign_note(head.text, name=key.name, secret=secret(by))


def laid(folder: Path, size: int, kept: Kept | None = None, note: str = "") -> LaidOut:
    """Bring a folder up to a size."""
    own = KEPT if kept is None else kept
    return bring_up(
        folder, note or signed(size), lambda *at: own.get(at, b""), keys=[KEY]
    )


class Reader:
    """Somebody with a web browser, a hash function and the two documents."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        lines = (folder / "checkpoint").read_text().split("\n")
        self.size = int(lines[1])
        self.root = base64.b64decode(lines[2])

    def hash_at(self, level: int, index: int) -> bytes:
        """Return the hash `index` of tile level `level`."""
        tile, place = index // 256, index % 256
        digits = str(tile)
        while len(digits) % 3:
            digits = "0" + digits
        path = f"{digits[-3:]}"
        for end in range(len(digits) - 3, 0, -3):
            path = f"x{digits[end - 3 : end]}/{path}"
        whole = self.size // 256**level // 256
        width = "" if tile < whole else f".p/{self.size // 256**level % 256}"
        data = (self.folder / f"tile/{level}/{path}{width}").read_bytes()
        return data[32 * place : 32 * place + 32]

    def tree(self, start: int, end: int) -> bytes:
        """Return MTH(D[start:end]) as RFC 6962 section 2.1 has it."""
        count = end - start
        if count == 1:
            return self.hash_at(0, start)
        # A tile's own root stands one level higher once the tile is whole.
        if count == 256 and start % 256 == 0:
            return self.hash_at(1, start // 256)
        k = 1
        while k * 2 < count:
            k *= 2
        both = self.tree(start, start + k) + self.tree(start + k, end)
        return hashlib.sha256(b"\x01" + both).digest()

    def path(self, m: int, start: int, end: int) -> list[bytes]:
        """Return PATH(m, D[start:end]), section 2.1.1."""
        if end - start == 1:
            return []
        k = 1
        while k * 2 < end - start:
            k *= 2
        if m < k:
            return [*self.path(m, start, start + k), self.tree(start + k, end)]
        return [*self.path(m - k, start + k, end), self.tree(start, start + k)]

    def grown(self, m: int, start: int, end: int, whole: bool) -> list[bytes]:
        """Return SUBPROOF(m, D[start:end], whole), section 2.1.2."""
        if m == end - start:
            return [] if whole else [self.tree(start, end)]
        k = 1
        while k * 2 < end - start:
            k *= 2
        if m <= k:
            before = self.grown(m, start, start + k, whole)
            return [*before, self.tree(start + k, end)]
        after = self.grown(m - k, start + k, end, False)
        return [*after, self.tree(start, start + k)]


def test_a_stranger_rebuilds_every_proof_out_of_the_folder_alone(
    tmp_path: Path,
) -> None:
    """While it grows from 1 to 600: inclusion, consistency and the root itself."""
    chance = random.Random(600)  # noqa: S311 (repeatable input, nothing secret)
    roots: dict[int, bytes] = {}
    for size in SIZES:
        laid(tmp_path, size)
        reader = Reader(tmp_path)
        roots[size] = reader.root

        assert reader.size == size
        assert reader.tree(0, size) == reader.root
        for index in {0, size - 1, chance.randrange(size), chance.randrange(size)}:
            path = reader.path(index, 0, size)
            found = merkle.root_from_path(leaf(index), index, size, path)
            assert found == reader.root
        for old in roots:
            grown = reader.grown(old, 0, size, True)
            assert merkle.is_consistent(old, size, roots[old], reader.root, grown)


def test_the_counts_of_the_published_example_come_out() -> None:
    """70,000 entries: 273 whole and one of 112, one whole and one of 17, one of 1.

    Source: C2SP tlog-tiles.
    """
    found = list(tiles.between(0, 70_000))
    parts = [(level, width) for level, _, width in found if width < 256]

    assert [sum(level == at for level, *_ in found) for at in range(4)] == [
        274,
        2,
        1,
        0,
    ]
    assert parts == [(0, 112), (1, 17), (2, 1)]


def test_a_run_writes_only_what_is_new(tmp_path: Path) -> None:
    """What is there keeps its time; a part goes only once its tile is whole."""
    laid(tmp_path, 300)
    first = tmp_path / "tile/0/000"
    there = first.stat().st_mtime_ns

    assert laid(tmp_path, 300).written == 0
    assert (tmp_path / "tile/0/001.p/44").is_file()
    again = laid(tmp_path, 400)
    assert (again.before, again.written, again.dropped) == (300, 1, 0)
    assert (tmp_path / "tile/0/001.p/44").is_file()
    whole = laid(tmp_path, 600)
    assert (whole.written, whole.dropped) == (3, 2)
    assert not (tmp_path / "tile/0/001.p").exists()
    assert (tmp_path / "tile/0/001").is_file()
    assert first.stat().st_mtime_ns == there
    assert not list(tmp_path.rglob("*.part"))


def test_a_run_that_was_cut_off_is_finished_by_the_next(tmp_path: Path) -> None:
    """New tiles without their checkpoint, and parts that should have gone."""
    laid(tmp_path, 300)
    ahead = tmp_path / "ahead"
    shutil.copytree(tmp_path, ahead)
    laid(ahead, 600)
    shutil.copytree(ahead / "tile", tmp_path / "tile", dirs_exist_ok=True)
    for left in ("checkpoint.x.part", "tile/0/000.x.part"):
        (tmp_path / left).write_bytes(b"half")
    shutil.rmtree(ahead)

    done = laid(tmp_path, 600)
    assert (done.before, done.written, done.dropped) == (300, 0, 1)
    assert Reader(tmp_path).tree(0, 600) == Reader(tmp_path).root
    assert sorted(path.name for path in tmp_path.iterdir()) == ["checkpoint", "tile"]
    assert not list(tmp_path.rglob("*.part"))
    for given_out in ("checkpoint", "tile/0/000"):
        assert (tmp_path / given_out).stat().st_mode & 0o777 == 0o644


def test_nothing_that_was_said_is_laid_out(tmp_path: Path, certified: Loft) -> None:
    """Of a shop's log there are hashes and its own checkpoint, and no entry bundles."""
    done = lay_out(certified.shop, tmp_path / "www")
    reader = Reader(tmp_path / "www")
    files = {
        str(path.relative_to(tmp_path / "www"))
        for path in (tmp_path / "www").rglob("*")
        if path.is_file()
    }

    assert (done.size, done.root) == (reader.size, reader.root)
    assert files == {"checkpoint", f"tile/0/000.p/{reader.size}"}
    for index, record in certified.shop.store.records():
        path = reader.path(index, 0, reader.size)
        found = merkle.root_from_path(
            merkle.leaf_hash(record), index, reader.size, path
        )
        assert found == reader.root


def test_a_verifier_that_was_written_elsewhere_takes_what_the_folder_proves(
    tmp_path: Path,
) -> None:
    """Checkpoint, inclusion and growth: none of it goes through this project's code."""
    laid(tmp_path, 300)
    before, older = Reader(tmp_path), (tmp_path / CHECKPOINT).read_text()
    laid(tmp_path, 600)
    reader, note = Reader(tmp_path), (tmp_path / CHECKPOINT).read_text()
    keys, grown = [str(KEY)], reader.grown(300, 0, 600, True)
    for index in (0, 255, 256, 511, 599):
        path = reader.path(index, 0, 600)
        notes.checkpoint_verify_inclusion(note, keys, index, leaf(index), path)
        with pytest.raises(notes.VerifyError):
            notes.checkpoint_verify_inclusion(note, keys, index, leaf(1), path)
    notes.checkpoint_verify_consistency(older, note, keys, grown)

    assert before.root != reader.root
    with pytest.raises(notes.VerifyError):
        notes.checkpoint_verify_consistency(older, note, keys, grown[:-1])


def test_another_log_is_not_laid_over(tmp_path: Path) -> None:
    """A folder of another origin, of no log at all, or of no checkpoint is refused."""
    other = NoteKey("example.org/another", KEY.public)
    laid(tmp_path / "a", 300, note=signed(300, key=other))
    (tmp_path / "b").mkdir()
    (tmp_path / "b" / CHECKPOINT).write_bytes(b"\xff no checkpoint")
    (tmp_path / "c").write_text("a file")

    for folder, why in (
        ("a", r"holds the log example\.org/another"),
        ("b", "is no checkpoint of a log"),
        ("c", "is a file: name a folder"),
    ):
        with pytest.raises(RefusedError, match=why):
            laid(tmp_path / folder, 300)


def test_another_history_is_found_before_anything_is_written(tmp_path: Path) -> None:
    """Of the same log, shorter or as long: both are kept as they are."""
    other = tiles_of(300, "other ")
    laid(tmp_path, 300, kept=other, note=signed(300, "other "))
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}

    for size in (300, 600):
        with pytest.raises(TamperError, match="another history of 300 entries"):
            laid(tmp_path, size)
    after = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    assert after == before


def test_a_log_that_fell_back_is_found_by_what_it_laid_out(tmp_path: Path) -> None:
    """More entries there than here, signed by the log: the newest are missing here."""
    laid(tmp_path, 513)
    with pytest.raises(TamperError, match="513 entries of this log, signed, and here"):
        laid(tmp_path, 512)

    (tmp_path / CHECKPOINT).write_text(signed(513, by="somebody else"))
    with pytest.raises(RefusedError, match="its key did not sign that"):
        laid(tmp_path, 512)


def test_a_shop_that_was_put_back_is_stopped_by_what_it_laid_out(
    certified: Loft, tmp_path: Path
) -> None:
    """On an account that saw nothing of it: the folder's head is kept as evidence."""
    shop, www, older = certified.shop, tmp_path / "www", tmp_path / "older"
    shop.store.close()
    shutil.copytree(shop.folder, older)
    certified.model("Tidewarden")
    size = lay_out(shop, www).size
    with closing(open_shop(older, now=shop.now, entropy=shop.entropy)) as back:
        for _ in range(2):
            with pytest.raises(TamperError, match=f"proves {size} existed: 1 entry is"):
                lay_out(back, www)
        (note,) = (older / EVIDENCE).iterdir()
        with pytest.raises(TamperError, match="kept in evidence in the shop's folder"):
            sign_head(back)

    assert note.read_bytes() == (www / CHECKPOINT).read_bytes()


def test_a_tile_that_was_changed_is_found(tmp_path: Path) -> None:
    """At the right edge always, anywhere else where all are compared."""
    laid(tmp_path, 300)
    part = tmp_path / "tile/0/001.p/44"
    good = part.read_bytes()
    part.write_bytes(b"x" * len(good))
    with pytest.raises(TamperError, match="not those of its own checkpoint of 300"):
        laid(tmp_path, 600)
    part.write_bytes(good)
    (tmp_path / "tile/0/000").write_bytes(b"x" * 8192)

    assert laid(tmp_path, 300).written == 0
    with pytest.raises(TamperError, match="tile/0/000 is there and is no tile of this"):
        bring_up(
            tmp_path,
            signed(300),
            lambda *at: KEPT.get(at, b""),
            keys=[KEY],
            compare_all=True,
        )
