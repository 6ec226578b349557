"""What became of a sawyer's wood brought to its page."""

from collections.abc import Iterable, Sequence

from cli.papers_letterhead import letterhead_of
from cli.supplier_yield import (
    boards_words,
    fates_of,
    grade_lines,
    how_lines,
    made_lines,
    ratio_lines,
    reject_lines,
    yield_lines,
)
from labels.tongue import Tongue, term, tongue
from labels.yield_sheet import Row, Section, YieldSheet
from ledger.acts.sawyers import LotTold, SawyerTold
from ledger.acts.shop import Shop
from ledger.quantities import kilograms

HEADS = {
    "in an instrument": term("used"),
    "sawn or glued": term("sawn"),
    "returned": term("sent back"),
}
# The other fates, as the record names them.
FATES = (
    term("in the rack"),
    term("ready"),
    term("resting"),
    term("rejected"),
)
NOT_TONE = term(
    "Radiation ratio: sound speed along the grain over density, √(E/ρ³), in m⁴/(kg s): "
    "a measured number, no promise of a tone."
)
COUNTED = term(
    "Each half of a set counts as one board, and each board once; used is what went "
    "into an instrument, wholly or in part."
)
GRADES = term(
    "Grades are the shop’s, by its own rule; a sawyer’s stand as they were written, "
    "and are never converted."
)


def yield_sheet(
    shop: Shop,
    told: Sequence[SawyerTold],
    *,
    for_sawyer: bool,
    serials: bool,
    language: str = "en",
) -> YieldSheet:
    """Return the page of one sawyer's lots, or of all sawyers."""
    standing, say = shop.standing(), tongue(language)
    name = _name(told[0], say) if len(told) == 1 else ""
    rows, total = _rows(told, for_sawyer, say)
    title = say("Wood by sawyer")
    if for_sawyer:
        title = say("Your wood at {shop}").format(shop=standing.name)
    whose = say("your") if for_sawyer else say("sawyer’s")
    return YieldSheet(
        head=letterhead_of(shop),
        day=shop.today(),
        title=title,
        whose=name or _whose(told, say),
        lead=_lead(told, say),
        columns=(say("came"), *(_head(f, say) for f in fates_of({}, for_sawyer))),
        rows=rows,
        total=total if len(rows) > 1 else None,
        sections=tuple(_sections(told, whose, serials, say)),
        notes=(say(COUNTED), say(NOT_TONE), f"{say(GRADES)} {_how(told, say)}"),
        as_of_entry=shop.store.head().size - 1,
        language=language,
    )


def _name(told: SawyerTold, say: Tongue) -> str:
    return told.name if told.is_known else say("old stock, of no sawyer on record")


def _how(told: Sequence[SawyerTold], say: Tongue) -> str:
    """Say by which method and which rule, in one sentence."""
    said = "; ".join(how_lines(told, say)).replace("house's", "house’s")
    return f"{_upper(said)}." if said else ""


def _whose(told: Sequence[SawyerTold], say: Tongue) -> str:
    known = sum(each.is_known for each in told)
    said = say.many(known, "{number} sawyer", "{number} sawyers")
    if known < len(told):
        said = say.many(
            known, "{number} sawyer, and old stock", "{number} sawyers, and old stock"
        )
    return said.format(number=known)


def _head(fate: str, say: Tongue) -> str:
    return say(HEADS.get(fate, fate))


def _lead(told: Sequence[SawyerTold], say: Tongue) -> str:
    """Say the whole in two sentences."""
    lots = [lot for each in told for lot in each.lots]
    boards = sum(lot.boards for lot in lots)
    mass = kilograms(sum(lot.mass_mg for lot in lots), places=1)
    made = {serial for each in told for serial in each.instruments}
    if not lots:
        return say("No wood has come in yet.")
    said = say.many(
        len(lots),
        "{boards} in {number} lot, {mass} as they came.",
        "{boards} in {number} lots, {mass} as they came.",
    ).format(boards=boards_words(boards, say), number=len(lots), mass=mass)
    used = say("None is in an instrument yet.")
    if made:
        used = say.many(
            len(made),
            "Wood of them is in {number} instrument.",
            "Wood of them is in {number} instruments.",
        ).format(number=len(made))
    return f"{said} {used}"


def _rows(
    told: Sequence[SawyerTold], for_sawyer: bool, say: Tongue
) -> tuple[tuple[Row, ...], Row]:
    """Return a row for each lot of one sawyer, or for each sawyer; and their sum."""
    lots = [lot for each in told for lot in each.lots]
    if len(told) == 1:
        rows = [
            Row(name=x.lot, kind=x.species, cells=_cells([x], for_sawyer)) for x in lots
        ]
    else:
        rows = [
            Row(name=_name(each, say), kind="", cells=_cells(each.lots, for_sawyer))
            for each in told
        ]
    return tuple(rows), Row(
        name=say("together"), kind="", cells=_cells(lots, for_sawyer)
    )


def _cells(lots: Iterable[LotTold], for_sawyer: bool) -> tuple[str, ...]:
    fates = [fates_of(lot.fates, for_sawyer) for lot in lots]
    shown = tuple(fates_of({}, for_sawyer))
    sums = [sum(each[fate] for each in fates) for fate in shown]
    return tuple(str(number) if number else "–" for number in (sum(sums), *sums))


def _sections(
    told: Sequence[SawyerTold], whose: str, serials: bool, say: Tongue
) -> Iterable[Section]:
    """Yield what was measured, graded, rejected and made; of many each by its name."""
    found: dict[str, list[str]] = {}
    for each in told:
        parts = {
            say("Measured"): ratio_lines(each, say),
            say("Graded"): grade_lines(each, whose, say),
            say("Rejected"): reject_lines(each, say),
            say("Made of it"): (
                *yield_lines(each, say),
                *made_lines(each, serials, say),
            ),
        }
        for heading, lines in parts.items():
            found.setdefault(heading, []).extend(
                _upper(text) if len(told) == 1 else f"{_name(each, say)}: {text}"
                for text in lines
            )
    for heading, said in found.items():
        if said:
            yield Section(heading=heading, lines=tuple(said))


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
