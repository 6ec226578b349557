"""Write the entries of an invented shop in which something happened in every view.

What old entries fold to is held by a digest in `tests/ledger/views/test_fold.py`. The
acts may change; these entries stay, and are made anew only for a view that they leave
empty. Run it in the project's root:

    python -m tests.vectors.fold.make
"""

import tempfile
from pathlib import Path

from ledger.acts import clock, people
from tests import skerrymoor
from tests.sentences import say_everything
from tests.skerrymoor import Loft

RECORDS = Path(__file__).parent / "records.txt"
# Names that alphabets put in another order than their bytes.
UNRULY = ("tidewarden", "Slipway", "a b", "ab", "Ünder", "Under", "under-2", "ünder")


def busy(loft: Loft) -> None:
    """Let something happen in every view."""
    for name in UNRULY:
        loft.model(name)
    serial = loft.build()
    say_everything(loft)
    loft.issue(serial)
    loft.sell(serial)
    people.retire(loft.shop, loft.person("03"), loft.hands("03"))
    people.erase(loft.shop, loft.person("10").subject, loft.hands("12", "01"))
    times = {"since": "2025-01-01T00:00:00Z", "until": "2025-01-02T00:00:00Z"}
    clock.doubt(loft.shop, hands=loft.hands("01", "12"), **times)


def main() -> None:
    """Write the records beside this file, or over those that were there."""
    with tempfile.TemporaryDirectory() as folder:
        loft = skerrymoor.opened(Path(folder))
        busy(loft)
        RECORDS.write_bytes(b"".join(data for _, data in loft.shop.store.records()))
        loft.shop.close()


if __name__ == "__main__":
    main()
