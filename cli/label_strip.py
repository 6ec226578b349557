"""flitchbook label strip: labels over the edge of wood that is too thin for others."""

from collections.abc import Sequence
from functools import partial
from hashlib import sha256
from typing import Annotated, Any, Literal

import typer

from cli import disputed, printing, printing_run, show
from cli.context import Desk, signs

CodesArgument = Annotated[
    list[str], typer.Argument(help="Boards, sets or a whole lot, such as L26-031.")
]
RollOption = Annotated[
    Literal["roll-203", "roll-300", "roll-600"],
    typer.Option("--on", help="A continuous roll, 25 mm wide, by its dots an inch."),
]
ThicknessOption = Annotated[
    str, typer.Option(help="How thick each piece is: '4.2 mm'; else as last measured.")
]
PairOption = Annotated[
    bool,
    typer.Option("--pair", help="One strip round both halves of a set, face to face."),
]
HOW = {
    False: "pencil the code on the wood first",
    True: "slit it along the middle to part the halves",
}
ROLLS: dict[str, Literal[203, 300, 600]] = {
    "roll-203": 203,
    "roll-300": 300,
    "roll-600": 600,
}
UM_IN_A_MM = 1000


def add_to(app: typer.Typer) -> None:
    """Add the command to the other labels."""
    signs(app)(strip)


def strip(
    desk: Desk,
    codes: CodesArgument,
    out: printing.OutOption = None,
    on: RollOption = "roll-203",
    thickness: ThicknessOption = "",
    pair: PairOption = False,
    queue: printing.PrintOption = "",
    dots: printing.DotsOption = None,
    print_from: printing_run.FromOption = None,
) -> None:
    """Draw labels for thin wood, as strips over the edge.

    There is a symbol on each side.
    """
    from labels import label_strip
    from labels.label import ROLL_PRINTERS
    from ledger.acts import boards

    place = printing.place(out, queue, dots)
    roll = f"roll-{dots}" if dots else on
    hands, dpi = desk.hands(), ROLLS[roll]
    strips = _strips(desk, codes, _typed(thickness), is_pair=pair)
    pdf = label_strip.roll(strips, dpi=dpi)
    named = [label.code for each in strips for label in each.labels]
    paper = f"{'wrap' if pair else 'strip'} {roll}"
    digest = sha256(pdf).hexdigest()
    went = printing_run.put(
        desk.shop,
        place,
        pdf,
        boards=named,
        noun="strip",
        begin=print_from,
        record=partial(
            boards.labels_printed, codes=named, paper=paper, sha256=digest, hands=hands
        ),
    )
    disputed.tell_of_labels(label for each in strips for label in each.labels)
    show.notices(label_strip.notices(strips))
    lengths = [label_strip.size(each, ROLL_PRINTERS[dpi])[1] for each in strips]
    show.answer(
        desk,
        [
            f"{place}: {show.counted(len(strips), 'strip')}, 25 × {_span(lengths)} mm."
            f"{'' if queue else ' Print at 100 % on a continuous roll.'}",
            f"Hang each over an edge that the template leaves as waste; {HOW[pair]}.",
        ],
        **place.told(),
        **went.told(),
        boards=named,
        lengths_mm=[round(length, 1) for length in lengths],
    )


def _strips(
    desk: Desk, codes: Sequence[str], thickness: int | None, *, is_pair: bool
) -> list[Any]:
    """Return a strip for each board, or for each set of two halves."""
    from cli.papers import board_label
    from labels.label_strip import Strip
    from ledger.acts import boards

    with desk.shop.store.reading() as session:
        named = boards.labelled_codes(session, [desk.own(code) for code in codes])
        found = [boards.stored_board(session, code) for code in named]
        labels = {code: board_label(desk.shop, session, code) for code in named}
        return [
            Strip(
                front=labels[each[0].code],
                back=labels[each[1].code] if is_pair else None,
                thickness=_thickest(each, thickness) / UM_IN_A_MM,
            )
            for each in (_pairs(found) if is_pair else [[board] for board in found])
        ]


def _pairs(found: Sequence[Any]) -> list[list[Any]]:
    """Return the halves of each set, A before B; what is no set is refused."""
    from ledger.errors import RefusedError
    from ledger.views.boards import set_of

    sets: dict[str, list[Any]] = {}
    for board in found:
        sets.setdefault(set_of(board.code), []).append(board)
    for name, halves in sets.items():
        if len(halves) != 2:
            raise RefusedError(
                f"{halves[0].code} is one piece, and a strip round a pair has two "
                f"halves: name the set {name} whole, or leave out --pair"
            )
    return [sorted(halves, key=lambda half: half.code) for halves in sets.values()]


def _thickest(halves: Sequence[Any], told: int | None) -> int:
    """Return how thick pieces are [um], of two the thicker one."""
    from ledger.errors import RefusedError

    if told is not None:
        return told
    for board in halves:
        if board.thickness_um is None:
            raise RefusedError(
                f"nobody measured how thick {board.code} is: measure it, or give "
                f"--thickness '4.2 mm'"
            )
    return max(int(board.thickness_um) for board in halves)


def _typed(thickness: str) -> int | None:
    from ledger.quantities import length_um

    return length_um(thickness) if thickness else None


def _span(lengths: Sequence[float]) -> str:
    """Return lengths in words: 74, or 72.5 to 74."""
    told = [f"{length:.1f}".removesuffix(".0") for length in sorted(set(lengths))]
    return told[0] if len(told) == 1 else f"{told[0]} to {told[-1]}"
