"""Codes of what stands beside the wood at a bench: batches, gauges, holds.

batch of a material M26-001       gauge G26-001       hold H26-001
"""

import re
from dataclasses import dataclass
from typing import ClassVar

from ledger.codes import Form, read, require_numbers


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class MaterialId:
    """The code of a batch of glue, finish, shell or strings: what is no board."""

    form: ClassVar[Form] = Form(
        noun="batch",
        mark="M",
        shape=re.compile(r"M(?P<year>[0-9]{2})-(?P<number>[0-9]{3})"),
        example="M26-001",
        last_number=999,
    )

    year: int  # the last two digits
    number: int

    def __post_init__(self) -> None:
        require_numbers(self.form, self.year, self.number)

    def __str__(self) -> str:
        return f"M{self.year:02d}-{self.number:03d}"

    @classmethod
    def parse(cls, text: str) -> "MaterialId":
        """Read a batch's code, typed or scanned."""
        found = read(text, cls.form)
        return cls(year=int(found["year"]), number=int(found["number"]))


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class GaugeId:
    """The code of whatever measures: a rule, a scale, a meter."""

    form: ClassVar[Form] = Form(
        noun="gauge",
        mark="G",
        shape=re.compile(r"G(?P<year>[0-9]{2})-(?P<number>[0-9]{3})"),
        example="G26-001",
        last_number=999,
    )

    year: int  # the last two digits
    number: int

    def __post_init__(self) -> None:
        require_numbers(self.form, self.year, self.number)

    def __str__(self) -> str:
        return f"G{self.year:02d}-{self.number:03d}"

    @classmethod
    def parse(cls, text: str) -> "GaugeId":
        """Read a gauge's code, typed or scanned."""
        found = read(text, cls.form)
        return cls(year=int(found["year"]), number=int(found["number"]))


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class HoldId:
    """The number of a hold: wood, paper or work in doubt."""

    form: ClassVar[Form] = Form(
        noun="hold",
        mark="H",
        shape=re.compile(r"H(?P<year>[0-9]{2})-(?P<number>[0-9]{3})"),
        example="H26-001",
        last_number=999,
    )

    year: int  # the last two digits
    number: int

    def __post_init__(self) -> None:
        require_numbers(self.form, self.year, self.number)

    def __str__(self) -> str:
        return f"H{self.year:02d}-{self.number:03d}"

    @classmethod
    def parse(cls, text: str) -> "HoldId":
        """Read a hold's number, typed or scanned."""
        found = read(text, cls.form)
        return cls(year=int(found["year"]), number=int(found["number"]))
