"""Instruments: begun once, one board to one part, each step by the right hands."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import builds
from ledger.acts.heads import sign_head
from ledger.acts.settings import Settings
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BuildVoided
from ledger.events.build import Run
from ledger.views.builds import Build, printed_tags
from tests.skerrymoor import NECK, TOP, Loft


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop with a lot of four boards, a model and two instruments begun."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK, NECK, TOP)
    loft.model()
    loft.begin()
    loft.begin()
    return loft


FIRST, SECOND = "26-0001-8", "26-0002-6"


def test_serials_follow_one_another_and_bear_a_check_digit(bench: Loft) -> None:
    """The invented shop's known pair of numbers comes out with its check digits."""
    more = [bench.begin() for _ in range(3)]
    run = Run(name="Harbour Lights", number=3, pieces=12)

    assert more == ["26-0003-4", "26-0004-2", "26-0005-9"]
    assert bench.begin(run=run) == "26-0006-7"
    with pytest.raises(NotFoundError, match="no model Slipway"):
        bench.begin("Slipway")
    with pytest.raises(
        RefusedError, match=r"beginning an instrument needs the role lead"
    ):
        builds.begin(bench.shop, model="Tidewarden", run=None, hands=bench.hands("03"))


def test_a_pattern_without_a_year_never_gives_a_number_twice(bench: Loft) -> None:
    """In the second year it says what is wrong with it."""
    object.__setattr__(bench.shop, "settings", Settings(serial_pattern="{number:4}"))
    bench.begin()
    bench.clock.moment = bench.clock.moment.replace(year=2027)
    object.__setattr__(bench.shop, "pause_confirmed", True)
    for _ in range(2):
        bench.begin()

    with pytest.raises(RefusedError, match="was taken before"):
        bench.begin()


def test_a_certified_instrument_is_closed(certified: Loft) -> None:
    """No board and no step is added behind its certificate's back."""
    lot = certified.receive()
    (code,) = certified.number(lot, NECK)
    for work in (
        lambda: certified.allot("26-0001-8", "neck", code),
        lambda: certified.sign("26-0001-8", "brace"),
    ):
        with pytest.raises(RefusedError, match="its build is closed"):
            work()


def test_an_instrument_is_found_or_was_never_begun(bench: Loft) -> None:
    """In a turn or while reading, with the same words."""
    with bench.shop.store.reading() as session:
        assert builds.find_build(session, SECOND).model == "Tidewarden"
        with pytest.raises(NotFoundError, match="no instrument 26-0099-9: look at"):
            builds.find_build(session, "26-0099-9")
    with bench.shop.turn() as turn:
        assert builds.require_build(turn, FIRST).serial == FIRST


def test_tags_are_counted_print_by_print(bench: Loft) -> None:
    """Each carries its own checkpoint; a tag of nothing is not drawn."""
    sizes, prints = [], []
    for serial, badge in ((FIRST, "02"), (FIRST, "03"), (SECOND, "12")):
        sizes.append(bench.shop.store.head().size)
        told: dict[str, Any] = {"note": sign_head(bench.shop), "sha256_hex": "5a" * 32}
        hands = bench.hands(badge)
        prints.append(
            builds.tag_printed(bench.shop, serial=serial, **told, hands=hands)
        )

    assert prints == [1, 2, 1]
    with bench.shop.store.reading() as session:
        tags = printed_tags(session, FIRST)
        found = [(tag.number, tag.size) for tag in tags]
        assert found == [(1, sizes[0]), (2, sizes[1])]
    assert audit(bench.shop).findings == ()
    with pytest.raises(NotFoundError, match="no instrument"):
        builds.tag_printed(bench.shop, serial="26-0099-9", hands=bench.hands(), **told)


def test_a_place_in_a_run_is_given_once(bench: Loft) -> None:
    """Whatever the case of its name; one that will not be gives its place back."""
    run = Run(name="Harbour Lights", number=4, pieces=12)
    first = bench.begin(run=run)
    size = bench.shop.store.head().size
    with pytest.raises(RefusedError, match=f"{first} is Harbour Lights, 4 of 12: give"):
        bench.begin(run=replace(run, name="harbour lights"))
    assert bench.shop.store.head().size == size
    bench.say(BuildVoided(serial=first))

    assert bench.begin(run=run) > first


def test_a_model_is_named_in_any_case(bench: Loft) -> None:
    """A misspelt one is offered, and begins nothing."""
    serial = bench.begin("tide WARDEN")
    with pytest.raises(NotFoundError, match="model define; is Tidewarden meant"):
        bench.begin("Tidewardn")

    with bench.shop.store.reading() as session:
        assert session.get_one(Build, serial).model == "Tidewarden"
