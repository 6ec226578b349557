"""flitchbook supplier yield: what became of each sawyer's wood.

With --for-sawyer it is what the sawyer may be told: only that sawyer's own wood, in no
instrument by its serial unless --with-serials, and nothing of owners or money.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any, Literal

import typer

from cli import pictures, show
from cli.context import Desk, reads
from cli.pictures import OutOption, PrintOption
from cli.printing import LanguageOption, Place
from labels.tongue import Tongue, tongue
from ledger.errors import RefusedError

NameArgument = Annotated[
    str, typer.Argument(help="The sawyer, by name or part of it; else all.")
]
ForOption = Annotated[
    bool, typer.Option("--for-sawyer", help="Only what the sawyer may be told.")
]
SerialsOption = Annotated[
    bool, typer.Option("--with-serials", help="Tell the sawyer the serials too.")
]
PaperOption = Annotated[
    Literal["A4", "Letter"] | None,
    typer.Option("--on", help="The paper; else the shop's own."),
]
# Whether wood is ready is the shop's affair.
SHOPS_OWN = ("ready", "resting")
ENGLISH = tongue("en")


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the supplier."""
    reads(app, "yield")(yield_)


def yield_(
    desk: Desk,
    name: NameArgument = "",
    for_sawyer: ForOption = False,
    with_serials: SerialsOption = False,
    out: OutOption = None,
    on: PaperOption = None,
    language: LanguageOption = None,
    queue: PrintOption = "",
) -> None:
    """Tell what became of each sawyer's wood: rejects, grades, yield, instruments."""
    from ledger.acts.sawyers import by_sawyer
    from ledger.acts.suppliers import find_supplier

    _require_sense(name, for_sawyer=for_sawyer, with_serials=with_serials)
    place = pictures.place(out, queue)
    supplier = find_supplier(desk.shop, name) if name else None
    with desk.shop.store.reading() as session:
        told = by_sawyer(
            desk.shop,
            session,
            supplier,
            progress=show.Progress("working out boards"),
        )
    serials = with_serials or not for_sawyer
    lines = [row for each in told for row in _lines(each, for_sawyer, serials)]
    if place:
        sheet = _sheet(desk, told, language, for_sawyer=for_sawyer, serials=serials)
        lines += _drawn(desk, sheet, place, on)
    data = [sawyer_data(each, for_sawyer, serials) for each in told]
    answer = data[0] if for_sawyer else {"sawyers": data}
    show.answer(
        desk,
        lines or ["no wood has come in yet"],
        **answer,
        picture=str(out) if out else None,
    )


def _require_sense(name: str, *, for_sawyer: bool, with_serials: bool) -> None:
    if for_sawyer and not name:
        raise RefusedError(
            "a sawyer is told of the own wood only: name the sawyer before --for-sawyer"
        )
    if with_serials and not for_sawyer:
        raise RefusedError(
            "the shop sees its serials anyway: give --with-serials with --for-sawyer"
        )


def _sheet(
    desk: Desk, told: Any, language: str | None, *, for_sawyer: bool, serials: bool
) -> Any:
    from cli.papers_yield import yield_sheet

    return yield_sheet(
        desk.shop,
        told,
        for_sawyer=for_sawyer,
        serials=serials,
        language=language or desk.shop.settings.language,
    )


def _drawn(desk: Desk, sheet: Any, place: Place, on: str | None) -> list[str]:
    from labels import yield_sheet as sheets

    for text in sheets.notices(sheet):
        show.notice(text)
    pdf = sheets.draw(sheet, paper=on or desk.shop.settings.paper)
    return pictures.put_paper(pdf, place, title=sheet.title)


def _lines(told: Any, for_sawyer: bool, serials: bool) -> Iterator[str]:
    yield told.name
    if not told.lots:
        yield "  no wood of this sawyer has come in yet"
    for lot in told.lots:
        yield f"  {lot.lot}  {lot.species}, came in on {lot.received_on}: {came(lot)}"
        yield f"    {fates_words(lot.fates, for_sawyer)}"
    told_lines = (
        *ratio_lines(told),
        *grade_lines(told, "sawyer's"),
        *reject_lines(told),
        *yield_lines(told),
        *made_lines(told, serials),
        *how_lines([told]),
    )
    yield from (f"  {text}" for text in told_lines)


def came(lot: Any) -> str:
    """Say how much came in, and how much of it is known by its mass."""
    from ledger.quantities import kilograms

    said = f"{lot.came} as listed, {show.counted(lot.boards, 'board')} numbered"
    if not lot.weighed:
        return f"{said}, none weighed"
    of = "" if lot.weighed == lot.boards else f" ({lot.weighed} of them weighed)"
    return f"{said}, {kilograms(lot.mass_mg, places=2)}{of}"


def fates_of(fates: Mapping[str, int], for_sawyer: bool) -> dict[str, int]:
    """Return how many boards became what, as far as it may be told."""
    from ledger.acts.sawyers import FATES, RACK

    if not for_sawyer:
        return {fate: fates.get(fate, 0) for fate in FATES}
    rack = sum(fates.get(fate, 0) for fate in SHOPS_OWN)
    others = {f: fates.get(f, 0) for f in FATES if f not in SHOPS_OWN}
    return {RACK: rack} | others


def fates_words(fates: Mapping[str, int], for_sawyer: bool) -> str:
    """Say how many boards became what, each once."""
    told = fates_of(fates, for_sawyer)
    return ", ".join(f"{n} {fate}" for fate, n in told.items() if n) or "none numbered"


def ratio_lines(told: Any, say: Tongue = ENGLISH) -> Iterator[str]:
    """Yield the radiation ratios of each species."""
    from ledger.quantities import RATIO_UNIT

    for species, spread in told.ratios.items():
        low, high = spread.quartiles_milli or (0, 0)
        boards = say.many(
            spread.number, "{number} tapped board", "{number} tapped boards"
        )
        said = say(
            "{species}: radiation ratio {middle} {unit} in the middle, of {boards}"
        )
        if spread.quartiles_milli:
            said = say(
                "{species}: radiation ratio {middle} {unit} in the middle, half of "
                "them {low} to {high}, of {boards}"
            )
        yield said.format(
            species=species,
            middle=f"{spread.median_milli / 1000:.1f}",
            unit=RATIO_UNIT,
            low=f"{low / 1000:.1f}",
            high=f"{high / 1000:.1f}",
            boards=boards.format(number=spread.number),
        )


def grade_lines(told: Any, whose: str, say: Tongue = ENGLISH) -> Iterator[str]:
    """Yield the house's grades beside each of the sawyer's own, word for word."""
    theirs = told.counted("supplier_grades")
    for own in sorted({g.supplier_grade or "" for g in told.grades} | set(theirs)):
        counts: dict[str, int] = {}
        for graded, number in told.grades.items():
            if (graded.supplier_grade or "") == own:
                counts[graded.grade] = counts.get(graded.grade, 0) + number
        house = ", ".join(f"{grade} {counts[grade]}" for grade in sorted(counts))
        graded_so = say("house grade {grades}").format(grades=house)
        house = graded_so if house else say("not graded by the house yet")
        boards = boards_words(theirs[own], say)
        yield f"{whose} “{own}”, {boards}: {house}" if own else house


def boards_words(number: int, say: Tongue = ENGLISH) -> str:
    """Say how many boards there are."""
    return say.many(number, "{number} board", "{number} boards").format(number=number)


def reject_lines(told: Any, say: Tongue = ENGLISH) -> Iterator[str]:
    """Yield what boards and pieces were rejected for."""
    faults = told.counted("faults")
    if faults:
        worst = sorted(faults.items(), key=lambda each: (-each[1], each[0]))
        said = ", ".join(f"{fault} {number}" for fault, number in worst)
        pieces = sum(lot.rejected_pieces for lot in told.lots)
        also = say.many(
            pieces, "{number} piece after sawing", "{number} pieces after sawing"
        ).format(number=pieces)
        faults_words = say("rejected for {faults}").format(faults=said)
        yield f"{faults_words}; {also}" if pieces else faults_words


def yield_lines(told: Any, say: Tongue = ENGLISH) -> Iterator[str]:
    """Yield how much of the weighed wood is in finished, weighed parts."""
    from ledger.quantities import kilograms, percent

    made = told.made
    if made.ppm is not None:
        yield say(
            "yield {share}: {finished} of finished parts from {wood} of boards, as "
            "they came"
        ).format(
            share=percent(made.ppm, places=0),
            finished=kilograms(made.finished_mg, places=2),
            wood=kilograms(made.wood_mg, places=2),
        )


def made_lines(told: Any, serials: bool, say: Tongue = ENGLISH) -> Iterator[str]:
    """Yield in how many instruments there is wood, by model, or each by its serial."""
    made = told.instruments
    if not made:
        return
    models: dict[str, list[str]] = {}
    for serial, model in made.items():
        models.setdefault(model, []).append(serial)
    said = ", ".join(f"{len(each)} {model}" for model, each in sorted(models.items()))
    yield say.many(
        len(made),
        "in {number} instrument: {models}",
        "in {number} instruments: {models}",
    ).format(number=len(made), models=said)
    if serials:
        yield say("serials {serials}").format(serials=", ".join(sorted(made)))


def how_lines(told: Sequence[Any], say: Tongue = ENGLISH) -> Iterator[str]:
    """Yield by which method all this was measured, and by which rule it was graded."""
    methods = sorted({m for each in told for lot in each.lots for m in lot.methods})
    rules = sorted({graded.rule for each in told for graded in each.grades})
    if methods:
        yield say("measured by {methods}").format(methods=", ".join(methods))
    if rules:
        yield say("graded by the house's rule {rules}; the newest grade counts").format(
            rules=", ".join(rules)
        )


def sawyer_data(told: Any, for_sawyer: bool, serials: bool) -> dict[str, Any]:
    """Return what is told of a sawyer's wood, for a program."""
    models: dict[str, int] = {}
    for model in told.instruments.values():
        models[model] = models.get(model, 0) + 1
    data = {
        "sawyer": told.name if told.is_known else None,
        "lots": [_lot_data(lot, for_sawyer, serials) for lot in told.lots],
        "radiation_ratio_milli": {
            species: {
                "number": spread.number,
                "median_milli": spread.median_milli,
                "quartiles_milli": spread.quartiles_milli,
            }
            for species, spread in told.ratios.items()
        },
        "grades": _grades_data(told),
        "faults": dict(told.counted("faults")),
        "finished_mg": told.made.finished_mg,
        "wood_mg": told.made.wood_mg,
        "yield_ppm": told.made.ppm,
        "models": models,
    }
    return data | ({"serials": sorted(told.instruments)} if serials else {})


def _lot_data(lot: Any, for_sawyer: bool, serials: bool) -> dict[str, Any]:
    data = {
        "lot": lot.lot,
        "species": lot.species,
        "received_on": lot.received_on,
        "came": lot.came,
        "boards": lot.boards,
        "weighed": lot.weighed,
        "mass_mg": lot.mass_mg,
        "boards_by_fate": fates_of(lot.fates, for_sawyer),
        "rejected_pieces": lot.rejected_pieces,
        "faults": dict(lot.faults),
        "finished_mg": lot.made.finished_mg,
        "wood_mg": lot.made.wood_mg,
        "instruments": len(lot.instruments),
        "methods": sorted(lot.methods),
    }
    if not for_sawyer:
        data["entry"] = lot.idx
    return data | ({"serials": sorted(lot.instruments)} if serials else {})


def _grades_data(told: Any) -> list[dict[str, Any]]:
    rows = [
        {
            "grade": graded.grade,
            "rule": graded.rule,
            "supplier_grade": graded.supplier_grade,
            "boards": number,
        }
        for graded, number in told.grades.items()
    ]
    return sorted(rows, key=lambda row: (row["rule"], row["grade"], str(row)))
