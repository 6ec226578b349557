"""The balance of a year for each species: what was there, came, went, and is left.

Every board is one line. It was there at the opening or came in the year; it is there at
the closing or went in the year. What it weighs now and weighed then differ by what the
scale says of drying and planing; what the saw and the glue pot took is told by what was
weighed, and the rest is named: not weighed. So each sheet adds up to the milligram:

    opening + received + old stock + first weighed
        = in instruments + worked away + shipped + sent back + scrapped
        + saw + waste + not weighed + dried and planed + closing
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from ledger.scales import shared

# How a board came to be there, and how it went; "made" and "sawn" are one board's end
# and another's beginning.
Came = Literal["opening", "received", "old stock", "made"]
Went = Literal["sawn", "built in", "shipped", "sent back", "scrapped", "closing"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A board within a year, with what is known of it at both ends; None is unknown.

    shares                what each species has of it, by mass; together one
    first_mg, last_mg     at the opening or when it came, and at the closing or its end
    first_mm3, last_mm3   the same by its sizes
    finished_mg           its share in a part that was weighed when done
    entries               by which it came and went
    """

    code: str
    shares: Mapping[str, Fraction]
    came: Came
    went: Went
    first_mg: int | None = None
    last_mg: int | None = None
    first_mm3: int | None = None
    last_mm3: int | None = None
    finished_mg: int | None = None
    entries: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sawn:
    """What one cut took beside its pieces, of which woods; None was not weighed."""

    shares: Mapping[str, Fraction]
    dust_mg: int | None = None
    waste_mg: int | None = None
    entry: int


@dataclass(slots=True)
class Amount:
    """So many boards: their mass and volume, and of how many nobody knows it."""

    boards: int = 0
    mass_mg: int = 0
    not_weighed: int = 0
    volume_mm3: int = 0
    not_measured: int = 0

    def add(self, mass_mg: int | None, volume_mm3: int | None) -> None:
        """Count one more board."""
        self.boards += 1
        self.mass_mg += mass_mg or 0
        self.not_weighed += mass_mg is None
        self.volume_mm3 += volume_mm3 or 0
        self.not_measured += volume_mm3 is None


@dataclass(slots=True, kw_only=True)
class Sheet:
    """A species' year. Masses are in milligrams; what is lost is above zero.

    `first_weighed_mg` is of boards that nobody had weighed before; `dried_mg` is what
    the scale says that boards lost between two weighings, by drying and planing.
    `worked_mg` is what parts lost until they were weighed, of `finished` boards.
    """

    species: str
    opening: Amount = field(default_factory=Amount)
    received: Amount = field(default_factory=Amount)
    old_stock: Amount = field(default_factory=Amount)
    made: Amount = field(default_factory=Amount)
    sawn: Amount = field(default_factory=Amount)
    built_in: Amount = field(default_factory=Amount)
    shipped: Amount = field(default_factory=Amount)
    sent_back: Amount = field(default_factory=Amount)
    scrapped: Amount = field(default_factory=Amount)
    closing: Amount = field(default_factory=Amount)
    finished: int = 0
    worked_mg: int = 0
    dust_mg: int = 0
    waste_mg: int = 0
    first_weighed_mg: int = 0
    dried_mg: int = 0
    entries: set[int] = field(default_factory=set)

    @property
    def not_weighed_mg(self) -> int:
        """What is missing between boards and their pieces, and nobody weighed."""
        lost = self.sawn.mass_mg - self.made.mass_mg
        return lost - self.dust_mg - self.waste_mg

    @property
    def in_mg(self) -> int:
        """All that came in."""
        return self.received.mass_mg + self.old_stock.mass_mg + self.first_weighed_mg

    @property
    def out_mg(self) -> int:
        """All that left the rack as wood, in instruments or by itself."""
        built_in = self.built_in.mass_mg - self.worked_mg
        return built_in + self.shipped.mass_mg + self.sent_back.mass_mg

    @property
    def lost_mg(self) -> int:
        """All that is wood no more."""
        weighed = self.dust_mg + self.waste_mg + self.worked_mg + self.scrapped.mass_mg
        return weighed + self.not_weighed_mg + self.dried_mg

    @property
    def off_mg(self) -> int:
        """By how much the sheet does not add up: nothing, ever."""
        there = self.opening.mass_mg + self.in_mg
        return there - self.out_mg - self.lost_mg - self.closing.mass_mg


def sheets(held: Iterable[Held], cuts: Iterable[Sawn]) -> list[Sheet]:
    """Return the balance of each species, by its name.

    A board that was glued of several species counts under each of them, with its share
    of the mass; rounding is done so that the shares add up to the board again.

    Source: conservation of mass.
    """
    found: dict[str, Sheet] = {}
    for board in held:
        for species, part in _parted(board):
            _count(_sheet_of(found, species), part)
    for cut in cuts:
        dust, waste = (_shared(mg, cut.shares) for mg in (cut.dust_mg, cut.waste_mg))
        for species in cut.shares:
            sheet = _sheet_of(found, species)
            sheet.dust_mg += dust[species] or 0
            sheet.waste_mg += waste[species] or 0
            sheet.entries.add(cut.entry)
    return [found[species] for species in sorted(found)]


def _sheet_of(found: dict[str, Sheet], species: str) -> Sheet:
    """Return the sheet of a species, begun if there is none yet."""
    if species not in found:
        found[species] = Sheet(species=species)
    return found[species]


def _shared(
    whole: int | None, shares: Mapping[str, Fraction]
) -> Mapping[str, int | None]:
    if whole is None or len(shares) == 1:
        return dict.fromkeys(shares, whole)
    return dict(shared(whole, shares))


def _parted(board: Held) -> Iterator[tuple[str, Held]]:
    """Return a board's share of each species as a board of its own."""
    if len(board.shares) == 1:
        yield next(iter(board.shares)), board
        return
    first, last = (_shared(mg, board.shares) for mg in (board.first_mg, board.last_mg))
    volumes = (board.first_mm3, board.last_mm3)
    first_mm3, last_mm3 = (_shared(mm3, board.shares) for mm3 in volumes)
    finished = _shared(board.finished_mg, board.shares)
    for species, share in board.shares.items():
        yield (
            species,
            Held(
                code=board.code,
                shares={species: share},
                came=board.came,
                went=board.went,
                first_mg=first[species],
                last_mg=last[species],
                first_mm3=first_mm3[species],
                last_mm3=last_mm3[species],
                finished_mg=finished[species],
                entries=board.entries,
            ),
        )


def _count(sheet: Sheet, board: Held) -> None:
    came: Amount = getattr(sheet, board.came.replace(" ", "_"))
    went: Amount = getattr(sheet, board.went.replace(" ", "_"))
    came.add(board.first_mg, board.first_mm3)
    went.add(board.last_mg, board.last_mm3)
    sheet.entries.update(board.entries)
    if board.first_mg is None:
        sheet.first_weighed_mg += board.last_mg or 0
    else:
        sheet.dried_mg += board.first_mg - (board.last_mg or 0)
    if board.went == "built in" and board.finished_mg is not None:
        sheet.finished += 1
        sheet.worked_mg += (board.last_mg or 0) - board.finished_mg
