"""What certificates say, by chance, and how what is said is written down."""

import base64
import hmac
import json
from collections.abc import Sequence
from hashlib import sha256
from typing import Any

from ledger.craft.measured import UNITS
from tests.conftest import entropy_from

Json = dict[str, Any]


class Chance:
    """Choices that look random and are the same in every run."""

    def __init__(self, label: str) -> None:
        """Begin at the start of the label's own row of choices."""
        self.bytes = entropy_from(label)

    def below(self, end: int) -> int:
        """Return a number from nought to one below the end."""
        return int.from_bytes(self.bytes(7), "big") % end

    def pick(self, options: Sequence[Any]) -> Any:
        """Return one of the options."""
        return options[self.below(len(options))]


def loosely(value: object) -> bytes:
    """Write a value as canonical bytes are written, whether or not it may be."""
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return text.encode("utf-8", "surrogatepass")


def b64(data: bytes) -> str:
    """Write bytes in base64."""
    return base64.b64encode(data).decode("ascii")


def disclosure(field_: str, subject: str, value: str, key: bytes) -> tuple[str, Json]:
    """Return a commitment, and the disclosure that opens it."""
    said = loosely({"f": field_, "s": subject, "v": value})
    opened = {"f": field_, "key": key.hex(), "s": subject, "v": value}
    return hmac.new(key, said, sha256).hexdigest(), opened


WORDS = (
    "Tidewarden",
    "潮守 六弦琴",
    "Größe 42 ½",
    "Zoe\u0301 O\u2019Connor-Smythe",
    "𝒥𝓊𝓁𝒾𝒶 \U0001f9d1\u200d\U0001f373",
    'say "no", \\ or\nperhaps / or not',
    "<script>alert(1)</script>",
    "\u2028line\u2029",
    "\ufeff\ufffe\U0010ffff",
    "שלום עליכם",
    "a very long name " * 60,
    "x",
)


WORKS = ("received, joined the top", "voice; approved", "plates\nand braces", "漆")


def certificate(label: str) -> tuple[Json, list[Json], bytes]:
    """Return a certificate's event, its disclosures and its status token, by chance."""
    chance = Chance(f"certificate {label}")
    token, disclosed = chance.bytes(16), []
    makers, materials = [], []
    for n in range(1 + chance.below(3)):
        maker: Json = {"badge": f"{n + 1:02}", "subject": chance.bytes(16).hex()}
        maker["work"] = chance.pick(WORKS)
        if chance.below(4):
            subject, name = maker["subject"], chance.pick(WORDS)
            said = disclosure("person.name", subject, name, chance.bytes(32))
            maker["name_commitment"] = said[0]
            disclosed += [said[1]] if chance.below(3) else []
        makers.append(maker)
    for part in ("top", "neck", "側板")[: 1 + chance.below(3)]:
        material, opened = _material(chance, part)
        materials.append(material)
        disclosed += opened
    event = {
        "issued_on": chance.pick(("2026-11-21", "2024-02-29", "0001-01-01")),
        "kind": "certificate.issued/1",
        "makers": makers,
        "mass_mg": chance.pick((0, 1_986_000, 2**53 - 1)),
        "materials": materials,
        "measures": list(_measures(chance)),
        "model": chance.pick(WORDS),
        "number": "C-2026-00001",
        "photographs": [chance.bytes(32).hex() for _ in range(chance.below(3))],
        "serial": "26-0001-8",
        "status_token_sha256": sha256(token).hexdigest(),
        "transfer_sha256": chance.bytes(32).hex(),
    } | _beside(chance)
    return event, disclosed, token


def _beside(chance: Chance) -> Json:
    """Return some of the members that a certificate may have or not."""
    run = {"name": chance.pick(WORDS), "number": 3, "pieces": 12}
    may = {
        "happened_at": "2026-11-20T08:00:00Z",
        "instrument": chance.pick(WORDS),
        "reason_commitment": chance.bytes(32).hex(),
        "run": run,
        "station": "the bench by the window",
    }
    return {name: value for name, value in may.items() if not chance.below(3)}


def _measures(chance: Chance) -> list[Json]:
    values = (-180, 0, 180, 2**53 - 1)
    return [
        {"what": chance.pick(WORDS), chance.pick(UNITS): chance.pick(values)}
        for _ in range(chance.below(3))
    ]


def _material(chance: Chance, part: str) -> tuple[Json, list[Json]]:
    made: Json = {
        "board": chance.pick(("L26-004-11", "L26-004-110.A", "L26-004-07.C12")),
        "lot": "L26-004",
        "mass_mg": chance.below(10**6),
        "part": part,
        "received_on": "2026-01-05",
        "species": chance.pick(("Picea abies", "Acer pseudoplatanus", "桐")),
    }
    may = {
        "evidence": chance.pick(("invoice", "diary", "witness", "none")),
        "harvested_in": chance.pick(("IT", "the Val Corda", "日本")),
        "opening": chance.pick((True, False)),
        "trade_name": chance.pick(WORDS),
    }
    made |= {name: value for name, value in may.items() if not chance.below(2)}
    if chance.below(2):
        return made, []
    sawyer: Json = {"subject": chance.bytes(16).hex()}
    opened = []
    if chance.below(3):
        name = chance.pick(WORDS)
        said = disclosure("supplier.name", sawyer["subject"], name, chance.bytes(32))
        sawyer["name_commitment"] = said[0]
        opened = [said[1]] if chance.below(3) else []
    if chance.below(2):
        sawyer["region"] = chance.pick(WORDS)
    return made | {"sawyer": sawyer}, opened
