"""What became of a sawyer's wood brought to its page."""

from collections.abc import Iterable, Sequence

from cli import show
from cli.supplier_yield import (
    fates_of,
    grade_lines,
    how_lines,
    made_lines,
    ratio_lines,
    reject_lines,
    yield_lines,
)
from labels.yield_sheet import Row, Section, YieldSheet
from ledger.acts.sawyers import LotTold, SawyerTold
from ledger.acts.shop import Shop
from ledger.quantities import kilograms

HEADS = {"in an instrument": "used", "sawn or glued": "sawn", "returned": "sent back"}
NOT_TONE = (
    "Radiation ratio: sound speed along the grain over density, √(E/ρ³), in m⁴/(kg s): "
    "a measured number, no promise of a tone."
)
COUNTED = (
    "Each half of a set counts as one board, and each board once; used is what went "
    "into an instrument, wholly or in part."
)
GRADES = (
    "Grades are the shop’s, by its own rule; a sawyer’s stand as they were written, "
    "and are never converted."
)


def yield_sheet(
    shop: Shop, told: Sequence[SawyerTold], *, for_sawyer: bool, serials: bool
) -> YieldSheet:
    """Return the page of one sawyer's lots, or of all sawyers."""
    standing = shop.standing()
    name = told[0].name if len(told) == 1 else ""
    rows, total = _rows(told, for_sawyer)
    title = f"Your wood at {standing.name}" if for_sawyer else "Wood by sawyer"
    return YieldSheet(
        shop=standing.name,
        day=shop.today(),
        title=title,
        whose=name or _whose(told),
        lead=_lead(told),
        columns=("came", *(_head(f) for f in fates_of({}, for_sawyer))),
        rows=rows,
        total=total if len(rows) > 1 else None,
        sections=tuple(_sections(told, "your" if for_sawyer else "sawyer’s", serials)),
        notes=(COUNTED, NOT_TONE, f"{GRADES} {_how(told)}"),
        as_of_entry=shop.store.head().size - 1,
    )


def _how(told: Sequence[SawyerTold]) -> str:
    """Say by which method and which rule, in one sentence."""
    said = "; ".join(how_lines(told)).replace("house's", "house’s")
    return f"{_upper(said)}." if said else ""


def _whose(told: Sequence[SawyerTold]) -> str:
    known = sum(each.is_known for each in told)
    old = ", and old stock" if known < len(told) else ""
    return f"{show.counted(known, 'sawyer')}{old}"


def _head(fate: str) -> str:
    return HEADS.get(fate, fate)


def _lead(told: Sequence[SawyerTold]) -> str:
    """Say the whole in two sentences."""
    lots = [lot for each in told for lot in each.lots]
    boards = sum(lot.boards for lot in lots)
    mass = kilograms(sum(lot.mass_mg for lot in lots), places=1)
    made = {serial for each in told for serial in each.instruments}
    said = (
        f"{show.counted(boards, 'board')} in {show.counted(len(lots), 'lot')}, {mass}"
    )
    if not lots:
        return "No wood has come in yet."
    if not made:
        return f"{said} as they came. None is in an instrument yet."
    return (
        f"{said} as they came. Wood of them is in "
        f"{show.counted(len(made), 'instrument')}."
    )


def _rows(told: Sequence[SawyerTold], for_sawyer: bool) -> tuple[tuple[Row, ...], Row]:
    """Return a row for each lot of one sawyer, or for each sawyer; and their sum."""
    lots = [lot for each in told for lot in each.lots]
    if len(told) == 1:
        rows = [
            Row(name=x.lot, kind=x.species, cells=_cells([x], for_sawyer)) for x in lots
        ]
    else:
        rows = [
            Row(name=each.name, kind="", cells=_cells(each.lots, for_sawyer))
            for each in told
        ]
    return tuple(rows), Row(name="together", kind="", cells=_cells(lots, for_sawyer))


def _cells(lots: Iterable[LotTold], for_sawyer: bool) -> tuple[str, ...]:
    fates = [fates_of(lot.fates, for_sawyer) for lot in lots]
    shown = tuple(fates_of({}, for_sawyer))
    sums = [sum(each[fate] for each in fates) for fate in shown]
    return tuple(str(number) if number else "–" for number in (sum(sums), *sums))


def _sections(
    told: Sequence[SawyerTold], whose: str, serials: bool
) -> Iterable[Section]:
    """Yield what was measured, graded, rejected and made; of many each by its name."""
    found: dict[str, list[str]] = {}
    for each in told:
        parts = {
            "Measured": ratio_lines(each),
            "Graded": grade_lines(each, whose),
            "Rejected": reject_lines(each),
            "Made of it": (*yield_lines(each), *made_lines(each, serials)),
        }
        for heading, lines in parts.items():
            found.setdefault(heading, []).extend(
                _upper(text) if len(told) == 1 else f"{each.name}: {text}"
                for text in lines
            )
    for heading, said in found.items():
        if said:
            yield Section(heading=heading, lines=tuple(said))


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
