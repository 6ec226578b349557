"""The rows of a keys file: what it says of each key of a standing."""

from typing import Any

from ledger.log.checkpoint import NoteKey
from ledger.log.standing import Standing
from ledger.log.tenures import LogTenure

# Beside the other members of a key, where there is something in it.
AFFIRMED = "affirmed"


def log_row(tenure: LogTenure) -> dict[str, Any]:
    """Say which heads a key of the log signs, and under which name."""
    return {
        "from_size": tenure.from_size,
        "until_size": tenure.until_size,
        "vkey": str(NoteKey(tenure.origin, tenure.public)),
    }


def key_row(standing: Standing, key: str) -> dict[str, Any]:
    """Say of one key whose it is, what for, and for which entries it counts."""
    known = standing.keys[key]
    roles = [
        {
            "from_index": tenure.from_index,
            "role": tenure.role,
            "until_index": tenure.until_index,
        }
        for tenure in standing.tenures
        if known.subject is not None and tenure.subject == known.subject
    ]
    affirmed = {AFFIRMED: sorted(known.affirmed)} if known.affirmed else {}
    return affirmed | {
        "disputed_since": known.disputed_since,
        "from_index": known.from_index,
        "key": key,
        "public": str(known.public),
        "purpose": known.purpose,
        "roles": roles,
        "subject": known.subject,
        "until_index": known.until_index,
    }
