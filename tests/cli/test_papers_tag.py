"""The facts of a build tag: what is open, who may sign it, which dust, which head."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from cli.papers_tag import build_tag
from labels.tag_facts import MaySign, NextStep, Signed, Wood
from labels.words import ten_words
from ledger.acts import corrections, people, sawing
from ledger.audit import audit
from ledger.errors import NotFoundError
from ledger.events.build import Run
from ledger.log.checkpoint import parse_checkpoint, parse_note
from tests import skerrymoor
from tests.skerrymoor import NECK, Loft

DONE, OPEN = "26-0001-8", "26-0002-6"


@pytest.fixture
def loft(tmp_path: Path, certified_folder: Path) -> Iterator[Loft]:
    """Give a shop with a certified instrument, and one that was just begun."""
    made = skerrymoor.again(tmp_path, certified_folder, "tag")
    made.begin(run=Run(name="Harbour Lights", number=4, pieces=12))
    yield made
    made.shop.close()


def test_a_tag_of_a_begun_instrument_says_what_is_next(loft: Loft) -> None:
    """The first step that nobody did, who may sign it, and what follows."""
    tag = build_tag(loft.shop, OPEN)

    assert (tag.shop, tag.model, tag.kind) == (
        skerrymoor.NAME,
        "Tidewarden",
        "flat-top guitar",
    )
    assert (tag.run, tag.serial, tag.host) == (
        "Harbour Lights, 4 of 12",
        OPEN,
        "skerrymoor.example",
    )
    assert (tag.body, tag.neck) == ("B26-0002", "N26-0002")
    assert tag.next_step == NextStep(1, "join the top")
    assert (tag.state, tag.edge, tag.then) == ("OPEN", "hollow", ("2 brace",))
    assert tag.may_sign == (
        MaySign("03", "Jakub Wolański"),
        MaySign("10", "Ines Carvalhal"),
    )
    assert (tag.wood, tag.hazards) == ((), ())
    assert [(s.number, s.name, s.signed) for s in tag.steps] == [
        (1, "join the top", None),
        (2, "brace", None),
    ]


def test_a_tag_of_a_finished_instrument_is_ready(loft: Loft) -> None:
    """Nobody is to sign anything any more; who did is on the back."""
    tag = build_tag(loft.shop, DONE)

    assert (tag.next_step, tag.may_sign, tag.then) == (None, (), ())
    assert (tag.state, tag.edge) == ("READY", "solid")
    assert [step.signed for step in tag.steps] == [Signed("01-05", "03")] * 2
    assert tag.wood == (
        Wood("top", "Picea abies", "L26-001-01"),
        Wood("neck", "Picea abies", "L26-002-01"),
    )


def test_an_inspection_or_a_struck_signature_does_no_step(loft: Loft) -> None:
    """Only the hand that did it closes a step."""
    loft.sign(OPEN, "join the top")
    index = loft.sign(OPEN, "brace")
    loft.sign(OPEN, "join the top", "10", meaning="inspected")
    ready = build_tag(loft.shop, OPEN)
    corrections.correct(
        loft.shop, index, reason="it was another guitar", hands=loft.hands("03")
    )
    tag = build_tag(loft.shop, OPEN)

    assert (ready.state, tag.state) == ("READY", "OPEN")
    assert tag.next_step == NextStep(2, "brace")
    assert tag.may_sign == (MaySign("03", "Jakub Wolański"),)
    assert [step.signed for step in tag.steps] == [Signed("01-05", "03"), None]


def test_where_nobody_is_able_a_lead_may_sign(loft: Loft) -> None:
    """As lead; whoever left, or lost the qualification, may not."""
    loft.sign(OPEN, "join the top")
    people.disqualify(loft.shop, loft.person("03"), ["brace"], loft.hands())
    (lead,) = build_tag(loft.shop, OPEN).may_sign
    loft.sign(OPEN, "brace", "01")

    assert (lead.badge, lead.condition) == ("01", "as lead")
    assert lead.name is not None and "Seun" in lead.name


def test_whoever_left_may_sign_nothing(loft: Loft) -> None:
    """Neither with a retired key nor under an erased name."""
    people.retire(loft.shop, loft.person("03"), loft.hands("12", "01"))
    tag = build_tag(loft.shop, OPEN)
    signed = build_tag(loft.shop, DONE).steps[0].signed

    assert tag.may_sign == (MaySign("10", "Ines Carvalhal"),)
    assert signed == Signed("01-05", "03")


def test_dust_is_named_for_every_wood_in_a_glued_part(loft: Loft) -> None:
    """Rosewood behind spruce is breathed as well."""
    (spruce,) = loft.number(loft.receive(), NECK)
    (rosewood,) = loft.number(loft.receive(species="Dalbergia latifolia"), NECK)
    piece = sawing.join(
        loft.shop,
        codes=[spruce, rosewood],
        draft=sawing.PieceDraft(meant_for="neck", mass_mg=2_080_000),
        hands=loft.hands("03"),
    )
    loft.allot(OPEN, "neck", piece)
    tag = build_tag(loft.shop, OPEN)

    assert tag.wood == (Wood("neck", "Dalbergia latifolia and Picea abies", piece),)
    assert tag.hazards == ("Dalbergia latifolia",)
    assert build_tag(loft.shop, DONE).hazards == ()


def test_the_head_on_a_tag_is_signed_when_it_is_drawn(loft: Loft) -> None:
    """Its words are those of the root, and it vouches for all that was said."""
    tag = build_tag(loft.shop, OPEN)
    head = parse_checkpoint(parse_note(tag.checkpoint_note))

    assert head.size == tag.size == loft.shop.store.head().size
    assert tag.ten_words == ten_words(head.root)
    assert (tag.printed_at[:10], tag.zone) == (loft.shop.today(), "UTC")
    assert audit(loft.shop).findings == ()


def test_no_head_is_signed_for_a_tag_of_nothing(loft: Loft) -> None:
    """A checkpoint leaves the building on paper, or not at all."""
    loft.clock.moment += timedelta(days=1)
    before = list(loft.shop.store.checkpoints())
    with pytest.raises(NotFoundError, match="no instrument 26-0099-9"):
        build_tag(loft.shop, "26-0099-9")

    assert list(loft.shop.store.checkpoints()) == before
