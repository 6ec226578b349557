"""A status list adds to a YES what became of the certificate since, and no more."""

from typing import Any

import pytest

from ledger.check import BUT, CANNOT_TELL, NO, YES, Answer, check
from ledger.check.status import NO_LIST, SAID_OF, judged_list, signs_lists, with_status
from ledger.log.encoding import canonical, parse_object
from ledger.log.keys import SecretKey
from ledger.log.keysfile import read_keys_file
from ledger.log.statusfile import listed_token, read_status_list, write_status_list
from tests.ledger.buying import CARD, PINNED
from tests.ledger.log.damage import flipped
from tests.ledger.log.workshop import VECTORS

LIST = (VECTORS / "status.json").read_bytes()
PROOF = (VECTORS / "certificate.tlog-proof").read_bytes()
SEEDS = dict(line.split() for line in (VECTORS / "seeds").read_text().splitlines())
CARD_KEY = SecretKey(bytes.fromhex(SEEDS["card"]))
TOKEN = listed_token(PINNED.file.status_token)
TODAY = "2026-12-04"
AGED = "status list 2 of 2026-11-25 (9 days old)"
COMPARE = "compare these facts with the paper and with the instrument in your hand"


def listing(*states: str, **changes: Any) -> bytes:
    """Return a list that says this of the certificate, signed by the card key."""
    told: dict[str, Any] = {
        "origin": read_status_list(LIST).origin,
        "number": 2,
        "issued": "2026-11-25",
        "next_on": "2026-12-25",
        "size": 14,
        "card": CARD_KEY,
    }
    return write_status_list({TOKEN: states} if states else {}, **(told | changes))


def asked(
    status: bytes | None, today: str = TODAY, keys: bytes = PINNED.keys
) -> Answer:
    """Return the answer to the certificate beside a list."""
    return check(PINNED.data, keys, status, today=today)


def words(answer: Answer) -> tuple[str, ...]:
    """Return what is said of the list."""
    return answer.status.words if answer.status else ()


def keys_with(**changes: Any) -> bytes:
    """Return the keys file with the card key otherwise, signed by the roots again."""
    rows = parse_object(PINNED.keys)["keys"]
    return PINNED.changed_keys(
        keys=[row | changes if row["purpose"] == "card" else row for row in rows]
    )


def test_the_list_of_another_writer_is_read_and_believed() -> None:
    """A reported certificate is true, and still nothing to buy unasked."""
    answer = asked(LIST)

    assert answer.word == BUT
    assert not answer
    assert answer.reasons == (
        "reported: contact the maker before you buy or hand it over",
        "superseded: the shop issued a newer certificate of this instrument; this one "
        "is true as of its day",
        COMPARE,
    )
    assert answer.facts == PINNED.event
    assert words(answer) == (f"said in {AGED}",)
    assert answer.status is not None
    assert answer.status.states == ("reported", "superseded")
    assert (answer.status.number, answer.status.age_days) == (2, 9)


def test_our_writer_gives_the_very_same_list() -> None:
    """Byte for byte, out of the same facts."""
    found = read_status_list(LIST)
    made = write_status_list(
        found.states,
        origin=found.origin,
        number=found.number,
        issued=found.issued,
        next_on=found.next,
        size=found.size,
        card=CARD_KEY,
    )
    assert made == LIST


@pytest.mark.parametrize(
    ("states", "word"),
    [
        ((), YES),
        (("superseded",), YES),
        (("withdrawn",), BUT),
        (("reported",), BUT),
        (("reported", "superseded", "withdrawn"), BUT),
    ],
)
@pytest.mark.parametrize("shown", [PINNED.data, CARD, PROOF])
def test_each_state_is_told_of_a_certificate_a_card_and_a_proof(
    shown: bytes, states: tuple[str, ...], word: str
) -> None:
    """Only what is newer leaves a YES as it is; nobody reads who took what."""
    plain = check(shown, PINNED.keys)
    answer = check(shown, PINNED.keys, listing(*states), today=TODAY)

    assert answer.word == word
    assert set(answer.reasons) == {*(SAID_OF[s] for s in states), *plain.reasons}
    assert answer.status is not None and answer.status.states == states
    assert not any("stolen" in said or "theft" in said for said in answer.reasons)
    if not states:
        assert words(answer) == (f"nothing is said against it in {AGED}",)


def test_without_a_list_nothing_is_known_and_that_is_said() -> None:
    """The YES stays one; other answers say nothing of lists."""
    assert (asked(None).word, words(asked(None))) == (YES, (NO_LIST,))
    assert check(PINNED.data, None, LIST).status is None
    assert check(PINNED.data[:-5], PINNED.keys, LIST).status is None


def test_of_an_entry_that_is_no_certificate_no_list_says_anything() -> None:
    """That it stands in the log is all that was asked."""
    stands = Answer(word=YES, reasons=("this entry stands",), said="lot.received/1")

    for status in (LIST, None):
        assert with_status(stands, status, PINNED.keys, TODAY) == stands


def test_a_list_that_is_not_of_this_day_is_told_as_old() -> None:
    """Older than the certificate, past its own day, or ahead of the clock."""
    older = words(asked(listing(size=10)))
    assert older[1] == "the list is older than this certificate"
    assert len(words(asked(listing(size=11)))) == 1
    for today, is_past in (("2026-12-25", False), ("2026-12-26", True)):
        found = asked(listing("superseded"), today)
        assert found.status is not None and found.status.is_overdue is is_past
        said = "this list was to be replaced on 2026-12-25: get the newer one"
        assert (said in words(found)) is is_past
    assert "(0 days old)" in words(asked(LIST, "2026-11-25"))[0]
    assert "(1 day old)" in words(asked(LIST, "2026-11-26"))[0]
    assert "still to come" in words(asked(LIST, "2026-11-24"))[0]
    unknown = asked(LIST, "").status
    assert unknown is not None and unknown.is_overdue is False
    assert unknown.words == ("said in status list 2 of 2026-11-25",)


@pytest.mark.parametrize(
    ("keys", "status", "why"),
    [
        (PINNED.keys, listing("withdrawn", origin="other.example/l"), "it is of other"),
        (
            PINNED.keys,
            listing("withdrawn", card=SecretKey(b"z" * 32)),
            "is no card key in it",
        ),
        (
            PINNED.keys,
            listing("withdrawn", card=SecretKey(bytes.fromhex(SEEDS["lead-new"]))),
            "is no card key in it",
        ),
        (PINNED.keys, listing("withdrawn", size=5), "does not count at 5 entries"),
        (keys_with(until_index=13), listing("withdrawn"), "count at 14 entries"),
        (keys_with(until_index=13), listing(size=13), "count at 14 entries"),
        (keys_with(disputed_since=14), listing("withdrawn"), "is disputed since"),
        (keys_with(disputed_since=14), listing(size=13), "is disputed since"),
        (keys_with(disputed_since=15), listing("withdrawn"), "is disputed since"),
        (PINNED.keys, listing("withdrawn")[:-1], "the status list does not hold"),
        (PINNED.keys, b"", "the status list does not hold"),
        (PINNED.keys, PINNED.data, "the status list does not hold"),
    ],
)
def test_a_list_that_cannot_be_judged_says_nothing(
    keys: bytes, status: bytes, why: str
) -> None:
    """The answer is as if there were none, and it is told why."""
    answer = asked(status, keys=keys)

    assert answer.word == YES
    (said,) = words(answer)
    assert why in said
    assert said.endswith("; nothing is known from it")
    assert answer.status is not None and answer.status.states == ()


def test_at_its_last_index_a_card_key_still_counts() -> None:
    """It ends with what is said after the keys file."""
    assert asked(LIST, keys=keys_with(until_index=14)).word == BUT


@pytest.mark.parametrize(
    ("keys", "name", "does"),
    [
        (PINNED.keys, "card", True),
        (keys_with(until_index=14), "card", True),
        (keys_with(until_index=13), "card", False),
        (keys_with(disputed_since=14), "card", False),
        (PINNED.keys, "lead-new", False),
        (PINNED.keys, "stranger", False),
    ],
)
def test_only_a_card_key_that_still_counts_vouches_for_lists(
    keys: bytes, name: str, does: bool
) -> None:
    """No other's number keeps an account from an earlier list."""
    key = SecretKey(bytes.fromhex(SEEDS.get(name, "7a" * 32)))

    assert signs_lists(read_keys_file(keys), key.id) is does


def test_a_list_is_believed_for_no_keys_file_and_for_no_torn_one() -> None:
    """Whoever lays a list beside a page is told which of the two does not hold."""
    true = judged_list(LIST, PINNED.keys)

    assert true == read_status_list(LIST)
    assert judged_list(LIST, None) == (
        "the status list cannot be judged without the shop's keys file"
    )
    torn = judged_list(LIST, PINNED.keys[:-1])
    assert isinstance(torn, str)
    assert torn.startswith(
        "the status list cannot be judged: the keys file does not hold: "
    )


def test_no_byte_of_a_list_can_be_changed() -> None:
    """Every ninth is tried: nothing is known from it, and the YES stays."""
    for bad in list(flipped(LIST))[::9]:
        answer = asked(bad)
        assert answer.word == YES
        assert words(answer)[0].endswith("nothing is known from it")


def test_other_words_under_an_old_signature_are_not_believed() -> None:
    """Such as a list without its second row."""
    members = parse_object(LIST)
    members["certificates"] = []
    answer = asked(canonical(members))

    assert answer.word == YES
    assert "did not sign it" in words(answer)[0]


def test_a_list_alone_says_whose_it_is() -> None:
    """It is no certificate, and damaged it is nothing."""
    answer = check(LIST, PINNED.keys)

    assert answer.word == CANNOT_TELL
    assert answer.reasons[0].startswith(
        f"this is status list 2 of {read_status_list(LIST).origin}"
    )
    assert check(LIST[:-1], PINNED.keys).word == NO
