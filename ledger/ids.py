"""Codes and numbers as they are pencilled, printed, typed and scanned.

    lot L26-031             board L26-031-07, half L26-031-07.A, child L26-031-07.C1
    body B26-0147           neck N26-0147           serial 26-0147-3
    document D26-0001       certificate C-2026-00088       transfer slip W-2026-00001
    shipment X26-0001       hold H26-001           batch M26-001    gauge G26-001

Every `parse` takes what was typed and what a scanner read (`codes` tells the two
apart); `str` gives the code as it stands on the wood.

    >>> print(BoardId.parse("https://example.com/b/l26-031-07.ai"))
    L26-031-07.A
    >>> scan_text(BoardId.parse("l26-031-07.a"), host="example.com")
    'HTTPS://EXAMPLE.COM/B/L26-031-07.AI'
    >>> print(parse_any("26-0147-3").form.noun)
    serial
"""

import re
from dataclasses import dataclass
from typing import ClassVar

from ledger.benchcodes import GaugeId, HoldId, MaterialId
from ledger.codes import (
    Form,
    check_character,
    read,
    read_scan,
    require_numbers,
    shown,
    split_scan,
    tidied,
)
from ledger.errors import RefusedError
from ledger.serials import (
    DEFAULT_PATTERN,
    Serial,
    SerialPattern,
    is_serial,
    read_serial,
    serial_for,
)

LOT = r"L(?P<lot_year>[0-9]{2})-(?P<lot_number>[0-9]{3})"
BOARD = (
    LOT + r"-(?P<number>[0-9]{2}|[1-9][0-9]{2})"
    r"(?:\.(?P<half>[AB])|\.C(?P<child>[1-9][0-9]{0,2}))?"
)


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class LotId:
    """The code of what arrived together from one supplier on one document."""

    form: ClassVar[Form] = Form(
        noun="lot",
        mark="L",
        shape=re.compile(LOT),
        example="L26-031",
        last_number=999,
    )

    year: int  # the last two digits
    number: int

    def __post_init__(self) -> None:
        require_numbers(self.form, self.year, self.number)

    def __str__(self) -> str:
        return f"L{self.year:02d}-{self.number:03d}"

    @classmethod
    def parse(cls, text: str) -> "LotId":
        """Read a lot's code, typed or scanned."""
        found = read(text, cls.form)
        return cls(year=int(found["lot_year"]), number=int(found["lot_number"]))


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class BoardId:
    """The code of one measured, numbered piece: a board, its half or its child."""

    form: ClassVar[Form] = Form(
        noun="board",
        mark="B",
        shape=re.compile(BOARD),
        example="L26-031-07.A",
        last_number=999,
    )

    lot: LotId
    number: int
    half: str = ""  # A or B of a bookmatched pair
    child: int = 0  # numbered flat under the board; the log knows who came from whom

    def __post_init__(self) -> None:
        require_numbers(self.form, self.lot.year, self.number)
        if self.half not in ("", "A", "B") or not 0 <= self.child <= 999:
            raise RefusedError(
                f"half {self.half!r} or child {self.child} cannot be written on a "
                f"board; a half is A or B, and children are numbered 1 to 999"
            )
        if self.half and self.child:
            raise RefusedError(
                f"a piece is half {self.half} or child {self.child}, not both; "
                f"number the children of a half flat under its board"
            )

    def __str__(self) -> str:
        part = f".{self.half}" if self.half else f".C{self.child}" if self.child else ""
        return f"{self.lot}-{self.number:02d}{part}"

    @classmethod
    def parse(cls, text: str) -> "BoardId":
        """Read a board's code, typed or scanned."""
        if LotId.form.shape.fullmatch(tidied(text).partition(" ")[0]):
            raise RefusedError(
                f"{shown(text)} is not the code of a board but of a lot; write it like "
                f"{cls.form.example}: the lot, the board and, of a set, the half"
            )
        return cls._of(read(text, cls.form))

    @classmethod
    def from_scan(cls, text: str) -> "BoardId":
        """Read a board's code and the check character that always ends a scan."""
        return cls._of(read_scan(text, cls.form))

    @classmethod
    def _of(cls, found: re.Match[str]) -> "BoardId":
        return cls(
            lot=LotId(year=int(found["lot_year"]), number=int(found["lot_number"])),
            number=int(found["number"]),
            half=found["half"] or "",
            child=int(found["child"] or 0),
        )


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class BodyId:
    """The code of a body on the bench."""

    # Boards and bodies share the letter; their codes differ in the first one.
    form: ClassVar[Form] = Form(
        noun="body",
        mark="B",
        shape=re.compile(r"B(?P<year>[0-9]{2})-(?P<number>[0-9]{4})"),
        example="B26-0147",
        last_number=9999,
    )

    year: int  # the last two digits
    number: int

    def __post_init__(self) -> None:
        require_numbers(self.form, self.year, self.number)

    def __str__(self) -> str:
        return f"B{self.year:02d}-{self.number:04d}"

    @classmethod
    def parse(cls, text: str) -> "BodyId":
        """Read a body's code, typed or scanned."""
        found = read(text, cls.form)
        return cls(year=int(found["year"]), number=int(found["number"]))


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class NeckId:
    """The code of a neck on the bench."""

    form: ClassVar[Form] = Form(
        noun="neck",
        mark="N",
        shape=re.compile(r"N(?P<year>[0-9]{2})-(?P<number>[0-9]{4})"),
        example="N26-0147",
        last_number=9999,
    )

    year: int  # the last two digits
    number: int

    def __post_init__(self) -> None:
        require_numbers(self.form, self.year, self.number)

    def __str__(self) -> str:
        return f"N{self.year:02d}-{self.number:04d}"

    @classmethod
    def parse(cls, text: str) -> "NeckId":
        """Read a neck's code, typed or scanned."""
        found = read(text, cls.form)
        return cls(year=int(found["year"]), number=int(found["number"]))


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class DocumentId:
    """The number the shop gives to a paper, come in or going out."""

    form: ClassVar[Form] = Form(
        noun="document",
        mark="D",
        shape=re.compile(r"D(?P<year>[0-9]{2})-(?P<number>[0-9]{4})"),
        example="D26-0001",
        last_number=9999,
    )

    year: int  # the last two digits
    number: int

    def __post_init__(self) -> None:
        require_numbers(self.form, self.year, self.number)

    def __str__(self) -> str:
        return f"D{self.year:02d}-{self.number:04d}"

    @classmethod
    def parse(cls, text: str) -> "DocumentId":
        """Read a document's number, typed or scanned."""
        found = read(text, cls.form)
        return cls(year=int(found["year"]), number=int(found["number"]))


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class CertificateId:
    """The number of an owner certificate."""

    form: ClassVar[Form] = Form(
        noun="certificate",
        mark="C",
        shape=re.compile(r"C-(?P<year>[0-9]{4})-(?P<number>[0-9]{5})"),
        example="C-2026-00088",
        last_year=9999,
        last_number=99999,
    )

    year: int  # all four digits
    number: int

    def __post_init__(self) -> None:
        require_numbers(self.form, self.year, self.number)

    def __str__(self) -> str:
        return f"C-{self.year:04d}-{self.number:05d}"

    @classmethod
    def parse(cls, text: str) -> "CertificateId":
        """Read a certificate's number, typed or scanned."""
        found = read(text, cls.form)
        return cls(year=int(found["year"]), number=int(found["number"]))


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class SlipId:
    """The number of a transfer slip."""

    form: ClassVar[Form] = Form(
        noun="transfer slip",
        mark="W",
        shape=re.compile(r"W-(?P<year>[0-9]{4})-(?P<number>[0-9]{5})"),
        example="W-2026-00001",
        last_year=9999,
        last_number=99999,
    )

    year: int  # all four digits
    number: int

    def __post_init__(self) -> None:
        require_numbers(self.form, self.year, self.number)

    def __str__(self) -> str:
        return f"W-{self.year:04d}-{self.number:05d}"

    @classmethod
    def parse(cls, text: str) -> "SlipId":
        """Read a transfer slip's number, typed or scanned."""
        found = read(text, cls.form)
        return cls(year=int(found["year"]), number=int(found["number"]))


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class ShipmentId:
    """The number of what leaves the shop together."""

    form: ClassVar[Form] = Form(
        noun="shipment",
        mark="X",
        shape=re.compile(r"X(?P<year>[0-9]{2})-(?P<number>[0-9]{4})"),
        example="X26-0001",
        last_number=9999,
    )

    year: int  # the last two digits
    number: int

    def __post_init__(self) -> None:
        require_numbers(self.form, self.year, self.number)

    def __str__(self) -> str:
        return f"X{self.year:02d}-{self.number:04d}"

    @classmethod
    def parse(cls, text: str) -> "ShipmentId":
        """Read a shipment's number, typed or scanned."""
        found = read(text, cls.form)
        return cls(year=int(found["year"]), number=int(found["number"]))


CODES = (
    LotId,
    BoardId,
    BodyId,
    NeckId,
    DocumentId,
    CertificateId,
    SlipId,
    ShipmentId,
    HoldId,
    MaterialId,
    GaugeId,
)
Code = (
    LotId
    | BoardId
    | BodyId
    | NeckId
    | DocumentId
    | CertificateId
    | SlipId
    | ShipmentId
    | HoldId
    | MaterialId
    | GaugeId
    | Serial
)


def parse_any(text: str, pattern: SerialPattern = DEFAULT_PATTERN) -> Code:
    """Read any code of the shop, typed or scanned; its `form.noun` names the noun."""
    scan = split_scan(text)
    if scan and scan.mark == Serial.form.mark:
        return read_serial(text, pattern)
    # A scan ends in its check character; what is typed may have one after a space.
    code = scan.code[:-1] if scan else tidied(text).partition(" ")[0]
    for kind in CODES:
        if kind.form.shape.fullmatch(code):
            return kind.parse(text)
    if not scan and is_serial(code, pattern):
        return read_serial(text, pattern)
    raise RefusedError(
        f"{shown(text)} is no code of this shop; write a lot like L26-031, "
        f"a board like L26-031-07.A, a serial like "
        f"{serial_for(pattern, year=2026, number=147)}"
    )


def scan_text(code: Code, *, host: str | None = None, label: int = 0) -> str:
    """Return what the QR symbol of a code holds, in the alphanumeric set.

    label  the number of the replacement it stands on; 0 is the first label
    """
    text = str(code)
    # A serial brings its own check digit.
    check = "" if isinstance(code, Serial) else check_character(text)
    before = f"HTTPS://{host.upper()}/" if host else ""
    after = f"/{label}" if label else ""
    return f"{before}{code.form.mark}/{text}{check}{after}"
