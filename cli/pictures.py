"""How a command writes its picture: --out with a new .pdf or .png file, or --print.

    place = pictures.place(out, queue)       first, before anything is worked out
    pictures.put(plot, place, day=today)     a plot of the wood
    pictures.put_paper(pdf, place, title=…)  a paper that was drawn as a PDF

A PNG shows the first page at 150 dots to the inch; a printer gets the PDF.
"""

from contextlib import ExitStack
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import printing, show
from cli.printing import Place, PrintOption
from ledger.errors import RefusedError

__all__ = ["OutOption", "PrintOption", "place", "put", "put_paper"]

OutOption = Annotated[
    Path | None,
    typer.Option("--out", help="Where its picture goes: a new .pdf or .png file."),
]
ENDINGS = (".pdf", ".png")


def place(out: Path | None, queue: str = "") -> Place:
    """Return where a picture goes; refuse a file that is there, or of another kind."""
    if out is not None:
        if out.suffix.casefold() not in ENDINGS:
            raise RefusedError(
                f"{out} ends in neither {' nor '.join(ENDINGS)}: name a picture with "
                f"--out"
            )
        show.require_new(out)
    return printing.maybe(out, queue)


def put(plot: Any, place: Place, *, day: str) -> list[str]:
    """Bring a plot to where it was asked for, and return the line that says so."""
    if not place:
        return []
    from labels import plots

    for text in plots.notices(plot):
        show.notice(text)
    return put_paper(plots.pdf(plot, day=day), place, title=plot.heading.title)


def put_paper(pdf: bytes, place: Place, *, title: str) -> list[str]:
    """Write a paper or a picture of its first page, print it, and say where it is."""
    with ExitStack() as stack:
        if place.out is not None:
            data = _as_wanted(pdf, place.out)
            stack.enter_context(show.new_file(place.out, data))
        if place.queue:
            printing.hand_over(printing.job(place, pdf, title=title))
    return [f"picture: {place}"]


def _as_wanted(pdf: bytes, out: Path) -> bytes:
    if out.suffix.casefold() == ".pdf":
        return pdf
    from labels import picture, plots

    return picture.png(pdf, page=0, dpi=plots.PNG_DPI)
