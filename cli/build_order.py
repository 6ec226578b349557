"""flitchbook build order, change, promised: what an instrument is to be and is."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads, signs
from ledger.scales import LARGEST, in_a_row

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
OrderOption = Annotated[
    str | None, typer.Option("--order", help="The order's number, such as A-17.")
]
DueOption = Annotated[
    str | None, typer.Option("--due", help="The day it is due: 2026-11-20.")
]
ToOption = Annotated[
    str | None, typer.Option("--to", help="The country it goes to, such as FR.")
]
PromiseOption = Annotated[
    list[str],
    typer.Option("--promise", help="Such as 'width at the nut=44 mm'; repeated."),
]
VersionOption = Annotated[
    int | None,
    typer.Option(
        "--version", min=1, max=LARGEST, help="The model's version from now on."
    ),
]
WhyOption = Annotated[str, typer.Option("--why", help="Why, in one line.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the build."""
    signs(app)(order)
    signs(app)(change)
    reads(app)(promised)


def order(
    desk: Desk,
    serial: SerialArgument,
    number: OrderOption = None,
    due: DueOption = None,
    to: ToOption = None,
    promise: PromiseOption = [],  # noqa: B006 - typer reads the default
) -> None:
    """Set down what an instrument is to be that was begun without an order."""
    from ledger.acts import orders

    code = desk.serial(serial)
    entry = orders.set_down(
        desk.shop,
        serial=code,
        order=number,
        terms=terms(due, to, promise),
        hands=desk.hands(),
    )
    lines = [
        f"what {code} is to be: entry {entry.index}.",
        *past(desk, due),
        *notes(desk, code, number, promise),
    ]
    show.answer(desk, lines, serial=code, entry=entry.index)


def change(
    desk: Desk,
    serial: SerialArgument,
    why: WhyOption,
    due: DueOption = None,
    to: ToOption = None,
    promise: PromiseOption = [],  # noqa: B006 - typer reads the default
    version: VersionOption = None,
) -> None:
    """Change what was promised of an instrument, or the version it follows."""
    from ledger.acts import orders

    code = desk.serial(serial)
    entry = orders.change(
        desk.shop,
        serial=code,
        terms=terms(due, to, promise),
        version=version,
        reason=why,
        hands=desk.hands(),
    )
    lines = [
        f"{code}: changed in entry {entry.index}; what was promised before stays on "
        f"record.",
        *past(desk, due),
        *notes(desk, code, None, promise),
    ]
    show.answer(desk, lines, serial=code, entry=entry.index)


def promised(desk: Desk, serial: SerialArgument) -> None:
    """Tell what was promised of an instrument beside what was read of it."""
    from ledger.acts import orders

    code = desk.serial(serial)
    with desk.shop.store.reading() as session:
        found = orders.promised(desk.shop, session, code)
        lines, data = list(_lines(found)), _data(found)
    show.answer(desk, lines, **data)


def terms(due: str | None, to: str | None, promise: list[str]) -> Any:
    """Return what is promised, as it was typed."""
    from cli.build_sign import pair
    from ledger.acts.orders import Terms

    promised = tuple(map(pair, promise))
    return Terms(due=due, destination=to, promised=promised)


def past(desk: Desk, due: str | None) -> list[str]:
    """Return a note where an instrument is due on a day that is over."""
    today = desk.shop.today()
    if due is None or due >= today:
        return []
    return [f"note: {due} is past, and today is {today}: see that the year is right"]


def notes(desk: Desk, serial: str, order: str | None, promise: list[str]) -> list[str]:
    """Return what may be a slip of an order: its number, or a wood nobody knows."""
    from ledger.acts import orders
    from ledger.acts.builds import find_build
    from ledger.acts.promising import unknown_woods
    from ledger.codes import shown

    promised = terms(None, None, promise).promised
    with desk.shop.store.reading() as session:
        plan = orders.plan_for(session, find_build(session, serial))
        woods = unknown_woods(session, plan, promised)
        others = orders.others_of(session, serial, order.strip()) if order else []
    lines = [
        f"note: no table and no lot here knows {shown(how)} for the {what}: see that "
        f"the wood is written as it is on its papers"
        for what, how in woods
    ]
    if others:
        lines.append(
            f"note: order {order} is of {in_a_row(others)} too: see that it is one "
            f"order of several instruments"
        )
    return lines


def _lines(found: Any) -> Iterator[str]:
    build, order = found.build, found.order
    begun = build.begun_version
    follows = f"version {build.version}"
    if begun != build.version:
        follows += f", begun with version {begun}"
    yield f"{build.serial}: {build.model}, {follows}"
    if order is None:
        yield "nothing was promised of it"
    else:
        told = [f"order {order.order}"] if order.order else []
        told += [f"due {order.due}"] if order.due else []
        told += [f"to {order.destination}"] if order.destination else []
        later = [f"entry {note.idx}" for note in found.changes]
        changed = f", changed in {in_a_row(later)}" if later else ""
        yield f"{', '.join(told) or 'no order'}: entry {order.idx}{changed}"
    for line in found.newest():
        yield from _promise_lines(found, line)
    promised = {line.what for line in found.lines}
    more = [m for m in found.measures if not _is_of(found, promised, m)]
    if more:
        yield "measured, and not promised"
        yield from (f"  {row.what}: {_value(row)}, entry {row.idx}" for row in more)
    for note in found.changes:
        version = f" to version {note.version}" if note.version else ""
        yield f"changed{version} in entry {note.idx}: {_why(found, note.idx)}"
    for row in found.concessions:
        yield (
            f"let pass in entry {row.idx}: {row.what} at {row.step}, "
            f"{_why(found, row.idx)}"
        )
    if not found.concessions:
        yield "no concession was given"


def _promise_lines(found: Any, line: Any) -> Iterator[str]:
    """Yield one promise, what was read of the same thing, and what it was before."""
    row = found.measured(line.what)
    read = _wood_words(found.made_of(line.what)) or "nothing read by that name"
    if row is not None:
        read = f"read {_value(row)}{_off(line, row)}, entry {row.idx}"
    yield f"  {line.what}: promised {line.promised}, entry {line.idx}; {read}"
    for before in found.before(line):
        yield f"    before that {before.promised}, entry {before.idx}"


def _wood_words(woods: list[Any]) -> str:
    """Say what a part is made of: whether that is what was promised, people tell."""
    told: dict[str, list[str]] = {}
    for wood in woods:
        traded = f" ({in_a_row(wood.trade_names)})" if wood.trade_names else ""
        boards = told.setdefault(f"{in_a_row(wood.species)}{traded}", [])
        boards.append(f"{wood.board} (entry {wood.idx})")
    groups = [f"{species}, {in_a_row(boards)}" for species, boards in told.items()]
    return f"is {'; '.join(groups)}" if groups else ""


def _off(line: Any, row: Any) -> str:
    """Say how far a reading is off its promise, where that is in the same unit."""
    from ledger.acts.orders import off_by
    from ledger.craft.measured import measure_words

    off = off_by(line, row)
    if off is None:
        return ""
    if off == 0:
        return ", as promised"
    return f", {measure_words(row.unit, abs(off))} {'more' if off > 0 else 'less'}"


def _is_of(found: Any, promised: set[str], row: Any) -> bool:
    return any(found.measured(what) is row for what in promised)


def _value(row: Any) -> str:
    from ledger.craft.measured import measure_words

    return measure_words(row.unit, row.value)


def _why(found: Any, index: int) -> str:
    from ledger.acts.corrections import reason_words

    return reason_words(found.reasons.get(index))


def _data(found: Any) -> dict[str, Any]:
    """Return the same for a program; what is off is in the unit that was measured."""
    from ledger.acts import orders

    build, order = found.build, found.order
    read = {line.what: found.measured(line.what) for line in found.newest()}
    return {
        "serial": build.serial,
        "model": build.model,
        "version": build.version,
        "begun_version": build.begun_version,
        "order": order.order if order else None,
        "due": order.due if order else None,
        "destination": order.destination if order else None,
        "order_entry": order.idx if order else None,
        "promised": [
            {
                "what": line.what,
                "promised": line.promised,
                "entry": line.idx,
                "before": [
                    {"promised": o.promised, "entry": o.idx} for o in found.before(line)
                ],
                "measured": _measure_data(read[line.what]),
                "off": orders.off_by(line, read[line.what]),
                "made_of": [asdict(wood) for wood in found.made_of(line.what)],
            }
            for line in found.newest()
        ],
        "measures": [_measure_data(row) for row in found.measures],
        "changes": [
            {
                "entry": note.idx,
                "version": note.version,
                "why": found.reasons.get(note.idx),
            }
            for note in found.changes
        ],
        "concessions": [
            {
                "entry": row.idx,
                "step": row.step,
                "what": row.what,
                "why": found.reasons.get(row.idx),
            }
            for row in found.concessions
        ],
    }


def _measure_data(row: Any) -> dict[str, Any] | None:
    if row is None:
        return None
    return {"what": row.what, row.unit: row.value, "entry": row.idx}
