"""The owner's certificate: issued once all is signed and weighed, and then drawn."""

import hmac
from collections import defaultdict
from contextlib import ExitStack
from dataclasses import dataclass, replace
from datetime import date
from hashlib import sha256
from typing import cast

from ledger.acts.builds import require_build
from ledger.acts.completing import MASS, measured, parts_on, require_complete
from ledger.acts.crediting import works_at
from ledger.acts.heads import prove
from ledger.acts.holds import require_no_hold
from ledger.acts.law import law_in_force
from ledger.acts.names import COMMITMENT_KEY_SIZE
from ledger.acts.numbers import number_after
from ledger.acts.people import PERSON_NAME
from ledger.acts.photographs import chosen, pictures_at, showable
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.signing import holder_name
from ledger.acts.suppliers import SUPPLIER_NAME
from ledger.errors import NotFoundError
from ledger.events import CertificateIssued, CertificatePrinted, codec
from ledger.events.build import Run
from ledger.events.certificate import Maker, Material, Sawyer
from ledger.events.wood import Evidence
from ledger.ids import CertificateId
from ledger.log.card import CardClaims, fitted, write_card
from ledger.log.entry import Entry
from ledger.log.keys import SecretKey
from ledger.log.proof import CertificateFile, Disclosure, Proof
from ledger.log.vault import Opening, commit
from ledger.scales import shared
from ledger.serials import is_serial, read_serial
from ledger.trade.law import Law
from ledger.trade.listings import is_listed, may_be_listed
from ledger.views.boards import Board, boards_in, set_of
from ledger.views.builds import Build, weighed_parts
from ledger.views.certificates import (
    Certificate,
    certificate_subject,
    certificates_of,
    newest_number,
    require_standing,
)
from ledger.views.family import shares_of
from ledger.views.models import Model
from ledger.views.people import Person, subject_of_key
from ledger.views.reserved import lost_words
from ledger.views.said import record_said
from ledger.views.wood import Lot, Supplier

TOKEN_SIZE, LEAF_SIZE = 16, 32
STATUS_TOKEN = "certificate.status-token"  # noqa: S105 - a field's name, no secret
TRANSFER_CODE = "certificate.transfer-code"


@dataclass(frozen=True, slots=True, kw_only=True)
class CertificatePaper:
    """All that a certificate's paper shows, and the files that go with it."""

    event: CertificateIssued
    entry: Entry
    names: dict[str, str]  # subject -> name, where it may be shown and still is known
    signer: str
    shop: str
    file: CertificateFile
    proof: Proof

    @property
    def proof_file(self) -> str:
        """The proof with the record in it, as a file of its own."""
        return Proof(
            index=self.proof.index,
            path=self.proof.path,
            checkpoint=self.proof.checkpoint,
            extra=self.file.record.data,
        ).text


def issue(shop: Shop, *, serial: str, hands: Hands) -> str:
    """Issue an owner's certificate of an instrument; return its number.

    A further one takes the place of the one before, which stays true as of its day; it
    is issued where something was done since. Raises RefusedError with everything that
    is missing: unsigned steps, parts without a board, parts or an instrument that
    nobody weighed.
    """
    with ExitStack() as undo:
        with shop.turn() as turn:
            build = require_build(turn, serial)
            require_complete(turn, build)
            require_no_hold(turn.session, serial=serial)
            number = _next_number(turn)
            token, code = shop.entropy(TOKEN_SIZE), shop.entropy(TOKEN_SIZE)
            subject = certificate_subject(number)
            for field, secret in ((STATUS_TOKEN, token), (TRANSFER_CODE, code)):
                key = shop.entropy(COMMITMENT_KEY_SIZE)
                kept = shop.vault.put(subject, field, secret.hex(), key)
                undo.callback(shop.vault.forget, kept)
            event = _event(turn, build, number, token, code)
            _require_card(turn, event, turn.say(event, hands).index)
        undo.pop_all()
    return number


def certificate_paper(shop: Shop, number: str) -> CertificatePaper:
    """Return what a certificate's paper shows, with a fresh proof.

    A name that was erased is missing, and the badge stands alone. Raises RefusedError
    for a certificate that was withdrawn: no paper of it is drawn any more.
    """
    with shop.store.reading() as session:
        issued = session.get(Certificate, number)
        if issued is None:
            raise NotFoundError(f"there is no certificate {number}")
        require_standing(issued)
        index, record = issued.idx, record_said(session, issued.idx)
        signer = holder_name(shop, session, record.entry.key)
    event = codec.parse(record.entry.event)
    if not isinstance(event, CertificateIssued):
        raise NotFoundError(f"entry {index} issues no certificate")
    disclosed = _disclosures(shop, event)
    proof = prove(shop, index)
    token = shop.vault.get(certificate_subject(number), STATUS_TOKEN)
    if token is None:
        raise NotFoundError(f"the vault no longer holds the token of {number}")
    return CertificatePaper(
        event=event,
        entry=record.entry,
        names={opened.subject: opened.value for opened in disclosed},
        signer=signer,
        shop=shop.standing().name,
        file=CertificateFile(
            record=record,
            proof=proof,
            disclosed=disclosed,
            status_token=bytes.fromhex(token.value),
        ),
        proof=proof,
    )


def card_text(shop: Shop, paper: CertificatePaper, card: SecretKey) -> str:
    """Return the text of the owner card's symbol, signed by the shop's card key.

    A species that the table does not know is taken for a listed one as long as it fits.
    """
    event = paper.event
    with shop.store.reading() as session:
        law = law_in_force(session)
    claims = _claims(event, paper.entry.index, paper.file.record.leaf)
    claims = replace(claims, status_token=paper.file.status_token)
    return write_card(
        claims, card, host=shop.settings.label_host, **_longest_kept(claims, law)
    )


def _claims(event: CertificateIssued, index: int, leaf: bytes) -> CardClaims:
    """Return what a card says, but for its token."""
    return CardClaims(
        serial=event.serial,
        issued=date.fromisoformat(event.issued_on),
        certificate=event.number,
        model=event.model,
        species=tuple(
            (name, whole_grams(mass)) for name, mass in species_by_mass(event)
        ),
        mass=whole_grams(event.mass_mg),
        makers=len(event.makers),
        index=index,
        leaf=leaf,
        status_token=bytes(TOKEN_SIZE),
    )


def _longest_kept(claims: CardClaims, law: Law | None) -> dict[str, set[str]]:
    """Return the listed species, and those of which the table cannot say."""
    day = claims.issued
    open_ones = {n for n, _ in claims.species if may_be_listed(n, day, law)}
    listed = {name for name in open_ones if is_listed(name, day, law)}
    return {"listed": listed, "unsure": open_ones - listed}


def _require_card(turn: Turn, event: CertificateIssued, index: int) -> None:
    """Refuse a certificate of which no card could be drawn, before it is one."""
    claims = _claims(event, index, bytes(LEAF_SIZE))
    kept = _longest_kept(claims, law_in_force(turn.session))
    fitted(claims, host=turn.shop.settings.label_host, **kept)


def printed(
    shop: Shop, *, number: str, paper: str, sha256_hex: str, hands: Hands
) -> None:
    """Record that a certificate or card was drawn for the printer."""
    with shop.turn() as turn:
        if turn.session.get(Certificate, number) is None:
            raise NotFoundError(f"there is no certificate {number}")
        event = CertificatePrinted(number=number, paper=paper, sha256=sha256_hex)
        turn.say(event, hands)


def find_certificate(shop: Shop, text: str) -> str:
    """Return a certificate's number from its own number or an instrument's serial."""
    wanted = text.strip().upper()
    with shop.store.reading() as session:
        if session.get(Certificate, wanted) is not None:
            return wanted
        issued = certificates_of(session, wanted)
        if issued:
            return issued[-1].number
        lost = lost_words(session, wanted)
    if is_serial(wanted, shop.settings.pattern):
        # One that was mistyped is told so, in the words of every other command.
        read_serial(wanted, shop.settings.pattern)
    raise NotFoundError(
        lost
        or f"there is no certificate {text}, nor one of an instrument of that serial: "
        f"give a number such as C-2026-00088, or a serial"
    )


def species_by_mass(event: CertificateIssued) -> list[tuple[str, int]]:
    """Return the species of an instrument and their mass [mg], the heaviest first."""
    mass: dict[str, int] = defaultdict(int)
    for material in event.materials:
        mass[material.species] += material.mass_mg
    return sorted(mass.items(), key=lambda item: (-item[1], item[0]))


def whole_grams(mass_mg: int) -> int:
    """Return a mass in whole grams, half a gram rounded up."""
    return (mass_mg + 500) // 1000


def _next_number(turn: Turn) -> str:
    year = int(turn.shop.today()[:4])
    start = f"C-{year:04d}-"
    count = number_after(turn, start, newest_number(turn.session, start))
    return str(CertificateId(year=year, number=count))


def _event(
    turn: Turn, build: Build, number: str, token: bytes, code: bytes
) -> CertificateIssued:
    model = turn.session.get_one(Model, (build.model, build.version))
    found = measured(turn, build)
    mass_mg = found.pop(MASS).measure.mass_mg or 0
    run = None
    if build.run is not None:
        number_of, pieces = build.run_number or 0, build.run_pieces or 0
        run = Run(name=build.run, number=number_of, pieces=pieces)
    return CertificateIssued(
        number=number,
        serial=build.serial,
        model=build.model,
        instrument=model.instrument,
        run=run,
        issued_on=turn.shop.today(),
        mass_mg=mass_mg,
        makers=_makers(turn, build, number),
        materials=_materials(turn, build, number),
        measures=tuple(taken.measure for taken in found.values()),
        photographs=_photographs(turn, build.serial),
        status_token_sha256=sha256(token).hexdigest(),
        transfer_sha256=sha256(code).hexdigest(),
    )


def _photographs(turn: Turn, serial: str) -> tuple[str, ...]:
    """Return the digests of what its evidence pages show."""
    filed = pictures_at(turn.session, serial, turn.size)
    return tuple(each.digest for each in chosen(showable(turn.session, filed)))


def _makers(turn: Turn, build: Build, number: str) -> tuple[Maker, ...]:
    work: dict[str, list[str]] = defaultdict(list)
    for done in works_at(turn.session, build.serial, turn.size):
        subject = subject_of_key(turn.session, done.key)
        if subject is not None and done.what not in work[subject]:
            work[subject].append(done.what)
    return tuple(_maker(turn, s, ", ".join(w), number) for s, w in work.items())


def _maker(turn: Turn, subject: str, work: str, number: str) -> Maker:
    person = turn.session.get_one(Person, subject)
    opening = turn.shop.vault.get(subject, PERSON_NAME)
    return Maker(
        subject=subject,
        badge=person.badge,
        work=work,
        name_commitment=_commitment(opening, PERSON_NAME, subject, number),
    )


def _materials(turn: Turn, build: Build, number: str) -> tuple[Material, ...]:
    """Return what each part is made of, once for each lot that was glued into it."""
    weighed = weighed_parts(turn.session, build.serial)
    boards: dict[str, Board] = {}
    for board in boards_in(turn.session, build.serial):
        boards.setdefault(str(board.part), board)
    return tuple(
        _material(turn, part, boards[part], lot, mass, number)
        for part in parts_on(turn.session, build)
        for lot, mass in shared(
            weighed[part], shares_of(turn.session, boards[part].code)
        ).items()
    )


def _material(
    turn: Turn, part: str, board: Board, code: str, mass_mg: int, number: str
) -> Material:
    lot = turn.session.get_one(Lot, code)
    return Material(
        part=part,
        species=lot.species,
        trade_name=lot.trade_name,
        board=set_of(board.code),
        lot=lot.code,
        received_on=lot.received_on,
        harvested_in=lot.harvested_in,
        sawyer=_sawyer(turn, lot, number),
        opening=True if lot.is_opening else None,
        evidence=cast("Evidence | None", lot.evidence),
        mass_mg=mass_mg,
    )


def _sawyer(turn: Turn, lot: Lot, number: str) -> Sawyer | None:
    supplier = turn.session.get(Supplier, lot.supplier) if lot.supplier else None
    if supplier is None or supplier.shown == "known-to-maker":
        return None
    if supplier.shown == "by-region":
        return Sawyer(subject=supplier.subject, region=supplier.region)
    opening = turn.shop.vault.get(supplier.subject, SUPPLIER_NAME)
    return Sawyer(
        subject=supplier.subject,
        name_commitment=_commitment(opening, SUPPLIER_NAME, supplier.subject, number),
        region=supplier.region,
    )


def _disclosures(shop: Shop, event: CertificateIssued) -> tuple[Disclosure, ...]:
    """Open every commitment of a certificate whose name the vault still holds."""
    wanted = {
        (PERSON_NAME, maker.subject): maker.name_commitment for maker in event.makers
    }
    for material in event.materials:
        if material.sawyer is not None:
            place = (SUPPLIER_NAME, material.sawyer.subject)
            wanted[place] = material.sawyer.name_commitment
    opened = []
    for (field, subject), commitment in wanted.items():
        opening = shop.vault.get(subject, field) if commitment else None
        if opening is not None:
            key = _fresh_key(opening, event.number)
            opened.append(
                Disclosure(field=field, subject=subject, value=opening.value, key=key)
            )
    return tuple(opened)


def _commitment(
    opening: Opening | None, field: str, subject: str, number: str
) -> str | None:
    if opening is None:
        return None
    return commit(field, subject, opening.value, _fresh_key(opening, number))


def _fresh_key(opening: Opening, number: str) -> bytes:
    """Make a certificate's own commitment key out of the vault's.

    To show one certificate's key tells nothing about the vault's key or about another
    certificate's, and once the vault's is erased none can be made again.
    """
    return hmac.new(opening.key, f"certificate {number}".encode(), sha256).digest()
