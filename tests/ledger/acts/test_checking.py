"""What the chosen wood would ask for where a customer lives, before it is built in."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from ledger.acts import models
from ledger.acts.checking import Checked, Choice, Way, check_instrument, check_model
from ledger.acts.policies import adopt_policy
from ledger.acts.sawing import PieceDraft, join
from ledger.errors import NotFoundError, RefusedError
from ledger.events import (
    BoardReserved,
    BuildOrdered,
    BuildVoided,
    MaterialReceived,
    StepSigned,
)
from ledger.events.build import PartWeighed
from ledger.events.route import PlannedPart
from ledger.trade.coverage import ORDER
from tests.ledger.trade.overlays import LISTING, text_of
from tests.skerrymoor import NECK, STEPS, Loft

BRAZIL, INDIA, WALNUT = "Dalbergia nigra", "Dalbergia latifolia", "Juglans nigra"
ABROAD = Way(start="US", to="FR", day="2026-01-20")
NECK_SIZE = {"length_um": 700_000, "width_um": 80_000, "thickness_um": 20_000}
ANY_NECK = replace(NECK, as_read=True)


def model(loft: Loft, **neck: Any) -> None:
    """Set down a model with a neck of this size and these woods."""
    parts = [PlannedPart(part="top"), PlannedPart(part="neck", **(NECK_SIZE | neck))]
    models.define_model(
        loft.shop,
        name="Tidewarden",
        instrument="flat-top guitar",
        parts=parts,
        steps=STEPS,
        hands=loft.hands(),
    )


def neck_of(loft: Loft, species: str, **told: Any) -> str:
    """Receive a neck of this wood and give it its code."""
    lot = loft.receive(species=species, **({"harvested_in": "US"} | told))
    (code,) = loft.number(lot, ANY_NECK)
    return code


def of_part(found: Checked, part: str = "neck") -> Choice:
    """Return what is said of the one wood of a part."""
    (choice,) = (each for each in found.choices if each.wood.part == part)
    return choice


def test_wood_that_is_listed_is_told_first_with_what_it_needs(supplied: Loft) -> None:
    """And the rest after it."""
    model(supplied)
    serial = supplied.begin()
    supplied.number(supplied.receive())
    supplied.allot(serial, "top", "L26-001-01")
    code = neck_of(supplied, BRAZIL, harvested_in="BR")
    supplied.allot(serial, "neck", code)
    found = check_instrument(supplied.shop, serial, ABROAD)
    first = found.choices[0]

    assert [each.wood.part for each in found.choices] == ["neck", "top"]
    assert (first.answer, first.wood.boards, first.wood.lot) == (
        "needed",
        (code,),
        "L26-002",
    )
    assert "re-export certificate" in [each.name for each in first.found.documents]
    assert (found.count("needed"), found.count("not needed")) == (1, 1)
    assert {each.kind for each in first.wood.missing} >= {"permit", "purchase"}
    assert found.unchosen == ()


@pytest.mark.parametrize(
    ("species", "day", "answer"),
    [
        (INDIA, "2017-01-01", "not needed"),
        (INDIA, "2017-01-02", "needed"),
        (BRAZIL, "1992-06-10", "not needed"),
        (BRAZIL, "1992-06-11", "needed"),
    ],
)
def test_the_day_it_goes_decides(
    supplied: Loft, species: str, day: str, answer: str
) -> None:
    """All Dalbergia was listed on 2 January 2017, D. nigra on 11 June 1992."""
    model(supplied)
    serial = supplied.begin()
    supplied.allot(serial, "neck", neck_of(supplied, species, harvested_in="BR"))
    found = check_instrument(supplied.shop, serial, Way(start="US", to="JP", day=day))

    assert (found.day, found.why_day) == (date.fromisoformat(day), "as asked")
    assert of_part(found).found.answer == answer


def test_other_wood_that_is_ready_and_fits_is_offered(supplied: Loft) -> None:
    """That which is too small, kept, listed, or meant for another part is not."""
    model(supplied)
    serial, other = supplied.begin(), supplied.begin()
    supplied.allot(serial, "neck", neck_of(supplied, BRAZIL, harvested_in="BR"))
    good = neck_of(supplied, WALNUT)
    listed = neck_of(supplied, BRAZIL, harvested_in="BR")
    kept = neck_of(supplied, WALNUT)
    supplied.say(
        BoardReserved(board=kept, reserved_for=other, part="neck", until="2026-02-01")
    )
    small = supplied.receive(species=WALNUT, harvested_in="US")
    supplied.number(small, replace(ANY_NECK, length_um=600_000, masses_mg=(700_000,)))
    offers = of_part(check_instrument(supplied.shop, serial, ABROAD)).instead

    assert [(each.code, each.species, each.answer) for each in offers] == [
        (good, WALNUT, "not needed")
    ]
    assert listed not in {each.code for each in offers}


def test_no_more_than_a_few_are_offered_and_the_best_first(supplied: Loft) -> None:
    """Those that ask for nothing come before those that must be asked."""
    model(supplied)
    serial = supplied.begin()
    supplied.allot(serial, "neck", neck_of(supplied, BRAZIL, harvested_in="BR"))
    neck_of(supplied, "Nusquama ligna")
    for _ in range(4):
        neck_of(supplied, WALNUT)
    offers = of_part(check_instrument(supplied.shop, serial, ABROAD)).instead

    assert [each.answer for each in offers] == ["not needed"] * 3


def test_a_part_that_was_never_weighed_has_two_masses(supplied: Loft) -> None:
    """By its finished size and density, and as the whole board at most."""
    model(supplied)
    serial = supplied.begin()
    supplied.allot(serial, "neck", neck_of(supplied, WALNUT))
    wood = of_part(check_instrument(supplied.shop, serial, ABROAD)).wood
    # 1.04 kg in 810 x 95 x 24 mm, of which 700 x 80 x 20 mm are left.
    expected = 1_040_000 * (700 * 80 * 20) / (810 * 95 * 24)

    assert wood.mass_mg == pytest.approx(expected, rel=1e-5)
    assert (wood.most_mg, wood.is_weighed) == (1_040_000, False)


def test_a_part_that_was_weighed_has_its_own_mass(certified: Loft) -> None:
    """To the milligram, and no upper bound beside it."""
    wood = of_part(check_instrument(certified.shop, "26-0001-8", ABROAD)).wood

    assert (wood.mass_mg, wood.most_mg, wood.is_weighed) == (611_000, 611_000, True)


def test_wood_that_nobody_weighed_has_no_mass(supplied: Loft) -> None:
    """And is asked about all the same."""
    model(supplied)
    serial = supplied.begin()
    lot = supplied.receive(species=BRAZIL, harvested_in="BR")
    (code,) = supplied.number(lot, replace(ANY_NECK, masses_mg=()))
    supplied.allot(serial, "neck", code)
    choice = of_part(check_instrument(supplied.shop, serial, ABROAD))

    assert (choice.wood.mass_mg, choice.wood.most_mg) == (None, None)
    assert choice.answer == "needed"


def test_ten_kilograms_are_asked_about_on_either_side(supplied: Loft) -> None:
    """Annotation #15, text of 2017, counts all its wood: both answers are told."""
    model(supplied, length_um=1_000_000, width_um=100_000, thickness_um=80_000)
    serial = supplied.begin()
    lot = supplied.receive(species=INDIA, harvested_in="IN")
    big = replace(
        ANY_NECK,
        length_um=1_300_000,
        width_um=110_000,
        thickness_um=85_000,
        masses_mg=(10_500_000,),
    )
    (code,) = supplied.number(lot, big)
    supplied.allot(serial, "neck", code)
    way = Way(start="US", to="FR", purpose="personal", day="2018-06-01")
    choice = of_part(check_instrument(supplied.shop, serial, way))

    assert choice.wood.mass_mg is not None
    assert choice.wood.mass_mg <= 10_000_000 < int(choice.wood.most_mg or 0)
    assert choice.heavier is not None
    assert ORDER.index(choice.heavier.answer) < ORDER.index(choice.found.answer)
    assert choice.answer == choice.heavier.answer


def test_a_part_glued_from_two_lots_is_told_lot_by_lot(supplied: Loft) -> None:
    """Each with its share of the mass, to the milligram."""
    model(supplied)
    serial = supplied.begin()
    first, second = neck_of(supplied, WALNUT), neck_of(supplied, BRAZIL)
    draft = PieceDraft(
        meant_for="neck",
        mass_mg=2_080_000,
        length_um=810_000,
        width_um=190_000,
        thickness_um=24_000,
    )
    code = join(
        supplied.shop,
        codes=[first, second],
        draft=draft,
        as_read=True,
        hands=supplied.hands("03"),
    )
    supplied.allot(serial, "neck", code)
    found = check_instrument(supplied.shop, serial, ABROAD)
    necks = [each.wood for each in found.choices if each.wood.part == "neck"]

    assert [wood.species for wood in necks] == [BRAZIL, WALNUT]
    assert sum(int(wood.most_mg or 0) for wood in necks) == 2_080_000


def test_wood_that_is_kept_is_chosen_too(supplied: Loft) -> None:
    """Until it is allotted."""
    model(supplied)
    serial = supplied.begin()
    code = neck_of(supplied, BRAZIL, harvested_in="BR")
    supplied.say(
        BoardReserved(board=code, reserved_for=serial, part="neck", until="2026-02-01")
    )
    choice = of_part(check_instrument(supplied.shop, serial, ABROAD))

    assert (choice.wood.how, choice.wood.boards) == ("reserved", (code,))
    assert choice.answer == "needed"


def test_parts_without_wood_are_told_by_what_the_model_allows(supplied: Loft) -> None:
    """A genus is all of its species; a part without a name is said to be open."""
    model(supplied, species=("Juglans", BRAZIL))
    serial = supplied.begin()
    for found in (
        check_instrument(supplied.shop, serial, ABROAD),
        check_model(supplied.shop, "Tidewarden", ABROAD),
    ):
        told = [(each.wood.species, each.answer) for each in found.choices]
        assert told == [(BRAZIL, "needed"), ("Juglans spp.", "not needed")]
        assert {each.wood.how for each in found.choices} == {"allowed"}
        assert found.unchosen == ("top",)


def test_shell_is_asked_about_as_wildlife(supplied: Loft) -> None:
    """A batch that went in with a step; the United States want it declared."""
    model(supplied)
    serial = supplied.begin()
    supplied.say(
        MaterialReceived(
            batch="M26-001",
            what="abalone blanks",
            use="shell",
            species="Haliotis rufescens",
            received_on="2026-01-05",
        )
    )
    step = StepSigned(
        serial=serial,
        step="join the top",
        meaning="did",
        measures=(),
        weighed=(PartWeighed(part="top", mass_mg=190_000),),
        materials=("M26-001",),
    )
    supplied.say(step, "03")
    found = check_instrument(supplied.shop, serial, ABROAD)
    shell = of_part(found, "abalone blanks")

    assert (shell.wood.form, shell.wood.how, shell.wood.mass_mg) == (
        "inlay",
        "used",
        None,
    )
    assert "us-wildlife" in {other.rule for other in found.also}


def test_the_day_is_that_of_the_promise_where_none_is_said(supplied: Loft) -> None:
    """Today where that is over, or nothing was promised."""
    model(supplied)
    serial, plain = supplied.begin(), supplied.begin()
    supplied.say(BuildOrdered(serial=serial, due="2026-03-01"))
    way = replace(ABROAD, day="")

    found = check_instrument(supplied.shop, serial, way)
    assert (str(found.day), found.why_day) == (
        "2026-03-01",
        "the day it is promised for",
    )
    found = check_instrument(supplied.shop, plain, way)
    assert (str(found.day), found.why_day) == ("2026-01-05", "today")
    supplied.clock.moment = supplied.clock.moment.replace(month=3, day=2)
    assert check_instrument(supplied.shop, serial, way).why_day == "today"


def test_a_day_far_beyond_the_tables_asks_of_everything(supplied: Loft) -> None:
    """What is unknown never becomes not needed."""
    model(supplied, species=("Juglans", "Picea abies", "Swietenia", "Nusquama ligna"))
    serial = supplied.begin()
    supplied.number(supplied.receive())
    supplied.allot(serial, "top", "L26-001-01")
    way = replace(ABROAD, day="2099-01-01")

    assert check_instrument(supplied.shop, serial, way).count("not needed") == 0


def test_nothing_is_recorded(supplied: Loft) -> None:
    """It is a question."""
    model(supplied, species=(WALNUT,))
    serial = supplied.begin()
    size = supplied.shop.store.head().size
    check_instrument(supplied.shop, serial, ABROAD)

    assert supplied.shop.store.head().size == size


@pytest.mark.parametrize(
    ("way", "why"),
    [
        (replace(ABROAD, to="紫"), "'紫' is no country: write two letters"),
        (replace(ABROAD, start="XX"), "'XX' is no country: write two letters"),
        (replace(ABROAD, purpose="fun"), "'fun' is no purpose: say sale"),
        (replace(ABROAD, day="2026-02-30"), "is no day such as"),
    ],
)
def test_a_way_that_is_none_is_refused(supplied: Loft, way: Way, why: str) -> None:
    """With what to write instead."""
    model(supplied)
    with pytest.raises(RefusedError, match=why):
        check_model(supplied.shop, "Tidewarden", way)


def test_what_was_never_begun_or_set_down_is_not_found(supplied: Loft) -> None:
    """And a void instrument is refused."""
    model(supplied)
    with pytest.raises(NotFoundError, match="there is no model Nowhere"):
        check_model(supplied.shop, "Nowhere", ABROAD)
    with pytest.raises(NotFoundError, match="there is no instrument 26-0009-1"):
        check_instrument(supplied.shop, "26-0009-1", ABROAD)
    serial = supplied.begin()
    supplied.say(BuildVoided(serial=serial))
    with pytest.raises(RefusedError, match="is void"):
        check_instrument(supplied.shop, serial, ABROAD)


def test_the_shop_s_own_rows_count(supplied: Loft) -> None:
    """A listing that the compiled tables lack is warned of, and missed on paper."""
    model(supplied)
    serial = supplied.begin()
    supplied.allot(serial, "neck", neck_of(supplied, WALNUT))
    own = {
        "id": "own-juglans-nigra",
        "taxon": WALNUT,
        "rank": "species",
        "population": "",
        "appendix": "I",
        "annotation": "none",
        "valid_from": "2026-01-01",
        "valid_until": "",
        "eu_annex": "A",
        "sources": "a letter of the office",
        "confidence": "verified",
        "checked_on": "2026-01-02",
        "newest_source": "2026-01-02",
    }
    adopt_policy(supplied.shop, text_of(("listings", LISTING | own)), supplied.hands())
    choice = of_part(check_instrument(supplied.shop, serial, ABROAD))

    assert choice.answer == "needed"
    assert choice.found.row == "own-juglans-nigra"
    assert {each.kind for each in choice.wood.missing} >= {"permit"}


def test_of_what_is_open_the_listed_wood_comes_first(supplied: Loft) -> None:
    """Most is asked about for the age of the tables alone, comes last and is told."""
    neck_of(supplied, INDIA)
    model(supplied, species=("Acer", "Sequoia", "Cedrela spp.", INDIA))
    late = replace(ABROAD, day="2026-11-30")
    found = check_model(supplied.shop, "Tidewarden", late)

    assert [
        (each.answer, each.wood.species, bool(each.open_for_age), len(each.instead))
        for each in found.choices
    ] == [
        ("ask", "Cedrela spp.", False, 1),
        ("ask", "Sequoia spp.", False, 1),
        ("ask", "Acer spp.", True, 0),
        ("not needed", INDIA, False, 0),
    ]
