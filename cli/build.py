"""flitchbook build: an instrument from its serial to its last step."""

from typing import Annotated, Any

import typer

from cli import (
    build_check,
    build_figure,
    build_graduate,
    build_graduation,
    build_hands,
    build_next,
    build_order,
    build_rework,
    build_sign,
    build_voice,
    build_void,
    build_wood,
    show,
)
from cli.build_order import DueOption, OrderOption, PromiseOption, ToOption
from cli.context import Desk, reads, signs
from ledger.scales import some_of

app = typer.Typer(name="build", help="Instruments in the making.", no_args_is_help=True)
ModelArgument = Annotated[str, typer.Argument(help="The model's name.")]
SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
RunOption = Annotated[
    str | None, typer.Option(help="A short run: 'Harbour Lights, 3 of 12'.")
]


@signs(app)
def begin(
    desk: Desk,
    model: ModelArgument,
    run: RunOption = None,
    order: OrderOption = None,
    due: DueOption = None,
    to: ToOption = None,
    promise: PromiseOption = [],  # noqa: B006 - typer reads the default
) -> None:
    """Begin an instrument: its serial is taken and never given again."""
    from ledger.acts import orders
    from ledger.acts.builds import find_build

    serial = orders.begin(
        desk.shop,
        model=model,
        run=None if run is None else _run(run),
        order=order,
        terms=build_order.terms(due, to, promise),
        hands=desk.hands(),
    )
    with desk.shop.store.reading() as session:
        name = find_build(session, serial).model
    lines = [
        f"{serial}: {name}. Stamp nothing else.",
        *build_order.notes(desk, serial, order, promise),
    ]
    show.answer(desk, lines, serial=serial)


@reads(app, "show")
def show_(desk: Desk, serial: SerialArgument) -> None:
    """Show an instrument: where it is, its boards and steps, and what is missing."""
    from ledger.acts.builds import find_build
    from ledger.acts.roads import next_words, road_of
    from ledger.acts.signing import holder_names
    from ledger.acts.whereabouts import whereabouts
    from ledger.quantities import grams
    from ledger.views.boards import boards_in
    from ledger.views.builds import weighed_parts

    code = desk.serial(serial)
    with desk.shop.store.reading() as session:
        road = road_of(session, find_build(session, code))
        boards = {b.code: str(b.part) for b in boards_in(session, code)}
        weighed = weighed_parts(session, code)
        where = whereabouts(desk.shop, session, road.build)
        names = holder_names(desk.shop, session, (s.key for s in road.rows))
        plates = build_graduation.graduated(session, code)
        said = [f"  {_step_words(s, names[s.key])}" for s in road.rows]
    coming = next_words(road, today=desk.shop.today())
    parts = [part.part for part in road.model.parts]
    open_parts = [part for part in parts if part not in boards.values()]
    not_weighed = [part for part in parts if part not in weighed]
    open_steps = [s.name for s in road.steps if not road.said_of(s.name, "did")]
    lines = [
        f"{code}: {build_words(road.build)}",
        f"  {where.words}  (entry {where.entry})",
        *(f"  {part}: {board}" for board, part in boards.items()),
        *(f"  {part} weighs {grams(mass)}" for part, mass in weighed.items()),
        *(f"  {part} graduated: {plate['said']}" for part, plate in plates.items()),
        *said,
        f"parts without wood: {', '.join(open_parts) or 'none'}",
        f"parts not weighed: {', '.join(not_weighed) or 'none'}",
        f"steps not signed: {some_of(open_steps) or 'none'}",
        coming,
    ]
    show.answer(
        desk,
        lines,
        serial=code,
        where={"said": where.words, "entry": where.entry},
        next=coming,
        boards=boards,
        open_parts=open_parts,
        weighed_mg=weighed,
        graduated=plates,
        not_weighed=not_weighed,
        open_steps=open_steps,
    )


def build_words(build: Any) -> str:
    """Return model, run, body and neck of an instrument in words."""
    run = ""
    if build.run:
        run = f", {build.run} {build.run_number} of {build.run_pieces}"
    words = f"{build.model}{run}, body {build.body}, neck {build.neck}"
    void = build.voided_idx
    return words if void is None else f"{words}, VOID by entry {void}"


def _step_words(step: Any, name: str) -> str:
    when = f"{_day_words(step)}, entry {step.idx}"
    return f"{step.step}: {step.meaning} by {name}, {when}"


def _day_words(step: Any) -> str:
    """Return the day a step was done on, and the one it was entered on if later."""
    done, entered = step.moment[:10], step.at[:10]
    return str(done) if done == entered else f"{done} (entered {entered})"


def _run(text: str) -> Any:
    from ledger.errors import RefusedError
    from ledger.events.build import Run

    name, _, count = text.rpartition(",")
    number, _, pieces = count.strip().partition(" of ")
    if not (name.strip() and number.isdecimal() and pieces.isdecimal()):
        raise RefusedError(
            f"{text!r} is no run: write such as 'Harbour Lights, 3 of 12'"
        )
    if not 1 <= int(number) <= int(pieces):
        raise RefusedError(
            f"{number} of {pieces} is no place in a run: the first is 1 of {pieces}, "
            f"the last {pieces} of {pieces}"
        )
    return Run(name=name.strip(), number=int(number), pieces=int(pieces))


build_sign.add_to(app)
build_voice.add_to(app)
build_figure.add_to(app)
build_graduate.add_to(app)
build_graduation.add_to(app)
build_wood.add_to(app)
build_rework.add_to(app)
build_hands.add_to(app)
build_void.add_to(app)
build_order.add_to(app)
build_next.add_to(app)
build_check.add_to(app)
