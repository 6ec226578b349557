"""Net masses as printed: what stands on the list adds up to its sums."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from labels.packing_nets import nets
from ledger.trade.consignment import Consignment
from tests.ledger.trade.forms.samples import BLANK, GUITAR, SALE, SHELL, with_items


def blanks(*masses_mg: int) -> Consignment:
    """Return a shipment of blanks, each a thing that weighs what its wood does."""
    codes = [f"L26-004-{n:02}" for n in range(len(masses_mg))]
    things = tuple(
        replace(GUITAR, code=code, mass_mg=mass)
        for code, mass in zip(codes, masses_mg, strict=True)
    )
    items = (
        replace(BLANK, thing=code, boards=(code,), mass_mg=mass)
        for code, mass in zip(codes, masses_mg, strict=True)
    )
    return with_items(SALE, *items, things=things)


@given(st.lists(st.integers(20_000, 5_000_000), min_size=1, max_size=20))
def test_printed_rows_add_up_to_the_printed_total(masses: list[int]) -> None:
    """And no row is off by more than a step, nor the total by half of one."""
    told = nets(blanks(*masses))
    step = 10 ** (6 - told.places)

    assert all(mass % step == 0 for mass in told.things.values())
    assert list(told.things.values()) == list(told.woods.values())
    assert abs(sum(told.woods.values()) - sum(masses)) * 2 <= step
    for printed, mass in zip(told.things.values(), masses, strict=True):
        assert abs(printed - mass) <= step


def test_twenty_rows_that_all_round_down_do_not_lose_two_grams() -> None:
    """Twenty of 282.45 g are 5.649 kg, and not twenty times 0.282."""
    told = nets(blanks(*[282_450] * 20))

    assert sum(told.things.values()) == 5_649_000
    assert set(told.things.values()) == {282_000, 283_000}


def test_a_thing_with_more_in_it_than_wood_weighs_what_it_weighs() -> None:
    """Its woods add up on their own, and shell apart from them."""
    goods = with_items(
        SALE,
        replace(BLANK, thing=GUITAR.code, mass_mg=700_400),
        replace(BLANK, thing=GUITAR.code, taxon="Picea abies", mass_mg=300_400),
        replace(SHELL, thing=GUITAR.code, mass_mg=20_200),
        things=(GUITAR,),
    )
    told = nets(goods)

    assert told.things == {GUITAR.code: 1_986_000}
    assert sum(mg for key, mg in told.woods.items() if not key[2]) == 1_001_000
    assert [mg for key, mg in told.woods.items() if key[2]] == [20_000]


def test_what_was_never_weighed_has_no_mass() -> None:
    """Neither a thing nor its wood."""
    bare = replace(GUITAR, mass_mg=None)
    item = replace(BLANK, thing=bare.code, mass_mg=None)
    told = nets(with_items(SALE, item, things=(bare,)))

    assert told.things == {} and told.woods == {}
