"""flitchbook board show: all that is known of a board, on one screen."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Annotated, Any

import typer

from cli import show
from cli.board_bend import bent_data, bent_lines
from cli.board_rest import ahead_data, verdict_data, verdict_lines, waits_lines
from cli.board_tap import figure_data, figure_words, reading_data, reading_words
from cli.context import Desk, reads
from cli.disputed import entry_words

BoardArgument = Annotated[
    str, typer.Argument(help="A board or one half of a set, or its scan.")
]
# Names an entry, and since when it is in dispute.
Named = Callable[[int], str]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the board."""
    reads(app, "show")(show_)


def show_(desk: Desk, board: BoardArgument) -> None:
    """Show all that is known of a board on one screen."""
    from ledger.acts.boards import stored_board
    from ledger.acts.forecast import forecast
    from ledger.acts.resting import readiness

    today = desk.shop.today()
    with desk.shop.store.reading() as session:
        row = stored_board(session, desk.own(board))
        verdict = readiness(session, row, today=today)
        ahead = forecast(session, row)
        since = partial(_disputed, session, desk.shop.standing())
        named = partial(_named, since)
        told = [_measured(session, row, named), _looked_at(session, row, named)]
        lines = [
            *(line for lines, _ in told for line in lines),
            *(f"  {line}" for line in verdict_lines(row, verdict)),
            *(f"      {line}" for line in waits_lines(row, verdict, ahead, today)),
            *(f"      {line}" for line in _why(desk.shop, session, row, named)),
        ]
        data = {name: value for _, facts in told for name, value in facts.items()}
        disputed = since(row.idx, row.allotted_idx, *_entries(data))
    show.answer(
        desk,
        lines,
        **data,
        disputed=[{"entry": e, "disputed_since": s} for e, s in disputed.items()],
        ready=verdict_data(row, verdict),
        forecast=ahead_data(ahead),
    )


def _disputed(session: Any, standing: Any, *entries: int | None) -> dict[int, int]:
    from ledger.acts.disputes import disputed_at

    known = (entry for entry in entries if entry is not None)
    return disputed_at(session, standing, known)


def _named(since: Callable[[int], dict[int, int]], entry: int) -> str:
    return entry_words(entry, since(entry).get(entry))


def _entries(told: Any) -> Iterator[int]:
    """Yield every entry that an answer rests on."""
    if isinstance(told, dict):
        names = ("entry", "placed_by", "made_into_pieces_by", "struck_by")
        yield from (told[name] for name in names if isinstance(told.get(name), int))
    for each in told.values() if isinstance(told, dict) else told:
        if isinstance(each, dict | list):
            yield from _entries(each)


def _measured(session: Any, row: Any, named: Named) -> tuple[list[str], dict[str, Any]]:
    """Return what rule, scale and meter said of a board."""
    from ledger.acts.measuring import density_of, species_of
    from ledger.acts.plausible import density_words
    from ledger.views.measures import (
        meterings_of,
        placings_of,
        sizings_of,
        weighings_of,
    )

    species, density = species_of(session, row.code), density_of(row)
    weighings, metered = (
        weighings_of(session, row.code),
        meterings_of(session, row.code),
    )
    is_listed = all(s.is_listed for s in sizings_of(session, row.code))
    lines = [
        f"{row.code}: {species}, for {row.meant_for}, of lot {row.lot}",
        *_numbered(row, named),
        *_facts(row, named, is_listed=is_listed),
        *([f"  density      {density_words(density, species)}"] if density else []),
        *_mass_lines(weighings, named),
        *(_meter_line(each, named) for each in metered),
    ]
    placed = placings_of(session, row.code)[-1:]
    data = _fact_data(row) | {
        "placed_by": placed[0].idx if placed else None,
        "placed_on": placed[0].moment[:10] if placed else None,
        "sizes_listed": is_listed,
        "species": species,
        "density_gram_per_m3": density,
        "weighings": [
            {"day": w.day, "mass_mg": w.mass_mg, "entry": w.idx} for w in weighings
        ],
        "meter_readings": [_meter_data(row) for row in metered],
    }
    return lines, data


def _looked_at(
    session: Any, row: Any, named: Named
) -> tuple[list[str], dict[str, Any]]:
    """Return how a board rang, its pictures, its grades, and if it was rejected."""
    from ledger.acts.flexing import bendings
    from ledger.acts.stiffness import rung
    from ledger.views.grading import gradings_of, rejection_of
    from ledger.views.readings import photographs_of

    taps, pictures = rung(session, row.code), photographs_of(session, [row.code])
    bent = bendings(session, row.code)
    graded, rejected = gradings_of(session, row.code), rejection_of(session, row.code)
    lines = [
        *(line for tap in taps for line in _tap_lines(tap, named)),
        *(line for each in bent for line in _bent_lines(each, named)),
        *(f"  photograph   {p.face}, {named(p.idx)}" for p in pictures),
        *(line for row in reversed(graded) for line in _grade_lines(row, named)),
        *(_reject_lines(rejected, named) if rejected else ()),
    ]
    data = {
        "taps": [_tap_data(tap) for tap in taps],
        "bent": [_bent_data(each) for each in bent],
        "photographs": [
            {"face": p.face, "sha256": p.digest, "entry": p.idx} for p in pictures
        ],
        "grades": [_grade_data(row) for row in graded],
        "rejected": _reject_data(rejected) if rejected else None,
    }
    return lines, data


def _numbered(row: Any, named: Named) -> Iterator[str]:
    """Yield by which entry a board got its number, where that is in dispute."""
    words = named(row.idx)
    if words != entry_words(row.idx, None):
        yield f"  numbered     {words}"


def _meter_line(row: Any, named: Named) -> str:
    """Say what a meter showed, as it was set, and what that comes to."""
    from ledger.quantities import celsius, percent

    return (
        f"  meter        {percent(row.reading_ppm)} on {row.day} with {row.meter}, set "
        f"to {row.setting}, wood at {celsius(row.temperature_millikelvin)}: "
        f"{percent(row.moisture_ppm, places=1)} by {row.rule}, {named(row.idx)}"
    )


def _meter_data(row: Any) -> dict[str, Any]:
    names = ("meter", "setting", "reading_ppm", "temperature_millikelvin")
    more = ("moisture_ppm", "rule", "day")
    told = {name: getattr(row, name) for name in (*names, *more)}
    return told | {"entry": row.idx}


def _bent_lines(bent: Any, named: Named) -> Iterator[str]:
    from ledger.quantities import millimetres

    row = bent.flexing
    yield (
        f"  bent         {row.way} over {millimetres(row.span_um)} on {row.day}, "
        f"{show.counted(len(bent.loads), 'load')}, {named(row.idx)}"
    )
    yield from (f"  {line}" for line in bent_lines(bent.stiffness))
    yield from (f"    note: {text}" for text in bent.stiffness.warnings)


def _bent_data(bent: Any) -> dict[str, Any]:
    row = bent.flexing
    return {
        "entry": row.idx,
        "day": row.day,
        "way": row.way,
        "span_um": row.span_um,
        "loads": [
            {"load_mg": load.load_mg, "deflection_um": load.deflection_um}
            for load in bent.loads
        ],
        "figures": bent_data(bent.stiffness),
        "method": bent.stiffness.method,
        "warnings": list(bent.stiffness.warnings),
    }


def _grade_lines(row: Any, named: Named) -> Iterator[str]:
    """Yield a grade with what the rule came to, and why, a reason a line."""
    rule = f"{row.policy} {row.version}"
    beside = "" if row.suggested == row.grade else f", by it {row.suggested or 'none'}"
    yield (
        f"  graded       {row.grade} for {row.part} on {row.day}, rule {rule}{beside}, "
        f"{named(row.idx)}"
    )
    yield from (f"    {reason}" for reason in row.why.splitlines())


def _grade_data(row: Any) -> dict[str, Any]:
    names = ("grade", "part", "policy", "version", "suggested", "day")
    told = {name: getattr(row, name) for name in names}
    return told | {"reasons": row.why.splitlines(), "entry": row.idx}


def _reject_lines(row: Any, named: Named) -> Iterator[str]:
    from ledger.acts.rejects import fault_words

    where = ", and went back to the sawyer" if row.is_returned else ""
    faults = fault_words(row.faults)
    yield f"  rejected for {faults} on {row.day}{where}, {named(row.idx)}"


def _reject_data(row: Any) -> dict[str, Any]:
    return {
        "faults": row.faults.splitlines(),
        "returned": row.is_returned,
        "day": row.day,
        "entry": row.idx,
    }


def _facts(row: Any, named: Named, *, is_listed: bool) -> Iterator[str]:
    """Yield what is known of a board today, a fact a line."""
    from ledger.quantities import millimetres, percent

    sizes = [row.length_um, row.width_um, row.thickness_um]
    told = " × ".join("?" if um is None else millimetres(um) for um in sizes)
    yield f"  sizes        {told}{', as listed' if is_listed and any(sizes) else ''}"
    if row.moisture_ppm is not None:
        yield f"  moisture     {percent(row.moisture_ppm, places=1)}"
    yield from (f"  sawyer says  {said}" for said in _listed(row))
    yield f"  place        {row.place or 'nobody said where it lies'}"
    if row.serial is not None:
        yield f"  allotted     {row.part} of {row.serial}, {named(row.allotted_idx)}"


def _listed(row: Any) -> Iterator[str]:
    """Yield what is the sawyer's word of a board, and no measure of the shop's."""
    from ledger.quantities import grams, percent

    if row.mark is not None:
        yield f"mark {row.mark}"
    if row.supplier_grade is not None:
        yield f"grade {row.supplier_grade}"
    if row.listed_mg is not None:
        yield grams(row.listed_mg)
    if row.listed_moisture_ppm is not None:
        yield f"moisture {percent(row.listed_moisture_ppm)}"
    if row.as_written is not None:
        yield f"“{row.as_written}”"


def _fact_data(row: Any) -> dict[str, Any]:
    return {
        "board": row.code,
        "lot": row.lot,
        "meant_for": row.meant_for,
        "length_um": row.length_um,
        "width_um": row.width_um,
        "thickness_um": row.thickness_um,
        "moisture_ppm": row.moisture_ppm,
        "mass_mg": row.mass_mg,
        "listed_mg": row.listed_mg,
        "listed_moisture_ppm": row.listed_moisture_ppm,
        "as_written": row.as_written,
        "mark": row.mark,
        "supplier_grade": row.supplier_grade,
        "place": row.place,
        "serial": row.serial,
        "made_into_pieces_by": row.became_idx,
        "struck_by": row.struck_idx,
    }


def _mass_lines(weighings: Any, named: Named) -> Iterator[str]:
    """Yield the masses of a board, the newest first, and how far each is from it."""
    from ledger.quantities import grams

    if not weighings:
        yield "  mass         not weighed yet"
    for weighing in reversed(weighings):
        off = (weighing.mass_mg - weighings[-1].mass_mg) / weighings[-1].mass_mg
        beside = f", {_signed_percent(off)} beside the newest" if off else ""
        yield (
            f"  mass         {grams(weighing.mass_mg)} on {weighing.day}, "
            f"{named(weighing.idx)}{beside}"
        )


def _signed_percent(share: float) -> str:
    from ledger.quantities import THIN_SPACE
    from ledger.scales import MINUS

    return f"{share * 100:+.2f}{THIN_SPACE}%".replace("-", MINUS)


def _tap_lines(tap: Any, named: Named) -> Iterator[str]:
    tapping = tap.tapping
    yield f"  tapped       {tapping.day}, as a {tapping.held_as}, {named(tapping.idx)}"
    yield from (f"    {reading_words(reading)}" for reading in tap.readings)
    yield from (f"    {words}" for words in figure_words(tap.stiffness))
    yield from (f"    note: {text}" for text in tap.stiffness.warnings)


def _tap_data(tap: Any) -> dict[str, Any]:
    return {
        "entry": tap.tapping.idx,
        "day": tap.tapping.day,
        "held_as": tap.tapping.held_as,
        "recording_sha256": tap.tapping.digest,
        "readings": [reading_data(reading) for reading in tap.readings],
        "figures": figure_data(tap.stiffness),
        "method": tap.stiffness.method,
        "warnings": list(tap.stiffness.warnings),
    }


def _why(shop: Any, session: Any, row: Any, named: Named) -> list[str]:
    """Return the reasons given when a board was let through, struck or sawn."""
    from ledger.acts.corrections import reason_words, reasons_of
    from ledger.views.corrections import override_for

    let = override_for(session, row.code, row.serial) if row.serial else None
    said = {
        let.idx if let else None: "let through before it was ready",
        row.struck_idx: "struck",
        row.became_idx: "made into pieces",
        row.off_idx: "spoiled or taken off",
    }
    given = reasons_of(shop, session, {entry for entry in said if entry is not None})
    return [
        f"{said[entry]}: {reason_words(reason)}, {named(entry)}"
        for entry, reason in given.items()
    ]
