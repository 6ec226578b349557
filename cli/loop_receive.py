"""The loop at the door: a lot received by a few questions, or by a packing list."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import Any

from cli import show
from cli.board_saw import sizes_um
from cli.delivery import (
    MOST_BOARDS,
    Listed,
    alike,
    listed,
    notes_of,
    parcel_words,
    span,
)
from cli.loop_round import Question, Round, again, ask, confirm
from ledger.acts.deliveries import Parcel, Told, deliver, deliver_counted, parcels
from ledger.acts.lots import LotDraft, checked_species
from ledger.acts.names import checked_words, harvest_country
from ledger.acts.rounds import look_at_document, look_at_lot
from ledger.acts.suppliers import find_supplier
from ledger.codes import shown
from ledger.errors import LedgerError, RefusedError
from ledger.ids import DocumentId
from ledger.quantities import millimetres
from ledger.views.wood import UNKNOWN

NONE = "none"
LISTED = "listed"
LATER = "later"
COUNT = re.compile(r"([0-9]+) *(sets?|boards?)", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """What was answered so far, and how many questions that were."""

    draft: LotDraft = field(
        default_factory=lambda: LotDraft(species="", form="", boards=0, received_on="")
    )
    is_set: bool = False
    meant_for: str | None = None
    sizes_um: tuple[int, ...] = ()
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
    takes: tuple[str, ...] = ()


def receive(talk: Round, file: str = "") -> list[str]:
    """Begin to receive a lot, or all that a packing list names."""
    talk.held = None
    if not file:
        return _ask_next(talk, Delivery())
    sheet = listed(Path(file), (), ())
    if sheet.rows.faults:
        # Nobody answers six questions about a list that cannot come in.
        bad = "; ".join(
            f"line {fault.line}: {fault.reason}" for fault in sheet.rows.faults
        )
        raise RefusedError(
            f"{sheet.name} cannot come in yet: {bad}; mend the list, or give --unit "
            f"and --column to flitchbook lot receive --list"
        )
    return _ask_next(talk, Delivery(listed=sheet))


def _ask_next(talk: Round, delivery: Delivery) -> list[str]:
    if delivery.answered < len(delivery.questions):
        asked = delivery.questions[delivery.answered]
        return ask(talk, asked.text, partial(_answered, delivery), takes=asked.takes)
    draft = replace(delivery.draft, received_on=talk.shop.day())
    if delivery.listed is None:
        return _count_confirmed(talk, replace(delivery, draft=draft))
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
    return _ask_next(talk, replace(told, answered=told.answered + 1))


def _count_confirmed(talk: Round, delivery: Delivery) -> list[str]:
    """Say back what was answered: a lot that came in is not struck again."""
    draft, meant_for = delivery.draft, delivery.meant_for
    what = "set" if delivery.is_set else "board"
    words = f"{show.counted(draft.boards, what)} of {draft.species}"
    told = Told(lot=draft, meant_for=meant_for)
    found = alike(told, delivery.is_set, delivery.sizes_um)
    if meant_for is not None:
        big = " × ".join(millimetres(um) for um in delivery.sizes_um)
        words += f" for {meant_for}, {show.counted(found.pieces, 'piece')} to label"
        words += f", each {big}" if big else ""
    return confirm(
        talk,
        f"{words}: do they come in",
        lambda talk: _received(talk, found),
        otherwise=f"{words}: left, and may come in later",
    )


def _received(talk: Round, found: Parcel) -> list[str]:
    code, codes = deliver_counted(talk.shop, found, hands=talk.key)
    talk.held = held = look_at_lot(talk.shop, code)
    talk.keep(what="received", words=f"lot {code}")
    if not codes:
        return [held.words]
    return [f"{held.words}; {span(codes)}", _label_words([code])]


def _confirm(
    talk: Round, listed: Listed, draft: LotDraft, meant_for: str | None
) -> list[str]:
    """Show how a list was understood; nothing is received before somebody says yes."""
    told = Told(lot=draft, meant_for=meant_for, by_species=True)
    found = parcels(listed.rows, told)
    lots = "; ".join(map(parcel_words, found))
    asked = confirm(
        talk,
        f"{listed.name} has {lots}: do they come in",
        lambda talk: _deliver(talk, listed.data, found),
        otherwise=f"{listed.name}: left, and may come in later",
    )
    return [*(f"note: {note}" for note in notes_of(listed.rows, found)), *asked]


def _deliver(talk: Round, data: bytes, found: tuple[Parcel, ...]) -> list[str]:
    came = deliver(talk.shop, data, found, hands=talk.key)
    lines = []
    for code, codes in came.lots.items():
        talk.keep(what="received", words=f"lot {code}")
        talk.held = held = look_at_lot(talk.shop, code)
        lines.append(f"{held.words}; {span(codes)}")
    return [*lines, _label_words(came.lots)]


def _with(delivery: Delivery, **facts: Any) -> Delivery:
    """Return a delivery of which something more is known."""
    return replace(delivery, draft=replace(delivery.draft, **facts))


def _supplier(talk: Round, delivery: Delivery, text: str) -> Delivery:
    return _with(delivery, supplier=find_supplier(talk.shop, text))


def _species(_: Round, delivery: Delivery, text: str) -> Delivery:
    if text.casefold() == LISTED and delivery.listed is not None:
        return delivery
    return _with(delivery, species=checked_species(text))


def _form(_: Round, delivery: Delivery, text: str) -> Delivery:
    return _with(delivery, form=str(checked_words("form", text)))


def _boards(_: Round, delivery: Delivery, text: str) -> Delivery:
    said = COUNT.fullmatch(text)
    if said is None or not 1 <= int(said[1]) <= MOST_BOARDS:
        raise RefusedError(
            f"{shown(text)} is no count from 1 to {MOST_BOARDS} with what was counted, "
            f"such as 24 sets, or 12 boards"
        )
    is_set = said[2].casefold().startswith("set")
    return replace(_with(delivery, boards=int(said[1])), is_set=is_set)


def _country(_: Round, delivery: Delivery, text: str) -> Delivery:
    if text.casefold() in (UNKNOWN, LISTED):
        return delivery
    return _with(delivery, harvested_in=harvest_country(text))


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


def _use_or_later(talk: Round, delivery: Delivery, text: str) -> Delivery:
    if text.casefold() == LATER:
        # Without a code there is nothing to measure either.
        return replace(delivery, answered=delivery.answered + 1)
    return _use(talk, delivery, text)


def _sizes(_: Round, delivery: Delivery, text: str) -> Delivery:
    if text.casefold() == LATER:
        return delivery
    sizes = tuple(sizes_um(text))
    if min(sizes) <= 0:
        raise RefusedError(f"{shown(text)} has a size of nothing: measure it again")
    return replace(delivery, sizes_um=sizes)


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
    Asked(
        text="how many: such as 24 sets, which have two halves, or 12 boards?",
        reading=_boards,
    ),
    Asked(
        text="where did it grow: two letters of the country, or 'unknown'?",
        reading=_country,
    ),
    Asked(
        text="which paper came with it: scan it or type its number, or 'none'?",
        reading=_document,
        takes=("document",),
    ),
    Asked(
        text=f"what is it for, such as top; or '{LATER}' to number it board by board?",
        reading=_use_or_later,
    ),
    Asked(
        text=f"how big is each piece, such as 559 x 203 x 4.2 mm, or '{LATER}'?",
        reading=_sizes,
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


def _label_words(lots: Iterable[str]) -> str:
    named = " ".join(lots)
    return f"when the round is done: flitchbook label board {named} --out labels.pdf"
