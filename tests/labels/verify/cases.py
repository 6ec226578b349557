"""One input for both readers, and the shops from which most inputs are made."""

from dataclasses import dataclass
from functools import cache

from ledger.check import CANNOT_TELL, MARKER, NO, YES
from tests.labels.verify.houses import Plan, Sale, founded, sold

ANY = frozenset({YES, NO, CANNOT_TELL})
NEVER_YES = frozenset({NO, CANNOT_TELL})


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What is given to both readers, and the words that its making allows."""

    what: str
    data: bytes
    keys: bytes | None
    allowed: frozenset[str] = ANY


def only(word: str) -> frozenset[str]:
    """Allow one word."""
    return frozenset({word})


PLANS = (
    Plan(label="one root"),
    Plan(label="one of two", roots=2),
    Plan(label="two of two", roots=2, threshold=2),
    Plan(label="two of three", roots=3, threshold=2),
    Plan(label="four of seven", roots=7, threshold=4),
    Plan(label="a change", changes=1),
    Plan(label="two changes", roots=3, threshold=2, changes=2),
    Plan(label="five changes", roots=3, threshold=3, changes=5, index=12),
    Plan(label="a new key", roots=3, threshold=2, is_replaced=True),
    Plan(label="a domain", domain="skerrymoor.example/log"),
    Plan(label="a Japanese domain", domain="日本.example/台帳", roots=2, threshold=2),
    Plan(label="a mark in the origin", domain="skerry\ufeffmoor.example"),
    Plan(label="a snail in the origin", domain="\U0001f40c.example/\u200b"),
    Plan(label="a Japanese name", name="夜凪弦楽器製作所"),
    Plan(label="a long name", name="Skerrymoor " * 400),
    Plan(label="right after", index=5, head=6, size=6),
    Plan(label="the newest of all", index=255, head=256, size=256),
    Plan(label="behind a full tree", index=256, head=257, size=257),
    Plan(label="an older head", index=70_000, head=131_072, size=131_073),
    Plan(label="a newer head", index=70_000, head=200_000, size=70_001),
    Plan(label="past 2^31", index=2**31, head=2**31 + 5, size=2**32 + 1),
    Plan(label="past 2^32", index=2**32, head=2**33 + 1, size=2**33),
    Plan(label="past 2^40", index=2**40 + 3, head=2**41 - 1, size=2**41 - 1),
    Plan(label="near 2^53", index=2**53 - 3, head=2**53 - 2, size=2**53 - 1),
    Plan(label="the largest", index=2**53 - 2, head=2**53 - 1, size=2**53 - 1),
)
# The shops whose papers are damaged and forged: two of three, and one alone.
SHOP = next(plan for plan in PLANS if plan.label == "two changes")
ALONE = PLANS[0]
DOMAIN = next(plan for plan in PLANS if plan.label == "a domain")


@cache
def sale(plan: Plan = SHOP, label: str = "") -> Sale:
    """Return a shop's certificate, its words by the label; made once."""
    return sold(founded(plan), f"{plan.label} {label}")


@cache
def full_sale() -> Sale:
    """Return a certificate of the shop that uses the most of what there may be."""
    made = [sale(SHOP, f"full {n}") for n in range(60)]
    return max(made, key=lambda one: (one.data.count(b'":'), len(one.disclosed)))


def stranger() -> Sale:
    """Return the papers of a stranger's shop of the same name."""
    return sale(Plan(label="a stranger", roots=3, threshold=2, changes=2))


def pdf_around(
    data: bytes, *, before: bytes = b"", line: bytes = b"\n", more: bytes = b""
) -> bytes:
    """Return a page that holds a file behind its marker."""
    head = b"%PDF-1.7\n" + before + b"2 0 obj\n<</Type/EmbeddedFile"
    length = b" true/Length %d" % len(data)
    stream = b">>" + line + b"stream" + line + data + line + b"endstream\nendobj\n"
    return head + MARKER + length + stream + more
