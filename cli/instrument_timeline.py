"""flitchbook instrument timeline: from the tree to the tune, on one strip."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Annotated, Any

import typer

from cli import pictures, show
from cli.context import Desk, reads
from cli.pictures import OutOption, PrintOption
from ledger.scales import in_a_row

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
BY_MACHINE = "by machine"
KEY = "hatched: in our racks; black: in work; white: finished"


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the instrument."""
    reads(app)(timeline)


def timeline(
    desk: Desk, serial: SerialArgument, out: OutOption = None, queue: PrintOption = ""
) -> None:
    """Tell how long each wood waited, who worked when, and when it was certified.

    Up to its first certificate; of a step that was done again the one that counts.
    """
    place = pictures.place(out, queue)
    code = desk.serial(serial)
    with desk.shop.store.reading() as session:
        strip, entries = strip_of(desk.shop, session, code)
    lines = list(_lines(strip))
    lines += pictures.put(strip if place else None, place, day=desk.shop.today())
    show.answer(
        desk,
        lines,
        serial=code,
        cut_on=strip.cut_on,
        until=strip.until,
        certified_on=strip.certified_on,
        wood=[_wood_data(rack) for rack in strip.racks],
        hands=[_hand_data(hand) for hand in strip.hands],
        trips=[_trip_data(trip) for trip in strip.trips],
        entries=entries,
        picture=str(out) if out else None,
    )


def strip_of(shop: Any, session: Any, code: str) -> tuple[Any, list[int]]:
    """Return what the strip shows, and the entries that it rests on."""
    from labels.plot_figure import Heading
    from labels.plot_timeline_facts import Timeline
    from ledger.acts.builds import find_build
    from ledger.acts.closing import steps_at, wood_at
    from ledger.views.certificates import certificates_of

    build = find_build(session, code)
    issued = certificates_of(session, code)
    as_of = issued[0].idx if issued else shop.store.head().size
    today = issued[0].issued_on if issued else shop.today()
    steps = steps_at(session, code, as_of)
    wood = wood_at(session, code, as_of)
    racks, read = _racks(session, wood, as_of if issued else None, today)
    done = [step for step in steps if step.meaning == "did"]
    cut_on = min([step.moment[:10] for step in done], default=build.begun_at[:10])
    trips = _trips(session, code, as_of, today)
    entries = [*read, *(step.idx for step in steps), *(row.idx for row in issued[:1])]
    run = f", {build.run} {build.run_number} of {build.run_pieces}" if build.run else ""
    strip = Timeline(
        heading=Heading(
            title=_title(code, racks, cut_on, issued, today),
            where=f"{build.model}{run}; {KEY}",
            entries=tuple(entries),
        ),
        serial=code,
        cut_on=cut_on,
        until=max([today, *(step.moment[:10] for step in done)]),
        racks=racks,
        hands=_hands(shop, session, build, done),
        gates=tuple(_gates(steps)),
        trips=trips,
        certified_on=issued[0].issued_on if issued else None,
    )
    return strip, sorted(set(entries))


def _racks(
    session: Any, stays: Iterable[Any], certified: int | None, today: str
) -> tuple[tuple[Any, ...], list[int]]:
    """Return the wood lot by lot, and the entries that say when it came and went in.

    What was glued of several lots waited as wood of each. Wood that no step used up
    went in with the certificate, whose entry is `certified`.
    """
    from ledger.views.family import lots_of
    from ledger.views.said import entry_said
    from ledger.views.wood import Lot

    parts: dict[str, list[str]] = defaultdict(list)
    days: dict[str, list[str]] = defaultdict(list)
    is_open: dict[str, bool] = defaultdict(bool)
    entries = []
    for stay in stays:
        used = used_idx(session, stay, certified)
        day = entry_said(session, used).happened_at[:10] if used else today
        entries.append(used or stay.idx)
        for lot in lots_of(session, stay.board):
            parts[lot].append(stay.part)
            days[lot].append(day)
            is_open[lot] |= used is None
    lots = [session.get_one(Lot, code) for code in parts]
    racks = [
        _rack(session, lot, parts[lot.code], days[lot.code], is_open[lot.code])
        for lot in sorted(lots, key=lambda lot: (lot.received_on, lot.code))
    ]
    return tuple(racks), entries + [lot.idx for lot in lots]


def used_idx(session: Any, stay: Any, certified: int | None) -> int | None:
    """Return the entry by which a board went in, or None where it has not yet."""
    from ledger.views.boards import Board

    used: int | None = session.get_one(Board, stay.board).consumed_idx
    if used is None or (certified is not None and used > certified):
        return certified
    return used


def _rack(
    session: Any, lot: Any, parts: list[str], days: list[str], is_open: bool
) -> Any:
    from labels.plot_timeline_facts import Rack
    from ledger.views.plots import plots_of

    filed = plots_of(session, lot.code)
    return Rack(
        parts=", ".join(dict.fromkeys(parts)),
        species=lot.species,
        lot=lot.code,
        came_on=lot.received_on,
        used_on=tuple(sorted(set(days))),
        is_open=is_open,
        felled=(filed.harvested_from, filed.harvested_to) if filed else None,
    )


def _hands(shop: Any, session: Any, build: Any, done: Iterable[Any]) -> Any:
    """Return who did what, whoever began first before others."""
    from labels.plot_timeline_facts import Hand, Work
    from ledger.acts.signing import holder_name
    from ledger.views.models import plan_of
    from ledger.views.people import subjects_of_keys

    plan = plan_of(session, build.model, build.version)
    crafts = {step.step: step.qualification for step in plan.steps}
    ordered = sorted(done, key=lambda step: (step.moment, step.idx))
    whose = subjects_of_keys(session, (step.key for step in ordered))
    by_person: dict[str, list[Any]] = defaultdict(list)
    for step in ordered:
        by_person[whose[step.key] or step.key].append(step)
    return tuple(
        Hand(
            name=holder_name(shop, session, steps[0].key),
            crafts=", ".join(
                dict.fromkeys(crafts[s.step] for s in steps if s.step in crafts)
            ),
            works=tuple(
                Work(
                    step=step.step,
                    day=step.moment[:10],
                    by_machine=step.way == BY_MACHINE,
                )
                for step in steps
            ),
        )
        for steps in by_person.values()
    )


def _gates(steps: Iterable[Any]) -> Iterator[Any]:
    """Yield each step to which somebody else had to say yes, on the day of the last."""
    from labels.plot_timeline_facts import Work

    said = {s.step: s for s in steps if s.meaning in ("inspected", "approved")}
    for name, step in said.items():
        yield Work(step=name, day=step.moment[:10])


def _trips(session: Any, code: str, as_of: int, today: str) -> tuple[Any, ...]:
    from labels.plot_timeline_facts import Trip
    from ledger.views.service import trips_of

    return tuple(
        Trip(
            errand=trip.errand,
            sent_on=trip.sent_on,
            home_on=min(trip.returned_on or today, today),
        )
        for trip in trips_of(session, code)
        if trip.idx <= as_of and trip.sent_on <= today
    )


def _title(code: str, racks: Any, cut_on: str, issued: Any, today: str) -> str:
    """Say how long the wood waited, and how long the instrument took."""
    from labels.plot_timeline_facts import days_between, waited

    weeks = max(days_between(cut_on, today) // 7, 1)
    took = show.counted(weeks, "week")
    if not racks:
        return f"{code}, {took} after its first step"
    longest = max(racks, key=lambda rack: days_between(rack.came_on, rack.used_on[-1]))
    several = len(racks) > 1
    wood = f"{len(racks)} lots waited up to" if several else "1 lot waited"
    verb = "are" if several else "is"
    what = f"became {code} in {took}" if issued else f"{verb} in work as {code}, {took}"
    return f"{wood} {waited(longest)} and {what}"


def _lines(strip: Any) -> Iterator[str]:
    from labels.plot_timeline_facts import waited

    yield f"{strip.heading.title}:"
    for rack in strip.racks:
        felled = f", felled {' to '.join(rack.felled)}" if rack.felled else ""
        went = "not all in yet" if rack.is_open else f"in on {in_a_row(rack.used_on)}"
        yield (
            f"  {rack.lot}  {rack.parts}: {rack.species}{felled}, came "
            f"{rack.came_on}, {went}, {waited(rack)}"
        )
    for hand in strip.hands:
        yield f"  {hand.name}, {hand.crafts or 'no craft of the model'}"
        for work in hand.works:
            machine = ", by machine" if work.by_machine else ""
            yield f"    {work.day}  {work.step}{machine}"
    for trip in strip.trips:
        yield f"  out for {trip.errand}, {trip.sent_on} to {trip.home_on}"
    if strip.certified_on:
        yield f"  certificate {strip.certified_on}"


def _wood_data(rack: Any) -> dict[str, Any]:
    return {
        "lot": rack.lot,
        "parts": rack.parts.split(", "),
        "species": rack.species,
        "felled": list(rack.felled) if rack.felled else None,
        "came_on": rack.came_on,
        "used_on": list(rack.used_on),
        "open": rack.is_open,
    }


def _hand_data(hand: Any) -> dict[str, Any]:
    return {
        "name": hand.name,
        "crafts": hand.crafts.split(", ") if hand.crafts else [],
        "steps": [
            {"step": work.step, "day": work.day, "by_machine": work.by_machine}
            for work in hand.works
        ],
    }


def _trip_data(trip: Any) -> dict[str, Any]:
    return {"for": trip.errand, "sent_on": trip.sent_on, "home_on": trip.home_on}
