"""Proof files and certificate files: the vectors, and every way to spoil them."""

import hashlib
import hmac
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import LedgerError, TamperError
from ledger.log.checkpoint import NoteKey, verified_checkpoint
from ledger.log.encoding import canonical, parse_object
from ledger.log.keysfile import read_keys_file
from ledger.log.merkle import leaf_hash
from ledger.log.proof import (
    CertificateFile,
    Disclosure,
    Proof,
    parse_certificate_file,
    parse_proof,
)
from tests.ledger.log.damage import broken_paths, damaged
from tests.ledger.log.workshop import VECTORS, vector_records

TEXT = (VECTORS / "certificate.tlog-proof").read_text()
DATA = (VECTORS / "certificate.json").read_bytes()
PROOF = parse_proof(TEXT)
FILE = parse_certificate_file(DATA)
RECORD = vector_records()[10]
KEYS = read_keys_file((VECTORS / "keys.json").read_bytes())
LOG_KEYS = KEYS.log_keys_at(KEYS.size)


def test_the_proof_of_the_vectors_is_read_and_written_byte_for_byte() -> None:
    """It proves the certificate's record, which it carries, at index 10 of 14."""
    assert PROOF.text == TEXT
    assert (PROOF.index, PROOF.head.size) == (10, 14)
    assert PROOF.extra == RECORD.data
    assert PROOF.covers(RECORD.leaf)
    assert verified_checkpoint(PROOF.checkpoint, LOG_KEYS) == PROOF.head


def test_a_proof_of_a_second_writer_is_read_and_written_back(
    standards: Callable[[str], Any],
) -> None:
    """Leaf 5 of the classic eight is proved by a text that was written elsewhere."""
    known = standards("notes_checkpoints.json")["generated_log_artifacts"]
    proof = parse_proof(known["tlog_proof_index5"])

    assert proof.text == known["tlog_proof_index5"]
    assert proof.extra is None
    assert proof.covers(leaf_hash(bytes.fromhex("40414243")))
    assert verified_checkpoint(proof.checkpoint, [NoteKey.parse(known["log_vkey"])])


def test_the_certificate_file_of_the_vectors_is_read_and_written_byte_for_byte() -> (
    None
):
    """Record, leaf, path, checkpoint, names and token all hang together."""
    assert FILE.data == DATA
    assert FILE.record == RECORD
    assert FILE.proof == replace(PROOF, extra=None)
    assert [d.value for d in FILE.disclosed] == [
        "Oluwaseun Adeyemi-Brandt",
        "Rukmini Desai",
    ]
    assert is_whole(FILE)


def is_whole(file: CertificateFile) -> bool:
    """Tell whether all that can be checked with the shop's keys fits together."""
    event = file.record.entry.event
    signer = KEYS.key(file.record.entry.key)
    head = verified_checkpoint(file.proof.checkpoint, LOG_KEYS)
    opened = {(d.subject, d.commitment) for d in file.disclosed}
    token = hashlib.sha256(file.status_token).hexdigest()
    return (
        signer is not None
        and file.record.is_signed_by(signer.public)
        and file.proof.covers(file.record.leaf)
        and file.proof.index == file.record.entry.index
        and head.origin == file.record.entry.origin
        and opened == {(m["subject"], m["name_commitment"]) for m in event["makers"]}
        and token == event["status_token_sha256"]
    )


def stands(data: bytes) -> bool:
    """Tell whether bytes are a certificate file in which everything fits."""
    try:
        return is_whole(parse_certificate_file(data))
    except LedgerError:
        return False


def test_no_byte_of_a_certificate_file_can_change() -> None:
    """Flipped, lost or cut off there, it is refused or something no longer fits."""
    assert stands(DATA)

    for bad in damaged(DATA):
        assert not stands(bad)


def test_no_byte_of_a_proof_file_can_change() -> None:
    """It is refused, its record is another, or its checkpoint does not verify."""

    def proves(data: bytes) -> bool:
        try:
            proof = parse_proof(data.decode("utf-8", errors="replace"))
            verified_checkpoint(proof.checkpoint, LOG_KEYS)
        except TamperError:
            return False
        return proof.extra == RECORD.data and proof.covers(RECORD.leaf)

    assert proves(TEXT.encode())
    for bad in damaged(TEXT.encode()):
        assert not proves(bad)


def test_a_proof_with_a_broken_path_covers_nothing() -> None:
    """A hash that is flipped, lost, doubled, swapped or added leads elsewhere."""
    for path in broken_paths(PROOF.path):
        assert not replace(PROOF, path=tuple(path)).covers(RECORD.leaf)
    assert not replace(PROOF, index=9).covers(RECORD.leaf)
    assert not replace(PROOF, index=14).covers(RECORD.leaf)
    assert not PROOF.covers(vector_records()[9].leaf)


@given(
    st.integers(0, 2**53 - 1),
    st.lists(st.binary(min_size=32, max_size=32), max_size=63),
    st.none() | st.binary(max_size=100),
)
def test_any_proof_survives_the_round_trip(
    index: int, path: list[bytes], extra: bytes | None
) -> None:
    """Index, path and record come back as they were written."""
    proof = Proof(
        index=index, path=tuple(path), checkpoint=PROOF.checkpoint, extra=extra
    )

    assert parse_proof(proof.text) == proof


HASH = "A" * 43 + "="
HEAD = f"\n\n{PROOF.checkpoint}"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n\n",
        "c2sp.org/tlog-proof@v1",
        f"c2sp.org/tlog-proof@v1{HEAD}",
        f"c2sp.org/tlog-proof@v2\nindex 1{HEAD}",
        f"index 1{HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex 1\n{HASH}\n",
        f"c2sp.org/tlog-proof@v1\nindex 1\n{HASH}\n\n",
        f"c2sp.org/tlog-proof@v1\nindex 1\n{HASH}\n\nnot a note",
        f"c2sp.org/tlog-proof@v1\nindex 01{HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex -1{HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex ١{HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex{HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex  1{HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex 1 {HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex {2**53}{HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex {10**16}{HEAD}",
        f"c2sp.org/tlog-proof@v1\nextra AAA\nindex 1{HEAD}",
        f"c2sp.org/tlog-proof@v1\nextra AAAA\nextra AAAA\nindex 1{HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex 1\nextra AAAA{HEAD}",
        f"c2sp.org/tlog-proof@v1\nextra{HEAD}",
        f"c2sp.org/tlog-proof@v1\r\nindex 1{HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex 1\n{HASH[:-4]}{HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex 1\n{HASH[:-2]}B={HEAD}",
        f"c2sp.org/tlog-proof@v1\nindex 1\n{HASH} {HEAD}",
        "c2sp.org/tlog-proof@v1\nindex 1" + f"\n{HASH}" * 64 + HEAD,
        f"c2sp.org/tlog-proof@v1\nextra {'A' * 1_048_576}\nindex 1{HEAD}",
    ],
)
def test_what_is_no_proof_file_is_refused(text: str) -> None:
    """Header, extra, index, hashes, blank line, checkpoint: in this order."""
    with pytest.raises(TamperError):
        parse_proof(text)


def test_the_longest_proof_is_read() -> None:
    """A path of sixty-three hashes, the last index there can be, a mebibyte of text."""
    start = "c2sp.org/tlog-proof@v1\n"
    longest = parse_proof(f"{start}index {2**53 - 1}" + f"\n{HASH}" * 63 + HEAD)
    room = 1_048_000 - len(f"{start}extra \nindex 1{HEAD}")
    full = f"{start}extra {'A' * (room // 4 * 4)}\nindex 1{HEAD}"
    # The base64 goes up in fours; unknown signers' names fill what is left.
    full += "— " + "n" * (1_048_576 - len(full) - len("—  AAAAAAAA\n")) + " AAAAAAAA\n"

    assert (longest.index, len(longest.path)) == (2**53 - 1, 63)
    assert len(full) == 1_048_576
    assert parse_proof(full).index == 1
    with pytest.raises(TamperError, match="this is no c2sp"):
        parse_proof(full.replace(" AAAAAAAA\n", "n AAAAAAAA\n"))


def test_a_proof_without_a_checkpoint_is_no_proof() -> None:
    """It says so itself, whatever the checkpoint's own reader would say."""
    with pytest.raises(TamperError, match="this is no c2sp"):
        parse_proof(f"c2sp.org/tlog-proof@v1\nindex 1\n{HASH}\n\n")


WRONG: list[object] = [None, 7, "", [7], {}]


def altered() -> Iterator[dict[str, Any]]:
    """Yield the members of the certificate file, each time with one fault of form."""
    said = parse_object(DATA)
    first = said["disclosed"][0]
    for name in said:
        yield {n: value for n, value in said.items() if n != name}
        for value in WRONG:
            yield said | {name: value}
    yield said | {"note": ""}
    yield said | {"format": "flitchbook-certificate/2"}
    yield said | {"status_token": "00" * 15}
    yield said | {"status_token": said["status_token"].upper()}
    yield said | {"proof": TEXT}
    yield said | {"record": said["record"] + "\n"}
    for name in first:
        yield said | {"disclosed": [{n: v for n, v in first.items() if n != name}]}
        yield said | {"disclosed": [first | {name: None}]}
    yield said | {"disclosed": [first | {"note": ""}]}
    yield said | {"disclosed": [first | {"key": first["key"] + "00"}]}
    yield said | {"disclosed": [first | {"key": first["key"].upper()}]}


@pytest.mark.parametrize("said", list(altered()))
def test_what_is_no_certificate_file_is_refused(said: dict[str, Any]) -> None:
    """Each member has its form; nothing is missing and nothing is over."""
    with pytest.raises(TamperError):
        parse_certificate_file(canonical(said))


def test_a_certificate_file_is_canonical_and_not_long() -> None:
    """A space, a final LF, or a file of over a mebibyte is not read."""
    for bad in (DATA + b"\n", DATA.replace(b":", b": ", 1), DATA + b" " * 1_048_576):
        with pytest.raises(TamperError):
            parse_certificate_file(bad)


@pytest.mark.parametrize(("over", "why"), [(0, "this is no f"), (1, "at most 1048576")])
def test_a_mebibyte_is_looked_at_and_no_byte_more(over: int, why: str) -> None:
    """Of a larger file not even the form is judged."""
    text = "x" * (1_048_576 + over - len('{"a":""}'))
    with pytest.raises(TamperError, match=why):
        parse_certificate_file(canonical({"a": text}))


def test_a_disclosure_opens_its_commitment_and_no_other() -> None:
    """It is an HMAC (RFC 2104) over field, subject and value, under its own key."""
    shown = Disclosure(field="person.name", subject="5a" * 16, value="X", key=b"k" * 32)
    said = b'{"f":"person.name","s":"' + b"5a" * 16 + b'","v":"X"}'
    others = (
        replace(shown, field="owner.name"),
        replace(shown, subject="5b" * 16),
        replace(shown, value="Y"),
        replace(shown, key=b"l" * 32),
    )

    assert shown.commitment == hmac.new(b"k" * 32, said, hashlib.sha256).hexdigest()
    assert all(other.commitment != shown.commitment for other in others)
