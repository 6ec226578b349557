"""flitchbook label lot, hold, rack: the papers that hang at the wood."""

from typing import Annotated, Any, Literal

import typer

from cli import printing, show
from cli.context import Desk, reads

LotArgument = Annotated[str, typer.Argument(help="A lot, such as L26-031.")]
HoldArgument = Annotated[str, typer.Argument(help="A hold, such as H26-001.")]
PlaceArgument = Annotated[
    str, typer.Argument(help="A place, as wood was put there: 'crib, shelf B'.")
]
CardOption = Annotated[
    Literal["A5", "A4"],
    typer.Option("--on", help="The sheet; A4 is read from further away."),
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to the other labels."""
    for command in (lot, hold, rack):
        reads(app)(command)


def lot(
    desk: Desk,
    lot: LotArgument,
    out: printing.OutOption = None,
    queue: printing.PrintOption = "",
) -> None:
    """Draw the card of a lot, to hang at the head of its rack."""
    from cli.papers_label_rack import lot_card
    from labels import lot_card as drawing
    from ledger.ids import LotId

    to = printing.place(out, queue)
    drawn = lot_card(desk.shop, LotId.parse(desk.own(lot)))
    said = f"the card of lot {drawn.code}"
    _put(desk, to, drawing.draw(drawn), drawing.notices(drawn), said, lot=drawn.code)


def hold(
    desk: Desk,
    hold: HoldArgument,
    out: printing.OutOption = None,
    queue: printing.PrintOption = "",
) -> None:
    """Draw the tag of a hold, to hang on what nobody may use."""
    from cli.hold import code_of
    from cli.papers_label_rack import hold_tag
    from labels import hold_tag as drawing

    to = printing.place(out, queue)
    drawn = hold_tag(desk.shop, code_of(desk, hold))
    said = (
        f"the tag of hold {drawn.code}, {show.counted(drawn.count, 'board')} under it"
    )
    _put(desk, to, drawing.draw(drawn), drawing.notices(drawn), said, hold=drawn.code)


def rack(
    desk: Desk,
    place: PlaceArgument,
    out: printing.OutOption = None,
    on: CardOption = "A5",
    queue: printing.PrintOption = "",
) -> None:
    """Draw the card of a place: what lies in it, and from when on it is ready."""
    from cli.papers_label_rack import rack_card
    from labels import rack_card as drawing

    to = printing.place(out, queue)
    drawn = rack_card(desk.shop, place)
    pdf = drawing.draw(drawn, paper=on)
    said = f"the card of {drawn.place}, {show.counted(len(drawn.rows), 'line')}"
    codes = [row.code for row in drawn.rows]
    told = {"place": drawn.place, "boards": codes}
    _put(desk, to, pdf, drawing.notices(drawn), said, **told)


def _put(
    desk: Desk, to: printing.Place, pdf: bytes, notices: Any, said: str, **told: Any
) -> None:
    """Bring a paper to where it was asked for, and say what it is."""
    printing.bring(to, pdf, title=said)
    show.notices(notices)
    how = "" if to.queue else " Print at 100 %."
    show.answer(desk, [f"{to}: {said}.{how}"], **to.told(), **told)
