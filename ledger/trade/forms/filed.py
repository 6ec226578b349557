"""Papers on file, told apart by what whoever filed them called them."""

from datetime import date
from typing import Final, Literal

from ledger.trade.consignment import HeldPaper, Item
from ledger.trade.holding import Paper, is_permit
from ledger.trade.tables import papers

EXPORT: Final = "export permit"
RE_EXPORT: Final = "re-export certificate"
# A paper of the Convention that is called no more than that.
OPEN: Final = "open"
Kind = Literal["export permit", "re-export certificate", "open", "another"]

# Parts of words in several languages: common practice, no source.
_AGAIN = ("re-export", "reexport", "réexport", "wiederausfuhr", "riesport")
_OUT = ("export", "ausfuhr", "esporta")
_IN = ("import", "einfuhr")


def kind_of(paper: HeldPaper) -> Kind:
    """Return whether a paper on file is an export permit, by what it is called.

    Source: the table of documents; what papers are called is common practice.
    """
    said = paper.paper.casefold()
    if not is_permit(Paper(code=paper.document, paper=said, entry=0)):
        return "another"
    if any(word in said for word in _AGAIN):
        return RE_EXPORT
    if any(word in said for word in _IN):
        return "another"
    if any(word in said for word in _OUT):
        return EXPORT
    is_named = any(name.casefold() in said for name in papers())
    return "another" if is_named or "cites" not in said else OPEN


def papers_of(items: tuple[Item, ...], kind: Kind) -> tuple[HeldPaper, ...]:
    """Return the papers of a kind under which the wood of a row may have come in.

    Source: the documents that the shop filed.
    """
    return tuple(
        dict.fromkeys(
            paper
            for item in items
            for paper in item.held
            if kind_of(paper) == kind and not fault_of(paper, item.acquired)
        )
    )


def faults_of(items: tuple[Item, ...], kind: Kind) -> tuple[str, ...]:
    """Say of each paper of a kind why it is none for the wood that it is filed with.

    Source: the documents that the shop filed.
    """
    return tuple(
        dict.fromkeys(
            f"{paper.document} {fault}"
            for item in items
            for paper in item.held
            if kind_of(paper) == kind
            and (fault := fault_of(paper, item.acquired)) is not None
        )
    )


def fault_of(paper: HeldPaper, came_in: date | None) -> str | None:
    """Say why wood of a day cannot have come in under a permit, if so.

    Source: Articles III to VI of the Convention: a permit is given before it moves.
    """
    if came_in is None:
        return None
    if paper.issued_on and paper.issued_on > came_in:
        return f"was issued on {paper.issued_on}, after it came in on {came_in}"
    if paper.expires_on and paper.expires_on < came_in:
        return f"ended on {paper.expires_on}, before it came in on {came_in}"
    return None
