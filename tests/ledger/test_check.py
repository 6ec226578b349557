"""A stranger's check says YES to what the shop said, and to nothing else."""

import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts import certificates, copies, heads, people, signing
from ledger.check import CANNOT_TELL, MARKER, NO, YES, Answer, check_certificate
from ledger.log.checkpoint import sign_note
from ledger.log.cosignature import cosign
from ledger.log.encoding import canonical, parse_object
from ledger.log.entry import parse_record
from ledger.log.keys import SMALL_ORDER, SecretKey
from tests import skerrymoor
from tests.ledger.buying import (
    NUMBER,
    Sold,
    certificate_by,
    disclosures,
    odd_versions,
    pdf_around,
    sold_by,
)
from tests.ledger.log.damage import flipped
from tests.skerrymoor import Loft


@pytest.fixture(scope="module")
def sold(tmp_path_factory: pytest.TempPathFactory, certified_folder: Path) -> Sold:
    """Give the certificate of the certified instrument, and the shop's keys file."""
    folder = tmp_path_factory.mktemp("sold")
    loft = skerrymoor.again(folder, certified_folder, "sold")
    made = sold_by(loft)
    loft.shop.close()
    return made


def reason(answer: Answer) -> str:
    """Return the first reason of an answer."""
    return answer.reasons[0]


def test_a_whole_certificate_under_the_shop_s_keys_is_a_yes(sold: Sold) -> None:
    """With the facts of the record, the disclosed names, and when it was entered."""
    answer = check_certificate(sold.data, sold.keys)

    assert (answer.word, bool(answer)) == (YES, True)
    assert answer.facts == sold.event
    assert answer.facts.number == NUMBER
    names = {"Maura Kiely", "Jakub Wolański", "Ferrante & Daughters"}
    assert set((answer.names or {}).values()) == names
    assert answer.entered == sold.file.record.entry.at
    assert answer.index == sold.file.record.entry.index
    assert answer.checkpoint == sold.file.proof.head
    assert answer.keys_date == "2026-01-05"


def test_a_checkpoint_that_a_witness_signed_too_is_as_good(sold: Sold) -> None:
    """Its line is passed over by whoever does not know the witness."""
    proof = sold.file.proof
    text = proof.checkpoint.rpartition("\n\n")[0] + "\n"
    line = cosign(text, name="w.example", secret=SecretKey(bytes(32)), seconds=1)
    more = replace(proof, checkpoint=proof.checkpoint + line)
    data = replace(sold.file, proof=more).data

    assert data != sold.data
    assert check_certificate(data, sold.keys).word == YES


def test_without_a_keys_file_nobody_can_tell(sold: Sold) -> None:
    """However whole it is in itself: anybody can make up a shop."""
    answer = check_certificate(sold.data, None)

    assert (answer.word, bool(answer)) == (CANNOT_TELL, False)
    assert reason(answer).startswith("whole in itself; signed by key ")
    assert answer.facts == sold.event


def test_no_byte_of_a_certificate_can_be_changed(sold: Sold) -> None:
    """A certificate of which any byte is another one is never a YES."""
    words = [check_certificate(bad, sold.keys).word for bad in flipped(sold.data)]

    assert YES not in words
    assert words.count(NO) > 0.9 * len(words)


@pytest.mark.parametrize("stop", [1, 17, 400, -400, -1])
def test_a_certificate_that_was_cut_off_is_a_no(sold: Sold, stop: int) -> None:
    """Neither its beginning nor a longer piece will do."""
    assert check_certificate(sold.data[:stop], sold.keys).word == NO


def test_what_was_retyped_on_the_page_does_not_change_the_answer(sold: Sold) -> None:
    """The words around a true attachment are not judged: the record's are shown."""
    true = check_certificate(pdf_around(sold.data), sold.keys)
    retyped = check_certificate(pdf_around(sold.data, "26-9999-9"), sold.keys)

    assert true.word == retyped.word == YES
    assert true.facts == retyped.facts == sold.event
    assert "compare these facts with the paper" in reason(retyped)


def test_a_line_of_the_page_may_end_with_a_carriage_return(sold: Sold) -> None:
    """Whoever passes a PDF on may have written the lines around the file anew."""
    page = pdf_around(sold.data)
    for line in (b">>\nstream", b"\nstream\n", b"\nendstream"):
        changed = page.replace(line, line.replace(b"\n", b"\r\n"))

        assert changed != page
        assert check_certificate(changed, sold.keys).word == YES


@pytest.mark.parametrize("count", [2, 3])
def test_a_page_with_several_attachments_is_refused(sold: Sold, count: int) -> None:
    """Nobody could tell which of them the page shows."""
    pages = pdf_around(sold.data) * count
    answer = check_certificate(pages, sold.keys)

    assert answer.word == NO
    assert f"{count} certificate files" in reason(answer)


@pytest.mark.parametrize(
    ("page", "said"),
    [
        (b"%PDF-1.7\n" + MARKER + b" true>>\nstream\n{}", "cut off"),
        (b"%PDF-1.7\n" + MARKER + b">>\nstream\n{}\nendstrea", "cut off"),
        (b"%PDF-1.7\n" + MARKER + b">\nstream\n{}\nendstream", "cut off"),
        (b"%PDF-1.7\n" + MARKER + b">>\nstream\n{}\nendstream", "no flitchbook"),
    ],
)
def test_a_page_without_a_whole_attachment_is_a_no(page: bytes, said: str) -> None:
    """One that is cut off, or something else altogether."""
    answer = check_certificate(page, None)

    assert answer.word == NO
    assert said in reason(answer)


def test_another_shop_of_the_same_name_cannot_vouch(tmp_path: Path, sold: Sold) -> None:
    """Its keys file is sound, and it is of another log."""
    shop = skerrymoor.founded(
        tmp_path, clock=skerrymoor.Clock(), lead=skerrymoor.LEAD, label="another shop"
    )
    loft = skerrymoor.manned(shop, skerrymoor.Clock(), tmp_path)
    keys = copies.publish_keys(shop, loft.roots[:2]).read_bytes()
    shop.close()

    answer = check_certificate(sold.data, keys)

    assert parse_object(keys)["origin"] != sold.file.record.entry.origin
    assert answer.word == CANNOT_TELL
    assert "another shop" in reason(answer)


def test_a_certificate_newer_than_the_keys_file_cannot_be_judged(
    certified: Loft,
) -> None:
    """The keys of its time may be others: a newer keys file is needed."""
    keys = copies.publish_keys(certified.shop, certified.roots[:2]).read_bytes()
    number = certified.issue(certified.another())
    file = certificates.certificate_paper(certified.shop, number).file

    answer = check_certificate(file.data, keys)

    assert answer.word == CANNOT_TELL
    assert "newer than this keys file" in reason(answer)
    assert check_certificate(file.data, sold_by(certified, number).keys)


def test_a_builder_who_is_no_lead_issues_nothing(certified: Loft) -> None:
    """A true signature by a true key of the shop, and yet a NO."""
    made = certificate_by(certified, certified.keys["03"])
    answer = check_certificate(made.data, made.keys)

    assert answer.word == NO
    assert "was no lead" in reason(answer)


def test_a_superseded_key_issues_nothing_more(certified: Loft) -> None:
    """What it issued before still stands; what it signs later does not."""
    old = certified.keys["01"]
    people.replace_key(
        certified.shop,
        certified.person("01"),
        "0815",
        certified.hands("12", "roots"),
        stretching=skerrymoor.CHEAP,
    )
    made = certificate_by(certified, old)
    answer = check_certificate(made.data, made.keys)
    before = certificates.certificate_paper(certified.shop, "C-2026-00001").file

    assert answer.word == NO
    assert "the key was superseded" in reason(answer)
    assert check_certificate(before.data, made.keys)


@pytest.mark.parametrize("whose", ["root", "card", "stranger"])
def test_a_key_of_another_purpose_or_house_issues_nothing(
    certified: Loft, whose: str
) -> None:
    """A root key does not issue, nor the card key, nor a key nobody knows."""
    lead = certified.person("01")
    secret = {
        "root": certified.roots[0],
        "card": signing.card_key(certified.shop, lead, skerrymoor.LEAD.pin),
        "stranger": SecretKey(b"z" * 32),
    }[whose]
    made = certificate_by(certified, secret)
    answer = check_certificate(made.data, made.keys)

    assert answer.word == NO
    assert f"signed by key {secret.id}" in reason(answer)


def test_a_head_that_the_log_did_not_sign_proves_nothing(sold: Sold) -> None:
    """A head of the same text, signed by a key that is not the log's."""
    head = sold.file.proof.head
    note = sign_note(head.text, name=head.origin, secret=SecretKey(b"y" * 32))
    proof = replace(sold.file.proof, checkpoint=note)
    answer = check_certificate(replace(sold.file, proof=proof).data, sold.keys)

    assert answer.word == NO
    assert "did not sign this checkpoint" in reason(answer)


def test_two_roots_at_one_size_are_a_no(sold: Sold) -> None:
    """The roots vouch for another tree of the size that the proof is of."""
    size = sold.file.proof.head.size
    keys = sold.changed_keys(size=size, root="11" * 32)
    answer = check_certificate(sold.data, keys)

    assert answer.word == NO
    assert "another root at this size" in reason(answer)


def test_what_a_disputed_key_said_cannot_be_judged(sold: Sold) -> None:
    """From the disputed entry on; what it said before stands."""
    index = sold.file.record.entry.index
    since = sold.changed_keys(keys=sold.key_rows(disputed_since=index))
    later = sold.changed_keys(keys=sold.key_rows(disputed_since=index + 1))

    assert check_certificate(sold.data, since).word == CANNOT_TELL
    assert check_certificate(sold.data, later).word == YES


@pytest.mark.parametrize("raw", sorted(SMALL_ORDER), ids=lambda raw: raw.hex()[:8])
def test_a_key_that_fits_any_message_spoils_the_keys_file(
    sold: Sold, raw: bytes
) -> None:
    """Of the small-order keys none is taken, whoever vouches for it."""
    keys = sold.changed_keys(keys=sold.key_rows(public=raw.hex()))
    answer = check_certificate(sold.data, keys)

    assert answer.word == CANNOT_TELL
    assert "small order" in reason(answer)


def test_a_keys_file_signed_by_too_few_roots_does_not_hold(sold: Sold) -> None:
    """One of two is not enough, and no byte of the file can be another."""
    alone = replace(sold, roots=sold.roots[:1]).changed_keys()

    assert check_certificate(sold.data, alone).word == CANNOT_TELL
    for bad in list(flipped(sold.keys))[::7]:
        assert check_certificate(sold.data, bad).word == CANNOT_TELL


@pytest.mark.parametrize(
    "fault", ["name", "key", "subject", "twice", "field", "stranger", "token"]
)
def test_a_disclosure_opens_what_the_record_commits_to(sold: Sold, fault: str) -> None:
    """Another name, key, subject or token is a NO, and so is the same one twice."""
    file = dict(disclosures(sold))[fault]

    assert check_certificate(file.data, sold.keys).word == NO


def test_names_may_be_kept_back(sold: Sold) -> None:
    """A certificate that discloses fewer names, or none, is as true as before."""
    none = replace(sold.file, disclosed=())
    one = replace(sold.file, disclosed=sold.file.disclosed[1:2])

    assert check_certificate(none.data, sold.keys).names == {}
    assert len(check_certificate(one.data, sold.keys).names or {}) == 1


def test_an_odd_value_anywhere_in_the_record_is_a_no(sold: Sold) -> None:
    """Null, a list, a text where a number stands: never an error, never a YES."""
    line, signature = sold.file.record.data.split(b"\n", 1)
    members = parse_object(sold.data)
    for entry in odd_versions(parse_object(line)):
        record = (entry + b"\n" + signature).decode()
        data = canonical(members | {"record": record})

        assert check_certificate(data, sold.keys).word == NO


def test_an_odd_value_anywhere_in_the_certificate_is_a_no(sold: Sold) -> None:
    """Only the list of disclosed names may be empty."""
    for data in odd_versions(parse_object(sold.data)):
        is_silent = parse_object(data)["disclosed"] == []

        assert check_certificate(data, sold.keys).word == (YES if is_silent else NO)


def test_an_odd_value_anywhere_in_the_keys_file_vouches_for_nothing(
    sold: Sold,
) -> None:
    """Whatever does not hold says nothing about the certificate."""
    for keys in odd_versions(parse_object(sold.keys)):
        assert check_certificate(sold.data, keys).word == CANNOT_TELL


@given(st.binary(max_size=300), st.none() | st.binary(max_size=300))
def test_whatever_the_bytes_are_there_is_an_answer(
    data: bytes, keys: bytes | None
) -> None:
    """Noise holds nothing signed, and is never an error."""
    is_named, is_attached = b"flitchbook-" in data, MARKER in data

    assert check_certificate(b"{" + data, keys).word == NO
    assert check_certificate(b"." + data, keys).word == (
        NO if is_named else CANNOT_TELL
    )
    page = check_certificate(b"%PDF-" + data, keys)
    assert page.word == (NO if is_attached else CANNOT_TELL)


HOSTILE: dict[str, Callable[[], bytes]] = {
    "a file of two million bytes": lambda: b'{"record":"' + b"x" * 2_000_000 + b'"}',
    "lists in lists": lambda: b'{"disclosed":' + b"[" * 500_000,
    "a number without end": lambda: b'{"record":' + b"9" * 900_000 + b"}",
    "a dictionary without end": lambda: b"%PDF-" + MARKER + b">>" * 4_000_000,
    "streams without end": lambda: (
        b"%PDF-" + MARKER + b">>\nstream\n" + b"x\n" * 4_000_000
    ),
    "carriage returns": lambda: b"%PDF-" + MARKER + b">>\r" * 4_000_000,
}


@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_file_is_answered_soon(what: str) -> None:
    """Sizes are limited before anything is read; no search goes back and forth."""
    data = HOSTILE[what]()
    began = time.process_time()
    answer = check_certificate(data, None)

    assert answer.word == NO
    assert time.process_time() - began < 2


def test_a_keys_file_beyond_all_size_is_not_read(sold: Sold) -> None:
    """A shop of a thousand people has less than a hundredth of that."""
    answer = check_certificate(sold.data, b"[" * (17 * 1_048_576))

    assert answer.word == CANNOT_TELL
    assert "at most" in reason(answer)


def test_a_record_of_another_kind_is_no_certificate(certified: Loft) -> None:
    """A proof of any other entry proves that entry only."""
    true = certificates.certificate_paper(certified.shop, NUMBER).file
    record = parse_record(certified.shop.store.record(1))
    other = replace(true, record=record, proof=heads.prove(certified.shop, 1))

    assert "issues no certificate" in reason(check_certificate(other.data, None))
    swapped = replace(true, proof=heads.prove(certified.shop, 1))
    assert "not the one" in reason(check_certificate(swapped.data, None))


def test_a_stranger_needs_no_database() -> None:
    """The check imports neither sqlmodel nor sqlalchemy nor sqlite3."""
    program = "import sys, ledger.check; print(*sorted(sys.modules))"
    run = subprocess.run(
        [sys.executable, "-c", program],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=True,
    )
    loaded = set(run.stdout.split())

    assert "ledger.check" in loaded
    assert not loaded & {"sqlmodel", "sqlalchemy", "sqlite3", "ledger.views"}
