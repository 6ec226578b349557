"""A record with its proof, judged in itself and against the shop's keys file."""

from collections.abc import Callable
from dataclasses import dataclass

from ledger.check.answer import CANNOT_TELL, NO, YES, Answer, keys_or_fault
from ledger.errors import TamperError
from ledger.events import CertificateIssued, codec
from ledger.log.checkpoint import is_of_volume, verified_checkpoint
from ledger.log.entry import Record
from ledger.log.keysfile import KeysFile, KnownKey
from ledger.log.proof import Proof


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A record and its proof, the names that stand beside it, what a YES says."""

    record: Record
    proof: Proof
    names: dict[str, str]
    done: str


def judged(shown: Shown, keys_data: bytes | None) -> Answer:
    """Judge a record that is whole in itself by what the shop vouches for."""
    if keys_data is None:
        reason = (
            f"whole in itself; signed by key {shown.record.entry.key}, which only this "
            f"file vouches for: get the shop's keys file from the shop and check again"
        )
        return _answer(shown, CANNOT_TELL, reason)
    keys = keys_or_fault(keys_data)
    if isinstance(keys, str):
        return _answer(shown, CANNOT_TELL, keys)
    for step in STEPS:
        found = step(shown, keys)
        if found is not None:
            return _answer(shown, *found, keys)
    return _answer(shown, YES, shown.done, keys)


def misfit(record: Record, proof: Proof) -> str | None:
    """Say why a record and a proof do not belong together, or return None."""
    if proof.index != record.entry.index or not proof.covers(record.leaf):
        return "the record is not the one that the proof is of"
    if not is_of_volume(record.entry.origin, proof.head.origin):
        return "the record and the checkpoint are of different logs"
    return None


def is_of_certificate(record: Record) -> bool:
    """Tell whether a record says that it issues a certificate."""
    return record.entry.kind == CertificateIssued.kind


def issued(record: Record) -> CertificateIssued | None:
    """Return the certificate that a record issues, or None."""
    try:
        event = codec.parse(record.entry.event)
    except TamperError:
        return None
    return event if isinstance(event, CertificateIssued) else None


# One step of a check against the keys file: None, or the word and the reason.
Step = Callable[[Shown, KeysFile], tuple[str, str] | None]


def _other_log(shown: Shown, keys: KeysFile) -> tuple[str, str] | None:
    origin, index = shown.record.entry.origin, shown.record.entry.index
    head = shown.proof.head
    end = keys.closed_after(head.origin)
    if end is not None and head.size > end:
        return CANNOT_TELL, (
            f"the shop lost the newest entries of {head.origin} and went on after "
            f"{end} as {keys.origin}; this is proved under {head.size}: ask the shop "
            f"for its last keys file of {head.origin}"
        )
    if head.origin not in {known.key.name for known in keys.log}:
        origin = head.origin
    if origin == keys.origin_at(index):
        return None
    return CANNOT_TELL, (
        f"this is of the log {origin} and the keys file of {keys.origin}: a shop of "
        f"the same name is another shop"
    )


def _newer_than_keys(shown: Shown, keys: KeysFile) -> tuple[str, str] | None:
    if shown.record.entry.index < keys.size:
        return None
    return CANNOT_TELL, (
        f"entry {shown.record.entry.index} is newer than this keys file of "
        f"{keys.date}, which speaks for {keys.size} entries: get a newer one"
    )


def _head_unsigned(shown: Shown, keys: KeysFile) -> tuple[str, str] | None:
    try:
        log_keys = keys.log_keys_at(shown.proof.head.size)
        verified_checkpoint(shown.proof.checkpoint, log_keys)
    except TamperError as fault:
        return NO, f"the shop's log did not sign this checkpoint: {fault}"
    head = shown.proof.head
    if head.size == keys.size and head.root != keys.root:
        return NO, "the log has another root at this size than the keys file says"
    return None


def _signer_stray(shown: Shown, keys: KeysFile) -> tuple[str, str] | None:
    """Judge the signer: one of the shop's keys, of the right purpose, at its time."""
    key = shown.record.entry.key
    known = keys.key(key)
    if known is None:
        return NO, f"it is signed by key {key}, which is none of the shop's"
    # A root founds the shop and changes its roots, and issues no certificate.
    may_sign = ("person",) if is_of_certificate(shown.record) else ("person", "root")
    if known.purpose not in may_sign:
        return NO, f"it is signed by key {key}, which is for {known.purpose} only"
    if not shown.record.is_signed_by(known.public):
        return NO, f"the signature does not fit key {key}"
    return _signer_not_entitled(shown, known)


def _signer_not_entitled(shown: Shown, known: KnownKey) -> tuple[str, str] | None:
    index = shown.record.entry.index
    if not known.span.covers(index):
        since, until = known.span.from_index, known.span.until_index
        ended = f"until entry {until}" if until is not None else "on"
        return NO, (
            f"key {known.public.id} counted from entry {since} {ended}, and this is "
            f"entry {index}: the key was superseded or not yet there"
        )
    if is_of_certificate(shown.record) and not known.has_role("lead", index):
        return NO, f"the signer was no lead at entry {index}"
    if known.is_disputed_at(index):
        return CANNOT_TELL, (
            f"what key {known.public.id} said since entry {known.disputed_since} is "
            f"disputed: ask the shop"
        )
    return None


STEPS: tuple[Step, ...] = (
    _other_log,
    _newer_than_keys,
    _head_unsigned,
    _signer_stray,
)


def _answer(
    shown: Shown, word: str, reason: str, keys: KeysFile | None = None
) -> Answer:
    entry = shown.record.entry
    return Answer(
        word=word,
        reasons=(reason,),
        facts=issued(shown.record),
        names=shown.names,
        index=entry.index,
        entered=entry.at,
        said=entry.kind,
        key=entry.key,
        checkpoint=shown.proof.head,
        keys_date=keys.date if keys else None,
    )
