"""Letters to the owners of instruments that a hold touches: drafted, never sent.

A letter has facts and the entries they rest on, what is asked and whom to ask. It
admits nothing and draws no conclusion in law.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.holds import doubted_words, open_hold
from ledger.acts.owners import OWNER_NAME
from ledger.acts.shop import Shop
from ledger.acts.touched import BuildTouched, report
from ledger.log.keys import SecretKey
from ledger.log.vault import person_sealing_key
from ledger.views.boards import Board
from ledger.views.certificates import owners_of
from ledger.views.family import lots_of
from ledger.views.holds import Hold
from ledger.views.people import erased_subjects
from ledger.views.wood import Lot

ASKED = (
    "Please keep the instrument, its certificate and its papers as they are, and write "
    "to us before you sell it, lend it or take it across a border.",
    "Please tell us whether it is still with you, and whether you have papers of your "
    "own about it.",
)
CAVEAT = (
    "We write because something that our record rests on is in doubt. This letter says "
    "what the record holds and no more: whether any law or permit is touched is for "
    "the authorities to say, and nothing here is legal advice."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """One draft: to whom, about which instrument, the facts, and what is asked."""

    hold: str
    serial: str
    certificate: str
    to: str
    opening: str
    facts: tuple[str, ...]
    asked: tuple[str, ...]
    caveat: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Drafts:
    """The letters of a hold, and the serials whose owner is not known or erased."""

    hold: Hold
    letters: tuple[Letter, ...]
    without_owner: tuple[str, ...]


def draft_letters(shop: Shop, number: str, key: SecretKey) -> Drafts:
    """Draft a letter to each registered owner of an instrument that a hold touches.

    Raises RefusedError where the key is none of those that open the office's names.
    """
    office = shop.vault.open_office(person_sealing_key(key.seed))
    with shop.store.reading() as session:
        hold = open_hold(session, number)
        found = report(session, hold)
        doubted = doubted_words(session, hold)
        gone = erased_subjects(session)
        letters, without = [], []
        for build in (*found.finished, *found.left):
            names = []
            if build.owner and build.owner not in gone:
                opening = shop.vault.get(build.owner, OWNER_NAME, office=office)
                names = [opening.value] if opening else []
            if not names:
                without.append(build.serial)
            letters += [
                _letter(session, hold, doubted, build, name=name) for name in names
            ]
        session.expunge_all()
    return Drafts(hold=hold, letters=tuple(letters), without_owner=tuple(without))


def _letter(
    session: Session, hold: Hold, doubted: str, build: BuildTouched, *, name: str
) -> Letter:
    return Letter(
        hold=hold.hold,
        serial=build.serial,
        certificate=str(build.certificate),
        to=name,
        opening=(
            f"This is about your {build.model}, serial {build.serial}, with our "
            f"certificate {build.certificate} of {build.issued_on}."
        ),
        facts=tuple(_facts(session, hold, doubted, build)),
        asked=ASKED,
        caveat=CAVEAT,
    )


def _facts(
    session: Session, hold: Hold, doubted: str, build: BuildTouched
) -> Iterator[str]:
    """Yield what the record holds, each fact with its entry."""
    yield (
        f"On {hold.at[:10]} we noted that {doubted} is in doubt (entry {hold.idx} of "
        f"our record)."
    )
    for code in build.by.boards:
        board = session.get_one(Board, code)
        lots = [session.get_one(Lot, lot) for lot in lots_of(session, code)]
        of = " and ".join(
            f"{lot.code}, {lot.species}, which came in on {lot.received_on} (entry "
            f"{lot.idx})"
            for lot in lots
        )
        yield (
            f"Your instrument's {board.part} is board {code} (entry "
            f"{board.allotted_idx}), of lot {of}."
        )
    if build.by.entries:
        some = ", ".join(str(index) for index in build.by.entries)
        yield f"Work on it that is in doubt stands in entries {some}."
    for owner in owners_of(session, build.serial)[-1:]:
        yield (
            f"You are registered as its owner since {owner.registered_on} (entry "
            f"{owner.idx})."
        )
