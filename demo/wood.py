"""Wood in the story: it comes in on lists, rests, is weighed, tapped and sawn."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from demo import judging, stock, tops
from demo.bench import Bench
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
from ledger.errors import RefusedError
from ledger.ids import LotId

PAPERS = Path(__file__).parent / "papers"
RECORDINGS = Path(__file__).parent / "recordings"


@dataclass(frozen=True, slots=True, kw_only=True)
class Woods:
    """What there is to build with: codes by the part they become, and all of them."""

    tops: str  # the lot of spruce
    parts: dict[str, str]
    binding: str
    following: str  # the set for the next guitar
    boards: tuple[str, ...]
    mishaps: tuple[str, ...]


def gather(bench: Bench) -> Woods:
    """Receive all wood, let it rest, weigh it, judge the tops, saw another set."""
    _record_sawyers(bench)
    old = {piece.stock: _old_stock(bench, piece) for piece in stock.PIECES}
    spruce = _delivered(bench, stock.VALDESUND_LIST)
    ((lot, spruce_codes),) = spruce.items()
    _weigh_first(bench, lot)
    walnut, maple = _delivered(bench, stock.ACHTERBERG_LIST).values()
    chosen, following = (f"{lot}-{stock.CHOSEN + n:02d}" for n in (0, 1))
    brace = f"{lot}-{stock.SETS + 1:02d}"
    _weigh_between(bench, lot)
    resting_boards = [
        *(f"{chosen}.{half}" for half in "AB"),
        *(code for code in _judged(lot) if not code.startswith(chosen)),
        brace,
        walnut[0],
        *(code for codes in old.values() for code in codes),
    ]
    struck = _weigh_for_a_month(bench, lot, resting_boards)
    bench.clock.morning_of("2026-07-14")
    judging.read_out(bench, "crib-summer.csv")
    _tap(bench, chosen)
    judging.judge(bench, lot)
    rosewood = old[stock.ROSEWOOD][0].removesuffix(".A")
    pieces, typo = _saw(bench, rosewood)
    back, headplate, strips = pieces
    (neck,), (ebony,) = old[stock.MAHOGANY], old[stock.OLD_PIER]
    gone = f"{lot}-{tops.SHAKEN:02d}"
    return Woods(
        tops=lot,
        parts={
            "top": chosen,
            "back and sides": back,
            "neck": neck,
            "fingerboard and bridge": ebony,
            "braces": brace,
            "headplate": headplate,
        },
        binding=walnut[0],
        following=following,
        boards=(
            *(code for code in spruce_codes if not code.startswith(gone)),
            *(*walnut, *maple, neck, ebony, back, headplate, strips),
        ),
        mishaps=(typo, struck),
    )


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


def _old_stock(bench: Bench, piece: stock.Piece) -> list[str]:
    """Enter wood that was there before the shop kept a record, and number it."""
    shop, old, maura = bench.shop, piece.stock, bench.hands["02"]
    papers: tuple[str, ...] = ()
    if old.paper:
        filed = documents.file_document(
            shop,
            PAPERS / old.paper,
            paper="invoice",
            number=old.number,
            issued_on=None,
            expires_on=None,
            hands=maura,
        )
        papers = (filed,)
    sawyer = old.sawyer
    draft = lots.LotDraft(
        species=old.species,
        trade_name=old.trade_name,
        form=old.form,
        boards=old.boards,
        received_on=old.received_on,
        supplier=suppliers.find_supplier(shop, sawyer.name) if sawyer else None,
        documents=papers,
        harvested_in=old.harvested_in,
        evidence=old.evidence,
        is_opening=True,
        code=LotId.parse(old.code),
    )
    lot = LotId.parse(lots.receive_lot(shop, draft, maura))
    measured = boards.BoardDraft(
        meant_for=piece.meant_for,
        length_um=quantities.length_um(piece.length),
        width_um=quantities.length_um(piece.width),
        thickness_um=quantities.length_um(piece.thickness),
        masses_mg=tuple(quantities.mass_mg(text) for text in piece.masses),
    )
    return boards.number_boards(shop, lot, [measured], maura)


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


def _weigh_between(bench: Bench, lot: str) -> None:
    """Measure the sets that are judged, and weigh them twice in the spring."""
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
    for day in stock.SPRING_DAYS:
        bench.clock.morning_of(day)
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


def _saw(bench: Bench, code: str) -> tuple[list[str], str]:
    """Saw the rosewood set; return the pieces, and why a typing slip was refused."""
    shop, jakub = bench.shop, bench.hands["03"]
    back, headplate, strips = stock.SAWN
    try:
        sawing.split(
            shop,
            codes=[code],
            pieces=(back, stock.TYPED_WRONG, strips),
            waste_mg=stock.SAWDUST_MG,
            hands=jakub,
        )
    except RefusedError as refusal:
        told = str(refusal)
    pieces = sawing.split(
        shop,
        codes=[code],
        pieces=(back, headplate, strips),
        waste_mg=stock.SAWDUST_MG,
        hands=jakub,
    )
    return pieces, told
