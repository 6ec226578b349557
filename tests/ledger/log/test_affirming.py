"""Affirming: a word in dispute is stood by only by those whose own is not."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.log.affirming import Affirmation, affirmed_by
from ledger.log.authority import judge
from ledger.log.keysrows import AFFIRMED, key_row
from tests.ledger.log.workshop import (
    ROOTS,
    Workshop,
    affirmed,
    enrolled,
    newly_founded,
    plain,
    replaced,
    reported,
    role,
    roots_changed,
    secret,
    staffed,
)

BOTH = ("root-1", "root-2")
PEOPLE = ("0", "1", "2")


def since_of(shop: Workshop, name: str, index: int) -> int | None:
    """Return since when a key is in dispute, if it is for an entry."""
    return shop.standing.disputed_since(secret(name).id, index)


def robbed() -> tuple[Workshop, int]:
    """Return a log in which a thief affirmed with two keys what he said with a third.

    Beside it the entry that he affirmed, in which the lead's key was reported later.
    """
    shop = staffed()
    said = len(shop.records)
    shop.says(plain("lot.seen/1"), by="lead")
    shop.says(reported("lead", said), by="second", yes=BOTH)
    shop.says(affirmed("lead", said), by="second", yes=("office",))
    return shop, said


def test_what_a_thief_affirmed_is_in_dispute_again() -> None:
    """As soon as one of the keys that stood by it is reported, signer or approver."""
    for stolen in ("second", "office"):
        shop, said = robbed()
        assert since_of(shop, "lead", said) is None

        shop.says(reported(stolen, said), by="builder", yes=BOTH)

        assert since_of(shop, "lead", said) == said
        assert AFFIRMED not in key_row(shop.standing, secret("lead").id)


def test_a_report_since_later_leaves_the_affirmation() -> None:
    """What the key said before that is its holder's own word."""
    shop, said = robbed()
    shop.says(plain("lot.seen/1"), by="second")
    shop.says(reported("second", said + 3), by="builder", yes=BOTH)

    assert since_of(shop, "lead", said) is None
    assert key_row(shop.standing, secret("lead").id)[AFFIRMED] == [said]


def test_an_entry_is_affirmed_again_or_its_affirmation_is() -> None:
    """Either settles it: another's word, or that the word in between was meant."""
    for again in (("lead", 0), ("second", 2)):
        shop, said = robbed()
        shop.says(reported("second", said), by="builder", yes=BOTH)
        assert since_of(shop, "lead", said) == said

        shop.says(affirmed(again[0], said + again[1]), by="builder", yes=BOTH)

        assert since_of(shop, "lead", said) is None


def test_what_a_stolen_root_approved_is_in_dispute_once_it_is_replaced() -> None:
    """The roots of today report it and stand by what was meant; nobody less does."""
    shop = staffed()
    granted = len(shop.records)
    shop.says(role("builder", "lead"), by="lead", yes=("root-2", "root-3"))
    report = reported("root-2", granted)
    (live,) = shop.judged(report, by="lead", yes=("root-1", "root-3")).reasons
    now = ("root-1", "root-3", "root-4")
    changed = roots_changed(now, 2, 2)
    shop.says(changed, by="lead", yes=now)
    leads = shop.judged(report, by="office", yes=("lead", "second"))
    shop.says(report, by="office", yes=now)

    assert "is not reported but changed" in live and not leads
    assert since_of(shop, "root-2", granted) == granted
    assert since_of(shop, "root-3", granted) is None
    meant = affirmed("root-2", granted)
    assert not shop.judged(meant, by="lead", yes=("second", "office"))
    shop.says(meant, by="lead", yes=now)
    assert since_of(shop, "root-2", granted) is None


def test_nobody_s_word_is_asked_where_nothing_is_in_dispute() -> None:
    """Then each affirmation counts, whoever said it."""
    one = Affirmation(index=9, key="a", said=4, speakers=frozenset({"b", "c"}))

    assert affirmed_by([one], {}) == {"a": {4}}
    assert affirmed_by([], {"a": 0}) == {}


def test_an_affirmation_is_in_dispute_from_the_reported_entry_on() -> None:
    """What a key said just before others had it is its holder's own word."""
    one = Affirmation(index=9, key="a", said=4, speakers=frozenset({"b"}))

    assert affirmed_by([one], {"b": 9}) == {}
    assert affirmed_by([one], {"b": 10}) == {"a": {4}}


@dataclass
class Told:
    """All that was reported and affirmed, in a model that knows nothing of logs."""

    disputed: dict[str, int] = field(default_factory=dict)
    affirmed: list[tuple[int, str, int, Sequence[str]]] = field(default_factory=list)

    def is_open(self, name: str, number: int) -> bool:
        """Tell whether nobody stands by what a key said in an entry in dispute."""
        if number < self.disputed.get(name, 10**9):
            return False
        standing = (
            not any(self.is_open(voice, index) for voice in voices)
            for index, key, said, voices in self.affirmed
            if (key, said) == (name, number)
        )
        return not any(standing)


STEPS = st.lists(
    st.tuples(
        st.booleans(),
        st.sampled_from(PEOPLE),
        st.integers(4, 8),
        st.sampled_from(PEOPLE),
        st.sampled_from([*PEOPLE, "root-2"]),
    ),
    min_size=4,
    max_size=14,
)


@settings(max_examples=80)
@given(STEPS)
def test_who_stands_by_what_is_as_a_simple_model_says(
    steps: list[tuple[bool, str, int, str, str]],
) -> None:
    """Three people, reported and affirming each other in any order, anew with others.

    Each has a second key for what is said after a report.
    """
    shop, told = newly_founded(), Told()
    newest = {name: name for name in PEOPLE}
    for name in PEOPLE:
        shop.says(enrolled(name), by="root-1", yes=BOTH)
    for is_report, name, number, signer, other in steps:
        index, key = len(shop.records), newest[name]
        if is_report:
            event = reported(key, number)
            if judge(shop.standing, shop.record(shop.approved(event, BOTH), "root-1")):
                shop.says(event, by="root-1", yes=BOTH)
                told.disputed[key] = number
                newest[name] = f"{key}'"
                shop.says(replaced(name, newest[name]), by="root-1", yes=BOTH)
            continue
        by, also = newest[signer], newest.get(other, other)
        event = shop.approved(affirmed(name, number), sorted({*BOTH, also}))
        record = shop.record(event, by=by)
        allowed = bool(judge(shop.standing, record, used_once=shop.used_once))
        known = shop.standing.keys[secret(name).id]
        can_be = number < index and known.counts_at(number)
        assert allowed is (can_be and told.is_open(name, number))
        if allowed:
            shop.append(record)
            told.affirmed.append((index, name, number, (by, also)))
    for name in {*PEOPLE, *newest.values()}:
        known = shop.standing.keys[secret(name).id]
        for index in range(len(shop.records)):
            assert known.is_disputed_at(index) is told.is_open(name, index)


def test_what_a_root_approved_is_affirmed_by_the_roots_alone() -> None:
    """As it is for them to report a root: a lead and a second are too few."""
    shop = staffed()
    said = len(shop.records)
    shop.says(plain("lot.received/1"), by="root-2", yes=BOTH)
    shop.says(roots_changed(("root-1", "root-3"), 2, 2), by="lead", yes=ROOTS)
    now = ("root-1", "root-3")
    shop.says(reported("root-2", said), by="lead", yes=now)
    event = affirmed("root-2", said)

    assert "0 of 2 roots" in shop.judged(event, by="lead", yes=("office",)).reasons[0]
    assert shop.judged(event, by="lead", yes=now)


def test_the_holder_of_a_robbed_key_is_a_second_for_whoever_affirms_it() -> None:
    """As he may affirm it with that other as his second."""
    shop = staffed()
    said = len(shop.records)
    shop.says(plain("lot.received/1"), by="second")
    shop.says(replaced("second", "second-new"), by="lead", yes=BOTH)
    shop.says(reported("second", said), by="lead", yes=BOTH)
    event = affirmed("second", said)

    assert shop.judged(event, by="lead", yes=("second-new",))
    assert shop.judged(event, by="second-new", yes=("lead",))
