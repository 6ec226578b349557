"""flitchbook record tables: how old and how sure the tables of the law are."""

from collections.abc import Iterator
from dataclasses import asdict
from datetime import date
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, default_folder, now, reads

FIRST = 10
WeakOption = Annotated[
    bool, typer.Option("--weak", help="Every weak row; else the first ten of a kind.")
]
# What each kind of weakness is called in the list.
HEADS = {
    "from memory": "from memory, no source read",
    "partly verified": "checked in part",
    "stale": "may have been overtaken",
}


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    reads(app)(tables)


def tables(desk: Desk, weak: WeakOption = False) -> None:
    """Show how old and how sure the tables of the law are.

    The shop's own rows are shown with them.

    Where there is no shop the tables stand as they come with the program.
    """
    from ledger.acts.reviewing import review_tables

    has_shop = desk.folder != default_folder() or desk.folder.exists()
    shop = desk.shop if has_shop else None
    today = shop.today() if shop else now().date().isoformat()
    told = review_tables(shop, day=date.fromisoformat(today))
    found = told.review
    lines = [
        f"compiled {found.compiled_on}, {_age(found.age_days)}; newest source seen "
        f"{found.newest_source}",
        *_count_lines(found.counts),
        *_weak_lines(found.weak, is_whole=weak),
        *_own_lines(told, has_shop=has_shop),
        f"edition {told.sha256}",
    ]
    show.answer(
        desk,
        lines,
        compiled_on=str(found.compiled_on),
        newest_source=str(found.newest_source),
        age_days=found.age_days,
        tables=[asdict(count) for count in found.counts],
        weak=[asdict(row) for row in found.weak],
        overlay=_own_data(told),
        tables_sha256=told.sha256,
    )


def _age(days: int) -> str:
    """Return how old the tables are; a clock may stand before their day."""
    if days < 0:
        return "which lies after today by this machine's clock"
    return f"{show.counted(days, 'day')} ago"


def _count_lines(counts: Any) -> Iterator[str]:
    """Yield one line for each table."""
    head = f"{'table':<22}{'rows':>6}{'verified':>10}{'partly':>8}"
    yield f"{head}{'memory':>8}{'own':>5}"
    for count in counts:
        memory, partly, verified = count.by_confidence.values()
        yield (
            f"{count.table.replace('_', ' '):<22}{count.rows:>6}{verified:>10}"
            f"{partly:>8}{memory:>8}{count.own:>5}"
        )


def _weak_lines(rows: Any, *, is_whole: bool) -> Iterator[str]:
    """Yield the weak rows of each kind, and how many more there are."""
    for kind, head in HEADS.items():
        found = [row for row in rows if row.kind == kind]
        if not found:
            continue
        yield f"{head}: {show.counted(len(found), 'row')}"
        shown = found if is_whole else found[:FIRST]
        for row in shown:
            why = f": {row.reason}" if kind == "stale" else ""
            own = f" ({row.own})" if row.own else ""
            yield f"    {row.table.replace('_', ' ')}, {row.id}{why}{own}"
        if len(found) > len(shown):
            yield f"    and {len(found) - len(shown)} more; --weak lists them all"


def _own_lines(told: Any, *, has_shop: bool) -> Iterator[str]:
    """Yield the shop's own rows, who adopted them, and which are left out and why."""
    if not has_shop:
        return
    adopted = told.adopted
    if adopted is None or not adopted.overlay.amendments:
        yield (
            "No row of the shop's own; flitchbook shop policy --format law prints a "
            "text to begin with."
        )
        return
    rows = show.counted(len(adopted.overlay.amendments), "row")
    yield (
        f"{rows} of the shop's own ({adopted.overlay.name}), adopted in entry "
        f"{adopted.entry} by {told.adopted_by}:"
    )
    for each in adopted.overlay.amendments:
        if each.number not in adopted.left_out:
            yield f"    {each.table.replace('_', ' ')}, {each.id}: {each.why}"
    if adopted.left_out:
        yield _left_out_words(len(adopted.left_out))
    yield from (f"    {fault}" for fault in adopted.faults)


def _left_out_words(count: int) -> str:
    """Say how many rows are left out, and what to do about it."""
    verb, it = ("is", "it") if count == 1 else ("are", "them")
    they = "it" if count == 1 else "they"
    return (
        f"{show.counted(count, 'row')} of these {verb} left out, for {they} would be "
        f"refused today; adopt a text with {it} corrected, or without {it}:"
    )


def _own_data(told: Any) -> dict[str, Any] | None:
    adopted = told.adopted
    if adopted is None:
        return None
    return {
        "id": adopted.overlay.id,
        "version": adopted.overlay.version,
        "entry": adopted.entry,
        "adopted_at": adopted.adopted_at,
        "adopted_by": told.adopted_by,
        "rows": [
            {
                "table": each.table,
                "id": each.id,
                "why": each.why,
                "row": each.row,
                "left_out": each.number in adopted.left_out,
            }
            for each in adopted.overlay.amendments
        ],
        "faults": list(adopted.faults),
    }
