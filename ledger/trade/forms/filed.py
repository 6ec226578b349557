"""Papers on file, told apart by what whoever filed them called them."""

from datetime import date
from typing import Final, Literal

from ledger.trade import paperkinds
from ledger.trade.consignment import HeldPaper, Item

EXPORT: Final = "export permit"
RE_EXPORT: Final = "re-export certificate"
# A paper of the Convention whose name does not say which.
OPEN: Final = "open"
Kind = Literal["export permit", "re-export certificate", "open", "another"]
_KINDS: Final[dict[str, Kind]] = {
    paperkinds.EXPORT.name: EXPORT,
    paperkinds.RE_EXPORT.name: RE_EXPORT,
    paperkinds.OPEN.name: OPEN,
}


def kind_of(paper: HeldPaper) -> Kind:
    """Return whether a paper on file is an export permit, by what it is called.

    Source: Resolution Conf. 12.3, by the list of paperkinds.
    """
    kind = paperkinds.which_of_cites(paper.paper)
    return _KINDS.get(kind.name, "another") if kind else "another"


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
