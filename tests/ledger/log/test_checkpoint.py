"""Notes and checkpoints: the published ones verify, and altered ones do not."""

import base64
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError, TamperError
from ledger.log.checkpoint import (
    Checkpoint,
    Note,
    NoteKey,
    checkpoint_by,
    cosigned_note,
    is_of_volume,
    parse_checkpoint,
    parse_note,
    sign_note,
    verified_checkpoint,
    verified_note,
)
from ledger.log.keys import SMALL_ORDER, SecretKey
from tests.ledger.log.damage import bits_flipped, damaged
from tests.ledger.log.workshop import VECTORS, secret

Standards = Callable[[str], Any]

# The first test key of RFC 8032 section 7.1, and the classic tree of eight leaves.
SEED = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
KEY = NoteKey("example.org/ledger-test", SecretKey(SEED).public)
ROOT = bytes.fromhex("5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328")
HEAD = Checkpoint(origin=KEY.name, size=8, root=ROOT)
NOTE = sign_note(HEAD.text, name=KEY.name, secret=SecretKey(SEED))
TEXT, LINE = NOTE.split("\n\n")
LINES = TEXT.split("\n")


def test_the_published_notes_verify(standards: Standards) -> None:
    """Notes from the documents of C2SP and of a known implementation are taken."""
    for known in standards("notes_checkpoints.json")["signed_notes"]:
        key = NoteKey.parse(known["vkey"])
        assert str(key) == known["vkey"]
        assert key.hash.hex() == known["key_id_hex"]
        assert str(key.public) == known["public_key_hex"]
        assert verified_note(known["note"], [key]).text == known["text"]


def test_a_published_note_is_signed_again_byte_for_byte(standards: Standards) -> None:
    """The published seed gives the published note."""
    known = standards("notes_checkpoints.json")["signed_notes"][0]
    key = SecretKey(bytes.fromhex(known["seed_hex"]))

    assert sign_note(known["text"], name="PeterNeumann", secret=key) == known["note"]


def test_the_notes_that_must_be_refused_are_refused(standards: Standards) -> None:
    """Flipped, cut, re-spelled and unknown: all nine are refused."""
    for known in standards("notes_checkpoints.json")["negative_notes"]:
        with pytest.raises(TamperError):
            verified_note(known["note"], [NoteKey.parse(known["vkey"])])


def test_a_checkpoint_of_a_second_writer_is_reproduced(standards: Standards) -> None:
    """Key, text and signature are the same, and a witness of another type is passed."""
    known = standards("notes_checkpoints.json")["generated_log_artifacts"]
    signed = known["checkpoint_signed"]

    assert str(KEY) == known["log_vkey"]
    assert HEAD.text == known["checkpoint_text"]
    assert signed.startswith(NOTE)
    assert verified_checkpoint(signed, [KEY]) == HEAD
    assert len(parse_note(signed).signatures) == 2


def test_the_checkpoint_of_the_vectors_is_written_and_read() -> None:
    """The committed checkpoint is of fourteen entries and comes back byte for byte."""
    note = (VECTORS / "checkpoint").read_text()
    head = parse_checkpoint(parse_note(note))
    seeds = dict(map(str.split, (VECTORS / "seeds").read_text().splitlines()))
    log = SecretKey(bytes.fromhex(seeds["log"]))

    assert head.size == 14
    assert head.root.hex() == (VECTORS / "root").read_text().strip()
    assert sign_note(head.text, name=head.origin, secret=log) == note
    assert verified_checkpoint(note, [NoteKey(head.origin, log.public)]) == head


def test_a_second_signature_stands_behind_the_first() -> None:
    """While a log's key is replaced both sign: each verifies, over the same words."""
    other = NoteKey(KEY.name, secret("log-new").public)
    both = cosigned_note(NOTE, name=other.name, secret=secret("log-new"))

    assert both.startswith(NOTE)
    assert both.count("\n\n") == 1
    assert [verified_checkpoint(both, [key]) for key in (KEY, other)] == [HEAD] * 2
    assert [line[1] for line in parse_note(both).signatures] == [KEY.hash, other.hash]


@given(st.integers(0, 2**53 - 1), st.binary(min_size=32, max_size=32))
def test_a_head_is_read_as_it_was_signed(size: int, root: bytes) -> None:
    """Any size of up to sixteen digits and any root make the round trip."""
    head = Checkpoint(origin=KEY.name, size=size, root=root)
    note = sign_note(head.text, name=KEY.name, secret=SecretKey(SEED))

    assert verified_checkpoint(note, [KEY]) == head


def test_no_bit_and_no_byte_of_a_note_can_change() -> None:
    """Flipped, lost or cut off, a note of one known key no longer verifies."""
    for bad in (*bits_flipped(NOTE.encode()), *damaged(NOTE.encode())):
        with pytest.raises(TamperError):
            verified_checkpoint(bad.decode("utf-8", errors="replace"), [KEY])


def signature_line(key: bytes, signature: bytes, name: str = "w.example") -> str:
    """Return a signature line of some key hash and bytes."""
    return f"— {name} {base64.b64encode(key + signature).decode()}\n"


@pytest.mark.parametrize("size", [1, 8, 64, 72, 2420])
def test_signatures_of_unknown_types_are_passed_over(size: int) -> None:
    """Whatever a later witness adds, the known signature still counts."""
    other = signature_line(b"\x06abc", b"\x07" * size)

    for note in (NOTE + other, f"{TEXT}\n\n{other}{LINE}"):
        assert verified_checkpoint(note, [KEY]) == HEAD


def test_a_known_signature_that_fails_spoils_the_whole_note() -> None:
    """One good signature does not excuse a bad one by another known key."""
    other = NoteKey("w.example", secret("witness").public)
    note = NOTE + signature_line(other.hash, b"\x00" * 64)

    assert verified_checkpoint(note, [KEY]) == HEAD
    with pytest.raises(TamperError, match=r"by w\.example does not verify"):
        verified_checkpoint(note, [KEY, other])


def test_a_key_is_known_by_its_name_and_its_hash() -> None:
    """The same key under another name, or another key under this one, is unknown."""
    for key in (
        NoteKey("b.example", KEY.public),
        NoteKey(KEY.name, secret("x").public),
    ):
        with pytest.raises(TamperError, match="no key that is known here"):
            verified_checkpoint(NOTE, [key])


def test_a_note_has_at_most_a_hundred_signatures() -> None:
    """A hundred are read, one more is refused before any is verified."""
    others = signature_line(b"abcd", b"\x07" * 64) * 99

    assert verified_checkpoint(NOTE + others, [KEY]) == HEAD
    with pytest.raises(TamperError, match="at most 100 signatures"):
        parse_note(NOTE + others + LINE)


@pytest.mark.parametrize(
    "note",
    [
        *("", "\n", "\n\n", "\n\n\n", TEXT, f"{TEXT}\n", f"{TEXT}\n\n", LINE),
        f"\n\n{LINE}",
        NOTE[:-1],
        NOTE + "\n",
        NOTE + " ",
        f"{TEXT}\n{LINE}",
        NOTE.replace("—", "-"),
        NOTE.replace("— ", "—"),
        NOTE.replace("— ", "—  "),
        NOTE.replace("\n", "\r\n"),
        NOTE.replace("8", "8\t"),
        f"{TEXT}\x00\n\n{LINE}",
        f"{TEXT}\n\n— a.example \n",
        f"{TEXT}\n\n— a.example\n",
        f"{TEXT}\n\n—  AAAAAAA=\n",
        f"{TEXT}\n\n— a+b AAAAAAA=\n",
        f"{TEXT}\n\n— a\u00a0b AAAAAAA=\n",
        f"{TEXT}\n\n— a.example AAAAAAA\n",
        f"{TEXT}\n\n— a.example AAAAAA==\n",
        f"{TEXT}\n\n— a.example AAAAAAB=\n",
        f"{TEXT}\n\n— a.example AA_AAAA=\n",
        f"{TEXT}\n\n— a.example AAAAAAA= x\n",
        "x" * 70_000 + NOTE,
    ],
)
def test_what_is_no_note_is_refused(note: str) -> None:
    """Blank line, dash, spaces, names, base64 and length each have one form."""
    with pytest.raises(TamperError):
        parse_note(note)


def test_a_note_ends_at_its_last_blank_line() -> None:
    """A text may have blank lines of its own, and lines that look like signatures."""
    text = f"a text\n\n{LINE}and more\n\n\n"
    note = sign_note(text, name=KEY.name, secret=SecretKey(SEED))

    assert verified_note(note, [KEY]).text == text


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n",
        "a.example\n",
        "a.example\n8\n",
        "a.example\n8\n" + "A" * 43 + "=",
        "\n8\n" + "A" * 43 + "=\n",
        "a.example\n08\n" + "A" * 43 + "=\n",
        "a.example\n-8\n" + "A" * 43 + "=\n",
        "a.example\n+8\n" + "A" * 43 + "=\n",
        "a.example\n8 \n" + "A" * 43 + "=\n",
        "a.example\n\n" + "A" * 43 + "=\n",
        "a.example\n٨\n" + "A" * 43 + "=\n",
        "a.example\n8.0\n" + "A" * 43 + "=\n",
        f"a.example\n{2**53}\n" + "A" * 43 + "=\n",
        f"a.example\n{10**16}\n" + "A" * 43 + "=\n",
        "a.example\n8\n" + "A" * 42 + "B=\n",
        "a.example\n8\n" + "A" * 40 + "==\n",
        "a.example\n8\n" + "A" * 44 + "\n",
        "a.example\n8\n" + "_" * 43 + "=\n",
    ],
)
def test_what_is_no_checkpoint_is_refused(text: str) -> None:
    """Origin, a decimal size without leading zero, and 32 bytes of base64."""
    with pytest.raises(TamperError):
        parse_checkpoint(Note(text, ()))


def test_extension_lines_are_passed_over() -> None:
    """A checkpoint with more lines is read by its first three."""
    note = sign_note(HEAD.text + "more\n", name=KEY.name, secret=SecretKey(SEED))

    assert verified_checkpoint(note, [KEY]) == HEAD


@pytest.mark.parametrize("raw", sorted(SMALL_ORDER)[:3])
def test_a_verifier_key_of_small_order_is_refused(raw: bytes) -> None:
    """Its hash may fit; anybody could still sign for it."""
    text = str(NoteKey("a.example", type(KEY.public)(raw)))

    with pytest.raises(RefusedError, match="of small order"):
        NoteKey.parse(text)


def test_a_damaged_verifier_key_is_refused() -> None:
    """Name, hash and key hang together: no byte of the text can change."""
    for bad in (*bits_flipped(str(KEY).encode()), *damaged(str(KEY).encode())):
        with pytest.raises(RefusedError):
            NoteKey.parse(bad.decode("utf-8", errors="replace"))


@pytest.mark.parametrize("text", [None, 7, "", "+", "++", "a+b", "a b+00000000+AQ=="])
def test_what_is_no_verifier_key_is_refused(text: object) -> None:
    """Three parts, a name without spaces, and the type of Ed25519."""
    with pytest.raises(RefusedError, match="is no Ed25519 verifier key"):
        NoteKey.parse(text)


def test_a_key_of_another_type_is_refused() -> None:
    """A cosigner's key of type 04 is no key of type 01."""
    data = base64.b64encode(b"\x04" + KEY.public.raw).decode()

    with pytest.raises(RefusedError, match="is no Ed25519 verifier key"):
        NoteKey.parse(f"{KEY.name}+{KEY.hash.hex()}+{data}")


def test_a_head_is_signed_by_the_log_it_names() -> None:
    """Another log's key, known as it may be, makes no head of this one."""
    other = NoteKey("other.example", SecretKey(b"o" * 32).public)
    note = sign_note(HEAD.text, name=other.name, secret=SecretKey(b"o" * 32))

    assert verified_note(note, [other]).text == HEAD.text
    with pytest.raises(TamperError, match="no key that is known here"):
        verified_checkpoint(note, [KEY, other])


@pytest.mark.parametrize(("over", "is_read"), [(0, True), (1, False)])
def test_a_note_has_at_most_65536_signs(over: int, is_read: bool) -> None:
    """The longest is read, and one sign more is not."""
    text = "x" * (
        65_536 + over - len(sign_note("\n", name="a", secret=SecretKey(SEED)))
    )
    note = sign_note(f"{text}\n", name="a", secret=SecretKey(SEED))

    assert len(note) == 65_536 + over
    if is_read:
        assert parse_note(note).text == f"{text}\n"
    else:
        with pytest.raises(TamperError, match="is not long"):
            parse_note(note)


def test_the_largest_tree_has_2_to_the_53_less_one_leaves() -> None:
    """An index beyond that is no whole number to every reader."""

    def read(size: int) -> Checkpoint:
        return parse_checkpoint(Note(f"a\n{size}\n{LINES[2]}\n", ()))

    assert read(2**53 - 1).size == 2**53 - 1
    with pytest.raises(TamperError, match="is no size of a tree"):
        read(2**53)


@pytest.mark.parametrize("code", [*range(10), *range(11, 32)])
def test_no_control_character_stands_in_a_note(code: int) -> None:
    """But for the ends of its lines."""
    with pytest.raises(TamperError, match="no control characters"):
        parse_note(NOTE.replace("example", f"ex{chr(code)}ample", 1))


def test_a_plus_in_a_key_s_base64_is_no_end_of_it() -> None:
    """Only the first two of a verifier key set its parts off."""
    keys = (SecretKey(bytes([n]) * 32).public for n in range(256))
    texts = [str(NoteKey("a.example", key)) for key in keys]
    several = [text for text in texts if text.count("+") > 3]

    assert several
    assert all(str(NoteKey.parse(text)) == text for text in several)


@pytest.mark.parametrize("first", ["ledger-0f", "skerry.example/log", "a/v2", "/v3"])
def test_a_log_goes_on_in_volumes_of_its_own_name(first: str) -> None:
    """Each in those behind it, and in none before it or of another log's."""
    names = [first, *(f"{first}/v{number}" for number in (2, 3, 10, 45, 999_999))]
    for place, name in enumerate(names):
        assert [is_of_volume(name, later) for later in names] == [
            n >= place for n in range(len(names))
        ]
    for other in ("/v1", "/v0", "/v02", "/v1000000", "/v", "/V2", "v2", "/v2/", "/v２"):
        assert not is_of_volume(first, first + other)
    assert not is_of_volume(first, f"x{first}/v2")
    assert not is_of_volume(f"{first}/v02", f"{first}/v3")


def test_a_head_is_read_by_the_key_that_signs_its_size() -> None:
    """The key of another size is not asked, and makes it no head."""
    asked: list[int] = []

    def keys_at(size: int) -> list[NoteKey]:
        asked.append(size)
        return [KEY] if size == HEAD.size else []

    assert checkpoint_by(NOTE, keys_at) == HEAD
    assert asked == [HEAD.size]
    with pytest.raises(TamperError, match="no key that is known here"):
        checkpoint_by(NOTE, lambda _: [])
