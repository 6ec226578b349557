"""The longest names that are taken have room on every paper that shows them."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from labels import card, certificate, label, materials, tag
from labels.tag import MaySign, NextStep, TagStep, Wood
from ledger.acts.names import (
    LONGEST,
    LONGEST_NAME,
    breadth,
    checked_name,
    checked_words,
)
from ledger.errors import RefusedError
from tests.labels.samples import (
    BACK_A,
    CARD,
    CERTIFICATE,
    CERTIFICATE_FILE,
    MATERIALS_PAPER,
    PROOF_FILE,
    TAG,
    WHOLE,
)

ORDINARY = "back and side walnut billet from the north bay, "
SERIAL = "SKM-1974-000147-3"
MAKER, MATERIAL, ROW = (
    CERTIFICATE.makers[0],
    CERTIFICATE.materials[0],
    MATERIALS_PAPER.rows[0],
)


def on_tag(**facts: Any) -> None:
    """Draw a tag that shows this."""
    tag.draw(replace(TAG, **facts))


def on_certificate(**facts: Any) -> None:
    """Draw a certificate that shows this."""
    certificate.draw(
        replace(CERTIFICATE, **facts),
        paper="A4",
        certificate_file=CERTIFICATE_FILE,
        proof_file=PROOF_FILE,
    )


def with_model(text: str) -> None:
    """Draw what names a model."""
    on_tag(model=text, serial=SERIAL)
    on_certificate(model=text, serial=SERIAL)
    card.draw(replace(CARD, model=text))


def with_instrument(text: str) -> None:
    """Draw what names a kind of instrument."""
    on_tag(kind=text, serial=SERIAL)
    on_certificate(kind=text)
    card.draw(replace(CARD, kind=text))


def with_run(text: str) -> None:
    """Draw what names a run."""
    run = f"{text}, 123 of 124"
    on_tag(run=run)
    on_certificate(run=run)
    card.draw(replace(CARD, run=run))


def with_part(text: str) -> None:
    """Draw what names a part."""
    on_tag(wood=(Wood(text, "Dalbergia cochinchinensis", "L24-011-102.C12"),))
    on_certificate(materials=(MATERIAL._replace(part=text),))


def with_step(text: str) -> None:
    """Draw what names a step: the one that is next, those to come, and the route."""
    steps = (TagStep(1, text), TagStep(2, text))
    on_tag(next_step=NextStep(1, text), then=(f"2 {text}",), steps=steps)


def with_use(text: str) -> None:
    """Draw the label of a half under a long code."""
    label.roll([replace(BACK_A, code="L23-040-107.A", what=f"{text}, half A")])


def with_use_of_a_piece(text: str) -> None:
    """Draw the label of a piece under a long code."""
    label.roll([replace(WHOLE, code="L24-018-107.C12", what=text)])


def with_species(text: str) -> None:
    """Draw what names a species; its label breaks it after the genus."""
    label.roll([replace(WHOLE, genus="Chamaecyparis", epithet="nootkatensis")])
    label.roll([replace(WHOLE, genus=text, epithet=text)])
    card.draw(replace(CARD, species=(text, text)))
    on_certificate(materials=(MATERIAL._replace(species=text),))
    row = ROW._replace(species=text)
    materials.draw(replace(MATERIALS_PAPER, rows=(row, *MATERIALS_PAPER.rows[1:])))


def with_trade_name(text: str) -> None:
    """Draw what gives a trade name."""
    on_certificate(materials=(MATERIAL._replace(trade_name=text),))
    row = ROW._replace(trade_name=text)
    materials.draw(replace(MATERIALS_PAPER, rows=(row, *MATERIALS_PAPER.rows[1:])))


def with_region(text: str) -> None:
    """Draw what says where wood grew."""
    on_certificate(materials=(MATERIAL._replace(place_of_growth=text),))


def with_person(text: str) -> None:
    """Draw what names a builder or who signed."""
    on_tag(may_sign=(MaySign("04", text),))
    on_certificate(makers=(MAKER._replace(name=text),), signer_name=text)
    materials.draw(replace(MATERIALS_PAPER, signer_name=text))


def with_supplier(text: str) -> None:
    """Draw what names a sawyer."""
    on_certificate(materials=(MATERIAL._replace(sawyer=text),))


def with_shop(text: str) -> None:
    """Draw what names the shop."""
    on_tag(shop=text)
    on_certificate(shop=text)
    card.draw(replace(CARD, shop=text))
    materials.draw(replace(MATERIALS_PAPER, shop=text))


PAPERS: dict[str, Callable[[str], None]] = {
    "model's name": with_model,
    "instrument": with_instrument,
    "name of a run": with_run,
    "name of a part": with_part,
    "name of a step": with_step,
    "use of a board": with_use,
    "use of a piece": with_use_of_a_piece,
    "species": with_species,
    "trade name": with_trade_name,
    "region": with_region,
    "person.name": with_person,
    "supplier.name": with_supplier,
    "shop's name": with_shop,
}


def longest(what: str, writing: str) -> str:
    """Return as much of some writing as is taken, without a space at its end."""
    size = LONGEST.get(what, LONGEST_NAME) // breadth(writing[0])
    return (writing * size)[:size].rstrip().ljust(size, writing[0])


@pytest.mark.parametrize("writing", [ORDINARY, "W", "琴"])
@pytest.mark.parametrize("what", PAPERS)
def test_the_longest_name_that_is_taken_has_room_on_every_paper(
    what: str, writing: str
) -> None:
    """Nobody learns at the printer that a name of long ago is too long."""
    text = longest(what, writing)
    PAPERS[what](text)

    assert checked_words(what, text) == text
    assert what in LONGEST or checked_name(text) == text


@pytest.mark.parametrize("writing", [ORDINARY, "W", "琴"])
@pytest.mark.parametrize("what", PAPERS)
def test_a_longer_name_is_refused_in_one_sentence(what: str, writing: str) -> None:
    """With how long it is, how long it may be, and what to do."""
    text = f"{longest(what, writing)}琴"
    most = LONGEST.get(what, LONGEST_NAME)
    why = f"1 to {most} characters.*these are {breadth(text)}, a wide one counted twice"
    with pytest.raises(RefusedError, match=f"{why}.*: shorten it"):
        checked_words(what, text)
    if what not in LONGEST:
        with pytest.raises(RefusedError, match=f"{why}.*: shorten it"):
            checked_name(text)


@pytest.mark.parametrize(
    ("what", "text"),
    [
        ("person.name", "Wilhelmina Konstantia von Hohenstein-Adeyemi-Brandt"),
        ("supplier.name", "Cooperative of the sawyers of the upper northern valleys"),
        ("name of a part", "fingerboard and headplate"),
        ("use of a board", "binding and purfling"),
    ],
)
def test_real_names_are_taken_whole(what: str, text: str) -> None:
    """The record keeps all of a name; papers show as much as they can."""
    PAPERS[what](text)

    assert checked_words(what, text) == checked_name(text) == text


def test_words_that_stand_on_no_paper_may_be_longer() -> None:
    """A reason is read on a screen."""
    assert checked_words("reason", "n" * LONGEST_NAME) == "n" * LONGEST_NAME
    with pytest.raises(RefusedError, match=r"200 characters on one line, and these"):
        checked_words("reason", "n" * (LONGEST_NAME + 1))
