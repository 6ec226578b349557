"""Who stood by an entry in dispute, and whether that word is in dispute itself."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Affirmation:
    """An entry `index` that affirms what `key` said in the entry `said`.

    `speakers` are the keys that signed or approved it.
    """

    index: int
    key: str
    said: int
    speakers: frozenset[str]


def affirmed_by(
    affirmations: Iterable[Affirmation], disputed_since: Mapping[str, int]
) -> dict[str, frozenset[int]]:
    """Return for each key the entries that somebody stands by whose word is his own.

    Whoever stole two keys could affirm with one what he said with the other. So an
    affirmation of which any speaker is in dispute there counts for nothing, until it
    is affirmed itself. An entry is affirmed only by later ones: seen from the newest
    on, each is settled before it is asked for.
    """
    settled: dict[str, frozenset[int]] = {}
    for each in sorted(affirmations, key=lambda one: one.index, reverse=True):
        if not any(
            speaker in disputed_since
            and each.index >= disputed_since[speaker]
            and each.index not in settled.get(speaker, ())
            for speaker in each.speakers
        ):
            settled[each.key] = settled.get(each.key, frozenset()) | {each.said}
    return settled
