"""Pictures, taps and air: what counts, in the order in which it happened."""

from dataclasses import replace

import pytest

from ledger.acts.copies import rebuild
from ledger.errors import TamperError
from ledger.events import (
    BoardPhotographed,
    BoardTapped,
    Event,
    RoomLogged,
    RoomMeasured,
)
from ledger.events.board import Reading
from ledger.views.readings import (
    air_since,
    flexings_of,
    loads_of,
    newest_air,
    photographs_of,
    readings_of,
    taps_of,
    voice_of,
)
from tests.ledger.views.forests import grown, lot
from tests.sentences import DAY, FLEXED, VOICED
from tests.skerrymoor import NECK, Loft

CODE = "L26-001-01"
ALONG = Reading(
    mode="along",
    frequency_millihertz=71_290,
    uncertainty_millihertz=12,
    q_milli=110_000,
    q_uncertainty_milli=900,
    taps=5,
    scatter_ppm=400,
)
# Tapped once, and nobody knows how sure Q is.
ACROSS = Reading(
    mode="across",
    frequency_millihertz=150_510,
    uncertainty_millihertz=12,
    q_milli=85_000,
    taps=1,
)
TAPPED = BoardTapped(
    board=CODE,
    held_as="plate",
    length_um=550_000,
    width_um=200_000,
    thickness_um=4_000,
    mass_mg=176_000,
    recording_sha256="5a" * 32,
    low_millihertz=20_000,
    high_millihertz=400_000,
    method="as it was told",
    readings=(ALONG, ACROSS),
)
FRONT = BoardPhotographed(board=CODE, face="front", sha256="5b" * 32)
AIR = RoomMeasured(room="crib", temperature_millikelvin=293_150, humidity_ppm=450_000)
EARLY, LATE = "2024-02-29T10:00:00Z", "2026-01-04T10:00:00Z"


@pytest.fixture
def bench(loft_on_each: Loft) -> Loft:
    """Give a shop with two boards, on each database."""
    loft_on_each.supplier()
    loft_on_each.number(loft_on_each.receive(), NECK, NECK)
    return loft_on_each


def test_taps_come_as_they_happened_with_what_was_read(bench: Loft) -> None:
    """The modes in their order, the day of the claim; a struck tap counts no more."""
    for method, moment in (("third", None), ("first", EARLY), ("second", LATE)):
        entry = bench.say(replace(TAPPED, method=method), "03", happened_at=moment)
    struck = bench.say(replace(TAPPED, method="struck"), "03").index
    bench.say(bench.strike(struck))
    rebuild(bench.shop)

    with bench.shop.store.reading() as session:
        taps = taps_of(session, CODE)
        assert [(t.method, t.day) for t in taps] == [
            ("first", "2024-02-29"),
            ("second", "2026-01-04"),
            ("third", "2026-01-05"),
        ]
        assert [t.struck_idx for t in taps] == [None] * 3
        read = readings_of(session, entry.index)
        assert [(r.mode, r.frequency_millihertz) for r in read] == [
            ("along", 71_290),
            ("across", 150_510),
        ]
        assert [(r.q_uncertainty_milli, r.scatter_ppm) for r in read] == [
            (900, 400),
            (None, None),
        ]
        assert len(readings_of(session, struck)) == 2
        assert taps_of(session, "L26-001-02") == []


def test_photographs_are_those_of_the_boards_named(bench: Loft) -> None:
    """Of several boards at once, in the order of their filing; none for no board."""
    first = bench.say(FRONT).index
    bench.say(replace(FRONT, board="L26-001-02", face="end-grain"))
    struck = bench.say(replace(FRONT, face="back")).index
    bench.say(bench.strike(struck))

    with bench.shop.store.reading() as session:
        both = photographs_of(session, ["L26-001-02", CODE])
        assert [(p.idx, p.face) for p in both] == [
            (first, "front"),
            (first + 1, "end-grain"),
        ]
        assert [p.face for p in photographs_of(session, [CODE])] == ["front"]
        assert photographs_of(session, []) == []


def test_what_was_struck_later_still_counted_before(bench: Loft) -> None:
    """Asked after an entry, a tap, a picture and the air are as they were then."""
    tap, picture, air = (bench.say(event, "03").index for event in (TAPPED, FRONT, AIR))
    late = bench.say(replace(FRONT, face="back")).index
    for index in (tap, picture, air):
        bench.say(bench.strike(index))

    with bench.shop.store.reading() as session:
        assert [row.idx for row in taps_of(session, CODE, late)] == [tap]
        assert taps_of(session, CODE, tap - 1) == taps_of(session, CODE) == []
        assert [p.idx for p in photographs_of(session, [CODE], air)] == [picture]
        assert [p.idx for p in photographs_of(session, [CODE])] == [late]
        then = newest_air(session, at=late)
        assert then is not None and then.idx == air
        assert newest_air(session) is None and newest_air(session, at=tap) is None


def test_the_newest_air_is_of_a_room_or_of_any(bench: Loft) -> None:
    """By when it was measured; of two at one moment that which was entered later."""
    said = [
        (AIR, LATE),
        (replace(AIR, room="finish", humidity_ppm=550_000), EARLY),
        (replace(AIR, humidity_ppm=470_000), LATE),
    ]
    for event, moment in said:
        last = bench.say(event, happened_at=moment)

    with bench.shop.store.reading() as session:
        for room, humidity in (
            (None, 470_000),
            ("crib", 470_000),
            ("finish", 550_000),
        ):
            air = newest_air(session, room)
            assert air is not None and air.humidity_ppm == humidity
        assert newest_air(session, "cellar") is None
    bench.say(bench.strike(last.index))
    with bench.shop.store.reading() as session:
        air = newest_air(session)
        assert air is not None and air.humidity_ppm == 450_000


def test_before_anybody_measured_there_is_no_air() -> None:
    """Nor a tap nor a picture."""
    with grown(lot(1, 1)) as session:
        assert newest_air(session) is None
        assert taps_of(session, CODE) == []
        assert photographs_of(session, [CODE]) == []


@pytest.mark.parametrize(
    "event",
    [replace(TAPPED, board="L26-009-01"), replace(FRONT, board="L26-009-01")],
)
def test_of_a_board_that_nobody_numbered_there_is_nothing(event: Event) -> None:
    """Such an entry says something of nothing."""
    with pytest.raises(TamperError, match="no board L26-009-01 before this entry"):
        grown([*lot(1, 1), event]).__enter__()


def test_a_logger_tells_of_days_that_end_before_it_was_read(bench: Loft) -> None:
    """Each counts as of its end; today's as of now; struck, they all count no more."""
    days = [replace(DAY, day=f"2026-01-0{n}", humidity_ppm=n) for n in (3, 4, 5)]
    said = {"room": "crib", "sha256": "5c" * 32, "method": "as told"}
    logged = RoomLogged(days=tuple(days), **said)
    early = bench.say(AIR, happened_at="2026-01-04T10:00:00Z").index
    index = bench.say(logged).index
    with bench.shop.store.reading() as session:
        air = air_since(session, "crib", "2026-01-04")
        assert [(a.idx, a.day, a.humidity_ppm) for a in air] == [
            (early, "2026-01-04", 450_000),
            (index, "2026-01-04", 4),
            (index, "2026-01-05", 5),
        ]
        assert (air[1].number, air[1].gap_seconds) == (12, 7_200)
        assert air_since(session, "finish", "2026-01-01") == []
        newest = newest_air(session, "crib")
        assert newest is not None and newest.humidity_ppm == 5
    bench.say(bench.strike(index))
    with bench.shop.store.reading() as session:
        assert [a.idx for a in air_since(session, "crib", "2026-01-01")] == [early]


def test_no_logger_tells_of_tomorrow(bench: Loft) -> None:
    """A day after the entry's own is refused."""
    tomorrow = replace(DAY, day="2026-01-06")
    logged = RoomLogged(room="crib", sha256="5c" * 32, method="x", days=(tomorrow,))
    with pytest.raises(TamperError, match="tells of the air of 2026-01-06"):
        bench.say(logged)


def test_a_bent_board_keeps_each_load(bench: Loft) -> None:
    """In the order given; what was struck counts no more."""
    index = bench.say(FLEXED).index
    with bench.shop.store.reading() as session:
        (row,) = flexings_of(session, CODE)
        assert (row.idx, row.way, row.day) == (index, "along", "2026-01-05")
        loads = [(one.load_mg, one.deflection_um) for one in loads_of(session, index)]
        assert loads == [(500_000, 1_200), (1_000_000, 2_410)]
    bench.say(bench.strike(index))
    with bench.shop.store.reading() as session:
        assert flexings_of(session, CODE) == []


def test_an_instrument_is_tapped_as_it_is_made(bench: Loft) -> None:
    """Its readings stand by their entry; an instrument that was not begun has none."""
    with pytest.raises(TamperError, match="there is no build"):
        bench.say(VOICED)
    bench.model()
    serial = bench.begin()
    first = bench.say(VOICED).index
    second = bench.say(replace(VOICED, stage="closed")).index
    bench.say(bench.strike(second))
    with bench.shop.store.reading() as session:
        (row,) = voice_of(session, serial)
        assert (row.idx, row.stage, row.day) == (first, "braced", "2026-01-05")
        assert [r.mode for r in readings_of(session, first)] == ["along"]
