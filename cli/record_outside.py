"""The newest checkpoint outside this machine, in the one sentence that says it."""

from typing import Any


def newest(shop: Any, on_papers: tuple[int, str] | None = None) -> Any:
    """Return the newest head that left: by papers, a witness, a slip or a backup."""
    from ledger.acts.leaving import newest_left, on_paper

    found = (on_paper(on_papers), newest_left(shop))
    return max(filter(None, found), key=lambda left: left.size, default=None)


def words(shop: Any, left: Any, size: int) -> str:
    """Say which head left last and how much came since, and when a slip is due."""
    from ledger.acts.due import is_due

    since = size if left is None else max(size - left.size, 0)
    due = (
        " A witness slip is due: flitchbook record checkpoint --out slip.pdf."
        if is_due(left and left.day, shop.today(), entries_since=since)
        else ""
    )
    if left is None:
        return (
            f"No checkpoint has left this machine, as far as is known here: all "
            f"{size:,} entries rest on the shop's word alone.{due}"
        )
    rest = "1 entry since rests" if since == 1 else f"{since:,} entries since rest"
    return (
        f"Newest checkpoint outside this machine: {left.size:,}, {left.how} "
        f"{left.day}; {rest} on the shop's word alone.{due}"
    )


def account(shop: Any, *, is_settled: bool) -> dict[str, Any]:
    """Return what is amiss with what this account remembers, and what it passes over.

    is_settled  whether a paper was just held against the log, and fits
    """
    from ledger.acts.outside import settle, signed_by_ended, trouble

    if is_settled:
        settle(shop.store, shop.state)
    return {
        "account": trouble(shop.store, shop.state),
        "by_ended_keys": list(signed_by_ended(shop.store, shop.folder, shop.state)),
    }


def data(left: Any) -> dict[str, Any] | None:
    """Return the head that left last as data, or None."""
    if left is None:
        return None
    return {"size": left.size, "day": left.day, "how": left.how}
