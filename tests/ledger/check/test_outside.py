"""Whatever a head was kept in, the same head is read out of it."""

from dataclasses import replace

import pytest

from ledger.check.outside import (
    Outside,
    is_spoken,
    is_whole,
    read_outside,
    read_spoken,
)
from ledger.errors import LedgerError, RefusedError
from ledger.log.card import read_card
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.words import ten_words
from tests.ledger.buying import CARD, PINNED, pdf_around
from tests.ledger.log.workshop import VECTORS

NOTE = (VECTORS / "checkpoint").read_text(encoding="utf-8")
HEAD = parse_checkpoint(parse_note(NOTE))
WORDS = " ".join(ten_words(HEAD.root))
PROVEN = PINNED.file.proof.checkpoint
OTHER = " ".join(ten_words(bytes(32)))


def of(note: str) -> Outside:
    """Return what is to be read out of a note."""
    return Outside.of(parse_checkpoint(parse_note(note)), note)


def paper(*notes: str) -> bytes:
    """Return the file of a paper with checkpoints printed on it."""
    parts = (
        b"5 0 obj\n<< /FLBK_Checkpoint 1 /Length %d >>\nstream\n%s\nendstream\nendobj\n"
        % (len(note.encode()), note.encode())
        for note in notes
    )
    return b"%PDF-1.7\n" + b"".join(parts)


@pytest.mark.parametrize(
    ("data", "note"),
    [
        (NOTE.encode(), NOTE),
        (f"{NOTE}\n{WORDS}\n".encode(), NOTE),
        (f"{NOTE}\n{WORDS}\n\n\n".encode(), NOTE),
        (f"old 0\n\n{NOTE}".encode(), NOTE),
        (f"old 0\n\n{NOTE}\n{WORDS}".encode(), NOTE),
        (PINNED.file.proof.text.encode(), PROVEN),
        (PINNED.data, PROVEN),
        (pdf_around(PINNED.data), PROVEN),
        (paper(NOTE), NOTE),
        (paper(NOTE) + b"6 0 obj\n<< >>\nstream\nx\nendstream", NOTE),
    ],
    ids=[
        "note",
        "slip",
        "long slip",
        "asked",
        "asked slip",
        "proof",
        "certificate",
        "pdf",
        "paper",
        "long paper",
    ],
)
def test_a_head_is_read_out_of_all_that_holds_its_note(data: bytes, note: str) -> None:
    """With its origin, all of its root and the note itself."""
    head = read_outside(data, "what was kept")

    assert head == of(note)
    assert head.note == note and len(head.root_start) == 32 and head.leaf is None


def test_a_card_tells_how_many_entries_there_were_and_the_last_of_them() -> None:
    """It knows no root and no origin."""
    claims = read_card(CARD.decode()).claims
    head = read_outside(CARD + b"\n", "card.txt")

    assert head == Outside(size=claims.index + 1, root_start=b"", leaf=claims.leaf)
    with pytest.raises(LedgerError, match="damaged"):
        read_outside(CARD[:-3], "card.txt")


@pytest.mark.parametrize("size", ["71391", "71,391", "71'391", "71\u2009391", " 71391"])
def test_what_a_paper_says_is_read_however_its_number_is_set(size: str) -> None:
    """Ten words are the beginning of a root."""
    said = read_spoken(f"{size} {WORDS}")

    assert is_spoken(f"{size} {WORDS}")
    assert said == Outside(size=71_391, root_start=HEAD.root[:10])


@pytest.mark.parametrize(
    ("said", "why"),
    [
        (f"{10**15} {WORDS}", f"{10**15} is no number of entries: read the paper"),
        ("9" * 30, f"{'9' * 20} is no number"),
        (f"٣ {WORDS}", "٣ is no number"),
        (f"-3 {WORDS}", "-3 is no number"),
        ("", " is no number"),
        ("9 acorn", "has 10 words, and 1 are here"),
    ],
)
def test_what_no_paper_says_is_refused(said: str, why: str) -> None:
    """Nobody's number is shown at any length."""
    with pytest.raises(RefusedError, match=why) as told:
        read_spoken(said)

    assert len(str(told.value)) < 120
    assert read_spoken(f"{10**15 - 1} {WORDS}").size == 10**15 - 1


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"two words", "it holds no checkpoint"),
        (b"\xff", r"it holds no checkpoint \(it is no text\)"),
        (b"{}", "it holds no checkpoint"),
        (b"%PDF-1.7", "nothing rides in this PDF"),
        (b"old 0", "begins with 'old' and a size"),
        (f"{NOTE}\n{OTHER}".encode(), "are not those of its root: one of the two"),
        (f"{NOTE}\n{WORDS} oak".encode(), "has 10 words, and 11 are here"),
        (f"{NOTE}\n{WORDS} x".encode(), "'x' is none of the words"),
        (f"\n\n{WORDS}".encode(), "it holds no checkpoint"),
        (f"{HEAD.origin}\n\n{WORDS}".encode(), "it holds no checkpoint"),
    ],
)
def test_what_holds_no_head_is_refused(data: bytes, why: str) -> None:
    """In one sentence that says what to give."""
    with pytest.raises(RefusedError, match=why) as told:
        read_outside(data, "it")

    assert str(told.value).endswith(
        "or type what a paper says, such as '71391 pocket lumber …'"
    )


@pytest.mark.parametrize(
    ("text", "spoken", "whole"),
    [
        (NOTE, False, True),
        (f"old 0\n\n{NOTE}", False, True),
        (CARD.decode(), False, True),
        ("V#é12", False, False),
        ("V#\udcff12", False, False),
        (f"7x1 {WORDS}", False, False),
        ("note.txt", False, False),
        ("two words", False, False),
        (f"9 {WORDS}", True, False),
        ("9,9", True, False),
        ("", False, False),
    ],
)
def test_what_was_typed_is_told_from_the_name_of_a_file(
    text: str, spoken: bool, whole: bool
) -> None:
    """A paper's words begin with a number; a note and a card need no file."""
    assert (is_spoken(text), is_whole(text)) == (spoken, whole)


def test_a_head_that_is_known_needs_no_note() -> None:
    """One that was read from a log stands for itself."""
    assert Outside.of(HEAD) == replace(of(NOTE), note=None)


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (paper(), "nothing rides in this PDF"),
        (paper(NOTE, NOTE), "2 ride in this PDF"),
        (paper(NOTE) + pdf_around(PINNED.data), "2 ride in this PDF"),
        (paper(NOTE)[:-40], "the one in this PDF is cut off"),
        (paper(NOTE[:-9]), "a.pdf holds no checkpoint"),
        (paper("8" * 6000), "a.pdf holds no checkpoint"),
        (paper(NOTE).replace(b"endstream", b"endstrean"), "in this PDF is cut off"),
        (paper(NOTE).replace(b" >>", b" >"), "the one in this PDF is cut off"),
    ],
)
def test_a_paper_without_one_whole_checkpoint_is_refused(data: bytes, why: str) -> None:
    """With more than one nobody could say which of them was printed."""
    with pytest.raises(RefusedError, match=why):
        read_outside(data, "a.pdf")
