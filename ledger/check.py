"""A stranger judges one certificate, without the shop and without a database.

    answer = check(data, keys_data)

`data` is a certificate file, a PDF that holds one, or the text of an owner's card;
`keys_data` is the shop's keys file, got from the shop itself. Without it the answer is
CANNOT TELL, however whole the certificate is in itself: anybody can make up a shop.
With it the answer is YES or NO, with the facts of the record. The words on the paper
around it are not judged: compare them with the record's, and both with the instrument
in your hand.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from hashlib import sha256

from ledger.errors import TamperError
from ledger.events import CertificateIssued, codec
from ledger.log.card import Card, CardClaims, read_card
from ledger.log.checkpoint import Checkpoint, verified_checkpoint
from ledger.log.keysfile import KeysFile, read_keys_file
from ledger.log.proof import CertificateFile, parse_certificate_file

YES = "YES"
NO = "NO"
CANNOT_TELL = "CANNOT TELL"
LARGEST_PDF = 64 * 1_048_576
# The key in the stream's dictionary behind which a PDF holds the certificate file.
MARKER = b"/FLBK_Certificate"
# What a card's square says: an address or none, and digits.
CARD_TEXT = re.compile(rb"\s*(?:https://[!-\"$-~]{1,253}/v#|V#)[0-9]{1,2000}\s*", re.I)
STREAM = re.compile(rb"[^\n]*>>\r?\nstream\r?\n([^\r\n]*)\r?\nendstream")


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """YES, NO or CANNOT TELL, why, and the facts of the record if it is whole."""

    word: str
    reasons: tuple[str, ...]
    facts: CertificateIssued | None = None
    names: dict[str, str] | None = None  # subject -> disclosed name
    index: int | None = None
    entered: str | None = None
    checkpoint: Checkpoint | None = None
    keys_date: str | None = None
    card: CardClaims | None = None

    def __bool__(self) -> bool:
        return self.word == YES


def check(data: bytes, keys_data: bytes | None) -> Answer:
    """Judge a certificate file, a PDF that holds one, or the text of a card.

    Never raises for what the bytes hold: damage and forgery are answers.
    """
    if CARD_TEXT.fullmatch(data):
        return check_card(data.decode("ascii"), keys_data)
    return check_certificate(data, keys_data)


def check_certificate(data: bytes, keys_data: bytes | None) -> Answer:
    """Judge a certificate file or a PDF that holds one.

    Never raises for what the bytes hold: damage and forgery are answers.
    """
    try:
        file = parse_certificate_file(certificate_bytes(data))
    except TamperError as fault:
        return Answer(word=NO, reasons=(str(fault),))
    faults = _faults_in_itself(file)
    if faults:
        return Answer(word=NO, reasons=faults)
    if keys_data is None:
        reason = (
            f"whole in itself; signed by key {file.record.entry.key}, which only this "
            f"file vouches for: get the shop's keys file from the shop and check again"
        )
        return _answer(file, CANNOT_TELL, (reason,))
    try:
        keys = read_keys_file(keys_data)
    except TamperError as fault:
        return _answer(file, CANNOT_TELL, (f"the keys file does not hold: {fault}",))
    return _against_keys(file, keys)


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
    try:
        keys = read_keys_file(keys_data)
    except TamperError as fault:
        return _card_answer(card, CANNOT_TELL, f"the keys file does not hold: {fault}")
    return _card_against_keys(card, keys)


def certificate_bytes(data: bytes) -> bytes:
    """Return the certificate file's bytes out of a PDF, or the data as it is.

    Raises TamperError where a PDF holds none, or more than one.
    """
    if not data.startswith(b"%PDF-"):
        return data
    if len(data) > LARGEST_PDF:
        raise TamperError(f"a PDF of over {LARGEST_PDF} bytes is not read")
    found = data.count(MARKER)
    if found == 0:
        raise TamperError("this PDF holds no certificate file")
    if found > 1:
        raise TamperError(
            f"this PDF holds {found} certificate files, and a true one holds one"
        )
    stream = STREAM.match(data, data.index(MARKER))
    if stream is None:
        raise TamperError("the certificate file in this PDF is cut off")
    return stream[1]


def _faults_in_itself(file: CertificateFile) -> tuple[str, ...]:
    """Find what does not fit within the file: kind, proof, token, disclosures."""
    entry = file.record.entry
    event = _issued(file)
    if event is None:
        return (f"its record of kind {entry.kind} issues no certificate",)
    if file.proof.index != entry.index or not file.proof.covers(file.record.leaf):
        return ("the record is not the one that the proof is of",)
    if file.proof.head.origin != entry.origin:
        return ("the record and the checkpoint are of different logs",)
    token = sha256(file.status_token).hexdigest()
    if event.status_token_sha256 != token:
        return ("the status token is not the record's",)
    return _disclosure_faults(file, event)


def _issued(file: CertificateFile) -> CertificateIssued | None:
    try:
        event = codec.parse(file.record.entry.event)
    except TamperError:
        return None
    return event if isinstance(event, CertificateIssued) else None


def _disclosure_faults(
    file: CertificateFile, event: CertificateIssued
) -> tuple[str, ...]:
    committed = _commitments(event)
    opened = set()
    for said in file.disclosed:
        place = (said.field, said.subject)
        if place in opened:
            return (f"{said.field} of the same subject is disclosed twice",)
        if (*place, said.commitment) not in committed:
            return (f"the name {said.value!r} is not the one the record commits to",)
        opened.add(place)
    return ()


def _commitments(event: CertificateIssued) -> set[tuple[str, str, str | None]]:
    """Return field, subject and commitment of every name a certificate commits to."""
    makers = {("person.name", m.subject, m.name_commitment) for m in event.makers}
    sawyers = {
        ("supplier.name", m.sawyer.subject, m.sawyer.name_commitment)
        for m in event.materials
        if m.sawyer is not None
    }
    return makers | sawyers


# One step of a check against the keys file: None, or the word and the reason.
Step = Callable[[CertificateFile, KeysFile], tuple[str, str] | None]


def _against_keys(file: CertificateFile, keys: KeysFile) -> Answer:
    for step in STEPS:
        found = step(file, keys)
        if found is not None:
            word, reason = found
            return _answer(file, word, (reason,), keys)
    reason = "compare these facts with the paper and with the instrument in your hand"
    return _answer(file, YES, (reason,), keys)


def _other_log(file: CertificateFile, keys: KeysFile) -> tuple[str, str] | None:
    if file.record.entry.origin == keys.origin:
        return None
    return CANNOT_TELL, (
        f"the certificate is of the log {file.record.entry.origin} and the keys file "
        f"of {keys.origin}: a shop of the same name is another shop"
    )


def _newer_than_keys(file: CertificateFile, keys: KeysFile) -> tuple[str, str] | None:
    if file.record.entry.index < keys.size:
        return None
    return CANNOT_TELL, (
        f"entry {file.record.entry.index} is newer than this keys file of "
        f"{keys.date}, which speaks for {keys.size} entries: get a newer one"
    )


def _head_unsigned(file: CertificateFile, keys: KeysFile) -> tuple[str, str] | None:
    try:
        log_keys = keys.log_keys_at(file.proof.head.size)
        verified_checkpoint(file.proof.checkpoint, log_keys)
    except TamperError as fault:
        return NO, f"the shop's log did not sign this checkpoint: {fault}"
    head = file.proof.head
    if head.size == keys.size and head.root != keys.root:
        return NO, "the log has another root at this size than the keys file says"
    return None


def _signer_unknown(file: CertificateFile, keys: KeysFile) -> tuple[str, str] | None:
    key = file.record.entry.key
    known = keys.key(key)
    if known is None:
        return NO, f"it is signed by key {key}, which is none of the shop's"
    if known.purpose != "person":
        return NO, f"it is signed by key {key}, which is for {known.purpose} only"
    if not file.record.is_signed_by(known.public):
        return NO, f"the signature is not by key {key}: something was changed"
    return None


def _signer_not_entitled(
    file: CertificateFile, keys: KeysFile
) -> tuple[str, str] | None:
    index = file.record.entry.index
    known = keys.key(file.record.entry.key)
    if known is None:
        return None
    if not known.span.covers(index):
        since, until = known.span.from_index, known.span.until_index
        ended = f"until entry {until}" if until is not None else "on"
        return NO, (
            f"key {known.public.id} counted from entry {since} {ended}, and this is "
            f"entry {index}: the key was superseded or not yet there"
        )
    if not known.has_role("lead", index):
        return NO, f"the signer was no lead at entry {index}"
    if known.disputed_since is not None and index >= known.disputed_since:
        return CANNOT_TELL, (
            f"what key {known.public.id} said since entry {known.disputed_since} is "
            f"disputed: ask the shop"
        )
    return None


STEPS: tuple[Step, ...] = (
    _other_log,
    _newer_than_keys,
    _head_unsigned,
    _signer_unknown,
    _signer_not_entitled,
)


def _answer(
    file: CertificateFile,
    word: str,
    reasons: tuple[str, ...],
    keys: KeysFile | None = None,
) -> Answer:
    entry = file.record.entry
    return Answer(
        word=word,
        reasons=reasons,
        facts=_issued(file),
        names={said.subject: said.value for said in file.disclosed},
        index=entry.index,
        entered=entry.at,
        checkpoint=file.proof.head,
        keys_date=keys.date if keys else None,
    )


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
    if known.disputed_since is not None and index >= known.disputed_since:
        reason = f"card key {card.key} is disputed since entry {known.disputed_since}"
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
        keys_date=keys.date if keys else None,
        card=card.claims,
    )
