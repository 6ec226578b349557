"""The facts of the record brought to the evidence behind a certificate.

All of it is as of the certificate's entry: what was said since changes nothing, so that
the paper drawn again is the same. A file that is gone or spoiled is said to be.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from sqlmodel import Session, col, select

from cli.build_voice import ladder
from cli.instrument_timeline import strip_of
from cli.papers_border import border_of
from labels import evidence_photographs
from labels.evidence_facts import Evidence, Photograph
from labels.facts import OwnerCertificate
from labels.plot_figure import Heading
from labels.plot_seasoning import Seasoning, Series, Weight
from labels.plot_timeline_facts import Timeline
from ledger.acts.certificates import CertificatePaper
from ledger.acts.closing import wood_at
from ledger.acts.photographs import Pictured, pictures_at, showable
from ledger.acts.shop import Shop
from ledger.acts.voicing import voice
from ledger.errors import LedgerError
from ledger.events import CertificateIssued
from ledger.log import attachments
from ledger.views.allotting import Stay
from ledger.views.boards import Board
from ledger.views.family import lots_of
from ledger.views.measures import Weighing, weighed_before
from ledger.views.plots import plots_of
from ledger.views.said import entry_said
from ledger.views.wood import Lot

LEAST_WEIGHTS = 3  # of a curve
MOST_SIBLINGS = 40
ALIKE = 12  # of its mass, a sibling's may be off by one part in so many
LEAST_TONE = 1000  # [mHz] what is lower is no tone of a body
FIRST_PART = "top"


def evidence_of(
    shop: Shop, event: CertificateIssued, as_of: int, *, with_photographs: bool = True
) -> Evidence:
    """Return what stands behind a certificate, as its entry left it."""
    with shop.store.reading() as session:
        strip = _strip(shop, session, event.serial, as_of)
        stays = wood_at(session, event.serial, as_of)
        seasoning, weighed = _seasoning(session, stays, strip.cut_on, as_of)
        voiced = _voice(session, event.serial, as_of)
        border = border_of(shop, session, event, as_of)
        filed = showable(session, pictures_at(session, event.serial, as_of))
        named = [each for each in filed if each.digest in event.photographs]
        kept = named if with_photographs else []
        days = {each.entry: _day(session, each.entry) for each in kept}
    shown, unseen = _ready(shop, kept, days)
    return Evidence(
        timeline=strip if strip.racks or strip.hands else None,
        seasoning=seasoning,
        weighed=weighed,
        voice=voiced,
        border=border,
        photographs=tuple(shown),
        unseen=tuple(unseen),
        more=len(filed) - len(kept) if with_photographs else 0,
        are_left_out=bool(filed) and not with_photographs,
    )


def _strip(shop: Shop, session: Session, serial: str, as_of: int) -> Timeline:
    """Return the strip up to the first certificate, with fellings as told by then."""
    strip, _ = strip_of(shop, session, serial)
    racks = []
    for rack in strip.racks:
        plots = plots_of(session, rack.lot, as_of)
        felled = (plots.harvested_from, plots.harvested_to) if plots else None
        racks.append(replace(rack, felled=felled))
    told: Timeline = replace(strip, racks=tuple(racks))
    return told


def with_evidence(
    shop: Shop,
    paper: CertificatePaper,
    drawn: OwnerCertificate,
    *,
    with_photographs: bool = True,
) -> OwnerCertificate:
    """Return a certificate's pages with the evidence behind the first.

    Photographs taken at the bench may show somebody: they can be left out.
    """
    found = evidence_of(
        shop, paper.event, paper.entry.index, with_photographs=with_photographs
    )
    return replace(drawn, evidence=found)


def _day(session: Session, index: int) -> str:
    """Return the day on which what an entry says happened."""
    return entry_said(session, index).happened_at[:10]


def _seasoning(
    session: Session, stays: Sequence[Stay], cut_on: str, as_of: int
) -> tuple[Seasoning | None, str]:
    """Return how the chief board came to rest, and of which part it is.

    It is the top's, and of several the heaviest. What was weighed once the work had
    begun is no more about its rest: planing takes more than air does.
    """
    found = [(s, weighed_before(session, [s.board], cut_on, at=as_of)) for s in stays]
    found = [(stay, rows) for stay, rows in found if len(rows) >= LEAST_WEIGHTS]
    if not found:
        return None, ""
    tops = [each for each in found if each[0].part == FIRST_PART]
    stay, rows = min(tops or found, key=lambda one: (-one[1][0].mass_mg, one[0].board))
    lots = [session.get_one(Lot, code) for code in lots_of(session, stay.board)]
    since = max(lot.received_on for lot in lots)
    board = session.get_one(Board, stay.board)
    return (
        Seasoning(
            heading=Heading(
                title="",
                where="",
                entries=tuple(row.idx for row in rows),
            ),
            what="board",
            chosen=Series(name=stay.board, weights=_weights(rows, since)),
            siblings=tuple(_siblings(session, board, since, rows, cut_on, as_of)),
        ),
        stay.part,
    )


def _weights(rows: Sequence[Weighing], since: str) -> tuple[Weight, ...]:
    """Return weights by the days of rest, of a day the last one."""
    by_day = {_days(since, row.moment[:10]): row.mass_mg for row in rows}
    return tuple(
        Weight(rest_days=days, mass_mg=mass)
        for days, mass in sorted(by_day.items())
        if days >= 0
    )


def _days(since: str, day: str) -> int:
    return (date.fromisoformat(day) - date.fromisoformat(since)).days


def _siblings(
    session: Session,
    board: Board,
    since: str,
    rows: Sequence[Weighing],
    until: str,
    as_of: int,
) -> Iterator[Series]:
    """Yield how others of the lot went that are about as heavy, on one scale."""
    codes = session.exec(
        select(Board.code)
        .where(col(Board.lot) == board.lot, col(Board.code) != board.code)
        .order_by(col(Board.code))
    ).all()
    first = rows[0].mass_mg
    of_board: dict[str, list[Weighing]] = {}
    for row in weighed_before(session, codes, until, at=as_of):
        of_board.setdefault(row.board, []).append(row)
    alike = [
        code
        for code in sorted(of_board)
        if len(of_board[code]) >= LEAST_WEIGHTS
        and abs(of_board[code][0].mass_mg - first) * ALIKE <= first
    ]
    for code in alike[:MOST_SIBLINGS]:
        yield Series(name=code, weights=_weights(of_board[code], since))


def _voice(session: Session, serial: str, as_of: int) -> Any:
    """Return the ladder of an instrument, or None where nothing of it was tapped."""
    rails = voice(session, serial, at=as_of)
    drawn = ladder(serial, rails)
    kept = tuple(
        replace(
            rail,
            rungs=tuple(r for r in rail.rungs if r.frequency_millihertz >= LEAST_TONE),
        )
        for rail in drawn.rails
    )
    kept = tuple(rail for rail in kept if rail.rungs)
    return replace(drawn, rails=kept) if kept else None


def _ready(
    shop: Shop, kept: Sequence[Pictured], days: dict[int, str]
) -> tuple[list[Photograph], list[int]]:
    """Return the photographs that can be shown, and the entries of the others."""
    shown, unseen = [], []
    for each in kept:
        try:
            original = attachments.read(shop.attachments, each.digest)
            ready = evidence_photographs.ready(original)
        except LedgerError:
            unseen.append(each.entry)
            continue
        shown.append(
            Photograph(
                day=days[each.entry],
                entry=each.entry,
                digest=each.digest,
                jpeg=ready.jpeg,
                width=ready.width,
                height=ready.height,
                is_cropped=ready.is_cropped,
                board=each.board,
                part=each.part,
                face=each.face,
                step=each.step,
            )
        )
    return shown, sorted(set(unseen))
