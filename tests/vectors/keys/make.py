"""Write the vectors of keys gone wrong: a second little log from the same fixed seeds.

Ten entries by the separate writer that `sayings` begins: a lead's key that was in
other hands, what it said affirmed and not, and a new key of the log. Records, leaf
hashes, root, the head with which the new key begins, and the keys file. Run it in the
project's root:

    python -m tests.vectors.keys.make
"""

import base64
import hashlib
from pathlib import Path
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from tests.vectors.log.make import root, write
from tests.vectors.log.sayings import (
    FIRST_ROOTS,
    KEY_ID,
    KEYS,
    ORIGIN,
    PUBLIC,
    SUBJECT,
    Json,
    approved,
    canonical,
    enrolment,
    founding,
    leaf,
    lot,
    possession,
    record,
    role,
    sign,
)

# The log's second key, of a seed of its own; it signs nothing but heads.
SEED = hashlib.sha256(b"flitchbook vector seed: log-new").digest()
LOG_NEW = Ed25519PrivateKey.from_private_bytes(SEED)
NEW_PUBLIC = LOG_NEW.public_key().public_bytes_raw()
COMPROMISED_SINCE, AFFIRMED, CHANGED = 4, 5, 7
TWO = ("root-1", "root-2")


def new_log_key() -> Json:
    """Give the log a new key, which shows that it is held."""
    statement = {
        "format": "flitchbook-possession/1",
        "origin": ORIGIN,
        "public": NEW_PUBLIC.hex(),
        "purpose": "log",
    }
    shown = base64.b64encode(LOG_NEW.sign(canonical(statement))).decode()
    event = {"kind": "log.key-replaced/1", "possession": shown}
    return approved(event | {"public": NEW_PUBLIC.hex()}, TWO, 1)


def report() -> Json:
    """Report the lead's key; a role is held, so the roots decide."""
    event = {
        "key": KEY_ID["lead"],
        "kind": "key.compromised/1",
        "since_index": COMPROMISED_SINCE,
    }
    return approved(event, TWO, 1)


def affirmation(record: bytes) -> Json:
    """Stand by one of two lots that the lead's key received in dispute."""
    event = {
        "index": AFFIRMED,
        "key": KEY_ID["lead"],
        "kind": "entry.affirmed/1",
        "leaf": leaf(record).hex(),
    }
    return approved(event, TWO, 1)


def records() -> list[bytes]:
    """Return the ten records: entry, LF, signature, LF."""
    out: list[bytes] = []
    renewed = possession("lead-new", "person") | {
        "kind": "person.key-replaced/1",
        "subject": SUBJECT["lead"],
    }
    said: list[tuple[str, Any]] = [
        ("root-1", founding),
        ("root-1", lambda: enrolment("lead", "01")),
        ("root-1", lambda: role("lead", "lead")),
        *[("lead", lot)] * 3,
        ("root-1", report),
        ("root-2", new_log_key),
        ("root-1", lambda: approved(renewed, TWO, 1)),
        ("lead-new", lambda: affirmation(out[AFFIRMED])),
    ]
    previous = "0" * 64
    for index, (who, event) in enumerate(said):
        at = f"2026-01-02T08:0{index}:00Z"
        out.append(record(index, previous, who, at, event()))
        previous = leaf(out[-1]).hex()
    return out


def key_hash(public: bytes) -> bytes:
    """Return the four bytes by which a note names a key (C2SP signed-note)."""
    return hashlib.sha256(f"{ORIGIN}\n\x01".encode() + public).digest()[:4]


def first_head(leaves: list[bytes]) -> str:
    """Sign the head that holds the change, with the new key and then the old one."""
    top = base64.b64encode(root(leaves)).decode()
    text = f"{ORIGIN}\n{len(leaves)}\n{top}\n"
    lines = [
        base64.b64encode(key_hash(public) + key.sign(text.encode())).decode()
        for public, key in ((NEW_PUBLIC, LOG_NEW), (PUBLIC["log"], KEYS["log"]))
    ]
    return f"{text}\n" + "".join(f"— {ORIGIN} {line}\n" for line in lines)


def known(name: str, purpose: str, since: int, until: int | None, **more: Any) -> Json:
    """Say what the keys file says of one key."""
    held = [{"from_index": 3, "role": "lead", "until_index": None}]
    is_person = purpose == "person"
    return {
        "disputed_since": None,
        "from_index": since,
        "key": KEY_ID[name],
        "public": PUBLIC[name].hex(),
        "purpose": purpose,
        "roles": held if is_person else [],
        "subject": SUBJECT["lead"] if is_person else None,
        "until_index": until,
    } | more


def of_log(public: bytes, since: int, until: int | None) -> Json:
    """Say which heads a key of the log signs."""
    data = base64.b64encode(b"\x01" + public).decode()
    vkey = f"{ORIGIN}+{key_hash(public).hex()}+{data}"
    return {"from_size": since, "until_size": until, "vkey": vkey}


def keys_file(written: list[bytes]) -> bytes:
    """Publish the shop's keys, signed by two of its roots."""
    disputed = {"affirmed": [AFFIRMED], "disputed_since": COMPROMISED_SINCE}
    rest = {
        "date": "2026-01-02",
        "format": "flitchbook-keys/1",
        "keys": [
            *(known(name, "root", 0, None) for name in FIRST_ROOTS),
            known("lead", "person", 2, 6, **disputed),
            known("lead-new", "person", 9, None),
        ],
        "lineage": [written[0].decode(), written[CHANGED].decode()],
        "log": [
            of_log(PUBLIC["log"], 1, CHANGED),
            of_log(NEW_PUBLIC, CHANGED + 1, None),
        ],
        "number": 1,
        "origin": ORIGIN,
        "root": root([leaf(record) for record in written]).hex(),
        "root_version": 1,
        "size": len(written),
        "threshold": 2,
    }
    names = sorted(TWO, key=lambda name: KEY_ID[name])
    signed = [{"key": KEY_ID[n], "signature": sign(n, canonical(rest))} for n in names]
    return canonical(rest | {"signatures": signed})


def vectors() -> dict[str, bytes]:
    """Return every vector by its file name."""
    written = records()
    leaves = [leaf(record) for record in written]
    return {
        "records.txt": b"".join(written),
        "leaves": "".join(f"{h.hex()}\n" for h in leaves).encode(),
        "first-head": first_head(leaves[: CHANGED + 1]).encode(),
        "keys.json": keys_file(written),
    }


if __name__ == "__main__":
    write(vectors(), Path(__file__).parent)
