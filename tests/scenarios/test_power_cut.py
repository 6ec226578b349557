"""The power goes at any moment, two hundred times, and nothing acknowledged is lost.

A child process appends in transactions of a few entries and acknowledges each after
its commit; it is killed without warning. One log grows through all the rounds. What a
kill cannot show is a disk that lies about having written: the commit waits for the
disk, and there the power of a program ends.
"""

import os
import random
import signal
import time
from pathlib import Path

from ledger.log import merkle
from ledger.log.entry import NO_PREVIOUS, parse_record
from ledger.log.store import Store
from tests.ledger.log.writing import add

KILLS = 200
LONGEST_SECONDS = 0.06


def append_until_killed(url: str, seed: int, acknowledge: int) -> None:
    """Append without end, and tell the size of the log after each commit."""
    chance = random.Random(seed)  # noqa: S311 (how much to append, nothing secret)
    store = Store.open(url)
    while True:
        with store.appending() as appending:
            add(appending, chance.choice((1, 1, 2, 5, 40, 300)))
            size = appending.head.size
        os.write(acknowledge, b"%d\n" % size)


def killed_child(url: str, seed: int, seconds: float) -> int:
    """Let a child append for a while, kill it, and return the last size it told.

    Every second child is waited for until it has told one, however busy the machine.
    """
    told, acknowledge = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            append_until_killed(url, seed, acknowledge)
        finally:
            os._exit(1)
    os.close(acknowledge)
    first = os.read(told, 1) if seed % 2 else b""
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    with os.fdopen(told, "rb") as lines:
        sizes = (first + lines.read()).split()
    assert os.WTERMSIG(status) == signal.SIGKILL, "it ended by itself"
    return int(sizes[-1]) if sizes else 0


class Walk:
    """The log as far as it was walked, so that every round walks only what is new."""

    def __init__(self) -> None:
        self.leaves: list[bytes] = []
        self.edge: tuple[bytes, ...] = ()

    def on(self, store: Store) -> None:
        """Walk what was added: the chain, the leaf hashes, the head and the tiles."""
        began = len(self.leaves)
        for index, data, leaf in store.rows(began):
            entry = parse_record(data).entry
            previous = self.leaves[-1].hex() if self.leaves else NO_PREVIOUS
            assert (index, entry.index) == (len(self.leaves), len(self.leaves))
            assert entry.previous == previous
            assert merkle.leaf_hash(data) == leaf
            self.edge = merkle.extend(self.edge, index, leaf)
            self.leaves.append(leaf)
        head = store.head()
        assert (head.size, head.edge) == (len(self.leaves), self.edge)
        assert head.root == merkle.edge_root(self.edge)
        for number in range(began // 256, -(-len(self.leaves) // 256)):
            hashes = self.leaves[256 * number : 256 * (number + 1)]
            assert store.tile(0, number) == b"".join(hashes)


def all_tiles(leaves: list[bytes]) -> dict[tuple[int, int], bytes]:
    """Return the tiles of every level, made anew from the leaves."""
    made: dict[tuple[int, int], bytes] = {}
    level, hashes = 0, leaves
    while hashes:
        tiles = [hashes[i : i + 256] for i in range(0, len(hashes), 256)]
        made |= {(level, n): b"".join(tile) for n, tile in enumerate(tiles)}
        hashes = [merkle.root(tile) for tile in tiles if len(tile) == 256]
        level += 1
    return made


def test_nothing_acknowledged_is_lost_in_two_hundred_power_cuts(
    tmp_path: Path,
) -> None:
    """After each kill the log opens, is whole, and holds all that was acknowledged."""
    url = f"sqlite:///{tmp_path / 'ledger.sqlite3'}"
    Store.create(url).close()
    chance = random.Random(200)  # noqa: S311 (when to pull the plug, nothing secret)
    walk, worked = Walk(), 0
    for seed in range(KILLS):
        before = len(walk.leaves)
        told = killed_child(url, seed, chance.uniform(0.001, LONGEST_SECONDS))
        store = Store.open(url)
        walk.on(store)
        store.close()
        worked += told > before

        assert len(walk.leaves) >= told, f"kill {seed}: {told} were acknowledged"
    store = Store.open(url)
    kept = {(level, number): hashes for level, number, hashes in store.tiles()}
    store.close()

    assert kept == all_tiles(walk.leaves)
    assert worked >= KILLS // 2, "most were killed before they appended"
