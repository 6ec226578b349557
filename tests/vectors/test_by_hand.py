"""A log checked by hand: all that is needed is a hash, JSON, base64 and Ed25519."""

import base64
import hashlib
import json
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

HERE = Path(__file__).parent


def root_by_hand(path: Path) -> tuple[int, str]:
    """Check the chain and every signature of a records file; return size and root."""
    lines = path.read_bytes().split(b"\n")
    publics: dict[str, bytes] = {}
    previous, hashes = "0" * 64, []
    for index, (entry, signature) in enumerate(
        zip(lines[:-1:2], lines[1::2], strict=True)
    ):
        said = json.loads(entry)
        if (said["index"], said["previous"]) != (index, previous):
            raise ValueError(f"entry {index} does not follow the one before")
        for shown in [said["event"], *said["event"].get("roots", [])]:
            if "public" in shown:
                raw = bytes.fromhex(shown["public"])
                publics[hashlib.sha256(raw).hexdigest()[:16]] = raw
        key = Ed25519PublicKey.from_public_bytes(publics[said["key"]])
        key.verify(base64.b64decode(signature), entry)
        leaf = hashlib.sha256(b"\x00" + entry + b"\n" + signature + b"\n").digest()
        previous = leaf.hex()
        hashes.append(leaf)
    size = len(hashes)
    while len(hashes) > 1:
        row = [
            hashlib.sha256(b"\x01" + left + right).digest()
            for left, right in zip(hashes[::2], hashes[1::2], strict=False)
        ]
        hashes = row + hashes[len(row) * 2 :]
    return size, hashes[0].hex()


def test_the_vectors_root_is_found_by_hand() -> None:
    """Fourteen records chain, verify, and hash to the root that is written down."""
    size, root = root_by_hand(HERE / "log/records.txt")

    assert (size, root) == (14, (HERE / "log/root").read_text().strip())
