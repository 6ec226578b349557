"""Keys that were in other hands: reported, what they said since, and what is affirmed.

Nothing that was said is taken away. What a key said from an index on is in dispute
until somebody who may looks at it and affirms it, or strikes it.
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlmodel import Session, col, select

from ledger.acts.shop import CARD_FILE, Hands, Shop, Turn, take_away
from ledger.errors import NotFoundError, RefusedError
from ledger.events import EntryAffirmed, KeyCompromised
from ledger.log.approvals import approvers_of
from ledger.log.entry import Entry, at_moment, at_text, parse_record
from ledger.log.merkle import leaf_hash
from ledger.log.standing import KeyRecord, Standing, is_governing
from ledger.views.certificates import Certificate
from ledger.views.corrections import corrections_of
from ledger.views.naming import entries_with
from ledger.views.people import Person
from ledger.views.rested import entries_at, entries_beside, entries_of_goods
from ledger.views.said import entry_said

SAID, APPROVED = "said", "approved"


@dataclass(frozen=True, slots=True, kw_only=True)
class Disputed:
    """An entry that a key said or approved while others may have had it."""

    entry: Entry
    key: str
    way: str
    since: int

    @property
    def governs(self) -> bool:
        """Whether it decides who may say what: it still does until it is reversed."""
        return is_governing(self.entry.kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reported:
    """A key that was reported: the entry, what is in dispute, and what else it opened.

    `is_of_today` tells whether it was in use until now, `opened_cards` whether the
    card key lay under its PIN.
    """

    entry: Entry
    key: str
    since: int
    is_of_today: bool
    opened_cards: bool
    disputed: tuple[Disputed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportedCard:
    """A card key that was reported, and the certificates that were issued since.

    None of its cards proves anything any more, older ones neither: a card bears its
    certificate's index and no time of its own, so whoever had the key could have made
    a card for any certificate. The certificates themselves stand.
    """

    entry: Entry
    key: str
    since: int
    is_of_today: bool
    issued_since: tuple[str, ...]


def report(shop: Shop, person: Person, since: str, hands: Hands) -> Reported:
    """Report the key that a person held at an entry, or at a moment, as compromised.

    `since` is the number of the first entry that the person does not answer for, or the
    moment from which on. A key that is in use ends, and opens neither the cards nor the
    office any more; one that was replaced before is reported all the same.
    """
    with shop.turn() as turn:
        index = _first_since(turn, since)
        known = _key_at(turn.standing, "person", person.subject, index)
        opened_cards = (shop.keys / f"{known.public.id}{CARD_FILE}").exists()
        event = KeyCompromised(key=known.public.id, since_index=index)
        entry = turn.say(event, hands)
        key = known.public.id
        found = disputed(turn.session, turn.standing, [key])
    is_of_today = known.until_index is None
    if is_of_today:
        take_away(shop, key, shop.vault.sealing_key(person.subject))
    return Reported(
        entry=entry,
        key=key,
        since=index,
        is_of_today=is_of_today,
        opened_cards=opened_cards,
        disputed=tuple(found),
    )


def report_card_key(shop: Shop, since: str, hands: Hands) -> ReportedCard:
    """Report the card key that was in use at an entry, or at a moment."""
    with shop.turn() as turn:
        index = _first_since(turn, since)
        known = _key_at(turn.standing, "card", None, index)
        event = KeyCompromised(key=known.public.id, since_index=index)
        entry = turn.say(event, hands)
        query = select(Certificate.number).where(col(Certificate.idx) >= index)
        issued = turn.session.exec(query.order_by(col(Certificate.idx))).all()
    return ReportedCard(
        entry=entry,
        key=known.public.id,
        since=index,
        is_of_today=known.until_index is None,
        issued_since=tuple(issued),
    )


def report_root(shop: Shop, key: str, since: str, hands: Hands) -> Reported:
    """Report a root key that was replaced before: what it approved is in dispute.

    The roots of today report it. What it approved stands until it is affirmed, by them
    too, or reversed.
    """
    with shop.turn() as turn:
        index = _first_since(turn, since)
        keys = turn.standing.keys
        ended = [k for k, v in keys.items() if v.purpose == "root" and v.until_index]
        if key not in keys or keys[key].purpose != "root":
            raise NotFoundError(
                f"there is no root key {key}: {', '.join(ended) or 'none so far'} were "
                f"replaced, and only such are reported"
            )
        entry = turn.say(KeyCompromised(key=key, since_index=index), hands)
        found = disputed(turn.session, turn.standing, [key])
    return Reported(
        entry=entry,
        key=key,
        since=index,
        is_of_today=False,
        opened_cards=False,
        disputed=tuple(found),
    )


def affirm(shop: Shop, indexes: Sequence[int], hands: Hands) -> list[Entry]:
    """Stand by entries in dispute, each in an entry of its own; all of them or none.

    Whoever said them affirms with a newer key and one approval, or a lead for anybody.
    """
    said = []
    with shop.turn() as turn:
        for index in indexes:
            if not 0 <= index < turn.size:
                raise NotFoundError(
                    f"there is no entry {index} to be affirmed, the newest is "
                    f"{turn.size - 1}: flitchbook person entries NAME --disputed lists "
                    f"what is in dispute"
                )
            entry = entry_said(turn.session, index)
            keys = _disputed_keys(turn.standing, entry)
            if not keys:
                raise RefusedError(
                    f"entry {index} is not in dispute, and nothing was affirmed: "
                    f"flitchbook person entries NAME --disputed lists what is"
                )
            leaf = leaf_hash(shop.store.record(index)).hex()
            said += [
                turn.say(EntryAffirmed(index=index, leaf=leaf, key=key), hands)
                for key in keys
            ]
    return said


def disputed(
    session: Session, standing: Standing, keys: Iterable[str]
) -> list[Disputed]:
    """Return what these keys said or approved in dispute, what governs first."""
    found = [
        Disputed(
            entry=entry,
            key=key,
            way=SAID if entry.key == key else APPROVED,
            since=since,
        )
        for key in keys
        for entry in (entries_with(session, key) if _is_reported(standing, key) else ())
        if (since := standing.disputed_since(key, entry.index)) is not None
        and standing.keys[key].counts_at(entry.index)
    ]
    struck = corrections_of(session, {each.entry.index for each in found})
    left = [each for each in found if each.entry.index not in struck]
    return sorted(left, key=lambda each: (not each.governs, each.entry.index))


def disputed_at(
    session: Session, standing: Standing, indexes: Iterable[int]
) -> dict[int, int]:
    """Return those of some entries that are in dispute, each with since when.

    What was struck is settled. Where no key was reported nothing is read.
    """
    first = _first_disputed(standing)
    if first is None:
        return {}
    asked = {index for index in indexes if index >= first}
    left = sorted(asked - corrections_of(session, asked).keys())
    found = {each: since_when(standing, entry_said(session, each)) for each in left}
    return {index: since for index, since in found.items() if since is not None}


def disputed_behind(
    session: Session, standing: Standing, serial: str, at: int, own: int | None = None
) -> dict[int, int]:
    """Return what is in dispute of all that an instrument rested on after an entry.

    What its papers say beside it counts too.

    own  the entry of a paper about it, which counts as well
    """
    if _first_disputed(standing) is None:
        return {}
    entries = entries_at(session, serial, at) | entries_beside(session, serial, at)
    return disputed_at(session, standing, entries if own is None else {*entries, own})


def disputed_of_goods(
    session: Session,
    standing: Standing,
    *,
    serials: Iterable[str],
    codes: Iterable[str],
    at: int,
    also: Iterable[int] = (),
) -> dict[int, int]:
    """Return the same of all that goes together: instruments, and boards and batches.

    codes  of boards and batches that go as such
    also   further entries that count, such as the one by which it is to go
    """
    if _first_disputed(standing) is None:
        return {}
    entries = {*also, *entries_of_goods(session, codes, at)}
    for serial in serials:
        entries |= entries_at(session, serial, at)
    return disputed_at(session, standing, entries)


def since_when(standing: Standing, entry: Entry) -> int | None:
    """Return since when a key that said or approved an entry is in dispute there."""
    keys = _disputed_keys(standing, entry)
    since = [standing.disputed_since(key, entry.index) for key in keys]
    return min((each for each in since if each is not None), default=None)


def _first_disputed(standing: Standing) -> int | None:
    """Return from which entry on any key was ever reported, or None."""
    since = [known.disputed_since for known in standing.keys.values()]
    return min((each for each in since if each is not None), default=None)


def _disputed_keys(standing: Standing, entry: Entry) -> list[str]:
    """Return the keys that are in dispute for an entry, its signer's first."""
    keys = dict.fromkeys([entry.key, *approvers_of(entry.event)])
    return [
        key
        for key in keys
        if standing.disputed_since(key, entry.index) is not None
        and standing.keys[key].counts_at(entry.index)
    ]


def _is_reported(standing: Standing, key: str) -> bool:
    return standing.keys[key].disputed_since is not None


def _key_at(
    standing: Standing, purpose: str, subject: str | None, index: int
) -> KeyRecord:
    for known in standing.keys.values():
        is_theirs = (known.purpose, known.subject) == (purpose, subject)
        if is_theirs and known.counts_at(index):
            return known
    whose = "this person" if subject else "the shop"
    raise NotFoundError(
        f"{whose} had no {purpose} key that counted at entry {index}: name an entry or "
        f"a moment at which it was in use"
    )


def _first_since(turn: Turn, text: str) -> int:
    """Return the entry of this number, or the first one since a moment."""
    if text.isascii() and text.isdecimal() and len(text) < 16:
        return int(text)
    moment = text if "T" in text else f"{text}T00:00:00Z"
    try:
        at_moment(moment)
    except ValueError:
        raise RefusedError(
            f"{text!r} is no number of an entry, no day such as 2026-11-24 and no "
            f"moment such as 2026-11-24T16:40:00Z, in UTC"
        ) from None
    latest = max(at_text(turn.shop.now()), turn.newest_entry.at)
    if moment > latest:
        raise RefusedError(
            f"{moment} is still to come, it is {latest}: name a moment before that, or "
            f"the number of an entry"
        )

    def entered(index: int) -> str:
        return parse_record(turn.shop.store.record(index)).entry.at

    return bisect_left(range(turn.size), moment, key=entered)
