"""The text of an owner's card, judged by the shop's card key."""

from ledger.check.answer import CANNOT_TELL, NO, YES, Answer, keys_or_fault
from ledger.errors import TamperError
from ledger.log.card import Card, read_card
from ledger.log.keysfile import KeysFile


def check_card(text: str, keys_data: bytes | None) -> Answer:
    """Judge the text of an owner's card.

    A card holds only the first facts; the certificate holds them all.
    """
    try:
        card = read_card(text)
    except TamperError as fault:
        return Answer(word=NO, reasons=(str(fault),))
    if keys_data is None:
        reason = (
            f"a whole card, signed by key {card.key}, which only it vouches for: get "
            f"the shop's keys file from the shop and check again"
        )
        return _card_answer(card, CANNOT_TELL, reason)
    keys = keys_or_fault(keys_data)
    if isinstance(keys, str):
        return _card_answer(card, CANNOT_TELL, keys)
    return _card_against_keys(card, keys)


def _card_against_keys(card: Card, keys: KeysFile) -> Answer:
    index, known = card.claims.index, keys.key(card.key)
    if known is None:
        # A card names no log, so another shop's card looks just like a false one.
        reason = (
            f"key {card.key} is none of the keys in the keys file of {keys.origin}: "
            f"this is another shop's card, or a false one"
        )
        return _card_answer(card, CANNOT_TELL, reason, keys)
    if known.purpose != "card" or not card.is_signed_by(known.public):
        reason = f"the card is not signed by a card key {card.key} of the shop"
        return _card_answer(card, NO, reason, keys)
    if index >= keys.size:
        reason = f"entry {index} is newer than this keys file of {keys.date}"
        return _card_answer(card, CANNOT_TELL, reason, keys)
    if known.disputed_since is not None:
        # A card bears its certificate's index and no time of its own: whoever had the
        # key could have made it for any certificate that there is.
        reason = (
            f"card key {card.key} is disputed since entry {known.disputed_since}, and "
            f"a card does not say when it was signed: ask for the certificate's file"
        )
        return _card_answer(card, CANNOT_TELL, reason, keys)
    until = known.span.until_index
    if until is not None and index > until:
        reason = f"card key {card.key} ended with entry {until}, before entry {index}"
        return _card_answer(card, NO, reason, keys)
    reason = (
        "compare these facts with the card and with the instrument in your hand; where "
        "the certificate says otherwise, the certificate decides"
    )
    return _card_answer(card, YES, reason, keys)


def _card_answer(
    card: Card, word: str, reason: str, keys: KeysFile | None = None
) -> Answer:
    return Answer(
        word=word,
        reasons=(reason,),
        index=card.claims.index,
        key=card.key,
        keys_date=keys.date if keys else None,
        card=card.claims,
    )
