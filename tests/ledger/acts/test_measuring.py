"""Boards are weighed, measured, moved and photographed; slips are refused."""

from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from ledger.acts import corrections, measuring
from ledger.acts.measuring import Weighed
from ledger.audit import audit
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.events import GaugeListed
from ledger.events.board import Face
from ledger.log import attachments
from ledger.views.boards import Board
from ledger.views.measures import weighings_of
from ledger.views.readings import photographs_of
from tests.skerrymoor import NECK, TOP, Loft

HALF = "L26-001-01.A"
NOTHING_KNOWN: dict[str, Any] = {
    "length_um": None,
    "width_um": None,
    "thickness_um": None,
    "masses_mg": (),
}


@pytest.fixture
def racked(loft: Loft) -> Loft:
    """Give a shop with one set of spruce, L26-001-01."""
    loft.supplier()
    loft.number(loft.receive())
    return loft


def weigh(loft: Loft, grams: float, code: str = HALF, **said: Any) -> Weighed:
    """Put a board on the scale."""
    told: dict[str, Any] = {"hands": loft.hands("02")} | said
    return measuring.weigh(loft.shop, code, round(grams * 1000), **told)


def measure(loft: Loft, code: str = HALF, **said: Any) -> measuring.Measured:
    """Measure a board."""
    return measuring.measure(loft.shop, code, hands=loft.hands("02"), **said)


def stored(loft: Loft, code: str = HALF) -> Board:
    """Return a board as the shop knows it."""
    with loft.shop.store.reading() as session:
        board = session.get_one(Board, code)
        session.expunge_all()
    return board


def untouched(loft: Loft, size: int) -> bool:
    """Tell that nothing was recorded or kept since, and that everything is whole."""
    is_bare = attachments.digests(loft.shop.attachments) == ()
    is_same = loft.shop.store.head().size == size
    return is_same and is_bare and audit(loft.shop).findings == ()


def picture(folder: Path, name: str = "end.jpg") -> Path:
    """Make a small photograph."""
    path = folder / name
    Image.new("RGB", (64, 48), (180, 140, 90)).save(path)
    return path


@pytest.mark.parametrize(
    ("grams", "why"),
    [
        (0, "is no mass"),
        (-1, "is no mass"),
        (2050, "weighed 205\u2009g last"),
        (20.5, "weighed 205\u2009g last"),
        (174, "a difference above 15"),
        (2**53, "weighed 205"),
    ],
)
def test_a_mass_that_cannot_be_is_refused(racked: Loft, grams: float, why: str) -> None:
    """Nothing is recorded, and both numbers are named."""
    size = racked.shop.store.head().size
    with pytest.raises(RefusedError, match=why):
        weigh(racked, grams)

    assert untouched(racked, size)


def test_whose_mass_is_it_is_asked_of_a_set(racked: Loft) -> None:
    """A set has two halves, and each its own mass."""
    with pytest.raises(RefusedError, match=r"is a set: scan the half, L26-001-01\.A"):
        weigh(racked, 412, "L26-001-01")
    with pytest.raises(NotFoundError, match="there is no board L26-001-09"):
        weigh(racked, 205, "L26-001-09")
    with pytest.raises(RefusedError, match=r"weighing a board needs"):
        weigh(racked, 204, hands=racked.hands("12"))


def test_a_weighing_tells_the_density(racked: Loft) -> None:
    """And whether that is normal for this spruce."""
    done = weigh(racked, 204.1, scale="bench 2")

    assert done.words == "428\u2009kg/m³: normal for Picea abies"
    assert (done.board, done.density_gram_per_m3) == (HALF, 428_239)
    assert done.entry.event["scale"] == "bench 2"
    assert stored(racked).mass_mg == 204_100


def test_a_board_thinner_than_its_list_was_not_worked(loft: Loft) -> None:
    """A sawyer's sizes are nominal: whoever measures less has taken nothing off."""
    loft.supplier()
    loft.number(loft.receive(), replace(TOP, masses_mg=(), is_set=True, is_listed=True))
    weigh(loft, 200)
    thinner = stored(loft).thickness_um
    assert thinner is not None
    done = measure(loft, thicknesses_um=[thinner - 300])

    assert done.density_gram_per_m3 is not None
    assert "weigh it" not in done.words


def test_a_first_mass_is_compared_with_the_sawyer_s(loft: Loft) -> None:
    """A list is no weighing: it stands beside the first one, and does not count."""
    loft.supplier()
    half = loft.receive()
    listed = replace(TOP, **NOTHING_KNOWN, listed_mg=(205_000, 207_000))
    loft.number(half, listed)
    with pytest.raises(RefusedError, match=r"weighs 54.g and 205.g on the sawyer"):
        weigh(loft, 54)
    weigh(loft, 203)
    weigh(loft, 54, "L26-001-01.B", as_read=True)

    assert (stored(loft).mass_mg, stored(loft).listed_mg) == (203_000, 205_000)
    with loft.shop.store.reading() as session:
        assert [row.mass_mg for row in weighings_of(session, HALF)] == [203_000]


def test_who_has_weighed_twice_may_insist(racked: Loft) -> None:
    """It is taken as read, and said to be unusual."""
    done = weigh(racked, 280, as_read=True)

    assert "above the usual" in done.words
    assert stored(racked).mass_mg == 280_000


def test_a_board_without_sizes_is_weighed_all_the_same(racked: Loft) -> None:
    """Its density comes with its sizes; a slip among them is seen by it."""
    (code,) = racked.number(racked.receive(), replace(NECK, **NOTHING_KNOWN))
    done = weigh(racked, 205, code)
    with pytest.raises(RefusedError, match="sizes look like inches typed"):
        measure(racked, code, length_um=22_000, width_um=8_000, thicknesses_um=[165])
    sizes = {"length_um": 559_000, "width_um": 203_000, "thicknesses_um": [4_200]}
    measured = measure(racked, code, **sizes)

    assert done.density_gram_per_m3 is None
    assert done.words == "measure it, and it has a density"
    assert measured.density_gram_per_m3 == 430_127


def test_a_worked_board_is_weighed_anew(racked: Loft) -> None:
    """Who planed a half measures it, and then its new mass is no slip."""
    with pytest.raises(RefusedError, match="after work on it measure it first"):
        weigh(racked, 141)
    measured = measure(racked, thicknesses_um=[2_900, 2_880, 2_910])
    weighed = weigh(racked, 141)

    assert measured.thickness_um == 2_897
    assert measured.density_gram_per_m3 is None
    assert measured.words == "weigh it, and it has a density"
    assert measured.entry.event["points_um"] == [2_900, 2_880, 2_910]
    assert weighed.words == "429\u2009kg/m³: normal for Picea abies"
    with pytest.raises(RefusedError, match="weighed 141"):
        weigh(racked, 205)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({}, "nothing was measured"),
        ({"length_um": 0}, "is no size"),
        ({"thicknesses_um": [4_200, -1]}, "is no size"),
        ({"thicknesses_um": [4_200] * 101}, "at most 100 points"),
        ({"length_um": 22_000}, "inches typed as millimetres"),
        ({"width_um": 900_000}, "no board grows"),
        ({"moisture_ppm": 780_000}, "above 30\u2009% wood is green"),
        ({"length_um": 559_000, "meter": "pin meter 1"}, "read nothing"),
        ({"moisture_ppm": 78_000, "meter": " "}, "the meter has 1 to 200"),
        ({"length_um": 2**53}, "no board grows"),
    ],
)
def test_a_size_that_cannot_be_is_refused(
    racked: Loft, said: dict[str, Any], why: str
) -> None:
    """Nothing is recorded."""
    size = racked.shop.store.head().size
    with pytest.raises(RefusedError, match=why):
        measure(racked, **said)

    assert untouched(racked, size)


def test_what_is_not_measured_again_stands(racked: Loft) -> None:
    """A meter's reading leaves the sizes as they were."""
    done = measure(racked, moisture_ppm=78_000, meter="pin meter 1, spruce")
    board = stored(racked)

    assert (board.moisture_ppm, board.length_um) == (78_000, 559_000)
    assert done.thickness_um == 4_200
    assert done.words == "430\u2009kg/m³: normal for Picea abies"


def test_a_struck_weighing_leaves_the_one_before(racked: Loft) -> None:
    """The next mass is compared with the last that counts."""
    wrong = weigh(racked, 280, as_read=True)
    corrections.correct(
        racked.shop,
        wrong.entry.index,
        reason="the lamp lay on it",
        hands=racked.hands("02"),
    )
    weigh(racked, 204)
    with racked.shop.store.reading() as session:
        masses = [row.mass_mg for row in weighings_of(session, HALF)]

    assert masses == [205_000, 204_000]


def test_boards_move_alone_in_pairs_and_by_the_lot(racked: Loft) -> None:
    """Each board moves once, however often it is named."""
    racked.number(racked.receive(), TOP, NECK)
    codes = [HALF, "L26-001-01", "L26-002"]
    moved = measuring.move(racked.shop, codes, " crib, B ", hands=racked.hands("02"))

    assert [entry.event["board"] for entry in moved] == [
        "L26-001-01.A",
        "L26-001-01.B",
        "L26-002-01.A",
        "L26-002-01.B",
        "L26-002-02",
    ]
    assert stored(racked).place == "crib, B"


def test_a_lot_in_the_rack_moves_without_what_was_allotted(racked: Loft) -> None:
    """What became of an instrument lies on no shelf."""
    racked.number(racked.receive(), NECK)
    racked.model()
    serial = racked.begin()
    racked.allot(serial, "top", "L26-001-01")
    hands = racked.hands("02")
    with pytest.raises(RefusedError, match="no board of lot L26-001 lies in the rack"):
        measuring.move(racked.shop, ["L26-001"], "crib", hands=hands)
    moved = measuring.move(racked.shop, [HALF], "bench 3", hands=hands)

    assert moved[0].event["place"] == "bench 3"


@pytest.mark.parametrize("codes", [["L26-009"], ["L26-001-09"], ["26-0001-8"]])
def test_what_is_not_there_is_not_moved(racked: Loft, codes: list[str]) -> None:
    """All that are named move, or none."""
    size = racked.shop.store.head().size
    with pytest.raises(LedgerError):
        measuring.move(racked.shop, [HALF, *codes], "crib", hands=racked.hands("02"))

    assert untouched(racked, size)


def test_a_photograph_is_filed_for_a_half_and_for_a_set(
    racked: Loft, tmp_path: Path
) -> None:
    """The bytes lie under their digest as they came from the camera."""
    path, face = picture(tmp_path), "end-grain"
    told: dict[str, Any] = {"face": face, "hands": racked.hands("02")}
    one = measuring.photograph(racked.shop, HALF, path, **told)
    two = measuring.photograph(racked.shop, "L26-001-01", path, **told)
    digest = attachments.digest_of(path)

    assert [entry.event["sha256"] for entry in (*one, *two)] == [digest] * 3
    kept = attachments.read(racked.shop.attachments, digest)
    assert kept == path.read_bytes()
    with racked.shop.store.reading() as session:
        assert len(photographs_of(session, [HALF])) == 2
    assert audit(racked.shop).findings == ()


@pytest.mark.parametrize(
    ("code", "badge", "why"),
    [
        ("L26-001-09", "02", "there is no board"),
        ("L26-001", "02", "is not the code of a board"),
        (HALF, "12", "photographing a board needs"),
    ],
)
def test_a_photograph_that_nothing_names_is_not_kept(
    racked: Loft, tmp_path: Path, code: str, badge: str, why: str
) -> None:
    """Neither its entry nor its bytes."""
    size, face = racked.shop.store.head().size, "front"
    told: dict[str, Any] = {"face": face, "hands": racked.hands(badge)}
    with pytest.raises(LedgerError, match=why):
        measuring.photograph(racked.shop, code, picture(tmp_path), **told)

    assert untouched(racked, size)


def test_a_photograph_that_something_names_stays(racked: Loft, tmp_path: Path) -> None:
    """A second entry that is refused takes nothing from the first."""
    path = picture(tmp_path)
    face: Face = "front"
    measuring.photograph(racked.shop, HALF, path, face=face, hands=racked.hands("02"))
    with pytest.raises(RefusedError):
        measuring.photograph(
            racked.shop, HALF, path, face=face, hands=racked.hands("12")
        )

    assert audit(racked.shop).findings == ()


def test_a_late_weighing_counts_by_the_day_it_was_made(racked: Loft) -> None:
    """What the scale showed last is the mass, whenever it was entered."""
    racked.clock.moment += timedelta(days=7)
    weigh(racked, 204)
    shop = replace(
        racked.shop,
        beside=replace(racked.shop.beside, happened_at="2026-01-05T23:00:00Z"),
    )
    measuring.weigh(shop, HALF, 206_000, hands=racked.hands("02"))

    assert stored(racked).mass_mg == 204_000


@pytest.mark.parametrize(
    ("scale", "why"),
    [
        ("G26-001", r"G26-001 .dial caliper. measures length and is no scale: give"),
        ("g26-001", "gauge G26-001 .*is no scale"),
        ("G26-099", "there is no gauge G26-099: put it on the list"),
        ("M26-001", "M26-001 is a batch and no scale: give the code of the scale"),
        ("L26-001", "L26-001 is a lot and no scale"),
    ],
)
def test_what_is_no_scale_weighs_nothing(racked: Loft, scale: str, why: str) -> None:
    """A code is that of a scale of the list; a name in words stays as it is."""
    racked.say(GaugeListed(gauge="G26-001", what="dial caliper", measures="length"))
    racked.say(GaugeListed(gauge="G26-002", what="bench scale", measures="mass"))
    size = racked.shop.store.head().size
    with pytest.raises(LedgerError, match=why):
        weigh(racked, 206, scale=scale)

    assert racked.shop.store.head().size == size
    words = [weigh(racked, 206, scale=name) for name in ("g26-002", "the old scale")]
    assert [w.entry.event["scale"] for w in words] == ["G26-002", "the old scale"]


def test_what_is_no_meter_reads_no_moisture(racked: Loft) -> None:
    """Where a board is measured, as where a meter is put to it."""
    racked.say(GaugeListed(gauge="G26-001", what="dial caliper", measures="length"))
    with pytest.raises(RefusedError, match="is no moisture meter: give the code of"):
        measure(racked, moisture_ppm=84_000, meter="G26-001")


def test_a_lot_that_never_came_in_is_not_moved(racked: Loft) -> None:
    """It is told from one of which nothing is numbered."""
    for code, why in (
        ("L26-077", "there is no lot L26-077"),
        (str(racked.receive()), ""),
    ):
        with pytest.raises(
            NotFoundError, match=why or "is numbered: number them first"
        ):
            measuring.move(racked.shop, [code], "crib", hands=racked.hands("02"))
