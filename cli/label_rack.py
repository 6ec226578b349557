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
    Literal["A5", "A4", "Letter"],
    typer.Option("--on", help="The sheet; a large one is read from further away."),
]
SizeOption = Annotated[
    Literal["A6", "luggage"],
    typer.Option(
        "--size", help="A card of A6, or a strong tag with an eyelet, 120 by 60 mm."
    ),
]
HOW_TO_HANG = {
    "A6": "Print at 100 %.",
    "luggage": "Print at 100 % on strong stock, fold it at the ticks, punch through "
    "both and set an eyelet.",
}


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
    size: SizeOption = "A6",
    queue: printing.PrintOption = "",
) -> None:
    """Draw the tag of a hold, to hang on what nobody may use."""
    from cli.hold import code_of
    from cli.papers_label_rack import hold_tag
    from labels import hold_luggage
    from labels import hold_tag as drawing

    to = printing.place(out, queue)
    drawn = hold_tag(desk.shop, code_of(desk, hold))
    said = (
        f"the tag of hold {drawn.code}, {show.counted(drawn.count, 'board')} under it"
    )
    pdf = (hold_luggage if size == "luggage" else drawing).draw(drawn)
    told = {"hold": drawn.code, "size": size}
    _put(desk, to, pdf, drawing.notices(drawn), said, HOW_TO_HANG[size], **told)


def rack(
    desk: Desk,
    place: PlaceArgument,
    out: printing.OutOption = None,
    on: CardOption = "A5",
    queue: printing.PrintOption = "",
) -> None:
    """Draw the card of a place, with what lies there.

    It tells from when on that wood is ready.
    """
    from cli.papers_label_rack import rack_card
    from labels import rack_card as drawing

    to = printing.place(out, queue)
    drawn = rack_card(desk.shop, place)
    pdf = drawing.draw(drawn, paper=on)
    said = f"the card of {drawn.place}, {show.counted(len(drawn.rows), 'line')}"
    codes = [row.code for row in drawn.rows]
    told: dict[str, Any] = {"place": drawn.place, "boards": codes}
    _put(desk, to, pdf, drawing.notices(drawn), said, **told)


def _put(
    desk: Desk,
    to: printing.Place,
    pdf: bytes,
    notices: Any,
    said: str,
    by_hand: str = "Print at 100 %.",
    **told: Any,
) -> None:
    """Bring a paper to where it was asked for, and say what it is."""
    printing.bring(to, pdf, title=said)
    show.notices(notices)
    how = "" if to.queue else f" {by_hand}"
    show.answer(desk, [f"{to}: {said}.{how}"], **to.told(), **told)
