"""How many instruments the rack allows: the scarcest part counts, and what waits."""

from dataclasses import replace
from datetime import timedelta

import pytest

from ledger.acts import holds, models, reserving
from ledger.acts.holds import InDoubt
from ledger.acts.makes import Makes, makes
from ledger.errors import NotFoundError
from ledger.events.route import PlannedPart
from tests.skerrymoor import NECK, STEPS, TOP, Loft

PARTS = (
    PlannedPart(part="top", species=("Picea",), pieces=2, length_um=508_000),
    PlannedPart(part="neck", species=("Acer",), thickness_um=20_000),
    PlannedPart(part="rosette", optional=True),
)


@pytest.fixture
def rack(loft: Loft) -> Loft:
    """Give a shop with three spruce tops, two maple necks and a model of both."""
    loft.supplier()
    loft.number(loft.receive(), TOP, TOP, TOP)
    loft.number(loft.receive(species="Acer pseudoplatanus"), NECK, NECK)
    models.define_model(
        loft.shop,
        name="Tidewarden",
        instrument="flat-top guitar",
        parts=PARTS,
        steps=STEPS,
        hands=loft.hands(),
    )
    return loft


def asked(loft: Loft, species: str | None = None) -> Makes:
    """Return how many Tidewardens there is wood for."""
    with loft.shop.store.reading() as session:
        return makes(session, "Tidewarden", today=loft.shop.today(), species=species)


def test_the_scarcest_part_says_how_many(rack: Loft) -> None:
    """One that may be left out holds nothing up."""
    found = asked(rack)

    assert (found.ready, found.all, found.scarcest) == (2, 2, ("neck",))
    assert [len(part.ready) for part in found.parts] == [3, 2, 0]
    assert found.not_counted == ()


def test_wood_that_waits_is_counted_apart(rack: Loft) -> None:
    """It is none today, and would be some if it became ready."""
    rack.adopt(rest=[], rest_of_others={"least_days": 21, "preferred_days": 42})
    found = asked(rack)

    assert (found.ready, found.all) == (0, 2)


def test_the_pace_of_a_year_says_how_long_it_lasts(rack: Loft) -> None:
    """Where nobody began one there is none."""
    before = asked(rack).lasts_days
    rack.begin()
    rack.begin()
    now = asked(rack)
    rack.clock.moment += timedelta(days=400)

    assert before is None
    assert (now.begun, now.lasts_days) == (2, 365)
    assert asked(rack).begun == 0


def test_what_is_taken_kept_or_in_doubt_is_not_counted(rack: Loft) -> None:
    """A reservation that is over keeps nothing; each that counts is named."""
    serial = rack.begin()
    rack.allot(serial, "top", "L26-001-01")
    reserving.reserve(
        rack.shop, code="L26-001-02", wanted=serial, part="top", hands=rack.hands("03")
    )
    doubted = InDoubt(on="board", code="L26-002-01")
    holds.place(rack.shop, doubted, reason="no paper", hands=rack.hands())
    found = asked(rack)
    rack.clock.moment += timedelta(days=60)
    object.__setattr__(rack.shop, "pause_confirmed", True)

    assert [part.ready for part in found.parts] == [
        ("L26-001-03",),
        ("L26-002-02",),
        (),
    ]
    assert found.not_counted == ("L26-001-02: reserved", "L26-002-01: in doubt")
    assert len(asked(rack).parts[0].ready) == 2


def test_other_wood_is_told_and_not_counted(rack: Loft) -> None:
    """Of another species, too small, half a set, or meant for no part."""
    lot = rack.receive(species="Swietenia macrophylla")
    short = replace(TOP, length_um=400_000, masses_mg=(147_000, 148_000))
    rack.number(lot, NECK, replace(NECK, meant_for="bridge"))
    rack.number(rack.receive(), short, TOP)
    serial = rack.begin()
    rack.allot(serial, "top", "L26-004-02.A")
    found = asked(rack)

    assert (found.ready, len(found.parts[0].ready)) == (2, 3)
    assert set(found.not_counted) == {
        "L26-004-02.B: half of a set only",
        "1 meant for bridge: the model calls no part so",
        "L26-004-01 and L26-003-01: of other species, or too small",
    }


def test_one_species_alone_can_be_asked_for(rack: Loft) -> None:
    """Then only the parts that may be of it are counted; a genus stands for all."""
    for species in ("Picea", "Picea abies"):
        found = asked(rack, species)
        assert [part.part for part in found.parts] == ["top", "rosette"]
        assert (found.ready, found.scarcest) == (3, ("top",))


def test_wood_that_nobody_measured_counts_and_is_told(rack: Loft) -> None:
    """Nobody knows that it is too small."""
    rack.number(rack.receive(), replace(TOP, length_um=None))

    assert asked(rack).parts[0].unmeasured == ("L26-003-01",)
    assert len(asked(rack).parts[0].ready) == 4


def test_a_model_that_was_never_set_down_makes_nothing(rack: Loft) -> None:
    """It is answered as everywhere."""
    with (
        rack.shop.store.reading() as session,
        pytest.raises(NotFoundError, match="no model Slipway"),
    ):
        makes(session, "Slipway", today="2026-01-05")
