"""flitchbook label: board labels and owner cards for the printer."""

from functools import partial
from hashlib import sha256
from typing import Annotated, Any, Literal

import typer

from cli import (
    disputed,
    label_envelope,
    label_page,
    label_rack,
    label_strip,
    printing,
    printing_run,
    show,
)
from cli.certificate_papers import CertificateArgument
from cli.context import Desk, signs

app = typer.Typer(
    name="label", help="Labels and cards for the printer.", no_args_is_help=True
)
CodesArgument = Annotated[
    list[str], typer.Argument(help="Boards, sets or a whole lot, such as L26-031.")
]
SheetOption = Annotated[
    Literal["roll-203", "roll-300", "roll-600", "sheet", "A4", "Letter"],
    typer.Option(
        "--on",
        help="A label roll by its dots an inch, or a sheet to cut: of the shop's own "
        "paper, or of the one named.",
    ),
]
StartOption = Annotated[
    str,
    typer.Option(
        help="On a sheet of which labels are gone: its first free place, the row and "
        "then the label in it, such as 7,2."
    ),
]
BoardArgument = Annotated[
    str, typer.Argument(help="A board or one half of a set, or its scan.")
]
WhyOption = Annotated[
    str, typer.Option("--why", help="Why; it is kept out of the log.")
]
ROLLS: dict[str, Literal[203, 300, 600]] = {
    "roll-203": 203,
    "roll-300": 300,
    "roll-600": 600,
}
SerialArgument = Annotated[str, typer.Argument(help="The instrument's serial.")]
TagPaperOption = Annotated[
    Literal["A5", "A4", "Letter"] | None,
    typer.Option(
        "--on",
        help="The sheet, else the shop's own; on A4 and Letter it is cut out.",
    ),
]


@signs(app)
def board(
    desk: Desk,
    codes: CodesArgument,
    out: printing.OutOption = None,
    on: SheetOption = "roll-203",
    start_at: StartOption = "",
    queue: printing.PrintOption = "",
    dpi: printing.DotsOption = None,
    print_from: printing_run.FromOption = None,
) -> None:
    """Draw the labels of boards."""
    from cli.label_start import free_words, started
    from cli.papers import board_label, label_heading
    from labels import label, label_sheet
    from ledger.acts import boards
    from ledger.acts.signing import person_name

    place, on = printing.place(out, queue, dpi), _sheet(desk, on)
    start = started(start_at, on)
    hands = desk.hands()
    who = person_name(desk.shop, desk.person)
    with desk.shop.store.reading() as session:
        named = boards.labelled_codes(session, [desk.own(code) for code in codes])
        drawn = [board_label(desk.shop, session, code) for code in named]
        heading = label_heading(desk.shop, session, named[0], who)
    paper = f"roll-{dpi}" if dpi and on in ROLLS else on
    if on in ("A4", "Letter"):
        pdf = label_sheet.sheet(drawn, heading, paper=on, start=start)
    else:
        pdf = label.roll(drawn, dpi=ROLLS[paper])
    digest = sha256(pdf).hexdigest()
    went = printing_run.put(
        desk.shop,
        place,
        pdf,
        boards=named,
        noun="label" if on in ROLLS else "sheet",
        begin=print_from,
        record=partial(
            boards.labels_printed, codes=named, paper=paper, sha256=digest, hands=hands
        ),
    )
    disputed.tell_of_labels(drawn)
    show.notices(label.notices(drawn))
    lines = [f"{place}: {went.words(len(named))}"]
    if start_at and on in ("A4", "Letter"):
        lines.append(free_words(label_sheet.next_free(drawn, on, start)))
    show.answer(desk, lines, **place.told(), **went.told(), boards=named)


def _sheet(desk: Desk, on: Any) -> Any:
    """Return what labels go on, a sheet by the name of the shop's paper."""
    return desk.shop.settings.paper if on == "sheet" else on


@signs(app)
def replace(desk: Desk, board: BoardArgument, why: WhyOption) -> None:
    """Void a board's label that was lost or torn.

    The next one is marked as its replacement.
    """
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
    desk: Desk,
    serial: SerialArgument,
    out: printing.OutOption = None,
    on: TagPaperOption = None,
    queue: printing.PrintOption = "",
) -> None:
    """Draw an instrument's build tag, with a checkpoint.

    It is the newest one.
    """
    from cli.papers_tag import build_tag
    from labels import tag as drawing
    from ledger.acts import builds

    place = printing.place(out, queue)
    code, hands = desk.serial(serial), desk.hands()
    drawn = build_tag(desk.shop, code)
    paper: Any = on or desk.shop.settings.paper
    pdf = drawing.draw(drawn, paper=paper)
    number = printing.put(
        desk.shop,
        place,
        pdf,
        title=f"build tag {code}",
        record=partial(
            builds.tag_printed,
            serial=code,
            note=drawn.checkpoint_note,
            sha256_hex=sha256(pdf).hexdigest(),
            hands=hands,
        ),
        sides=printing.SHORT_EDGE,
    )
    disputed.tell_of_build(desk.shop, f"the tag of {code}", code, drawn.size - 1)
    show.notices(drawing.notices(drawn))
    by_hand = "" if queue else printing.TURN_OVER
    lines = [
        f"{place}: the tag of {code}, print {number}.{by_hand}",
        f"It carries the checkpoint of {drawn.size} entries out of this machine.",
    ]
    told = {"serial": code, "number": number, "size": drawn.size}
    show.answer(desk, lines, **place.told(), **told)


@signs(app)
def card(
    desk: Desk,
    certificate: CertificateArgument,
    out: printing.OutOption = None,
    language: printing.LanguageOption = None,
    queue: printing.PrintOption = "",
) -> None:
    """Draw the owner's card of a certificate."""
    from cli.papers import owner_card
    from labels import card as drawing
    from ledger.acts import certificates

    place = printing.place(out, queue)
    number = certificates.find_certificate(desk.shop, certificate)
    key, hands = desk.card_key(), desk.hands()
    paper = certificates.certificate_paper(desk.shop, number)
    text = certificates.card_text(desk.shop, paper, key)
    spoken = language or desk.shop.settings.language
    drawn = owner_card(desk.shop, paper, text, key.id, spoken)
    pdf = drawing.draw(drawn)
    printing.put(
        desk.shop,
        place,
        pdf,
        title=f"card {number}",
        record=partial(
            certificates.printed,
            number=number,
            paper="card",
            sha256_hex=sha256(pdf).hexdigest(),
            hands=hands,
        ),
    )
    entry = drawn.entry
    disputed.tell_of_build(
        desk.shop, f"the card of {number}", drawn.serial, entry, own=entry
    )
    for text in drawing.notices(drawn):
        show.notice(text)
    lines = [f"{place}: the card of {number}."]
    show.answer(desk, lines, **place.told(), number=number)


label_strip.add_to(app)
label_rack.add_to(app)
label_envelope.add_to(app)
label_page.add_to(app)
