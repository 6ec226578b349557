"""What governing entries must say: foundings, root changes, people, keys, policies."""

from collections.abc import Callable, Sequence
from typing import Any

import pytest

from ledger.log import governing
from ledger.log.authority import judge, judge_lineage
from ledger.log.keys import PublicKey
from ledger.log.standing import Standing
from tests.ledger.log.governing_faults import (
    FOUNDING_FAULTS,
    STAFF_FAULTS,
)
from tests.ledger.log.governing_sound import SOUND, worn_shop
from tests.ledger.log.workshop import (
    ORIGIN,
    ROOTS,
    Event,
    Workshop,
    adopted,
    affirmed,
    enrolled,
    erased,
    founded,
    key_enrolled,
    log_key_replaced,
    newly_founded,
    plain,
    qualified,
    replaced,
    reported,
    retired,
    role,
    roots_changed,
    rule,
    secret,
    shown,
    staffed,
)


def test_a_log_begins_with_a_founding_and_has_one() -> None:
    """Entry 0 founds the shop, and no later entry does so again."""
    first = Workshop().record(plain("lot.received/1", origin="shop.example"), by="lead")
    again = staffed().judged(founded(), by="root-1", yes=ROOTS)

    assert "begins with the founding" in judge(Workshop().standing, first).reasons[0]
    assert "in entry 0 and there only" in again.reasons[0]


@pytest.mark.parametrize("missing", ROOTS)
def test_every_root_must_approve_the_founding(missing: str) -> None:
    """Possession binds neither threshold nor companions, so each root says yes."""
    yes = [name for name in ROOTS if name != missing]
    judgement = Workshop().judged(founded(), by="root-1", yes=yes)

    assert judgement.reasons == ("2 of 3 roots approved the founding",)


def test_a_shop_is_founded_by_one_of_its_roots() -> None:
    """A stranger, or the log's own key, cannot sign the founding."""
    for by in ("stranger", "log"):
        judgement = Workshop().judged(founded(), by=by, yes=ROOTS)
        assert "may sign no entry here" in judgement.reasons[0]


def test_the_founding_entry_lies_in_the_log_that_it_founds() -> None:
    """The entry's origin and the origin it founds are one."""
    shop = Workshop()
    event = shop.approved(founded(), ROOTS)
    record = shop.record(event, by="root-1", origin="shop.example/log")

    assert "its origin is shop.example/log" in judge(shop.standing, record).reasons[0]


def test_root_changes_follow_the_published_cases(
    standards: Callable[[str], Any],
) -> None:
    """Each change of keys and threshold is taken or refused as in a known framework.

    There the first version needs only its threshold; here a founding needs all.
    """
    known = standards("role_rotation_cases.json")
    cases = known["tuf_cases"] + known["added_cases"][:1]

    assert [rotation_verdicts(case["versions"]) for case in cases] == [
        [version["accept"] for version in case["versions"]] for case in cases
    ]


def rotation_verdicts(versions: Sequence[dict[str, Any]]) -> list[bool]:
    """Found a shop with the first version, and try to change to each that follows."""
    names = [[f"root-{key}" for key in version["keys"]] for version in versions]
    shop = newly_founded(names[0], versions[0]["threshold"])
    verdicts, by = [True], names[0][0]
    for number, (roots, version) in enumerate(
        zip(names[1:], versions[1:], strict=True), start=2
    ):
        event = roots_changed(roots, version["threshold"], number, shop.standing.origin)
        yes = [f"root-{key}" for key in version["signed_by"]]
        event = shop.approved(event, yes)
        event["approvals"]["by"] += event["approvals"]["by"][: len(yes) - len({*yes})]
        record = shop.record(event, by=by)
        verdicts.append(bool(judge(shop.standing, record, used_once=shop.used_once)))
        if verdicts[-1]:
            shop.append(record)
            by = roots[0]
    return verdicts


@pytest.mark.parametrize("version", [0, 1, 3])
def test_root_versions_step_by_one(version: int) -> None:
    """A version that is skipped, repeated or gone back to is refused."""
    event = roots_changed(("root-1", "root-2"), 2, version)
    judgement = newly_founded().judged(event, by="root-1", yes=ROOTS)

    assert f"version {version} of the roots cannot follow" in judgement.reasons[0]


def test_a_root_that_left_neither_signs_nor_counts_nor_returns() -> None:
    """After the change the third root is nobody, and can never be a root again."""
    shop = newly_founded()
    shop.says(
        roots_changed(("root-1", "root-2", "root-4"), 2, 2), by="root-3", yes=ROOTS[:2]
    )
    back = roots_changed(ROOTS, 2, 3)

    assert shop.judged(enrolled("lead"), by="root-4", yes=("root-1", "root-4"))
    assert "1 of 2" not in shop.judged(enrolled("lead"), by="root-1").reasons[0]
    assert not shop.judged(enrolled("lead"), by="root-1", yes=("root-1", "root-3"))
    assert not shop.judged(enrolled("lead"), by="root-3", yes=("root-1", "root-2"))
    assert (
        "cannot be again"
        in (shop.judged(back, by="root-1", yes=("root-1", "root-2")).reasons[0])
    )


@pytest.mark.parametrize(("event", "why_not"), FOUNDING_FAULTS)
def test_a_faulty_founding_says_what_is_wrong(event: Event, why_not: str) -> None:
    """Keys, possessions, threshold, names and origin are all judged in entry 0."""
    shop = Workshop()
    judgement = shop.judged(event, by="root-1", yes=ROOTS)

    assert why_not in judgement.reasons[0]


@pytest.mark.parametrize("origin", ["shop example", "shop+example", "shop\n"])
def test_an_origin_has_no_space_and_no_plus_sign(origin: str) -> None:
    """As the name of a note's signer, whatever log the entry itself is of."""
    event = founded() | {"origin": origin}
    (fault,) = governing.faults_of(Standing(), 0, event)

    assert "has a space or a plus sign" in fault


def test_an_origin_made_of_keys_must_be_made_of_these_roots() -> None:
    """A shop without a domain is named by its first roots, and cannot take a name."""
    other = governing.founding_origin([secret("root-1").public])
    event = founded() | {
        "log": shown("log", "log", other),
        "origin": other,
        "roots": [shown(name, "root", other) for name in ROOTS],
    }
    judgement = Workshop().judged(event, by="root-1", yes=ROOTS)

    assert f"does not come from these roots: {ORIGIN} would" in judgement.reasons[0]


def test_a_shop_with_a_domain_is_named_by_it() -> None:
    """An origin that is a domain and a path says nothing of the keys."""
    origin = "shop.example/log"
    event = founded() | {
        "log": shown("log", "log", origin),
        "origin": origin,
        "roots": [shown(name, "root", origin) for name in ROOTS],
    }

    assert Workshop().judged(event, by="root-1", yes=ROOTS)


def test_the_origin_is_over_the_sorted_keys() -> None:
    """The order in which roots are named does not change the log's name."""
    publics = [secret(name).public for name in ROOTS]

    assert governing.founding_origin(publics[::-1]) == ORIGIN
    assert ORIGIN.removeprefix("ledger-").isalnum() and len(ORIGIN) == 23


@pytest.fixture(scope="module")
def peopled() -> Workshop:
    """Give a staffed shop: one left, one is erased, one was robbed; and a card key."""
    shop = staffed()
    both = ("root-1", "root-2")
    shop.says(key_enrolled("card", "card"), by="lead", yes=both)
    for who in ("retired", "gone"):
        shop.says(enrolled(who), by="root-1", yes=both)
    shop.says(retired("retired"), by="retired")
    shop.says(enrolled("robbed"), by="root-1", yes=both)
    shop.says(erased("gone"), by="lead", yes=both)
    shop.says(plain("lot.seen/1"), by="lead")
    shop.says(reported("robbed", 16), by="office", yes=("lead",))
    shop.says(affirmed("robbed", 17), by="lead", yes=("office",))
    shop.says(log_key_replaced("log-new-already"), by="lead", yes=both)
    return shop


@pytest.mark.parametrize(("event", "why_not"), STAFF_FAULTS)
def test_a_faulty_governing_entry_is_refused_though_all_approve(
    peopled: Workshop, event: Event, why_not: str
) -> None:
    """What does not fit the standing is refused even by the root threshold."""
    judgement = peopled.judged(event, by="lead", yes=ROOTS)

    assert why_not in judgement.reasons[0]


@pytest.mark.parametrize("kind", sorted(governing.CHECKS))
def test_each_governing_kind_names_all_that_it_lacks(kind: str) -> None:
    """An event that says nothing but its kind is refused by its missing members."""
    wanted, _ = governing.CHECKS[kind]
    lacking = ", ".join(sorted(wanted))
    faults = governing.faults_of(staffed().standing, 11, plain(kind))

    assert faults == (f"it lacks {lacking}",)


@pytest.mark.parametrize("kind", sorted(governing.CHECKS))
@pytest.mark.parametrize("value", [None, True, 7, "", "x", [], [7], {}, {"a": [7]}])
def test_a_member_of_the_wrong_type_is_a_fault_and_no_crash(
    peopled: Workshop, kind: str, value: object
) -> None:
    """Whatever stands where a text or a key belongs, the check answers."""
    wanted, _ = governing.CHECKS[kind]
    event = plain(kind, **dict.fromkeys(wanted, value))

    assert governing.faults_of(peopled.standing, len(peopled.records), event)


def test_a_key_whose_id_is_all_digits_is_not_named_by_a_number() -> None:
    """An id of sixteen decimal digits is text; the number of the same digits is not."""
    number, public = numeral_key()
    shop = staffed()
    known = shop.standing.keys[secret("builder").id]
    shop.standing.keys[public.id] = type(known)(
        public=public, purpose="person", subject="ab" * 16, from_index=1
    )
    event = plain("key.retired/1", key=number)

    assert public.id == str(number)
    assert "there is no key" in shop.judged(event, by="lead", yes=ROOTS).reasons[0]


def numeral_key() -> tuple[int, PublicKey]:
    """Return a number that can be written, and the public key whose id it spells."""
    for n in range(10**6):
        public = PublicKey(n.to_bytes(32, "big"))
        if public.id.isdecimal() and 10**15 <= int(public.id) < 2**53:
            return int(public.id), public
    raise AssertionError("one key in some three thousand has such an id")


def test_a_founding_is_entry_0_of_a_log_that_has_none() -> None:
    """Nor a second one, whatever index it is given."""
    assert governing.faults_of(Standing(), 0, founded()) == ()
    for standing, index in ((Standing(), 1), (Standing(), 7), (staffed().standing, 0)):
        faults = governing.faults_of(standing, index, founded())
        assert faults == ("a shop is founded in entry 0 and there only",)


def test_a_root_that_is_none_hides_no_other() -> None:
    """Of a list of roots the sound ones are known, wherever they stand."""
    sound = [shown(name, "root") for name in ("root-1", "root-2")]
    odd = [7, {}, {"public": "x"}, None]

    assert set(governing.root_publics({"roots": [*odd, sound[0], *odd, sound[1]]})) == {
        secret("root-1").id,
        secret("root-2").id,
    }
    assert governing.root_publics({"roots": odd}) == {}
    assert governing.root_publics({"roots": "root"}) == governing.root_publics({}) == {}


def test_a_policy_counts_its_versions_on() -> None:
    """An old text cannot be put in the place of the newest again."""
    shop = staffed()
    texts = [adopted(rule([kind], [{"role": "lead"}])) for kind in ("lot.*", "loan.*")]
    texts[1]["policy"]["version"] = 5
    for event in (texts[0], texts[1], texts[1]):
        shop.says(event, by="lead")
    texts[0]["policy"]["version"] = 5

    assert not shop.judged(texts[0], by="lead")
    texts[0]["policy"]["version"] = 1
    assert "cannot follow version 5" in shop.judged(texts[0], by="lead").reasons[0]
    texts[0]["policy"]["id"] = "another"
    assert shop.judged(texts[0], by="lead")


@pytest.mark.parametrize("gone", [retired("helper"), erased("helper")])
def test_whoever_is_gone_is_given_nothing(gone: Event) -> None:
    """No role and no qualification; what is held can still be taken back."""
    shop = staffed()
    shop.says(gone, by="office", yes=("lead",))

    assert not shop.judged(role("helper", "lead"), by="lead", yes=("root-1", "root-2"))
    assert not shop.judged(qualified("helper", "brace"), by="lead")
    assert shop.judged(qualified("helper", verb="withdrawn"), by="lead")


@pytest.mark.parametrize(
    ("event", "origin", "why"),
    [
        (enrolled("lead"), "", "changes no roots here"),
        (roots_changed(ROOTS, 2, 2), "other.example", "changes no roots here"),
        (roots_changed(ROOTS, 2, 7), "", "version"),
        ({"kind": "root.changed/1", "version": 2}, "", ""),
        (roots_changed(ROOTS, 2, 2) | {"roots": [{"public": "00" * 32}, 7]}, "", ""),
    ],
)
def test_a_lineage_holds_nothing_but_changes_of_roots(
    event: Event, origin: str, why: str
) -> None:
    """Of this log, of the next version, and of their form."""
    shop = newly_founded()
    record = shop.record(shop.approved(event, ROOTS), by="root-1", origin=origin)
    judgement = judge_lineage(shop.standing, record)

    assert not judgement
    assert why in judgement.reasons[0]


@pytest.mark.parametrize(
    ("by", "yes", "why_not"),
    [
        ("builder-new", ("lead",), ""),
        ("builder-new", ("office",), ""),
        ("builder-new", (), "0 of 1 others"),
        ("builder-new", ("builder-new",), "0 of 1 others"),
        ("lead", ("office",), ""),
        ("lead", (), "0 of 1 others"),
        ("helper", ("lead",), "is for a lead"),
        ("office", ("lead",), "is for a lead"),
    ],
)
def test_what_a_robbed_key_said_is_affirmed_by_its_holder_or_a_lead(
    by: str, yes: Sequence[str], why_not: str
) -> None:
    """With a newer key, and never alone."""
    shop = staffed()
    for _ in range(2):
        shop.says(plain("lot.received/1"), by="lead")
    since = len(shop.records) - 2
    shop.says(replaced("builder", "builder-new"), by="office", yes=("lead",))
    shop.says(reported("builder", since), by="office", yes=("lead",))
    judgement = shop.judged(affirmed("builder", since + 1), by=by, yes=yes)

    assert bool(judgement) is not bool(why_not), judgement.reasons
    assert why_not in "; ".join(judgement.reasons)


@pytest.fixture(scope="module")
def worn() -> Workshop:
    """Give a shop in which people left, keys were robbed, and a root was replaced."""
    return worn_shop()


@pytest.mark.parametrize("what", SOUND)
def test_a_sound_governing_event_has_no_fault(worn: Workshop, what: str) -> None:
    """Alone, and with all that may stand beside the members of every kind."""
    event = SOUND[what](worn)
    beside = dict.fromkeys(
        ("approvals", "happened_at", "reason_commitment", "station"), "x"
    )

    assert governing.faults_of(worn.standing, len(worn.records), event) == ()
    assert governing.faults_of(worn.standing, len(worn.records), event | beside) == ()


def test_every_governing_kind_is_among_them(worn: Workshop) -> None:
    """Save the founding, which the workshop begins with."""
    kinds = {make(worn)["kind"] for make in SOUND.values()}

    assert kinds == governing.CHECKS.keys() - {"shop.founded/1"}
