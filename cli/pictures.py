"""How a command writes its picture: --out with a new .pdf or .png file.

    pictures.require_place(out)            first, before anything is worked out
    pictures.put(plot, out, day=today)     a plot of the wood
    pictures.put_paper(pdf, out)           a paper that was drawn as a PDF

A PNG shows the first page at 150 dots to the inch.
"""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from ledger.errors import RefusedError

OutOption = Annotated[
    Path | None,
    typer.Option("--out", help="Where its picture goes: a new .pdf or .png file."),
]
ENDINGS = (".pdf", ".png")


def require_place(out: Path | None) -> None:
    """Refuse a file that is there already, or that is to be of another kind."""
    if out is None:
        return
    if out.suffix.casefold() not in ENDINGS:
        raise RefusedError(
            f"{out} ends in neither {' nor '.join(ENDINGS)}: name a picture with --out"
        )
    show.require_new(out)


def put(plot: Any, out: Path | None, *, day: str) -> list[str]:
    """Write a plot where it was asked for, and return the line that says so."""
    if out is None:
        return []
    from labels import plots

    for text in plots.notices(plot):
        show.notice(text)
    return put_paper(plots.pdf(plot, day=day), out)


def put_paper(pdf: bytes, out: Path) -> list[str]:
    """Write a paper, or a picture of its first page, and return the line for it."""
    require_place(out)
    with show.new_file(out, _as_wanted(pdf, out)):
        pass
    return [f"picture: {out}"]


def _as_wanted(pdf: bytes, out: Path) -> bytes:
    if out.suffix.casefold() == ".pdf":
        return pdf
    from labels import picture, plots

    return picture.png(pdf, page=0, dpi=plots.PNG_DPI)
