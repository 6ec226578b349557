"""A shop that was put back as it was before a day, and what is left of that day."""

import shutil
from dataclasses import dataclass
from pathlib import Path

from ledger.acts import copies
from ledger.acts.certificates import certificate_paper
from ledger.acts.heads import sign_head
from ledger.acts.shop import open_shop
from ledger.audit import Outside
from ledger.log.checkpoint import parse_checkpoint, parse_note
from tests import skerrymoor
from tests.skerrymoor import Loft

LEDGER = "ledger.sqlite3"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """What is left of a day whose entries are gone."""

    loft: Loft
    note: str
    certificate: bytes  # issued on that day
    before: bytes  # issued before it, and proved again on that day
    keys: bytes  # the last keys file of the old volume
    serial: str
    newer: Path  # a folder with the log as it was at the end of that day

    @property
    def given(self) -> Outside:
        """The head that a witness kept."""
        return Outside.of(parse_checkpoint(parse_note(self.note)), self.note)


def lose(folder: Path, certified: Path) -> Lost:
    """Build and certify a second instrument, and bring back the log of before."""
    loft = skerrymoor.again(folder, certified, "lost")
    ledger, newer = loft.shop.folder / LEDGER, folder / "newer"
    loft.shop.close()
    shutil.copyfile(ledger, folder / "older")
    _opened(loft)
    serial = loft.another()
    number = loft.issue(serial)
    again = certificate_paper(loft.shop, "C-2026-00001").file.data
    certificate = certificate_paper(loft.shop, number).file.data
    note = sign_head(loft.shop)
    keys = copies.publish_keys(loft.shop, loft.roots[:2]).read_bytes()
    loft.shop.close()
    newer.mkdir()
    ledger.rename(newer / LEDGER)
    shutil.copyfile(folder / "older", ledger)
    _opened(loft)
    return Lost(
        loft=loft,
        note=note,
        certificate=certificate,
        before=again,
        keys=keys,
        serial=serial,
        newer=newer,
    )


def _opened(loft: Loft) -> None:
    shop = loft.shop
    loft.shop = open_shop(shop.folder, now=loft.clock, entropy=shop.entropy)
