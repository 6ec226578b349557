"""A vault taken into memory holds what it held, and touches no disk."""

import pytest

from ledger.errors import TamperError
from ledger.log.vault import Vault, person_sealing_key
from ledger.log.vaultcopy import values_kept, vault_bytes, vault_in_memory
from tests.conftest import entropy_from
from tests.ledger.log.keeping import KEY, OTHER, SUBJECT

OFFICE = person_sealing_key(bytes(32)).public_key()


def test_a_vault_in_memory_opens_what_the_file_opens(vault: Vault) -> None:
    """While the file is open elsewhere; what is erased in one stays in the other."""
    vault.put(SUBJECT, "person.name", "Maura Kiely", KEY)
    vault.put_salt("a" * 64, b"s" * 32, SUBJECT)
    files = set(vault.path.parent.iterdir())
    with vault_in_memory(vault_bytes(vault.path), vault.path) as copy:
        vault.erase(SUBJECT)
        opening = copy.get(SUBJECT, "person.name")

        assert opening is not None and opening.value == "Maura Kiely"
        assert copy.get_salt("a" * 64) == b"s" * 32
        assert copy.faults() == ()
    assert set(vault.path.parent.iterdir()) == files
    assert b"Maura" not in vault_bytes(vault.path)


@pytest.mark.parametrize("data", [b"", b"no database", bytes(4096)])
def test_what_is_no_vault_is_told(vault: Vault, data: bytes) -> None:
    """In one sentence, with what to do."""
    with pytest.raises(TamperError, match="put back the newest copy"):
        vault_in_memory(data, vault.path)


def test_each_subject_is_counted_once_in_a_field(vault: Vault) -> None:
    """Those in the clear apart from those that are sealed."""
    entropy = entropy_from("counted")
    vault.make_office(entropy, OFFICE)
    vault.put(SUBJECT, "person.name", "Maura Kiely", KEY)
    vault.put(SUBJECT, "person.name", "Maura Kiely-Ness", KEY)
    vault.put(OTHER, "person.name", "Hallvard Ness", KEY)
    vault.put_sealed(OTHER, "owner.name", "Ines Carvalhal", KEY, entropy=entropy)

    assert values_kept(vault) == {"owner.name": (0, 1), "person.name": (2, 0)}
