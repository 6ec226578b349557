"""Write the vectors of the log: fourteen entries from fixed seeds, byte for byte.

Records, leaf hashes, root, checkpoint, proof, certificate file, card, keys file and
status list, by the separate writer that `sayings` begins. Run it in the project's root:

    python -m tests.vectors.log.make

Sources: RFC 6962 section 2.1 (tree), C2SP signed-note, tlog-checkpoint and tlog-proof,
RFC 9052 (COSE_Sign1), RFC 8949 (CBOR).
"""

import base64
import hashlib
import sys
from pathlib import Path
from typing import Any

from tests.vectors.log.sayings import (
    KEY_ID,
    KEYS,
    MODEL,
    ORIGIN,
    PEOPLE,
    PUBLIC,
    SEEDS,
    SERIAL,
    STATUS_TOKEN,
    SUBJECT,
    Json,
    canonical,
    derived,
    leaf,
    records,
    sign,
)

HOST = "skm.example"


def root(leaves: list[bytes]) -> bytes:
    """Hash a tree (RFC 6962 section 2.1)."""
    if len(leaves) == 1:
        return leaves[0]
    k = 1 << (len(leaves) - 1).bit_length() - 1
    return hashlib.sha256(b"\x01" + root(leaves[:k]) + root(leaves[k:])).digest()


def path(index: int, leaves: list[bytes]) -> list[bytes]:
    """Return the audit path of a leaf (RFC 6962 section 2.1.1)."""
    if len(leaves) == 1:
        return []
    k = 1 << (len(leaves) - 1).bit_length() - 1
    if index < k:
        return [*path(index, leaves[:k]), root(leaves[k:])]
    return [*path(index - k, leaves[k:]), root(leaves[:k])]


def note_key_hash() -> bytes:
    """Return the four bytes by which a note names the log's key (C2SP signed-note)."""
    return hashlib.sha256(f"{ORIGIN}\n\x01".encode() + PUBLIC["log"]).digest()[:4]


def checkpoint(leaves: list[bytes]) -> str:
    """Sign the head of the tree (C2SP tlog-checkpoint)."""
    top = base64.b64encode(root(leaves)).decode()
    text = f"{ORIGIN}\n{len(leaves)}\n{top}\n"
    signature = base64.b64encode(note_key_hash() + KEYS["log"].sign(text.encode()))
    return f"{text}\n— {ORIGIN} {signature.decode()}\n"


def proof(index: int, record: bytes | None, leaves: list[bytes]) -> str:
    """Write a proof of inclusion (C2SP tlog-proof)."""
    lines = ["c2sp.org/tlog-proof@v1"]
    if record is not None:
        lines.append(f"extra {base64.b64encode(record).decode()}")
    lines.append(f"index {index}")
    lines += [base64.b64encode(h).decode() for h in path(index, leaves)]
    return "\n".join(lines) + "\n\n" + checkpoint(leaves)


def certificate_file(record: bytes, leaves: list[bytes]) -> bytes:
    """Write what a stranger needs to check the certificate."""
    disclosed = [
        {
            "f": "person.name",
            "key": derived(f"certificate name key {who}", 32).hex(),
            "s": SUBJECT[who],
            "v": PEOPLE[who],
        }
        for who in ("lead", "office")
    ]
    return canonical(
        {
            "disclosed": disclosed,
            "format": "flitchbook-certificate/1",
            "proof": proof(10, None, leaves),
            "record": record.decode(),
            "status_token": STATUS_TOKEN.hex(),
        }
    )


def cbor(value: Any) -> bytes:
    """Encode the few types that a card holds (RFC 8949, deterministic)."""
    if isinstance(value, int):
        return head(0, value) if value >= 0 else head(1, -1 - value)
    if isinstance(value, bytes):
        return head(2, len(value)) + value
    if isinstance(value, str):
        return head(3, len(value.encode())) + value.encode()
    if isinstance(value, list):
        return head(4, len(value)) + b"".join(cbor(item) for item in value)
    pairs = (cbor(k) + cbor(v) for k, v in sorted(value.items()))
    return head(5, len(value)) + b"".join(pairs)


def head(major: int, number: int) -> bytes:
    """Encode the first bytes of a CBOR item."""
    if number < 24:
        return bytes([major << 5 | number])
    for extra, width in enumerate((1, 2, 4, 8)):
        if number < 1 << 8 * width:
            return bytes([major << 5 | 24 + extra]) + number.to_bytes(width, "big")
    raise ValueError(number)


def card(record: bytes) -> str:
    """Write the text of the owner card's symbol."""
    claims = {
        0: 1,
        1: SERIAL,
        2: 20778,  # 2026-11-21 in days since 1970-01-01
        3: "C-2026-00001",
        4: MODEL,
        5: [["Picea abies", 191]],
        6: 1986,
        7: 2,
        8: 10,
        9: leaf(record),
        10: STATUS_TOKEN,
    }
    protected = cbor({1: -19, 4: bytes.fromhex(KEY_ID["card"])})
    payload = cbor(claims)
    signed = KEYS["card"].sign(cbor(["Signature1", protected, b"", payload]))
    return f"https://{HOST}/v#" + digits(cbor([protected, {}, payload, signed]))


def digits(data: bytes) -> str:
    """Write bytes as decimal digits: seven bytes in seventeen."""
    width = {1: 3, 2: 5, 3: 8, 4: 10, 5: 13, 6: 15, 7: 17}
    groups = [data[i : i + 7] for i in range(0, len(data), 7)]
    return "".join(str(int.from_bytes(g, "big")).zfill(width[len(g)]) for g in groups)


def known(
    name: str, purpose: str, since: int, until: int | None, who: str = ""
) -> Json:
    """Say what the keys file says of one key."""
    held = {"lead": ("lead", 4), "office": ("key-administrator", 5)}
    roles = []
    if who:
        title, granted = held[who]
        roles = [{"from_index": granted, "role": title, "until_index": None}]
    return {
        "disputed_since": None,
        "from_index": since,
        "key": KEY_ID[name],
        "public": PUBLIC[name].hex(),
        "purpose": purpose,
        "roles": roles,
        "subject": SUBJECT[who] if who else None,
        "until_index": until,
    }


def keys_file(written: list[bytes], leaves: list[bytes]) -> bytes:
    """Publish the shop's keys, signed by its roots."""
    vkey = base64.b64encode(b"\x01" + PUBLIC["log"]).decode()
    rest = {
        "date": "2026-11-24",
        "format": "flitchbook-keys/1",
        "keys": [
            known("root-1", "root", 0, None),
            known("root-2", "root", 0, None),
            known("root-3", "root", 0, 8),
            known("lead", "person", 2, 11, "lead"),
            known("office", "person", 3, 12, "office"),
            known("card", "card", 6, None),
            known("root-4", "root", 9, None),
            known("lead-new", "person", 12, None, "lead"),
        ],
        "lineage": [written[0].decode(), written[8].decode()],
        "log": [
            {
                "from_size": 1,
                "until_size": None,
                "vkey": f"{ORIGIN}+{note_key_hash().hex()}+{vkey}",
            }
        ],
        "number": 1,
        "origin": ORIGIN,
        "root": root(leaves).hex(),
        "root_version": 2,
        "size": len(leaves),
        "threshold": 2,
    }
    names = sorted(("root-1", "root-4"), key=lambda name: KEY_ID[name])
    signed = [{"key": KEY_ID[n], "signature": sign(n, canonical(rest))} for n in names]
    return canonical(rest | {"signatures": signed})


def status_list(written: list[bytes]) -> bytes:
    """Say of the one certificate that a newer one is there, and that it is reported."""
    token = hashlib.sha256(STATUS_TOKEN).hexdigest()[:32]
    rows = [
        {"states": ["reported", "superseded"], "token": token},
        {"states": ["withdrawn"], "token": "ff" * 16},
    ]
    rest = {
        "certificates": sorted(rows, key=lambda row: str(row["token"])),
        "format": "flitchbook-status/1",
        "issued": "2026-11-25",
        "key": KEY_ID["card"],
        "next": "2026-12-25",
        "number": 2,
        "origin": ORIGIN,
        "size": len(written),
    }
    return canonical(rest | {"signature": sign("card", canonical(rest))})


def vectors() -> dict[str, bytes]:
    """Return every vector by its file name."""
    written = records()
    leaves = [leaf(record) for record in written]
    return {
        "seeds": "".join(f"{n} {s.hex()}\n" for n, s in SEEDS.items()).encode(),
        "records.txt": b"".join(written),
        "leaves": "".join(f"{h.hex()}\n" for h in leaves).encode(),
        "root": root(leaves).hex().encode() + b"\n",
        "checkpoint": checkpoint(leaves).encode(),
        "certificate.tlog-proof": proof(10, written[10], leaves).encode(),
        "certificate.json": certificate_file(written[10], leaves),
        "card.txt": card(written[10]).encode(),
        "keys.json": keys_file(written, leaves),
        "status.json": status_list(written),
    }


def write(made: dict[str, bytes], beside: Path) -> None:
    """Write vectors into a folder, or into the one that is named."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else beside
    for name, data in made.items():
        (folder / name).write_bytes(data)


if __name__ == "__main__":
    write(vectors(), Path(__file__).parent)
