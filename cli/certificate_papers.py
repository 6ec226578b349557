"""flitchbook certificate insurer and booklet: what an owner gets beside a certificate.

Both are drawn from the record, and neither is in an entry: they prove nothing by
themselves, and lead to the certificate that does.
"""

from typing import Annotated, Any, Literal

import typer

from cli import disputed, printing, show
from cli.context import Desk, opens

CertificateArgument = Annotated[
    str, typer.Argument(help="A certificate's number or a serial.")
]
PaperOption = Annotated[
    Literal["A4", "Letter"] | None, typer.Option(help="The paper; else the shop's own.")
]
PagesOption = Annotated[
    bool,
    typer.Option("--pages", help="Eight A6 pages to read, not the sheet to be folded."),
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the certificate."""
    opens(app)(insurer)
    opens(app)(booklet)


def insurer(
    desk: Desk,
    certificate: CertificateArgument,
    out: printing.OutOption = None,
    paper: PaperOption = None,
    language: printing.LanguageOption = None,
    queue: printing.PrintOption = "",
) -> None:
    """Draw a statement for an insurer or an appraiser.

    It is one page, as of today.

    It is drawn of the newest certificate and names no value and no owner.
    """
    from cli import papers_insurer
    from labels import insurer as drawing

    place = printing.place(out, queue)
    shown, event = shown_certificate(desk, certificate, language)
    papers_insurer.require_newest(desk.shop, shown)
    drawn = papers_insurer.insurer_statement(desk.shop, shown, event)
    pdf = drawing.draw(drawn, paper=_on(desk, paper))
    title = f"statement for an insurer, {shown.serial}"
    printing.bring(place, pdf, title=title)
    at, own = drawn.as_of_entry, shown.entry
    disputed.tell_of_build(desk.shop, f"the {title}", shown.serial, at, own)
    show.notices(drawing.notices(drawn))
    lines = [
        f"{shown.number}: {place}",
        "It names no value and no owner: there are lines for both, to be filled in.",
    ]
    told = {"number": shown.number, "as_of_entry": drawn.as_of_entry}
    show.answer(desk, lines, **told, **place.told())


def booklet(
    desk: Desk,
    certificate: CertificateArgument,
    out: printing.OutOption = None,
    paper: PaperOption = None,
    language: printing.LanguageOption = None,
    pages: PagesOption = False,
    queue: printing.PrintOption = "",
) -> None:
    """Draw the owner's booklet, on one sheet to fold.

    The sheet is printed on both sides.

    It says what was on record with the certificate; of an older one it says so.
    """
    from cli.papers_booklet import owner_booklet
    from labels import booklet as drawing
    from ledger.acts.thefts import standing_reports

    place = printing.place(out, queue)
    shown, event = shown_certificate(desk, certificate, language)
    drawn = owner_booklet(desk.shop, shown, event)
    on = _on(desk, paper)
    pdf = drawing.draw_pages(drawn) if pages else drawing.draw(drawn, paper=on)
    title = f"owner's booklet {shown.serial}"
    sides = "" if pages else printing.SHORT_EDGE
    printing.bring(place, pdf, title=title, sides=sides)
    own = shown.entry
    disputed.tell_of_build(desk.shop, f"the {title}", shown.serial, own, own)
    show.notices(drawing.notices(drawn))
    lines = [f"{shown.number}: {place}"]
    if drawn.superseded_by:
        lines.append(f"superseded by {drawn.superseded_by}; the title page says so")
    if standing_reports(desk.shop, shown.serial):
        lines.append(
            "a report of theft stands, and the booklet does not say so: hand it to "
            "nobody before flitchbook owner show says how that ended"
        )
    if not pages:
        lines.append(
            "Print it on both sides, turned on the short edge; then fold the upper "
            "half backwards, and the left half backwards."
        )
    show.answer(
        desk,
        lines,
        number=shown.number,
        superseded_by=drawn.superseded_by or None,
        **place.told(),
    )


def shown_certificate(desk: Desk, text: str, language: str | None) -> tuple[Any, Any]:
    """Return what a certificate's pages show, and the event that issued it.

    The key is the card's, which signed the square on these papers.
    """
    from dataclasses import replace

    from cli.papers import owner_certificate
    from ledger.acts import certificates

    number = certificates.find_certificate(desk.shop, text)
    card = desk.card_key()
    facts = certificates.certificate_paper(desk.shop, number)
    said = certificates.card_text(desk.shop, facts, card)
    spoken = language or desk.shop.settings.language
    shown = owner_certificate(desk.shop, facts, said, spoken)
    return replace(shown, key_id=card.id), facts.event


def _on(desk: Desk, paper: Any) -> Any:
    return paper or desk.shop.settings.paper
