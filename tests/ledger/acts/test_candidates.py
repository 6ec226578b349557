"""The rack as the rules of matching look at it, read for many boards at once."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import event
from sqlmodel import Session

from ledger.acts import candidates, measuring, rejects, resting
from ledger.acts.candidates import Heard, Rack
from ledger.acts.stiffness import rung
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardTapped
from ledger.ids import LotId
from ledger.views.boards import Board
from ledger.views.grading import gradings_of
from tests import racked, skerrymoor
from tests import rung as rungs
from tests.ledger.acts import sawmill
from tests.racked import LOT, SETS
from tests.skerrymoor import TOP, Loft

TODAY = "2026-01-06"
HALF = f"{LOT}-01.A"


@pytest.fixture(scope="module")
def racked_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop with two dozen halves on the rack, closed again, to be copied."""
    folder = tmp_path_factory.mktemp("racked")
    racked.rack(skerrymoor.opened(folder), builds=0).shop.close()
    return folder


@pytest.fixture
def rack(
    tmp_path: Path, racked_folder: Path, request: pytest.FixtureRequest
) -> Iterator[Loft]:
    """Give that shop, open."""
    made = skerrymoor.again(tmp_path, racked_folder, request.node.name)
    yield made
    made.shop.close()


def looked_at(loft: Loft, *texts: str, part: str = "top") -> Rack:
    """Return the rack as it is looked at for a part."""
    with loft.shop.store.reading() as session:
        return candidates.rack_of(session, texts, part=part, today=TODAY)


def listened_to(loft: Loft, *texts: str, part: str = "top") -> Heard:
    """Return the rack with what its taps come to."""
    with loft.shop.store.reading() as session:
        found = candidates.rack_of(session, texts, part=part, today=TODAY)
        return candidates.heard(session, found.candidates)


@contextmanager
def counted(session: Session) -> Iterator[list[str]]:
    """Count the questions that a database is asked."""
    asked: list[str] = []

    def ask(_: object, __: object, text: str, *___: object) -> None:
        asked.append(text)

    engine = session.get_bind()
    event.listen(engine, "before_cursor_execute", ask)
    yield asked
    event.remove(engine, "before_cursor_execute", ask)


def test_each_board_is_what_its_own_views_say(rack: Loft) -> None:
    """Sizes, density, species, rest, grade and taps are those of each board alone."""
    found = listened_to(rack).candidates
    with rack.shop.store.reading() as session:
        for board in found:
            row = session.get_one(Board, str(board.board))
            taps = rung(session, row.code)
            grades = gradings_of(session, row.code)
            newest = grades[-1] if grades else None

            assert board.species == measuring.species_of(session, row.code)
            assert board.density_gram_per_m3 == measuring.density_of(row)
            assert board.length_um == row.length_um
            assert board.waits == resting.readiness(session, row, today=TODAY).reasons
            assert board.grade == (newest.grade if newest else None)
            if not taps:
                assert board.along_pa is None and board.radiation_ratio_milli is None
                continue
            figures = taps[0].stiffness.figures
            assert board.along_pa == round(figures["e_along_gpa"].value * 1e9)
            assert board.across_pa == round(figures["e_across_gpa"].value * 1e9)
            ratio = figures["radiation_ratio_m4_kg_s"].value
            assert board.radiation_ratio_milli == round(ratio * 1000)
    assert len(found) == 2 * SETS + 2


def test_the_rack_is_what_is_there_for_the_part(rack: Loft) -> None:
    """Neither rejected wood nor wood for other parts; those are counted."""
    found = looked_at(rack)
    codes = {str(board.board) for board in found.candidates}

    assert f"{LOT}-11" in codes and f"{LOT}-12" in codes
    assert f"{LOT}-13" not in codes and f"{LOT}-14" not in codes
    assert (found.left, found.others) == ((), 1)
    assert str(looked_at(rack, part="neck").candidates[0].board) == f"{LOT}-14"


def test_what_is_named_and_not_there_says_why(rack: Loft) -> None:
    """Rejected, in an instrument, sawn, sent back: each with its entry or its place."""
    rack.model("Other")
    serial = rack.begin()
    rack.allot(serial, "top", f"{LOT}-02")
    found = looked_at(rack, LOT)
    why = {str(each.board): each.reasons for each in found.left}

    assert why[f"{LOT}-02.A"] == (f"the top of {serial} already",)
    (rejected,) = why[f"{LOT}-13"]
    assert rejected.startswith("rejected by entry ")
    assert f"{LOT}-14" in {str(board.board) for board in found.candidates}


def test_wood_that_was_planed_has_no_density_until_it_is_weighed(rack: Loft) -> None:
    """An old mass over a new thickness is none; 152 g of 363.13 cm³ is, by hand."""
    hands = rack.hands("03")
    measuring.measure(rack.shop, HALF, thicknesses_um=[3_200], hands=hands)
    (planed,) = looked_at(rack, HALF).candidates
    measuring.weigh(rack.shop, HALF, 152_000, hands=hands)
    (weighed,) = looked_at(rack, HALF).candidates

    assert (planed.thickness_um, planed.density_gram_per_m3) == (3_200, None)
    assert weighed.density_gram_per_m3 == 418_587


def test_wood_that_nobody_can_name_is_for_jigs(loft: Loft) -> None:
    """Of it nobody can say what papers it needs."""
    loft.supplier()
    loft.number(loft.receive(species="unknown"))
    found = looked_at(loft)

    assert not found.candidates and len(found.left) == 2
    assert "fit for jigs only" in found.left[0].reasons[0]


def test_a_rack_without_such_wood_is_refused(loft: Loft) -> None:
    """And a code that was never given is named."""
    with pytest.raises(RefusedError, match="no board on the rack is meant for top"):
        looked_at(loft)
    with pytest.raises(NotFoundError, match="there is no board L26-009-01"):
        looked_at(loft, "L26-009-01")


def test_a_grade_counts_for_its_part_and_rings_for_all(rack: Loft) -> None:
    """What was graded as a back has no grade as a top; its rings stay the same."""
    code = f"{LOT}-11"
    racked.judge(rack, code, rings=40, part="back")
    (board,) = looked_at(rack, code).candidates
    racked.judge(rack, code, rings=20, word="third")
    (later,) = looked_at(rack, code).candidates

    assert (board.grade, board.ring_width_um, board.figure) == (None, 1_250, "none")
    assert (later.grade, later.ring_width_um) == ("third", 2_500)


def test_the_newest_tap_that_a_formula_fits_counts(rack: Loft) -> None:
    """A later tap takes its place, one that nothing can be worked out of does not."""
    before = listened_to(rack, HALF).candidates[0]
    rack.say(rungs.said(HALF, at=1, tones=rungs.scaled(1.05)), "03")
    after = listened_to(rack, HALF).candidates[0]
    rack.say(rungs.said(HALF, at=2, tones={"twist": 50.0}), "03")
    same = listened_to(rack, HALF).candidates[0]

    assert before.along_pa and after.along_pa and before.along_pa != after.along_pa
    assert same == after


def test_what_rang_as_a_bar_has_one_stiffness(rack: Loft) -> None:
    """It is the one along, and there is none across."""
    tap: BoardTapped = rungs.said(
        f"{LOT}-14",
        tones={"bar": 60.0},
        held_as="bar",
        length_um=810_000,
        width_um=95_000,
        thickness_um=24_000,
        mass_mg=1_040_000,
    )
    rack.say(tap, "03")
    (neck,) = listened_to(rack, part="neck").candidates

    assert neck.along_pa and neck.radiation_ratio_milli and neck.across_pa is None


@pytest.mark.parametrize("sets", [2, 40])
def test_many_boards_are_asked_for_as_few_are(loft: Loft, sets: int) -> None:
    """The number of questions does not grow with the rack."""
    loft.supplier()
    lot = LotId.parse(str(loft.receive(boards=sets)))
    loft.number(lot, *[TOP] * sets)
    with loft.shop.store.reading() as session, counted(session) as asked:
        found = candidates.rack_of(session, [], part="top", today=TODAY)
        candidates.heard(session, found.candidates)

    assert len(found.candidates) == 2 * sets
    assert len(asked) <= 18


def test_what_was_seen_of_the_grain_names_its_entries(rack: Loft) -> None:
    """Skew and rings, and which grading says so; of an ungraded board nothing."""
    with rack.shop.store.reading() as session:
        seen = candidates.seen_on(session, [HALF, f"{LOT}-12"])
        (newest,) = gradings_of(session, HALF)

    assert seen[HALF].entries == (newest.idx,)
    assert seen[HALF].skew_millidegree == 1_200
    assert seen[f"{LOT}-12"] == candidates.Seen()


def test_what_was_glued_is_of_both_woods(loft: Loft) -> None:
    """Species come down the saw and through the glue, and what was used up is gone."""
    sawmill.stocked(loft)
    back, neck = f"{LOT}-01.A", "L26-002-01"
    made = sawmill.join(loft, [back, neck], 1_470_000)
    found = looked_at(loft, made, back, part="neck")

    assert [(str(b.board), b.species) for b in found.candidates] == [
        (made, "Dalbergia latifolia and Picea abies")
    ]
    assert found.left[0].reasons[0].startswith("made into pieces by entry ")


def test_what_went_back_or_lost_its_number_is_not_there(rack: Loft) -> None:
    """Each says by which entry."""
    sent, struck = f"{LOT}-11", f"{LOT}-12"
    rejects.reject(
        rack.shop, sent, faults=["shake"], is_returned=True, hands=rack.hands("02")
    )
    with rack.shop.store.reading() as session:
        index = session.get_one(Board, struck).idx
    rack.say(rack.strike(index))
    found = looked_at(rack, sent, struck)

    why = [each.reasons[0] for each in found.left]
    assert why[0].startswith("went back to the sawyer by entry ")
    assert why[1].startswith("its number was struck by entry ")
