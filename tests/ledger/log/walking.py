"""Walk a whole log in a test and say whatever does not fit."""

from ledger.log import merkle
from ledger.log.entry import NO_PREVIOUS, parse_record
from ledger.log.store import Store


def faults(store: Store) -> list[str]:
    """Walk the whole log and say what does not fit."""
    found, previous, leaves = [], NO_PREVIOUS, []
    for place, (index, data, leaf) in enumerate(store.rows()):
        record = parse_record(data)
        if index != place or record.entry.index != place:
            found.append(f"entry {index} stands at {place}")
        if record.entry.previous != previous:
            found.append(f"entry {index} does not follow the one before")
        if merkle.leaf_hash(data) != leaf:
            found.append(f"entry {index} and its leaf hash differ")
        previous = leaf.hex()
        leaves.append(leaf)
    head = store.head()
    if (head.size, head.root) != (len(leaves), merkle.root(leaves)):
        found.append(f"the head of size {head.size} is not of {len(leaves)} entries")
    return found + tile_faults(store, leaves)


def tile_faults(store: Store, leaves: list[bytes]) -> list[str]:
    """Make every tile again from the leaves and say which differ."""
    found, level, hashes = [], 0, leaves
    kept = {(level, number): data for level, number, data in store.tiles()}
    while hashes:
        for number in range(-(-len(hashes) // 256)):
            expected = b"".join(hashes[256 * number : 256 * (number + 1)])
            if kept.pop((level, number), None) != expected:
                found.append(f"tile {number} of level {level} differs")
        full = range(len(hashes) // 256)
        hashes = [merkle.root(hashes[256 * n : 256 * (n + 1)]) for n in full]
        level += 1
    return found + [f"tile {at} belongs to nothing" for at in kept]
