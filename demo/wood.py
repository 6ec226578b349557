"""Wood in the story: it comes in on lists, rests, is weighed, tapped and sawn."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from demo import judging, oldstock, sawn, stock, tops
from demo.bench import Bench, refused
from ledger import quantities
from ledger.acts import (
    boards,
    corrections,
    deliveries,
    documents,
    lots,
    measuring,
    packing,
    rooms,
    sawing,
    suppliers,
    tapping,
)
from ledger.ids import LotId
from ledger.views.boards import set_of

PAPERS = Path(__file__).parent / "papers"
RECORDINGS = Path(__file__).parent / "recordings"


@dataclass(frozen=True, slots=True, kw_only=True)
class Woods:
    """What there is to build with: codes by the part they become.

    `spare` is wood for a part that was made ready twice; `boards` are those that came
    on a list, and what the saw left over.
    """

    tops: str  # the lot of spruce
    flat_top: dict[str, str]
    arch_top: dict[str, str]
    solid_body: dict[str, str]
    spare: dict[str, str]
    binding: str
    following: str  # the set for the next guitar
    boards: tuple[str, ...]
    mishaps: tuple[str, ...]


def gather(bench: Bench) -> Woods:
    """Receive all wood, let it rest, weigh it, judge the tops, saw the rest."""
    _record_sawyers(bench)
    old = _old_stock(bench)
    spruce = _delivered(bench, stock.VALDESUND_LIST)
    ((lot, spruce_codes),) = spruce.items()
    _weigh_first(bench, lot)
    walnut, maple = _delivered(bench, stock.ACHTERBERG_LIST).values()
    chosen, following, plainer = (f"{lot}-{stock.CHOSEN + n:02d}" for n in (0, 1, 3))
    old[sawn.BRACE_BILLET] = [f"{lot}-{stock.SETS + 1:02d}"]
    _weigh_between(bench, lot, _carved(old))
    resting_boards = [
        *(f"{chosen}.{half}" for half in "AB"),
        *(code for code in _judged(lot) if not code.startswith(chosen)),
        walnut[0],
        *(code for codes in old.values() for code in codes),
    ]
    struck = _weigh_for_a_month(bench, lot, resting_boards)
    bench.clock.morning_of("2026-07-14")
    judging.read_out(bench, "crib-summer.csv")
    _tap(bench, chosen)
    judging.judge(bench, lot)
    judging.judge_carved(bench, old)
    pieces, typo = _saw(bench, {name: codes[0] for name, codes in old.items()})
    names = {name: set_of(codes[0]) for name, codes in old.items()} | pieces
    gone = (f"{lot}-{tops.SHAKEN:02d}", names[sawn.BRACE_BILLET])
    flat_top = {"top": chosen} | _named(sawn.FLAT_TOP, names)
    arch_top, solid_body = (
        _named(parts, names) for parts in (sawn.ARCH_TOP, sawn.SOLID_BODY)
    )
    spare = {"top": plainer, "tailpiece": names[sawn.SPARE_TAILPIECE]}
    wanted = {*flat_top.values(), *arch_top.values(), spare["tailpiece"]}
    wanted |= {*solid_body.values()}
    return Woods(
        tops=lot,
        flat_top=flat_top,
        arch_top=arch_top,
        solid_body=solid_body,
        spare=spare,
        binding=walnut[0],
        following=following,
        boards=(
            *(code for code in spruce_codes if not code.startswith(gone)),
            *(*walnut, *maple),
            *(code for code in pieces.values() if code not in wanted),
        ),
        mishaps=(typo, struck),
    )


def _carved(old: Mapping[str, Sequence[str]]) -> list[str]:
    """Return the boards of thick wood, which dries for longer than a plate."""
    return [code for thick in oldstock.CARVED for code in old[thick.name]]


def _named(parts: Mapping[str, str], names: Mapping[str, str]) -> dict[str, str]:
    """Return the boards of parts, which the tables call by their names."""
    return {part: names[name] for part, name in parts.items()}


def _record_sawyers(bench: Bench) -> None:
    for sawyer in stock.SAWYERS:
        suppliers.record_supplier(
            bench.shop,
            name=sawyer.name,
            shown=sawyer.shown,
            region=sawyer.region,
            country=sawyer.country,
            hands=bench.hands["02"],
        )


def _old_stock(bench: Bench) -> dict[str, list[str]]:
    """Enter wood that was there before the shop kept a record, and number it.

    Returns the codes of each piece by its name.
    """
    shop, maura = bench.shop, bench.hands["02"]
    papers: dict[str, str] = {}
    found: dict[str, list[str]] = {}
    for old in oldstock.OLD_STOCK:
        if old.paper and old.paper not in papers:
            papers[old.paper] = documents.file_document(
                shop,
                PAPERS / old.paper,
                paper="invoice",
                number=old.number,
                issued_on=None,
                expires_on=None,
                hands=maura,
            )
        lot = LotId.parse(lots.receive_lot(shop, _lot_draft(bench, old, papers), maura))
        for piece in old.pieces:
            draft = _board_draft(piece)
            found[piece.name] = boards.number_boards(shop, lot, [draft], maura)
        measuring.move(shop, [str(lot)], "crib, shelf C", hands=maura)
    return found


def _lot_draft(
    bench: Bench, old: oldstock.OldStock, papers: Mapping[str, str]
) -> lots.LotDraft:
    sawyer = old.sawyer
    return lots.LotDraft(
        species=old.species,
        trade_name=old.trade_name,
        form=old.form,
        boards=old.boards,
        received_on=old.received_on,
        supplier=suppliers.find_supplier(bench.shop, sawyer.name) if sawyer else None,
        documents=(papers[old.paper],) if old.paper else (),
        harvested_in=old.harvested_in,
        evidence=old.evidence,
        is_opening=True,
        code=LotId.parse(old.code),
    )


def _board_draft(piece: oldstock.Piece) -> boards.BoardDraft:
    length, width, thickness = (quantities.length_um(text) for text in piece.sizes)
    return boards.BoardDraft(
        meant_for=piece.meant_for,
        length_um=length,
        width_um=width,
        thickness_um=thickness,
        masses_mg=tuple(quantities.mass_mg(text) for text in piece.masses),
    )


def _delivered(bench: Bench, came: stock.Listed) -> dict[str, list[str]]:
    """Receive what a sawyer's packing list lists; return the boards by their lot."""
    bench.clock.morning_of(came.received_on)
    path = PAPERS / came.paper
    data = path.read_bytes()
    listed = packing.read_list(data)
    draft = lots.LotDraft(
        species="",
        form=came.form,
        boards=0,
        received_on=came.received_on,
        supplier=suppliers.find_supplier(bench.shop, came.sawyer.name),
        harvested_in=came.harvested_in,
    )
    told = deliveries.Told(lot=draft, by_species=came.by_species)
    found = deliveries.parcels(listed, told)
    return deliveries.deliver(bench.shop, data, found, hands=bench.hands["02"]).lots


def _weigh_first(bench: Bench, lot: str) -> None:
    """Weigh what the sawyer's list gave no mass of, and carry it into the crib."""
    shop, maura = bench.shop, bench.hands["02"]
    for number in range(1, stock.SETS + 1):
        for half in "AB":
            mass = stock.first_mass_mg(number, half)
            measuring.weigh(shop, f"{lot}-{number:02d}.{half}", mass, hands=maura)
    brace = f"{lot}-{stock.SETS + 1:02d}"
    measuring.weigh(shop, brace, stock.BRACE_MASS_MG, hands=maura)
    measuring.move(shop, [lot], "crib, shelf B", hands=maura)


def _judged(lot: str) -> dict[str, tuple[tops.Top, str]]:
    """Return the halves of the sets that are judged, by their codes."""
    return {
        f"{lot}-{top.number:02d}.{half}": (top, half)
        for top in tops.TOPS
        for half in "AB"
    }


def _weigh_between(bench: Bench, lot: str, carved: Iterable[str]) -> None:
    """Measure the sets that are judged; weigh them and thick wood twice in spring."""
    shop, maura = bench.shop, bench.hands["02"]
    bench.clock.morning_of(stock.MEASURED_ON)
    for code in _judged(lot):
        measuring.measure(
            shop,
            code,
            length_um=tops.LENGTH_UM,
            width_um=tops.WIDTH_UM,
            thicknesses_um=tops.THICKNESSES_UM,
            hands=maura,
        )
    first = dict(_first_masses(bench, carved))
    for day, permille in zip(stock.SPRING_DAYS, oldstock.SPRING_PERMILLE, strict=True):
        bench.clock.morning_of(day)
        for code, mass in first.items():
            damp = mass * (1000 + permille) // 1000
            measuring.weigh(shop, code, damp, hands=maura)
        for code, (top, half) in _judged(lot).items():
            mass = top.mass_mg(half, stock.weeks_here(day))
            measuring.weigh(shop, code, mass, hands=maura)


def _weigh_for_a_month(bench: Bench, lot: str, codes: list[str]) -> str:
    """Weigh once a week, and read the air; one slip of the pen is struck.

    Returns what was said of the slip.
    """
    shop, maura = bench.shop, bench.hands["02"]
    first, judged = dict(_first_masses(bench, codes)), _judged(lot)
    told = ""
    for week, day in enumerate(stock.WEEKS):
        bench.clock.morning_of(day)
        warmth, humidity = stock.AIR[week % len(stock.AIR)]
        rooms.measure_room(
            shop,
            room=judging.CRIB,
            temperature_millikelvin=warmth,
            humidity_ppm=humidity,
            hands=maura,
        )
        for number, code in enumerate(codes):
            mass = stock.weekly_mass_mg(first[code], week)
            if code in judged:
                top, half = judged[code]
                mass = top.mass_mg(half, stock.weeks_here(day))
            if (week, number) == (1, 0):
                wrong = measuring.weigh(shop, code, mass + 9_000, hands=maura)
                reason = "read 9 g too much, the lead block lay on the scale"
                index = wrong.entry.index
                by = corrections.correct(shop, index, reason=reason, hands=maura)
                told = f"entry {index} is struck by entry {by.index}: {reason}"
            measuring.weigh(shop, code, mass, hands=maura)
    return told


def _first_masses(bench: Bench, codes: Iterable[str]) -> Iterator[tuple[str, int]]:
    with bench.shop.store.reading() as session:
        for code in codes:
            board = boards.one_board(session, code)
            yield code, int(board.mass_mg or board.listed_mg or 0)


def _tap(bench: Bench, chosen: str) -> None:
    """Tap both halves of a set and read the three modes of each."""
    for half, name in stock.TAPS.items():
        tapping.tap(
            bench.shop,
            f"{chosen}.{half}",
            RECORDINGS / name,
            held_as="plate",
            expected=stock.TAPPED_NEAR_MILLIHERTZ,
            hands=bench.hands["03"],
        )


def _saw(bench: Bench, codes: Mapping[str, str]) -> tuple[dict[str, str], str]:
    """Saw what is to be several parts; return the pieces, and why a slip was refused.

    A piece is called by its board and what it is meant for; of two alike the other is
    the second.
    """
    first = sawn.SAWN[0]
    slip = [*first.pieces[:2], sawn.TYPED_WRONG, *first.pieces[3:]]
    told = refused(partial(_split, bench, codes[first.board], slip, first.waste_mg))
    found: dict[str, str] = {}
    for cut in sawn.SAWN:
        made = _split(bench, codes[cut.board], cut.pieces, cut.waste_mg)
        for code, piece in zip(made, cut.pieces, strict=True):
            name = f"{cut.board}, {piece.meant_for}"
            if name in found:
                name = f"{cut.board}, second {piece.meant_for}"
            found[name] = code
    return found, told


def _split(
    bench: Bench, code: str, pieces: Sequence[sawing.PieceDraft], waste_mg: int
) -> list[str]:
    return sawing.split(
        bench.shop,
        codes=[code],
        pieces=pieces,
        waste_mg=waste_mg,
        hands=bench.hands["03"],
    )
