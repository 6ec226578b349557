"""The pictures and the proofs of every instrument, for an exported record."""

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

from sqlmodel import Session, col, select

from cli.build_figure import figure_of
from cli.instrument_timeline import strip_of
from cli.record_pages import PAPERS, page_name
from labels import plots
from ledger.acts.certificates import certificate_paper
from ledger.acts.folders import write
from ledger.acts.shop import Shop
from ledger.errors import LedgerError
from ledger.views.builds import Build
from ledger.views.certificates import Certificate

Progress = Callable[[int, int], None]
# Draws a statement of a certificate, for whoever gave a lead's PIN.
Statement = Callable[[str], bytes]


def draw_papers(
    shop: Shop,
    session: Session,
    folder: Path,
    *,
    with_names: bool,
    statement: Statement | None,
    progress: Progress,
) -> tuple[dict[str, list[str]], list[str]]:
    """Draw what there is of each instrument below papers/.

    The figure and the proofs name nobody; the timeline, the certificate files and the
    statements do, and come with the names only. Returns the files of each serial, and
    a sentence for each that cannot be drawn.
    """
    (folder / PAPERS).mkdir()
    asked = select(Build.serial).order_by(col(Build.idx))
    serials = list(session.exec(asked).all())
    made: dict[str, list[str]] = {}
    left: list[str] = []
    for count, serial in enumerate(serials, 1):
        for name, draw in _each(shop, session, serial, with_names, statement):
            try:
                data = draw()
            except LedgerError as fault:
                left.append(f"{name} is not drawn: {fault}")
                continue
            write(folder / PAPERS / name, data)
            made.setdefault(serial, []).append(name)
        progress(count, len(serials))
    return made, left


def _each(
    shop: Shop,
    session: Session,
    serial: str,
    with_names: bool,
    statement: Statement | None,
) -> Iterator[tuple[str, Callable[[], bytes]]]:
    """Yield the name of each file of an instrument, and what makes it."""
    stem, day = page_name(serial).removesuffix(".html"), shop.today()
    yield f"{stem}-figure.pdf", partial(_figure, session, serial, day)
    if with_names:
        yield f"{stem}-timeline.pdf", partial(_timeline, shop, session, serial, day)
    asked = select(Certificate.number).where(Certificate.serial == serial)
    numbers = list(session.exec(asked.order_by(col(Certificate.idx))).all())
    for number in numbers:
        yield f"{number}.proof", partial(_proof, shop, number)
        if with_names:
            yield f"{number}.json", partial(_file, shop, number)
    if numbers and statement is not None and with_names:
        yield f"{stem}-statement.pdf", partial(statement, numbers[-1])


def _figure(session: Session, serial: str, day: str) -> bytes:
    plot: Any = figure_of(session, serial)[2]()
    return plots.pdf(plot, day=day)


def _timeline(shop: Shop, session: Session, serial: str, day: str) -> bytes:
    return plots.pdf(strip_of(shop, session, serial)[0], day=day)


def _proof(shop: Shop, number: str) -> bytes:
    return certificate_paper(shop, number).proof_file.encode()


def _file(shop: Shop, number: str) -> bytes:
    return certificate_paper(shop, number).file.data
