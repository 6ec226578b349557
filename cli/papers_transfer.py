"""A transfer slip's facts brought to its paper."""

from labels.transfer_slip import TransferSlip
from ledger.acts.shop import Shop
from ledger.acts.slipcodes import printed_code, scanned_code
from ledger.acts.slips import Slip
from ledger.events import CertificateIssued, codec
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.log.entry import parse_record
from ledger.log.merkle import leaf_hash
from ledger.views.certificates import Certificate
from ledger.views.said import entry_said
from ledger.words import ten_words


def transfer_slip(shop: Shop, slip: Slip, language: str) -> TransferSlip:
    """Return what a slip shows; drawn again it has another checkpoint at the most."""
    head = parse_checkpoint(parse_note(slip.note))
    record = shop.store.record(slip.entry)
    with shop.store.reading() as session:
        issued = session.get_one(Certificate, slip.certificate)
        event = codec.parse(entry_said(session, issued.idx).event)
    model = event.model if isinstance(event, CertificateIssued) else ""
    return TransferSlip(
        shop=shop.standing().name,
        model=model,
        serial=slip.serial,
        certificate=slip.certificate,
        number=slip.number,
        code=printed_code(slip.code),
        scan=scanned_code(slip.code),
        entry=slip.entry,
        leaf=leaf_hash(record),
        day=parse_record(record).entry.at[:10],
        size=head.size,
        root=head.root,
        ten_words=ten_words(head.root),
        checkpoint_note=slip.note,
        language=language,
    )
