"""What happened on the roads beside the work: changes, trips, and what went wrong.

Each lets it happen on its day; what was said where something went wrong is returned.
"""

from functools import partial

from demo import judging, shelf
from demo.bench import Bench, refused
from demo.road import Going, did, sign
from ledger.acts import (
    allotting,
    orders,
    rework,
    rooms,
    service,
    signing,
    signoffs,
    swapping,
    training,
    voiding,
)
from ledger.acts.asked import SignOff
from ledger.acts.orders import Terms
from ledger.ids import BodyId, NeckId

CRACK = "a crack of 40 mm at the waist of the treble side, seen as it cooled"
CLOSED_CRACK = "closed with hot hide glue and a cleat inside; it is told to the owner"
# The crib in October, before other wood is taken out of it.
AUTUMN_AIR = (293_050, 452_000)
SHOW = "the makers' days at Port Anslow"


def plane_the_top(bench: Bench, going: Going) -> None:
    """Jakub planes both halves of the chosen top, and taps them again."""
    judging.plane(bench, going.parts["top"])


def swap_by_no_lead(bench: Bench, going: Going) -> str:
    """Jakub would like the plainer top; only the lead swaps."""
    return refused(
        partial(
            swapping.swap,
            bench.shop,
            serial=going.serial,
            out=going.parts["top"],
            into=going.spare["top"],
            reason="the plainer one has the straighter rings",
            hands=bench.hands["03"],
        )
    )


def side_cracked(bench: Bench, going: Going) -> str:
    """Let a side crack on the iron: it is mended, bent again, and told by the lead."""
    lead, step = bench.hands["01"], "bend the sides"
    again = rework.order(
        bench.shop, serial=going.serial, step=step, reason=CRACK, hands=lead
    )
    let = rework.concede(
        bench.shop,
        serial=going.serial,
        step=step,
        what="crack in the treble side",
        measure=None,
        reason=CLOSED_CRACK,
        hands=lead,
    )
    return (
        f"{step} is done again by entry {again.entry.index}: {CRACK}; let pass by "
        f"entry {let.index}: {CLOSED_CRACK}"
    )


def wider_nut(bench: Bench, going: Going) -> None:
    """Promise a wider nut, which the owner-to-be asks for before the neck is carved."""
    orders.change(
        bench.shop,
        serial=going.serial,
        terms=Terms(promised=(("width at the nut", "44.5 mm"),)),
        reason="asked for on the telephone, before the neck was carved",
        hands=bench.hands["01"],
    )


def apprentice_alone(bench: Bench, going: Going) -> str:
    """Benji presses frets and may not sign alone; then he learns it from Teresa."""
    work = did("2026-08-04", "08", "press the frets", "pressed", used=("fret wire",))
    told = refused(partial(sign, bench, going, work))
    benji, teresa = (signing.find_person(bench.shop, badge) for badge in ("08", "04"))
    training.begin(bench.shop, benji, "frets", trainer=teresa, hands=bench.hands["01"])
    return told


def sent_to_the_show(bench: Bench, going: Going) -> None:
    """Send it out to be seen and played."""
    service.send(
        bench.shop,
        serial=going.serial,
        to=SHOW,
        errand="show",
        until="2026-10-09",
        hands=bench.hands["09"],
    )


def home_from_the_show(bench: Bench, going: Going) -> None:
    """Let it come home as it went."""
    service.come_home(
        bench.shop,
        serial=going.serial,
        condition="played by many, no mark on it",
        hands=bench.hands["09"],
    )


def glue_past_its_day(bench: Bench, going: Going) -> str:
    """Tadhg scans the old tin of hide glue; Maura puts a fresh one on the shelf."""
    work = did(
        "2026-08-13",
        "11",
        "glue the bars",
        read={"room humidity, bars glued": "44 %RH"},
        used=("old hide glue",),
    )
    told = refused(partial(sign, bench, going, work))
    going.shelf.put(bench, shelf.FRESH_GLUE)
    return told


def other_neck(bench: Bench, going: Going) -> str:
    """Tadhg has the neck of the guitar on the next bench in his hand."""
    number = int(going.serial[3:7])
    said = SignOff(
        serial=going.serial,
        step="marry body and neck",
        materials=(going.shelf.batches["hide glue"],),
        body=str(BodyId(year=26, number=number)),
        neck=str(NeckId(year=26, number=number - 1)),
    )
    return refused(partial(signoffs.sign, bench.shop, said, bench.hands["11"]))


def tailpiece_split(bench: Bench, going: Going) -> str:
    """Let the ebony open where it is drilled: it is scrapped for other wood."""
    reason = "opened along the grain where it was drilled for the cord"
    scrapped = rework.scrap(
        bench.shop,
        serial=going.serial,
        part="tailpiece",
        reason=reason,
        hands=bench.hands["01"],
    )
    spare = going.spare["tailpiece"]
    warmth, humidity = AUTUMN_AIR
    rooms.measure_room(
        bench.shop,
        room=judging.CRIB,
        temperature_millikelvin=warmth,
        humidity_ppm=humidity,
        hands=bench.hands["02"],
    )
    allotting.allot(
        bench.shop,
        serial=going.serial,
        part="tailpiece",
        code=spare,
        hands=bench.hands["11"],
    )
    gone = ", ".join(scrapped.boards)
    return (
        f"tailpiece {gone} of {going.serial} is scrapped by entry "
        f"{scrapped.entry.index}: {reason}; {spare} is in its place"
    )


def stamped_wrong(bench: Bench, going: Going) -> str:
    """Two digits are turned round in the headstock; the scan does not believe it."""
    year, number, check = going.serial.split("-")
    stamped = f"{year}-{number[:2]}{number[3]}{number[2]}-{check}"
    pattern = bench.shop.settings.pattern
    with bench.shop.store.reading() as session:
        told = refused(partial(voiding.true_serial, session, stamped, pattern))
    voiding.misstamped(
        bench.shop,
        stamped=stamped,
        serial=going.serial,
        reason="two digits turned round at the stamp; filled, and stamped again",
        hands=bench.hands["01"],
    )
    return told


def feelers_overdue(bench: Bench, going: Going) -> str:
    """Teresa takes the feelers that nobody has compared since July; then they are."""
    work = did(
        "2026-08-11",
        "04",
        "level the frets",
        "by hand",
        read={"frets off level": "0.04 mm"},
        tools=("other feelers",),
    )
    told = refused(partial(sign, bench, going, work))
    code = going.shelf.tools["other feelers"]
    shelf.calibrate(bench, code, on="2026-08-11", until="2027-08-10")
    return told


def power_cut(bench: Bench, going: Going) -> str:
    """Enter late what was done before the lights went out, at a time too early."""
    return refused(partial(sign, bench, going, TYPED_WRONG))


# The month is typed wrong: the neck was not even roughed out by then.
TYPED_WRONG = did(
    "2026-09-15",
    "06",
    "string and set up",
    happened_at="2026-07-14T15:10:00Z",
)
