"""A proof file with its record says what stands in the log, and who signed it."""

from dataclasses import replace

import pytest

from ledger.acts import heads, signing
from ledger.check import CANNOT_TELL, NO, YES, Answer, check
from ledger.log import merkle
from ledger.log.checkpoint import Checkpoint, sign_note
from ledger.log.encoding import parse_object
from ledger.log.entry import parse_record
from ledger.log.keys import SecretKey, signature_text
from ledger.log.keysfile import write_keys_file
from ledger.log.proof import Proof
from tests import skerrymoor
from tests.ledger.audit.tampering import appended
from tests.ledger.buying import PINNED, certificate_by, sold_by
from tests.ledger.log.damage import flipped
from tests.ledger.log.volumes import continued
from tests.ledger.log.workshop import (
    ORIGIN,
    VECTORS,
    plain,
    secret,
    staffed,
    vector_records,
)
from tests.skerrymoor import Loft

LOG_KEY = SecretKey(
    bytes.fromhex(
        next(
            line.split()[1]
            for line in (VECTORS / "seeds").read_text().splitlines()
            if line.startswith("log ")
        )
    )
)
PROOF = (VECTORS / "certificate.tlog-proof").read_bytes()


def reason(answer: Answer) -> str:
    """Return the first reason of an answer."""
    return answer.reasons[0]


def test_a_certificate_s_proof_tells_its_facts_and_no_names() -> None:
    """Who disclosed nothing in it has no name in it either."""
    answer = check(PROOF, PINNED.keys)

    assert answer.word == YES
    assert reason(answer) == (
        "this entry stands in the shop's log: compare its facts with the paper and "
        "with the instrument in your hand"
    )
    assert (answer.facts, answer.names) == (PINNED.event, {})
    assert (answer.said, answer.index) == ("certificate.issued/1", 10)
    assert answer.key == PINNED.file.record.entry.key


def proof_of(loft: Loft, index: int) -> bytes:
    """Return the proof file of an entry, its record in it."""
    record = loft.shop.store.record(index)
    return replace(heads.prove(loft.shop, index), extra=record).text.encode()


def test_every_entry_of_a_log_is_proved_by_its_file(certified: Loft) -> None:
    """Of those that are no certificates the kind is told and no facts."""
    size = certified.shop.store.head().size
    proofs = [proof_of(certified, index) for index in range(size)]
    keys = sold_by(certified).keys
    answers = [check(proof, keys) for proof in proofs]

    assert {answer.word for answer in answers} == {YES}
    assert [answer.index for answer in answers] == list(range(size))
    assert answers[0].said == "shop.founded/1"
    assert reason(answers[0]) == "this entry stands in the shop's log"
    told = {answer.said for answer in answers if answer.facts is not None}
    assert told == {"certificate.issued/1"}
    assert {check(proof, None).word for proof in proofs} == {CANNOT_TELL}


def test_no_byte_of_a_proof_can_be_changed() -> None:
    """Of a proof of which any byte is another one nothing is a YES."""
    words = [check(bad, PINNED.keys).word for bad in flipped(PROOF)]

    assert YES not in words
    assert words.count(NO) > 0.9 * len(words)


@pytest.mark.parametrize("whose", ["03", "root", "card", "stranger"])
def test_a_certificate_by_somebody_else_is_a_no_in_its_proof_too(
    certified: Loft, whose: str
) -> None:
    """It stands in the log, and yet nobody but a lead issues certificates."""
    lead = certified.person("01")
    secret = {
        "03": certified.keys["03"],
        "root": certified.roots[0],
        "card": signing.card_key(certified.shop, lead, skerrymoor.LEAD.pin),
        "stranger": SecretKey(b"z" * 32),
    }[whose]
    made = certificate_by(certified, secret)
    answer = check(proof_of(certified, made.file.record.entry.index), made.keys)

    assert answer.word == NO


@pytest.mark.parametrize(
    ("changes", "word", "why"),
    [
        ({"disputed_since": 10}, CANNOT_TELL, "is disputed"),
        ({"disputed_since": 9, "affirmed": [9]}, CANNOT_TELL, "is disputed"),
        ({"disputed_since": 9, "affirmed": [9, 10]}, YES, "stands in the shop's log"),
        ({"until_index": 9}, NO, "until entry 9, and this is entry 10: the key was"),
        ({"roles": []}, NO, "was no lead"),
        ({"from_index": 11, "until_index": None}, NO, "from entry 11 on, "),
    ],
)
def test_a_proof_is_judged_by_its_signer(
    changes: dict[str, object], word: str, why: str
) -> None:
    """Whose key is disputed, ended, or no lead's."""
    keys = PINNED.changed_keys(keys=PINNED.key_rows(**changes))
    answer = check(PROOF, keys)

    assert answer.word == word
    assert why in reason(answer)


def test_another_entry_needs_a_signer_and_no_role(certified: Loft) -> None:
    """A builder's own entries stand; whether the policy let him only the log tells."""
    lot = next(
        index
        for index in range(certified.shop.store.head().size)
        if parse_record(certified.shop.store.record(index)).entry.kind
        == "lot.received/1"
    )
    made = sold_by(certified)
    signer = parse_record(certified.shop.store.record(lot)).entry.key
    rows = [
        row | {"roles": [] if row["key"] == signer else row["roles"]}
        for row in parse_object(made.keys)["keys"]
    ]

    assert check(proof_of(certified, lot), made.changed_keys(keys=rows)).word == YES


def test_a_proof_without_its_record_says_nothing() -> None:
    """There is nothing in it that could be told, and nothing that is false."""
    bare = PROOF.replace(PROOF.splitlines(keepends=True)[1], b"")
    answer = check(bare, PINNED.keys)

    assert answer.word == CANNOT_TELL
    assert (answer.index, answer.facts, answer.said) == (10, None, None)


@pytest.mark.parametrize(
    ("proof", "why"),
    [
        (PROOF[:-9], "a note is"),
        (PROOF.replace(b"index 10", b"index 9"), "not the one"),
        (PROOF + b"\xff", "no text"),
        (PROOF.replace(b"extra ", b"extra =", 1), "no base64"),
        (PROOF + b"\n" * (1_048_577 - len(PROOF)), "at most"),
        (PROOF + b"\n" * (1_048_576 - len(PROOF)), "a note "),
    ],
)
def test_what_is_no_proof_is_a_no(proof: bytes, why: str) -> None:
    """Cut, of another place, no text, or too large."""
    answer = check(proof, None)

    assert answer.word == NO
    assert why in reason(answer)


def test_a_torn_certificate_is_a_no_in_its_proof_too(certified: Loft) -> None:
    """A record of that kind which lacks a member issues nothing."""
    event = dict(sold_by(certified).file.record.entry.event)
    event.pop("serial")
    record = appended(certified, event, by=certified.keys["01"])
    answer = check(proof_of(certified, record.entry.index), None)

    assert answer.word == NO
    assert "issues no certificate" in reason(answer)


@pytest.mark.parametrize(
    ("size", "root", "word"),
    [
        (10, "11" * 32, CANNOT_TELL),
        (11, "11" * 32, YES),
        (14, "11" * 32, NO),
        (15, "11" * 32, YES),
    ],
)
def test_a_keys_file_speaks_for_as_many_entries_as_it_says(
    size: int, root: str, word: str
) -> None:
    """Entry 10 is the eleventh; only at one size can two roots be compared."""
    assert check(PROOF, PINNED.changed_keys(size=size, root=root)).word == word


def test_a_record_in_another_place_than_it_says_is_a_no() -> None:
    """Whoever holds the log's key could put a true record where it never stood."""
    records = vector_records()
    leaves = [record.leaf for record in (*records[:9], records[10], *records[11:])]
    answer = check(*_proved(leaves, 9, records[10].data))

    assert answer.word == NO
    assert "not the one that the proof is of" in reason(answer)


def _proved(leaves: list[bytes], index: int, record: bytes) -> tuple[bytes, bytes]:
    """Return a proof that the log's key signed for other leaves, and its keys file."""
    proof = _proof_in(leaves, index, record, PINNED.file.proof.head.origin, LOG_KEY)
    keys = PINNED.changed_keys(root=merkle.root(leaves).hex(), size=len(leaves))
    return proof.text.encode(), keys


def _proof_in(
    leaves: list[bytes], index: int, record: bytes, origin: str, log: SecretKey
) -> Proof:
    head = Checkpoint(origin=origin, size=len(leaves), root=merkle.root(leaves))
    path = merkle.inclusion_path(
        index,
        len(leaves),
        lambda level, n: merkle.root(leaves[n << level : (n + 1) << level]),
    )
    note = sign_note(head.text, name=origin, secret=log)
    return Proof(index=index, path=path, checkpoint=note, extra=record)


@pytest.mark.parametrize(
    ("lost", "word", "why"),
    [
        (0, YES, "stands in the shop's log"),
        (1, CANNOT_TELL, "ask the shop for its last keys file of"),
    ],
)
def test_what_is_proved_under_a_lost_head_is_not_judged(
    lost: int, word: str, why: str
) -> None:
    """A shop that went on after a loss knows no key for the heads that it lost."""
    shop = staffed()
    shop.says(plain("lot.seen/1"), by="lead")
    leaves = [record.leaf for record in shop.records]
    shop.records = shop.records[: len(leaves) - lost]
    shop.says(continued(shop, "log-2", lost=1), by="lead", yes=("root-1", "root-2"))
    keys = write_keys_file(
        shop.standing,
        lineage=shop.lineage(),
        number=1,
        date="2026-03-02",
        size=len(shop.records),
        root=b"\x5a" * 32,
        roots=[secret("root-1"), secret("root-2")],
    )
    proof = _proof_in(leaves, 1, shop.records[1].data, ORIGIN, secret("log"))
    answer = check(proof.text.encode(), keys)

    assert answer.word == word
    assert why in reason(answer)


def test_a_signature_by_another_key_than_it_names_is_a_no() -> None:
    """Though it stands in a log whose head the log's key signed."""
    records = vector_records()
    forged = parse_record(
        records[10].signed
        + b"\n"
        + signature_text(SecretKey(b"z" * 32).sign(records[10].signed)).encode()
        + b"\n"
    )
    leaves = [record.leaf for record in (*records[:10], forged, *records[11:])]
    answer = check(*_proved(leaves, 10, forged.data))

    assert answer.word == NO
    assert "the signature does not fit" in reason(answer)


def test_two_logs_in_one_proof_are_a_no() -> None:
    """The checkpoint of another log with the same root proves nothing of this one."""
    head = PINNED.file.proof.head
    note = sign_note(
        replace(head, origin="other.example").text,
        name="other.example",
        secret=SecretKey(b"y" * 32),
    )
    proof = replace(PINNED.file.proof, checkpoint=note, extra=PINNED.file.record.data)
    answer = check(proof.text.encode(), None)

    assert answer.word == NO
    assert "different logs" in reason(answer)


def test_a_keys_file_knows_the_heads_of_its_own_volumes_only() -> None:
    """A head of a volume that it does not know is another log's, and no forgery."""
    leaves = [record.leaf for record in vector_records()]
    record, later = vector_records()[10], f"{PINNED.file.proof.head.origin}/v2"
    proof = _proof_in(leaves, 10, record.data, later, SecretKey(b"2" * 32))
    answer = check(proof.text.encode(), PINNED.keys)

    assert answer.word == CANNOT_TELL
    assert f"this is of the log {later} and the keys file of" in reason(answer)


def test_a_next_volume_proves_the_entries_before_it() -> None:
    """Its keys file tells under which name each of them was said."""
    shop = staffed()
    shop.says(plain("lot.seen/1"), by="lead")
    leaves = [record.leaf for record in shop.records]
    shop.says(continued(shop, "log-2", lost=1), by="lead", yes=("root-1", "root-2"))
    leaves.append(shop.records[-1].leaf)
    keys = write_keys_file(
        shop.standing,
        lineage=shop.lineage(),
        number=1,
        date="2026-03-02",
        size=len(leaves),
        root=merkle.root(leaves),
        roots=[secret("root-1"), secret("root-2")],
    )
    origin = f"{ORIGIN}/v2"
    proof = _proof_in(leaves, 1, shop.records[1].data, origin, secret("log-2"))

    assert check(proof.text.encode(), keys).word == YES


def test_a_keys_file_alone_says_whose_it_is() -> None:
    """It vouches for others; damaged it does not even do that."""
    answer = check(PINNED.keys, None)

    assert (answer.word, answer.keys_date) == (CANNOT_TELL, "2026-11-24")
    assert "keys file 1 of ledger-fb820faeaed9c82e" in reason(answer)
    assert check(PINNED.keys[:-2], PINNED.keys).word == NO
