"""What an owner certificate shows, as plain values ready to print."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from labels.emblem import Emblem
from labels.evidence_facts import Evidence
from labels.figure import FigureFacts, PartWood, has_figure
from labels.hatches import Hatch, hatches_for
from labels.tongue import Tongue, tongue

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
    steps and signers are counts. language is of the paper, and changes none of them.
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
    emblem: Emblem | None = None
    language: str = "en"
    evidence: Evidence | None = None


def figure_of(kind: str, woods: Iterable[tuple[str, str]]) -> FigureFacts | None:
    """Return the figure of a kind, part by part, or None where it has no outline.

    woods are parts with their species; a part that was glued of several has several.
    """
    if not has_figure(kind):
        return None
    parts: dict[str, list[str]] = {}
    for part, species in woods:
        parts.setdefault(part, []).append(species)
    made = (PartWood(part, tuple(names)) for part, names in parts.items())
    return FigureFacts(kind=kind, parts=tuple(made))


def hatches_of(certificate: OwnerCertificate) -> Mapping[str, Hatch]:
    """Return the hatch of each wood, the same in the figure and beside the rows."""
    return hatches_for(row.species for row in certificate.materials)


def shown_name(name: str | None, badge: str, say: Tongue | None = None) -> str:
    """Return a person's name, or the badge where the name was erased."""
    say = say or tongue("en")
    return name or say("badge {badge}").format(badge=badge)
