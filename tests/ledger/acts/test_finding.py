"""Wood that was found: candidates by measure, one of them chosen, or nobody knows."""

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.acts import finding, relabelling
from ledger.acts.boards import BoardDraft
from ledger.acts.finding import candidates, identify, number_unknown
from ledger.acts.measuring import move
from ledger.acts.relabelling import VoidLabelError, require_true_label
from ledger.audit import audit
from ledger.craft.identifying import Measured
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.views.boards import Board
from ledger.views.relabelled import found_again, replacements_of
from ledger.views.wood import Lot
from tests.skerrymoor import TOP, Loft

FOUND = Measured(
    length_um=556_000, width_um=201_000, thickness_um=4_100, mass_mg=205_000
)
WHY = "the growth rings match the photograph"


def top(*masses: int) -> BoardDraft:
    """Return a set of two halves of these masses."""
    return replace(TOP, masses_mg=masses)


def near(*masses: int) -> BoardDraft:
    """Return a set of the size of what was found."""
    return BoardDraft(
        meant_for="top",
        masses_mg=masses,
        length_um=556_000,
        width_um=201_000,
        thickness_um=4_100,
    )


@pytest.fixture
def rack(loft: Loft) -> Loft:
    """Give seven sets of spruce, two of whose halves are like what was found."""
    loft.supplier()
    lot = loft.receive(trade_name="Alpine spruce")
    loft.number(lot, *[top(240_000, 242_000)] * 5, near(205_500, 232_000))
    loft.number(lot, near(231_000, 204_000))
    loft.number(loft.receive(species="Acer pseudoplatanus"), top(299_000, 301_000))
    move(loft.shop, [f"{lot}-06", f"{lot}-07"], "crib, shelf B", hands=loft.hands("02"))
    return loft


def test_the_nearest_comes_first(rack: Loft) -> None:
    """Two fit; of neither anybody is certain."""
    with rack.shop.store.reading() as session:
        found = candidates(session, FOUND, species="spruce", place="shelf B")

    assert [(each.board, each.confidence) for each in found] == [
        ("L26-001-06.A", "likely"),
        ("L26-001-07.B", "likely"),
    ]
    assert found[0].distance.most_milli < found[1].distance.most_milli
    assert found[0].place == "crib, shelf B"


@pytest.mark.parametrize(
    ("told", "count"),
    [
        ({"species": "Picea"}, 2),
        ({"species": "Picea abies"}, 2),
        ({"species": "alpine"}, 2),
        ({"species": "maple"}, 0),
        ({"place": "shelf C"}, 0),
        ({}, 2),
    ],
)
def test_only_wood_of_a_species_or_a_place_is_looked_at(
    rack: Loft, told: dict[str, str], count: int
) -> None:
    """By its scientific name, its genus or what the trade calls it."""
    with rack.shop.store.reading() as session:
        assert len(candidates(session, FOUND, **told)) == count


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (Measured(), "nothing measured tells no board"),
        (Measured(length_um=556_000), "one measure alone tells no board"),
        (Measured(length_um=556_000, width_um=0), "above nothing: 0 is not"),
    ],
)
def test_too_little_tells_nothing(rack: Loft, found: Measured, said: str) -> None:
    """Nothing is looked for, identified or numbered by it."""
    with rack.shop.store.reading() as session, pytest.raises(RefusedError, match=said):
        candidates(session, found)
    hands = rack.hands("02")
    with pytest.raises(RefusedError, match=said):
        identify(rack.shop, "L26-001-07.B", found, reason=WHY, hands=hands)
    with pytest.raises(RefusedError, match=said):
        number_unknown(rack.shop, found, hands=hands)


def test_nothing_found_says_what_to_do(rack: Loft) -> None:
    """It is measured again, or unknown."""
    other = replace(FOUND, length_um=700_000)
    with rack.shop.store.reading() as session:
        found = candidates(session, other)
    with pytest.raises(NotFoundError, match=r"700.mm long, .*flitchbook board unknown"):
        finding.require_any(found, other)


def test_the_chosen_one_is_kept_with_how_sure_it_is(rack: Loft) -> None:
    """Its old label is void, the next one is number 1, and the other is named."""
    done = identify(
        rack.shop, "L26-001-07.B", FOUND, reason=WHY, hands=rack.hands("02")
    )

    assert (done.confidence, done.others, done.label) == (
        "likely",
        ("L26-001-06.A",),
        1,
    )
    with rack.shop.store.reading() as session:
        told = found_again(session, ["L26-001-07.B", "L26-001-06.A"])
        assert [row.idx for row in told] == list(done.entries)
        assert session.get_one(Board, "L26-001-07.B").label == 1
        assert replacements_of(session, ["L26-001-06.A"]) == []
    assert audit(rack.shop).findings == ()


@pytest.mark.parametrize(
    ("code", "reason", "badge", "said"),
    [
        ("L26-001-01.A", WHY, "02", r"found is 205.g in mass, and .* is 240.g: .* 3 a"),
        ("L26-001-07", WHY, "02", "is a set: scan the half"),
        ("L26-001-07.B", " ", "02", "the reason has 1 to"),
        ("L26-001-07.B", WHY, "12", r"identifying a board needs"),
        ("L26-009-01", WHY, "02", "no board L26-009-01"),
    ],
)
def test_what_does_not_fit_is_not_identified(
    rack: Loft, code: str, reason: str, badge: str, said: str
) -> None:
    """Both measures are named, and nothing is recorded."""
    size = rack.shop.store.head().size
    with pytest.raises(LedgerError, match=said):
        identify(rack.shop, code, FOUND, reason=reason, hands=rack.hands(badge))

    assert rack.shop.store.head().size == size


def test_a_board_of_which_little_is_known_is_not_identified(rack: Loft) -> None:
    """It stays unknown rather than guessed at."""
    (code,) = rack.number(rack.receive(), BoardDraft(meant_for="neck"))
    with pytest.raises(RefusedError, match="too little on record"):
        identify(rack.shop, code, FOUND, reason=WHY, hands=rack.hands("02"))


def test_wood_of_unknown_origin_goes_into_no_instrument(rack: Loft) -> None:
    """It is old stock without evidence, and no act makes it known."""
    code = number_unknown(rack.shop, FOUND, place="shelf J", hands=rack.hands("02"))
    rack.model()
    serial = rack.begin()
    with pytest.raises(RefusedError, match="fit for jigs only"):
        rack.allot(serial, "top", code)

    with rack.shop.store.reading() as session:
        board = session.get_one(Board, code)
        lot = session.get_one(Lot, board.lot)
        assert (lot.species, lot.evidence, lot.is_opening) == ("unknown", "none", True)
        assert (board.place, board.meant_for) == ("shelf J", "jig")
    assert audit(rack.shop).findings == ()


def test_a_label_that_was_replaced_is_refused_where_it_is_scanned(rack: Loft) -> None:
    """It says by which number and when; what is typed comes from the wood."""
    from ledger.ids import BoardId, scan_text

    code, host = BoardId.parse("L26-001-07.B"), "skerrymoor.example"
    old = scan_text(code, host=host)
    with rack.shop.store.reading() as session:
        require_true_label(session, old)
        with pytest.raises(RefusedError, match="never had a label 1, its newest is 0"):
            require_true_label(session, scan_text(code, host=host, label=1))
    for number in (1, 2):
        entry = relabelling.replace_label(
            rack.shop, str(code), reason="torn off", hands=rack.hands("02")
        )
        assert entry.event["number"] == number

    with rack.shop.store.reading() as session:
        for scan in (old, scan_text(code, host=host, label=1)):
            with pytest.raises(
                VoidLabelError,
                match=r"replaced by number 2 on 2026-01-05 in entry .*look at the wood",
            ):
                require_true_label(session, scan)
        for text in (scan_text(code, label=2), "L26-001-07.B", "L26-001-07", "S/x"):
            require_true_label(session, text)
    assert audit(rack.shop).findings == ()


def test_a_photograph_on_file_is_named_with_its_entry(
    rack: Loft, tmp_path: Path
) -> None:
    """Two boards are told from one another by their pictures."""
    from PIL import Image

    from ledger.acts.measuring import photograph
    from ledger.acts.pictured import picture_words

    path = tmp_path / "half.png"
    Image.new("RGB", (8, 8)).save(path)
    hands = rack.hands("02")
    entry = photograph(rack.shop, "L26-001-07.B", path, face="front", hands=hands)[0]
    with rack.shop.store.reading() as session:
        second = candidates(session, FOUND)[1]

    assert second.photographs == (("front", entry.index),)
    assert picture_words(rack.shop, ["L26-001-06.A", "L26-001-07.B"]) == [
        f"photographs of L26-001-07.B: front (entry {entry.index})"
    ]
