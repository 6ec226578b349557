"""Transfer slips: who holds one can have an instrument entered in his name.

A slip is paper with a code under a fold. It is no title: it shows that its holder had
it from whoever was to hand it on. The code works once; each change of owner makes the
next one. A newer certificate leaves it as it is. A lost slip works until another takes
its place, thirty days after the shop entered that the notice went to the last known
owner, so that nobody locks its holder out with a word. While a report of theft stands
none is drawn, and one that is out hands nothing on until the report has ended. A number
is under a signed head before its paper leaves, so that none is given twice after a
roll-back.
"""

from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from pathlib import Path

from ledger.acts.certificates import TOKEN_SIZE, TRANSFER_CODE
from ledger.acts.documents import file_document
from ledger.acts.heads import sign_head
from ledger.acts.names import COMMITMENT_KEY_SIZE, kept_reason
from ledger.acts.numbers import number_after
from ledger.acts.secondyes import require_second
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.slipcodes import code_digest
from ledger.acts.thefts import require_unreported
from ledger.errors import NotFoundError, RefusedError
from ledger.events import NoticeSent, SlipFound, SlipIssued, SlipLost, SlipPrinted
from ledger.ids import SlipId
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.log.entry import Entry
from ledger.views.certificates import (
    Certificate,
    certificate_subject,
    certificates_of,
    owners_of,
    require_standing,
)
from ledger.views.ownership import (
    TransferCode,
    newest_slip,
    open_code,
    slip_row,
    slip_subject,
)
from ledger.views.people import erased_subjects

SLIP_CODE = "owner.slip-code"
# From the entry that the notice was sent to the day of another slip.
NOTICE_DAYS = 30
LETTER = "owner's letter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A slip as it is drawn: its number, what it is for, the 16 bytes of its code.

    note is the checkpoint that it carries, of the log as it stands then.
    """

    number: str
    serial: str
    certificate: str
    code: bytes
    entry: int
    note: str = field(default="", compare=False)


def slip_for(shop: Shop, serial: str, hands: Hands, *, again: bool = False) -> Slip:
    """Return the slip that works for an instrument, giving it a number if it has none.

    One that was printed is drawn `again` by a lead, or with a second yes. Where it is
    lost and its notice has run, another takes its place. Raises RefusedError until
    then, and while a report of theft stands: whoever asks may be the thief. What the
    log then holds is signed, and the slip carries that.
    """
    with shop.turn() as turn:
        newest = standing_certificate(turn, serial)
        require_unreported(turn, serial)
        row = open_code(turn.session, serial)
        if row is None:
            raise NotFoundError(
                f"{serial} has no code that works: run flitchbook record audit"
            )
        if row.lost_idx is not None:
            require_notice_run(turn, row)
            issue_next(turn, newest, hands)
            turn.session.flush()
        elif row.slip is None:
            event = SlipIssued(
                slip=_next_number(turn),
                serial=serial,
                certificate=row.certificate,
                transfer_sha256=row.sha256,
            )
            turn.say(event, hands)
            turn.session.flush()
        else:
            require_again(turn, row, hands, again=again)
        slip = _slip(turn, serial)
    return replace(slip, note=sign_head(shop))


def require_again(
    turn: Turn, row: TransferCode, hands: Hands, *, again: bool = True
) -> None:
    """Refuse a slip's code to whoever asks once more, after it went to its holder."""
    if not row.prints:
        return
    if not again:
        raise RefusedError(
            f"slip {row.slip} of {row.serial} was printed already, and its code is for "
            f"whoever has it: where that is lost, flitchbook owner slip-lost; where "
            f"the print was spoilt, draw it with --again and --reason"
        )
    require_second(turn, hands, f"slip {row.slip} was printed already")


def issue_next(turn: Turn, certificate: Certificate, hands: Hands) -> str:
    """Make the next code and give its slip a number, within a turn; return that."""
    shop, number = turn.shop, _next_number(turn)
    code, key = shop.entropy(TOKEN_SIZE), shop.entropy(COMMITMENT_KEY_SIZE)
    with ExitStack() as undo:
        kept = shop.vault.put(slip_subject(number), SLIP_CODE, code.hex(), key)
        undo.callback(shop.vault.forget, kept)
        event = SlipIssued(
            slip=number,
            serial=certificate.serial,
            certificate=certificate.number,
            transfer_sha256=code_digest(code),
        )
        turn.say(event, hands)
        undo.pop_all()
    return number


def printed(
    shop: Shop, slip: Slip, *, sha256_hex: str, hands: Hands, reason: str | None = None
) -> Entry:
    """Record that a slip was drawn, with its checkpoint; again only for a reason."""
    head = parse_checkpoint(parse_note(slip.note))
    event = SlipPrinted(
        slip=slip.number, size=head.size, root=head.root.hex(), sha256=sha256_hex
    )
    with shop.turn() as turn:
        row = slip_row(turn.session, slip.number)
        require_unreported(turn, row.serial)
        require_again(turn, row, hands, again=reason is not None)
        if reason is None:
            return turn.say(event, hands)
        with kept_reason(turn, hands.by.id, reason) as commitment:
            return turn.say(event, hands, reason=commitment)


def lost(shop: Shop, serial: str, hands: Hands, *, letter: Path | None = None) -> Entry:
    """Enter that a slip is lost, which its owner says in a letter.

    The letter is filed as personal, about the owner. Where nobody is known by name a
    second yes stands in its place.
    """
    with shop.turn() as turn:
        _number_on(turn, serial, is_lost=False)
        about = _known_owner(turn, serial)
        if about is None:
            require_second(turn, hands, f"no owner of {serial} is known by name")
            if letter is not None:
                raise RefusedError(
                    f"no owner of {serial} is known by name, and a letter is kept "
                    f"about somebody: leave out --letter"
                )
        elif letter is None:
            raise RefusedError(
                f"a slip of {serial} is lost by its owner's word: scan the letter, and "
                f"give it with --letter"
            )
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


def notice_sent(shop: Shop, serial: str, hands: Hands) -> Entry:
    """Enter that the notice of a lost slip was sent; its thirty days run from here.

    Where nobody is known by name there is nobody to send it to, and a second yes is
    needed.
    """
    with shop.turn() as turn:
        number = _number_on(turn, serial, is_lost=True)
        row = slip_row(turn.session, number)
        if row.notice_on is not None:
            raise RefusedError(
                f"the notice of slip {number} was sent by entry {row.notice_idx} "
                f"already: {_until(row)}"
            )
        if _known_owner(turn, serial) is None:
            require_second(turn, hands, f"no owner of {serial} is known by name")
        return turn.say(NoticeSent(slip=number), hands)


def found(shop: Shop, serial: str, hands: Hands) -> Entry:
    """Enter that a lost slip is in its owner's hands; the notice runs no more."""
    with shop.turn() as turn:
        number = _number_on(turn, serial, is_lost=True)
        return turn.say(SlipFound(slip=number), hands)


def replaced_from(sent_on: str) -> str:
    """Return the day from which another slip may take the place of a lost one.

    sent_on  the day of the entry that its notice was sent
    """
    day = date.fromisoformat(sent_on) + timedelta(days=NOTICE_DAYS)
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
    sent = row.notice_on
    if sent is None or turn.shop.today() < replaced_from(sent):
        raise RefusedError(
            f"slip {row.slip} was said to be lost on {row.lost_on} (entry "
            f"{row.lost_idx}): {_until(row)}"
        )


def _until(row: TransferCode) -> str:
    """Say from when on another slip takes a lost one's place, or what is lacking."""
    if row.notice_on is not None:
        until = replaced_from(row.notice_on)
        return f"another takes its place from {until} on"
    return (
        f"write to the last known owner with flitchbook owner slip-notice, and enter "
        f"that with slip-notice-sent: another takes its place {NOTICE_DAYS} days later"
    )


def _known_owner(turn: Turn, serial: str) -> str | None:
    """Return the subject of the owner entered last, unless there is no name of it."""
    registered = owners_of(turn.session, serial)
    if not registered:
        return None
    subject = registered[-1].subject
    return None if subject in erased_subjects(turn.session) else subject


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
        raise RefusedError(
            f"slip {row.slip} of {serial} is not said to be lost: if it is, enter that "
            f"first with flitchbook owner slip-lost {serial}"
        )
    if row.lost_idx is not None and not is_lost:
        raise RefusedError(
            f"slip {row.slip} of {serial} was said to be lost on {row.lost_on} (entry "
            f"{row.lost_idx}) already: {_until(row)}"
        )
    return row.slip


def _next_number(turn: Turn) -> str:
    year = int(turn.shop.today()[:4])
    start = f"W-{year:04d}-"
    count = number_after(turn, start, newest_slip(turn.session, start))
    return str(SlipId(year=year, number=count))
