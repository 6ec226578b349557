"""Steps ask for a way, measures, batches, gauges, pictures and two numbers."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import rework, signoffs
from ledger.acts.asked import SignOff
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.events import (
    GaugeCalibrated,
    MaterialFinished,
)
from ledger.events.build import Measure, PartWeighed
from ledger.events.codec import Beside
from ledger.views.builds import measures_of, signed_steps
from ledger.views.filed import filed
from tests import roadside
from tests.roadside import (
    CALIPER,
    CARVE,
    CLOSE,
    FIRST,
    GLUE,
    JOIN,
    MARRY,
    SET_UP,
)
from tests.skerrymoor import Loft


def at(road: Loft, step: str) -> Loft:
    """Walk the first instrument to just before a step."""
    roadside.walk(road, FIRST, before=step)
    return road


@pytest.mark.parametrize(
    ("step", "changes", "said"),
    [
        (JOIN, {"way": None}, "join the top is done by hand or by machine: say which"),
        (JOIN, {"way": "by foot"}, "'by foot' is no accepted way of join the top"),
        (JOIN, {"materials": []}, "takes glue, and no batch of it is named"),
        (JOIN, {"materials": ["M26-009"]}, "there is no batch M26-009"),
        (JOIN, {"materials": ["M26-002"]}, "was good until 2026-01-04, and this is of"),
        (JOIN, {"gauges": ["G26-009"]}, "there is no gauge G26-009"),
        (CARVE, {"way": "by hand"}, "done in no way that is named"),
        (CLOSE, {"measures": []}, "measures the room 40.%RH to 50.%RH, and no room is"),
        (
            CLOSE,
            {"measures": [Measure(what="room", humidity_ppm=300_000)]},
            "the room of 26-0001-8 is 30.%RH, and close the box wants 40.%RH to 50.%RH",
        ),
        (
            CLOSE,
            {"measures": [Measure(what="room", length_um=450)]},
            "is given as 0.45.mm, which is in another unit",
        ),
        (CLOSE, {"photographs": []}, "cannot be seen again later, and no photograph"),
        (MARRY, {"body": None}, "the number of the body is not given: scan both"),
        (MARRY, {"body": None, "neck": None}, "of the body and neck is not given"),
        (
            MARRY,
            {"neck": "N26-0002"},
            "neck N26-0002 is of 26-0002-6, and this body is B26-0001",
        ),
        (
            MARRY,
            {"body": "B26-0002"},
            "body B26-0002 is of 26-0002-6, and this neck is N26-0001 of 26-0001-8",
        ),
        (MARRY, {"neck": "N26-0009"}, "is of no instrument of this shop"),
        (
            SET_UP,
            {"measures": [Measure(what="relief", length_um=301)]},
            "the relief of 26-0001-8 is 0.301.mm, and set up wants at most 0.3.mm",
        ),
        (
            SET_UP,
            {"measures": [Measure(what="relief", length_um=300)]},
            "measures the mass, in g, and no mass is given",
        ),
    ],
)
def test_a_step_gets_what_it_asks_for(
    road: Loft, step: str, changes: dict[str, Any], said: str
) -> None:
    """Or is not signed, in one sentence with both sides; with it all it is."""
    at(road, step)
    size = road.shop.store.head().size
    with pytest.raises(LedgerError, match=said):
        roadside.done(road, FIRST, step, **changes)

    assert road.shop.store.head().size == size
    roadside.done(road, FIRST, step)
    assert audit(road.shop).findings == ()


def test_a_single_way_need_not_be_said(road: Loft) -> None:
    """Of two one is named, in any case; it is written as the model has it."""
    roadside.done(road, FIRST, JOIN, way="BY MACHINE")

    with road.shop.store.reading() as session:
        assert [row.way for row in signed_steps(session, FIRST)] == ["by machine"]


def test_a_photograph_is_kept_with_its_step_only(road: Loft) -> None:
    """What was refused leaves no file behind, what was signed leaves its own."""
    at(road, CLOSE)
    with pytest.raises(RefusedError, match="is no picture"):
        path = road.shop.folder.parent / "inside.txt"
        path.write_text("no picture", encoding="utf-8")
        roadside.done(road, FIRST, CLOSE, photographs=[path])
    with pytest.raises(LedgerError, match="needs the qualification brace"):
        roadside.done(road, FIRST, CLOSE, "02")
    kept = [*road.shop.attachments.glob("*")]
    roadside.done(road, FIRST, CLOSE)

    assert len([*road.shop.attachments.glob("*")]) == len(kept) + 1
    with road.shop.store.reading() as session:
        pictured = [
            f
            for f in filed(session, road.shop.store.record)
            if f.what == f"photograph of {FIRST}"
        ]
    assert len(pictured) == 1


@pytest.mark.parametrize(
    ("outcome", "until", "said"),
    [
        ("failed", None, "failed its calibration on 2026-01-04"),
        ("good", "2026-01-04", "held until 2026-01-04, and this is of 2026-01-05"),
        ("good", None, ""),
    ],
)
def test_a_gauge_that_may_be_wrong_measures_nothing(
    road: Loft, outcome: Any, until: str | None, said: str
) -> None:
    """One that failed, or is due again; one that is good for ever measures."""
    road.say(
        GaugeCalibrated(gauge=CALIPER, on="2026-01-04", until=until, outcome=outcome)
    )
    if not said:
        assert roadside.done(road, FIRST, CARVE, gauges=[CALIPER])
        return
    with pytest.raises(RefusedError, match=said):
        roadside.done(road, FIRST, CARVE, gauges=[CALIPER])


def test_a_batch_that_is_finished_goes_into_nothing_new(road: Loft) -> None:
    """Work of before, entered late, may still name it."""
    late = replace(road.shop, beside=Beside(happened_at="2026-01-05T12:30:00Z"))
    road.clock.moment = road.clock.moment.replace(hour=15)
    road.say(MaterialFinished(batch=GLUE))
    with pytest.raises(RefusedError, match=f"batch {GLUE} .* was finished by entry"):
        roadside.done(road, FIRST, JOIN)
    said = SignOff(serial=FIRST, step=JOIN, way="by hand", materials=(GLUE,))

    assert signoffs.sign(late, said, road.hands("03")).index
    with road.shop.store.reading() as session:
        (row,) = signed_steps(session, FIRST)
        assert (row.moment, row.at[:13]) == ("2026-01-05T12:30:00Z", "2026-01-05T15")


@pytest.mark.parametrize(
    "said",
    [
        {"measures": [Measure(what="mass", mass_mg=1_900)]},
        {"weighed": [PartWeighed(part="neck", mass_mg=611_000)]},
    ],
)
def test_a_gauge_vouches_for_what_it_can_read_alone(
    road: Loft, said: dict[str, Any]
) -> None:
    """A caliper for no mass; beside a length it may stand."""
    told = "G26-001 .dial caliper. measures length, and what is given is the .* in g:"
    with pytest.raises(RefusedError, match=told):
        roadside.done(road, FIRST, CARVE, gauges=[CALIPER], **said)
    heel = Measure(what="heel", length_um=97_000)
    both = said | {"measures": [*said.get("measures", ()), heel]}

    assert roadside.done(road, FIRST, CARVE, gauges=[CALIPER], **both)


@pytest.mark.parametrize(
    "said",
    [
        {"measures": [Measure(what="neck", mass_mg=1)]},
        {"weighed": [PartWeighed(part="neck", mass_mg=1)]},
    ],
)
def test_what_can_hardly_be_is_taken_as_read_only(
    road: Loft, said: dict[str, Any]
) -> None:
    """A milligram for a neck is a slip, unless somebody insists."""
    size = road.shop.store.head().size
    with pytest.raises(
        RefusedError, match=r"the neck of 26.* or say .* with --as-read"
    ):
        roadside.done(road, FIRST, CARVE, **said)

    assert road.shop.store.head().size == size
    assert roadside.done(road, FIRST, CARVE, **said, as_read=True)


def test_what_a_lead_lets_pass_passes(road: Loft) -> None:
    """Only of that step and that measure."""
    at(road, SET_UP)
    rework.concede(
        road.shop,
        serial=FIRST,
        step=SET_UP,
        what="relief",
        measure=Measure(what="relief", length_um=350),
        reason="the customer bends hard",
        hands=road.hands(),
    )
    relief = Measure(what="relief", length_um=350)
    with pytest.raises(RefusedError, match="no mass is given"):
        roadside.done(road, FIRST, SET_UP, measures=[relief])
    roadside.done(
        road,
        FIRST,
        SET_UP,
        measures=[relief, Measure(what="mass", mass_mg=1_900_000)],
    )


def test_what_is_worse_than_was_let_pass_does_not(road: Loft) -> None:
    """What is nearer to the band passes; the worse reading needs its own word."""
    at(road, SET_UP)
    mass = Measure(what="mass", mass_mg=1_900_000)

    def reads(relief_um: int) -> int:
        relief = Measure(what="relief", length_um=relief_um)
        return roadside.done(road, FIRST, SET_UP, measures=[relief, mass])

    bare = concede(road, None)
    with pytest.raises(RefusedError, match=r"is 0.4.mm, and set up wants at most 0.3"):
        reads(400)
    index = concede(road, 350)
    with pytest.raises(RefusedError, match=f"entry {index} lets 0.35.mm pass and noth"):
        reads(360)
    worse = concede(road, 360)

    assert bare < index < worse < reads(355)


def concede(road: Loft, relief_um: int | None) -> int:
    """Let a relief pass, as it was read or without a value."""
    read = None if relief_um is None else Measure(what="relief", length_um=relief_um)
    return rework.concede(
        road.shop,
        serial=FIRST,
        step=SET_UP,
        what="Relief",
        measure=read,
        reason="the customer bends hard",
        hands=road.hands(),
    ).index


@pytest.mark.parametrize(
    ("read", "why", "taken"),
    [
        (Measure(what="thickness of the top", length_um=2_999_000), "0 mm and 300", ""),
        (
            Measure(what="Top thickness", length_um=9_999),
            "4.2 mm and 4.2 mm thick",
            "y",
        ),
        (Measure(what="thickness of the top", length_um=-3_000), "above nothing", ""),
        (Measure(what="relief", mass_mg=18_000_000), "in which Nightferry meas", ""),
        (Measure(what="relief", length_um=4_000), "nothing beyond 0.3 mm is kno", "y"),
    ],
)
def test_a_measure_no_step_plans_is_looked_at_too(
    road: Loft, read: Measure, why: str, taken: str
) -> None:
    """By the wood it is of, and by what the model knows of that name."""
    at(road, CLOSE)
    size = road.shop.store.head().size
    said: dict[str, Any] = {"measures": [roadside.GOOD_ROOM, read]}
    with pytest.raises(RefusedError) as refusal:
        roadside.done(road, FIRST, CLOSE, **said)

    assert why in str(refusal.value).replace("\u2009", " ")
    assert road.shop.store.head().size == size
    if taken:
        roadside.done(road, FIRST, CLOSE, **said, as_read=True)


def test_all_that_is_wrong_is_told_at_once(road: Loft) -> None:
    """A wrong way, batch and gauge cost one round and not three."""
    with pytest.raises(RefusedError) as refusal:
        roadside.done(
            road,
            FIRST,
            JOIN,
            way="by feet",
            materials=["M26-099"],
            gauges=["G26-099"],
        )

    told = str(refusal.value).split("; and ")
    assert [words[:24] for words in told] == [
        "'by feet' is no accepted",
        "there is no batch M26-09",
        "there is no gauge G26-09",
    ]


def test_all_that_is_not_measured_is_named_at_once(road: Loft) -> None:
    """Each with the words that give it."""
    at(road, SET_UP)
    with pytest.raises(RefusedError, match=r"the relief at most 0.3.mm and the mass, "):
        roadside.done(road, FIRST, SET_UP, measures=[])


def test_a_step_and_its_measures_are_named_in_any_case(road: Loft) -> None:
    """They are written as the model has them, with a concession given as well."""
    at(road, SET_UP)
    concede(road, 350)
    worse, mass = Measure(what="RELIEF", length_um=400), Measure(what="Mass", mass_mg=2)
    with pytest.raises(RefusedError, match=r"the relief of .* lets 0.35.mm pass"):
        road.sign(FIRST, "Set Up", "06", measures=[worse, mass], as_read=True)
    good = Measure(what="Relief", length_um=200)
    road.sign(FIRST, "SET UP", "06", measures=[good, mass], as_read=True)

    with road.shop.store.reading() as session:
        assert signed_steps(session, FIRST)[-1].step == SET_UP
        assert {row.what for row in measures_of(session, FIRST)} >= {"relief", "mass"}
