"""The loop at the door: a lot received by a few questions, or by a packing list."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import Any

from cli import show
from cli.loop_round import Question, Round, again, ask, confirm
from ledger.acts.deliveries import Parcel, Told, deliver, parcels
from ledger.acts.lots import LotDraft, receive_lot
from ledger.acts.names import checked_country, checked_words
from ledger.acts.packing import PackingList, read_list
from ledger.acts.rounds import look_at_document, look_at_lot
from ledger.acts.suppliers import find_supplier
from ledger.codes import shown
from ledger.errors import LedgerError, RefusedError
from ledger.ids import DocumentId

NONE = "none"
UNKNOWN = "unknown"
LISTED = "listed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """The sawyer's packing list, and the file it was read from."""

    path: Path
    rows: PackingList


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """What was answered so far, and how many questions that were."""

    draft: LotDraft = field(
        default_factory=lambda: LotDraft(species="", form="", boards=0, received_on="")
    )
    meant_for: str | None = None
    listed: Listed | None = None
    answered: int = 0

    @property
    def questions(self) -> "tuple[Asked, ...]":
        """What has to be asked: less about a delivery that has a list."""
        return QUESTIONS if self.listed is None else LIST_QUESTIONS


Reading = Callable[[Round, Delivery, str], Delivery]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One question of a delivery, and how its answer is taken in."""

    text: str
    reading: Reading
    takes: str = ""


def receive(talk: Round, file: str = "") -> list[str]:
    """Begin to receive a lot, or all that a packing list names."""
    talk.held = None
    if not file:
        return _ask_next(talk, Delivery())
    path = Path(file)
    rows = read_list(show.read_file(path))
    return _ask_next(talk, Delivery(listed=Listed(path=path, rows=rows)))


def _ask_next(talk: Round, delivery: Delivery) -> list[str]:
    if delivery.answered < len(delivery.questions):
        asked = delivery.questions[delivery.answered]
        return ask(talk, asked.text, partial(_answered, delivery), takes=asked.takes)
    draft = replace(delivery.draft, received_on=talk.shop.today())
    if delivery.listed is None:
        return _received(talk, draft)
    return _confirm(talk, delivery.listed, draft, delivery.meant_for)


def _answered(delivery: Delivery, talk: Round, text: str) -> list[str]:
    asked = delivery.questions[delivery.answered]
    try:
        told = asked.reading(talk, delivery, text)
    except LedgerError as refusal:
        question = Question(
            text=asked.text, answering=partial(_answered, delivery), takes=asked.takes
        )
        return again(talk, question, refusal)
    return _ask_next(talk, replace(told, answered=delivery.answered + 1))


def _received(talk: Round, draft: LotDraft) -> list[str]:
    code = receive_lot(talk.shop, draft, talk.key)
    talk.held = held = look_at_lot(talk.shop, code)
    talk.keep(what="received", words=f"lot {code}")
    return [held.words]


def _confirm(
    talk: Round, listed: Listed, draft: LotDraft, meant_for: str | None
) -> list[str]:
    """Show how a list was understood; nothing is received before somebody says yes."""
    told = Told(lot=draft, meant_for=meant_for, by_species=True)
    found = parcels(listed.rows, told)
    lots = "; ".join(
        f"{parcel.lot.boards} boards or sets of {parcel.lot.species}, {parcel.pieces} "
        f"pieces to label"
        for parcel in found
    )
    asked = confirm(
        talk,
        f"{listed.path.name} has {lots}: do they come in",
        lambda talk: _deliver(talk, listed.path, found),
        otherwise=f"{listed.path.name}: left, and may come in later",
    )
    return [*(f"note: {note}" for note in listed.rows.notes), *asked]


def _deliver(talk: Round, path: Path, found: tuple[Parcel, ...]) -> list[str]:
    came = deliver(talk.shop, path, found, hands=talk.key)
    lines = []
    for code, codes in came.lots.items():
        talk.keep(what="received", words=f"lot {code}")
        talk.held = held = look_at_lot(talk.shop, code)
        lines.append(f"{held.words}; {codes[0]} to {codes[-1]}")
    return lines


def _with(delivery: Delivery, **facts: Any) -> Delivery:
    """Return a delivery of which something more is known."""
    return replace(delivery, draft=replace(delivery.draft, **facts))


def _supplier(talk: Round, delivery: Delivery, text: str) -> Delivery:
    return _with(delivery, supplier=find_supplier(talk.shop, text))


def _species(_: Round, delivery: Delivery, text: str) -> Delivery:
    word = text.casefold()
    if word == LISTED and delivery.listed is not None:
        return delivery
    if len(text.split()) < 2 and word != UNKNOWN:
        raise RefusedError(
            f"{shown(text)} is no scientific name of genus and species, such as Picea "
            f"abies, and not '{UNKNOWN}'"
        )
    return _with(delivery, species=UNKNOWN if word == UNKNOWN else text)


def _form(_: Round, delivery: Delivery, text: str) -> Delivery:
    return _with(delivery, form=str(checked_words("form", text)))


def _boards(_: Round, delivery: Delivery, text: str) -> Delivery:
    if not (text.isascii() and text.isdecimal()) or not 1 <= int(text) <= 999:
        raise RefusedError(f"{shown(text)} is no count from 1 to 999")
    return _with(delivery, boards=int(text))


def _country(_: Round, delivery: Delivery, text: str) -> Delivery:
    if text.casefold() in (UNKNOWN, LISTED):
        return delivery
    checked_country(text.upper())
    return _with(delivery, harvested_in=text.upper())


def _document(talk: Round, delivery: Delivery, text: str) -> Delivery:
    if text.casefold() == NONE:
        return delivery
    code = str(DocumentId.parse(text))
    look_at_document(talk.shop, code)
    return _with(delivery, documents=(code,))


def _use(_: Round, delivery: Delivery, text: str) -> Delivery:
    if text.casefold() == LISTED:
        return delivery
    return replace(delivery, meant_for=checked_words("use of a board", text))


QUESTIONS = (
    Asked(text="who sawed it: the sawyer, or part of the name?", reading=_supplier),
    Asked(
        text="which wood: its scientific name, such as Picea abies, or 'unknown'?",
        reading=_species,
    ),
    Asked(
        text="how does it come: sawn, split billet, veneer, or another word?",
        reading=_form,
    ),
    Asked(text="how many boards or sets?", reading=_boards),
    Asked(
        text="where did it grow: two letters of the country, or 'unknown'?",
        reading=_country,
    ),
    Asked(
        text="which paper came with it: scan it or type its number, or 'none'?",
        reading=_document,
        takes="document",
    ),
)
# What a list does not tell, or what it may leave to the shop.
LIST_QUESTIONS = (
    QUESTIONS[0],
    Asked(
        text="which wood: its scientific name, 'unknown', or 'listed' if the list says",
        reading=_species,
    ),
    QUESTIONS[2],
    Asked(
        text="where did it grow: two letters of the country, 'unknown' or 'listed'?",
        reading=_country,
    ),
    QUESTIONS[5],
    Asked(
        text="what is it for, such as top, or 'listed' if the list says?",
        reading=_use,
    ),
)
