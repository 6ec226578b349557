"""The year's balance of each species, out of what the views hold.

A year is the entries that were made in it, whenever it happened. A board that was put
into a shipment counts as gone on the day it moves, unless something became of it here.
"""

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from sqlmodel import Session, col, select

from ledger.acts.shop import Shop
from ledger.acts.woodbook import (
    Line,
    Shares,
    WoodBook,
    finished_in,
    read_woodbook,
    shares_in,
)
from ledger.craft.fitting import is_of
from ledger.errors import NotFoundError
from ledger.log.entry import parse_record
from ledger.trade.balance import Came, Held, Sawn, Sheet, Went, sheets
from ledger.views.boards import BoardParent, Cut
from ledger.views.family import family, firsts_of, shares_of_each
from ledger.views.rows import plain_rows
from ledger.views.standing import DoubtedTime


@dataclass(frozen=True, slots=True, kw_only=True)
class Year:
    """A year of the log: its first entry, the first one after it, its last day."""

    year: int
    since: int
    until: int
    last_day: str

    @property
    def first_day(self) -> str:
        """The first of January."""
        return f"{self.year}-01-01"


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """The sheets of a year, and what makes them less sure.

    `listed` are boards at the closing of which only the sawyer wrote a mass, and what
    that comes to [mg]; it balances nothing. `rejected` boards are there at the closing
    and used for no instrument. `late` lots came in in another year than they were
    entered. `doubts` are the entries that say that the clock was false for a while.
    """

    year: Year
    sheets: tuple[Sheet, ...]
    listed: int
    listed_mg: int
    rejected: int
    late: tuple[str, ...]
    doubts: tuple[int, ...]


def year_of(shop: Shop, year: int, size: int) -> Year:
    """Return where a year begins and ends in a log of so many entries.

    Raises NotFoundError for one that is still to come, or before the shop was opened.
    """
    today = shop.today()
    if year > int(today[:4]):
        raise NotFoundError(f"{year} is still to come, and today is {today}")

    def moment(index: int) -> str:
        return parse_record(shop.store.record(index)).entry.at

    # Times never go back, but where the clock was doubted.
    since, until = (
        bisect_left(range(size), f"{each:04d}", key=moment) for each in (year, year + 1)
    )
    if until == 0:
        raise NotFoundError(
            f"the shop was opened on {moment(0)[:10]}: ask for {moment(0)[:4]} or later"
        )
    last_day = min(f"{year}-12-31", today)
    return Year(year=year, since=since, until=until, last_day=last_day)


def balance_of(shop: Shop, year: int, *, species: str | None = None) -> Balance:
    """Return the balance of a year, of every species or of one; a genus is all of it.

    Raises NotFoundError where the year is none of the log, or nothing of the species
    was there in it.
    """
    size = shop.store.head().size
    span = year_of(shop, year, size)
    with shop.store.reading() as session:
        book = read_woodbook(session, since=span.since, until=span.until, size=size)
        shares = shares_in(book)
        cuts = list(_cuts(session, shares, span))
        doubts = tuple(session.exec(select(DoubtedTime.idx)).all())
    finished = finished_in(book)
    held = list(_held(book, shares, finished, span))
    found = sheets([board for _, board in held], cuts)
    if species is not None:
        found = [sheet for sheet in found if is_of(sheet.species, species)]
        if not found:
            raise NotFoundError(
                f"there was no wood of {species} in {year}: see how its lots call it"
            )
    named = {sheet.species for sheet in found}
    left = [
        (line, board)
        for line, board in held
        if board.went == "closing" and named & board.shares.keys()
    ]
    only_listed = [
        line.listed_mg
        for line, board in left
        if board.last_mg is None and line.listed_mg is not None
    ]
    return Balance(
        year=span,
        sheets=tuple(found),
        listed=len(only_listed),
        listed_mg=sum(only_listed),
        rejected=sum(_is_before(line.rejected_idx, span.until) for line, _ in left),
        late=tuple(_late(book, named, span)),
        doubts=doubts,
    )


def sheet_of_lot(shop: Shop, session: Session, lot: str) -> Sheet:
    """Return the balance of one lot over the whole log, whatever it was glued to.

    Raises NotFoundError where none of it was ever numbered.
    """
    size, today = shop.store.head().size, shop.today()
    kin = family(session, firsts_of(session, lot), "pieces").boards
    if not kin:
        raise NotFoundError(f"no board of lot {lot} is numbered: number them first")
    book = read_woodbook(session, since=0, until=size, size=size)
    own = replace(book, lines=[line for line in book.lines if line.code in kin])
    shares = shares_of_each(session, kin)
    span = Year(year=int(today[:4]), since=0, until=size, last_day=today)
    held = (board for _, board in _held(own, shares, finished_in(book), span))
    found = sheets(held, _cuts(session, shares, span))
    return next(sheet for sheet in found if sheet.species == lot)


def _held(
    book: WoodBook,
    shares: Mapping[str, Shares],
    finished: Mapping[str, int],
    span: Year,
) -> Iterator[tuple[Line, Held]]:
    """Return every board that was there in a year, or came in it."""
    masses_before = {
        parent: mass_mg
        for parents in book.parents.values()
        for parent, mass_mg in parents.items()
    }
    for line in book.lines:
        ended, went = _end(book, line, span)
        if line.idx >= span.until or ended < span.since:
            continue
        # What leaves by its day alone may do so in a year without an entry.
        code, is_gone = line.code, ended < span.until or went == "shipped"
        by = book.shipped[code][0] if went == "shipped" else ended
        first = span.since if line.idx < span.since else line.idx + 1
        last = ended if is_gone else span.until
        first_mg, last_mg = book.first_mg.get(code), book.last_mg.get(code)
        if line.idx < span.since:
            first_mg = book.opening_mg.get(code)
        if is_gone and went == "sawn":
            last_mg = masses_before[code]
        told = [line.idx] if line.idx >= span.since else []
        yield (
            line,
            Held(
                code=code,
                shares=shares[code],
                came=_came(book, line, span),
                went=went if is_gone else "closing",
                first_mg=first_mg,
                last_mg=last_mg,
                first_mm3=book.volume_mm3(code, first),
                last_mm3=book.volume_mm3(code, last),
                finished_mg=finished.get(code),
                entries=(*told, by) if is_gone else tuple(told),
            ),
        )


def _came(book: WoodBook, line: Line, span: Year) -> Came:
    if line.idx < span.since:
        return "opening"
    if line.code in book.parents:
        return "made"
    return "old stock" if book.lots[line.lot].is_opening else "received"


def _end(book: WoodBook, line: Line, span: Year) -> tuple[int, Went]:
    """Return by which entry a board went and how; one that is there goes at the end."""
    ends: list[tuple[int, Went]] = []
    built = book.built_in.get(line.code)
    if built is not None:
        ends.append((built.idx, "scrapped" if built.is_spoiled else "built in"))
    if line.became_idx is not None:
        ends.append((line.became_idx, "sawn"))
    if line.returned_idx is not None:
        ends.append((line.returned_idx, "sent back"))
    if line.off_idx is not None:
        ends.append((line.off_idx, "scrapped"))
    if ends:
        return min(ends)
    planned, moves_on = book.shipped.get(line.code, (span.until, ""))
    if planned >= span.until or moves_on > span.last_day:
        return span.until, "closing"
    # The day it moves is what counts, and not the day it was planned.
    left_before = moves_on < span.first_day
    return (planned if left_before else max(planned, span.since)), "shipped"


def _cuts(session: Session, shares: Mapping[str, Shares], span: Year) -> Iterator[Sawn]:
    """Return what the cuts of a year took, by the woods of their pieces."""
    query = (
        select(Cut.idx, Cut.dust_mg, Cut.waste_mg, BoardParent.piece)
        .join(BoardParent, col(BoardParent.idx) == col(Cut.idx))
        .where(col(Cut.idx) >= span.since, col(Cut.idx) < span.until)
    )
    pieces = {cut: row for cut, *row in plain_rows(session, query)}
    for cut, (dust_mg, waste_mg, piece) in pieces.items():
        # Of one lot's balance only its own cuts are asked for.
        if piece not in shares:
            continue
        yield Sawn(
            shares=shares[piece],
            dust_mg=dust_mg,
            waste_mg=waste_mg,
            entry=cut,
        )


def _late(book: WoodBook, named: set[str], span: Year) -> Sequence[str]:
    """Return the lots of a year's entries that came in in another year."""
    return [
        lot.code
        for lot in sorted(book.lots.values(), key=lambda lot: lot.idx)
        if lot.species in named
        and not lot.is_opening
        and span.since <= lot.idx < span.until
        and lot.received_on < span.first_day
    ]


def _is_before(idx: int | None, until: int) -> bool:
    return idx is not None and idx < until
