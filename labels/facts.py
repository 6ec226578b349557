"""What an owner certificate shows, as plain values ready to print."""

from dataclasses import dataclass
from typing import NamedTuple

MOST_MEASURES = 6


class Maker(NamedTuple):
    """A person at the bench; an erased name is None and the badge stands for it."""

    badge: str
    name: str | None
    work: str


class Material(NamedTuple):
    """A part and the tree it came from; months in the racks, finished mass in grams."""

    part: str
    species: str
    trade_name: str
    sawyer: str
    place_of_growth: str
    board: str
    months: int
    grams: int


class Measure(NamedTuple):
    """A number taken on the finished instrument, with its unit beside it."""

    label: str
    value: str
    unit: str


class Remark(NamedTuple):
    """Something that changed the instrument, or a trip it made; date is YYYY-MM-DD."""

    date: str
    entry: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnerCertificate:
    """Everything the certificate's pages show.

    Dates are YYYY-MM-DD. entry is the entry of the certificate; as_of and as_of_entry
    say how far the workshop's record was read. leaf is the hash of the certificate's
    entry, which its ornaments are drawn from, and root that of the checkpoint. entries,
    steps and signers are counts.
    """

    shop: str
    place: str
    model: str
    kind: str
    run: str
    serial: str
    number: str
    makers: tuple[Maker, ...]
    materials: tuple[Material, ...]
    measures: tuple[Measure, ...]
    signer_badge: str
    signer_name: str | None
    signer_rank: str
    issued: str
    entry: int
    leaf: bytes
    key_id: str
    card_text: str
    as_of: str
    as_of_entry: int
    checkpoint_note: str
    root: bytes
    ten_words: tuple[str, ...]
    entries: int
    steps: int
    signers: int
    remarks: tuple[Remark, ...] = ()


def shown_name(name: str | None, badge: str) -> str:
    """Return a person's name, or the badge where the name was erased."""
    return name or f"badge {badge}"
