"""A tap is recorded where it is open neither whose it is nor which mode is which."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger.acts import corrections, measuring, tapping
from ledger.acts.tapping import Tapped
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.events.board import Mode
from ledger.log import attachments
from ledger.views.readings import readings_of, taps_of
from tests import ringing
from tests.skerrymoor import NECK, TOP, Loft

HALF = "L26-001-01.A"
EXPECTED: dict[Mode, int] = {"along": 71_000, "across": 150_000, "twist": 52_000}


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a recording of a spruce half, tapped three times."""
    return ringing.plate(tmp_path_factory.mktemp("taps") / "half.wav", taps=3)


@pytest.fixture
def racked(loft: Loft) -> Loft:
    """Give a shop with one set of spruce, L26-001-01."""
    loft.supplier()
    loft.number(loft.receive())
    return loft


def tap(loft: Loft, path: Path, code: str = HALF, **said: Any) -> Tapped:
    """Tap a board."""
    told: dict[str, Any] = {
        "held_as": "plate",
        "expected": EXPECTED,
        "hands": loft.hands("03"),
    }
    return tapping.tap(loft.shop, code, path, **(told | said))


def untouched(loft: Loft, size: int) -> bool:
    """Tell that nothing was recorded or kept since, and that everything is whole."""
    is_bare = attachments.digests(loft.shop.attachments) == ()
    is_same = loft.shop.store.head().size == size
    return is_same and is_bare and audit(loft.shop).findings == ()


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"code": "L26-001-01"}, "is a set: scan the half"),
        ({"code": "L26-001-09"}, "there is no board"),
        ({"expected": {}}, r"heard are 52.3. Hz .*: say with --along, --across"),
        ({"expected": {"along": 90_000}}, "no mode is heard within 15% of 90 Hz"),
        ({"expected": {"bar": 71_000}}, "a plate has the modes along, across, twist"),
        ({"held_as": "bar"}, "a bar has the modes bar, and no along"),
        ({"held_as": "bar", "expected": {}}, "say with --at"),
        (
            {"expected": {"along": 150_000, "across": 71_000}},
            r"E along of board L26-001-01\.A would be 51 GPa, and no wood has .* which "
            r"\(across and along exchanged give E along 11\.\d GPa\)",
        ),
        ({"band": (200_000, 100_000)}, "give the lower edge first"),
        ({"band": (0, 100_000)}, "give the lower edge first"),
        ({"badge": "12"}, r"tapping a board needs"),
    ],
)
def test_a_tap_of_which_something_is_open_is_refused(
    racked: Loft, recorded: Path, said: dict[str, Any], why: str
) -> None:
    """Nothing is recorded, no file is kept, and the answer says what is open."""
    size = racked.shop.store.head().size
    hands = racked.hands(said.pop("badge", "03"))
    with pytest.raises(LedgerError, match=why):
        tap(racked, recorded, said.pop("code", HALF), hands=hands, **said)

    assert untouched(racked, size)


def test_a_board_is_measured_and_weighed_before_it_is_tapped(
    racked: Loft, recorded: Path
) -> None:
    """Its stiffness rests on both; one worked since is weighed again."""
    unweighed = replace(TOP, masses_mg=())
    unmeasured = replace(NECK, thickness_um=None)
    bare, odd = racked.number(racked.receive(), unweighed, unmeasured)
    hands = racked.hands("02")
    measuring.measure(racked.shop, HALF, thicknesses_um=[3_000], hands=hands)
    for code, why in (
        (bare, "was not weighed: weigh it first"),
        (odd, "has no length, width and thickness yet"),
        (HALF, "was not weighed since it was worked"),
    ):
        with pytest.raises(RefusedError, match=why):
            tap(racked, recorded, code)

    assert attachments.digests(racked.shop.attachments) == ()


@pytest.mark.parametrize(
    ("data", "why"),
    [(None, "there is no file"), (b"", "is empty"), (b"RIFF" * 9, "is no recording")],
)
def test_what_is_no_recording_is_refused(
    racked: Loft, tmp_path: Path, data: bytes | None, why: str
) -> None:
    """In one sentence, before anything is kept."""
    size, path = racked.shop.store.head().size, tmp_path / "half.wav"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(LedgerError, match=why) as refusal:
        tap(racked, path)

    assert "\n" not in str(refusal.value)
    assert untouched(racked, size)


def test_a_recording_is_of_one_board_only(racked: Loft, recorded: Path) -> None:
    """The wrong half's file is refused, until the first is struck."""
    first = tap(racked, recorded)
    with pytest.raises(
        RefusedError, match=r"is of board L26-001-01\.A, filed by entry"
    ):
        tap(racked, recorded, "L26-001-01.B")
    corrections.correct(
        racked.shop, first.entry.index, reason="B's file", hands=racked.hands("03")
    )
    second = tap(racked, recorded, "L26-001-01.B")

    assert second.entry.event["board"] == "L26-001-01.B"
    assert audit(racked.shop).findings == ()


def test_a_recording_that_says_nothing_new_is_not_recorded_again(
    racked: Loft, recorded: Path
) -> None:
    """A double scan adds nothing; with the modes named otherwise it is news."""
    first = tap(racked, recorded)
    with pytest.raises(RefusedError, match=f"by entry {first.entry.index} already"):
        tap(racked, recorded)
    less = tap(racked, recorded, expected={"along": 71_000})

    assert less.entry.index == first.entry.index + 1


def test_a_tap_holds_the_recording_and_what_was_read(
    racked: Loft, recorded: Path
) -> None:
    """Integers in small units, with the sizes and the mass of that moment."""
    done = tap(racked, recorded)
    event = done.entry.event
    read = {r["mode"]: r["frequency_millihertz"] for r in event["readings"]}

    assert read == {"twist": 52_320, "along": 71_290, "across": 150_510}
    assert [r["taps"] for r in event["readings"]] == [3, 3, 3]
    assert event["readings"][1]["q_milli"] == pytest.approx(110_000, rel=0.005)
    assert all(0 < r["q_uncertainty_milli"] < 1_000 for r in event["readings"])
    assert all(r["scatter_ppm"] < 100 for r in event["readings"])
    assert event["method"] == "matrix pencil and least squares/3"
    assert (event["mass_mg"], event["thickness_um"]) == (205_000, 4_200)
    assert (event["low_millihertz"], event["high_millihertz"]) == (31_200, 225_000)
    kept = attachments.read(racked.shop.attachments, event["recording_sha256"])
    assert kept == recorded.read_bytes()
    assert "3 of at least 5 taps" in done.warnings[0]
    with racked.shop.store.reading() as session:
        (tapping_,) = taps_of(session, HALF)
        assert len(readings_of(session, tapping_.idx)) == 3


def test_a_single_tap_says_nothing_of_scatter(racked: Loft, tmp_path: Path) -> None:
    """Neither in the entry nor in the view; its Q is as sure as its fit."""
    path = ringing.plate(tmp_path / "once.wav", taps=1)
    event = tap(racked, path, expected={"along": 71_000}).entry.event
    with racked.shop.store.reading() as session:
        (row,) = readings_of(session, taps_of(session, HALF)[0].idx)

    assert "scatter_ppm" not in event["readings"][0]
    assert row.scatter_ppm is None
    assert row.q_uncertainty_milli == event["readings"][0]["q_uncertainty_milli"]
    assert audit(racked.shop).findings == ()


def test_a_bar_with_one_tone_needs_nothing_said(racked: Loft, tmp_path: Path) -> None:
    """There is nothing to take it for."""
    (code,) = racked.number(racked.receive(), NECK)
    path = ringing.bar(tmp_path / "brace.wav")
    done = tap(racked, path, code, held_as="bar", expected={}, as_read=True)

    assert [r.mode for r in done.readings] == ["bar"]
    assert "e_gpa" in done.stiffness.figures


def test_a_board_that_nobody_believes_is_tapped_only_as_read(
    racked: Loft, recorded: Path
) -> None:
    """A density out of the band would spoil every figure."""
    hands = racked.hands("02")
    measuring.weigh(racked.shop, HALF, 280_000, hands=hands, as_read=True)
    with pytest.raises(RefusedError, match="587"):
        tap(racked, recorded)

    assert tap(racked, recorded, as_read=True).entry.event["mass_mg"] == 280_000
