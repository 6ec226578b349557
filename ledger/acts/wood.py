"""Wood: sawyers, their papers, lots as they come in, boards as they are numbered."""

from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from sqlmodel import Session

from ledger.acts.names import (
    SUBJECT_SIZE,
    checked_country,
    checked_words,
    kept_name,
)
from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import NotFoundError, RefusedError
from ledger.events import (
    BoardNumbered,
    DocumentFiled,
    LabelPrinted,
    LotReceived,
    SupplierRecorded,
)
from ledger.events.wood import Evidence, Shown
from ledger.ids import BoardId, DocumentId, LotId, parse_any
from ledger.log import attachments
from ledger.views.people import erased_subjects
from ledger.views.subjects import known_subjects
from ledger.views.wood import (
    Board,
    Document,
    Lot,
    Supplier,
    boards_named,
    boards_of,
    lots_with,
    newest_code,
    suppliers,
)

SUPPLIER_NAME = "supplier.name"


@dataclass(frozen=True, slots=True, kw_only=True)
class LotDraft:
    """What is known of a lot when it comes in."""

    species: str
    form: str
    boards: int
    received_on: str
    supplier: Supplier | None = None
    documents: tuple[str, ...] = ()
    trade_name: str | None = None
    harvested_in: str | None = None
    evidence: Evidence | None = None
    is_opening: bool = False
    code: LotId | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardDraft:
    """A board as first measured; two masses are the two halves of a set."""

    meant_for: str
    length_um: int
    width_um: int
    thickness_um: int
    masses_mg: tuple[int, ...]


class DuplicateLotError(RefusedError):
    """The same delivery cannot come in twice."""

    def __init__(self, lot: str, document: str) -> None:
        super().__init__(
            f"lot {lot} of the same species came in on document {document} already; "
            f"if this is another delivery, file its own paper and name that"
        )


def record_supplier(
    shop: Shop,
    *,
    name: str,
    shown: Shown,
    region: str | None,
    country: str | None,
    hands: Hands,
) -> str:
    """Enter a sawyer, with the way in which the name may be shown; return the name."""
    if shown == "by-region" and not region:
        raise RefusedError("a sawyer shown by region needs a region: give --region")
    checked_country(country)
    checked_words("region", region)
    with shop.turn() as turn:
        if any(
            n.casefold() == name.strip().casefold()
            for _, n in named(shop, turn.session)
        ):
            raise RefusedError(f"{name.strip()} is entered already")
        subject = shop.entropy(SUBJECT_SIZE).hex()
        with kept_name(turn, subject, SUPPLIER_NAME, name) as commitment:
            event = SupplierRecorded(
                supplier=subject,
                name_commitment=commitment,
                shown=shown,
                region=region,
                country=country,
            )
            turn.say(event, hands)
    return name.strip()


def find_supplier(shop: Shop, name: str) -> Supplier:
    """Return the sawyer of this name, given whole or in part."""
    wanted = name.strip().casefold()
    with shop.store.reading() as session:
        everybody = named(shop, session)
        session.expunge_all()
    fitting = [s for s, full in everybody if wanted and wanted in full.casefold()]
    exact = [s for s, full in everybody if wanted == full.casefold()]
    fitting = exact or fitting
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        raise RefusedError(f"{name!r} fits several sawyers: give the whole name")
    raise NotFoundError(
        f"no sawyer here is called {name!r}: enter one with flitchbook supplier record"
    )


def file_document(
    shop: Shop,
    path: Path,
    *,
    paper: str,
    number: str | None,
    issued_on: str | None,
    expires_on: str | None,
    hands: Hands,
    is_personal: bool = False,
    about: str | None = None,
) -> str:
    """File a paper: its bytes go under their digest, its facts into the log.

    A personal one is `about` a subject, behind a salt that the vault keeps, and goes
    when the subject is erased. Returns the document's code.
    """
    is_personal = is_personal or about is not None
    if is_personal and about is None:
        raise RefusedError("a personal paper says whom it is about: give --about")
    _require_sound_paper(paper, number, issued_on, expires_on)
    salt = shop.entropy(attachments.SALT_SIZE) if is_personal else b""
    digest = attachments.digest_of(path, salt=salt)
    with ExitStack() as undo:
        if is_personal:
            # The salt first: a file that no salt names could never be found again.
            undo.callback(shop.vault.forget_salt, digest)
            undo.callback(attachments.remove, shop.attachments, digest)
            shop.vault.put_salt(digest, salt, about)
        attachments.put(shop.attachments, path, salt=salt, announced=digest)
        with shop.turn() as turn:
            _require_kept(turn, digest, about)
            code = _next(turn, Document, "D", lambda y, n: DocumentId(year=y, number=n))
            event = DocumentFiled(
                document=code,
                paper=paper,
                number_as_written=number,
                issued_on=issued_on,
                expires_on=expires_on,
                sha256=None if is_personal else digest,
                salted_sha256=digest if is_personal else None,
            )
            turn.say(event, hands)
        undo.pop_all()
    return code


def _require_sound_paper(
    paper: str, number: str | None, issued_on: str | None, expires_on: str | None
) -> None:
    for day in (issued_on, expires_on):
        checked_day(day)
    if issued_on and expires_on and expires_on < issued_on:
        said = f"a paper of {issued_on} cannot end on {expires_on}: read it again"
        raise RefusedError(said)
    checked_words("kind of paper", paper)
    checked_words("number", number)


def receive_lot(shop: Shop, draft: LotDraft, hands: Hands) -> str:
    """Receive a lot, or enter old stock; return its code.

    Raises DuplicateLotError where the delivery came in before, NotFoundError for a
    document that is not on file.
    """
    _require_sound(draft)
    with shop.turn() as turn:
        for document in draft.documents:
            if turn.session.get(Document, document) is None:
                raise NotFoundError(
                    f"there is no document {document}: file it with flitchbook "
                    f"document file"
                )
            _require_new_delivery(turn, draft, document)
        code = str(draft.code) if draft.code else _next_lot(turn)
        if turn.session.get(Lot, code) is not None:
            raise RefusedError(f"lot {code} is there already: leave the code out")
        event = LotReceived(
            lot=code,
            species=draft.species,
            form=draft.form,
            boards=draft.boards,
            received_on=draft.received_on,
            documents=draft.documents,
            supplier=draft.supplier.subject if draft.supplier else None,
            trade_name=draft.trade_name,
            harvested_in=draft.harvested_in,
            opening=True if draft.is_opening else None,
            evidence=draft.evidence,
        )
        today = turn.say(event, hands).at[:10]
        if draft.received_on > today:
            raise RefusedError(
                f"{draft.received_on} is still to come, and today is {today}: look at "
                f"the day again"
            )
    return code


def number_boards(
    shop: Shop, lot: LotId, drafts: Sequence[BoardDraft], hands: Hands
) -> list[str]:
    """Give boards of a lot their codes and first measures; return the codes."""
    for draft in drafts:
        _require_measured(draft)
    with shop.turn() as turn:
        received = turn.session.get(Lot, str(lot))
        if received is None:
            raise NotFoundError(f"there is no lot {lot}: receive it first")
        taken = {
            BoardId.parse(b.code).number for b in boards_of(turn.session, str(lot))
        }
        if len(taken) + len(drafts) > received.boards:
            raise RefusedError(
                f"lot {lot} came in with {received.boards} boards, {len(taken)} are "
                f"numbered and {len(drafts)} more would be too many"
            )
        codes = []
        for number, draft in enumerate(drafts, start=max(taken, default=0) + 1):
            for board, mass in _pieces(lot, number, draft):
                event = BoardNumbered(
                    board=str(board),
                    lot=str(lot),
                    meant_for=draft.meant_for,
                    length_um=draft.length_um,
                    width_um=draft.width_um,
                    thickness_um=draft.thickness_um,
                    mass_mg=mass,
                )
                turn.say(event, hands)
                codes.append(str(board))
    return codes


def labels_printed(
    shop: Shop, codes: Sequence[str], *, paper: str, sha256: str, hands: Hands
) -> None:
    """Record that labels for these boards were drawn for the printer."""
    with shop.turn() as turn:
        for code in codes:
            if turn.session.get(Board, code) is None:
                raise NotFoundError(f"there is no board {code}")
        event = LabelPrinted(codes=tuple(codes), paper=paper, sha256=sha256)
        turn.say(event, hands)


def labelled_codes(session: Session, texts: Sequence[str]) -> list[str]:
    """Return the boards that codes stand for: a board, a set's halves, a lot's all."""
    codes: list[str] = []
    for text in texts:
        code = parse_any(text)
        if isinstance(code, LotId):
            found = boards_of(session, str(code))
        elif isinstance(code, BoardId):
            found = boards_named(session, str(code))
        else:
            raise RefusedError(
                f"{code} is a {code.form.noun}: labels are for boards, sets and lots"
            )
        if not found and isinstance(code, LotId):
            raise NotFoundError(
                f"no board of lot {code} is numbered: number them first"
            )
        if not found:
            raise NotFoundError(f"there is no board {code}: number it first")
        codes += [board.code for board in found if board.code not in codes]
    return codes


def named(shop: Shop, session: Session) -> list[tuple[Supplier, str]]:
    """Return every sawyer with the name that the vault holds."""
    rows = suppliers(session)
    openings = [(s, shop.vault.get(s.subject, SUPPLIER_NAME)) for s in rows]
    return [(s, opening.value) for s, opening in openings if opening]


def checked_day(text: str | None) -> None:
    """Refuse a day that is no YYYY-MM-DD."""
    if text is None:
        return
    try:
        is_day = date.fromisoformat(text).isoformat() == text
    except ValueError:
        is_day = False
    if not is_day:
        raise RefusedError(f"{text!r} is no day such as 2026-11-21")


def _require_kept(turn: Turn, digest: str, about: str | None) -> None:
    """See that nobody swept or erased meanwhile what an entry is to speak of."""
    attachments.get(turn.shop.attachments, digest)
    somebody = known_subjects(turn.session) - erased_subjects(turn.session)
    if about and about not in somebody:
        raise RefusedError(f"subject {about} is nobody of whom a paper can be kept")
    if about and turn.shop.vault.get_salt(digest) is None:
        raise RefusedError("the paper's salt was swept meanwhile: file it again")


def _require_sound(draft: LotDraft) -> None:
    checked_day(draft.received_on)
    checked_country(draft.harvested_in)
    if draft.boards < 1:
        raise RefusedError(f"a lot has at least one board, not {draft.boards}")
    if draft.boards > BoardId.form.last_number:
        raise RefusedError(
            f"{draft.boards} boards are more than the {BoardId.form.last_number} that "
            f"a lot can number: receive them as several lots"
        )
    checked_words("form", draft.form)
    checked_words("trade name", draft.trade_name)
    if len(draft.species.split()) < 2 and draft.species != "unknown":
        raise RefusedError(
            f"{draft.species!r} is no scientific name of genus and species: write "
            f"such as 'Picea abies', or 'unknown'"
        )
    if draft.is_opening and draft.evidence is None:
        raise RefusedError(
            "old stock needs to say how its origin is known: give --evidence invoice, "
            "diary, witness or none"
        )
    if not draft.is_opening and draft.supplier is None:
        raise RefusedError("a lot comes from somebody: give --supplier, or --opening")


def _require_measured(draft: BoardDraft) -> None:
    checked_words("use of a board", draft.meant_for)
    sizes = (draft.length_um, draft.width_um, draft.thickness_um, *draft.masses_mg)
    if min(sizes) <= 0:
        raise RefusedError(
            f"a board has length, width, thickness and mass, all above nothing: "
            f"{min(sizes)} is not"
        )


def _require_new_delivery(turn: Turn, draft: LotDraft, document: str) -> None:
    for lot in lots_with(turn.session, document):
        if lot.species == draft.species:
            raise DuplicateLotError(lot.code, document)


def _pieces(lot: LotId, number: int, draft: BoardDraft) -> list[tuple[BoardId, int]]:
    if len(draft.masses_mg) == 1:
        return [(BoardId(lot=lot, number=number), draft.masses_mg[0])]
    if len(draft.masses_mg) == 2:
        pairs = zip("AB", draft.masses_mg, strict=True)
        return [(BoardId(lot=lot, number=number, half=h), mass) for h, mass in pairs]
    raise RefusedError(
        f"a board has one mass, a set has two for its halves, not "
        f"{len(draft.masses_mg)}"
    )


def _next_lot(turn: Turn) -> str:
    return _next(turn, Lot, "L", lambda y, n: LotId(year=y, number=n))


def _next(
    turn: Turn,
    view: type[Lot] | type[Document],
    mark: str,
    code: Callable[[int, int], LotId | DocumentId],
) -> str:
    year = int(turn.shop.today()[2:4])
    newest = newest_code(turn.session, view, f"{mark}{year:02d}-")
    number = int(newest.rpartition("-")[2]) + 1 if newest else 1
    return str(code(year, number))
