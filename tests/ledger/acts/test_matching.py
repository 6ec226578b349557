"""Pairs of the rack, wood for builds, and what was chosen: all with reasons."""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.acts import matching, policies
from ledger.acts.matching import Assigned, Paired
from ledger.acts.wishing import Orders
from ledger.audit import audit
from ledger.craft.matching_policy import first_matching_policy
from ledger.craft.wanted import Wanted
from ledger.craft.wishes import Band, Near
from ledger.errors import NotFoundError, RefusedError
from ledger.views.grading import matched_boards, matches_of
from tests import racked, skerrymoor
from tests.racked import LOT, SERIALS, SETS
from tests.skerrymoor import NECK, TOP, Loft

TODAY = "2026-01-06"
WANTED = Wanted(part="top", length_um=530_000, width_um=200_000, thickness_um=3_000)
NECKS = Wanted(
    part="neck", length_um=700_000, width_um=90_000, thickness_um=20_000, pieces=1
)


@pytest.fixture(scope="module")
def racked_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop with two dozen halves on the rack, closed again, to be copied."""
    folder = tmp_path_factory.mktemp("racked")
    racked.rack(skerrymoor.opened(folder)).shop.close()
    return folder


@pytest.fixture
def rack(
    tmp_path: Path, racked_folder: Path, request: pytest.FixtureRequest
) -> Iterator[Loft]:
    """Give that shop, open."""
    made = skerrymoor.again(tmp_path, racked_folder, request.node.name)
    yield made
    made.shop.close()


def pairs(loft: Loft, *texts: str, **changes: Any) -> Paired:
    """Return the best pairs for a top."""
    wanted = Wanted(**(_members() | changes))
    with loft.shop.store.reading() as session:
        return matching.pairs(session, texts, wanted, today=TODAY)


def for_builds(loft: Loft, *texts: str, **told: Any) -> Assigned:
    """Return the best tops for open builds."""
    orders = Orders(**({"wanted": WANTED} | told))
    with loft.shop.store.reading() as session:
        return matching.for_builds(session, texts, orders, today=TODAY)


def _members() -> dict[str, Any]:
    names = ("part", "length_um", "width_um", "thickness_um")
    return {name: getattr(WANTED, name) for name in names}


def test_a_rack_is_paired_and_the_rest_says_why(rack: Loft) -> None:
    """Sister halves go together; one board is odd, one was never measured."""
    found = pairs(rack)
    why = {str(each.board): each.reasons for each in found.left}

    assert [p.likeness.kin for p in found.pairing.pairs] == ["one_board"] * SETS
    assert "the odd one out" in why[f"{LOT}-11"][0]
    assert why[f"{LOT}-12"][0] == "nobody measured its length"
    assert found.methods == ("closed plate formulas/1",)
    assert found.remarks[-1].startswith("1 more board is on the rack for other parts")


def test_nothing_is_recorded_by_looking(rack: Loft) -> None:
    """The log stays as long as it was."""
    size = rack.shop.store.head().size
    pairs(rack)
    for_builds(rack)

    assert rack.shop.store.head().size == size


def test_only_wood_that_would_do_is_worked_out(rack: Loft) -> None:
    """Taps of boards that are too narrow, ungraded or of another wood cost nothing."""
    for changes in (
        {"width_um": 900_000},
        {"grades": ("third",)},
        {"species": ("Thuja",)},
    ):
        found = pairs(rack, **changes)

        assert not found.pairing.pairs and not found.methods
        assert len(found.left) == 2 * SETS + 2


def test_a_grade_is_one_of_the_house_s(rack: Loft) -> None:
    """A sawyer's word is none."""
    with pytest.raises(RefusedError, match="'AAA' is none of the house's grades first"):
        pairs(rack, grades=("AAA",))


@pytest.mark.parametrize("code", [f"{LOT}-11", f"{LOT}-13"])
def test_one_board_makes_no_pair(rack: Loft, code: str) -> None:
    """Whether it lies on the rack or was rejected."""
    with pytest.raises(RefusedError, match=f"board {code} alone makes no pair"):
        pairs(rack, code)


def test_wood_that_has_yet_to_rest_waits_unless_somebody_says(rack: Loft) -> None:
    """With the reasons of the rule of rest."""
    rack.adopt()
    found = pairs(rack)

    assert not found.pairing.pairs
    assert any(
        "rested 1 of 90" in r.replace("\u2009", " ") for r in found.left[0].reasons
    )
    assert len(pairs(rack, must_be_ready=False).pairing.pairs) == SETS


def test_four_builds_get_four_tops(rack: Loft) -> None:
    """Each a pair of its own, the earliest due first; six pairs stay to spare."""
    found = for_builds(rack, due={SERIALS[2]: "2026-03-01"})
    served = found.assignment.served
    taken = Counter(code for each in served for code in each.boards)

    assert [each.order for each in served] == [
        SERIALS[2],
        SERIALS[0],
        SERIALS[1],
        SERIALS[3],
    ]
    assert set(taken.values()) == {1} and len(taken) == 8
    assert len(found.spare) == SETS - 4
    assert all("halves of one board" in matching.why_of(found, s) for s in served)


def test_wishes_decide_between_equals_in_size(rack: Loft) -> None:
    """Near a density the nearest are taken; out of a band nothing is."""
    near = for_builds(
        rack, near=(Near(trait="density", value=430_000),), serials=SERIALS[:1]
    )
    (served,) = near.assignment.served
    off = {
        code: abs((board.density_gram_per_m3 or 0) - 430_000)
        for code, board in near.boards.items()
    }
    none = for_builds(rack, bands=(Band(trait="density", least=900_000),))

    assert max(off[code] for code in served.boards) < 2_000
    assert not none.assignment.served and not none.spare
    assert none.assignment.unserved[0].reason == (
        f"none of {SETS} on the rack will do: {SETS} below in density"
    )


def test_fewer_pairs_than_builds_go_to_those_due_first(rack: Loft) -> None:
    """The others are told where they went."""
    found = for_builds(rack, f"{LOT}-01", f"{LOT}-02", due={SERIALS[3]: "2026-02-01"})

    assert [each.order for each in found.assignment.served] == [SERIALS[3], SERIALS[0]]
    assert found.assignment.unserved[0].reason == (
        f"every pair that would do goes to {SERIALS[0]}, {SERIALS[3]}"
    )


def test_a_part_may_be_of_one_board(rack: Loft) -> None:
    """A neck is; boards that do not do say why, and are not spare."""
    rack.number(rack.receive(), NECK, TOP)
    found = for_builds(rack, LOT, "L26-002", wanted=NECKS, serials=SERIALS[:1])
    (served,) = found.assignment.served

    assert [str(code) for code in served.boards] == [f"{LOT}-14"]
    assert matching.why_of(found, served) == (matching.NOTHING_WISHED,)
    assert [[str(code) for code in unit] for unit in found.spare] == [["L26-002-01"]]
    why = {str(each.board): each.reasons[0] for each in found.left}
    assert "that neck needs" in why["L26-002-02.A"]


def test_what_was_found_for_builds_is_recorded(rack: Loft) -> None:
    """An entry each, with rule, method, reasons and the next best; nothing allotted."""
    orders = Orders(wanted=WANTED, serials=SERIALS[:2])
    found, entries = matching.match_builds(rack.shop, [], orders, rack.hands("03"))
    (one, _) = entries
    codes = [str(code) for code in found.assignment.served[0].boards]
    with rack.shop.store.reading() as session:
        (row,) = matches_of(session, codes[0])
        boards = matched_boards(session, row.idx)

    assert (row.idx, row.serial, row.part) == (one.index, SERIALS[0], "top")
    assert (row.policy, row.version) == ("first", 1)
    assert row.method == "minimum-cost assignment/1"
    assert row.instead and row.instead.startswith("nearest exchange: ")
    assert f" for {SERIALS[0]}" in row.instead and SERIALS[1] not in row.instead
    assert boards == codes
    rack.allot(SERIALS[0], "top", f"{LOT}-01")
    wrong = {finding.cause for finding in audit(rack.shop).findings}
    assert wrong == {"attachment"}  # no recording lies behind these taps


def test_what_was_promised_to_another_is_remarked(rack: Loft) -> None:
    """A match reserves nothing, and nobody overlooks it."""
    chosen = matching.match(
        rack.shop, [f"{LOT}-01"], part="top", serial=SERIALS[1], hands=rack.hands("03")
    )
    found = for_builds(rack, f"{LOT}-01", serials=SERIALS[:1])

    assert (
        f"{LOT}-01.A was chosen for the top of {SERIALS[1]} by entry "
        f"{chosen.entry.index}"
    ) in found.remarks


def test_two_boards_are_chosen_by_hand(rack: Loft) -> None:
    """The rule's points and words stand in the entry; no build need be named."""
    chosen = matching.match(
        rack.shop, [f"{LOT}-05.B", f"{LOT}-05.A"], part="top", hands=rack.hands("03")
    )
    event = chosen.entry.event

    assert event["boards"] == [f"{LOT}-05.A", f"{LOT}-05.B"]
    assert (event["method"], event["policy"]) == (matching.BY_HAND, "first")
    assert event["why"][0].endswith("points apart")
    assert "halves of one board" in event["why"]
    assert "serial" not in event


@pytest.mark.parametrize(
    ("codes", "why"),
    [
        ([f"{LOT}-11"], "a pair is of 2 boards, not 1"),
        ([f"{LOT}-01", f"{LOT}-11"], "a pair is of 2 boards, not 3"),
        ([f"{LOT}-11", f"{LOT}-11"], "a pair is of 2 boards, not 1"),
        ([f"{LOT}-11", f"{LOT}-13"], "was rejected for shake"),
        ([f"{LOT}-01.A", "L26-002-01.A"], "boards of two lots are no pair by first 1"),
        ([f"{LOT}-01.A", "L26-003-01.A"], "Picea abies and Thuja plicata"),
        ([f"{LOT}-01.A", "L26-009-01"], "there is no board L26-009-01"),
    ],
)
def test_what_is_no_pair_is_not_recorded(
    rack: Loft, codes: list[str], why: str
) -> None:
    """In one sentence, and the log stays as it was."""
    rack.number(rack.receive())
    rack.number(rack.receive(species="Thuja plicata"))
    size = rack.shop.store.head().size
    with pytest.raises((RefusedError, NotFoundError), match=why):
        matching.match(rack.shop, codes, part="top", hands=rack.hands("03"))

    assert rack.shop.store.head().size == size


def test_boards_of_two_lots_may_be_a_pair_where_the_house_says(rack: Loft) -> None:
    """By points that were adopted."""
    rack.number(rack.receive())
    text = first_matching_policy() | {"version": 2}
    text["kin"] = text["kin"] | {"strangers": 60}
    policies.adopt_policy(rack.shop, text, rack.hands())
    chosen = matching.match(
        rack.shop,
        [f"{LOT}-01.A", "L26-002-01.A"],
        part="top",
        hands=rack.hands("03"),
    )

    assert chosen.likeness.kin == "strangers"
    assert chosen.entry.event["version"] == 2


def test_wood_of_an_instrument_is_not_chosen_again(rack: Loft) -> None:
    """It says where it is."""
    rack.allot(SERIALS[0], "top", f"{LOT}-03")
    with pytest.raises(RefusedError, match=f"is the top of {SERIALS[0]} already"):
        matching.match(rack.shop, [f"{LOT}-03"], part="top", hands=rack.hands("03"))
