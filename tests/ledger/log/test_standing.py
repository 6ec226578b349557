"""Standing: what each governing entry changes, from when, and until when."""

import pytest
from hypothesis import given, settings

from ledger.errors import TamperError
from ledger.log.authority import judge
from ledger.log.standing import (
    AFFIRMED,
    CHANGES,
    Standing,
    apply,
    cloud,
    is_governing,
)
from tests.ledger.log.fates import STEPS, Fate, said, tried
from tests.ledger.log.workshop import (
    ROOTS,
    Workshop,
    adopted,
    affirmed,
    enrolled,
    erased,
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
    staffed,
    subject,
)

BOTH = ("root-1", "root-2")


def span(shop: Workshop, key: str) -> tuple[int, int | None]:
    """Return from and until which index a key counts."""
    known = shop.standing.keys[secret(key).id]
    return known.from_index, known.until_index


def test_a_founding_begins_with_its_roots_at_entry_0() -> None:
    """Roots, threshold, version 1 and the log's key stand from the first entry on."""
    standing = newly_founded().standing

    assert set(standing.live_keys("root", 0)) == {secret(name).id for name in ROOTS}
    assert (standing.root_version, standing.threshold) == (1, 2)
    assert standing.log_key == secret("log").public
    assert standing.name == "Skerrymoor Fretted Instruments"


def test_a_key_counts_from_the_entry_after_it_was_enrolled() -> None:
    """Enrolled by entry 1, the key speaks from entry 2."""
    shop = newly_founded()
    shop.says(enrolled("lead"), by="root-1", yes=BOTH)
    key = shop.standing.keys[secret("lead").id]

    assert span(shop, "lead") == (2, None)
    assert [key.counts_at(index) for index in (0, 1, 2, 99)] == [
        False,
        False,
        True,
        True,
    ]
    assert shop.standing.person_key(subject("lead"), 1) is None
    assert shop.standing.person_key(subject("lead"), 2) == key
    assert not key.is_disputed_at(2)


def test_a_replaced_key_ends_where_the_new_one_begins() -> None:
    """The entry that replaces it is the last for the old key: no gap, no overlap."""
    shop = staffed()
    index = len(shop.records)
    shop.says(replaced("builder", "new"), by="office", yes=("lead",))

    assert span(shop, "builder")[1] == index
    assert span(shop, "new") == (index + 1, None)
    for at in (index, index + 1):
        live = shop.standing.live_keys("person", at).values()
        assert [k.subject for k in live].count(subject("builder")) == 1


def test_a_retired_key_still_counts_in_the_entry_that_retires_it() -> None:
    """Retiring counts from the next index, and never reaches back."""
    shop = staffed()
    index = len(shop.records)
    shop.says(retired("builder"), by="builder")
    key = shop.standing.keys[secret("builder").id]

    assert key.counts_at(index) and not key.counts_at(index + 1)
    assert shop.standing.person_key(subject("builder"), index + 1) is None
    assert shop.standing.is_enrolled(subject("builder"))


def test_a_reported_key_ends_and_what_it_said_is_in_dispute_until_affirmed() -> None:
    """From the entry that is named on, and not a word of what it said before."""
    shop = staffed()
    since = len(shop.records)
    for _ in range(3):
        shop.says(plain("lot.seen/1"), by="lead")
    index = len(shop.records)
    shop.says(reported("builder", since + 1), by="office", yes=("lead",))
    shop.says(affirmed("builder", since + 2), by="lead", yes=("office",))
    key = shop.standing.keys[secret("builder").id]

    assert span(shop, "builder") == (5, index)
    assert [key.is_disputed_at(n) for n in range(since, since + 4)] == [
        False,
        True,
        False,
        True,
    ]
    assert shop.standing.disputed_since(secret("builder").id, since + 1) == since + 1
    assert shop.standing.disputed_since(secret("builder").id, since) is None
    assert shop.standing.disputed_since("0" * 16, since) is None


def test_a_second_report_reaches_further_back_and_moves_no_end() -> None:
    """The key ended before; what was affirmed of it stays affirmed."""
    shop = staffed()
    shop.says(replaced("builder", "builder-new"), by="office", yes=("lead",))
    ended = span(shop, "builder")[1]
    shop.says(reported("builder", 10), by="office", yes=("lead",))
    shop.says(affirmed("builder", 10), by="lead", yes=("office",))
    shop.says(reported("builder", 8), by="office", yes=("lead",))
    key = shop.standing.keys[secret("builder").id]

    assert key.until_index == ended
    assert (key.disputed_since, key.affirmed) == (8, frozenset({10}))
    assert shop.standing.person_key(subject("builder"), 99) is not None


def test_a_new_key_of_the_log_signs_from_its_entry_s_own_head_on() -> None:
    """At that size the old one's word alone is no longer enough."""
    shop = staffed()
    index = len(shop.records)
    shop.says(log_key_replaced("log-new"), by="lead", yes=BOTH)

    assert shop.standing.log_key == secret("log-new").public
    names = {secret(name).public: name for name in ("log", "log-new")}
    signing = [
        [names[key.public] for key in shop.standing.log_keys_at(size)]
        for size in (0, 1, index, index + 1, index + 1000)
    ]
    assert signing == [[], ["log"], ["log"], ["log-new"], ["log-new"]]
    assert (Standing().log_key, Standing().first_origin) == (None, "")


@settings(max_examples=40)
@given(STEPS)
def test_keys_fare_as_a_simple_model_of_them_says(
    steps: list[tuple[str, int, int]],
) -> None:
    """Whatever is said in whatever order, by roots: who counts, and what is open."""
    shop, fates = newly_founded(), dict[str, Fate]()
    for step in steps:
        count = sum(name.startswith(f"{step[1]}/") for name in fates)
        event = said(shop, step, count)
        record = shop.record(shop.approved(event, BOTH), by="root-1")
        allowed = bool(judge(shop.standing, record, used_once=shop.used_once))

        assert allowed is tried(shop, fates, step), (step, len(shop.records))
        if allowed:
            shop.append(record)
    for name, fate in fates.items():
        key = shop.standing.keys[secret(name).id]
        assert (key.from_index, key.until_index) == (fate.since, fate.until)
        assert (key.disputed_since, set(key.affirmed)) == (fate.disputed, fate.affirmed)


def test_a_root_change_ends_some_keys_and_begins_others() -> None:
    """A root that stays keeps its own beginning."""
    shop = newly_founded()
    shop.says(
        roots_changed(("root-1", "root-4"), 1, 2), by="root-1", yes=(*BOTH, "root-4")
    )

    assert span(shop, "root-1") == (0, None)
    assert span(shop, "root-2") == span(shop, "root-3") == (0, 1)
    assert span(shop, "root-4") == (2, None)
    assert (shop.standing.root_version, shop.standing.threshold) == (2, 1)


def test_a_role_is_held_until_it_is_withdrawn_and_may_be_granted_again() -> None:
    """Each tenure keeps from and until when, and the later one is its own."""
    shop = staffed()
    granted = shop.standing.tenures[0].from_index
    withdrawn = len(shop.records)
    shop.says(role("lead", "lead", "withdrawn"), by="lead", yes=BOTH)
    assert shop.standing.roles_of(subject("lead")) == frozenset()

    shop.says(role("lead", "lead"), by="lead", yes=BOTH)
    assert shop.standing.roles_of(subject("lead")) == {"lead"}

    shop.says(role("lead", "lead", "withdrawn"), by="lead", yes=BOTH)
    held = [t for t in shop.standing.tenures if t.subject == subject("lead")]

    assert [(t.from_index, t.until_index) for t in held] == [
        (granted, withdrawn),
        (withdrawn + 2, withdrawn + 2),
    ]


def test_one_person_may_hold_several_roles() -> None:
    """The second role stands beside the first, and goes alone."""
    shop = staffed()
    both = {"lead", "key-administrator"}
    shop.says(role("lead", "key-administrator"), by="lead", yes=BOTH)
    assert shop.standing.roles_of(subject("lead")) == both

    shop.says(role("lead", "lead", "withdrawn"), by="lead", yes=BOTH)

    assert shop.standing.roles_of(subject("lead")) == {"key-administrator"}
    assert shop.standing.roles_of(subject("office")) == {"key-administrator"}
    assert shop.standing.roles_of(None) == frozenset()


def test_qualifications_come_and_go_one_by_one() -> None:
    """Who loses one keeps the others; nobody else is touched."""
    shop = staffed()
    shop.says(qualified("helper", "bend"), by="lead")
    shop.says(qualified("builder", "bend"), by="lead")
    shop.says(qualified("helper", "receive", "withdrawn"), by="lead")

    assert shop.standing.qualifications_of(subject("helper")) == {"bend"}
    assert shop.standing.qualifications_of(subject("builder")) == {"bend"}
    assert shop.standing.qualifications_of(None) == frozenset()


def test_who_gave_his_key_up_is_given_another() -> None:
    """The old one ended when it was given up, and not when the new one came."""
    shop = staffed()
    shop.says(retired("builder"), by="builder")
    ended = len(shop.records) - 1
    shop.says(replaced("builder", "builder-new"), by="root-1", yes=BOTH)
    key = shop.standing.person_key(subject("builder"), len(shop.records))

    assert key is not None
    assert key.public == secret("builder-new").public
    assert shop.standing.keys[secret("builder").id].until_index == ended


def test_shop_keys_and_erasures_are_remembered() -> None:
    """A card key has no subject; an erased person keeps key and roles."""
    shop = staffed()
    shop.says(key_enrolled("card", "card"), by="lead", yes=BOTH)
    shop.says(erased("builder"), by="office", yes=("lead",))
    index = len(shop.records)

    nobody = shop.judged(role("x", "lead") | {"subject": None}, by="lead", yes=BOTH)
    assert nobody.reasons == ("a role is for somebody who is enrolled",)
    assert set(shop.standing.live_keys("card", index)) == {secret("card").id}
    assert span(shop, "card") == (index - 1, None)
    assert shop.standing.keys[secret("card").id].subject is None
    assert shop.standing.erased == {subject("builder")}
    assert shop.standing.person_key(subject("builder"), index) is not None


def test_the_newest_signing_policy_is_in_force() -> None:
    """A second policy replaces the rules of the first, whole."""
    shop = staffed()
    for version, kind in enumerate(("lot.*", "board.*"), start=1):
        event = adopted(rule([kind], [{"role": "lead"}]))
        event["policy"]["version"] = version
        shop.says(event, by="lead")
    other = {"format": "flitchbook-seasoning/1", "id": "spruce", "version": 1}
    shop.says(plain("policy.adopted/1", policy=other), by="lead")

    assert [r.kinds for r in shop.standing.rules] == [("board.*",)]
    assert shop.standing.policy == event["policy"]


def test_the_first_cloud_is_the_one_that_is_told() -> None:
    """A later unknown kind does not hide which one came first; wood makes no cloud."""
    standing = Standing()
    apply(standing, 3, plain("lot.bewitched/9"), secret("lead").id)
    assert standing.clouded_by is None

    apply(standing, 4, plain("role.bewitched/9"), secret("lead").id)
    cloud(standing, "key.bewitched/9", 5)

    assert standing.clouded_by == "role.bewitched/9 at 4"


NOUNS = ("shop", "root", "log", "role", "person", "key", "policy")


@pytest.mark.parametrize(
    "kind", [*CHANGES, AFFIRMED, *(f"{noun}.lent/9" for noun in NOUNS)]
)
def test_governing_kinds_are_known_by_name_or_noun(kind: str) -> None:
    """Whatever changes or clouds a standing governs, and wood does not."""
    assert is_governing(kind)
    assert not is_governing("board.tapped/1")
    assert not is_governing("qualification.bewitched/9")


@pytest.mark.parametrize("kind", [*CHANGES, AFFIRMED])
def test_an_event_that_says_too_little_is_told_of(kind: str) -> None:
    """Whoever applied it without judging it first hears which entry it is."""
    with pytest.raises(TamperError, match="entry 7 does not say what"):
        apply(Standing(), 7, {"kind": kind}, secret("lead").id)
