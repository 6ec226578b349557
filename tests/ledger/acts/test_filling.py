"""A log is filled with records that follow each other, and with no others."""

from pathlib import Path

import pytest

from ledger.acts import filling
from ledger.acts.filling import fill
from ledger.acts.heads import sign_head
from ledger.errors import LedgerError
from ledger.log.store import Store
from tests.skerrymoor import Loft


def test_a_log_is_filled_batch_by_batch(
    loft: Loft, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """To the last record and the last head; it is closed then."""
    monkeypatch.setattr(filling, "BATCH", 4)
    note, url = sign_head(loft.shop), f"sqlite:///{tmp_path / 'filled'}"
    records = [data for _, data in loft.shop.store.records()]
    fill(Store.create(url), records, [note])
    store = Store.open(url)
    filled = [data for _, data in store.records()], store.head(), store.checkpoints()

    assert filled[:2] == (records, loft.shop.store.head())
    assert [said for _, said in filled[2]] == [note]
    store.close()


def test_a_record_that_does_not_follow_fills_nothing(
    loft: Loft, tmp_path: Path
) -> None:
    """Its batch is not kept."""
    url = f"sqlite:///{tmp_path / 'filled'}"
    records = [data for _, data in loft.shop.store.records()]
    with pytest.raises(LedgerError):
        fill(Store.create(url), [*records[:2], records[3]], [])
    store = Store.open(url, for_audit=True)

    assert store.head().size == 0
    store.close()
