"""The newest checkpoint brought to its witness slip."""

from labels.witness_slip import WitnessSlip
from ledger.acts.shop import Shop
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.words import ten_words


def witness_slip(shop: Shop, note: str, language: str = "en") -> WitnessSlip:
    """Return what a slip shows of a head that was signed today, by its note."""
    head = parse_checkpoint(parse_note(note))
    return WitnessSlip(
        place=shop.settings.place or shop.standing().name,
        origin=head.origin,
        size=head.size,
        date=shop.today(),
        root=head.root,
        ten_words=ten_words(head.root),
        checkpoint_note=note,
        language=language,
    )
