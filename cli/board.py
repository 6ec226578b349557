"""flitchbook board: numbered and measured wood."""

from typing import Annotated

import typer

from cli import show
from cli.context import Desk, signs

app = typer.Typer(
    name="board", help="Boards: numbered, measured, labelled.", no_args_is_help=True
)
LotArgument = Annotated[str, typer.Argument(help="The lot, such as L26-031.")]
ForOption = Annotated[str, typer.Option("--for", help="What it is meant for.")]
LengthOption = Annotated[str, typer.Option(help="Such as '559 mm' or '22 in'.")]
WidthOption = Annotated[str, typer.Option(help="Such as '203 mm'.")]
ThicknessOption = Annotated[str, typer.Option(help="Such as '4.2 mm'.")]
MassOption = Annotated[
    list[str], typer.Option(help="Such as '412 g'; twice for the halves of a set.")
]


@signs(app)
def number(
    desk: Desk,
    lot: LotArgument,
    meant_for: ForOption,
    length: LengthOption,
    width: WidthOption,
    thickness: ThicknessOption,
    mass: MassOption,
) -> None:
    """Give the next board of a lot its code and first measures."""
    from ledger import quantities
    from ledger.acts import wood
    from ledger.ids import LotId

    draft = wood.BoardDraft(
        meant_for=meant_for,
        length_um=quantities.length_um(length),
        width_um=quantities.length_um(width),
        thickness_um=quantities.length_um(thickness),
        masses_mg=tuple(quantities.mass_mg(text) for text in mass),
    )
    codes = wood.number_boards(
        desk.shop, LotId.parse(desk.own(lot)), [draft], desk.hands()
    )
    lines = [f"{' and '.join(codes)}: pencil the code first, then label it."]
    show.answer(desk, lines, boards=codes)
