"""Photographs that somebody files, and what is said of one that is on file already."""

from collections.abc import Sequence
from pathlib import Path

from cli.context import Desk


def seen_lines(desk: Desk, photographs: Sequence[Path]) -> list[str]:
    """Return a note for each photograph that is on file already."""
    from ledger.acts.pictured import on_file_words

    notes = []
    for path in photographs:
        before = on_file_words(desk.shop, path)
        if before:
            notes.append(f"note: {path} was on file already: {before}")
    return notes
