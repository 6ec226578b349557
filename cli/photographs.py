"""Photographs that somebody files, and what is said of one that is on file already."""

from collections.abc import Collection, Sequence
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


def bared_lines(photographs: Sequence[Path], filed: Collection[str]) -> list[str]:
    """Return a note for each photograph that was filed as its picture alone.

    filed  the digests under which they lie now
    """
    from ledger.log.attachments import digest_of

    return [
        f"note: {path}: what the camera wrote beside the picture, such as where it "
        f"was, is not filed"
        for path in photographs
        if digest_of(path) not in filed
    ]
