"""Hands and heads of a certificate: nobody's name is cut while there is room."""

from dataclasses import replace
from typing import Literal

import pytest

from labels import sections
from labels.certificate import Maker
from labels.sections import FRAMES
from labels.tongue import tongue
from tests.labels import reading
from tests.labels.overlaps import overlaps
from tests.labels.samples import CERTIFICATE
from tests.labels.test_certificate import drawn


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_one_maker_alone_is_named_and_not_counted(
    paper: Literal["A4", "Letter"],
) -> None:
    """The line that would count the tenth has room for the tenth."""
    makers = tuple(Maker(f"{n:02}", f"Maker {n}", "plates") for n in range(1, 11))
    front = reading.text(drawn(replace(CERTIFICATE, makers=makers), paper))

    assert "Maker 10" in front and "more, page" not in front


NAMED = "Wolańska-Brzęczyszczykiewicz Oluwaseun Adeyemi-Brandt of Port Anslow"


@pytest.mark.parametrize("kind", ["flat-top guitar", "Octave mandolin"])
def test_a_long_name_has_a_line_of_its_own_before_it_is_cut(kind: str) -> None:
    """What was done stands under it; full pages give it what a count leaves."""
    maker = Maker("01", NAMED, "plates, braces, binding")
    alone = drawn(replace(CERTIFICATE, kind=kind, makers=(maker,)))
    many = drawn(replace(CERTIFICATE, kind=kind, makers=(maker,) * 9))

    assert NAMED in reading.text(alone) and maker.work in reading.text(alone)
    assert overlaps(alone) == overlaps(many) == []
    assert "Oluwaseun Adeye" in reading.text(many)


def test_a_shop_takes_the_width_of_the_head_and_then_a_second_line() -> None:
    """Before an ellipsis stands in its name."""
    shop = "Skerrymoor Fretted Instruments and Harbour Workshops of the Old Loft"
    for named in (shop, f"{shop}, Port Anslow by the Long Pier"):
        said = " ".join(reading.text(drawn(replace(CERTIFICATE, shop=named))).split())
        assert named in said


@pytest.mark.parametrize("name", ["Jo", "Oluwaseun Adeyemi-Brandt", "W" * 60])
def test_beside_a_figure_every_maker_s_work_is_told_or_counted(name: str) -> None:
    """However long the name before it is, nothing runs into the figure."""
    did = ", ".join(f"step number {n}" for n in range(1, 43))
    maker = Maker("01", name, did)
    pdf = drawn(replace(CERTIFICATE, makers=(maker,) * 9), "Letter")

    assert "page 2" in reading.text(pdf, page=0)
    assert overlaps(pdf) == []
    say = tongue("en")
    begins, within = sections.work_room(FRAMES["Letter"], maker, say, is_narrow=True)
    assert begins + within == sections.BESIDE_FIGURE
