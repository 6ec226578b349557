"""How an answer to a check reads: the word first, then the record's own facts."""

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from cli import show
from ledger.check import BUT, NO, YES, Answer
from ledger.events.certificate import Material
from ledger.letters import letter_remarks
from ledger.quantities import grams

# What a signature in a PDF cannot do without (ISO 32000-1 section 12.8.1).
BYTE_RANGE = b"/ByteRange"
PDF = b"%PDF-"
OWN_SIGNATURE = (
    "the PDF bears a signature of its own, which is not judged here: a PDF viewer "
    "judges it"
)
# What a shop's own record adds: the words, and the number of the newer certificate.
Newer = tuple[str, str | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """What came of a photograph beside a certificate; its place among those `named`.

    answer  "named", "not named", or "not compared"
    """

    answer: str
    words: str
    place: int | None = None
    named: int | None = None

    def __bool__(self) -> bool:
        return self.place is not None


def number_in(answer: Answer) -> str | None:
    """Return the number of the certificate that an answer speaks of, or None."""
    if answer.facts is not None:
        return answer.facts.number
    return answer.card.certificate if answer.card is not None else None


def bears_signature(file: bytes) -> bool:
    """Tell whether a file is a PDF that somebody signed as such, well or badly."""
    return file.startswith(PDF) and BYTE_RANGE in file


def as_lines(
    answer: Answer,
    newer: Newer | None = None,
    *,
    bears_signature: bool = False,
    compared: Compared | None = None,
) -> Iterator[str]:
    """Return an answer for a person.

    After NO nothing of the record is shown as if it were true.
    """
    yield answer.word
    yield from (f"  {reason}" for reason in answer.reasons)
    if bears_signature:
        yield f"  {OWN_SIGNATURE}"
    if answer.status is not None:
        yield from (f"  status: {words}" for words in answer.status.words)
    if compared is not None:
        yield f"  {compared.words}"
    if answer.word == NO:
        return
    said = [*_certificate_words(answer), *_card_words(answer), *_entry_words(answer)]
    said += [
        f"letters      {text!r}: {remark}"
        for text in _odd(answer)
        for remark in letter_remarks(text)
    ]
    # A text of two lines must not look like two lines of ours.
    facts = [line.replace("\n", " ⏎ ") for line in said]
    if facts:
        yield ""
        # Of a status that is told the record was a YES, whatever the list is worth.
        is_vouched = answer.word in (YES, BUT) or answer.status is not None
        yield "The record says:" if is_vouched else "It claims, and nobody vouches:"
        yield from (f"  {line}" for line in facts)
        if newer is not None:
            yield ""
            yield newer[0]
        yield ""
        yield "The maker's statement from workshop records, no title and no permit."


def compare(photograph: Path, answer: Answer) -> Compared:
    """Look whether a file is one of the photographs that an answer's record names.

    Only what holds is compared with, as on the page that checks.
    """
    digest = sha256(show.read_file(photograph)).hexdigest()
    why_not = _why_not(answer)
    if why_not or answer.facts is None:
        return Compared(
            answer="not compared", words=f"{photograph} is not compared: {why_not}"
        )
    named = answer.facts.photographs
    if digest not in named:
        holds = "the certificate holds" if answer else "the answer is the certificate's"
        said = show.counted(len(named), "photograph")
        return Compared(
            answer="not named",
            words=f"{holds}, and {photograph} is none of the {said} that it names; a "
            f"copy that was saved anew has another digest: ask the shop for the files",
            named=len(named),
        )
    place = named.index(digest) + 1
    return Compared(
        answer="named",
        words=f"{photograph} is photograph {place} of {len(named)} of the certificate, "
        f"to the last bit: compare it with the instrument",
        place=place,
        named=len(named),
    )


def _why_not(answer: Answer) -> str:
    """Say why an answer gives nothing to compare a photograph with, if it does not."""
    if answer.word == NO:
        return "what does not hold names no photograph"
    if answer.word not in (YES, BUT):
        return "nobody vouches for the photographs that it may name"
    if answer.facts is None:
        return "only a certificate names photographs: open its PDF, or the file in it"
    return "" if answer.facts.photographs else "the certificate names no photograph"


def _certificate_words(answer: Answer) -> Iterator[str]:
    event, names = answer.facts, answer.names or {}
    if event is None:
        return
    yield f"serial       {event.serial}"
    yield f"certificate  {event.number}, issued {event.issued_on}"
    yield f"model        {event.model}"
    yield f"mass         {grams(event.mass_mg)}"
    for material in event.materials:
        yield f"wood         {material.part}: {_material_words(material)}"
    for maker in event.makers:
        name = names.get(maker.subject, f"badge {maker.badge}")
        yield f"by           {name}: {maker.work}"
    for place, digest in enumerate(event.photographs, start=1):
        yield f"photograph   {place}: SHA-256 {digest}"
    yield f"entered      {answer.entered}, entry {answer.index}"
    if answer.keys_date:
        yield f"keys file    of {answer.keys_date}"


def _odd(answer: Answer) -> list[str]:
    """Return the names and words of a record whose letters hide something."""
    words: list[str] = []
    if answer.word != NO and answer.facts is not None:
        event = answer.facts
        words += [event.serial, event.number, event.model]
        words += [maker.work for maker in event.makers]
        words += [material.species for material in event.materials]
        words += (answer.names or {}).values()
    if answer.word != NO and answer.card is not None:
        words += [answer.card.serial, answer.card.certificate, answer.card.model]
        words += [name for name, _ in answer.card.species]
    return [word for word in dict.fromkeys(words) if letter_remarks(word)]


def _entry_words(answer: Answer) -> Iterator[str]:
    """Tell of an entry that is no certificate only that it stands, and by whose key."""
    if answer.said is None or answer.facts is not None:
        return
    yield f"kind         {answer.said}"
    yield f"signed by    key {answer.key}"
    yield f"entered      {answer.entered}, entry {answer.index}"
    if answer.keys_date:
        yield f"keys file    of {answer.keys_date}"


def _card_words(answer: Answer) -> Iterator[str]:
    card = answer.card
    if card is None:
        return
    yield f"serial       {card.serial}"
    yield f"certificate  {card.certificate}, issued {card.issued}"
    yield f"model        {card.model}"
    yield f"mass         {grams(card.mass * 1000)}"
    for name, mass in card.species:
        yield f"wood         {name}, {grams(mass * 1000)}"
    yield f"by           {card.makers} people; the certificate names them"
    yield f"entry        {card.index}"


def as_json(
    answer: Answer,
    newer: Newer | None = None,
    *,
    bears_signature: bool = False,
    compared: Compared | None = None,
) -> Iterator[str]:
    """Return an answer for a program: stable names, units in the name."""
    facts = asdict(answer.facts) if answer.facts and answer.word != NO else None
    said: dict[str, Any] = {
        "answer": answer.word,
        "reasons": answer.reasons,
        "facts": facts,
        "names": answer.names if facts else None,
        "entry": answer.index,
        "entered": answer.entered,
        "kind": answer.said,
        "signed_by": answer.key,
        "keys_date": answer.keys_date,
        "card": _card_json(answer),
        "status": asdict(answer.status) if answer.status else None,
    }
    if bears_signature:
        said["pdf_signature"] = OWN_SIGNATURE
    if compared is not None:
        said["photograph"] = {
            "answer": compared.answer,
            "reason": compared.words,
            "place": compared.place,
            "of": compared.named,
        }
    if newer is not None:
        said["superseded_by"] = newer[1]
    said["letters"] = {text: letter_remarks(text) for text in _odd(answer)}
    yield show.json_text(said)


def _card_json(answer: Answer) -> dict[str, Any] | None:
    if answer.card is None or answer.word == NO:
        return None
    said = asdict(answer.card)
    return said | {
        "issued": str(answer.card.issued),
        "leaf": answer.card.leaf.hex(),
        "status_token": answer.card.status_token.hex(),
    }


def _material_words(material: Material) -> str:
    grown = f", grown in {material.harvested_in}" if material.harvested_in else ""
    words = f"{material.species}{grown}, board {material.board}"
    return f"{words}, {grams(material.mass_mg)}"
