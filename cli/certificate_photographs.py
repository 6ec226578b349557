"""flitchbook certificate photographs: the files to compare an instrument with."""

from hashlib import sha256
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.certificate_papers import CertificateArgument
from cli.context import Desk, reads
from cli.verdict import Compared

FolderArgument = Annotated[Path, typer.Argument(help="A new folder for the files.")]
DIGITS = 16  # of a digest, as under each picture on the evidence pages


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the certificate."""
    reads(app)(photographs)


def photographs(
    desk: Desk, certificate: CertificateArgument, folder: FolderArgument
) -> None:
    """Give the photographs that a certificate names.

    They are the files, to compare the instrument with.
    """
    from ledger.acts.certificates import find_certificate
    from ledger.acts.giving import give_photographs

    number = find_certificate(desk.shop, certificate)
    given = give_photographs(desk.shop, number, folder)
    count = sum(each.file is not None for each in given)
    lines = [
        f"{number} names {len(given)} photographs; {count} are in {folder}:",
        *(f"  {place}  {_words(each)}" for place, each in enumerate(given, start=1)),
        "Each is as it was filed, with the SHA-256 that the certificate names; a copy "
        "that is saved anew has another.",
    ]
    told = [
        {
            "sha256": each.digest,
            "entry": each.picture.entry if each.picture else None,
            "file": str(each.file) if each.file else None,
            "why_not": each.why_not or None,
        }
        for each in given
    ]
    show.answer(desk, lines, number=number, folder=str(folder), photographs=told)


def compared(photograph: Path, answer: Any) -> Compared:
    """Look whether a file is one of the photographs that an answer's record names."""
    from ledger.check import NO

    digest = sha256(show.read_file(photograph)).hexdigest()
    if answer.facts is None or answer.word == NO:
        why = "nothing that holds here names photographs"
        return Compared(words=f"{photograph} is not compared: {why}")
    named = answer.facts.photographs
    if digest not in named:
        return Compared(
            words=f"{photograph} is none of the {len(named)} photographs of the "
            f"certificate; a copy that was saved anew has another digest: ask the shop "
            f"for the files"
        )
    place = named.index(digest) + 1
    return Compared(
        words=f"{photograph} is photograph {place} of {len(named)} of the certificate, "
        f"to the last bit: compare it with the instrument",
        place=place,
    )


def _words(given: Any) -> str:
    picture, digits = given.picture, given.digest[:DIGITS]
    shown = f"SHA-256 {digits}"
    if picture is not None:
        what = (picture.part, picture.board, picture.face, picture.step)
        shown = ", ".join([*filter(None, what), f"entry {picture.entry}", shown])
    where = given.file.name if given.file else f"not given: {given.why_not}"
    return f"{where} ({shown})"
