"""flitchbook certificate: issued, drawn, and checked by anybody."""

from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import Annotated, Any, NamedTuple

import typer

from cli import (
    certificate_list,
    certificate_papers,
    certificate_photographs,
    certificate_signet,
    certificate_since,
    certificate_status,
    disputed,
    printing,
    show,
)
from cli.certificate_papers import CertificateArgument, PaperOption
from cli.context import Desk, JsonOption, signs

app = typer.Typer(
    name="certificate", help="The owner's certificate.", no_args_is_help=True
)
SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
FileArgument = Annotated[
    Path,
    typer.Argument(
        help="The certificate's PDF, the file in it, its proof, or a card's text."
    ),
]
KeysOption = Annotated[
    Path | None, typer.Option("--keys", help="The shop's keys file, from the shop.")
]
StatusOption = Annotated[
    Path | None,
    typer.Option("--status", help="The shop's newest status list, from the shop."),
]
PhotographsOption = Annotated[
    bool,
    typer.Option(
        "--photographs/--no-photographs",
        help="Place photographs on record on the evidence pages.",
    ),
]
PhotographOption = Annotated[
    Path | None,
    typer.Option("--photograph", help="A photograph from the shop, to be compared."),
]
RecordOption = Annotated[
    Path | None,
    typer.Option("--shop", help="The shop's folder, to see if there is a newer one."),
]


class Asked(NamedTuple):
    """How a certificate is to be drawn; what is None is as the shop's settings say."""

    paper: str | None
    language: str | None
    with_photographs: bool
    is_signed: bool


@signs(app)
def issue(
    desk: Desk,
    serial: SerialArgument,
    out: printing.OutOption = None,
    paper: PaperOption = None,
    language: printing.LanguageOption = None,
    queue: printing.PrintOption = "",
    sign_pdf: certificate_signet.SignOption = False,
    photographs: PhotographsOption = True,
) -> None:
    """Issue and draw a finished instrument's certificate."""
    from ledger.acts import certificates
    from ledger.errors import LedgerError, RefusedError

    place = printing.place(out, queue)
    certificate_signet.require(sign_pdf)
    desk.card_key()
    code = desk.serial(serial)
    number = certificates.issue(desk.shop, serial=code, hands=desk.hands())
    try:
        _draw(desk, number, place, Asked(paper, language, photographs, sign_pdf))
    except (LedgerError, OSError) as fault:
        raise RefusedError(
            f"{number} is issued, but no paper of it is drawn: {fault}; draw it with "
            f"flitchbook certificate print {number}"
        ) from None


@signs(app, "print")
def print_(
    desk: Desk,
    certificate: CertificateArgument,
    out: printing.OutOption = None,
    paper: PaperOption = None,
    language: printing.LanguageOption = None,
    queue: printing.PrintOption = "",
    sign_pdf: certificate_signet.SignOption = False,
    photographs: PhotographsOption = True,
) -> None:
    """Draw a certificate again; it is the same one."""
    from ledger.acts import certificates

    place = printing.place(out, queue)
    certificate_signet.require(sign_pdf)
    number = certificates.find_certificate(desk.shop, certificate)
    _draw(desk, number, place, Asked(paper, language, photographs, sign_pdf))


@app.command()
def check(
    file: FileArgument,
    keys: KeysOption = None,
    status: StatusOption = None,
    photograph: PhotographOption = None,
    shop: RecordOption = None,
    json: JsonOption = False,
) -> None:
    """Judge a certificate or card by the shop's keys file.

    It is done anywhere, with nothing else.

    With the shop's status list it is told what was superseded, withdrawn or reported;
    with its folder whether a newer one takes its place; with a photograph from the shop
    whether it is one of those that the certificate names.
    """
    from cli import verdict
    from cli.context import now
    from ledger.check import NO
    from ledger.check import check as judge

    keys_data = show.read_file(keys) if keys is not None else None
    status_data = show.read_file(status) if status is not None else None
    data = show.read_file(file)
    today = now().date().isoformat()
    found = judge(data, keys_data, status_data, today=today)
    if keys_data is not None and status_data is not None:
        found = certificate_list.held_to(found, status_data, keys_data)
    number = verdict.number_in(found)
    newer = None
    if shop is not None and number and found.word != NO:
        newer = certificate_since.superseded_words(shop, number)
    seen = None
    if photograph is not None:
        seen = verdict.compare(photograph, found)
    say = verdict.as_json if json else verdict.as_lines
    signed = verdict.bears_signature(data)
    for line in say(found, newer, bears_signature=signed, compared=seen):
        typer.echo(show.safe(line))
    if not found or (seen is not None and not seen):
        raise typer.Exit(1)


def _draw(desk: Desk, number: str, place: printing.Place, asked: Asked) -> None:
    from labels import certificate as drawing
    from ledger.acts import certificates

    shop, hands, card = desk.shop, desk.hands(), desk.card_key()
    facts = certificates.certificate_paper(shop, number)
    drawn = _page(shop, facts, certificates.card_text(shop, facts, card), asked)
    paper: Any = asked.paper or shop.settings.paper
    pdf = drawing.draw(
        drawn,
        paper=paper,
        certificate_file=facts.file.data,
        proof_file=facts.proof_file.encode(),
    )
    signet: dict[str, str] = {}
    if asked.is_signed:
        pdf, signet["signet_sha256"] = certificate_signet.signed(desk, pdf, card)
    printing.put(
        shop,
        place,
        pdf,
        title=f"certificate {number}",
        record=partial(
            certificates.printed,
            number=number,
            paper=paper,
            sha256_hex=sha256(pdf).hexdigest(),
            hands=hands,
        ),
    )
    disputed.tell_of_build(shop, number, drawn.serial, drawn.entry, own=drawn.entry)
    for notice in drawing.notices(drawn):
        show.notice(notice)
    lines = [
        f"{number}: {place}",
        *map(certificate_signet.signed_words, signet.values()),
        "Whoever holds it asks you once for the page that checks: flitchbook label "
        "page --out verify.html",
    ]
    show.answer(desk, lines, number=number, **place.told(), **signet)


def _page(shop: Any, facts: Any, card_text: str, asked: Asked) -> Any:
    """Return what the pages show, with the evidence behind the first."""
    from cli.papers import owner_certificate
    from cli.papers_evidence import with_evidence

    language = asked.language or shop.settings.language
    page = owner_certificate(shop, facts, card_text, language)
    pictured = asked.with_photographs
    return with_evidence(shop, facts, page, with_photographs=pictured)


certificate_since.add_to(app)
certificate_status.add_to(app)
certificate_signet.add_to(app)
certificate_papers.add_to(app)
certificate_photographs.add_to(app)
