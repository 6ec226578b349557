"""The plots of the wood: each on a sheet of its own, or as a figure in another paper.

A sheet is A5 landscape, as a PDF built to the rules of PDF/A-3b with nothing inside,
or as a PNG. The same values give the same bytes.
"""

from collections.abc import Callable
from dataclasses import fields, is_dataclass
from typing import Final

from labels import (
    archive,
    faces,
    match_card,
    picture,
    plot_family,
    plot_graduation,
    plot_map,
    plot_permit,
    plot_seasoning,
    plot_series,
    plot_silhouette,
    plot_spectrum,
    plot_timeline,
    plot_voice,
)
from labels.marks import Box
from labels.match_card import MatchCard
from labels.page import Page, close_document, open_document, turn_over
from labels.plot_family import FamilyTree
from labels.plot_figure import A5, MARGIN, Label
from labels.plot_graduation_facts import Graduation
from labels.plot_map import WoodMap
from labels.plot_permit import PermitStack
from labels.plot_seasoning import Seasoning
from labels.plot_series import TapSeries
from labels.plot_silhouette import Silhouette
from labels.plot_spectrum import Spectrum
from labels.plot_timeline_facts import Timeline
from labels.plot_voice import Voice

Plot = (
    Seasoning
    | WoodMap
    | Voice
    | Spectrum
    | TapSeries
    | MatchCard
    | Timeline
    | PermitStack
    | FamilyTree
    | Silhouette
    | Graduation
)
DRAWN: Final[dict[type[Plot], Callable[..., tuple[Label, ...]]]] = {
    Seasoning: plot_seasoning.draw,
    WoodMap: plot_map.draw,
    Voice: plot_voice.draw,
    Spectrum: plot_spectrum.draw,
    TapSeries: plot_series.draw,
    MatchCard: match_card.draw,
    Timeline: plot_timeline.draw,
    PermitStack: plot_permit.draw,
    FamilyTree: plot_family.draw,
    Silhouette: plot_silhouette.draw,
    Graduation: plot_graduation.draw,
}
PNG_DPI = 150


def draw(
    page: Page, box: Box, plot: Plot, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw a plot at a place on a page, and return the words that were set."""
    return DRAWN[type(plot)](page, box, plot, one_colour=one_colour)


def _sheet(plot: Plot, *, one_colour: bool) -> Page:
    page = open_document(A5, plot.heading.title)
    place = (MARGIN, MARGIN, A5[0] - 2 * MARGIN, A5[1] - 2 * MARGIN)
    draw(page, place, plot, one_colour=one_colour)
    turn_over(page)
    return page


def pdf(plot: Plot, *, day: str, one_colour: bool = False) -> bytes:
    """Return a plot as a PDF to keep; day is YYYY-MM-DD."""
    return archive.keep(_sheet(plot, one_colour=one_colour), day=day)


def png(plot: Plot, *, dpi: float = PNG_DPI, one_colour: bool = False) -> bytes:
    """Return a plot as a PNG file."""
    drawn = close_document(_sheet(plot, one_colour=one_colour))
    return picture.png(drawn, page=0, dpi=dpi)


def _texts(held: object) -> list[str]:
    """Collect every text of a plot, from its members and theirs."""
    if isinstance(held, str):
        return [held]
    if isinstance(held, tuple):
        return [text for each in held for text in _texts(each)]
    if is_dataclass(held):
        return [t for each in fields(held) for t in _texts(getattr(held, each.name))]
    return []


def notices(plot: Plot) -> tuple[str, ...]:
    """Say which characters a plot could not print."""
    return faces.missing_notices(_texts(plot))
