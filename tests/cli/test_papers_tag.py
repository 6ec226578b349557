"""The facts of a build tag: what is open, who may sign it, which dust, which head."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from cli.papers_tag import build_tag
from labels.tag_facts import MaySign, NextStep, Signed, Wood
from ledger.acts import (
    corrections,
    holds,
    models,
    people,
    rework,
    sawing,
    voiding,
)
from ledger.acts.holds import InDoubt
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.events.build import Run
from ledger.events.route import PlannedPart, PlannedStep
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.words import ten_words
from tests import skerrymoor
from tests.skerrymoor import NECK, Loft

DONE, OPEN = "26-0001-8", "26-0002-6"
GATED = (
    PlannedStep(step="join the top", qualification="plates", uses_up=("top",)),
    PlannedStep(
        step="brace",
        qualification="brace",
        after=("join the top",),
        gate="inspected",
        rest_days=3,
    ),
    PlannedStep(step="carve", qualification="brace", after=("brace",)),
)


def gated(loft: Loft) -> str:
    """Begin an instrument whose top waits for wood, and its bracing for a look."""
    models.define_model(
        loft.shop,
        name="Nightferry",
        instrument="arch-top guitar",
        parts=[PlannedPart(part="top")],
        steps=GATED,
        hands=loft.hands(),
    )
    return loft.begin("Nightferry")


def with_top(loft: Loft) -> str:
    """Begin such an instrument, and give it its top."""
    serial, lot = gated(loft), loft.receive()
    loft.number(lot)
    loft.allot(serial, "top", f"{lot}-01")
    return serial


def held(loft: Loft, code: str) -> str:
    """Place a hold on a board or a set, and return its number."""
    return holds.place(
        loft.shop,
        InDoubt(on="board", code=code),
        reason="a doubtful stamp",
        hands=loft.hands("02"),
    )


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
    assert (tag.state, tag.edge, tag.then) == ("READY", "solid", ("2 brace",))
    assert tag.why == ()
    assert tag.may_sign == (
        MaySign("03", "Jakub Wolański"),
        MaySign("10", "Ines Carvalhal"),
    )
    assert (tag.wood, tag.hazards) == ((), ())
    assert [(s.number, s.name, s.signed) for s in tag.steps] == [
        (1, "join the top", None),
        (2, "brace", None),
    ]


def test_a_tag_of_a_finished_instrument_says_that_it_is_done(loft: Loft) -> None:
    """Nobody is to sign anything any more; who did is on the back."""
    tag = build_tag(loft.shop, DONE)

    assert (tag.next_step, tag.may_sign, tag.then) == (None, (), ())
    assert (tag.state, tag.edge) == ("DONE", "solid")
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
    done = build_tag(loft.shop, OPEN)
    corrections.correct(
        loft.shop, index, reason="it was another guitar", hands=loft.hands("03")
    )
    tag = build_tag(loft.shop, OPEN)

    assert (done.state, tag.state) == ("DONE", "READY")
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


def test_a_step_that_waits_says_for_what_first(loft: Loft) -> None:
    """By the rule that tells what comes next, in few words: wood, a step, a rest."""
    serial = gated(loft)
    without = build_tag(loft.shop, serial)
    lot = loft.receive()
    loft.number(lot)
    loft.allot(serial, "top", f"{lot}-01")
    with_wood = build_tag(loft.shop, serial)
    loft.sign(serial, "join the top")
    loft.sign(serial, "brace")
    to_look_at = build_tag(loft.shop, serial)
    loft.sign(serial, "brace", "10", meaning="inspected")
    rests = build_tag(loft.shop, serial)

    assert (without.state, without.edge) == ("NOT YET", "hollow")
    assert without.why == ("no wood allotted yet: top",)
    assert (with_wood.state, with_wood.why) == ("READY", ())
    assert with_wood.then == ("2 brace (gate)", "3 carve")
    assert to_look_at.next_step == NextStep(2, "brace", is_gate=True)
    assert (to_look_at.state, to_look_at.why) == ("NOT YET", ("to be inspected",))
    assert to_look_at.may_sign and "03" not in {p.badge for p in to_look_at.may_sign}
    assert (rests.state, rests.why) == (
        "NOT YET",
        ("step 2, brace, rests until 2026-01-08",),
    )


def test_a_build_on_hold_says_so_and_who_may_lift_it(loft: Loft) -> None:
    """Whatever its steps would say; a second hold is counted; done helps nothing."""
    serial = with_top(loft)
    top = build_tag(loft.shop, serial).wood[0].board
    first = held(loft, top)
    one = build_tag(loft.shop, serial)
    held(loft, f"{top}.A")
    two = build_tag(loft.shop, serial)
    finished = held(loft, "L26-001-01")

    assert (one.state, one.edge) == (f"HOLD {first}", "sawn")
    assert one.why == (
        f"in doubt: board {top}",
        "nothing of it goes on until the hold is lifted",
    )
    assert [person.badge for person in one.may_sign] == ["01"]
    assert one.next_step == NextStep(1, "join the top")
    assert (two.state, two.why[1]) == (one.state, "and 1 more hold")
    done = build_tag(loft.shop, DONE)
    assert (done.next_step, done.state) == (None, f"HOLD {finished}")


def test_the_route_names_gates_and_what_was_let_pass_or_done_again(loft: Loft) -> None:
    """Gates by the model, the rest by the record, the newest of a step alone."""
    serial = with_top(loft)
    loft.sign(serial, "join the top")
    let = rework.concede(
        loft.shop,
        serial=serial,
        step="join the top",
        what="a short crack",
        measure=None,
        reason="it is glued",
        hands=loft.hands(),
    )
    loft.sign(serial, "brace")
    steps = build_tag(loft.shop, serial).steps
    rework.order(
        loft.shop, serial=serial, step="brace", reason="loose", hands=loft.hands()
    )
    again = build_tag(loft.shop, serial).steps
    loft.sign(serial, "brace")
    loft.sign(serial, "brace", "10", meaning="inspected")
    anew = build_tag(loft.shop, serial).steps

    assert [step.is_gate for step in steps] == [False, True, False]
    assert steps[0].remark == f"let pass, see {let.index}"
    assert steps[1].remark == "to be inspected"
    assert (again[1].signed, again[1].remark) == (None, "to be done again")
    assert anew[1].remark.startswith("done again, see ")
    assert anew[2].remark == ""


def test_a_void_number_gets_no_tag(loft: Loft) -> None:
    """It will never be an instrument, and no head is signed for it."""
    voiding.void(loft.shop, serial=OPEN, reason="stamped twice", hands=loft.hands())
    loft.clock.moment += timedelta(days=1)
    before = list(loft.shop.store.checkpoints())
    with pytest.raises(RefusedError, match=f"{OPEN} is void"):
        build_tag(loft.shop, OPEN)

    assert list(loft.shop.store.checkpoints()) == before
