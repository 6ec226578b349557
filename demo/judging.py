"""Wood judged: tapped, bent, metered, graded by two, sent back, matched, planed."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from demo import oldstock, picturing, ringing, tops
from demo.bench import Bench
from ledger.acts import (
    flexing,
    grading,
    matching,
    measuring,
    metering,
    rejects,
    roomlogs,
    tapping,
    voicing,
)
from ledger.acts.wishing import Orders
from ledger.craft.wanted import Wanted
from ledger.craft.wishes import Near
from ledger.views.boards import set_of

PAPERS = Path(__file__).parent / "papers"
CRIB = "crib"
PIN_METER = "pin meter 2"
# What a half of a top needs, and what the run is to be alike in.
WANTED = Wanted(
    part="top",
    length_um=530_000,
    width_um=200_000,
    thickness_um=3_500,
    species=("Picea",),
    grades=("first", "second"),
)
NEAR = (
    Near(trait="density", value=420_000),
    Near(trait="radiation ratio", value=12_000),
)
REASON = "opens along a ring, 60 mm from the joint, when it is bent by hand"


def read_out(bench: Bench, name: str) -> None:
    """Take over what the logger in the crib kept."""
    data = (PAPERS / name).read_bytes()
    roomlogs.log_room(bench.shop, room=CRIB, data=data, hands=bench.hands["02"])


def judge(bench: Bench, lot: str) -> None:
    """Tap, bend and meter the sets, and look at them; one of them goes back."""
    maura, jakub = bench.hands["02"], bench.hands["03"]
    for top in tops.TOPS:
        for half, ring in zip("AB", top.rings or (), strict=False):
            _tap(bench, f"{lot}-{top.number:02d}.{half}", ring)
    flexing.flex(
        bench.shop,
        f"{lot}-{tops.BENT:02d}.A",
        way="along",
        span_um=tops.SPAN_UM,
        loads=tops.LOADS,
        hands=jakub,
    )
    metering.meter(
        bench.shop,
        f"{lot}-{tops.METERED:02d}.A",
        reading_ppm=84_000,
        temperature_millikelvin=293_350,
        meter=PIN_METER,
        setting="spruce",
        hands=maura,
    )
    bench.clock.morning_of("2026-07-15")
    for top in tops.TOPS:
        grading.grade(bench.shop, f"{lot}-{top.number:02d}", top.seen, hands=maura)
    for number, seen in tops.SEEN_AGAIN.items():
        grading.grade(bench.shop, f"{lot}-{number:02d}", seen, hands=jakub)
    rejects.reject(
        bench.shop,
        f"{lot}-{tops.SHAKEN:02d}",
        faults=[tops.SHAKE],
        is_returned=True,
        reason=REASON,
        hands=maura,
    )


def judge_carved(bench: Bench, codes: Mapping[str, Sequence[str]]) -> None:
    """Meter wood that is to be carved, look at it, and keep a picture of each set."""
    maura, tadhg = bench.hands["02"], bench.hands["11"]
    for thick in oldstock.CARVED:
        for code in codes[thick.name]:
            metering.meter(
                bench.shop,
                code,
                reading_ppm=thick.reading_ppm,
                temperature_millikelvin=293_350,
                meter=PIN_METER,
                setting=thick.setting,
                hands=maura,
            )
        if thick.seen is None:
            continue
        whole = set_of(codes[thick.name][0])
        grading.grade(bench.shop, whole, thick.seen, hands=tadhg)
        with TemporaryDirectory() as folder:
            picture = picturing.write(Path(folder) / "board.png", whole)
            measuring.photograph(bench.shop, whole, picture, face="front", hands=tadhg)


def match(bench: Bench, lot: str, serials: Sequence[str]) -> matching.Assigned:
    """Find and record the tops of the run, all of its instruments taken together."""
    orders = Orders(wanted=WANTED, serials=tuple(serials), near=NEAR)
    jakub = bench.hands["03"]
    found, _ = matching.match_builds(bench.shop, [lot], orders, jakub)
    return found


def plane(bench: Bench, chosen: str) -> None:
    """Plane both halves of the top, and weigh and tap them again."""
    shop, jakub = bench.shop, bench.hands["03"]
    for half, (mass_mg, ring) in tops.PLANED.items():
        code = f"{chosen}.{half}"
        measuring.measure(shop, code, thicknesses_um=[tops.PLANED_UM], hands=jakub)
        measuring.weigh(shop, code, mass_mg, hands=jakub)
        _tap(bench, code, ring)


def voice(bench: Bench, serial: str, stage: tops.Voice, badge: str) -> None:
    """Tap the instrument as far as it is made."""
    with TemporaryDirectory() as folder:
        voicing.tap_build(
            bench.shop,
            serial,
            _recording(folder, f"{serial} {stage.stage}", stage.ring),
            part=WANTED.part,
            stage=stage.stage,
            expected=stage.ring.expected,
            mass_mg=stage.mass_mg,
            hands=bench.hands[badge],
        )


def _tap(bench: Bench, code: str, ring: tops.Ring) -> None:
    with TemporaryDirectory() as folder:
        tapping.tap(
            bench.shop,
            code,
            _recording(folder, code, ring),
            held_as="plate",
            expected=ring.expected,
            hands=bench.hands["03"],
        )


def _recording(folder: str, of: str, ring: tops.Ring) -> Path:
    """Write a recording of taps; of two pieces none is the same."""
    return ringing.write(
        Path(folder) / "taps.wav", ring.tones, seed=sum(of.encode()) * len(of)
    )
