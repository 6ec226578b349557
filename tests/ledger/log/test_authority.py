"""Who may say which kind: each row of the table, allowed and refused."""

from collections.abc import Sequence

import pytest

from ledger.log.authority import judge, needs_sentence
from ledger.log.entry import Record
from ledger.log.standing import apply
from tests.ledger.log import workshop
from tests.ledger.log.authority_rows import CASES, RECEIVERS, TWO_ROOTS
from tests.ledger.log.workshop import (
    ROOTS,
    Event,
    Workshop,
    adopted,
    enrolled,
    key_enrolled,
    newly_founded,
    plain,
    replaced,
    reported,
    retired,
    role,
    roots_changed,
    rule,
    secret,
    shown,
    staffed,
    subject,
)


@pytest.mark.parametrize(
    ("event", "by", "yes", "why_not"),
    [pytest.param(*case[1:], id=f"row {case[0]}") for case in CASES],
)
def test_each_row_of_the_table_decides_who_may_speak(
    event: Event, by: str, yes: Sequence[str], why_not: str
) -> None:
    """An entry may stand exactly where its row is satisfied, else it says why not."""
    judgement = staffed().judged(event, by=by, yes=yes)

    assert bool(judgement) is not bool(why_not), judgement.reasons
    assert why_not in "; ".join(judgement.reasons)
    assert not judgement.is_open


def test_only_the_roots_report_a_root_that_went() -> None:
    """Whoever reports another key with a second may not say it of a root."""
    shop = staffed()
    shop.says(roots_changed(TWO_ROOTS, 2, 2), by="lead", yes=TWO_ROOTS)
    event = reported("root-2", 9)
    refused = shop.judged(event, by="office", yes=("lead",))
    assert "approved by 0 of 2 roots" in refused.reasons[0]
    assert shop.judged(event, by="office", yes=TWO_ROOTS)


def test_a_second_yes_counts_people_and_not_keys() -> None:
    """Two approvals are needed: a lead and a root suffice, a lead alone does not."""
    shop = staffed()
    both = rule(["loan.*"], [{"role": "lead"}], approvals=2)
    shop.says(adopted(both), by="lead")
    event = plain("loan.agreed/1")

    assert shop.judged(event, by="lead", yes=("second", "root-1"))
    assert not shop.judged(event, by="lead", yes=("second", "lead"))
    assert not shop.judged(event, by="lead", yes=("second", "builder"))
    assert "1 of 2" in str(shop.judged(event, by="lead", yes=("second",)).reasons)


def test_the_first_rule_that_names_a_kind_decides() -> None:
    """A later, looser rule for the same kind is never reached; others need the lead."""
    shop = staffed()
    strict = rule(["lot.returned"], [{"role": "lead"}])
    shop.says(adopted(strict, RECEIVERS), by="lead")

    assert shop.judged(plain("lot.received/1"), by="helper")
    assert shop.judged(plain("lot.received/2"), by="helper")
    assert not shop.judged(plain("lot.returned/1"), by="helper")
    assert not shop.judged(plain("board.tapped/1"), by="helper")
    assert not shop.judged(plain("lot.received/1"), by="builder")
    assert needs_sentence(shop.standing, "lot.received") == (
        "the role lead or the qualification receive"
    )


def test_many_qualifications_are_counted_and_not_listed() -> None:
    """One sentence holds three of them; the policy shows the rest."""
    shop = staffed()
    names = ["brace", "plates", "receive", "finish"]
    kinds = {3: "lot.seen", 4: "lot.turned"}
    rules = [
        rule([kind], [{"qualification": name} for name in names[:count]])
        for count, kind in kinds.items()
    ]
    shop.says(adopted(*rules), by="lead")

    assert needs_sentence(shop.standing, "lot.seen") == (
        "the qualification brace or the qualification plates or the qualification "
        "receive"
    )
    assert needs_sentence(shop.standing, "lot.turned") == (
        "one of 4 qualifications that flitchbook shop policy shows"
    )


def test_a_policy_for_other_things_changes_no_signing_rule() -> None:
    """A text about seasoning is adopted beside the signing policy, not instead."""
    shop = staffed()
    shop.says(adopted(RECEIVERS), by="lead")
    other = {"format": "flitchbook-seasoning/1", "id": "spruce", "version": 1}
    shop.says(plain("policy.adopted/1", policy=other), by="lead")

    assert shop.judged(plain("lot.received/1"), by="helper")


@pytest.mark.parametrize("speaker", ["log", "card", "pdf", "stranger"])
def test_only_people_and_roots_sign_entries(speaker: str) -> None:
    """The keys of the log, the card and the PDF sign no entry; nor do strangers."""
    shop = staffed()
    for name in ("card", "pdf"):
        shop.says(key_enrolled(name, name), by="lead", yes=TWO_ROOTS)
    judgement = shop.judged(plain("lot.received/1"), by=speaker, yes=TWO_ROOTS)

    assert "may sign no entry here" in judgement.reasons[0]


def test_a_retired_key_is_silent_from_the_next_entry() -> None:
    """The entry that retires a key is its last: it neither signs nor approves then."""
    shop = staffed()
    shop.says(retired("second"), by="second")
    speaking = shop.judged(plain("lot.received/1"), by="second")
    approving = shop.judged(plain("clock.doubted/1"), by="lead", yes=("second",))

    assert "does not count at" in speaking.reasons[0]
    assert "0 of 1 others" in approving.reasons[0]
    assert "ended already" in shop.judged(retired("second"), by="office").reasons[0]


def test_a_replaced_key_hands_over_with_the_roles_of_its_holder() -> None:
    """Roles belong to people: the new key has them, and the old one speaks no more."""
    shop = staffed()
    shop.says(replaced("lead", "lead-new"), by="office", yes=TWO_ROOTS)
    event = plain("certificate.issued/1")

    assert shop.judged(event, by="lead-new")
    assert "does not count at" in shop.judged(event, by="lead").reasons[0]


def test_a_key_does_not_count_before_the_entry_after_its_enrolment() -> None:
    """A key cannot sign, nor approve, the very entry that enrols it."""
    event = enrolled("newcomer")
    judgement = newly_founded().judged(event, by="newcomer", yes=TWO_ROOTS)

    assert "may sign no entry here" in judgement.reasons[0]


def test_a_key_counts_only_from_the_index_after_it_was_given() -> None:
    """An entry that is put before the enrolment of its signer's key does not stand."""
    shop = staffed()
    record = shop.record(plain("lot.received/1"), by="lead")
    late = shop.standing.keys[secret("lead").id].from_index
    shop.records = shop.records[: late - 1]
    early = shop.record(plain("lot.received/1"), by="lead")

    assert judge(shop.standing, record)
    assert "does not count at" in judge(shop.standing, early).reasons[0]


def test_a_withdrawn_role_is_gone_with_the_next_entry() -> None:
    """Who was a lead is none in the entry after the withdrawal."""
    shop = staffed()
    shop.says(role("second", "lead", "withdrawn"), by="second", yes=TWO_ROOTS)

    assert not shop.judged(plain("certificate.issued/1"), by="second")
    assert not shop.judged(plain("clock.doubted/1"), by="lead", yes=("second",))


def test_an_entry_of_another_log_does_not_stand() -> None:
    """The signer may be known here; the origin is still that of the other log."""
    shop = staffed()
    record = shop.record(plain("lot.received/1"), by="lead", origin="shop.example/log")
    judgement = judge(shop.standing, record)

    assert "its origin is shop.example/log" in judgement.reasons[0]


def test_a_signature_by_somebody_else_does_not_stand() -> None:
    """A lead's name over a builder's signature is found out."""
    shop = staffed()
    event = plain("certificate.issued/1")
    said, forged = (shop.record(event, by=who) for who in ("lead", "builder"))
    record = type(said)(said.data, said.entry, said.signed, forged.signature)

    assert "the signature is not by" in judge(shop.standing, record).reasons[0]
    assert judge(shop.standing, record, with_signature=False)


def test_an_approval_is_used_only_once() -> None:
    """The same approvals under a second entry are a replay."""
    shop = staffed()
    event = shop.approved(plain("clock.doubted/1"), ("office",))
    shop.append(shop.record(event, by="lead"))
    again = judge(
        shop.standing, shop.record(event, by="lead"), used_once=shop.used_once
    )

    assert again.reasons == ("its approvals were used before",)


def test_an_approval_for_other_roots_does_not_count() -> None:
    """Approvals name the version of the roots in force, and no other will do."""
    shop = staffed()
    event = shop.approved(plain("clock.doubted/1"), ("office",), version=2)
    judgement = judge(shop.standing, shop.record(event, by="lead"))

    assert "version 2 of the roots, and version 1 is in force" in judgement.reasons[0]


@pytest.mark.parametrize(
    "noun", ["shop", "root", "log", "role", "person", "key", "policy"]
)
def test_an_unknown_governing_kind_leaves_all_later_verdicts_open(noun: str) -> None:
    """What it meant for anybody's role cannot be known here, so nothing is judged."""
    shop = staffed()
    event = plain(f"{noun}.bewitched/9")
    first = shop.judged(event, by="lead", yes=TWO_ROOTS)
    apply(shop.standing, len(shop.records), event, secret("lead").id)
    later = shop.judged(plain("lot.received/1"), by="lead")

    assert first.is_open and not first
    assert later.is_open and not later
    assert f"{noun}.bewitched/9 at {len(shop.records)}" in later.reasons[0]


def test_a_cloud_hides_neither_a_foreign_origin_nor_a_false_signature() -> None:
    """What needs no roles to be seen is a fault, however unclear the roles are."""
    shop = staffed()
    said, forged = (
        shop.record(plain("lot.received/1"), by=who) for who in ("lead", "builder")
    )
    unsigned = type(said)(said.data, said.entry, said.signed, forged.signature)
    foreign = shop.record(plain("lot.received/1"), by="lead", origin="shop.example")
    apply(shop.standing, len(shop.records), plain("key.bewitched/9"), said.entry.key)

    for record in (unsigned, foreign):
        judgement = judge(shop.standing, record)
        assert judgement.reasons and not judgement.is_open


def test_an_unknown_governing_kind_is_no_cloak_for_a_stranger() -> None:
    """A kind that is not known must still be said by a key that is, and signed."""
    shop = staffed()
    event = plain("key.bewitched/9")
    said, forged = (shop.record(event, by=who) for who in ("lead", "builder"))
    unsigned = type(said)(said.data, said.entry, said.signed, forged.signature)

    for record in (unsigned, shop.record(event, by="stranger")):
        judgement = judge(shop.standing, record)
        assert judgement.reasons and not judgement.is_open


def test_an_unknown_kind_of_another_noun_clouds_nothing() -> None:
    """A later version of some event about wood is judged by the policy alone."""
    shop = staffed()
    shop.says(plain("lot.bewitched/9"), by="lead")

    assert shop.judged(plain("lot.received/1"), by="lead")


def test_a_shop_of_one_person_runs_on_one_root() -> None:
    """With one root of one, its approval enrols the lead, who then speaks alone."""
    shop = newly_founded(("root-1",), 1)
    assert shop.standing.threshold == 1

    only = shop.standing.origin
    event = enrolled("lead") | workshop.shown("lead", "person", only)
    shop.says(event, by="root-1", yes=("root-1",))
    shop.says(role("lead", "lead"), by="lead", yes=("root-1",))

    assert shop.judged(plain("certificate.issued/1"), by="lead")
    assert shop.standing.roles_of(subject("lead")) == {"lead"}


@pytest.mark.parametrize(
    ("kind", "by", "yes"),
    [
        ("key.blessed/1", "builder", ()),
        ("key.blessed/1", "office", ()),
        ("key.retired/2", "builder", ()),
        ("role.shared/1", "lead", ("root-1",)),
        ("shop.founded/2", "lead", ("lead",)),
        ("shop.moved/1", "lead", ()),
        ("policy.adopted/2", "builder", ()),
        ("policy.amended/1", "helper", ()),
    ],
)
def test_an_unknown_governing_kind_has_to_satisfy_its_row(
    kind: str, by: str, yes: Sequence[str]
) -> None:
    """Else anybody with a badge could leave every later question of roles open."""
    event = plain(kind, roots=[shown(by, "root")], threshold=1)
    judgement = staffed().judged(event, by=by, yes=yes)

    assert not judgement
    assert not judgement.is_open


def test_approvals_of_an_unknown_governing_kind_are_used_once() -> None:
    """A replay leaves nothing open."""
    shop = staffed()
    event = shop.approved(plain("key.blessed/1"), TWO_ROOTS)
    once = {event["approvals"]["once"]}
    record = shop.record(event, by="lead")

    assert judge(shop.standing, record).is_open
    assert not judge(shop.standing, record, used_once=once).is_open


def test_an_unknown_key_in_an_unknown_kind_is_nobody_s() -> None:
    """The kind leaves things open, and what it says of a stranger stops nobody."""
    event = plain("key.bewitched/9", key=secret("stranger").id)

    assert staffed().judged(event, by="office", yes=("lead",)).is_open


def test_whoever_has_no_key_any_more_is_given_one_with_a_second_yes() -> None:
    """There is no old key that could approve."""
    shop = staffed()
    shop.says(retired("builder"), by="builder")
    event = replaced("builder", "builder-new")

    assert shop.judged(event, by="office", yes=("lead",))
    assert "0 of 1 others" in shop.judged(event, by="office").reasons[0]


def clouded(record_by: str) -> tuple[Workshop, Record]:
    """Return a log whose roles are not known, and the next entry of it."""
    shop = staffed()
    apply(
        shop.standing, len(shop.records), plain("key.bewitched/9"), secret("builder").id
    )
    return shop, shop.record(plain("lot.received/1"), by=record_by)


def test_under_a_cloud_it_is_open_whether_an_unknown_key_may_speak() -> None:
    """What is not understood may have enrolled it."""
    shop, record = clouded("stranger")

    assert judge(shop.standing, record).is_open


def test_under_a_cloud_a_signature_may_be_left_to_another_reader_too() -> None:
    """Then the entry is open, as every other there."""
    shop, record = clouded("lead")
    forged = type(record)(record.data, record.entry, record.signed, bytes(64))

    assert not judge(shop.standing, forged).is_open
    assert judge(shop.standing, forged, with_signature=False).is_open


def test_the_roles_and_qualifications_of_a_rule_are_told_in_order() -> None:
    """In whatever order the policy, or a set of them, has them."""
    shop = staffed()
    names = [f"{letter}{n}" for n in range(8) for letter in "cab"]
    rules = [rule(["lot.seen"], [{"role": name} for name in names])]
    for n in range(0, len(names), 3):
        three = [{"qualification": name} for name in names[n : n + 3]]
        rules.append(rule([f"lot.{'x' * (n + 1)}"], three))
    shop.says(adopted(*rules), by="lead")

    assert needs_sentence(shop.standing, "lot.seen") == " or ".join(
        f"the role {name}" for name in sorted(names)
    )
    for n in range(0, len(names), 3):
        assert needs_sentence(shop.standing, f"lot.{'x' * (n + 1)}") == " or ".join(
            f"the qualification {name}" for name in sorted(names[n : n + 3])
        )


def test_the_roots_that_follow_say_yes_as_well() -> None:
    """As many of them as are asked for from then on."""
    change = roots_changed(("root-1", "root-4"), 2, 2)

    assert newly_founded().judged(change, by="root-1", yes=ROOTS).reasons == (
        "approved by 1 of 2 of the new roots",
    )
