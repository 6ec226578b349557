"""flitchbook label: board labels and owner cards for the printer."""

from hashlib import sha256
from pathlib import Path
from typing import Annotated, Literal

import typer

from cli import label_page, show
from cli.context import Desk, signs

app = typer.Typer(
    name="label", help="Labels and cards for the printer.", no_args_is_help=True
)
CodesArgument = Annotated[
    list[str], typer.Argument(help="Boards, sets or a whole lot, such as L26-031.")
]
OutOption = Annotated[Path, typer.Option(help="Where the PDF goes.")]
SheetOption = Annotated[
    Literal["roll-203", "roll-300", "A4", "Letter"],
    typer.Option("--on", help="A label roll by its dots an inch, or a sheet to cut."),
]
BoardArgument = Annotated[
    str, typer.Argument(help="A board or one half of a set, or its scan.")
]
WhyOption = Annotated[
    str, typer.Option("--why", help="Why; it is kept out of the log.")
]
SerialArgument = Annotated[str, typer.Argument(help="The instrument's serial.")]
TagPaperOption = Annotated[
    Literal["A5", "A4", "Letter"],
    typer.Option("--on", help="The sheet; on A4 and Letter it is cut out."),
]
CertificateArgument = Annotated[
    str, typer.Argument(help="A certificate's number or a serial.")
]


@signs(app)
def board(
    desk: Desk, codes: CodesArgument, out: OutOption, on: SheetOption = "roll-203"
) -> None:
    """Draw the labels of boards."""
    from cli.papers import board_label, label_heading
    from labels import label
    from ledger.acts import boards
    from ledger.acts.signing import person_name

    show.require_new(out)
    hands = desk.hands()
    who = person_name(desk.shop, desk.person)
    with desk.shop.store.reading() as session:
        named = boards.labelled_codes(session, [desk.own(code) for code in codes])
        drawn = [board_label(desk.shop, session, code) for code in named]
        heading = label_heading(desk.shop, session, named[0], who)
    if on in ("A4", "Letter"):
        pdf = label.sheet(drawn, heading, paper=on)
    else:
        pdf = label.roll(drawn, dpi=203 if on == "roll-203" else 300)
    with show.new_file(out, pdf):
        boards.labels_printed(
            desk.shop, named, paper=on, sha256=sha256(pdf).hexdigest(), hands=hands
        )
    show.notices(label.notices(drawn))
    lines = [f"{out}: {show.counted(len(named), 'label')}. Print at 100 %."]
    show.answer(desk, lines, file=str(out), boards=named)


@signs(app)
def replace(desk: Desk, board: BoardArgument, why: WhyOption) -> None:
    """Void a board's label that was lost or torn; the next one is marked."""
    from cli.board_find import label_line
    from ledger.acts import relabelling

    # The label that goes may be the one in the hand: its scan is taken as it is.
    entry = relabelling.replace_label(desk.shop, board, reason=why, hands=desk.hands())
    code, number = entry.event["board"], entry.event["number"]
    lines = [
        f"{code}: its label is void, and replacement {number} takes its place, entry "
        f"{entry.index}.",
        label_line(code, number),
    ]
    show.answer(desk, lines, board=code, label=number, entry=entry.index)


@signs(app)
def tag(
    desk: Desk, serial: SerialArgument, out: OutOption, on: TagPaperOption = "A4"
) -> None:
    """Draw the build tag of an instrument, with the newest checkpoint on it."""
    from cli.papers_tag import build_tag
    from labels import tag as drawing
    from ledger.acts import builds

    show.require_new(out)
    code, hands = desk.serial(serial), desk.hands()
    drawn = build_tag(desk.shop, code)
    pdf = drawing.draw(drawn, paper=on)
    with show.new_file(out, pdf):
        number = builds.tag_printed(
            desk.shop,
            serial=code,
            note=drawn.checkpoint_note,
            sha256_hex=sha256(pdf).hexdigest(),
            hands=hands,
        )
    show.notices(drawing.notices(drawn))
    lines = [
        f"{out}: the tag of {code}, print {number}. Print both sides, turned over the "
        f"short edge, at 100 %.",
        f"It carries the checkpoint of {drawn.size} entries out of this machine.",
    ]
    show.answer(desk, lines, file=str(out), serial=code, number=number, size=drawn.size)


@signs(app)
def card(desk: Desk, certificate: CertificateArgument, out: OutOption) -> None:
    """Draw the owner's card of a certificate."""
    from cli.papers import owner_card
    from labels import card as drawing
    from ledger.acts import certificates

    show.require_new(out)
    number = certificates.find_certificate(desk.shop, certificate)
    key, hands = desk.card_key(), desk.hands()
    paper = certificates.certificate_paper(desk.shop, number)
    drawn = owner_card(paper, certificates.card_text(desk.shop, paper, key), key.id)
    pdf = drawing.draw(drawn)
    with show.new_file(out, pdf):
        certificates.printed(
            desk.shop,
            number=number,
            paper="card",
            sha256_hex=sha256(pdf).hexdigest(),
            hands=hands,
        )
    for text in drawing.notices(drawn):
        show.notice(text)
    show.answer(desk, [f"{out}: the card of {number}."], file=str(out), number=number)


label_page.add_to(app)
