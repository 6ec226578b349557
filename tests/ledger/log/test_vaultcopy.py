"""A vault taken into memory holds what it held, and touches no disk."""

from pathlib import Path

import pytest

from ledger.errors import TamperError
from ledger.log.vault import Vault
from ledger.log.vaultcopy import values_kept, vault_bytes, vault_in_memory
from tests.conftest import entropy_from
from tests.ledger.log.keeping import KEY, SUBJECT, kept
