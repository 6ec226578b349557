"""flitchbook board show, ready, override: what is known of a board, may it be used."""

from collections.abc import Iterator
from itertools import groupby
from operator import itemgetter
from typing import Annotated, Any

import typer

from cli import show
from cli.board_tap import figure_data, figure_words, reading_data, reading_words
from cli.context import Desk, reads, signs

BoardArgument = Annotated[
    str, typer.Argument(help="A board or one half of a set, or its scan.")
]
SetArgument = Annotated[str, typer.Argument(help="A board or a set, or its scan.")]
CodesArgument = Annotated[
    list[str], typer.Argument(help="Boards, sets or a whole lot, such as L26-031.")
]
SerialArgument = Annotated[str, typer.Argument(help="The instrument's serial.")]
ReasonOption = Annotated[str, typer.Option(help="Why, in the lead's own words.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the board."""
    reads(app, "show")(show_)
    reads(app)(ready)
    signs(app)(override)


def show_(desk: Desk, board: BoardArgument) -> None:
    """Show all that is known of a board on one screen."""
    from ledger.acts.boards import stored_board
    from ledger.acts.measuring import density_of, species_of
    from ledger.acts.plausible import density_words
    from ledger.acts.resting import readiness
    from ledger.acts.stiffness import rung
    from ledger.views.measures import sizings_of, weighings_of
    from ledger.views.readings import photographs_of

    with desk.shop.store.reading() as session:
        row = stored_board(session, desk.own(board))
        species, density = species_of(session, row.code), density_of(row)
        weighings = weighings_of(session, row.code)
        is_listed = all(s.is_listed for s in sizings_of(session, row.code))
        pictures = photographs_of(session, [row.code])
        taps = rung(session, row.code)
        verdict = readiness(session, row, today=desk.shop.today())
        lines = [
            f"{row.code}: {species}, for {row.meant_for}, of lot {row.lot}",
            *_facts(row, is_listed=is_listed),
            *([f"  density      {density_words(density, species)}"] if density else []),
            *_mass_lines(weighings),
            *(line for tap in taps for line in _tap_lines(tap)),
            *(f"  photograph   {p.face}, entry {p.idx}" for p in pictures),
            *(f"  {line}" for line in _verdict_lines(row, verdict)),
            *(f"      {line}" for line in _why(desk.shop, session, row)),
        ]
        show.answer(
            desk,
            lines,
            **_fact_data(row),
            sizes_listed=is_listed,
            species=species,
            density_gram_per_m3=density,
            weighings=[
                {"day": w.day, "mass_mg": w.mass_mg, "entry": w.idx} for w in weighings
            ],
            taps=[_tap_data(tap) for tap in taps],
            photographs=[
                {"face": p.face, "sha256": p.digest, "entry": p.idx} for p in pictures
            ],
            ready=_verdict_data(row, verdict),
        )


def ready(desk: Desk, codes: CodesArgument) -> None:
    """Tell which boards may be used, and of the others why not and when."""
    from ledger.acts.boards import boards_meant
    from ledger.acts.resting import readiness

    told: list[tuple[str, list[str]]] = []
    data: list[dict[str, Any]] = []
    with desk.shop.store.reading() as session:
        named = [b for code in codes for b in boards_meant(session, desk.own(code))]
        for row in {board.code: board for board in named}.values():
            verdict = readiness(session, row, today=desk.shop.today())
            told.append((row.code, _verdict_lines(row, verdict)))
            data.append({"board": row.code} | _verdict_data(row, verdict))
    lines: list[str] = []
    # A lot's boards mostly wait for the same: it is said once for all in a row.
    for verdict_lines, group in groupby(told, key=itemgetter(1)):
        who = show.listed([code for code, _ in group])
        lines += [f"{who}  {verdict_lines[0]}", *verdict_lines[1:]]
    show.answer(desk, lines, boards=data)


def override(
    desk: Desk, board: SetArgument, serial: SerialArgument, reason: ReasonOption
) -> None:
    """Let a board be used in one instrument before it is ready, and say why."""
    from ledger.acts import overrides
    from ledger.ids import BoardId

    code, number = str(BoardId.parse(desk.own(board))), desk.serial(serial)
    entries = overrides.override(
        desk.shop, code=code, serial=number, reason=reason, hands=desk.hands()
    )
    allowed = [entry.event["board"] for entry in entries]
    against = list(dict.fromkeys(r for e in entries for r in e.event["against"]))
    lines = [
        f"{' and '.join(allowed)}: may be used in {number}, against: "
        f"{'; '.join(against)}.",
    ]
    show.answer(desk, lines, boards=allowed, serial=number, against=against)


def _facts(row: Any, *, is_listed: bool) -> Iterator[str]:
    """Yield what is known of a board today, a fact a line."""
    from ledger.quantities import millimetres, percent

    sizes = [row.length_um, row.width_um, row.thickness_um]
    told = " × ".join("?" if um is None else millimetres(um) for um in sizes)
    yield f"  sizes        {told}{', as listed' if is_listed and any(sizes) else ''}"
    if row.moisture_ppm is not None:
        yield f"  moisture     {percent(row.moisture_ppm)}"
    yield from (f"  sawyer says  {said}" for said in _listed(row))
    yield f"  place        {row.place or 'nobody said where it lies'}"
    if row.serial is not None:
        yield f"  allotted     {row.part} of {row.serial}, entry {row.allotted_idx}"


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


def _mass_lines(weighings: Any) -> Iterator[str]:
    """Yield the masses of a board, the newest first, and how far each is from it."""
    from ledger.quantities import grams

    if not weighings:
        yield "  mass         not weighed yet"
    for weighing in reversed(weighings):
        off = (weighing.mass_mg - weighings[-1].mass_mg) / weighings[-1].mass_mg
        beside = f", {_signed_percent(off)} beside the newest" if off else ""
        yield (
            f"  mass         {grams(weighing.mass_mg)} on {weighing.day}, entry "
            f"{weighing.idx}{beside}"
        )


def _signed_percent(share: float) -> str:
    from ledger.quantities import THIN_SPACE
    from ledger.scales import MINUS

    return f"{share * 100:+.2f}{THIN_SPACE}%".replace("-", MINUS)


def _tap_lines(tap: Any) -> Iterator[str]:
    tapping = tap.tapping
    yield f"  tapped       {tapping.day}, as a {tapping.held_as}, entry {tapping.idx}"
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


def _used(row: Any) -> str | None:
    """Say why a board is not there to be used at all, if it is not."""
    if row.became_idx is not None:
        return f"made into pieces by entry {row.became_idx}"
    if row.struck_idx is not None:
        return f"its number was struck by entry {row.struck_idx}"
    if row.serial is not None:
        return f"allotted to {row.serial} by entry {row.allotted_idx}"
    return None


def _why(shop: Any, session: Any, row: Any) -> list[str]:
    """Return the reasons given when a board was let through, struck or sawn."""
    from ledger.acts.corrections import reason_words, reasons_of
    from ledger.views.corrections import override_for

    let = override_for(session, row.code, row.serial) if row.serial else None
    said = {
        let.idx if let else None: "let through before it was ready",
        row.struck_idx: "struck",
        row.became_idx: "made into pieces",
    }
    given = reasons_of(shop, session, {entry for entry in said if entry is not None})
    return [
        f"{said[entry]}: {reason_words(reason)}, entry {entry}"
        for entry, reason in given.items()
    ]


def _verdict_lines(row: Any, verdict: Any) -> list[str]:
    from ledger.craft.seasoning import when_words

    used = _used(row)
    if used:
        return [f"USED: {used}"]
    if verdict:
        return [f"READY{_better(verdict)}"]
    first = f"NOT YET: {when_words(verdict)}, preferred {verdict.preferred}"
    return [first, *(f"    {reason}" for reason in verdict.reasons)]


def _better(verdict: Any) -> str:
    """Say when it would be better still, if that day is to come."""
    is_later = verdict.preferred and verdict.preferred > verdict.earliest
    return f", better from {verdict.preferred}" if is_later else ""


def _verdict_data(row: Any, verdict: Any) -> dict[str, Any]:
    used = _used(row)
    return {
        "is_ready": bool(verdict) and used is None,
        "used": used,
        "reasons": list(verdict.reasons),
        "earliest": verdict.earliest,
        "preferred": verdict.preferred,
    }
