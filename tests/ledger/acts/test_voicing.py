"""An instrument is tapped as it is made, and its modes are told stage by stage."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger.acts import corrections, tapping, voicing
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.events.board import Mode
from ledger.log import attachments
from tests import ringing
from tests.sentences import READ, VOICED
from tests.skerrymoor import Loft

SERIAL, HALF = "26-0001-8", "L26-001-01.A"
EXPECTED: dict[Mode, int] = {"along": 71_000, "across": 150_000, "twist": 52_000}
BOX: dict[Mode, int] = {"air": 52_000, "top": 150_000}


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a recording of three modes, tapped three times."""
    return ringing.plate(tmp_path_factory.mktemp("taps") / "half.wav", taps=3)


@pytest.fixture(scope="module")
def again(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give another recording of the same."""
    return ringing.plate(tmp_path_factory.mktemp("taps") / "box.wav", taps=2)


@pytest.fixture
def begun(loft: Loft) -> Loft:
    """Give a shop with an instrument whose top is allotted."""
    loft.supplier()
    loft.number(loft.receive())
    loft.model()
    loft.begin()
    loft.allot(SERIAL, "top", "L26-001-01")
    return loft


def tap(loft: Loft, path: Path, **said: Any) -> voicing.Voiced:
    """Tap the braced top, or as is said."""
    told: dict[str, Any] = {
        "part": "top",
        "stage": "braced",
        "expected": EXPECTED,
        "hands": loft.hands("03"),
    }
    return voicing.tap_build(loft.shop, SERIAL, path, **(told | said))


def test_a_braced_top_and_a_closed_box_stand_after_their_plate(
    begun: Loft, recorded: Path, again: Path, tmp_path: Path
) -> None:
    """Each stage with its day, its mass and its modes; an audit hears all again."""
    plate = ringing.plate(tmp_path / "plate.wav", taps=4)
    tapping.tap(
        begun.shop,
        HALF,
        plate,
        held_as="plate",
        expected=EXPECTED,
        hands=begun.hands("03"),
    )
    tap(begun, recorded, mass_mg=252_000, thickness_um=2_900)
    done = tap(begun, again, stage="closed", expected=BOX)
    with begun.shop.store.reading() as session:
        rails = voicing.voice(session, SERIAL)

        earlier = voicing.voice(session, SERIAL, at=done.entry.index - 1)
    for rail in rails:
        begun.say(begun.strike(rail.idx))
    with begun.shop.store.reading() as session:
        assert voicing.voice(session, SERIAL) == []
        assert voicing.voice(session, SERIAL, at=done.entry.index) == rails

    assert [rail.stage for rail in earlier] == ["plate", "braced"]
    assert [rail.stage for rail in rails] == ["plate", "braced", "closed"]
    assert [rail.mass_mg for rail in rails] == [205_000, 252_000, None]
    assert [each.mode for each in done.readings] == ["air", "top"]
    assert abs(done.readings[0].frequency_millihertz - 52_320) < 50
    assert audit(begun.shop).findings == ()


def test_an_audit_finds_a_reading_that_the_recording_does_not_hold(
    begun: Loft, recorded: Path
) -> None:
    """Said past the act, of a recording in which something else rings."""
    tap(begun, recorded)
    digest = attachments.digests(begun.shop.attachments)[0]
    with begun.shop.store.reading() as session:
        (rail,) = voicing.voice(session, SERIAL)
    false = replace(READ, frequency_millihertz=99_000)
    index = begun.say(
        replace(VOICED, recording_sha256=digest, readings=(READ, false))
    ).index
    found = [f for f in audit(begun.shop).findings if f.cause == "reading"]

    assert rail.idx == index - 1
    assert [finding.index for finding in found] == [index]
    assert "along was read at 99.00 Hz" in str(found[0])


def test_a_recording_is_of_one_tap(begun: Loft, recorded: Path) -> None:
    """Filed twice it is refused; after the first was struck it is taken."""
    first = tap(begun, recorded).entry.index
    with pytest.raises(RefusedError, match=f"is of {SERIAL}, filed by entry {first}"):
        tap(begun, recorded, stage="closed", expected=BOX)
    corrections.correct(
        begun.shop, first, reason="it was closed", hands=begun.hands("03")
    )
    tap(begun, recorded, stage="closed", expected=BOX)


def test_a_box_does_not_open_again(begun: Loft, recorded: Path, again: Path) -> None:
    """What was tapped strung is not tapped braced afterwards."""
    tap(begun, recorded, stage="strung", expected=BOX)
    with pytest.raises(RefusedError, match="was tapped strung by entry"):
        tap(begun, again)


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        ({"expected": {}}, "say with --along, --across, --twist, --top"),
        ({"expected": {"air": 52_000}}, "a top that is braced has the modes"),
        ({"expected": {"along": 100_000}}, "no mode is heard within 15%"),
        ({"mass_mg": 0}, "is no mass"),
        ({"thickness_um": 0}, "is no thickness"),
        ({"part": "horn"}, "has no part 'horn'"),
        ({"band": (9, 3)}, "holds nothing"),
    ],
)
def test_what_stays_open_is_refused(
    begun: Loft, recorded: Path, said: dict[str, Any], fault: str
) -> None:
    """Nothing is recorded or kept then."""
    size = begun.shop.store.head().size
    with pytest.raises((RefusedError, NotFoundError), match=fault):
        tap(begun, recorded, **said)

    assert begun.shop.store.head().size == size
    assert attachments.digests(begun.shop.attachments) == ()


def test_an_instrument_that_is_not_there_has_no_voice(
    begun: Loft, recorded: Path, tmp_path: Path
) -> None:
    """Nor is a file that is not there a recording."""
    with pytest.raises(NotFoundError, match="there is no instrument"):
        voicing.tap_build(
            begun.shop,
            "26-0009-9",
            recorded,
            part="top",
            stage="braced",
            expected=EXPECTED,
            hands=begun.hands("03"),
        )
    with pytest.raises(NotFoundError, match="name a recording"):
        tap(begun, tmp_path / "none.wav")
    with begun.shop.store.reading() as session:
        assert voicing.voice(session, SERIAL) == []
