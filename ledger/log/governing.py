"""What each governing event must say, judged against the standing before it.

Every check returns the faults it finds, as sentences; none means that the event is
well formed and fits. Whether its signer may say it is judged in `authority`.
"""

import hashlib
import re
from collections.abc import Callable, Sequence
from typing import Any

from ledger.errors import RefusedError
from ledger.log.keys import (
    PublicKey,
    hex_bytes,
    possession_statement,
    signature_bytes,
)
from ledger.log.policy import NAME, POLICY_FORMAT, policy_fault
from ledger.log.standing import ROLES, Standing

# What may stand beside the members of every kind.
BESIDE = frozenset({"kind", "happened_at", "station", "reason_commitment", "approvals"})
# How a key is shown.
KEY_SHOWN = frozenset({"public", "possession"})
# A log's name as C2SP signed-note allows it: no Unicode space and no plus sign.
ORIGIN = re.compile(r"[^\s+]+\Z")

Event = dict[str, Any]
Faults = tuple[str, ...]


def faults_of(standing: Standing, index: int, event: Event) -> Faults:
    """Return what is wrong with a governing event, given the standing before it."""
    wanted, check = CHECKS[event["kind"]]
    missing = sorted(wanted - set(event))
    if missing:
        return (f"it lacks {', '.join(missing)}",)
    extra = sorted(set(event) - wanted - BESIDE)
    if extra:
        return (f"it has no place for {', '.join(extra)}",)
    return check(standing, index, event)


def founding_origin(roots: Sequence[PublicKey]) -> str:
    """Return the origin of a log whose shop has no domain: made of its root keys."""
    joined = b"".join(sorted(public.raw for public in roots))
    return "ledger-" + hashlib.sha256(joined).hexdigest()[:16]


def root_publics(event: Event) -> dict[str, PublicKey]:
    """Return the root keys that a founding or a root change names, as far as sound."""
    publics = {}
    for root in event["roots"] if isinstance(event.get("roots"), list) else []:
        try:
            public = PublicKey.parse(root["public"])
        except (RefusedError, TypeError, KeyError):
            continue
        publics[public.id] = public
    return publics


def _check_founding(standing: Standing, index: int, event: Event) -> Faults:
    if index != 0 or standing.root_version:
        return ("a shop is founded in entry 0 and there only",)
    origin = event["origin"]
    texts = (origin, event["name"], event["unicode"])
    if not all(isinstance(text, str) and text for text in texts):
        return ("the founding names the shop, its log's origin and Unicode's version",)
    if ORIGIN.match(origin) is None:
        return (f"the origin {origin!r} has a space or a plus sign",)
    faults = _roots_faults(event, origin)
    faults += _possession_faults(event["log"], origin, "log")
    if faults:
        return faults
    publics = root_publics(event)
    if event["log"]["public"] in [str(public) for public in publics.values()]:
        return ("the log's key is one of the roots",)
    made = founding_origin(list(publics.values()))
    if origin.startswith("ledger-") and origin != made:
        return (f"the origin {origin} does not come from these roots: {made} would",)
    return ()


def _check_continuing(standing: Standing, index: int, event: Event) -> Faults:
    closed, proven = event["closed"], event["proven"]
    if index == 0 or event["number"] != standing.volume + 1:
        return (
            f"volume {event['number']} cannot follow volume {standing.volume} of "
            f"{standing.origin}",
        )
    if event["origin"] != volume_origin(standing):
        return (f"the origin of this volume is {volume_origin(standing)}",)
    if not _is_head(closed, standing.origin) or len(closed["root"]) != 2 * 32:
        return (f"a volume says origin, size and root of {standing.origin}, closed",)
    if closed["size"] != index:
        return (f"{closed['size']} entries are closed, and {index} stand before it",)
    if not _is_head(proven, standing.origin):
        return ("a volume says which head of the older one is proven",)
    is_older = proven["size"] <= closed["size"]
    if is_older and closed["root"].startswith(proven["root"]):
        return ("nothing is lost: the older volume holds all that is proven",)
    faults = _possession_faults(event["log"], event["origin"], "log")
    return faults or _seen(standing, PublicKey.parse(event["log"]["public"]))


def volume_origin(standing: Standing) -> str:
    """Return the origin of the volume that follows: the first one's, and its number."""
    return f"{standing.first_origin}/v{standing.volume + 1}"


def _is_head(said: object, origin: str) -> bool:
    """Tell whether a member says a head of a log; words typed give ten bytes of it."""
    if not isinstance(said, dict) or set(said) != {"origin", "size", "root"}:
        return False
    size, root = said["size"], said["root"]
    if said["origin"] != origin or type(size) is not int or size < 1:
        return False
    return (hex_bytes(root, 32) or hex_bytes(root, 10)) is not None


def _check_root_change(standing: Standing, index: int, event: Event) -> Faults:
    if event["version"] != standing.root_version + 1:
        return (
            f"version {event['version']} of the roots cannot follow version "
            f"{standing.root_version}",
        )
    faults = _roots_faults(event, standing.origin)
    live = standing.live_keys("root", index)
    added = [public for key, public in root_publics(event).items() if key not in live]
    return faults + tuple(f for public in added for f in _seen(standing, public))


def _check_role(standing: Standing, index: int, event: Event) -> Faults:
    if event["role"] not in ROLES:
        return (f"{event['role']!r} is no role: {' or '.join(ROLES)}",)
    if not standing.is_enrolled(event["subject"]):
        return ("a role is for somebody who is enrolled",)
    held = event["role"] in standing.roles_of(event["subject"])
    granting = event["kind"].startswith("role.granted")
    if granting and _is_gone(standing, index, event["subject"]):
        return ("a role is for somebody with a live key whose name is not erased",)
    if granting and held:
        return (f"the role {event['role']} is held already",)
    if not granting and not held:
        return (f"the role {event['role']} is not held",)
    return ()


def _check_enrolment(standing: Standing, index: int, event: Event) -> Faults:
    faults = _subject_faults(event)
    if not isinstance(event["badge"], str) or not event["badge"]:
        faults += ("a person has a badge, as text such as 01",)
    if hex_bytes(event["name_commitment"], 32) is None:
        faults += ("the commitment of the name is 64 hex digits",)
    if not faults and standing.is_enrolled(event["subject"]):
        faults = ("this person is enrolled already",)
    return faults + _new_key_faults(standing, event, "person")


def _check_replacement(standing: Standing, index: int, event: Event) -> Faults:
    faults = _subject_faults(event)
    if not faults and not standing.is_enrolled(event["subject"]):
        faults = ("only somebody who is enrolled can have a key replaced",)
    return faults + _new_key_faults(standing, event, "person")


def _check_erasure(standing: Standing, index: int, event: Event) -> Faults:
    faults = _subject_faults(event)
    if not faults and event["subject"] in standing.erased:
        faults = ("this person's particulars are erased already",)
    return faults


def _check_shop_key(standing: Standing, index: int, event: Event) -> Faults:
    if event["purpose"] not in ("card", "pdf"):
        return (f"no key is enrolled for the purpose {event['purpose']!r} this way",)
    return _new_key_faults(standing, event, event["purpose"])


def _check_retirement(standing: Standing, index: int, event: Event) -> Faults:
    known = standing.keys.get(event["key"]) if type(event["key"]) is str else None
    if known is None:
        return (f"there is no key {event['key']}",)
    if known.purpose not in ("person", "card", "pdf"):
        return (f"a key of purpose {known.purpose} is not retired but changed",)
    if not known.counts_at(index):
        return (f"key {event['key']} has ended already",)
    return ()


def _check_report(standing: Standing, index: int, event: Event) -> Faults:
    known = standing.keys.get(event["key"]) if type(event["key"]) is str else None
    since = event["since_index"]
    if known is None:
        return (_no_key_to_report(standing, event["key"]),)
    if known.purpose == "root" and known.until_index is None:
        return (
            f"root {event['key']} is not reported but changed: flitchbook shop "
            f"change-roots; once it is, report what it approved before",
        )
    if type(since) is not int or since < known.from_index:
        return (
            f"key {event['key']} counted from entry {known.from_index}, and cannot be "
            f"in dispute since {since}",
        )
    last = index if known.until_index is None else known.until_index
    if since > last:
        return (
            f"key {event['key']} says nothing after entry {last}, and cannot be in "
            f"dispute since {since}",
        )
    if known.disputed_since is not None and since >= known.disputed_since:
        return (
            f"key {event['key']} is disputed since entry {known.disputed_since} "
            f"already: another report may only name an earlier one",
        )
    return ()


def _no_key_to_report(standing: Standing, key: object) -> str:
    if key in [tenure.public.id for tenure in standing.log_tenures]:
        return (
            f"the log's key {key} is not reported but replaced: flitchbook shop "
            f"replace-log-key"
        )
    return f"there is no key {key}"


def _check_affirmation(standing: Standing, index: int, event: Event) -> Faults:
    known = standing.keys.get(event["key"]) if type(event["key"]) is str else None
    said = event["index"]
    if known is None or known.purpose not in ("person", "root"):
        return (f"there is no key {event['key']} of a person, and no root",)
    if hex_bytes(event["leaf"], 32) is None:
        return ("an affirmed entry is named by its leaf hash, 64 hex digits",)
    if type(said) is not int or not 0 <= said < index:
        return (f"there is no entry {said} before {index} to be affirmed",)
    if not known.counts_at(said):
        return (f"key {event['key']} did not count at entry {said}",)
    if said in known.affirmed:
        return (f"entry {said} is affirmed already",)
    if not known.is_disputed_at(said):
        return (f"what key {event['key']} said in entry {said} is not disputed",)
    return ()


def _check_log_key(standing: Standing, index: int, event: Event) -> Faults:
    return _new_key_faults(standing, event, "log")


def _check_policy(standing: Standing, index: int, event: Event) -> Faults:
    policy: Any = event["policy"]
    fault = policy_fault(policy)
    if fault:
        return (fault,)
    if policy["format"] != POLICY_FORMAT:
        return ()
    newest = standing.policies.get(policy["id"], policy)
    if newest != policy and policy["version"] <= newest["version"]:
        return (
            f"version {policy['version']} of the policy {policy['id']} cannot follow "
            f"version {newest['version']}: count on from there",
        )
    return ()


def _check_qualification(standing: Standing, index: int, event: Event) -> Faults:
    name = event["qualification"]
    if not isinstance(name, str) or NAME.match(name) is None:
        return (f"{name!r} is no qualification such as receive",)
    if not standing.is_enrolled(event["subject"]):
        return ("a qualification is for somebody who is enrolled",)
    held = name in standing.qualifications_of(event["subject"])
    granting = event["kind"].startswith("qualification.granted")
    if granting and _is_gone(standing, index, event["subject"]):
        return ("a qualification is for somebody with a live key, not erased",)
    if granting and held:
        return (f"the qualification {name} is held already",)
    if not granting and not held:
        return (f"the qualification {name} is not held",)
    return ()


def _is_gone(standing: Standing, index: int, subject: str) -> bool:
    is_erased = subject in standing.erased
    return is_erased or standing.person_key(subject, index) is None


def _roots_faults(event: Event, origin: str) -> Faults:
    roots = event["roots"]
    if not isinstance(roots, list) or not roots:
        return ("there is at least one root key",)
    faults = tuple(
        f for root in roots for f in _possession_faults(root, origin, "root")
    )
    if faults:
        return faults
    if len(root_publics(event)) != len(roots):
        return ("a root key is named twice",)
    threshold = event["threshold"]
    if type(threshold) is not int or not 1 <= threshold <= len(roots):
        return (f"a threshold of {threshold} does not fit {len(roots)} root keys",)
    return ()


def _new_key_faults(standing: Standing, event: Event, purpose: str) -> Faults:
    shown = {"public": event["public"], "possession": event["possession"]}
    faults = _possession_faults(shown, standing.origin, purpose)
    return faults or _seen(standing, PublicKey.parse(event["public"]))


def _seen(standing: Standing, public: PublicKey) -> Faults:
    of_log = {tenure.public.id for tenure in standing.log_tenures}
    if public.id in standing.keys or public.id in of_log:
        return (f"key {public.id} was enrolled before and cannot be again",)
    return ()


def _possession_faults(shown: object, origin: str, purpose: str) -> Faults:
    if not isinstance(shown, dict) or set(shown) != KEY_SHOWN:
        return ("a key is shown by its public half and a possession",)
    try:
        public = PublicKey.parse(shown["public"])
    except RefusedError as refusal:
        return (str(refusal),)
    statement = possession_statement(origin=origin, public=public, purpose=purpose)
    signature = signature_bytes(shown["possession"])
    if signature is None or not public.has_signed(statement, signature):
        return (f"key {public.id} is shown without possession for purpose {purpose}",)
    return ()


def _subject_faults(event: Event) -> Faults:
    sound = hex_bytes(event["subject"], 16) is not None
    return () if sound else ("a subject is 32 hex digits",)


Check = Callable[[Standing, int, Event], Faults]
CHECKS: dict[str, tuple[frozenset[str], Check]] = {
    "shop.founded/1": (
        frozenset({"name", "origin", "unicode", "roots", "threshold", "log"}),
        _check_founding,
    ),
    "shop.continued/1": (
        frozenset({"origin", "number", "log", "closed", "proven"}),
        _check_continuing,
    ),
    "root.changed/1": (
        frozenset({"version", "roots", "threshold"}),
        _check_root_change,
    ),
    "role.granted/1": (frozenset({"subject", "role"}), _check_role),
    "role.withdrawn/1": (frozenset({"subject", "role"}), _check_role),
    "person.enrolled/1": (
        KEY_SHOWN | {"subject", "badge", "name_commitment"},
        _check_enrolment,
    ),
    "person.key-replaced/1": (KEY_SHOWN | {"subject"}, _check_replacement),
    "person.erased/1": (frozenset({"subject"}), _check_erasure),
    "key.enrolled/1": (KEY_SHOWN | {"purpose"}, _check_shop_key),
    "key.retired/1": (frozenset({"key"}), _check_retirement),
    "key.compromised/1": (frozenset({"key", "since_index"}), _check_report),
    "entry.affirmed/1": (frozenset({"index", "leaf", "key"}), _check_affirmation),
    "log.key-replaced/1": (KEY_SHOWN, _check_log_key),
    "policy.adopted/1": (frozenset({"policy"}), _check_policy),
    "qualification.granted/1": (
        frozenset({"subject", "qualification"}),
        _check_qualification,
    ),
    "qualification.withdrawn/1": (
        frozenset({"subject", "qualification"}),
        _check_qualification,
    ),
}
