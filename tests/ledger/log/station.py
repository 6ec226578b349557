"""One of two stations: append to a log as fast as it goes, and say what was kept.

Started by a test as `station.py URL NAME COUNT`.
"""

import sys

from ledger.log.store import Store
from tests.ledger.log.writing import add


def main(url: str, name: str, count: int) -> None:
    """Append one entry a transaction, and acknowledge each after it is kept."""
    store = Store.open(url)
    for _ in range(count):
        with store.appending() as appending:
            add(appending, 1, says=name)
            index = appending.head.size - 1
        print(name, index, flush=True)
    store.close()


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
