"""Where a lot grew: its plots filed, read again, and written for an authority.

Coordinates stay in the paper's own file, under its digest; the log knows how many plots
there are, and when they were cut.
"""

from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.filing import kept_file
from ledger.acts.holds import by_paper
from ledger.acts.names import checked_day
from ledger.acts.numbers import next_document
from ledger.acts.plausible import UnlikelyError
from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import NotFoundError, RefusedError
from ledger.events import DocumentFiled, PlotsFiled
from ledger.log import attachments
from ledger.trade import plotfiles
from ledger.trade.due_diligence import Grown
from ledger.trade.plots import Plot, Plots, read_plots, write_plots
from ledger.trade.plotsizes import Doubt, doubts
from ledger.views.holds import open_holds
from ledger.views.people import erased_subjects
from ledger.views.plots import LotPlots, plots_of
from ledger.views.wood import Document, Lot

PAPER = "plots of harvest, GeoJSON"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlotsDraft:
    """What is to be filed for a lot: the file, and the days of the harvest.

    is_personal  it goes when the sawyer is erased
    as_read      its plots were looked at twice, and are so however unlikely
    """

    lot: str
    data: bytes
    harvested_from: str
    harvested_to: str
    is_personal: bool = False
    as_read: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OnFile:
    """The plots of a lot as they are on file; `read` is None where they were erased.

    Without `filed` there are none yet. `countries` has the country of harvest on
    record, or all that it may be.
    """

    lot: str
    species: str
    countries: tuple[str, ...]
    filed: LotPlots | None
    read: Plots | None

    @property
    def plots(self) -> tuple[Plot, ...] | None:
        """The plots themselves."""
        return None if self.read is None else self.read.plots


@dataclass(frozen=True, slots=True, kw_only=True)
class Filed:
    """What came of filing: the paper's code, the entry, and what the file holds.

    `countries` has the country of harvest on record, or all that it may be.
    """

    document: str
    entry: int
    read: Plots
    doubts: tuple[Doubt, ...]
    countries: tuple[str, ...]


def file_plots(shop: Shop, draft: PlotsDraft, hands: Hands) -> Filed:
    """File the plots of a lot; return the paper's code and what was read.

    Raises NotFoundError for a lot that never came in, RefusedError for a file that
    holds no plots, and where plots of that lot are on file already, UnlikelyError where
    they can hardly be.
    """
    _require_days(draft)
    read = read_plots(draft.data)
    found = doubts(read)
    kept = _kept_personal if draft.is_personal else _kept
    with kept(shop, draft) as (turn, digests):
        lot = _require_plausible(turn, draft)
        if found and not draft.as_read:
            raise UnlikelyError("; ".join(f"{one.said}: {one.remedy}" for one in found))
        code = next_document(turn)
        turn.say(DocumentFiled(document=code, paper=PAPER, **digests), hands)
        said = PlotsFiled(
            lot=draft.lot,
            document=code,
            harvested_from=draft.harvested_from,
            harvested_to=draft.harvested_to,
            number=len(read.plots),
        )
        entry = turn.say(said, hands).index
        countries = _countries(lot)
    return Filed(
        document=code, entry=entry, read=read, doubts=found, countries=countries
    )


def plots_on_file(shop: Shop, session: Session, lot: str) -> OnFile:
    """Return the plots of a lot as they were filed, read once more from their paper.

    Raises NotFoundError for a lot that never came in, TamperError where the file is
    another than the one that was filed.
    """
    found = _lot(session, lot)
    filed = plots_of(session, lot)
    return OnFile(
        lot=lot,
        species=found.species,
        countries=_countries(found),
        filed=filed,
        read=_read_again(shop, session, filed) if filed else None,
    )


def grown_of(shop: Shop, session: Session, lots: Iterable[str]) -> dict[str, Grown]:
    """Return what papers say of the plots of lots; none of those without any.

    What is said by a paper in doubt bears its hold.
    """
    holds = by_paper(open_holds(session))
    found = (plots_on_file(shop, session, lot) for lot in lots)
    return {
        one.lot: Grown(
            lot=one.lot,
            document=one.filed.document,
            number=one.filed.number,
            harvested_from=one.filed.harvested_from,
            harvested_to=one.filed.harvested_to,
            hold=holds.get(one.filed.document, ""),
        )
        for one in found
        if one.filed is not None and one.plots is not None
    }


def counted_plots(
    shop: Shop, session: Session, lots: Iterable[str]
) -> tuple[OnFile, ...]:
    """Return the plots of lots that count: those of a paper in doubt do not."""
    grown = grown_of(shop, session, lots).values()
    return tuple(plots_on_file(shop, session, one.lot) for one in grown if not one.hold)


def plots_file(on_file: tuple[OnFile, ...]) -> bytes:
    """Return the plots of lots as one GeoJSON file, with lot, species and harvest.

    Raises RefusedError where those of a lot are not on file, or erased.
    """
    told = []
    for one in on_file:
        if one.filed is None:
            raise RefusedError(
                f"no plots of {one.lot} are on file: ask the sawyer for them and "
                f"for the days of the harvest, and file them with flitchbook lot plots "
                f"{one.lot} FILE --harvested-from DAY --harvested-to DAY"
            )
        if one.plots is None:
            raise RefusedError(
                f"the plots of {one.lot} went with the sawyer's particulars: ask for "
                f"them again"
            )
        days = f"{one.filed.harvested_from}/{one.filed.harvested_to}"
        facts = {"lot": one.lot, "species": one.species, "harvested": days}
        told += [(plot, facts) for plot in one.plots]
    return write_plots(told)


@contextmanager
def _kept(shop: Shop, draft: PlotsDraft) -> Iterator[tuple[Turn, dict[str, str]]]:
    """Keep the file, and give the turn whose entries name it by its digest."""
    digest = attachments.digest_of(draft.data)
    with kept_file(shop, draft.data, announced=digest) as turn:
        yield turn, {"sha256": digest}


@contextmanager
def _kept_personal(
    shop: Shop, draft: PlotsDraft
) -> Iterator[tuple[Turn, dict[str, str]]]:
    """Keep the file behind a salt that goes when the sawyer is erased."""
    about, salt = _sawyer(shop, draft.lot), shop.entropy(attachments.SALT_SIZE)
    digest = attachments.digest_of(draft.data, salt=salt)
    with ExitStack() as undo:
        # The salt first: a file that no salt names could never be found again.
        undo.callback(shop.vault.forget_salt, digest)
        undo.callback(attachments.remove, shop.attachments, digest)
        shop.vault.put_salt(digest, salt, about)
        attachments.put(shop.attachments, draft.data, salt=salt, announced=digest)
        with shop.turn() as turn:
            _require_kept(turn, about, digest)
            yield turn, {"salted_sha256": digest}
        undo.pop_all()


def _require_kept(turn: Turn, about: str, digest: str) -> None:
    """See that nobody swept or erased meanwhile what an entry is to speak of."""
    attachments.get(turn.shop.attachments, digest)
    if about in erased_subjects(turn.session):
        raise RefusedError(
            "the sawyer was erased: nothing personal is kept of that sawyer any more"
        )
    if turn.shop.vault.get_salt(digest) is None:
        raise RefusedError("the paper's salt was swept meanwhile: file it again")


def _require_plausible(turn: Turn, draft: PlotsDraft) -> Lot:
    """Return the lot; refuse a second file, and a harvest after the wood came in."""
    lot = _lot(turn.session, draft.lot)
    before = plots_of(turn.session, draft.lot)
    if before is not None:
        raise RefusedError(
            f"the plots of {draft.lot} are on file since entry {before.idx} "
            f"({before.document}): if those are wrong, strike that first with "
            f"flitchbook record correct {before.idx}"
        )
    if draft.harvested_to > lot.received_on:
        raise RefusedError(
            f"wood that came in on {lot.received_on} was not cut on "
            f"{draft.harvested_to}: look at the days of the harvest again"
        )
    return lot


def _require_days(draft: PlotsDraft) -> None:
    checked_day(draft.harvested_from)
    checked_day(draft.harvested_to)
    if draft.harvested_to < draft.harvested_from:
        raise RefusedError(
            f"a harvest that began on {draft.harvested_from} did not end on "
            f"{draft.harvested_to}: look at the two days again"
        )


def _lot(session: Session, code: str) -> Lot:
    found = session.get(Lot, code)
    if found is None:
        raise NotFoundError(f"there is no lot {code}: it was never received")
    return found


def _countries(lot: Lot) -> tuple[str, ...]:
    """Return the country of harvest on record, all that it may be, or nothing."""
    known = lot.harvested_in
    return (known,) if known else tuple(lot.may_be_from.split())


def _sawyer(shop: Shop, code: str) -> str:
    """Return the subject whom a lot's personal paper is about."""
    with shop.store.reading() as session:
        supplier = _lot(session, code).supplier
    if supplier is None:
        raise RefusedError(
            f"{code} is old stock without a sawyer whom a personal paper could be "
            f"about: leave out --personal"
        )
    return supplier


def _read_again(shop: Shop, session: Session, filed: LotPlots) -> Plots | None:
    """Return the plots in a paper; None where it went with somebody's particulars."""
    paper = session.get_one(Document, filed.document)
    salt = shop.vault.get_salt(paper.digest) if paper.is_salted else b""
    if salt is None:
        return None
    data = attachments.read(
        shop.attachments, paper.digest, salt=salt, limit=plotfiles.LARGEST_FILE
    )
    return read_plots(data)
