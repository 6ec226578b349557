"""Transfer slips: who holds one can have an instrument entered in his name.

A slip is paper with a code under a fold. It is no title: it shows that its holder had
it from whoever was to hand it on. The code works once; each change of owner makes the
next one. A lost slip works until another takes its place, thirty days after the shop
entered the loss, so that nobody locks its holder out with a word.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from ledger.acts.certificates import TOKEN_SIZE, TRANSFER_CODE
from ledger.acts.documents import file_document
from ledger.acts.names import COMMITMENT_KEY_SIZE
from ledger.acts.numbers import number_after
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.slipcodes import code_digest
from ledger.acts.thefts import require_unreported
from ledger.errors import NotFoundError, RefusedError
from ledger.events import SlipFound, SlipIssued, SlipLost, SlipPrinted
from ledger.ids import SlipId
from ledger.log.entry import Entry
from ledger.views.certificates import (
    Certificate,
    certificate_subject,
    certificates_of,
    require_standing,
)
from ledger.views.ownership import (
    TransferCode,
    newest_slip,
    open_code,
    slip_row,
    slip_subject,
)

SLIP_CODE = "owner.slip-code"
# From the entry of a loss to the day on which another slip may take its place.
NOTICE_DAYS = 30
LETTER = "owner's letter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A slip as it is drawn: its number, what it is for, the 16 bytes of its code."""

    number: str
    serial: str
    certificate: str
    code: bytes
    entry: int


def slip_for(shop: Shop, serial: str, hands: Hands) -> Slip:
    """Return the slip that works for an instrument, giving it a number if it has none.

    The same one is drawn again as long as it works. Where it is lost and its notice has
    run, another takes its place. Raises RefusedError until then.
    """
    with shop.turn() as turn:
        newest = standing_certificate(turn, serial)
        row = open_code(turn.session, serial)
        if row is None:
            raise NotFoundError(
                f"{serial} has no code that works: run flitchbook record audit"
            )
        if row.lost_idx is not None:
            require_unreported(turn, serial)
            require_notice_run(turn, row)
            issue_next(turn, newest, hands)
        elif row.slip is None:
            event = SlipIssued(
                slip=_next_number(turn),
                serial=serial,
                certificate=row.certificate,
                transfer_sha256=row.sha256,
            )
            turn.say(event, hands)
        turn.session.flush()
        return _slip(turn, serial)


def issue_next(turn: Turn, certificate: Certificate, hands: Hands) -> str:
    """Make the next code and give its slip a number, within a turn; return that."""
    shop, number = turn.shop, _next_number(turn)
    code = shop.entropy(TOKEN_SIZE)
    with _kept_code(shop, number, code):
        event = SlipIssued(
            slip=number,
            serial=certificate.serial,
            certificate=certificate.number,
            transfer_sha256=code_digest(code),
        )
        turn.say(event, hands)
    return number


def printed(shop: Shop, *, slip: str, sha256_hex: str, hands: Hands) -> Entry:
    """Record that a slip was drawn for the printer."""
    with shop.turn() as turn:
        slip_row(turn.session, slip)
        return turn.say(SlipPrinted(slip=slip, sha256=sha256_hex), hands)


def lost(
    shop: Shop,
    serial: str,
    hands: Hands,
    *,
    letter: Path | None = None,
    about: str | None = None,
) -> Entry:
    """Enter that a slip is lost; from then on its notice runs.

    `letter` is the owner's, filed as personal `about` that owner.
    """
    with shop.turn() as turn:
        number = _number_on(turn, serial, is_lost=False)
    code = None
    if letter is not None:
        code = file_document(
            shop,
            letter,
            paper=LETTER,
            number=None,
            issued_on=None,
            expires_on=None,
            hands=hands,
            about=about,
        )
    with shop.turn() as turn:
        number = _number_on(turn, serial, is_lost=False)
        return turn.say(SlipLost(slip=number, letter=code), hands)


def found(shop: Shop, serial: str, hands: Hands) -> Entry:
    """Enter that a lost slip is in its owner's hands; the notice runs no more."""
    with shop.turn() as turn:
        number = _number_on(turn, serial, is_lost=True)
        return turn.say(SlipFound(slip=number), hands)


def replaced_from(lost_on: str) -> str:
    """Return the day from which another slip may take a lost one's place."""
    day = date.fromisoformat(lost_on) + timedelta(days=NOTICE_DAYS)
    return day.isoformat()


def standing_certificate(turn: Turn, serial: str) -> Certificate:
    """Return an instrument's newest certificate; refuse none, or a withdrawn one."""
    issued = certificates_of(turn.session, serial)
    if not issued:
        raise NotFoundError(
            f"{serial} has no certificate yet: its slip comes with the certificate"
        )
    require_standing(issued[-1])
    return issued[-1]


def require_notice_run(turn: Turn, row: TransferCode) -> None:
    """Refuse another slip while whoever holds the lost one may still object."""
    until = replaced_from(str(row.lost_on))
    if turn.shop.today() < until:
        raise RefusedError(
            f"slip {row.slip} was said to be lost on {row.lost_on} (entry "
            f"{row.lost_idx}), and another takes its place from {until} on: write to "
            f"the last known owner meanwhile, with flitchbook owner slip-notice"
        )


@contextmanager
def _kept_code(shop: Shop, number: str, code: bytes) -> Iterator[None]:
    """Keep a slip's code in the vault; where its entry is refused, it goes again."""
    key = shop.entropy(COMMITMENT_KEY_SIZE)
    kept = shop.vault.put(slip_subject(number), SLIP_CODE, code.hex(), key)
    try:
        yield
    except BaseException:
        shop.vault.forget(kept)
        raise


def _slip(turn: Turn, serial: str) -> Slip:
    row = open_code(turn.session, serial)
    if row is None or row.slip is None or row.slip_idx is None:
        raise NotFoundError(f"{serial} has no slip: run flitchbook record audit")
    vault = turn.shop.vault
    opening = vault.get(slip_subject(row.slip), SLIP_CODE) or vault.get(
        certificate_subject(row.certificate), TRANSFER_CODE
    )
    code = bytes.fromhex(opening.value) if opening else b""
    if code_digest(code) != row.sha256:
        raise NotFoundError(
            f"the vault no longer holds the code of slip {row.slip}: put back the "
            f"newest copy, or enter the slip as lost"
        )
    return Slip(
        number=row.slip,
        serial=serial,
        certificate=row.certificate,
        code=code,
        entry=row.slip_idx,
    )


def _number_on(turn: Turn, serial: str, *, is_lost: bool) -> str:
    """Return the number of the slip that works, which is lost by now or is not."""
    row = open_code(turn.session, serial)
    if row is None or row.slip is None:
        raise NotFoundError(
            f"{serial} has no slip yet: draw it with flitchbook owner slip {serial}"
        )
    if is_lost and row.lost_idx is None:
        raise RefusedError(f"slip {row.slip} of {serial} is not said to be lost")
    if row.lost_idx is not None and not is_lost:
        raise RefusedError(
            f"slip {row.slip} of {serial} was said to be lost on {row.lost_on} (entry "
            f"{row.lost_idx}) already: another takes its place from "
            f"{replaced_from(str(row.lost_on))} on"
        )
    return row.slip


def _next_number(turn: Turn) -> str:
    year = int(turn.shop.today()[:4])
    start = f"W-{year:04d}-"
    count = number_after(turn, start, newest_slip(turn.session, start))
    return str(SlipId(year=year, number=count))
