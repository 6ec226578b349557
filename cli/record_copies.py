"""What the shop knows of its copies: the newest, whether one is due, who is in it.

No command of its own: audit, whole and whoever erases somebody say it.
"""

from typing import Any


def words(shop: Any, size: int) -> str:
    """Say when the shop was last copied, and how much was entered since."""
    from ledger.acts.backups import is_of_this_log, newest_backup

    made = newest_backup(shop.folder)
    if made is None:
        return (
            "No backup is known here: make one with flitchbook record backup FOLDER, "
            "and keep it on another machine."
        )
    if is_of_this_log(shop, made) is False:
        here = f", and this log has {size}" if made.size > size else ""
        return (
            f"THE NEWEST BACKUP, {made.name}, HOLDS ANOTHER HISTORY of {made.size} "
            f"entries{here}: audit it with flitchbook record audit --shop, and keep "
            f"both."
        )
    newer = max(size - made.size, 0)
    since = "1 entry" if newer == 1 else f"{newer} entries"
    due = (
        " A COPY IS DUE: flitchbook record backup." if _is_due(shop, made, size) else ""
    )
    return (
        f"Newest backup: {made.name} of {made.day}, {made.size} entries, opened and "
        f"audited whole then; {since} since in none.{_disk_words(shop)}{due}"
    )


def data(shop: Any, size: int) -> dict[str, Any] | None:
    """Return the newest copy as data, or None where none is known."""
    from ledger.acts.backups import is_of_this_log, newest_backup

    made = newest_backup(shop.folder)
    if made is None:
        return None
    return {
        "name": made.name,
        "made": made.at,
        "size": made.size,
        "root": made.root,
        "entries_since": max(size - made.size, 0),
        "of_this_log": is_of_this_log(shop, made),
        "offsite": made.is_elsewhere,
        "sealed": made.sealed,
        "due": _is_due(shop, made, size),
    }


def still_held(shop: Any, before: int, since: int = 0) -> list[Any]:
    """Return the copies and exports that still hold what an entry erased.

    before  the entry that erased it
    since   the entry that first named it: an older copy never held it
    """
    from ledger.acts.backups import noted_backups, noted_exports

    noted = [*noted_backups(shop.folder), *noted_exports(shop.folder)]
    return [made for made in noted if since < made.size <= before]


def held_words(held: list[Any]) -> list[str]:
    """Say which copies an erasure does not reach, and what to do about them."""
    if not held:
        return []
    named = [f"  {m.name} of {m.day}{', sealed' if m.sealed else ''}" for m in held]
    return [
        "Still held by what was copied before, which an erasure does not reach: "
        "destroy it, or keep newer copies only.",
        *named,
    ]


def held_data(held: list[Any]) -> list[dict[str, Any]]:
    """Return the copies that an erasure does not reach, as data."""
    return [{"name": m.name, "made": m.at, "sealed": m.sealed} for m in held]


def _is_due(shop: Any, made: Any, size: int) -> bool:
    from ledger.acts.due import is_due

    return is_due(made.day, shop.today(), entries_since=size - made.size)


def _disk_words(shop: Any) -> str:
    """Say it where every copy that is known lies on the shop's own disk."""
    from ledger.acts.backups import noted_backups

    places = {made.is_elsewhere for made in noted_backups(shop.folder)}
    return " No copy is known on another disk." if places == {False} else ""
