"""A stranger judges a certificate, a proof or a card, without the shop's database.

    answer = check(data, keys_data, status_data, today="2026-11-24")

`data` is a certificate file, a PDF that holds one, a proof file with its record, or the
text of an owner's card; `keys_data` is the shop's keys file, got from the shop itself.
Without it the answer is CANNOT TELL, however whole the certificate is in itself:
anybody can make up a shop. With it the answer is YES or NO, with the facts of the
record. The words on the paper around it are not judged: compare them with the
record's, and both with the instrument in your hand. `status_data` is the shop's newest
status list: what was superseded, withdrawn or reported since is in no certificate, and
without the list nothing is known of it. A file in which nothing signed is
found, such as a scan of the paper, is no forgery: the answer is CANNOT TELL.
"""

import re
from hashlib import sha256

from ledger.check.answer import BUT, CANNOT_TELL, NO, YES, Answer, Status
from ledger.check.card import check_card
from ledger.check.record import Shown, is_of_certificate, issued, judged, misfit
from ledger.check.status import check_status, with_status
from ledger.check.unsigned import LARGEST_READ, MARKER, TOO_LARGE, nothing_to_judge
from ledger.errors import TamperError
from ledger.events import CertificateIssued
from ledger.log.entry import Record, parse_record
from ledger.log.keysfile import read_keys_file
from ledger.log.proof import (
    LARGEST_FILE,
    PROOF_HEADER,
    CertificateFile,
    Proof,
    parse_certificate_file,
    parse_proof,
)
from ledger.log.statusfile import STATUS_START

# What a card's square says: an address or none, and digits.
CARD_TEXT = re.compile(rb'\s*(?:https://[!"$-~]{1,253}/v#|V#)[0-9]{1,2000}\s*', re.I)
# How each begins, whose members stand in order; no certificate file does.
PROOF_START = f"{PROOF_HEADER}\n".encode()
KEYS_FILE_START = b'{"date":'
IN_HAND = "with the paper and with the instrument in your hand"
STREAM = re.compile(rb"[^\n]*>>\r?\nstream\r?\n([^\r\n]*)\r?\nendstream")

__all__ = [
    "BUT",
    "CANNOT_TELL",
    "MARKER",
    "NO",
    "YES",
    "Answer",
    "Status",
    "certificate_bytes",
    "check",
    "check_certificate",
]


def check(
    data: bytes,
    keys_data: bytes | None,
    status_data: bytes | None = None,
    *,
    today: str = "",
) -> Answer:
    """Judge a certificate file, a PDF that holds one, a proof, or the text of a card.

    Never raises for what the bytes hold: damage and forgery are answers. What a status
    list says is added to a YES; `today` is the reader's day, which tells its age.
    """
    answer = _judged(data, keys_data)
    return with_status(answer, status_data, keys_data, today)


def _judged(data: bytes, keys_data: bytes | None) -> Answer:
    """Judge what was shown by itself, whatever became of it since."""
    if CARD_TEXT.fullmatch(data):
        return check_card(data.decode("ascii"), keys_data)
    if data.startswith(PROOF_START):
        return check_proof(data, keys_data)
    if data.startswith(KEYS_FILE_START):
        return check_keys(data)
    if data.startswith(STATUS_START):
        return check_status(data)
    return check_certificate(data, keys_data)


def check_certificate(data: bytes, keys_data: bytes | None) -> Answer:
    """Judge a certificate file or a PDF that holds one.

    Never raises for what the bytes hold: damage and forgery are answers.
    """
    unjudged = nothing_to_judge(data)
    if unjudged:
        return Answer(word=CANNOT_TELL, reasons=(unjudged,))
    try:
        file = parse_certificate_file(certificate_bytes(data))
    except TamperError as fault:
        return Answer(word=NO, reasons=(str(fault),))
    stray = _misfit_in_certificate(file)
    if stray:
        return Answer(word=NO, reasons=(stray,))
    shown = Shown(
        record=file.record,
        proof=file.proof,
        names={said.subject: said.value for said in file.disclosed},
        done=f"compare these facts {IN_HAND}",
    )
    return judged(shown, keys_data)


def check_proof(data: bytes, keys_data: bytes | None) -> Answer:
    """Judge a proof file: whether its record stands in the log, signed by whom.

    Of a certificate it tells the facts, though no names. Whether the signer of any
    other entry might say so, only the whole log tells.
    """
    try:
        proof, record = _parsed_proof(data)
    except TamperError as fault:
        return Answer(word=NO, reasons=(str(fault),))
    if record is None:
        reason = (
            "this proof holds no record, so there is nothing to judge: ask the shop "
            "for one with the record in it"
        )
        return Answer(word=CANNOT_TELL, reasons=(reason,), index=proof.index)
    stray = _misfit_in_proof(record, proof)
    if stray:
        return Answer(word=NO, reasons=(stray,))
    compare = f": compare its facts {IN_HAND}" if is_of_certificate(record) else ""
    done = f"this entry stands in the shop's log{compare}"
    shown = Shown(record=record, proof=proof, names={}, done=done)
    return judged(shown, keys_data)


def check_keys(data: bytes) -> Answer:
    """Say whose keys file this is, where somebody shows it alone."""
    try:
        keys = read_keys_file(data)
    except TamperError as fault:
        return Answer(word=NO, reasons=(str(fault),))
    reason = (
        f"this is keys file {keys.number} of {keys.origin}: open a certificate, a "
        f"proof or a card beside it"
    )
    return Answer(word=CANNOT_TELL, reasons=(reason,), keys_date=keys.date)


def certificate_bytes(data: bytes) -> bytes:
    """Return the certificate file's bytes out of a PDF, or the data as it is.

    Raises TamperError where a PDF holds none, or more than one.
    """
    if not data.startswith(b"%PDF-"):
        return data
    if len(data) > LARGEST_READ:
        raise TamperError(TOO_LARGE)
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


def _parsed_proof(data: bytes) -> tuple[Proof, Record | None]:
    if len(data) > LARGEST_FILE:
        raise TamperError(f"a proof file has at most {LARGEST_FILE} bytes")
    try:
        proof = parse_proof(data.decode("utf-8"))
    except UnicodeDecodeError:
        raise TamperError("these bytes are no text") from None
    return proof, None if proof.extra is None else parse_record(proof.extra)


def _misfit_in_certificate(file: CertificateFile) -> str | None:
    """Find what does not fit within the file: kind, proof, token, disclosures."""
    event = issued(file.record)
    if event is None:
        return _issues_nothing(file.record)
    stray = misfit(file.record, file.proof)
    if stray:
        return stray
    if event.status_token_sha256 != sha256(file.status_token).hexdigest():
        return "the status token is not the record's"
    return _disclosure_fault(file, event)


def _misfit_in_proof(record: Record, proof: Proof) -> str | None:
    """Judge a certificate's record to the last member, of others only the form."""
    if is_of_certificate(record) and issued(record) is None:
        return _issues_nothing(record)
    return misfit(record, proof)


def _issues_nothing(record: Record) -> str:
    return f"its record of kind {record.entry.kind} issues no certificate"


def _disclosure_fault(file: CertificateFile, event: CertificateIssued) -> str | None:
    committed = _commitments(event)
    opened = set()
    for said in file.disclosed:
        place = (said.field, said.subject)
        if place in opened:
            return f"{said.field} of the same subject is disclosed twice"
        if (*place, said.commitment) not in committed:
            return f"the name {said.value!r} is not the one the record commits to"
        opened.add(place)
    return None


def _commitments(event: CertificateIssued) -> set[tuple[str, str, str | None]]:
    """Return field, subject and commitment of every name a certificate commits to."""
    makers = {("person.name", m.subject, m.name_commitment) for m in event.makers}
    sawyers = {
        ("supplier.name", m.sawyer.subject, m.sawyer.name_commitment)
        for m in event.materials
        if m.sawyer is not None
    }
    return makers | sawyers
