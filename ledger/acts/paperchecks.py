"""Whether a paper is on file already, and whether one on file can be of some wood.

A permit counts once: its bytes are on file under one code, and so is its number. Only a
paper whose name left open what it is, or took it for none, is filed again under a
better one; from then on the first counts for nothing new.
"""

import re
from collections.abc import Iterator
from pathlib import Path

from sqlmodel import Session, col, or_, select

from ledger.acts.shop import Shop
from ledger.craft.fitting import is_of
from ledger.errors import NotFoundError, RefusedError
from ledger.log import attachments
from ledger.scales import some_of
from ledger.trade.names import read_name
from ledger.trade.paperkinds import NOTE, OPEN, UNSURE, kinds_of, which_of_cites
from ledger.views.permits import permit_rows
from ledger.views.wood import UNKNOWN, Document


def require_new_paper(
    shop: Shop,
    session: Session,
    path: Path,
    *,
    paper: str,
    number: str | None,
    since: int = 0,
) -> None:
    """Refuse a paper that is on file, by its bytes or by its number as one of CITES.

    Personal ones are compared for as long as the vault has their salts. Papers that
    were filed before the entry `since` were compared before.

    Raises RefusedError with the code that it has, and how to join it.
    """
    anew = []
    for before in _same_bytes(shop, session, path, since=since):
        if not _is_better(paper, before) or permit_rows(session, before.code):
            raise RefusedError(
                f"this very file is {before.code} ({before.paper}) already, entry "
                f"{before.idx}: {_join(before)}"
            )
        anew.append(before.code)
    kind = which_of_cites(paper)
    if kind is None or number is None:
        return
    numbered = select(Document).where(
        col(Document.idx) >= since, col(Document.number_as_written).is_not(None)
    )
    for before in session.exec(numbered.order_by(col(Document.idx))):
        if (
            before.code not in anew
            and _plain_number(before.number_as_written) == _plain_number(number)
            and which_of_cites(before.paper) is kind
        ):
            raise RefusedError(
                f"{kind.with_article} of number {before.number_as_written} is on file "
                f"as {before.code}, entry {before.idx}: {_join(before)}; if this one "
                f"is of another country, write its two letters before the number"
            )


def require_current_paper(shop: Shop, session: Session, document: str) -> Document:
    """Return a paper on file; refuse one that was filed again under a better name.

    Raises NotFoundError where it is not on file, RefusedError with the newer code.
    """
    filed = session.get(Document, document)
    if filed is None:
        raise NotFoundError(
            f"there is no document {document}: file it with flitchbook document file"
        )
    if _is_settled(filed.paper):
        return filed
    try:
        path = attachments.get(shop.attachments, filed.digest)
    except NotFoundError:
        # Whoever looks for the file says so; here nothing can be compared.
        return filed
    newer = list(_same_bytes(shop, session, path, since=filed.idx + 1))
    if newer:
        raise RefusedError(
            f"{document} ({filed.paper}) was filed again as {newer[-1].code} "
            f"({newer[-1].paper}), entry {newer[-1].idx}: give that"
        )
    return filed


def require_own_wood(session: Session, document: str, code: str, species: str) -> None:
    """Refuse a paper whose lines were read and name other wood alone.

    code  the lot or the batch that is of the species, or the words for one

    Raises RefusedError with what the lines name.
    """
    named = [row.species for row in permit_rows(session, document)]
    if not named or species == UNKNOWN or any(_is_same(species, n) for n in named):
        return
    raise RefusedError(
        f"{document} was issued for {some_of(list(dict.fromkeys(named)))} by entry "
        f"{permit_rows(session, document)[0].idx}, and {code} is {species}: give the "
        f"paper of this wood, or strike that entry if it was misread"
    )


def _same_bytes(
    shop: Shop, session: Session, path: Path, *, since: int
) -> Iterator[Document]:
    """Yield the papers since an entry that hold the same bytes, the oldest first.

    A personal one is hashed again under its own salt.
    """
    digest = attachments.digest_of(path)
    query = select(Document).where(
        col(Document.idx) >= since,
        or_(col(Document.digest) == digest, col(Document.is_salted)),
    )
    for filed in session.exec(query.order_by(col(Document.idx))).all():
        salt = shop.vault.get_salt(filed.digest) if filed.is_salted else None
        if not filed.is_salted or (
            salt is not None and attachments.digest_of(path, salt=salt) == filed.digest
        ):
            yield filed


def _is_better(paper: str, before: Document) -> bool:
    """Tell whether a name says what a paper is that its first name left open."""
    kinds = kinds_of(paper)
    if _is_settled(before.paper) or kinds == kinds_of(before.paper):
        return False
    return bool(kinds) and {NOTE, OPEN, UNSURE}.isdisjoint(kinds)


def _is_settled(paper: str) -> bool:
    """Tell whether a name says what a paper is, and nothing else is called the same."""
    kinds = kinds_of(paper)
    is_doubted = any(
        kind in (OPEN, UNSURE) or kind.group == "about" or kind.beware for kind in kinds
    )
    return bool(kinds) and not is_doubted


def _join(before: Document) -> str:
    return f"join that with flitchbook document add {before.code} LOT"


def _plain_number(number: str | None) -> str:
    """Return a number as nobody can write it twice: its letters and digits alone."""
    return re.sub(r"[\W_]", "", number or "").casefold()


def _is_same(species: str, named: str) -> bool:
    """Tell whether two names may be of the same wood; one may be a genus, or older."""
    ways = [
        {name, found.accepted} if (found := read_name(name).name) else {name}
        for name in (species, named)
    ]
    return any(
        is_of(own, other) or is_of(other, own) for own in ways[0] for other in ways[1]
    )
