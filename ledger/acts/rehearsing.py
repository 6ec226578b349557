"""A restore rehearsed by the clock: a copy put back as on a new machine, and asked.

A copy that nobody ever brought back is a hope. The rehearsal does what the day after a
fire would: it puts the copy into an empty folder, opens it, judges it, reads a
certificate, folds the views again, tries a key, and says what would be lost.
"""

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from sqlmodel import Session, col, select

from ledger.acts.certificates import certificate_paper
from ledger.acts.copies import newest_keys, rebuild
from ledger.acts.folders import require_new
from ledger.acts.restoring import put_back
from ledger.acts.shop import Clock, Entropy, Shop, open_for_audit, open_shop
from ledger.acts.signing import find_person, person_key
from ledger.audit import audit
from ledger.check import NO, check_certificate
from ledger.errors import LedgerError, TamperError
from ledger.log.entry import parse_record
from ledger.log.sealedfile import Lock
from ledger.views import fold
from ledger.views.certificates import Certificate

Seconds = Callable[[], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a rehearsal: what was done, how long it took, what came of it."""

    what: str
    seconds: float
    said: str
    is_sound: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What a rehearsal is given: whose key is tried, and the shop that is not lost.

    `badge` and `pin` are empty where no key is tried, `living` is None where the shop
    is not at hand, as after a fire.
    """

    now: Clock
    entropy: Entropy
    clock: Seconds
    lock: Lock | None = None
    badge: str = ""
    pin: str = ""
    living: Shop | None = None


def rehearse(copy: Path, folder: Path, trial: Trial) -> Iterator[Step]:
    """Put a copy back into an empty folder and ask it everything; yield each step.

    It ends with the first step that is not sound.
    """
    require_new(folder)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    steps: list[tuple[str, Callable[[], str]]] = [
        ("put back", lambda: _put_back(copy, folder, trial)),
        ("audited", lambda: _audited(folder, trial)),
        ("opened", lambda: _opened(folder, trial)),
        ("read a certificate", lambda: _certificate(folder, trial)),
        ("folded again", lambda: _folded(folder, trial)),
        ("tried a key", lambda: _key(folder, trial)),
        ("would be lost", lambda: _lost(folder, trial)),
    ]
    for what, step in steps:
        begun = trial.clock()
        try:
            said, is_sound = step(), True
        except (LedgerError, OSError) as fault:
            said, is_sound = str(fault), False
        seconds = trial.clock() - begun
        yield Step(what=what, seconds=seconds, said=said, is_sound=is_sound)
        if not is_sound:
            return


def _put_back(copy: Path, folder: Path, trial: Trial) -> str:
    put_back(copy, folder, lock=trial.lock)
    files = [path for path in folder.rglob("*") if path.is_file()]
    size = sum(path.stat().st_size for path in files)
    return f"{len(files)} files, {size} bytes"


def _audited(folder: Path, trial: Trial) -> str:
    shop = open_for_audit(folder, now=trial.now)
    try:
        report = audit(shop)
    finally:
        shop.close()
    if not report:
        worst = next((f for f in report.findings if not f.is_open), None)
        raise TamperError(f"it is not whole: {worst or report.clouded_by}")
    left = [str(finding) for finding in report.findings]
    open_ones = f"; open: {'; '.join(left)}" if left else ""
    root = report.root.hex()
    return f"whole at every level: {report.size} entries, root {root}{open_ones}"


def _opened(folder: Path, trial: Trial) -> str:
    shop = _shop(folder, trial)
    try:
        name, newest = shop.standing().name, shop.store.newest_checkpoint()
        keys = newest_keys(shop)
    finally:
        shop.close()
    head = f"signed up to {newest[0]} entries" if newest else "no head is signed"
    vouched = keys.name if keys else "no keys file"
    return f"{name}, {head}, {vouched}"


def _certificate(folder: Path, trial: Trial) -> str:
    """Read the newest certificate and let a stranger's check judge it."""
    shop = _shop(folder, trial)
    try:
        with shop.store.reading() as session:
            asked = select(Certificate).order_by(col(Certificate.idx).desc()).limit(1)
            row = session.exec(asked).first()
            number = row.number if row else ""
        if not number:
            return "no certificate was issued yet"
        path = newest_keys(shop)
        data = certificate_paper(shop, number).file.data
        found = check_certificate(data, path.read_bytes() if path else None)
    finally:
        shop.close()
    if found.word == NO:
        raise TamperError(f"{number} does not check")
    return f"{number}: {found.word}, proof and signature hold"


def _folded(folder: Path, trial: Trial) -> str:
    """Fold the views again and compare every row with those of the copy."""
    shop = _shop(folder, trial)
    try:
        with shop.store.reading() as session:
            before, count = _digest(session)
        size = rebuild(shop)
        with shop.store.reading() as session:
            after, _ = _digest(session)
    finally:
        shop.close()
    if before != after:
        raise TamperError("what was shown is not what its entries add up to")
    return f"{count} rows from {size} entries, the same as before"


def _key(folder: Path, trial: Trial) -> str:
    if not trial.badge:
        return "not tried: name somebody with --by, whose PIN opens the key"
    shop = _shop(folder, trial)
    try:
        person = find_person(shop, trial.badge)
        secret = person_key(shop, person, trial.pin)
    finally:
        shop.close()
    return f"key {secret.id} of badge {person.badge} opens with its PIN"


def _lost(folder: Path, trial: Trial) -> str:
    """Say which entries the living shop has and the copy has not."""
    shop = _shop(folder, trial)
    try:
        head, last = shop.store.head(), shop.store.record(shop.store.head().size - 1)
    finally:
        shop.close()
    until = f"the copy ends with entry {head.size - 1} of {parse_record(last).entry.at}"
    if trial.living is None:
        return f"{until}; the shop is not at hand to say what came since"
    living = trial.living.store
    size = living.head().size
    if size < head.size:
        raise TamperError(
            f"{until}, and the shop has {size} entries: some are missing there, run "
            f"flitchbook record audit"
        )
    # The last record names the one before it, and so all of them.
    if living.record(head.size - 1) != last:
        raise TamperError(f"{until}, and the shop says something else there")
    newer = size - head.size
    if not newer:
        return f"nothing: {until}, and so does the shop"
    return f"{newer} {'entry' if newer == 1 else 'entries'}: {until}"


def _digest(session: Session) -> tuple[str, int]:
    """Return the digest of every row of every view, and how many there are."""
    found, count = hashlib.sha256(), 0
    for row in fold.rows(session):
        found.update(f"{row!r}\n".encode())
        count += 1
    return found.hexdigest(), count


def _shop(folder: Path, trial: Trial) -> Shop:
    return open_shop(folder, now=trial.now, entropy=trial.entropy)
