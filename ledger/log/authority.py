"""Who may say which kind: the format's own table.

Entry i is judged under the standing after i - 1. The first row that fits decides:

| row | kinds                                         | needs                     |
|-----|-----------------------------------------------|---------------------------|
| 0   | shop.founded                                  | approval of every root    |
| 1   | root.* log.* role.*, later shop.*;            | root threshold            |
|     | key.enrolled; any                             |                           |
|     | person.* or key.*, save key.retired, whose    |                           |
|     | subject holds a role; a root's key.* entry.*  |                           |
| 2   | person.enrolled person.key-replaced           | key-administrator, and    |
|     |                                               | the old key or a second   |
| 3   | key.retired                                   | its holder, or as below   |
| 3   | other person.* and key.*                      | key-administrator, second |
| 4   | policy.adopted qualification.* override.*     | lead                      |
|     | certificate.issued certificate.withdrawn      |                           |
| 4   | entry.affirmed entry.recovered clock.doubted  | lead, second; affirming:  |
|     |                                               | a new key of whoever held |
|     |                                               | the disputed one, second  |
| 5   | everything else                               | the policy; none: lead    |

The root threshold satisfies rows 2 to 5 as well. Only approvals count towards it,
never the entry's own signature. Grants and approvals go by subject: nobody grants or
approves for himself. A second, or second yes, comes from a lead, a key-administrator
or a root who is neither the signer nor the subject.

The rows go by noun and verb, whatever the version. A governing kind that is not known
here has to satisfy its row like any other; only then is it open, and with it every
later question of roles.
"""

from collections.abc import Callable, Container
from dataclasses import dataclass
from typing import Any

from ledger.log.approvals import Approved, read_approvals
from ledger.log.entry import Entry, Record
from ledger.log.governing import CHECKS, faults_of, root_publics
from ledger.log.keys import PublicKey
from ledger.log.policy import Rule
from ledger.log.standing import GOVERNING_NOUNS, KeyRecord, Standing

LEAD = "lead"
KEY_ADMINISTRATOR = "key-administrator"
LEAD_ALONE = frozenset(
    {"policy.adopted", "certificate.issued", "certificate.withdrawn"}
)
LEAD_AND_SECOND = frozenset({"entry.recovered", "clock.doubted"})
# What leads from the founding to the roots, and to the log's key, of today.
FOUNDED, CONTINUED = "shop.founded/1", "shop.continued/1"
LINEAGE = frozenset({FOUNDED, CONTINUED, "root.changed/1", "log.key-replaced/1"})
# More qualifications than these are no help in one sentence.
MOST_NAMED = 3
FOR_THE_LEAD = Rule(
    kinds=(), roles=frozenset({LEAD}), qualifications=frozenset(), approvals=0
)


@dataclass(frozen=True, slots=True)
class Judgement:
    """Whether an entry may stand: allowed, or why not, or why that is open."""

    reasons: tuple[str, ...] = ()
    is_open: bool = False

    def __bool__(self) -> bool:
        return not self.reasons


ALLOWED = Judgement()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    """One entry before the table: who signed it, who approved it, for whom."""

    standing: Standing
    entry: Entry
    name: str
    signer: KeyRecord
    approved: Approved
    subject: str | None

    @property
    def event(self) -> dict[str, Any]:
        return self.entry.event

    @property
    def signer_roles(self) -> frozenset[str]:
        return self.standing.roles_of(self.signer.subject)

    def root_yes(self) -> int:
        """Count the live roots that approved."""
        live = self.standing.live_keys("root", self.entry.index)
        return len(self.approved.by & live.keys())

    def second_yes(self) -> int:
        """Count the others who may approve and did, each subject once."""
        # What names keys of its own is for the roots: all that approved are known here.
        approvers = [self.standing.keys[key] for key in self.approved.by]
        return len({self._second(known) for known in approvers} - {None})

    def _second(self, known: KeyRecord) -> str | None:
        """Return as whom the holder of a key says the second yes, or None."""
        if known.purpose == "root":
            return known.public.id
        is_other = known.subject not in (self.signer.subject, self.subject)
        may_approve = is_other and self.standing.roles_of(known.subject)
        return known.subject if may_approve else None


def judge(
    standing: Standing,
    record: Record,
    *,
    used_once: Container[str] = frozenset(),
    with_signature: bool = True,
) -> Judgement:
    """Tell whether a record may stand after those that made the standing.

    `used_once` holds the `once` of every approval so far. The signature is left out
    only by a reader who checks it elsewhere.
    """
    entry = record.entry
    if entry.index == 0 and entry.kind != FOUNDED:
        return Judgement(("a log begins with the founding of a shop",))
    origin = _origin_of(standing, entry)
    if entry.origin != origin:
        return Judgement((f"its origin is {entry.origin}, not {origin}",))
    if standing.clouded_by:
        return _judge_under_cloud(standing, record, with_signature)
    if entry.kind in CHECKS:
        faults = faults_of(standing, entry.index, entry.event)
        if faults:
            return Judgement(faults)
    return _judge_signer(standing, record, used_once, with_signature)


def judge_lineage(standing: Standing, record: Record) -> Judgement:
    """Judge a founding or a change of its keys for somebody who has no other entries.

    The founding is judged whole. A change of the roots, or of the log's key, may be
    signed by anybody in the shop, and its approvals are what counts: the threshold of
    the roots, and of those that follow them.
    """
    entry = record.entry
    if entry.index == 0:
        return judge(standing, record)
    if entry.kind not in LINEAGE or entry.origin != _origin_of(standing, entry):
        return Judgement((f"{entry.kind} at {entry.index} changes no roots here",))
    faults = faults_of(standing, entry.index, entry.event)
    approved = _approved(standing, entry)
    if faults or approved.faults:
        return Judgement(faults or approved.faults)
    return _root_threshold(standing, entry, approved)


def needs_sentence(standing: Standing, kind_name: str) -> str:
    """Say in words what a kind of row 5 asks of its signer."""
    rule = _rule_for(standing, kind_name)
    wanted = [f"the role {role}" for role in sorted(rule.roles)]
    if len(rule.qualifications) > MOST_NAMED:
        count = len(rule.qualifications)
        wanted.append(
            f"one of {count} qualifications that flitchbook shop policy shows"
        )
    else:
        wanted += [f"the qualification {name}" for name in sorted(rule.qualifications)]
    return " or ".join(wanted)


def _judge_under_cloud(
    standing: Standing, record: Record, with_signature: bool
) -> Judgement:
    """Leave open who may say it, but not whether a key that is known has said it."""
    signer = standing.keys.get(record.entry.key)
    if signer is not None and with_signature and not record.is_signed_by(signer.public):
        return _unsigned(record.entry)
    return _open(f"{standing.clouded_by} is not understood, so roles are not known")


def _judge_signer(
    standing: Standing, record: Record, used_once: Container[str], with_signature: bool
) -> Judgement:
    entry = record.entry
    signer = _signer(standing, entry)
    if signer is None or signer.purpose not in ("root", "person"):
        return Judgement((f"key {entry.key} may sign no entry here",))
    if not signer.counts_at(entry.index):
        return Judgement((f"key {entry.key} does not count at {entry.index}",))
    if with_signature and not record.is_signed_by(signer.public):
        return _unsigned(entry)
    approved = _approved(standing, entry)
    if approved.faults:
        return Judgement(approved.faults)
    if approved.once is not None and approved.once in used_once:
        return Judgement(("its approvals were used before",))
    case = _Case(
        standing=standing,
        entry=entry,
        name=entry.kind.partition("/")[0],
        signer=signer,
        approved=approved,
        subject=_subject_of(standing, entry.event),
    )
    judgement = _by_table(case)
    noun = case.name.partition(".")[0]
    if judgement and noun in GOVERNING_NOUNS and entry.kind not in CHECKS:
        # Nobody without the right to say it leaves the roles of others in doubt.
        return _open(f"the kind {entry.kind} is not known here")
    return judgement


def _by_table(case: _Case) -> Judgement:
    if case.entry.index == 0:
        return _needs_every_root(case)
    if _is_for_roots(case):
        return _needs_root_threshold(case)
    if case.root_yes() >= case.standing.threshold:
        return ALLOWED
    if case.name.startswith("qualification.") and case.subject == case.signer.subject:
        return Judgement(("nobody qualifies himself",))
    return _row_for(case.name)(case)


def _row_for(name: str) -> Callable[[_Case], Judgement]:
    noun = name.partition(".")[0]
    if name == "person.key-replaced":
        return _needs_old_key_or_second
    if name == "key.retired":
        return _needs_holder_or_second
    if noun in ("person", "key"):
        return _needs_administrator_and_second
    if name == "entry.affirmed":
        return _needs_new_key_or_lead
    if name in LEAD_AND_SECOND:
        return _needs_lead_and_second
    if name in LEAD_ALONE or noun in ("qualification", "override"):
        return _needs_lead
    return _needs_policy


def _is_for_roots(case: _Case) -> bool:
    noun = case.name.partition(".")[0]
    named = case.standing.keys.get(str(case.event.get("key")))
    if noun in ("key", "entry") and named is not None and named.purpose == "root":
        return True
    if noun in ("shop", "root", "log", "role") or case.name == "key.enrolled":
        return True
    if noun not in ("person", "key") or case.name == "key.retired":
        return False
    return bool(case.standing.roles_of(case.subject))


def _needs_every_root(case: _Case) -> Judgement:
    # That one of them signed it was seen where the signer was found.
    roots = root_publics(case.event).keys()
    if case.approved.by != roots:
        return Judgement(
            (f"{len(case.approved.by)} of {len(roots)} roots approved the founding",)
        )
    return ALLOWED


def _needs_root_threshold(case: _Case) -> Judgement:
    return _root_threshold(case.standing, case.entry, case.approved)


def _root_threshold(standing: Standing, entry: Entry, approved: Approved) -> Judgement:
    yes = len(approved.by & standing.live_keys("root", entry.index).keys())
    if yes < standing.threshold:
        reason = (
            f"approved by {yes} of {standing.threshold} roots: bring another stick, "
            f"and name its key with --root"
        )
        return Judgement((reason,))
    if entry.kind == "root.changed/1":
        new = len(approved.by & root_publics(entry.event).keys())
        wanted = entry.event["threshold"]
        if new < wanted:
            return Judgement((f"approved by {new} of {wanted} of the new roots",))
    return ALLOWED


def _needs_old_key_or_second(case: _Case) -> Judgement:
    old = case.standing.person_key(str(case.subject), case.entry.index)
    if old is not None and old.public.id in case.approved.by:
        return _needs_role(case, KEY_ADMINISTRATOR)
    return _needs_administrator_and_second(case)


def _needs_holder_or_second(case: _Case) -> Judgement:
    if case.event.get("key") == case.signer.public.id:
        return ALLOWED
    return _needs_administrator_and_second(case)


def _needs_administrator_and_second(case: _Case) -> Judgement:
    return _needs_role(case, KEY_ADMINISTRATOR) and _needs_second(case, 1)


def _needs_new_key_or_lead(case: _Case) -> Judgement:
    """Let whoever held the key named in `key` affirm it with a newer one."""
    old = case.standing.keys.get(str(case.event.get("key")))
    mine = old is not None and old.subject == case.signer.subject is not None
    if mine and case.event["key"] != case.signer.public.id:
        return _needs_second(case, 1)
    return _needs_lead_and_second(case)


def _needs_lead_and_second(case: _Case) -> Judgement:
    return _needs_lead(case) and _needs_second(case, 1)


def _needs_lead(case: _Case) -> Judgement:
    return _needs_role(case, LEAD)


def _needs_role(case: _Case, role: str) -> Judgement:
    if role in case.signer_roles:
        return ALLOWED
    return Judgement((f"{case.name} is for a {role}",))


def _needs_second(case: _Case, wanted: int) -> Judgement:
    if case.second_yes() >= wanted:
        return ALLOWED
    return Judgement(
        (
            f"approved by {case.second_yes()} of {wanted} others who may approve: ask "
            f"a lead or a key-administrator to say yes too and name them with "
            f"--approve, or bring the root keys with --root",
        )
    )


def _needs_policy(case: _Case) -> Judgement:
    rule = _rule_for(case.standing, case.name)
    held = case.standing.qualifications_of(case.signer.subject)
    if not (rule.roles & case.signer_roles or rule.qualifications & held):
        wanted = needs_sentence(case.standing, case.name)
        return Judgement((f"{case.name} needs {wanted}",))
    return _needs_second(case, rule.approvals)


def _rule_for(standing: Standing, name: str) -> Rule:
    return next((r for r in standing.rules if r.names(name)), FOR_THE_LEAD)


def _signer(standing: Standing, entry: Entry) -> KeyRecord | None:
    if entry.index == 0:
        public = root_publics(entry.event).get(entry.key)
        if public is None:
            return None
        return KeyRecord(public=public, purpose="root", subject=None, from_index=0)
    return standing.keys.get(entry.key)


def _approved(standing: Standing, entry: Entry) -> Approved:
    publics: dict[str, PublicKey] = {
        key: known.public
        for key, known in standing.keys.items()
        if known.counts_at(entry.index) and known.purpose in ("root", "person")
    }
    if entry.kind in (FOUNDED, "root.changed/1"):
        publics |= root_publics(entry.event)
    return read_approvals(
        entry.event,
        origin=str(_origin_of(standing, entry)),
        root_version=standing.root_version or 1,
        publics=publics,
    )


def _origin_of(standing: Standing, entry: Entry) -> object:
    """Return the origin of the volume that an entry belongs to, or begins."""
    if entry.kind in (FOUNDED, CONTINUED):
        return entry.event.get("origin")
    return standing.origin


def _subject_of(standing: Standing, event: dict[str, Any]) -> str | None:
    if event["kind"].startswith("key.") and "key" in event:
        known = standing.keys.get(str(event["key"]))
        return known.subject if known else None
    subject = event.get("subject")
    return subject if isinstance(subject, str) else None


def _unsigned(entry: Entry) -> Judgement:
    return Judgement((f"the signature is not by key {entry.key}",))


def _open(reason: str) -> Judgement:
    return Judgement((reason,), is_open=True)
