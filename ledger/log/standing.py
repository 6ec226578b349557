"""Who stands where: keys, roles, qualifications and the policy after some entry.

A `Standing` is folded from the entries that govern the log. It changes only through
`apply`, one entry after the other; what a key or a role counts for begins with the
index after the entry that gave it, and ends with the index of the entry that took it.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

from ledger.errors import RefusedError, TamperError
from ledger.log.affirming import Affirmation, affirmed_by
from ledger.log.approvals import approvers_of
from ledger.log.checkpoint import NoteKey
from ledger.log.keys import PublicKey
from ledger.log.policy import Rule, policy_rules
from ledger.log.tenures import LogTenure, Tenure

AFFIRMED = "entry.affirmed/1"
ROLES = ("lead", "key-administrator")
# Nouns whose unknown kinds leave every later question of roles open.
GOVERNING_NOUNS = frozenset({"shop", "root", "log", "role", "person", "key", "policy"})

Event = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyRecord:
    """A key: whose it is, what for, and for which entries it counts.

    What it said from `disputed_since` on may be somebody else's word, save the entries
    that were affirmed by keys that were not in dispute then.
    """

    public: PublicKey
    purpose: str
    subject: str | None
    from_index: int
    until_index: int | None = None
    disputed_since: int | None = None
    affirmed: frozenset[int] = frozenset()

    def counts_at(self, index: int) -> bool:
        """Tell whether the key may speak in the entry of this index."""
        ended = self.until_index is not None and index > self.until_index
        return self.from_index <= index and not ended

    def is_disputed_at(self, index: int) -> bool:
        """Tell whether what the key said in this entry is in dispute still."""
        since = self.disputed_since
        return since is not None and index >= since and index not in self.affirmed


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """A volume of the log that was closed because its newest entries are lost.

    It goes on under another origin with the entry whose index is `size`. The head of
    `proven_size` entries proves what is lost; of its root the first bytes, in hex.
    """

    origin: str
    size: int
    proven_size: int
    proven_root: str

    @property
    def lost(self) -> int:
        """How many entries are lost; 0 where the history that is proven is another."""
        return max(self.proven_size - self.size, 0)

    def proves(self, size: int) -> bool:
        """Tell whether a head of so many entries is one of those that are lost."""
        return self.size < size <= self.proven_size

    def __str__(self) -> str:
        if not self.lost:
            return (
                f"of {self.origin} another history of {self.proven_size:,} entries is "
                f"proven: it was closed after {self.size:,}"
            )
        first, last = f"{self.size:,}", f"{self.proven_size - 1:,}"
        which = "entry is" if self.lost == 1 else "entries are"
        span = first if self.lost == 1 else f"{first} to {last}"
        return f"{self.lost:,} {which} lost of {self.origin}: {span}"


@dataclass(slots=True)
class Standing:
    """All that decides who may say the next entry of a log."""

    origin: str = ""
    name: str = ""
    root_version: int = 0
    threshold: int = 0
    log_tenures: list[LogTenure] = field(default_factory=list)  # oldest first
    keys: dict[str, KeyRecord] = field(default_factory=dict)
    tenures: list[Tenure] = field(default_factory=list)
    qualifications: dict[str, frozenset[str]] = field(default_factory=dict)
    erased: set[str] = field(default_factory=set)
    rules: tuple[Rule, ...] = ()
    policy: dict[str, Any] | None = None
    policies: dict[str, dict[str, Any]] = field(default_factory=dict)  # newest by id
    clouded_by: str | None = None
    closed: list[Closed] = field(default_factory=list)  # volumes, oldest first
    affirmations: list[Affirmation] = field(default_factory=list)

    @property
    def volume(self) -> int:
        """The number of the volume that is written now, counted from 1."""
        return len(self.closed) + 1

    @property
    def first_origin(self) -> str:
        """The origin under which the shop was founded."""
        return self.log_tenures[0].origin if self.log_tenures else self.origin

    def closed_as(self, origin: str) -> Closed | None:
        """Return the closed volume of an origin, or None."""
        return next((each for each in self.closed if each.origin == origin), None)

    @property
    def log_key(self) -> PublicKey | None:
        """The log's key of today, or None before the founding."""
        return self.log_tenures[-1].public if self.log_tenures else None

    def log_keys_at(self, size: int) -> list[NoteKey]:
        """Return the keys of which one signs the head of a tree of this size."""
        return [
            NoteKey(tenure.origin, tenure.public)
            for tenure in self.log_tenures
            if tenure.covers(size)
        ]

    def live_keys(self, purpose: str, index: int) -> dict[str, KeyRecord]:
        """Return the keys of one purpose that count in the entry of this index."""
        return {
            key: known
            for key, known in self.keys.items()
            if known.purpose == purpose and known.counts_at(index)
        }

    def person_key(self, subject: str, index: int) -> KeyRecord | None:
        """Return the one live key of a person, or None."""
        live = self.live_keys("person", index).values()
        return next((known for known in live if known.subject == subject), None)

    def disputed_since(self, key: str, index: int) -> int | None:
        """Return since when a key is in dispute, if it is for what it said there."""
        known = self.keys.get(key)
        if known is None or not known.is_disputed_at(index):
            return None
        return known.disputed_since

    def roles_of(self, subject: str | None) -> frozenset[str]:
        """Return the roles that a subject holds now."""
        held = (t for t in self.tenures if t.until_index is None)
        return frozenset(t.role for t in held if t.subject == subject)

    def qualifications_of(self, subject: str | None) -> frozenset[str]:
        """Return the qualifications that a subject holds now."""
        return self.qualifications.get(subject or "", frozenset())

    def is_enrolled(self, subject: str) -> bool:
        """Tell whether a subject ever had a person's key."""
        return any(
            known.purpose == "person" and known.subject == subject
            for known in self.keys.values()
        )


def apply(standing: Standing, index: int, event: Event, signer: str) -> None:
    """Let an entry that was allowed change the standing of those who come after.

    `signer` is the id of the key that signed it.

    Raises TamperError where its members are not those of its kind, so that it cannot
    have been allowed.
    """
    change = CHANGES.get(event["kind"])
    if event["kind"] == AFFIRMED:
        change = partial(_affirm, signer=signer)
    if change is None:
        cloud(standing, str(event["kind"]), index)
        return
    try:
        change(standing, index, event)
    except (
        KeyError,
        IndexError,
        TypeError,
        AttributeError,
        RefusedError,
    ) as fault:
        raise TamperError(
            f"entry {index} does not say what {event['kind']} says ({fault}): run "
            f"flitchbook record audit"
        ) from None


def cloud(standing: Standing, kind: str, index: int) -> None:
    """Remember that a governing entry could not be understood."""
    noun = kind.partition(".")[0]
    if standing.clouded_by is None and noun in GOVERNING_NOUNS:
        standing.clouded_by = f"{kind} at {index}"


def is_governing(kind: str) -> bool:
    """Tell whether an entry of this kind changes or clouds a standing."""
    known = kind in CHANGES or kind == AFFIRMED
    return known or kind.partition(".")[0] in GOVERNING_NOUNS


def _found(standing: Standing, index: int, event: Event) -> None:
    standing.origin = event["origin"]
    standing.name = event["name"]
    standing.root_version = 1
    standing.threshold = event["threshold"]
    public = PublicKey.parse(event["log"]["public"])
    standing.log_tenures = [
        LogTenure(origin=standing.origin, public=public, from_size=1)
    ]
    for root in event["roots"]:
        _add_key(standing, root["public"], "root", None, index)


def _change_roots(standing: Standing, index: int, event: Event) -> None:
    live = standing.live_keys("root", index)
    named = {PublicKey.parse(root["public"]).id: root for root in event["roots"]}
    for key in live.keys() - named.keys():
        _end_key(standing, key, index)
    for key, root in named.items():
        if key not in live:
            _add_key(standing, root["public"], "root", None, index + 1)
    standing.root_version = event["version"]
    standing.threshold = event["threshold"]


def _grant(standing: Standing, index: int, event: Event) -> None:
    standing.tenures.append(
        Tenure(subject=event["subject"], role=event["role"], from_index=index + 1)
    )


def _withdraw(standing: Standing, index: int, event: Event) -> None:
    withdrawn = event["subject"], event["role"]
    for n, tenure in enumerate(standing.tenures):
        same = (tenure.subject, tenure.role) == withdrawn
        if same and tenure.until_index is None:
            standing.tenures[n] = replace(tenure, until_index=index)


def _enrol_person(standing: Standing, index: int, event: Event) -> None:
    _add_key(standing, event["public"], "person", event["subject"], index + 1)


def _replace_key(standing: Standing, index: int, event: Event) -> None:
    old = standing.person_key(event["subject"], index)
    if old is not None:
        _end_key(standing, old.public.id, index)
    _enrol_person(standing, index, event)


def _erase(standing: Standing, index: int, event: Event) -> None:
    standing.erased.add(event["subject"])


def _enrol_shop_key(standing: Standing, index: int, event: Event) -> None:
    _add_key(standing, event["public"], event["purpose"], None, index + 1)


def _retire(standing: Standing, index: int, event: Event) -> None:
    _end_key(standing, event["key"], index)


def _report(standing: Standing, index: int, event: Event) -> None:
    known = standing.keys[event["key"]]
    standing.keys[event["key"]] = replace(known, disputed_since=event["since_index"])
    if known.until_index is None:
        _end_key(standing, event["key"], index)
    _settle(standing)


def _affirm(standing: Standing, index: int, event: Event, signer: str) -> None:
    standing.affirmations.append(
        Affirmation(
            index=index,
            key=event["key"],
            said=event["index"],
            speakers=frozenset((signer, *approvers_of(event))),
        )
    )
    _settle(standing)


def _settle(standing: Standing) -> None:
    """See anew which affirmations count: one may be in dispute itself by now."""
    disputed = {
        key: known.disputed_since
        for key, known in standing.keys.items()
        if known.disputed_since is not None
    }
    settled = affirmed_by(standing.affirmations, disputed)
    for key in disputed:
        affirmed = settled.get(key, frozenset())
        standing.keys[key] = replace(standing.keys[key], affirmed=affirmed)


def _replace_log_key(standing: Standing, index: int, event: Event) -> None:
    """Let the new key sign from the head that holds this entry on.

    It alone makes that head good: were the old key's word enough there, whoever stole
    it could still sign another tree of that size.
    """
    _next_log_key(standing, event["public"], index)


def _go_on(standing: Standing, index: int, event: Event) -> None:
    """Begin the next volume: its own origin and log key, behind all that is here."""
    closed, proven = event["closed"], event["proven"]
    standing.closed.append(
        Closed(
            origin=closed["origin"],
            size=closed["size"],
            proven_size=proven["size"],
            proven_root=proven["root"],
        )
    )
    standing.origin = event["origin"]
    _next_log_key(standing, event["log"]["public"], index)


def _next_log_key(standing: Standing, public: str, index: int) -> None:
    standing.log_tenures[-1] = replace(standing.log_tenures[-1], until_size=index)
    standing.log_tenures.append(
        LogTenure(
            origin=standing.origin,
            public=PublicKey.parse(public),
            from_size=index + 1,
        )
    )


def _adopt(standing: Standing, index: int, event: Event) -> None:
    rules = policy_rules(event["policy"])
    if rules is not None:
        standing.rules = rules
        standing.policy = event["policy"]
        standing.policies[event["policy"]["id"]] = event["policy"]


def _qualify(standing: Standing, index: int, event: Event) -> None:
    held = standing.qualifications_of(event["subject"])
    standing.qualifications[event["subject"]] = held | {event["qualification"]}


def _disqualify(standing: Standing, index: int, event: Event) -> None:
    held = standing.qualifications_of(event["subject"])
    standing.qualifications[event["subject"]] = held - {event["qualification"]}


def _add_key(
    standing: Standing, public: str, purpose: str, subject: str | None, since: int
) -> None:
    key = PublicKey.parse(public)
    standing.keys[key.id] = KeyRecord(
        public=key, purpose=purpose, subject=subject, from_index=since
    )


def _end_key(standing: Standing, key: str, index: int) -> None:
    standing.keys[key] = replace(standing.keys[key], until_index=index)


# The kinds that change a standing, and how.
CHANGES: dict[str, Callable[[Standing, int, Event], None]] = {
    "shop.founded/1": _found,
    "shop.continued/1": _go_on,
    "root.changed/1": _change_roots,
    "role.granted/1": _grant,
    "role.withdrawn/1": _withdraw,
    "person.enrolled/1": _enrol_person,
    "person.key-replaced/1": _replace_key,
    "person.erased/1": _erase,
    "key.enrolled/1": _enrol_shop_key,
    "key.retired/1": _retire,
    "key.compromised/1": _report,
    "log.key-replaced/1": _replace_log_key,
    "policy.adopted/1": _adopt,
    "qualification.granted/1": _qualify,
    "qualification.withdrawn/1": _disqualify,
}
