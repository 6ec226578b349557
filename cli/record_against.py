"""What was kept outside, read: a note, a proof, a certificate, a card, typed words."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from cli import show

# How each line of signature in a note begins (C2SP signed-note).
SIGNED = "— "
# How a tag's checkpoint is typed.
SAID = "what a paper says, such as '71391 pocket lumber …'"
# How many entries, as a paper sets it: 71,391 or 71 391.
APART = dict.fromkeys(map(ord, ",'\u00a0\u2009\u202f"))


def outside(said: str) -> Any:
    """Read a head that was kept elsewhere: from a file, or as a tag's words say it."""
    from ledger.check import CARD_TEXT
    from ledger.codes import shown
    from ledger.errors import RefusedError

    if not said.strip():
        raise RefusedError(f"--against is empty: name a file, or type {SAID}")
    if is_typed(said):
        size, _, words = said.strip().partition(" ")
        return _spoken(size.translate(APART), words)
    if CARD_TEXT.fullmatch(said.encode("utf-8", errors="replace")):
        return _of_card(said)
    if f"\n\n{SIGNED}" in said:
        return _of_text(said, "what you typed")
    path = Path(said)
    if " " in said.strip() and not path.exists():
        raise RefusedError(
            f"{shown(said)} is no file here, and the words of a paper begin with "
            f"its number of entries: type {SAID}"
        )
    return _written(path)


def is_typed(said: str) -> bool:
    """Tell whether a paper's number and words were typed, and no file named."""
    first = said.strip().partition(" ")[0].translate(APART)
    return first.isdecimal() and not Path(said).exists()


def kept(shop: Any, report: Any, held: Any) -> Iterator[str]:
    """Keep a note that proves more than the log holds, and say so.

    Only what the log's own key signed: words that were typed accuse nobody for good.
    """
    from ledger.acts.outside import hold_against
    from ledger.errors import LedgerError

    if report or held is None or held.note is None:
        return
    try:
        gap = hold_against(shop.store, shop.folder, shop.state, held.note, shop.today())
    except LedgerError:
        # The end of the log does not fit together, and that is among the findings.
        return
    if gap is not None:
        yield (
            "The log's own key signed what you gave. It is kept as evidence: nothing "
            "is recorded on this log until it holds those entries."
        )


def _spoken(size: str, words: str) -> Any:
    from labels.words import spoken_bytes
    from ledger.audit import Outside
    from ledger.errors import RefusedError

    if len(size) > 15 or not size.isascii():
        raise RefusedError(f"{size[:20]} is no number of entries: read the paper again")
    return Outside(size=int(size), root_start=spoken_bytes(words))


def _of_card(text: str) -> Any:
    """Read the entry that a card speaks of: its index and its leaf hash."""
    from ledger.audit import Outside
    from ledger.log.card import read_card

    claims = read_card(text).claims
    return Outside(size=claims.index + 1, root_start=b"", leaf=claims.leaf)


def _written(path: Path) -> Any:
    """Read a head out of a note, a proof, a certificate with its proof, or a card."""
    from ledger.check import CARD_TEXT

    data = show.read_file(path)
    if CARD_TEXT.fullmatch(data):
        return _of_card(data.decode("ascii"))
    return _of_data(data, str(path))


def _of_text(text: str, named: str) -> Any:
    return _of_data(text.encode("utf-8", errors="replace"), named)


def _of_data(data: bytes, named: str) -> Any:
    from ledger.audit import Outside
    from ledger.errors import LedgerError, RefusedError
    from ledger.log.checkpoint import parse_checkpoint, parse_note

    try:
        note = _note_in(data)
        return Outside.of(parse_checkpoint(parse_note(note)), note)
    except LedgerError as fault:
        raise RefusedError(
            f"{named} holds no checkpoint ({fault}): name a note, a proof or a "
            f"certificate, or type {SAID}"
        ) from None


def _note_in(data: bytes) -> str:
    """Return the note in a certificate, a proof, a witness's file, or by itself."""
    from ledger.check import certificate_bytes
    from ledger.log.cosignature import parse_request
    from ledger.log.proof import PROOF_HEADER, parse_certificate_file, parse_proof

    if data.startswith((b"%PDF-", b"{")):
        return parse_certificate_file(certificate_bytes(data)).proof.checkpoint
    note, words = _note_and_words(_text(data))
    if note.startswith(PROOF_HEADER):
        note = parse_proof(note).checkpoint
    elif note.startswith("old "):
        note = parse_request(note).note
    _require_own_words(note, words)
    return note


def _note_and_words(text: str) -> tuple[str, str]:
    """Return a note, and the words that are printed below it, if any are."""
    above, gap, below = text.rstrip("\n").rpartition("\n\n")
    if gap and above.rpartition("\n")[2].startswith(SIGNED):
        return f"{above}\n", below
    return text, ""


def _require_own_words(note: str, words: str) -> None:
    """Refuse words below a note that are not those of its own root."""
    from labels.words import spoken_bytes
    from ledger.errors import RefusedError
    from ledger.log.checkpoint import parse_checkpoint, parse_note

    root = parse_checkpoint(parse_note(note)).root
    if words and not root.startswith(spoken_bytes(words)):
        raise RefusedError(
            "the words below its note are not those of its root: one of the two was "
            "changed"
        )


def _text(data: bytes) -> str:
    from ledger.errors import RefusedError

    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        raise RefusedError("it is no text") from None
