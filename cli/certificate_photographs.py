"""flitchbook certificate photographs: the files to compare an instrument with."""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.certificate_papers import CertificateArgument
from cli.context import Desk, reads

FolderArgument = Annotated[Path, typer.Argument(help="A new folder for the files.")]
AsFiledOption = Annotated[
    bool,
    typer.Option(
        "--as-filed",
        help="Give files too that hold where it was, or whose the camera is.",
    ),
]
DIGITS = 16  # of a digest, as under each picture on the evidence pages


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the certificate."""
    reads(app)(photographs)


def photographs(
    desk: Desk,
    certificate: CertificateArgument,
    folder: FolderArgument,
    as_filed: AsFiledOption = False,
) -> None:
    """Give the photographs that a certificate names.

    They are the files, to compare the instrument with.
    """
    from ledger.acts.certificates import find_certificate
    from ledger.acts.giving import give_photographs

    number = find_certificate(desk.shop, certificate)
    given = give_photographs(desk.shop, number, folder, as_filed=as_filed)
    count = sum(each.file is not None for each in given)
    lines = [
        f"{number} names {show.counted(len(given), 'photograph')}; {count} "
        f"{'is' if count == 1 else 'are'} in {folder}:",
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
            "beside": each.beside or None,
        }
        for each in given
    ]
    show.answer(desk, lines, number=number, folder=str(folder), photographs=told)


def _words(given: Any) -> str:
    picture, digits = given.picture, given.digest[:DIGITS]
    shown = f"SHA-256 {digits}"
    if picture is not None:
        off = "taken off" if picture.is_off else ""
        what = (picture.part, picture.board, picture.face, picture.step, off)
        shown = ", ".join([*filter(None, what), f"entry {picture.entry}", shown])
    if given.file is None:
        return f"not given: {given.why_not} ({shown})"
    beside = f"; {given.beside}" if given.beside else ""
    return f"{given.file.name} ({shown}){beside}"
