"""A plate is gauged place by place, and compared with an older map of it."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts import corrections, gauges, graduating, models
from ledger.acts.builds import find_build
from ledger.acts.graduating import GraduationDraft, Likeness, likeness
from ledger.acts.holds import HeldError
from ledger.acts.platefile import Gauged
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardReleased, BuildVoided, HoldPlaced, PartRemoved
from ledger.events.codec import Beside
from ledger.events.plate import GaugedPlace
from ledger.events.route import PlannedPart
from ledger.views.trace import trace
from tests.sentences_build import GRADUATED
from tests.skerrymoor import STEPS, TOP, Loft

SERIAL, OTHER = "26-0001-8", "26-0002-6"
PLACES: list[tuple[float, float, float]] = [
    (0, 180, 6.1),
    (-150, 180, 5.0),
    (150, 180, 4.9),
    (0, 470, 3.4),
]


def written(places: Iterable[tuple[float, float, float]]) -> list[Gauged]:
    """Return places of x, y and thickness [mm] as they are read from a file."""
    return [
        Gauged(
            where=f"line {number}",
            x_um=round(x * 1000),
            y_um=round(y * 1000),
            thickness_um=round(t * 1000),
        )
        for number, (x, y, t) in enumerate(places, 2)
    ]


def draft(places: Sequence[tuple[float, float, float]], **said: Any) -> GraduationDraft:
    """Return the top as it was gauged, 525 mm long, or as is said."""
    told: dict[str, Any] = {"serial": SERIAL, "part": "top", "length_um": 525_000}
    return GraduationDraft(places=written(places), **(told | said))


def graduate(
    loft: Loft, places: Sequence[tuple[float, float, float]] = PLACES, **said: Any
) -> graduating.Graduated:
    """Enter how thick the top is."""
    made = draft(places, **said)
    return graduating.graduate(loft.shop, made, hands=loft.hands("03"))


def two_plates(loft: Loft) -> None:
    """Begin a second instrument, of a top and a back that both have wood."""
    plates = [PlannedPart(part=part) for part in ("top", "back")]
    models.define_model(
        loft.shop,
        name="Ebbmark",
        instrument="arch-top guitar",
        parts=plates,
        steps=STEPS[:1],
        hands=loft.hands(),
    )
    lot = loft.receive(boards=9)
    loft.number(lot, TOP, TOP)
    assert loft.begin("Ebbmark") == OTHER
    loft.allot(OTHER, "top", f"{lot}-01")
    loft.allot(OTHER, "back", f"{lot}-02")


def late(loft: Loft, moment: str, **said: Any) -> graduating.Graduated:
    """Enter what was gauged at an earlier moment."""
    shop = replace(loft.shop, beside=Beside(happened_at=moment))
    return graduating.graduate(
        shop, draft(said.pop("places", PLACES), **said), hands=loft.hands("03")
    )


def test_a_plate_is_on_record_place_by_place(certified: Loft) -> None:
    """Whoever is at the bench may say so, and an audit is content."""
    done = graduate(certified, width_um=430_000, stage="before closing")
    with certified.shop.store.reading() as session:
        (told,) = graduating.newest_maps(session, SERIAL)
        lines = [line for line in trace(session, SERIAL) if line.code == "graduation"]

    assert done.entry is not None and done.before is None
    assert told.row.idx == done.entry.index
    assert (told.row.thinnest_um, told.row.thickest_um) == (3_400, 6_100)
    assert told.places == done.event.places and told.before is None
    assert [line.entry for line in lines] == [done.entry.index]
    assert audit(certified.shop).findings == ()


def test_what_is_only_looked_at_is_not_recorded(certified: Loft) -> None:
    """It is read, compared and refused just so; the very same places are compared."""
    size = certified.shop.store.head().size
    seen = graduating.look(certified.shop, draft(PLACES))
    with pytest.raises(RefusedError, match="line 2: no plate is"):
        graduating.look(certified.shop, draft([(0, 1, 0.2), *PLACES]))

    assert seen.entry is None and len(seen.event.places) == 4
    assert certified.shop.store.head().size == size

    entry = graduate(certified).entry
    again = graduating.look(certified.shop, draft(PLACES[::-1]))
    assert entry and again.before
    assert again.before.likeness == Likeness(number=4, most_um=0, mean_um=0)
    assert again.notes[-1] == (
        f"entry {entry.index} of {entry.at[:10]} has the same places with the same "
        f"thicknesses"
    )


def test_a_plate_is_as_long_as_it_was_before(certified: Loft) -> None:
    """And where nobody ever said so, somebody has to."""
    with pytest.raises(
        RefusedError, match=r"nobody said the length of the top .* --length"
    ):
        graduate(certified, length_um=None)
    graduate(certified)
    other = [(x, y, t - 0.1) for x, y, t in PLACES]
    again = graduate(certified, other, length_um=None)

    assert again.event.length_um == 525_000
    assert again.notes[0].startswith("length of the top: 525\u2009mm, as by entry ")


def test_a_late_map_is_compared_with_what_was_before_it(certified: Loft) -> None:
    """It takes its length from there too, and never from a later day."""
    moments = [f"2026-01-05T{hour}:30:00Z" for hour in ("10", "11", "12")]
    certified.clock.moment = certified.clock.moment.replace(day=8)
    with_length = {"part": "top", "length_um": 520_000}
    first = late(certified, moments[0], **with_length)
    newest = graduate(certified, [(x, y, t - 0.5) for x, y, t in PLACES])
    thinner = [(x, y, t - 0.1) for x, y, t in PLACES]
    between = late(certified, moments[1], places=thinner, length_um=None)
    assert first.entry and newest.entry and between.entry

    assert between.event.length_um == 520_000
    assert between.before and between.before.idx == first.entry.index
    with pytest.raises(RefusedError, match="nobody said the length of the top"):
        late(certified, "2026-01-05T09:59:00Z", places=thinner, length_um=None)


def test_the_newest_map_is_told_beside_the_one_before_it(certified: Loft) -> None:
    """Or beside any that is named, of another plate too."""
    two_plates(certified)
    first = graduate(certified, serial=OTHER)
    back = graduate(certified, serial=OTHER, part="back")
    moved = [(x + 1, y - 1, round(t - 0.2, 3)) for x, y, t in PLACES[:3]]
    newest = graduate(certified, [*moved, (200, 300, 3.0)], serial=OTHER)
    assert first.entry and back.entry and newest.entry
    with certified.shop.store.reading() as session:
        top, other = graduating.newest_maps(session, OTHER)
        (named,) = graduating.newest_maps(
            session, OTHER, "top", against=back.entry.index
        )

    assert newest.before == top.before
    assert top.before and top.before.idx == first.entry.index
    assert top.before.likeness == Likeness(number=3, most_um=200, mean_um=200)
    assert other.row.part == "back" and other.before is None
    assert named.before and named.before.part == "back"


def test_a_struck_map_counts_for_nothing(certified: Loft) -> None:
    """The one before it is the newest again, and the same may be entered anew."""
    first = graduate(certified)
    wrong = graduate(certified, [(x, y, 9.9) for x, y, _ in PLACES])
    assert first.entry and wrong.entry
    corrections.correct(
        certified.shop,
        wrong.entry.index,
        reason="that was the back",
        hands=certified.hands("03"),
    )
    with certified.shop.store.reading() as session:
        (told,) = graduating.newest_maps(session, SERIAL)
        with pytest.raises(NotFoundError, match="is no graduation that counts"):
            graduating.newest_maps(session, SERIAL, "top", against=wrong.entry.index)

    assert told.row.idx == first.entry.index and told.before is None
    assert graduate(certified, [(x, y, 9.9) for x, y, _ in PLACES]).entry
    assert audit(certified.shop).findings == ()


def test_a_map_of_other_wood_is_told_to_be(loft: Loft) -> None:
    """A new top is not the old one, however alike they are."""
    loft.supplier()
    lot = loft.receive(boards=9)
    loft.number(lot)
    loft.model()
    loft.begin()
    loft.allot(SERIAL, "top", "L26-001-01")
    graduate(loft)
    for half in ("A", "B"):
        loft.say(BoardReleased(board=f"L26-001-01.{half}"))
    loft.number(lot)
    loft.allot(SERIAL, "top", "L26-001-02")
    again = graduate(loft, [(x, y, t + 0.1) for x, y, t in PLACES])

    assert again.before and again.before.other_wood == "L26-001-01"


def test_a_gauge_of_the_list_tells_which_plates_it_measured(certified: Loft) -> None:
    """By its code or by its name; a scale measures no thickness."""
    shop, hands = certified.shop, certified.hands()
    for what, measures in (("dial caliper", "length"), ("bench scale", "mass")):
        gauges.add_gauge(shop, what=what, measures=measures, mark=None, hands=hands)  # type: ignore[arg-type]
    graduate(certified, gauge="G26-001")
    graduate(certified, [(x, y, t + 0.1) for x, y, t in PLACES], gauge="dial caliper")
    with pytest.raises(RefusedError, match=r"G26-002 \(bench scale\) measures mass"):
        graduate(certified, gauge="G26-002")
    with pytest.raises(NotFoundError, match="there is no gauge G26-009"):
        graduate(certified, gauge="G26-009")
    with shop.store.reading() as session:
        told = gauges.tell(session, "G26-001")

    assert [row.part for row in told.graduations] == ["top", "top"]


REFUSED: list[tuple[list[tuple[float, float, float]], str]] = [
    (PLACES[:2], "at 3 to 200 places, not at 2"),
    ([(0.0, float(n), 3.0) for n in range(201)], "at 3 to 200 places, not at 201"),
    ([*PLACES, (10, 10, 0.29)], "line 6: no plate is 0.29.mm thick.*look at the unit"),
    ([*PLACES, (10, 10, 106.7)], "line 6: no plate is 106.7.mm thick, it has 0.3"),
    ([*PLACES, (10, 525.1, 3)], "line 6: y 525.1.mm is not on the plate.*525.mm"),
    ([*PLACES, (10, -1, 3)], "line 6: y .1.mm is not on the plate"),
    ([*PLACES, (-215.1, 20, 3)], "line 6: x .215.1.mm is not .*goes to 215.mm"),
    ([*PLACES, (0, 180, 3)], "line 6 is the place of line 2, x 0.mm, y 180.mm"),
]


@pytest.mark.parametrize(("places", "why"), REFUSED)
def test_places_that_no_plate_has_are_refused_by_their_line(
    certified: Loft, places: list[tuple[float, float, float]], why: str
) -> None:
    """Nothing of the file is taken."""
    size = certified.shop.store.head().size
    with pytest.raises(RefusedError, match=why):
        graduate(certified, places, width_um=430_000)

    assert certified.shop.store.head().size == size


@pytest.mark.parametrize(
    ("said", "error", "why"),
    [
        ({"part": "back"}, NotFoundError, "no part 'back': it has top, neck"),
        ({"part": "tops"}, NotFoundError, "is top meant"),
        ({"part": "neck"}, RefusedError, "no plate is called 'neck'.*of Tidewarden"),
        ({"serial": "26-0099-9"}, NotFoundError, "there is no instrument"),
        ({"length_um": 99_000}, RefusedError, "100.mm to 1200.mm long, not 99.mm"),
        ({"width_um": 900_000}, RefusedError, "100.mm to 800.mm wide, not 900.mm"),
        ({"stage": " "}, RefusedError, "the stage has 1 to 200 characters"),
        ({"gauge": "g" * 300}, RefusedError, "the gauge has 1 to 200 characters"),
    ],
)
def test_what_is_no_plate_of_an_instrument_is_refused(
    certified: Loft, said: dict[str, Any], error: type[Exception], why: str
) -> None:
    """A part it does not have, a serial nobody gave, a size in another unit."""
    with pytest.raises(error, match=why):
        graduate(certified, **said)


def test_the_same_file_comes_in_once(certified: Loft) -> None:
    """In another order, or said to be of another stage, it is the same on that day."""
    first = graduate(certified)
    assert first.entry
    why = f"by entry {first.entry.index} of {first.entry.at[:10]}: nothing is new"
    for said in ({}, {"stage": "strung"}, {"gauge": "caliper"}):
        with pytest.raises(RefusedError, match=why):
            graduate(certified, PLACES[::-1], **said)

    certified.clock.moment = certified.clock.moment.replace(day=8)
    with pytest.raises(RefusedError, match=why):
        graduate(certified)
    assert graduate(certified, stage="strung").entry


def test_a_plate_that_was_closed_in_is_asked_about(certified: Loft) -> None:
    """Unless it was gauged before the certificate."""
    noon = certified.clock.moment.replace(hour=7).isoformat()[:19] + "Z"
    closed = graduate(certified).notes
    thinner = [(x, y, t - 0.1) for x, y, t in PLACES]
    before = late(certified, noon, places=thinner).notes

    assert len(closed) == 1 and before == ()
    assert closed[0].startswith(f"{SERIAL} has its certificate C-2026-00001, by entry")


def test_a_part_without_wood_has_no_plate(certified: Loft) -> None:
    """Neither one that was taken off; but of the day before it may be told."""
    boards = ("L26-001-01.A", "L26-001-01.B")
    moment = certified.shop.now().isoformat()[:19] + "Z"
    certified.say(PartRemoved(serial=SERIAL, part="top", boards=boards, fate="kept"))
    with pytest.raises(RefusedError, match=r"has no wood any more.*--happened-at"):
        graduate(certified)
    assert late(certified, moment).entry

    bare = certified.begin()
    with pytest.raises(RefusedError, match=f"the top of {bare} has no wood yet: allot"):
        graduate(certified, serial=bare)


def test_a_gauge_on_hold_gauges_no_plate(certified: Loft) -> None:
    """As it signs no step."""
    shop, hands = certified.shop, certified.hands()
    gauges.add_gauge(shop, what="caliper", measures="length", mark=None, hands=hands)
    certified.say(HoldPlaced(hold="H26-001", on="gauge", code="G26-001"))
    with pytest.raises(HeldError, match="gauge G26-001 is in doubt by hold H26-001"):
        graduate(certified, gauge="G26-001")


def test_a_void_instrument_has_no_plate(certified: Loft) -> None:
    """Its number is not given again."""
    serial = certified.begin()
    certified.say(BuildVoided(serial=serial))
    with pytest.raises(RefusedError, match=f"{serial} is void"):
        graduate(certified, serial=serial)


def test_a_plate_that_was_never_gauged_is_not_found(certified: Loft) -> None:
    """Of the whole instrument the answer is empty, of one plate it is an error."""
    with certified.shop.store.reading() as session:
        assert find_build(session, SERIAL)
        assert graduating.newest_maps(session, SERIAL) == []
        with pytest.raises(NotFoundError, match="nobody graduated the top"):
            graduating.newest_maps(session, SERIAL, "top")


def test_two_plates_are_not_compared_with_one_entry(certified: Loft) -> None:
    """Which of them is meant has to be said."""
    two_plates(certified)
    entry = graduate(certified, serial=OTHER).entry
    graduate(certified, serial=OTHER, part="back")
    assert entry
    with (
        certified.shop.store.reading() as session,
        pytest.raises(RefusedError, match="2 plates were graduated: name the one"),
    ):
        graduating.newest_maps(session, OTHER, against=entry.index)


SOME = st.lists(
    st.builds(
        GaugedPlace,
        x_um=st.integers(-9_000, 9_000),
        y_um=st.integers(0, 18_000),
        thickness_um=st.integers(300, 60_000),
    ),
    max_size=12,
    unique_by=lambda place: (place.x_um, place.y_um),
)


@given(SOME, SOME)
def test_a_likeness_is_the_same_from_both_sides(
    one: list[GaugedPlace], other: list[GaugedPlace]
) -> None:
    """No place is compared twice, and the mean is never above the most."""
    found = likeness(one, other)

    assert found.number <= min(len(one), len(other))
    assert found.mean_um <= found.most_um
    assert bool(likeness(other, one).number) == bool(found.number)


@given(SOME)
def test_a_map_is_like_itself(places: list[GaugedPlace]) -> None:
    """At every place, to the micrometre."""
    assert likeness(places, places) == Likeness(
        number=len(places), most_um=0, mean_um=0
    )


def test_the_nearest_two_are_taken_for_one_place() -> None:
    """And what is farther than 2 mm from all is compared with nothing."""
    first, *_ = GRADUATED.places
    near = replace(first, x_um=1_900, thickness_um=6_000)
    nearer = replace(first, x_um=-1_000, thickness_um=5_700)
    far = replace(first, x_um=2_001, thickness_um=1_000)

    assert likeness([first], [near, nearer, far]) == Likeness(
        number=1, most_um=400, mean_um=400
    )
    assert likeness([first], [far]) == Likeness(number=0, most_um=0, mean_um=0)
