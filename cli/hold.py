"""flitchbook hold: what is in doubt, and all that rests on it."""

from collections.abc import Iterator
from typing import Annotated, Any

import typer

from cli import hold_letters, show
from cli.context import Desk, reads, signs

app = typer.Typer(
    name="hold",
    help="What is in doubt, and all that rests on it.",
    no_args_is_help=True,
)
DoubtedArgument = Annotated[
    str,
    typer.Argument(
        help="A document, lot, board, batch or gauge, or a person's or sawyer's name."
    ),
]
HoldArgument = Annotated[str, typer.Argument(help="A hold, such as H26-001.")]
WhyOption = Annotated[str, typer.Option("--why", help="Why, in one line.")]
SinceOption = Annotated[
    str | None,
    typer.Option(
        help="From which day on; only what a gauge measured or a person signed before "
        "it stays out."
    ),
]
OnlyOption = Annotated[
    str | None,
    typer.Option(help="Clear this lot, board, batch or serial; the rest stays."),
]
Told = dict[str, Any]


@signs(app)
def place(
    desk: Desk, what: DoubtedArgument, why: WhyOption, since: SinceOption = None
) -> None:
    """Place a hold: all that rests on it is blocked, at any depth."""
    from ledger.acts import holds
    from ledger.acts.touched import report

    doubted = holds.find_doubted(desk.shop, desk.own(what))
    number = holds.place(
        desk.shop, doubted, reason=why, since=since, hands=desk.hands()
    )
    with desk.shop.store.reading() as session:
        found = report(session, holds.find_hold(session, number))
        name = holds.doubted_name(desk.shop, session, found.hold)
    lines = [
        f"{number}: {name} is in doubt, entry {found.hold.idx}.",
        f"On hold: {_counts(found)}.",
        f"See all of it with flitchbook hold show {number}.",
        _tag_line(number),
    ]
    show.answer(desk, lines, hold=number, entry=found.hold.idx, on=found.hold.on)


@signs(app)
def lift(
    desk: Desk, hold: HoldArgument, why: WhyOption, only: OnlyOption = None
) -> None:
    """Lift a hold, or clear one thing of it; the history stays."""
    from ledger.acts import holds

    number = code_of(desk, hold)
    only = desk.own(only) if only else None
    entry = holds.lift(desk.shop, number, only=only, reason=why, hands=desk.hands())
    lines = [f"{number} is lifted; entry {entry.index}."]
    if only:
        code = entry.event["code"]
        lines = [f"{code} is cleared of {number}; entry {entry.index}."]
        lines.append("What another hold covers as well stays on hold by that.")
    show.answer(desk, lines, hold=number, only=only, entry=entry.index)


@reads(app, "list")
def list_(desk: Desk) -> None:
    """List the holds, those that were lifted too."""
    from ledger.acts.holds import doubted_name
    from ledger.views.holds import all_holds

    with desk.shop.store.reading() as session:
        rows = [
            {
                "hold": row.hold,
                "on": row.on,
                "what": doubted_name(desk.shop, session, row),
                "since": row.since,
                "placed_at": row.at,
                "entry": row.idx,
                "lifted_by": row.lifted_idx,
            }
            for row in all_holds(session)
        ]
    lines = [_list_line(row) for row in rows] or ["no hold was ever placed"]
    show.answer(desk, lines, holds=rows)


@reads(app, "show")
def show_(desk: Desk, hold: HoldArgument) -> None:
    """Show all that a hold touches: lots, boards, builds, what left, and amounts."""
    from ledger.acts import holds, touched
    from ledger.acts.corrections import reasons_of
    from ledger.acts.signing import holder_name

    with desk.shop.store.reading() as session:
        found = touched.report(session, holds.find_hold(session, code_of(desk, hold)))
        indexes = {found.hold.idx, *(row.idx for row in found.cleared)}
        if found.hold.lifted_idx is not None:
            indexes.add(found.hold.lifted_idx)
        given = reasons_of(desk.shop, session, indexes)
        head = {
            "what": holds.doubted_name(desk.shop, session, found.hold),
            "by": holder_name(desk.shop, session, found.hold.key),
        }
    told = _data(found, head, given)
    show.answer(desk, _lines(told), **told)


def _tag_line(number: str) -> str:
    return f"Print its tag with flitchbook label hold {number}."


def code_of(desk: Desk, text: str) -> str:
    """Return the number of a hold, typed or scanned."""
    from ledger.benchcodes import HoldId

    return str(HoldId.parse(desk.own(text)))


def _counts(found: Any) -> str:
    return (
        f"{show.counted(len(found.lots), 'lot')}, "
        f"{show.counted(len(found.rack), 'board')} in the rack, "
        f"{show.counted(len(found.building), 'build')} in progress, "
        f"{show.counted(len(found.finished), 'instrument')} finished here, "
        f"{len(found.left)} that left"
    )


def _list_line(row: Told) -> str:
    lifted = f", lifted by entry {row['lifted_by']}" if row["lifted_by"] else ""
    since = f" since {row['since'][:10]}" if row["since"] else ""
    return (
        f"{row['hold']}: {row['what']}{since}, placed {row['placed_at'][:10]}, entry "
        f"{row['entry']}{lifted}"
    )


def _data(found: Any, head: Told, given: dict[int, str | None]) -> Told:
    hold = found.hold
    return head | {
        "hold": hold.hold,
        "on": hold.on,
        "code": hold.code,
        "since": hold.since,
        "placed_at": hold.at,
        "entry": hold.idx,
        "why": given.get(hold.idx),
        "lifted_by": hold.lifted_idx,
        "lifted_why": given.get(hold.lifted_idx or -1),
        "lots": [_lot(each) for each in found.lots],
        "batches": list(found.batches),
        "gauges": list(found.gauges),
        "rack": list(found.rack),
        "in_instruments": list(found.in_builds),
        "made_into_pieces": found.worked,
        "in_progress": [_build(each) for each in found.building],
        "finished_here": [_build(each) for each in found.finished],
        "left": [_build(each) for each in found.left],
        "amounts": [_amount(each) for each in found.amounts],
        "cleared": [
            {"code": row.code, "entry": row.idx, "why": given.get(row.idx)}
            for row in found.cleared
        ],
    }


def _lot(each: Any) -> Told:
    return {
        "lot": each.lot.code,
        "species": each.lot.species,
        "received_on": each.lot.received_on,
        "boards": each.boards,
        "entry": each.lot.idx,
        "papers": [
            {
                "document": then.document.code,
                "paper": then.document.paper,
                "number": then.document.number_as_written,
                "issued_on": then.document.issued_on,
                "expires_on": then.document.expires_on,
                "was_in_force": then.was_in_force,
                "entry": then.document.idx,
            }
            for then in each.papers
        ],
    }


def _build(each: Any) -> Told:
    owner = "none"
    if each.owner:
        owner = "erased" if each.is_erased else "registered"
    return {
        "serial": each.serial,
        "model": each.model,
        "boards": list(each.by.boards),
        "steps": list(each.by.entries),
        "certificate": each.certificate,
        "issued_on": each.issued_on,
        "where": each.where,
        "owner": owner,
        "entry": each.entry,
    }


def _amount(each: Any) -> Told:
    return {
        "species": each.species,
        "where": each.where,
        "pieces": each.pieces,
        "mass_mg": each.mass_mg,
        "unweighed": each.unweighed,
        "volume_mm3": each.volume_mm3,
        "unmeasured": each.unmeasured,
    }


def _lines(told: Told) -> Iterator[str]:
    from ledger.acts.corrections import reason_words

    since = f" since {told['since'][:10]}" if told["since"] else ""
    yield (
        f"{told['hold']}: in doubt{since}: {told['what']}; placed by {told['by']} on "
        f"{told['placed_at'][:10]}, entry {told['entry']}"
    )
    yield f"  {reason_words(told['why'])}"
    if told["lifted_by"]:
        why = reason_words(told["lifted_why"])
        yield f"  lifted by entry {told['lifted_by']}: {why}"
    for row in told["cleared"]:
        why = reason_words(row["why"])
        yield f"  cleared: {row['code']}, entry {row['entry']}: {why}"
    yield f"lots: {len(told['lots'])}"
    for lot in told["lots"]:
        yield from _lot_lines(lot)
    for noun in ("batches", "gauges"):
        if told[noun]:
            yield f"{noun}: {', '.join(told[noun])}"
    yield f"in the rack, on hold: {show.counted(len(told['rack']), 'board')}"
    yield from _rack_lines(told["rack"])
    for name, words in (
        ("in_progress", "in progress, blocked at the next gate"),
        ("finished_here", "finished, in the shop"),
        ("left", "left the shop"),
    ):
        yield f"{words}: {len(told[name])}"
        yield from (_build_line(build) for build in told[name])
    yield "amounts, as last weighed and measured:"
    yield from (_amount_line(amount) for amount in told["amounts"])
    if not told["lifted_by"]:
        yield _tag_line(told["hold"])


def _lot_lines(lot: Told) -> Iterator[str]:
    yield (
        f"  {lot['lot']}  {lot['species']}, came in on {lot['received_on']}, "
        f"{show.counted(lot['boards'], 'piece')}, entry {lot['entry']}"
    )
    for paper in lot["papers"]:
        number = f" {paper['number']}" if paper["number"] else ""
        dates = (
            f"issued {paper['issued_on'] or 'on no day it says'}, ends "
            f"{paper['expires_on'] or 'on no day it says'}"
        )
        then = {
            True: f"by these dates in force on {lot['received_on']}",
            False: f"by these dates not in force on {lot['received_on']}",
            None: "the paper says no dates",
        }[paper["was_in_force"]]
        yield (
            f"    {paper['document']} {paper['paper']}{number}: {dates}; {then}; entry "
            f"{paper['entry']}"
        )


def _rack_lines(rack: list[str]) -> Iterator[str]:
    by_lot: dict[str, list[str]] = {}
    for code in rack:
        by_lot.setdefault(code[:7], []).append(code)
    yield from (f"  {show.listed(codes)}" for codes in by_lot.values())


def _build_line(build: Told) -> str:
    by = [show.listed(build["boards"])] if build["boards"] else []
    if build["steps"]:
        some = ", ".join(str(index) for index in build["steps"][:4])
        more = ", …" if len(build["steps"]) > 4 else ""
        by.append(f"entries {some}{more}")
    paper = f", {build['certificate']}" if build["certificate"] else ""
    owner = "" if build["owner"] == "none" else f", owner {build['owner']}"
    return (
        f"  {build['serial']}  {build['model']}{paper}, {build['where']}{owner}; by "
        f"{' and '.join(by)}; entry {build['entry']}"
    )


def _amount_line(amount: Told) -> str:
    from ledger.quantities import cubic_metres, kilograms

    not_known = [
        f"{amount[name]} {words}"
        for name, words in (
            ("unweighed", "not weighed"),
            ("unmeasured", "not measured"),
        )
        if amount[name]
    ]
    but = f" ({', '.join(not_known)}, in no sum)" if not_known else ""
    return (
        f"  {amount['species']}, {amount['where']}: "
        f"{show.counted(amount['pieces'], 'piece')}, "
        f"{kilograms(amount['mass_mg'], places=3)}, "
        f"{cubic_metres(amount['volume_mm3'], places=6)}{but}"
    )


hold_letters.add_to(app)
