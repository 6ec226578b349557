"""What was received draws a paper once, and what is over or not named is told."""

from typing import Any

import pytest

from ledger.acts.drawdown import LineUse, used_of
from ledger.acts.permits import LineDraft, read_permit
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardMeasured, BoardNumbered
from tests.skerrymoor import NECK, TOP, Loft

SPRUCE = "Picea abies"
ROSEWOOD = "Dalbergia latifolia"


def line(species: str = SPRUCE, amount: int = 500_000, unit: str = "mass_mg") -> Any:
    """Return a line, of half a kilogram of spruce if nothing else is said."""
    return LineDraft(species=species, unit=unit, amount=amount)


def read(loft: Loft, document: str, *lines: LineDraft) -> int:
    """Read lines off a paper."""
    return read_permit(loft.shop, document, lines, loft.hands("12")).index


def uses(loft: Loft, document: str) -> list[LineUse]:
    """Return how each line of a paper is used."""
    return list(used_of(loft.shop, document).lines)


def test_what_was_received_draws_a_paper(supplied: Loft) -> None:
    """By the scale, by the rule and by number, and what is over is told."""
    code = supplied.document()
    lot = supplied.receive(documents=(code,), boards=3)
    supplied.number(lot, TOP, NECK)
    read(
        supplied,
        code,
        line(amount=1_500_000),
        line(unit="pieces", amount=2),
        line(unit="volume_mm3", amount=10**9),
        line(ROSEWOOD),
    )
    mass, pieces, volume, rosewood = uses(supplied, code)

    assert mass.used.amount == 205_000 + 207_000 + 1_040_000
    assert (mass.used.measured, mass.used.unknown, mass.remains) == (2, 1, 48_000)
    assert (pieces.used.amount, pieces.remains, pieces.is_over) == (3, -1, True)
    assert volume.used.amount == 2 * 476_603 + 1_846_800
    assert not mass.is_over and not mass.is_sure
    assert (rosewood.used.amount, rosewood.lots) == (0, ())


def test_sizes_measured_here_come_before_the_sawyer_s(supplied: Loft) -> None:
    """Those of the list stand in until then, and are told apart."""
    code = supplied.document()
    lot = supplied.receive(documents=(code,), boards=1)
    supplied.say(
        BoardNumbered(
            board=f"{lot}-01",
            lot=str(lot),
            meant_for="neck",
            listed_length_um=1_000_000,
            listed_width_um=100_000,
            listed_thickness_um=30_000,
        ),
        "02",
    )
    read(supplied, code, line(unit="volume_mm3", amount=10**9))
    (listed,) = uses(supplied, code)
    supplied.say(
        BoardMeasured(
            board=f"{lot}-01", length_um=1_000_000, width_um=90_000, thickness_um=30_000
        ),
        "02",
    )
    (measured,) = uses(supplied, code)

    assert (listed.used.amount, listed.is_sure) == (3_000_000, False)
    assert (measured.used.amount, measured.is_sure) == (2_700_000, True)


def test_wood_that_is_sawn_draws_nothing_more(certified: Loft) -> None:
    """The first weighing counts, whatever became of the wood; it says where it is."""
    code = "D26-0001"
    read(certified, code, line("Picea", amount=500_000))
    (use,) = uses(certified, code)
    (draw,) = used_of(certified.shop, code).draws

    assert (use.used.amount, use.remains, use.lots) == (412_000, 88_000, ("L26-001",))
    assert (draw.serials, draw.unlabelled) == (("26-0001-8",), 23)
    assert draw.sawyer == "Ferrante & Daughters"


def test_wood_that_a_paper_does_not_name_is_told(supplied: Loft) -> None:
    """Of a lot of spruce under a paper for rosewood; a batch has no amount."""
    code = supplied.document()
    supplied.receive(documents=(code,))
    found = used_of(supplied.shop, code)
    assert (found.lines, found.not_named) == ((), ())
    read(supplied, code, line(ROSEWOOD))
    found = used_of(supplied.shop, code)

    assert [draw.lot for draw in found.not_named] == ["L26-001"]
    assert found.lines[0].used.amount == 0


def test_a_species_draws_its_own_line_before_that_of_its_genus(supplied: Loft) -> None:
    """Nothing is drawn twice."""
    code = supplied.document()
    supplied.number(supplied.receive(documents=(code,), boards=1), NECK)
    read(supplied, code, line("Picea"), line())
    genus, own = uses(supplied, code)

    assert (genus.used.amount, own.used.amount) == (0, 1_040_000)
    assert own.is_over


def test_a_genus_is_all_of_its_species_however_it_is_written(supplied: Loft) -> None:
    """As papers write it, too: Picea spp.; and it has one line in one unit."""
    code = supplied.document()
    supplied.number(supplied.receive(documents=(code,), boards=1), NECK)
    with pytest.raises(RefusedError, match="Picea has two lines in one unit"):
        read(supplied, code, line("Picea spp."), line("Picea"))
    read(supplied, code, line("Picea spp."))

    assert [use.used.amount for use in uses(supplied, code)] == [1_040_000]


def test_a_paper_that_is_not_on_file_is_not_found(loft: Loft) -> None:
    """There is nothing to be used."""
    with pytest.raises(NotFoundError, match="no document D26-0009"):
        used_of(loft.shop, "D26-0009")
