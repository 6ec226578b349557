"""A mistake is struck by whoever made it, and stays legible beside its correction."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from threading import Barrier
from typing import Any

import pytest

from ledger.acts import copies, corrections, people
from ledger.acts.corrections import correct
from ledger.acts.shop import open_shop
from ledger.audit import audit
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.events import (
    BoardMeasured,
    BoardMoved,
    BoardWeighed,
    Event,
    RoomMeasured,
)
from ledger.events.build import Measure, PartWeighed
from ledger.log.entry import Entry, parse_record
from ledger.views.boards import Board, boards_in, boards_of
from ledger.views.builds import measures_of, signed_steps, weighed_parts
from ledger.views.corrections import correction_of
from ledger.views.measures import weighings_of
from tests.conftest import entropy_from
from tests.sentences import PLANNED
from tests.skerrymoor import NECK, TOP, Loft

SERIAL, OTHER = "26-0001-8", "26-0002-6"
NECK_CODE = "L26-001-02"
WHY = "the wrong board was on the scale"


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop with a set, two necks and two instruments begun."""
    return staffed(loft)


def staffed(loft: Loft) -> Loft:
    """Return a shop with a set, two necks and two instruments begun."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK, NECK)
    loft.model()
    loft.begin()
    loft.begin()
    return loft


def strike(loft: Loft, index: int, badge: str = "01", reason: str = WHY) -> Entry:
    """Strike an entry."""
    return correct(loft.shop, index, reason=reason, hands=loft.hands(badge))


def board(loft: Loft, code: str = NECK_CODE) -> Board:
    """Return a board as it is today."""
    with loft.shop.store.reading() as session:
        found = session.get_one(Board, code)
        session.expunge(found)
        return found


def newest(loft: Loft) -> int:
    """Return the index of the newest entry."""
    return loft.shop.store.head().size - 1


def entries(loft: Loft) -> list[Entry]:
    """Return everything that was said."""
    return [parse_record(data).entry for _, data in loft.shop.store.records()]


def is_whole(loft: Loft) -> bool:
    """Tell that nothing is wrong, and that folding again changes nothing."""
    before = audit(loft.shop).findings
    copies.rebuild(loft.shop)
    return before == () and audit(loft.shop).findings == ()


def test_a_struck_weighing_gives_the_older_mass_back(loft_on_each: Loft) -> None:
    """On each database; the struck row stays and counts for nothing."""
    loft = staffed(loft_on_each)
    for mass in (1_035_000, 540_000):
        entry = loft.say(BoardWeighed(board=NECK_CODE, mass_mg=mass), "02")
    struck = strike(loft, entry.index, "02")

    assert board(loft).mass_mg == 1_035_000
    with loft.shop.store.reading() as session:
        assert [w.mass_mg for w in weighings_of(session, NECK_CODE)] == [
            1_040_000,
            1_035_000,
        ]
        row = correction_of(session, entry.index)
        assert row is not None and row.idx == struck.index
    assert is_whole(loft)


def test_a_struck_move_and_measure_give_the_older_ones_back(bench: Loft) -> None:
    """Place, sizes and moisture, each by itself; without an older one there is none."""
    said: list[Event] = [
        BoardMoved(board=NECK_CODE, place="shelf A1"),
        BoardMoved(board=NECK_CODE, place="shelf B3"),
        BoardMeasured(board=NECK_CODE, thickness_um=23_000),
        BoardMeasured(board=NECK_CODE, thickness_um=2_300, moisture_ppm=80_000),
    ]
    first, second, _, last = (bench.say(event, "02").index for event in said)
    strike(bench, second)
    strike(bench, last)
    found = board(bench)

    assert (found.place, found.thickness_um) == ("shelf A1", 23_000)
    assert (found.length_um, found.moisture_ppm) == (810_000, None)
    strike(bench, first)
    assert board(bench).place is None
    assert is_whole(bench)


def test_a_struck_allotment_frees_the_board(bench: Loft) -> None:
    """For another instrument; the first one then lacks it."""
    bench.allot(SERIAL, "neck", NECK_CODE)
    index = newest(bench)
    strike(bench, index, "03")

    assert board(bench).serial is None and board(bench).allotted_idx is None
    assert bench.allot(OTHER, "neck", NECK_CODE) == [NECK_CODE]
    assert bench.allot(SERIAL, "neck", "L26-001-03") == ["L26-001-03"]
    with pytest.raises(RefusedError, match="was struck by entry"):
        strike(bench, index)
    with bench.shop.store.reading() as session:
        assert [b.code for b in boards_in(session, OTHER)] == [NECK_CODE]
    assert is_whole(bench)


def test_one_half_of_a_set_is_struck_by_itself(bench: Loft) -> None:
    """Each half was allotted by an entry of its own."""
    bench.allot(SERIAL, "top", "L26-001-01")
    strike(bench, newest(bench), "03")

    with bench.shop.store.reading() as session:
        assert [b.code for b in boards_in(session, SERIAL)] == ["L26-001-01.A"]
    with pytest.raises(RefusedError, match="already allotted"):
        bench.allot(OTHER, "top", "L26-001-01")
    assert bench.allot(SERIAL, "top", "L26-001-01.B") == ["L26-001-01.B"]
    assert is_whole(bench)


def test_a_struck_step_is_signed_again_and_counts_no_more(bench: Loft) -> None:
    """Neither do its measures nor the parts that it weighed."""
    wrong: dict[str, Any] = {
        "measures": [Measure(what="relief", length_um=9_000)],
        "weighed": [PartWeighed(part="top", mass_mg=999_000)],
    }
    index = bench.sign(SERIAL, "brace", **wrong)
    strike(bench, index, "03")
    with bench.shop.store.reading() as session:
        assert signed_steps(session, SERIAL) == []
        assert measures_of(session, SERIAL) == []
        assert weighed_parts(session, SERIAL) == {}
    again = bench.sign(SERIAL, "brace")

    with bench.shop.store.reading() as session:
        assert [row.idx for row in signed_steps(session, SERIAL)] == [again]
    assert is_whole(bench)


def test_a_struck_step_is_missed_by_the_certificate(loft: Loft) -> None:
    """What it weighed comes from the signature that stands."""
    serial = loft.build()
    with loft.shop.store.reading() as session:
        brace = signed_steps(session, serial)[-1].idx
    strike(loft, brace)
    with pytest.raises(RefusedError) as caught:
        loft.issue(serial)
    for missing in (
        "step brace is not signed",
        "part neck is not weighed",
        "the finished instrument is not weighed",
    ):
        assert missing in str(caught.value)
    loft.sign(
        serial,
        "brace",
        measures=[Measure(what="mass", mass_mg=2_000_000)],
        weighed=[PartWeighed(part="neck", mass_mg=612_000)],
    )
    loft.issue(serial)
    (issued,) = (
        entry.event for entry in entries(loft) if entry.kind == "certificate.issued/1"
    )

    assert issued["mass_mg"] == 2_000_000
    assert [m["mass_mg"] for m in issued["materials"]] == [190_500, 612_000]
    assert issued["measures"] == []
    assert is_whole(loft)


def test_work_that_was_inspected_is_not_struck_under_the_inspector(bench: Loft) -> None:
    """Else the inspector could sign for having done it."""
    did = bench.sign(SERIAL, "join the top")
    looked = bench.sign(SERIAL, "join the top", "10", meaning="inspected")
    other = bench.sign(SERIAL, "brace")
    with pytest.raises(RefusedError, match=f"inspected in entry {looked}, which rests"):
        strike(bench, did)
    strike(bench, other)
    strike(bench, looked, "10")
    strike(bench, did)

    with bench.shop.store.reading() as session:
        assert signed_steps(session, SERIAL) == []
    assert is_whole(bench)


def test_a_struck_number_is_never_given_again(bench: Loft) -> None:
    """The board is not there any more, and the next one goes on counting."""
    bench.number(bench.receive(), NECK, NECK)
    index = newest(bench)
    strike(bench, index, "02")
    lot = board(bench, "L26-002-01").lot

    with bench.shop.store.reading() as session:
        assert [b.code for b in boards_of(session, lot)] == ["L26-002-01"]
    with pytest.raises(RefusedError, match=r"number of board L26-002-02 was struck by"):
        bench.allot(SERIAL, "neck", "L26-002-02")
    assert is_whole(bench)


def test_the_next_number_goes_on_behind_a_struck_one(bench: Loft) -> None:
    """Also where the struck one was the newest; a lot's count is of those that live."""
    lot = bench.receive(boards=2)
    bench.number(lot, NECK, NECK)
    strike(bench, newest(bench))

    assert bench.number(lot, NECK) == [f"{lot}-03"]
    with pytest.raises(RefusedError):
        bench.number(lot, NECK)


def test_a_number_that_others_rely_on_stays(bench: Loft) -> None:
    """Allotted, sawn, or gone out with a shipment."""
    numbered = {board(bench, code).code: board(bench, code).idx for code in CODES}
    bench.allot(SERIAL, "neck", NECK_CODE)
    bench.say(replace(PLANNED, serials=(), boards=("L26-001-03",)))
    for code, said in (
        (NECK_CODE, "used already"),
        ("L26-001-03", "shipment X26-0001"),
    ):
        with pytest.raises(RefusedError, match=f"board {code} is .*{said}"):
            strike(bench, numbered[code])
    strike(bench, numbered["L26-001-01.A"])

    assert board(bench, "L26-001-01.A").struck_idx is not None


CODES = ("L26-001-01.A", NECK_CODE, "L26-001-03")


def test_what_others_were_built_on_is_not_struck(certified: Loft) -> None:
    """Nor is a correction; each refusal names the kind."""
    kinds = {e.kind.partition("/")[0]: e.index for e in entries(certified)}
    said = certified.say(
        RoomMeasured(room="x", temperature_millikelvin=1, humidity_ppm=1)
    )
    kinds["correction.made"] = strike(certified, said.index).index
    open_kinds = {
        name: i for name, i in kinds.items() if name not in corrections.STRIKABLE
    }

    assert len(open_kinds) > 10
    for name, index in open_kinds.items():
        with pytest.raises(RefusedError, match=rf"entry {index} \({name}\) is not"):
            strike(certified, index)
    assert is_whole(certified)


@pytest.mark.parametrize("kind", ["board.allotted/1", "build.step-signed/2"])
def test_after_the_certificate_nothing_under_it_is_struck(
    certified: Loft, kind: str
) -> None:
    """The paper is out of the building and rests on it."""
    index = next(entry.index for entry in entries(certified) if entry.kind == kind)
    with pytest.raises(
        RefusedError, match=f"C-2026-00001, which rests on entry {index}"
    ):
        strike(certified, index)


def test_whoever_said_it_strikes_it_or_a_lead(bench: Loft) -> None:
    """Nobody else, whatever else that person may say."""
    mine, theirs, lead_s = (
        bench.say(BoardWeighed(board=NECK_CODE, mass_mg=1_035_000), badge).index
        for badge in ("03", "02", "01")
    )
    for index, badge in ((mine, "02"), (theirs, "03"), (mine, "10"), (lead_s, "02")):
        with pytest.raises(RefusedError, match="said by somebody else: that person"):
            strike(bench, index, badge)
    strike(bench, mine, "03")
    strike(bench, theirs, "01")

    assert is_whole(bench)


@pytest.mark.parametrize("index", [-1, 10**6, 10**30])
def test_what_was_never_said_is_not_struck(bench: Loft, index: int) -> None:
    """The newest entry is named."""
    with pytest.raises(NotFoundError, match=f"the newest one is {newest(bench)}"):
        strike(bench, index)


@pytest.mark.parametrize(
    ("reason", "said"),
    [
        ("", "the reason has 1 to 200 characters"),
        (" \t ", "the reason has 1 to 200 characters"),
        ("x" * 201, "the reason has 1 to 200 characters"),
        ("one\ntwo", "on one line"),
        ("turned \u202e around", "cannot be written down"),
        ("half \udcff", "cannot be written down"),
    ],
)
def test_a_reason_is_one_line_that_can_be_written(
    bench: Loft, reason: str, said: str
) -> None:
    """Nothing is struck without, and nothing of it is kept."""
    index = bench.say(BoardWeighed(board=NECK_CODE, mass_mg=1_035_000)).index
    before = bench.shop.vault.fields(bench.person("01").subject)
    with pytest.raises(RefusedError, match=said):
        strike(bench, index, reason=reason)

    assert newest(bench) == index
    assert bench.shop.vault.fields(bench.person("01").subject) == before


def reasons(loft: Loft, *indexes: int) -> dict[int, str | None]:
    """Return the reasons that were given in entries."""
    with loft.shop.store.reading() as session:
        return corrections.reasons_of(loft.shop, session, set(indexes))


def test_reasons_are_the_vault_s_and_are_erased_with_the_person(bench: Loft) -> None:
    """The log holds a commitment only, and the audit is content either way."""
    entry = bench.say(BoardWeighed(board=NECK_CODE, mass_mg=1_035_000), "03")
    struck = strike(bench, entry.index, "03")

    assert WHY.encode() not in bench.shop.store.record(struck.index)
    assert reasons(bench, entry.index, struck.index) == {struck.index: WHY}
    assert is_whole(bench)
    people.erase(bench.shop, bench.person("03").subject, bench.hands("12", "01"))
    assert reasons(bench, entry.index, struck.index) == {struck.index: None}
    assert corrections.reason_words(None) == "a reason that was erased"
    assert is_whole(bench)
    files = [path for path in bench.shop.folder.rglob("*") if path.is_file()]
    assert not any(WHY.encode() in path.read_bytes() for path in files)


def test_a_correction_that_strikes_what_is_to_come_is_damage(bench: Loft) -> None:
    """Said past the act, it does not fold: an entry strikes only one before it."""
    size = newest(bench) + 1
    with pytest.raises(LedgerError, match=f"entry {size} is struck by entry {size}"):
        bench.say(bench.strike(size))

    assert newest(bench) + 1 == size
    first = bench.say(BoardWeighed(board=NECK_CODE, mass_mg=1_035_000)).index
    bench.say(bench.strike(first))
    with pytest.raises(LedgerError, match="was taken by an entry before"):
        bench.say(bench.strike(first))


def test_two_stations_that_strike_the_same_entry_are_both_answered(
    loft_on_each: Loft,
) -> None:
    """One strikes it; the other hears by which entry it was struck."""
    loft = staffed(loft_on_each)
    index = loft.say(BoardWeighed(board=NECK_CODE, mass_mg=1_035_000), "02").index
    start = Barrier(2)

    def station(badge: str) -> str:
        shop = open_shop(
            loft.shop.folder, now=loft.clock, entropy=entropy_from(f"bench {badge}")
        )
        start.wait()
        try:
            correct(shop, index, reason=WHY, hands=loft.hands(badge))
        except RefusedError as refusal:
            return str(refusal)
        finally:
            shop.close()
        return "struck"

    with ThreadPoolExecutor(2) as stations:
        answers = sorted(stations.map(station, ["01", "02"]))

    assert answers == [
        f"entry {index} was struck by entry {index + 1} already",
        "struck",
    ]
    assert newest(loft) == index + 1
    assert is_whole(loft)
