"""Say the fourteen entries of the log's vectors, from fixed seeds.

This is a second, separate writer of the formats. It imports nothing of the ledger,
only hashes, JSON, base64 and Ed25519, so that an agreement of the two means something.

Sources: RFC 8785 (canonical bytes, here within the profile where the standard
library's json gives the same), RFC 8032 (Ed25519), RFC 6962 section 2.1 (leaf hash),
RFC 2104 (HMAC).
"""

import base64
import hashlib
import hmac
import json
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

Json = dict[str, Any]

NAMES = ("root-1", "root-2", "root-3", "root-4", "log", "lead", "lead-new", "office")
SEEDS = {
    name: hashlib.sha256(f"flitchbook vector seed: {name}".encode()).digest()
    for name in (*NAMES, "card")
}
KEYS = {name: Ed25519PrivateKey.from_private_bytes(s) for name, s in SEEDS.items()}
PUBLIC = {name: key.public_key().public_bytes_raw() for name, key in KEYS.items()}
KEY_ID = {name: hashlib.sha256(raw).hexdigest()[:16] for name, raw in PUBLIC.items()}
FIRST_ROOTS = ("root-1", "root-2", "root-3")
NEXT_ROOTS = ("root-1", "root-2", "root-4")
SERIAL = "26-0001-8"
MODEL = "Tidewarden"
PEOPLE = {"lead": "Oluwaseun Adeyemi-Brandt", "office": "Rukmini Desai"}


def derived(label: str, size: int) -> bytes:
    """Stand in for chance: bytes that are fixed by their label."""
    return hashlib.sha256(f"flitchbook vector: {label}".encode()).digest()[:size]


SUBJECT = {who: derived(f"subject {who}", 16).hex() for who in PEOPLE}
SAWYER = derived("subject sawyer", 16).hex()
STATUS_TOKEN = derived("status token", 16)
TRANSFER_CODE = derived("transfer code", 16)
ORIGIN = (
    "ledger-"
    + hashlib.sha256(b"".join(sorted(PUBLIC[r] for r in FIRST_ROOTS))).hexdigest()[:16]
)


def canonical(value: Any) -> bytes:
    """Return RFC 8785 bytes; the profile has no floats and only ASCII names."""
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return text.encode()


def sign(name: str, message: bytes) -> str:
    """Return the base64 of an Ed25519 signature."""
    return base64.b64encode(KEYS[name].sign(message)).decode()


def possession(name: str, purpose: str) -> Json:
    """Show that whoever enrols a key holds it."""
    statement = {
        "format": "flitchbook-possession/1",
        "origin": ORIGIN,
        "public": PUBLIC[name].hex(),
        "purpose": purpose,
    }
    return {
        "public": PUBLIC[name].hex(),
        "possession": sign(name, canonical(statement)),
    }


def approved(event: Json, by: tuple[str, ...], root_version: int) -> Json:
    """Add the approvals of several keys to an event."""
    once = derived(f"once {event['kind']} {event.get('subject', '')}", 16).hex()
    statement = canonical(
        {
            "event": event,
            "format": "flitchbook-approval/1",
            "once": once,
            "origin": ORIGIN,
            "root_version": root_version,
        }
    )
    names = sorted(by, key=lambda name: KEY_ID[name])
    said = [{"key": KEY_ID[n], "signature": sign(n, statement)} for n in names]
    return event | {
        "approvals": {"by": said, "once": once, "root_version": root_version}
    }


def commitment(field: str, subject: str, value: str, key: bytes) -> str:
    """Commit to a value that stays outside the log."""
    message = canonical({"f": field, "s": subject, "v": value})
    return hmac.new(key, message, hashlib.sha256).hexdigest()


def founding() -> Json:
    """Found the shop: three roots, two of which decide from then on."""
    event = {
        "kind": "shop.founded/1",
        "log": possession("log", "log"),
        "name": "Skerrymoor Fretted Instruments",
        "origin": ORIGIN,
        "roots": [possession(name, "root") for name in FIRST_ROOTS],
        "threshold": 2,
        "unicode": "15.0.0",
    }
    return approved(event, FIRST_ROOTS, 1)


def enrolment(who: str, badge: str) -> Json:
    """Enrol a person by badge, key and a commitment to the name."""
    key = derived(f"name key {who}", 32)
    event = possession(who, "person") | {
        "badge": badge,
        "kind": "person.enrolled/1",
        "name_commitment": commitment("person.name", SUBJECT[who], PEOPLE[who], key),
        "subject": SUBJECT[who],
    }
    return approved(event, ("root-1", "root-2"), 1)


def role(who: str, name: str) -> Json:
    """Grant a role."""
    event = {"kind": "role.granted/1", "role": name, "subject": SUBJECT[who]}
    return approved(event, ("root-2", "root-3"), 1)


def policy() -> Json:
    """Adopt a signing policy."""
    rule = {
        "any_of": [{"role": "lead"}, {"qualification": "receive"}],
        "approvals": 0,
        "kinds": ["lot.*", "board.*"],
    }
    text = {"format": "flitchbook-policy/1", "id": "the-loft", "version": 1}
    return {"kind": "policy.adopted/1", "policy": text | {"rules": [rule]}}


def root_change() -> Json:
    """Replace the third root by a fourth."""
    event = {
        "kind": "root.changed/1",
        "roots": [possession(name, "root") for name in NEXT_ROOTS],
        "threshold": 2,
        "version": 2,
    }
    return approved(event, ("root-1", "root-2"), 1)


def lot() -> Json:
    """Receive a lot of spruce."""
    return {
        "boards": 24,
        "documents": [],
        "form": "sawn",
        "harvested_in": "IT",
        "kind": "lot.received/1",
        "lot": "L26-004",
        "received_on": "2026-01-05",
        "species": "Picea abies",
        "supplier": SAWYER,
    }


def maker(who: str, badge: str, work: str) -> Json:
    """Name a maker by badge and a fresh commitment."""
    key = derived(f"certificate name key {who}", 32)
    return {
        "badge": badge,
        "name_commitment": commitment("person.name", SUBJECT[who], PEOPLE[who], key),
        "subject": SUBJECT[who],
        "work": work,
    }


def certificate() -> Json:
    """Issue the owner's certificate."""
    top = {
        "board": "L26-004-11",
        "harvested_in": "IT",
        "lot": "L26-004",
        "mass_mg": 190_500,
        "part": "top",
        "received_on": "2026-01-05",
        "species": "Picea abies",
    }
    return {
        "issued_on": "2026-11-21",
        "kind": "certificate.issued/1",
        "makers": [
            maker("lead", "01", "voice; approved"),
            maker("office", "12", "papers"),
        ],
        "mass_mg": 1_986_000,
        "materials": [top],
        "measures": [{"length_um": 180, "what": "relief"}],
        "model": MODEL,
        "number": "C-2026-00001",
        "photographs": [],
        "serial": SERIAL,
        "status_token_sha256": hashlib.sha256(STATUS_TOKEN).hexdigest(),
        "transfer_sha256": hashlib.sha256(TRANSFER_CODE).hexdigest(),
    }


def replacement() -> Json:
    """Give the lead a new key; a role is held, so the roots decide."""
    event = possession("lead-new", "person") | {
        "kind": "person.key-replaced/1",
        "subject": SUBJECT["lead"],
    }
    return approved(event, ("root-1", "root-4"), 2)


def erasure() -> Json:
    """Erase the office's name; a role is held, so the roots decide."""
    event = {"kind": "person.erased/1", "subject": SUBJECT["office"]}
    return approved(event, ("root-2", "root-4"), 2)


def sayings() -> list[tuple[str, str, Json]]:
    """Return signer, time and event of each of the fourteen entries."""
    retirement = {"key": KEY_ID["office"], "kind": "key.retired/1"}
    qualification = {
        "kind": "qualification.granted/1",
        "qualification": "receive",
        "subject": SUBJECT["office"],
    }
    card = possession("card", "card") | {"kind": "key.enrolled/1", "purpose": "card"}
    return [
        ("root-1", "2026-01-02T08:00:00Z", founding()),
        ("root-1", "2026-01-02T08:01:00Z", enrolment("lead", "01")),
        ("root-1", "2026-01-02T08:02:00Z", enrolment("office", "12")),
        ("root-1", "2026-01-02T08:03:00Z", role("lead", "lead")),
        ("root-1", "2026-01-02T08:04:00Z", role("office", "key-administrator")),
        ("lead", "2026-01-02T08:05:00Z", approved(card, ("root-1", "root-3"), 1)),
        ("lead", "2026-01-02T08:06:00Z", policy()),
        ("lead", "2026-01-02T08:07:00Z", qualification),
        ("lead", "2026-01-04T09:00:00Z", root_change()),
        ("office", "2026-01-05T09:30:00Z", lot()),
        ("lead", "2026-11-21T15:40:00Z", certificate()),
        ("office", "2026-11-23T08:00:00Z", replacement()),
        ("office", "2026-11-23T16:00:00Z", retirement),
        ("lead-new", "2026-11-24T08:00:00Z", erasure()),
    ]


def records() -> list[bytes]:
    """Return the fourteen records: entry, LF, signature, LF."""
    out: list[bytes] = []
    previous = "0" * 64
    for index, (who, at, event) in enumerate(sayings()):
        out.append(record(index, previous, who, at, event))
        previous = leaf(out[-1]).hex()
    return out


def record(index: int, previous: str, who: str, at: str, event: Json) -> bytes:
    """Write one record: an entry on a line, its signature on the next."""
    entry = canonical(
        {
            "at": at,
            "event": event,
            "format": "flitchbook-entry/1",
            "index": index,
            "key": KEY_ID[who],
            "origin": ORIGIN,
            "previous": previous,
        }
    )
    return entry + b"\n" + sign(who, entry).encode() + b"\n"


def leaf(record: bytes) -> bytes:
    """Hash a leaf (RFC 6962 section 2.1)."""
    return hashlib.sha256(b"\x00" + record).digest()
