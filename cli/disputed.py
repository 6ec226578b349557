"""Entries in dispute, wherever something that is shown or drawn rests on them."""

from collections.abc import Collection, Iterable
from typing import Any

from cli import show


def entry_words(index: int, since: int | None) -> str:
    """Name an entry, and since when it is in dispute, if it is."""
    doubt = "" if since is None else f", disputed since entry {since}"
    return f"entry {index}{doubt}"


def tell(paper: str, disputed: Collection[int]) -> None:
    """Tell whoever draws a paper on which entries in dispute it rests, if on any.

    paper  such as "the tag of 26-0001-8"
    """
    from ledger.scales import some_of

    if disputed:
        entries = "entry" if len(disputed) == 1 else "entries"
        named = some_of([str(index) for index in sorted(disputed)])
        show.notice(
            f"{paper} rests on what is in dispute, {entries} {named}: look at it with "
            f"flitchbook person entries NAME --disputed, and stand by it with "
            f"flitchbook record affirm, before the paper goes out"
        )


def tell_of_build(
    shop: Any, paper: str, serial: str, at: int, own: int | None = None
) -> None:
    """Tell the same of a paper about an instrument as it was after an entry.

    own  the entry by which the paper itself was issued
    """
    from ledger.acts.disputes import disputed_behind

    with shop.store.reading() as session:
        disputed = disputed_behind(session, shop.standing(), serial, at, own)
    tell(paper, disputed)


def tell_of_shipment(shop: Any, paper: str, plan: Any) -> None:
    """Tell the same of what travels with a planned shipment."""
    from cli.papers_doubt import disputed_in

    with shop.store.reading() as session:
        tell(paper, disputed_in(shop, session, plan))


def tell_of_labels(labels: Iterable[Any]) -> None:
    """Tell the same of board labels, which say it themselves."""
    tell("a label here", {each.disputed for each in labels} - {None})
