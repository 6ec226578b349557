"""Everybody of whom the log speaks is known, and nobody else."""

from ledger.views.certificates import certificate_subject
from ledger.views.subjects import known_subjects
from tests.skerrymoor import Loft


def test_the_vault_keeps_only_what_the_log_speaks_of(certified: Loft) -> None:
    """People, sawyers, owners, and the secrets of certificates."""
    certified.sell("26-0001-8")
    with certified.shop.store.reading() as session:
        known = known_subjects(session)

    assert certified.shop.vault.subjects() <= known
    assert certificate_subject("C-2026-00001") in known
    assert certificate_subject("C-2026-00002") not in known
    assert len(known) == 5 + 1 + 1 + 1
