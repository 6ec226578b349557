"""Write the entries of an invented shop in which something happened in every view.

What old entries fold to is held by a digest in `tests/ledger/views/test_fold.py`. The
acts may change; these entries stay, and are made anew only for a view that they leave
empty. Run it in the project's root:

    python -m tests.vectors.fold.make
"""

import tempfile
from pathlib import Path

from ledger.acts import (
    certificates,
    clock,
    lostnumbers,
    people,
    slips,
    thefts,
    transfers,
    withdrawing,
)
from ledger.acts.slipcodes import printed_code
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
    handed_on(loft, serial)
    people.retire(loft.shop, loft.person("03"), loft.hands("03"))
    people.erase(loft.shop, loft.person("10").subject, loft.hands("12", "01"))
    times = {"since": "2025-01-01T00:00:00Z", "until": "2025-01-02T00:00:00Z"}
    clock.doubt(loft.shop, hands=loft.hands("01", "12"), **times)
    lostnumbers.reserve(loft.shop, ["C-2025-00088", "25-0099-4"], loft.hands())


def handed_on(loft: Loft, serial: str) -> None:
    """Let an instrument change hands, a slip be lost, and two people claim it."""
    papers = loft.hands("12")
    slip = slips.slip_for(loft.shop, serial, papers)
    slips.printed(loft.shop, slip, sha256_hex="ab" * 32, hands=papers)
    transfers.transfer(
        loft.shop,
        serial=serial,
        code=printed_code(slip.code),
        name="Kenji Arakawa",
        transferred_on=None,
        hands=papers,
    )
    letter = loft.shop.folder.parent / "letter.txt"
    for text in ("lost", "lost again"):
        letter.write_text(text, encoding="utf-8")
        slips.lost(loft.shop, serial, papers, letter=letter)
        if text == "lost":
            slips.found(loft.shop, serial, papers)
    slips.notice_sent(loft.shop, serial, papers)
    for name in ("Amélie Rousset", "Aldous Ferrante"):
        thefts.report(
            loft.shop, serial=serial, name=name, said_on=None, hands=loft.hands()
        )
    thefts.withdraw(
        loft.shop, serial=serial, number=1, reason="found", hands=loft.hands()
    )
    number = certificates.find_certificate(loft.shop, serial)
    withdrawing.withdraw(
        loft.shop, number=number, reason="a wrong mass", hands=loft.hands()
    )


def main() -> None:
    """Write the records beside this file, or over those that were there."""
    with tempfile.TemporaryDirectory() as folder:
        loft = skerrymoor.opened(Path(folder))
        busy(loft)
        RECORDS.write_bytes(b"".join(data for _, data in loft.shop.store.records()))
        loft.shop.close()


if __name__ == "__main__":
    main()
