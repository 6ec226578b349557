"""A shop's folder, and one person's turn at its log.

    with shop.turn() as turn:
        turn.say(LotReceived(…), Hands(by=key))

A turn holds the log's lock: what it checks stays true until what it says is written,
and either all that it says is written or nothing.
"""

import secrets
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from copy import copy
from dataclasses import dataclass, field, fields, replace
from datetime import datetime
from functools import cached_property
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PublicKey
from sqlmodel import Session

from ledger.acts import moments
from ledger.acts.doings import refusal_words
from ledger.acts.layout import ATTACHMENTS, KEYS, VAULT
from ledger.acts.remembering import remembered
from ledger.acts.settings import Settings, read_settings
from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.events import Event, codec
from ledger.events.codec import Beside
from ledger.log import attachments
from ledger.log.approvals import ONCE_SIZE, approve
from ledger.log.authority import CONTINUED, FOUNDED, judge
from ledger.log.encoding import writing_fault
from ledger.log.entry import (
    NO_PREVIOUS,
    Entry,
    at_moment,
    at_text,
    parse_record,
    seal,
)
from ledger.log.keys import SecretKey
from ledger.log.standing import Standing, apply, cloud, is_governing
from ledger.log.store import Appending, Store
from ledger.log.vault import Vault
from ledger.views.fold import fold, is_of_this_edition, require_this_edition
from ledger.views.people import Person, erased_subjects
from ledger.views.standing import UsedOnces, governing_rows, is_doubted

# Behind the id of the lead whose PIN opens it.
CARD_FILE = ".card.json"

Clock = Callable[[], datetime]
Entropy = Callable[[int], bytes]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """Whose key signs an entry, and whose keys approve it."""

    by: SecretKey
    approving: tuple[SecretKey, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Governing entries as their bytes stood when they were judged, and the outcome."""

    rows: tuple[tuple[int, bytes], ...] = ()
    standing: Standing = field(default_factory=Standing)
    onces: frozenset[str] = frozenset()


@dataclass(slots=True)
class Memory:
    """What was judged last, so that it need not be judged at every turn."""

    judged: Judged = field(default_factory=Judged)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """An open shop: its folder, its log, its vault, its clock and its source of chance.

    `pause_confirmed` says that somebody looked at the clock after a long pause, and
    `beside` what stands beside every event that is said: when it happened, if that was
    not just now. `state` is the folder where this account keeps what it saw of the log.
    """

    folder: Path
    settings: Settings
    store: Store
    vault: Vault
    now: Clock
    entropy: Entropy
    pause_confirmed: bool = False
    state: Path | None = None
    beside: Beside = field(default_factory=Beside)
    memory: Memory = field(default_factory=Memory, repr=False, compare=False)

    @property
    def keys(self) -> Path:
        """The folder of the key files."""
        return self.folder / KEYS

    @property
    def attachments(self) -> Path:
        """The folder of the files that entries name by digest."""
        return self.folder / ATTACHMENTS

    @contextmanager
    def turn(self, *, at_once: bool = True) -> Iterator["Turn"]:
        """Hold the log for one person's turn; write all of it, or nothing.

        at_once  whether the end of the log and who may say what are judged before
                 anything else; else when something is said, so that of many who want
                 one thing whoever is refused lets the next one in sooner

        Raises RefusedError where what is shown was folded by another version, and
        TamperError where entries are missing that a kept head proves.
        """
        holding = self.store.appending(at_once=at_once)
        with codec.refusing(), remembered(self), holding as appending:
            require_this_edition(appending.session)
            turn = Turn(self, appending)
            if at_once:
                turn.judge()
            yield turn

    def standing(self) -> Standing:
        """Return who may say what after the newest entry."""
        with self.store.reading() as session:
            return read_standing(session, self.memory)

    def today(self) -> str:
        """Return the day by the station's clock."""
        return at_text(self.now())[:10]

    def day(self) -> str:
        """Return the day of what is said: today, or an earlier one where it is late."""
        return (self.beside.happened_at or self.today())[:10]

    def close(self) -> None:
        """Let go of the databases."""
        self.store.close()
        self.vault.close()


class Turn:
    """One person's turn at the log: the lock is held until it ends."""

    def __init__(self, shop: Shop, appending: Appending) -> None:
        self.shop = shop
        self._appending = appending

    def judge(self) -> None:
        """Judge who may say what; TamperError where an entry of theirs is false."""
        _ = self.standing

    @cached_property
    def standing(self) -> Standing:
        """Who may say what, after this turn's own entries too."""
        return read_standing(self.session, self.shop.memory)

    @property
    def session(self) -> Session:
        """The views as they stand now, this turn's own entries included."""
        return self._appending.session

    @property
    def newest_entry(self) -> Entry:
        """The entry said last."""
        newest = self._appending.newest
        if newest is None:
            raise NotFoundError("nothing has been said yet")
        return newest.entry

    @property
    def size(self) -> int:
        """The number of entries, this turn's own included."""
        return self._appending.head.size

    def say(self, event: Event, hands: Hands, *, reason: str | None = None) -> Entry:
        """Append one event, signed and approved; `reason` commits to why.

        Raises RefusedError with every reason where the signer may not say it, where
        the clock is not to be trusted, or where the text cannot be written down.
        """
        at, beside = self._time(event, self.shop.beside)
        beside = replace(beside, reason_commitment=reason)
        members = codec.plain(event, beside)
        fault = writing_fault(members)
        if fault:
            raise RefusedError(f"this cannot be written down: {fault}")
        # A founding, or a next volume, names its own.
        begins = event.kind in (FOUNDED, CONTINUED)
        origin = members["origin"] if begins else self.standing.origin
        if hands.approving:
            members = approve(
                members,
                origin=origin,
                root_version=self.standing.root_version or 1,
                once=self.shop.entropy(ONCE_SIZE),
                by=hands.approving,
            )
        newest = self._appending.newest
        entry = Entry(
            at=at,
            event=members,
            index=self.size,
            key=hands.by.id,
            origin=origin,
            previous=newest.leaf.hex() if newest else NO_PREVIOUS,
        )
        record = seal(entry, hands.by)
        allowed = judge(self.standing, record, used_once=UsedOnces(self.session))
        if not allowed:
            raise RefusedError(refusal_words(entry.kind, allowed.reasons))
        self._appending.append(record, fold)
        if is_governing(entry.kind):
            apply(self.standing, entry.index, entry.event, entry.key)
        return entry

    def _time(self, event: Event, beside: Beside) -> tuple[str, Beside]:
        """Return the entry's time: now, or the newest entry's where that is later."""
        now = self.shop.now()
        newest = self._appending.newest
        if newest is None:
            return at_text(now), beside
        last = at_moment(newest.entry.at)
        if not self.shop.pause_confirmed:
            moments.require_no_pause(last, now)
        at = at_text(max(now, last))
        if event.kind == "clock.doubted/1":
            return at, beside
        if is_doubted(self.session, at):
            return at, replace(beside, happened_at=beside.happened_at or at_text(now))
        moments.require_no_step_back(last, now)
        return at, beside


def open_shop(
    folder: Path,
    *,
    now: Clock,
    entropy: Entropy,
    pause_confirmed: bool = False,
    happened_at: str | None = None,
    of_any_edition: bool = False,
    state: Path | None = None,
) -> Shop:
    """Open the shop in a folder, and finish an erasure that was cut off.

    Raises NotFoundError where there is none, RefusedError where something is said to
    have happened at no time, in the time to come or before the founding, and where what
    is shown was folded by another version. With `of_any_edition` such a shop opens as
    it is, to be copied or folded again.
    """
    if happened_at is not None:
        moments.require_past(happened_at, now)
    settings = read_settings(folder)
    store = Store.open(settings.url(folder))
    shop = Shop(
        folder=folder,
        settings=settings,
        store=store,
        vault=Vault.open(folder / VAULT),
        now=now,
        entropy=entropy,
        pause_confirmed=pause_confirmed,
        state=state,
        beside=Beside(happened_at=happened_at),
    )
    with ExitStack() as unless_open:
        unless_open.callback(shop.close)
        _finish_erasures(shop, of_any_edition=of_any_edition)
        if happened_at is not None:
            moments.require_since_founding(store, happened_at)
        unless_open.pop_all()
    return shop


def said_at(shop: Shop, happened_at: str | None) -> Shop:
    """Return a shop in which all is said of an earlier time; None is now.

    Raises RefusedError where that is no time, in the time to come, or before the shop
    was founded.
    """
    if happened_at is not None:
        moments.require_past(happened_at, shop.now)
        moments.require_since_founding(shop.store, happened_at)
    return replace(shop, beside=Beside(happened_at=happened_at))


def _finish_erasures(shop: Shop, *, of_any_edition: bool) -> None:
    with shop.store.reading() as session:
        if of_any_edition and not is_of_this_edition(session):
            # Nobody is forgotten on the word of views that may be false.
            return
        require_this_edition(session)
        gone = erased_subjects(session)
    for subject in gone & shop.vault.subjects():
        forget(shop, subject)


def open_for_audit(folder: Path, *, now: Clock, state: Path | None = None) -> Shop:
    """Open a shop as it is, to be judged: nothing is finished or refused first."""
    settings = read_settings(folder)
    return Shop(
        folder=folder,
        settings=settings,
        store=Store.open(settings.url(folder), for_audit=True),
        vault=Vault.open(folder / VAULT),
        now=now,
        entropy=secrets.token_bytes,
        state=state,
    )


def take_away(shop: Shop, key: str, sealing: X25519PublicKey | None) -> None:
    """Take the card key and the office's key from a key that no longer leads.

    The last key that opens the office keeps it, else nobody ever could again.
    """
    (shop.keys / f"{key}{CARD_FILE}").unlink(missing_ok=True)
    if sealing is not None and shop.vault.office_holders() > 1:
        shop.vault.drop_office_holder(sealing)


def forget(shop: Shop, subject: str) -> None:
    """Erase a subject's files and everything in the vault; again does no harm."""
    with shop.store.reading() as session:
        person = session.get(Person, subject)
        key = person.key if person else None
    if key is not None:
        take_away(shop, key, shop.vault.sealing_key(subject))
    for digest in shop.vault.attachments_of(subject):
        attachments.remove(shop.attachments, digest)
    shop.vault.erase(subject)


def read_standing(session: Session, memory: Memory | None = None) -> Standing:
    """Return who may say what, from the entries that govern.

    Each is judged again, so that a row slipped into log or view changes nothing: it
    raises TamperError. What a newer version said leaves open all that follows it. With
    a memory only those are judged that stand behind the very bytes judged before.
    """
    kept = memory or Memory()
    rows, before = tuple(governing_rows(session)), kept.judged
    if rows[: len(before.rows)] != before.rows:
        # Another log, a row gone or a row between: what was judged is worth nothing.
        before = Judged()
    if len(rows) > len(before.rows):
        kept.judged = before = _judged(before, rows)
    # A turn changes its standing as it speaks, and may yet be rolled back.
    return _copied(before.standing)


def judged_before(session: Session, size: int) -> Judged:
    """Judge anew the entries that govern among the first `size`.

    Raises TamperError where one of them may not stand.
    """
    rows = tuple((idx, data) for idx, data in governing_rows(session) if idx < size)
    return _judged(Judged(), rows)


def _judged(before: Judged, rows: tuple[tuple[int, bytes], ...]) -> Judged:
    """Judge the rows behind those that were judged before."""
    standing, onces = _copied(before.standing), set(before.onces)
    for index, data in rows[len(before.rows) :]:
        record = parse_record(data)
        entry = record.entry
        if entry.index != index or not is_governing(entry.kind):
            raise _slipped_in(index, f"{entry.kind} at {entry.index} does not govern")
        judgement = judge(standing, record, used_once=onces)
        if judgement:
            apply(standing, entry.index, entry.event, entry.key)
            onces.add(entry.event.get("approvals", {}).get("once", ""))
        elif judgement.is_open:
            cloud(standing, entry.kind, entry.index)
        else:
            raise _slipped_in(index, "; ".join(judgement.reasons))
    return Judged(rows=rows, standing=standing, onces=frozenset(onces))


def _copied(standing: Standing) -> Standing:
    """Return the same standing in containers of its own; what they hold is fixed."""
    return Standing(
        **{f.name: copy(getattr(standing, f.name)) for f in fields(Standing)}
    )


def _slipped_in(index: int, reason: str) -> TamperError:
    return TamperError(
        f"entry {index} may not stand where it is ({reason}): nothing is "
        f"recorded, run flitchbook record audit"
    )
