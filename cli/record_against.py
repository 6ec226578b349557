"""What was kept outside: a file or typed words, and what comes of it."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from cli import show


def outside(said: str) -> Any:
    """Read a head that was kept elsewhere: from a file, or as a tag's words say it."""
    from ledger.check.outside import SAID, is_whole, read_outside, read_spoken
    from ledger.codes import shown
    from ledger.errors import RefusedError

    if not said.strip():
        raise RefusedError(f"--against is empty: name a file, or type {SAID}")
    if is_typed(said):
        return read_spoken(said)
    if is_whole(said):
        return read_outside(said.encode("utf-8", errors="replace"), "what you typed")
    path = Path(said)
    if " " in said.strip() and not path.exists():
        raise RefusedError(
            f"{shown(said)} is no file here, and the words of a paper begin with "
            f"its number of entries: type {SAID}"
        )
    return read_outside(show.read_file(path), str(path))


def is_typed(said: str) -> bool:
    """Tell whether a paper's number and words were typed, and no file named."""
    from ledger.check.outside import is_spoken

    return is_spoken(said) and not Path(said).exists()


def words(report: Any, held: Any) -> str:
    """Say with what a log was compared: a file may hold another head than it prints."""
    if held.leaf is not None:
        return f"Compared with entry {held.size - 1:,}, of which the card speaks."
    told = f"Compared with a checkpoint of {held.size:,} entries"
    if held.note is None and not report:
        return f"{told}. Read its number and words again before you believe this."
    if held.note is not None:
        told += ": see that what you hold says that number too"
    if report and report.size > held.size:
        since = report.size - held.size
        rest = "1 entry since rests" if since == 1 else f"{since:,} entries since rest"
        told += f"; {rest} on the shop's word alone"
    return f"{told}."


def data(held: Any) -> dict[str, Any] | None:
    """Return the same for a program."""
    if held is None:
        return None
    return {"size": held.size, "origin": held.origin, "is_card": held.leaf is not None}


def kept(shop: Any, report: Any, held: Any) -> Iterator[str]:
    """Keep a note that proves more than the log holds, and say so.

    Only what the log's own key signed: words that were typed accuse nobody for good.
    """
    from ledger.acts.outside import hold_against
    from ledger.errors import LedgerError

    if report or held is None or held.note is None:
        return
    try:
        gap = hold_against(shop.store, shop.folder, shop.state, held.note, shop.today())
    except LedgerError:
        # The end of the log does not fit together, and that is among the findings.
        return
    if gap is not None:
        yield (
            "The log's own key signed what you gave. It is kept as evidence: nothing "
            "is recorded on this log until it holds those entries."
        )
