"""Who holds a role, and which key signs the log's heads, from when until when."""

from dataclasses import dataclass

from ledger.log.keys import PublicKey


@dataclass(frozen=True, slots=True, kw_only=True)
class LogTenure:
    """A key of the log, and the sizes of the trees whose heads it signs.

    `origin` is the log's name in the volume that these heads close.
    """

    origin: str
    public: PublicKey
    from_size: int
    until_size: int | None = None

    def covers(self, size: int) -> bool:
        """Tell whether a head of this size has to bear this key's signature."""
        ended = self.until_size is not None and size > self.until_size
        return self.from_size <= size and not ended


@dataclass(frozen=True, slots=True, kw_only=True)
class Tenure:
    """A role that a subject holds or held."""

    subject: str
    role: str
    from_index: int
    until_index: int | None = None
