"""What every species paper shows beside its own facts, as plain values."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Imprint:
    """Where and by whom a paper was made, and the checkpoint that it carries.

    place and host may be empty. check is the check character of the number, ten_words
    stand for the root of the checkpoint. An erased signer is None.
    """

    place: str
    host: str
    check: str
    ten_words: tuple[str, ...]
    signer_badge: str
    signer_name: str | None
    signer_rank: str
    whom_to_ask: str
