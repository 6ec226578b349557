"""A head that was kept outside the shop, read from whatever was kept of it.

    head = read_outside(data, "note.txt")
    head = read_spoken("71,391 pocket lumber geyser oak crystal bench …")

That is a note, a proof, a certificate with its proof, the file of a tag or a slip, what
a witness is given or keeps, an owner's card, or a tag's number and ten words, typed.
Whether it was signed is not asked here: it is held against the log.

Source: C2SP signed-note, tlog-checkpoint, tlog-proof.
"""

from dataclasses import dataclass

from ledger.check import CARD_TEXT, MARKER, certificate_bytes
from ledger.errors import LedgerError, RefusedError
from ledger.log.card import read_card
from ledger.log.checkpoint import Checkpoint, parse_checkpoint, parse_note
from ledger.log.cosignature import parse_request
from ledger.log.proof import PROOF_HEADER, parse_certificate_file, parse_proof
from ledger.words import spoken_bytes

# A paper's file holds what is printed on it as it is, behind this.
NOTE_MARKER = b"/FLBK_Checkpoint"
BEFORE_NOTE, AFTER_NOTE = b" >>\nstream\n", b"\nendstream"
# How each line of signature in a note begins (C2SP signed-note).
SIGNED = "— "
# How a tag's checkpoint is typed.
SAID = "what a paper says, such as '71391 pocket lumber …'"
# How many entries, as a paper sets it: 71,391 or 71 391.
APART = dict.fromkeys(map(ord, ",'\u00a0\u2009\u202f"))
LONGEST_NUMBER = 15


@dataclass(frozen=True, slots=True, kw_only=True)
class Outside:
    """A head that was kept elsewhere: how many entries, and how their root begins.

    Ten words give ten bytes of a root, a note all of them with its origin and its
    signature. A card gives no root: `leaf` is the hash of the last of these entries.
    """

    size: int
    root_start: bytes
    origin: str | None = None
    note: str | None = None
    leaf: bytes | None = None

    @classmethod
    def of(cls, head: Checkpoint, note: str | None = None) -> "Outside":
        """Take a whole checkpoint."""
        return cls(size=head.size, root_start=head.root, origin=head.origin, note=note)


def is_spoken(text: str) -> bool:
    """Tell whether a text begins with a number, as what a paper says does."""
    return _number_and_words(text)[0].isdecimal()


def is_whole(text: str) -> bool:
    """Tell whether a text is a card's or has a note in it, and names no file."""
    is_card = CARD_TEXT.fullmatch(text.encode("utf-8", errors="replace")) is not None
    return is_card or f"\n\n{SIGNED}" in text


def read_spoken(text: str) -> Outside:
    """Read the number and the ten words of a paper; RefusedError for any others."""
    size, words = _number_and_words(text)
    if len(size) > LONGEST_NUMBER or not (size.isascii() and size.isdecimal()):
        raise RefusedError(f"{size[:20]} is no number of entries: read the paper again")
    return Outside(size=int(size), root_start=spoken_bytes(words))


def read_outside(data: bytes, named: str) -> Outside:
    """Read a head out of a note, a proof, a certificate with its proof, or a card.

    named  where it is from, in the words of a refusal

    Raises RefusedError where it holds no head, and TamperError for a card that is not
    whole.
    """
    if CARD_TEXT.fullmatch(data):
        # A card speaks of one entry, by its index and its leaf hash.
        claims = read_card(data.decode("ascii")).claims
        return Outside(size=claims.index + 1, root_start=b"", leaf=claims.leaf)
    try:
        note = _note_in(data)
        return Outside.of(parse_checkpoint(parse_note(note)), note)
    except LedgerError as fault:
        raise RefusedError(
            f"{named} holds no checkpoint ({fault}): name a note, a proof, a "
            f"certificate, or the file of a tag or a slip, or type {SAID}"
        ) from None


def _number_and_words(text: str) -> tuple[str, str]:
    size, _, words = text.strip().partition(" ")
    return size.translate(APART), words


def _note_in(data: bytes) -> str:
    """Return the note in a certificate, a proof, a witness's file, or by itself."""
    if data.startswith(b"%PDF-") and (MARKER not in data or NOTE_MARKER in data):
        return _note_in_paper(data)
    if data.startswith((b"%PDF-", b"{")):
        return parse_certificate_file(certificate_bytes(data)).proof.checkpoint
    note, words = _note_and_words(_text(data))
    if note.startswith(PROOF_HEADER):
        note = parse_proof(note).checkpoint
    elif note.startswith("old "):
        note = parse_request(note).note
    _require_own_words(note, words)
    return note


def _note_in_paper(data: bytes) -> str:
    """Return the note that rides in a tag's or a slip's file."""
    found = data.count(NOTE_MARKER) + data.count(MARKER)
    if found == 0:
        raise RefusedError("nothing rides in this PDF")
    if found > 1:
        raise RefusedError(f"{found} ride in this PDF, and in a true one only 1")
    _, _, rest = data[data.index(NOTE_MARKER) :].partition(BEFORE_NOTE)
    note, ends, _ = rest.partition(AFTER_NOTE)
    if not ends:
        raise RefusedError(
            "the one in this PDF is cut off, or was packed anew by another program"
        )
    return _text(note)


def _note_and_words(text: str) -> tuple[str, str]:
    """Return a note, and the words that are printed below it, if any are."""
    above, _, below = text.rstrip("\n").rpartition("\n\n")
    if above.rpartition("\n")[2].startswith(SIGNED):
        return f"{above}\n", below
    return text, ""


def _require_own_words(note: str, words: str) -> None:
    """Refuse words below a note that are not those of its own root."""
    root = parse_checkpoint(parse_note(note)).root
    if words and not root.startswith(spoken_bytes(words)):
        raise RefusedError(
            "the words below its note are not those of its root: one of the two was "
            "changed"
        )


def _text(data: bytes) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        raise RefusedError("it is no text") from None
