"""Where things came from and what became of them, for programs that are not ours.

The log is read once, told as W3C PROV, and what was asked about is cut out of it. No
name of a person leaves the shop by it, and a sawyer is shown as the certificate may
show the sawyer. The same log and the same question give the same bytes.
"""

from collections.abc import Collection
from uuid import NAMESPACE_URL, uuid5

from sqlmodel import Session, SQLModel, select

from ledger.acts.provenance.graph import Graph, local, named, typed
from ledger.acts.provenance.kinds import TOLD
from ledger.acts.provenance.telling import Hand, Telling
from ledger.acts.shop import Shop
from ledger.acts.suppliers import SUPPLIER_NAME
from ledger.errors import NotFoundError
from ledger.log.entry import parse_record
from ledger.views.boards import boards_named
from ledger.views.builds import Build
from ledger.views.corrections import Correction
from ledger.views.materials import Material
from ledger.views.people import Person, PersonKey
from ledger.views.wood import Document, Lot, Supplier, suppliers

KINDS: dict[type[SQLModel], str] = {
    Build: "serial",
    Lot: "lot",
    Document: "document",
    Material: "batch",
}


def provenance(shop: Shop, codes: Collection[str] = ()) -> Graph:
    """Return the graph of some things, or of the whole log where none is named.

    codes  serials, boards, lots, documents or batches, as recorded

    Raises NotFoundError for a code that is none of these.
    """
    with shop.store.reading() as session:
        telling = Telling(
            graph=Graph(base=base_of(shop.standing().first_origin)),
            hands=_hands(session),
            sawyers=_sawyers(shop, session),
            told=TOLD,
            struck={row.struck: row.idx for row in session.exec(select(Correction))},
        )
        wanted = [name for code in codes for name in _wanted(session, code)]
    for _, record, leaf in shop.store.rows():
        telling.tell(parse_record(record).entry, leaf)
    return telling.graph.about(wanted) if codes else telling.graph


def base_of(origin: str) -> str:
    """Return what the names of a log's things begin with, as an address or a URN.

    Source: RFC 9562 section 5.5 (names of a namespace), RFC 8141 (fragments of a URN).
    """
    if "." in origin.partition("/")[0]:
        return f"https://{origin}#"
    return f"urn:uuid:{uuid5(NAMESPACE_URL, origin)}#"


def _wanted(session: Session, code: str) -> list[str]:
    """Return the names of what a code is of; a set is its halves."""
    for view, kind in KINDS.items():
        if session.get(view, code) is not None:
            return [local(kind, code)]
    boards = boards_named(session, code)
    if not boards:
        raise NotFoundError(f"there is no {code}: it was never recorded")
    return [local("board", board.code) for board in boards]


def _hands(session: Session) -> dict[str, Hand]:
    badges = {person.subject: person.badge for person in session.exec(select(Person))}
    return {
        row.key: Hand(
            name=local("badge", badges[row.subject]),
            attributes=typed("prov:Person") | {named("badge"): badges[row.subject]},
        )
        for row in session.exec(select(PersonKey))
    }


def _sawyers(shop: Shop, session: Session) -> dict[str, Hand]:
    return {row.subject: _sawyer(shop, row) for row in suppliers(session)}


def _sawyer(shop: Shop, row: Supplier) -> Hand:
    """Return a sawyer as far as the name or the region may be shown."""
    about = typed("prov:Agent", "Supplier") | {named("shown"): row.shown}
    if row.shown in ("by-name", "by-region") and row.region is not None:
        about[named("region")] = row.region
    opening = shop.vault.get(row.subject, SUPPLIER_NAME)
    if row.shown == "by-name" and opening is not None:
        about[named("name")] = opening.value
    return Hand(name=local("supplier", row.idx), attributes=about)
