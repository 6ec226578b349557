"""Approvals: bound to the event, the log, the roots' version, and one use."""

from typing import Any

import pytest

from ledger.log.approvals import (
    Approved,
    approve,
    approvers_of,
    once_of,
    read_approvals,
)
from ledger.log.authority import judge
from ledger.log.encoding import parse
from ledger.log.keys import signature_text
from tests.ledger.log.damage import bits_flipped
from tests.ledger.log.workshop import (
    key_enrolled,
    plain,
    secret,
    shown,
    staffed,
    with_false_yes,
)

KEYS = [secret(name) for name in ("lead", "office", "root-1")]
PUBLICS = {key.id: key.public for key in KEYS}
EVENT = plain("clock.doubted/1", to="2026-03-02T08:30:00Z")
ONCE = bytes(range(16))
SAID = approve(EVENT, origin="a.example", root_version=1, once=ONCE, by=KEYS)


def read(event: dict[str, Any], **said: Any) -> Approved:
    """Read the approvals as the log a.example would, unless it is told otherwise."""
    known: dict[str, Any] = {"origin": "a.example", "publics": PUBLICS}
    return read_approvals(event, **known | {"root_version": 1} | said)


def with_approvals(**members: Any) -> dict[str, Any]:
    """Return the approved event with some members of its approvals as given."""
    return SAID | {"approvals": SAID["approvals"] | members}


def test_approvals_are_read_as_they_were_given() -> None:
    """Three keys approved, in the order of their ids, and all three are counted."""
    by = [row["key"] for row in SAID["approvals"]["by"]]

    assert by == sorted(PUBLICS)
    assert read(SAID) == Approved(once=ONCE.hex(), by=frozenset(PUBLICS))
    assert {name: SAID[name] for name in EVENT} == EVENT


def test_the_bytes_that_are_approved_are_of_the_format() -> None:
    """A key that signs the format's own canonical bytes has approved."""
    statement = (
        b'{"event":{"kind":"clock.doubted/1","to":"2026-03-02T08:30:00Z"},'
        b'"format":"flitchbook-approval/1","once":"000102030405060708090a0b0c0d0e0f",'
        b'"origin":"a.example","root_version":1}'
    )
    signature = signature_text(KEYS[0].sign(statement))
    event = with_approvals(by=[{"key": KEYS[0].id, "signature": signature}])

    assert parse(statement)
    assert read(event).by == {KEYS[0].id}


def test_an_event_without_approvals_is_approved_by_nobody() -> None:
    """That alone is no fault: most events need none."""
    assert read(EVENT) == Approved()


def test_an_unknown_key_counts_for_nothing_and_disturbs_nobody() -> None:
    """A stranger's approval beside those of others is passed over."""
    known = {key: PUBLICS[key] for key in sorted(PUBLICS)[1:]}

    assert read(SAID, publics=known).by == set(known)
    assert read(SAID, publics={}) == Approved(once=ONCE.hex())


def test_a_key_that_approves_twice_is_written_once() -> None:
    """However often a stick is plugged in, it says yes once."""
    event = approve(
        EVENT, origin="a.example", root_version=1, once=ONCE, by=[*KEYS, KEYS[0]]
    )

    assert event == SAID


@pytest.mark.parametrize(
    ("event", "said"),
    [
        (SAID | {"to": "2026-03-02T08:31:00Z"}, {}),
        (SAID | {"kind": "clock.doubted/2"}, {}),
        (SAID | {"station": "bench"}, {}),
        (SAID, {"origin": "b.example"}),
        (with_approvals(once="00" * 16), {}),
        (with_approvals(root_version=2), {"root_version": 2}),
        (SAID, {"publics": dict.fromkeys(PUBLICS, KEYS[0].public)}),
    ],
)
def test_an_approval_is_for_this_event_in_this_log_only(
    event: dict[str, Any], said: dict[str, Any]
) -> None:
    """Altered event, other log, other use, other roots, other key: none verifies."""
    approved = read(event, **said)

    assert "does not verify" in approved.faults[0]
    assert not approved.by


ROWS = SAID["approvals"]["by"]


@pytest.mark.parametrize(
    "approvals",
    [
        None,
        [],
        "yes",
        {},
        {"by": ROWS, "once": ONCE.hex()},
        SAID["approvals"] | {"note": ""},
        SAID["approvals"] | {"once": None},
        SAID["approvals"] | {"once": "0A" * 16},
        SAID["approvals"] | {"once": "00" * 15},
        SAID["approvals"] | {"root_version": 0},
        SAID["approvals"] | {"root_version": 2},
        SAID["approvals"] | {"root_version": True},
        SAID["approvals"] | {"root_version": "1"},
        SAID["approvals"] | {"by": None},
        SAID["approvals"] | {"by": ROWS[0]},
        SAID["approvals"] | {"by": ROWS[::-1]},
        SAID["approvals"] | {"by": [ROWS[0], ROWS[0]]},
        SAID["approvals"] | {"by": [*ROWS, None]},
        SAID["approvals"] | {"by": [*ROWS, {}]},
        SAID["approvals"] | {"by": [ROWS[0] | {"name": ""}]},
        SAID["approvals"] | {"by": [{"key": ROWS[0]["key"]}]},
        SAID["approvals"] | {"by": [ROWS[0] | {"key": 7}]},
        SAID["approvals"] | {"by": [ROWS[0] | {"key": [ROWS[0]["key"]]}]},
        SAID["approvals"] | {"by": [ROWS[0] | {"signature": None}]},
        SAID["approvals"] | {"by": [ROWS[0] | {"signature": "AAAA"}]},
        SAID["approvals"] | {"by": [ROWS[0] | {"signature": ROWS[1]["signature"]}]},
    ],
)
def test_approvals_of_another_form_are_a_fault(approvals: object) -> None:
    """Unsorted, doubled, of other members or types: one fault, and nobody counts."""
    approved = read(EVENT | {"approvals": approvals})

    assert len(approved.faults) == 1
    assert not approved.by


def test_a_flipped_bit_in_a_signature_is_a_fault() -> None:
    """An approval of a known key that does not verify spoils all of them."""
    signature = KEYS[0].sign(b"any text")

    for bad in bits_flipped(signature):
        row = {"key": KEYS[0].id, "signature": signature_text(bad)}
        assert read(with_approvals(by=[row])).faults


def test_what_is_approved_is_named_by_sixteen_bytes() -> None:
    """However well it is signed: a shorter name could soon stand for two things."""
    said = approve(EVENT, origin="a.example", root_version=1, once=b"short", by=KEYS)

    assert read(said).faults == ("the approvals do not say what they are for, once",)
    assert read(said).by == frozenset()


def test_approvals_are_known_by_their_once() -> None:
    """Where an event bears none, or something else in its place, it has no once."""
    assert once_of({"approvals": {"once": "5a"}}) == "5a"
    for odd in ("once", {}, {"once": 7}, None):
        assert once_of({"approvals": odd}) is None
    assert once_of({}) is None


def test_everybody_who_is_named_as_approving_is_told() -> None:
    """Whether the approval holds or not; what is no approval names nobody."""
    said = approve(EVENT, origin="a.example", root_version=1, once=b"o" * 16, by=KEYS)
    rows = said["approvals"]["by"]

    assert approvers_of(said) == tuple(row["key"] for row in rows)
    assert approvers_of({"approvals": {"by": [{"key": "x"}, 7, *rows[:1]]}}) == (
        rows[0]["key"],
    )
    for odd in ("by", {}, {"by": 7}, {"by": "text"}, None):
        assert approvers_of({"approvals": odd}) == ()
    assert approvers_of({}) == ()


@pytest.mark.parametrize("false", ["card", "stranger"])
def test_a_false_approval_by_a_key_that_approves_nothing_does_no_harm(
    false: str,
) -> None:
    """It counts for nothing; by one that could approve it spoils the others."""
    shop = staffed()
    shop.says(key_enrolled("card", "card"), by="lead", yes=("root-1", "root-2"))
    event = plain("clock.doubted/1", roots=[shown("stranger", "root")])

    assert judge(
        shop.standing, shop.record(with_false_yes(event, false, "office"), "lead")
    )
    spoilt = with_false_yes(event, "builder", "office")
    assert (
        "does not verify"
        in judge(shop.standing, shop.record(spoilt, "lead")).reasons[0]
    )


class _Onces:
    """The onces of a log, of which only a text can be asked."""

    def __contains__(self, once: object) -> bool:
        if not isinstance(once, str):
            raise TypeError("no once is like that")
        return False


def test_what_bears_no_approvals_asks_for_no_once() -> None:
    """The approvals so far may lie in a table, where nothing has no place."""
    shop = staffed()
    bare = shop.record(plain("lot.received/1"), by="lead")

    assert judge(shop.standing, bare, used_once=_Onces())
