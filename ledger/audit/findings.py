"""What an audit can find: one cause out of a closed list, and where."""

from dataclasses import dataclass

# Every cause that an audit names, and what it means to the person who reads it.
CAUSES = {
    "gap": "an entry is missing, or stands in another place than its index",
    "malformed": "a record is not two lines of canonical entry and signature",
    "index": "an entry says another index than the place it stands in",
    "chain": "an entry does not follow the one before it",
    "time": "an entry is older than the one before it",
    "leaf": "the stored leaf hash is not the record's",
    "tile": "a stored tile does not hold the hashes of the records",
    "head": "the stored head is not the head of the records",
    "struck": "a correction names another entry than the one that stands there",
    "affirmed": "an affirmation names another entry, or another's, than stands there",
    "disputed": "a key that was in other hands said or approved it, and nobody since",
    "authority": "the signer may not say this, or the signature does not fit",
    "event": "the event's members do not fit its kind",
    "clock": "an entry does not say when it happened, or says no time that can be",
    "held": "something rests on what was on hold when it was said",
    "road": "a step, wood or a certificate came before its turn on the road",
    "number": "the entry takes what another entry took before",
    "checkpoint": "a signed checkpoint is not of this history",
    "kept": "the file of signed checkpoints does not hold what the database holds",
    "missing": "a signed checkpoint speaks of entries that are not here",
    "lost": "it is of entries that are lost, as the next volume of the log says",
    "outside": "an outside checkpoint is not of this history",
    "guard": "the database no longer refuses changes to what is written",
    "view": "a view does not show what the entries say",
    "edition": "the views are of another version, and are to be folded again",
    "attachment": "a file is missing or is not the one that was filed",
    "commitment": "what the vault holds is not what the log committed to",
    "erasure": "the vault still holds what was erased",
    "orphan": "the vault holds a name or a reason that no entry speaks of",
    "absent": "what is kept beside the log is not here: lost, or never brought",
    "reading": "what was read or reckoned that day comes out otherwise today",
    "unknown": "the kind is not known here, so nothing more can be said of it",
    "custody": "the log's key is not where it should be or is another",
}
# These say that something cannot be judged or should be tidied, not that it is wrong.
OPEN_CAUSES = frozenset({"absent", "disputed", "lost", "orphan", "reading", "unknown"})


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing an audit found: at which index, the cause, and in which words."""

    index: int | None
    cause: str
    detail: str

    @property
    def is_open(self) -> bool:
        """Tell whether this leaves a question open rather than naming a change."""
        return self.cause in OPEN_CAUSES

    def __str__(self) -> str:
        place = "the whole" if self.index is None else f"entry {self.index}"
        return f"{place}: {self.cause}: {self.detail}"
