"""What a copy or an export holds, said in plain words beside it.

Whoever finds a stick ten years on reads there what lies on it, and whoever has to
forget somebody reads that an erasure does not reach it.
"""

from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path

from sqlmodel import col, select

from ledger.acts.certificates import STATUS_TOKEN, TRANSFER_CODE
from ledger.acts.copying import names_in
from ledger.acts.layout import ATTACHMENTS, KEYS, LEDGER
from ledger.acts.names import REASON
from ledger.acts.owners import OWNER_NAME
from ledger.acts.people import PERSON_NAME
from ledger.acts.shop import Shop
from ledger.acts.signing import LOG_KEY
from ledger.acts.slips import SLIP_CODE
from ledger.acts.suppliers import SUPPLIER_NAME
from ledger.acts.thefts import CLAIMANT_NAME
from ledger.log.attachments import digests
from ledger.log.entry import at_text
from ledger.log.sealedfile import SEALED as SEALED_NAME
from ledger.log.store import Store
from ledger.log.vaultcopy import values_kept
from ledger.views import fold
from ledger.views.filed import pictures_of_erased
from ledger.views.people import ErasedSubject

HOLDS = "HOLDS.txt"
CLEAR, SEALED, ABSENT = "in the clear", "sealed under a pass-phrase", "not here"
# One and several, as a person says it.
WORDS = {
    PERSON_NAME: ("name of 1 person", "names of {count} people"),
    SUPPLIER_NAME: ("name of 1 supplier", "names of {count} suppliers"),
    OWNER_NAME: ("name of 1 owner", "names of {count} owners"),
    CLAIMANT_NAME: ("name of 1 claimant", "names of {count} claimants"),
    STATUS_TOKEN: (
        "status token of 1 certificate",
        "status tokens of {count} certificates",
    ),
    TRANSFER_CODE: (
        "transfer code of 1 certificate",
        "transfer codes of {count} certificates",
    ),
    SLIP_CODE: ("code of 1 later slip", "codes of {count} later slips"),
    REASON: ("reasons that 1 person gave", "reasons that {count} people gave"),
}
EXPORT = "export"
TOLD_ANYHOW = (
    "The record itself (records.txt) tells by serial which instruments were reported",
    "stolen, and which transfer slips were lost or used: give it with care.",
)
OTHER = ("{name} of 1", "{name} of {count}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Holdings:
    """What lies in a copy or an export.

    values    for each field of the vault of how many it is kept, and how many of
              those are sealed for the office's keys
    pictures  photographs that are left out, for they may show somebody who was erased
    has_log_key  whether the log's key lies in it in the clear
    erasures  the entries that erased somebody, None where nobody could read them
    """

    what: str
    made: str
    origin: str
    size: int
    root: str
    vault: str
    values: dict[str, tuple[int, int]] = field(default_factory=dict)
    papers: int = 0
    personal: int = 0
    pictures: int = 0
    keys: int = 0
    has_log_key: bool = False
    erasures: tuple[int, ...] | None = None

    @property
    def is_personal(self) -> bool:
        """Tell whether an erasure would have to reach it."""
        return self.vault != ABSENT


def holdings_of(shop: Shop, copy: Path, *, is_sealed: bool) -> Holdings:
    """Look at what a new copy of a shop holds."""
    store = Store.open(f"sqlite:///{copy / LEDGER}", for_audit=True)
    head = store.head()
    store.close()
    return holdings(
        shop,
        copy,
        what="backup",
        size=head.size,
        root=head.root,
        vault=SEALED if is_sealed else CLEAR,
    )


def holdings(
    shop: Shop, folder: Path, *, what: str, size: int, root: bytes, vault: str
) -> Holdings:
    """Look at what lies in a folder that was made of a shop's first entries."""
    names = names_in(folder / ATTACHMENTS)
    papers = {name.removesuffix(SEALED_NAME) for name in names}
    personal = papers & shop.vault.salted()
    keys = names_in(folder / KEYS) if (folder / KEYS).is_dir() else ()
    return Holdings(
        what=what,
        made=at_text(shop.now()),
        origin=shop.standing().origin or "",
        size=size,
        root=root.hex(),
        vault=vault,
        values={} if vault == ABSENT else _values(shop),
        papers=len(papers) - len(personal),
        personal=len(personal),
        pictures=_pictures_left_out(shop, papers) if vault == ABSENT else 0,
        keys=sum(name.removesuffix(SEALED_NAME).endswith(".json") for name in keys),
        has_log_key=LOG_KEY in keys,
        erasures=_erasures(shop, size),
    )


def holds_words(held: Holdings) -> str:
    """Say in one line whose names a copy holds, and how they lie there."""
    if not held.is_personal:
        return "It holds no name that the vault keeps, and no paper with personal data."
    names = [_words(name, counts) for name, counts in held.values.items()]
    papers = f"{held.personal} papers with personal data"
    told = ", ".join([*names, *([papers] if held.personal else [])])
    return f"It holds {told or 'no name yet'}: {held.vault}."


def holds_text(held: Holdings) -> str:
    """Return the text that lies beside a copy or an export."""
    return "\n".join(_lines(held)) + "\n"


def _values(shop: Shop) -> dict[str, tuple[int, int]]:
    """Return whose values are kept, names before all else."""
    kept = values_kept(shop.vault)
    order = [*WORDS, *kept]
    return dict(sorted(kept.items(), key=lambda row: order.index(row[0])))


def _lines(held: Holdings) -> list[str]:
    lines = [
        f"What this {held.what} holds",
        "",
        f"made        {held.made}",
        f"log         {held.origin}",
        f"entries     {held.size}, root {held.root}",
        f"vault       {held.vault}",
    ]
    for name, counts in held.values.items():
        office = ", sealed for the office's keys" if counts[1] else ""
        lines.append(f"            {_words(name, counts)}{office}")
    lines.append(f"papers      {held.papers} without personal data")
    if held.personal:
        lines.append(f"            {held.personal} with personal data, {held.vault}")
    if held.pictures:
        lines += [
            f"            {held.pictures} not here: photographs that somebody signed",
            "            for whose name was erased; they may show that person",
        ]
    if held.keys:
        how = held.vault if held.vault == SEALED else "each as in the shop"
        lines.append(f"key files   {held.keys}, {how}")
    lines.append(f"erasures    {_erasure_words(held.erasures)}")
    return [*lines, "", *_warnings(held)]


def _warnings(held: Holdings) -> list[str]:
    if not held.is_personal:
        return [
            "Whoever has it can read the whole record, and no name out of it.",
            *TOLD_ANYHOW,
        ]
    lines = [
        "An erasure in the shop does not reach it: who is erased there after it was",
        f"made is still in here. Destroy this {held.what} then, and make a new one.",
    ]
    if held.vault == SEALED:
        lines += [
            "Without its pass-phrase nobody opens the sealed files again, the shop",
            "neither: keep it apart from this folder.",
        ]
        if held.what == EXPORT:
            lines += TOLD_ANYHOW
    elif held.keys:
        lines += [
            "The key files of its people lie under PINs, and a short PIN keeps nobody",
            "out for long: keep it locked up, or make sealed ones (--seal-vault).",
        ]
    if held.has_log_key:
        lines += [
            f"The log's own key lies open in it ({KEYS}/{LOG_KEY}): whoever has this",
            f"{held.what} can sign heads of the log. Seal what leaves the house.",
        ]
    return lines


def _pictures_left_out(shop: Shop, papers: Collection[str]) -> int:
    """Count what the shop has on file and a copy has not, by an erased name."""
    with shop.store.reading() as session:
        kept_back = pictures_of_erased(session, shop.store.record)
    return len(kept_back & set(digests(shop.attachments)) - set(papers))


def _words(name: str, counts: tuple[int, int]) -> str:
    count = sum(counts)
    one, many = WORDS.get(name, OTHER)
    return (one if count == 1 else many).format(name=name, count=count)


def _erasure_words(erasures: Collection[int] | None) -> str:
    if erasures is None:
        return "not counted: what is shown was folded by another version"
    if not erasures:
        return "none so far"
    entries = ", ".join(map(str, sorted(erasures)))
    return f"{len(erasures)}, by entry {entries}; what they erased is not in it"


def _erasures(shop: Shop, size: int) -> tuple[int, ...] | None:
    with shop.store.reading() as session:
        if not fold.has_columns_of_today(session):
            return None
        asked = select(ErasedSubject.idx).where(col(ErasedSubject.idx) < size)
        return tuple(sorted(session.exec(asked).all()))
