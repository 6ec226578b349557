"""Which builds want a part, and what they may not wish."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts.wishing import SOME_DAY, Orders, require_grades, wishes_of
from ledger.craft.wanted import Wanted
from ledger.craft.wishes import Wish
from ledger.errors import LedgerError, NotFoundError, RefusedError
from tests.racked import SERIALS
from tests.skerrymoor import Loft

WANTED = Wanted(part="top", length_um=530_000, width_um=200_000, thickness_um=3_000)


def wished(loft: Loft, **told: Any) -> list[Wish]:
    """Return what open builds wish for a top."""
    with loft.shop.store.reading() as session:
        return wishes_of(session, Orders(**({"wanted": WANTED} | told)))


@pytest.fixture
def begun(certified: Loft) -> Loft:
    """Give a shop with one certified instrument, two begun, and one of them topped."""
    assert (certified.begin(), certified.begin()) == SERIALS[1:3]
    certified.number(certified.receive())
    certified.allot(SERIALS[1], "top", "L26-003-01")
    return certified


def test_builds_without_the_part_wish_for_it(begun: Loft) -> None:
    """Neither the certified one nor the one that has its top; none has a day."""
    assert [(w.order, w.due) for w in wished(begun)] == [(SERIALS[2], SOME_DAY)]
    neck = Wanted(part="neck", length_um=1, width_um=1, thickness_um=1, pieces=1)
    assert [w.order for w in wished(begun, wanted=neck)] == list(SERIALS[1:3])


def test_a_build_that_is_named_twice_wishes_once(begun: Loft) -> None:
    """And has the day that was said."""
    (wish,) = wished(
        begun, serials=(SERIALS[2], SERIALS[2]), due={SERIALS[2]: "2026-03-01"}
    )

    assert (wish.order, wish.due) == (SERIALS[2], "2026-03-01")


@pytest.mark.parametrize(
    ("told", "fault", "why"),
    [
        ({"serials": ("26-0009-1",)}, NotFoundError, "there is no instrument"),
        ({"serials": SERIALS[1:2]}, RefusedError, "has its top already, L26-003-01.A"),
        ({"serials": SERIALS[:1]}, RefusedError, "has its certificate"),
        ({"due": {SERIALS[1]: "2026-03-01"}}, RefusedError, "not among the instrum"),
        ({"due": {SERIALS[2]: "March"}}, RefusedError, "'March' is no day such as"),
        ({"due": {SERIALS[2]: "20260301"}}, RefusedError, "is no day such as"),
        ({"due": {SERIALS[2]: "2026-02-30"}}, RefusedError, "is no day such as"),
    ],
)
def test_what_cannot_be_wished_is_refused(
    begun: Loft, told: dict[str, Any], fault: type[LedgerError], why: str
) -> None:
    """In a sentence that names the build."""
    with pytest.raises(fault, match=why):
        wished(begun, **told)


def test_a_part_that_no_model_has_is_named(begun: Loft) -> None:
    """Of a build the parts are listed; without builds nobody wishes for it."""
    horn = Wanted(part="horn", length_um=1, width_um=1, thickness_um=1)
    with pytest.raises(NotFoundError, match="has no part 'horn': it has top, neck"):
        wished(begun, wanted=horn, serials=SERIALS[2:3])
    with pytest.raises(RefusedError, match="no instrument that was begun is without"):
        wished(begun, wanted=horn)


def test_the_house_s_words_are_grades_and_no_others(loft: Loft) -> None:
    """What is set aside may be wished for too."""
    least = Wanted(part="top", length_um=1, width_um=1, thickness_um=1)
    with loft.shop.store.reading() as session:
        require_grades(session, replace(least, grades=("set aside",)))
        with pytest.raises(RefusedError, match="'master' is none of the house's"):
            require_grades(session, replace(least, grades=("master",)))
