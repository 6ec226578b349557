"""Instruments: begun once, one board to one part, each step by the right hands."""

from typing import Any

import pytest

from ledger.acts import builds
from ledger.acts.builds import BoardRestingError, BoardTakenError
from ledger.acts.heads import sign_head
from ledger.acts.settings import Settings
from ledger.audit import audit
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.events.build import Measure, PartWeighed, Run
from ledger.events.route import PlannedPart, PlannedStep
from ledger.views.boards import Board, boards_in
from ledger.views.builds import (
    measures_of,
    printed_tags,
    signed_steps,
    weighed_parts,
)
from tests.skerrymoor import NECK, STEPS, TOP, Loft


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop with a lot of four boards, a model and two instruments begun."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK, NECK, TOP)
    loft.model()
    loft.begin()
    loft.begin()
    return loft


FIRST, SECOND = "26-0001-8", "26-0002-6"


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"parts": []}, "at least one part"),
        ({"parts": ["top", "top"]}, "named twice"),
        ({"parts": ["top", " "]}, "has a name"),
        ({"steps": []}, "at least one step"),
        ({"steps": [STEPS[0], STEPS[0]]}, "named twice"),
        ({"name": "Night\u202eferry"}, "cannot be written"),
        ({"name": "Night\udcff"}, "cannot be written"),
        ({"hands": "03"}, "model.defined needs the role lead"),
    ],
)
def test_a_model_has_parts_and_steps_with_names(
    loft: Loft, changes: dict[str, Any], said: str
) -> None:
    """Each of them once, and only a lead sets one down."""
    told: dict[str, Any] = {"name": "Nightferry", "instrument": "arch-top guitar"}
    told |= {"parts": ["top"], "steps": STEPS, "hands": "01"} | changes
    told["parts"] = [PlannedPart(part=part) for part in told["parts"]]
    with pytest.raises(RefusedError, match=said):
        builds.define_model(loft.shop, **(told | {"hands": loft.hands(told["hands"])}))


def test_a_model_s_next_version_leaves_begun_builds_alone(bench: Loft) -> None:
    """Whoever began under the first version finishes under it."""
    steps = [PlannedStep(step="carve", qualification="plates")]
    told: dict[str, Any] = {"name": "Tidewarden", "instrument": "flat-top guitar"}
    version = builds.define_model(
        bench.shop,
        parts=[PlannedPart(part="top")],
        steps=steps,
        hands=bench.hands(),
        **told,
    )
    newer = bench.begin()

    assert version == 2
    bench.sign(FIRST, "brace")
    bench.sign(newer, "carve")
    with pytest.raises(NotFoundError, match="no step 'carve'"):
        bench.sign(FIRST, "carve")
    with pytest.raises(NotFoundError, match="no part 'neck'"):
        bench.allot(newer, "neck", "L26-001-02")


def test_serials_follow_one_another_and_bear_a_check_digit(bench: Loft) -> None:
    """The invented shop's known pair of numbers comes out with its check digits."""
    more = [bench.begin() for _ in range(3)]
    run = Run(name="Harbour Lights", number=3, pieces=12)

    assert more == ["26-0003-4", "26-0004-2", "26-0005-9"]
    assert bench.begin(run=run) == "26-0006-7"
    with pytest.raises(NotFoundError, match="no model Slipway"):
        bench.begin("Slipway")
    with pytest.raises(RefusedError, match=r"build\.begun needs the role lead"):
        builds.begin(bench.shop, model="Tidewarden", run=None, hands=bench.hands("03"))


def test_a_pattern_without_a_year_never_gives_a_number_twice(bench: Loft) -> None:
    """In the second year it says what is wrong with it."""
    object.__setattr__(bench.shop, "settings", Settings(serial_pattern="{number:4}"))
    bench.begin()
    bench.clock.moment = bench.clock.moment.replace(year=2027)
    object.__setattr__(bench.shop, "pause_confirmed", True)
    for _ in range(2):
        bench.begin()

    with pytest.raises(RefusedError, match="was taken before"):
        bench.begin()


def test_a_board_is_allotted_once(bench: Loft) -> None:
    """The other instrument is told which has it, as what, and by which entry."""
    bench.allot(FIRST, "neck", "L26-001-02")
    for serial, part in ((SECOND, "neck"), (FIRST, "neck"), (FIRST, "top")):
        with pytest.raises(BoardTakenError, match=f"allotted to {FIRST} as its neck"):
            bench.allot(serial, part, "L26-001-02")

    with bench.shop.store.reading() as session:
        board = session.get_one(Board, "L26-001-02")
        assert (board.serial, board.part) == (FIRST, "neck")
        assert boards_in(session, SECOND) == []


def test_a_set_of_which_one_half_is_taken_is_taken(bench: Loft) -> None:
    """Nothing of it is used up by the refusal."""
    bench.allot(FIRST, "top", "L26-001-01.B")
    with pytest.raises(BoardTakenError, match=r"board L26-001-01\.B"):
        bench.allot(SECOND, "top", "L26-001-01")
    bench.allot(FIRST, "top", "L26-001-01.A")

    assert bench.allot(SECOND, "top", "L26-001-04") == ["L26-001-04.A", "L26-001-04.B"]


@pytest.mark.parametrize(
    ("serial", "part", "code", "said"),
    [
        ("26-0099-9", "top", "L26-001-01", "no instrument 26-0099-9"),
        (FIRST, "top", "L26-001-99", "no board L26-001-99"),
        (FIRST, "top", "L26-001-01.C1", "no board"),
        (FIRST, "bridge", "L26-001-01", "no part 'bridge': it has top, neck"),
    ],
)
def test_what_is_not_there_is_not_allotted(
    bench: Loft, serial: str, part: str, code: str, said: str
) -> None:
    """Neither to an instrument never begun, nor to a part it does not have."""
    with pytest.raises(NotFoundError, match=said):
        bench.allot(serial, part, code)


def test_a_part_is_made_of_one_board_or_set(bench: Loft) -> None:
    """A second one is refused, and so is a hand that may not allot."""
    bench.allot(FIRST, "neck", "L26-001-02")
    with pytest.raises(RefusedError, match="is board L26-001-02 already"):
        bench.allot(FIRST, "neck", "L26-001-03")
    with pytest.raises(RefusedError, match=r"board\.allotted needs"):
        bench.allot(SECOND, "neck", "L26-001-03", badge="12")


@pytest.mark.parametrize(
    ("badge", "step", "said"),
    [
        ("10", "brace", "needs the qualification brace, which badge 10 does not hold"),
        ("02", "brace", "needs the qualification brace"),
        ("12", "join the top", "needs the qualification plates"),
        ("03", "polish", "no step 'polish': it has join the top, brace"),
    ],
)
def test_a_step_is_signed_by_whoever_is_qualified_for_it(
    bench: Loft, badge: str, step: str, said: str
) -> None:
    """A lead may sign any; the others are told what they lack."""
    with pytest.raises(LedgerError, match=said):
        bench.sign(FIRST, step, badge)

    bench.sign(FIRST, "brace", "01")
    assert audit(bench.shop).findings == ()


def test_a_second_scan_of_a_signed_step_records_nothing(bench: Loft) -> None:
    """It says who signed it, and where."""
    index = bench.sign(FIRST, "brace")
    size = bench.shop.store.head().size
    for badge in ("03", "01"):
        with pytest.raises(RefusedError, match=f"by badge 03 in entry {index} already"):
            bench.sign(FIRST, "brace", badge)

    assert bench.shop.store.head().size == size


def test_whoever_did_it_does_not_inspect_it(bench: Loft) -> None:
    """Not even where the doer is an inspector, or the lead."""
    bench.sign(FIRST, "join the top", "10")
    for badge, said in (
        ("10", "does not inspect it: ask another"),
        ("03", "needs the qualification inspect"),
    ):
        with pytest.raises(RefusedError, match=said):
            bench.sign(FIRST, "join the top", badge, meaning="inspected")
    with pytest.raises(RefusedError, match="nobody has signed step brace"):
        bench.sign(FIRST, "brace", "10", meaning="inspected")
    bench.sign(FIRST, "brace")
    bench.sign(FIRST, "brace", "10", meaning="inspected")
    with pytest.raises(RefusedError, match=r"\(inspected\) by badge 10"):
        bench.sign(FIRST, "brace", "01", meaning="inspected")


def test_only_a_lead_approves(bench: Loft) -> None:
    """Whatever else a builder may sign."""
    bench.sign(FIRST, "brace")
    with pytest.raises(RefusedError, match="needs the qualification lead"):
        bench.sign(FIRST, "brace", "03", meaning="approved")
    bench.sign(FIRST, "brace", "01", meaning="approved")

    with bench.shop.store.reading() as session:
        meanings = [row.meaning for row in signed_steps(session, FIRST)]
    assert meanings == ["did", "approved"]


@pytest.mark.parametrize(
    "said",
    [
        {"weighed": [PartWeighed(part="bridge", mass_mg=20_000)]},
        {"weighed": [PartWeighed(part="top", mass_mg=0)]},
        {"measures": [Measure(what="mass", mass_mg=0)]},
        {"measures": [Measure(what="\x00", mass_mg=1)]},
    ],
)
def test_what_cannot_be_weighed_is_not_signed(
    bench: Loft, said: dict[str, Any]
) -> None:
    """No part that is not there, and nothing that weighs nothing."""
    size = bench.shop.store.head().size
    with pytest.raises(LedgerError):
        bench.sign(FIRST, "brace", **said)

    assert bench.shop.store.head().size == size


def test_a_part_weighs_no_more_than_its_wood(bench: Loft) -> None:
    """Both masses are named, and a slip of a digit is not signed."""
    bench.allot(FIRST, "top", "L26-001-01")
    size = bench.shop.store.head().size
    with pytest.raises(RefusedError, match=r"weigh 1900.g, .* weighs 412.g: weigh"):
        bench.sign(FIRST, "brace", weighed=[PartWeighed(part="top", mass_mg=1_900_000)])

    assert bench.shop.store.head().size == size
    bench.sign(FIRST, "brace", weighed=[PartWeighed(part="top", mass_mg=412_000)])


def test_the_newest_measure_counts(bench: Loft) -> None:
    """What was measured before stays in the log."""
    first, second = (Measure(what="relief", length_um=n) for n in (200, -180))
    weighed = [PartWeighed(part="top", mass_mg=n) for n in (191_000, 190_500)]
    bench.sign(FIRST, "brace", measures=[first], weighed=weighed[:1])
    bench.sign(FIRST, "join the top", measures=[second], weighed=weighed[1:])

    with bench.shop.store.reading() as session:
        assert [row.value for row in measures_of(session, FIRST)] == [-180]
        assert weighed_parts(session, FIRST) == {"top": 190_500}
    assert audit(bench.shop).findings == ()


def test_a_certified_instrument_is_closed(certified: Loft) -> None:
    """No board and no step is added behind its certificate's back."""
    lot = certified.receive()
    (code,) = certified.number(lot, NECK)
    for work in (
        lambda: certified.allot("26-0001-8", "neck", code),
        lambda: certified.sign("26-0001-8", "brace"),
    ):
        with pytest.raises(RefusedError, match="its build is closed"):
            work()


def test_an_instrument_is_found_or_was_never_begun(bench: Loft) -> None:
    """In a turn or while reading, with the same words."""
    with bench.shop.store.reading() as session:
        assert builds.find_build(session, SECOND).model == "Tidewarden"
        with pytest.raises(NotFoundError, match="no instrument 26-0099-9: look at"):
            builds.find_build(session, "26-0099-9")
    with bench.shop.turn() as turn:
        assert builds.require_build(turn, FIRST).serial == FIRST


def test_tags_are_counted_print_by_print(bench: Loft) -> None:
    """Each carries its own checkpoint; a tag of nothing is not drawn."""
    sizes, prints = [], []
    for serial, badge in ((FIRST, "02"), (FIRST, "03"), (SECOND, "12")):
        sizes.append(bench.shop.store.head().size)
        told: dict[str, Any] = {"note": sign_head(bench.shop), "sha256_hex": "5a" * 32}
        hands = bench.hands(badge)
        prints.append(
            builds.tag_printed(bench.shop, serial=serial, **told, hands=hands)
        )

    assert prints == [1, 2, 1]
    with bench.shop.store.reading() as session:
        tags = printed_tags(session, FIRST)
        found = [(tag.number, tag.size) for tag in tags]
        assert found == [(1, sizes[0]), (2, sizes[1])]
    assert audit(bench.shop).findings == ()
    with pytest.raises(NotFoundError, match="no instrument"):
        builds.tag_printed(bench.shop, serial="26-0099-9", hands=bench.hands(), **told)


def test_wood_that_nobody_can_name_goes_into_no_instrument(bench: Loft) -> None:
    """Nobody could say what papers it needs: it is fit for jigs only."""
    (code,) = bench.number(bench.receive(species="unknown"), NECK)
    with pytest.raises(RefusedError, match=f"of which species board {code} is: .*jigs"):
        bench.allot(FIRST, "neck", code)


def test_wood_that_has_not_rested_is_allotted_to_nothing(bench: Loft) -> None:
    """Of a set that is not ready not even one half is used up."""
    bench.adopt()
    size = bench.shop.store.head().size
    with pytest.raises(BoardRestingError, match=r"board L26-001-01\.A is not ready: "):
        bench.allot(FIRST, "top", "L26-001-01")

    assert bench.shop.store.head().size == size
    with bench.shop.store.reading() as session:
        assert boards_in(session, FIRST) == []


def test_a_taken_board_is_told_as_taken_before_as_young(bench: Loft) -> None:
    """Whoever waited for it would meet the other refusal afterwards."""
    bench.allot(FIRST, "neck", "L26-001-02")
    bench.adopt()
    with pytest.raises(BoardTakenError):
        bench.allot(SECOND, "neck", "L26-001-02")
