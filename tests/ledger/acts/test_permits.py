"""What a paper was issued for is read off it once, and struck where it was misread."""

from typing import Any

import pytest

from ledger.acts.corrections import correct
from ledger.acts.drawdown import used_of
from ledger.acts.permits import LineDraft, read_permit
from ledger.errors import LedgerError, TamperError
from ledger.events import PermitRead
from ledger.events.wood import PermitLine
from tests.skerrymoor import Loft

SPRUCE = "Picea abies"


def line(species: str = SPRUCE, amount: int = 500_000, unit: str = "mass_mg") -> Any:
    """Return a line, of half a kilogram of spruce if nothing else is said."""
    return LineDraft(species=species, unit=unit, amount=amount)


def read(loft: Loft, document: str, *lines: LineDraft, badge: str = "12") -> int:
    """Read lines off a paper."""
    return read_permit(loft.shop, document, lines, loft.hands(badge)).index


@pytest.mark.parametrize(
    ("document", "lines", "badge", "why"),
    [
        ("D26-0009", [line()], "12", "no document D26-0009: file it"),
        ("D26-0001", [], "12", "1 to 100 lines, not 0"),
        ("D26-0001", [line()] * 101, "12", "1 to 100 lines, not 101"),
        ("D26-0001", [line(), line("picea ABIES")], "12", "two lines in one unit"),
        ("D26-0001", [line(amount=0)], "12", "permits nothing of Picea abies"),
        ("D26-0001", [line(" ")], "12", "the species has 1 to"),
        ("D26-0001", [line()], "03", "needs the role lead or the qualification"),
    ],
)
def test_lines_that_are_none_are_refused(
    supplied: Loft, document: str, lines: list[LineDraft], badge: str, why: str
) -> None:
    """And nothing is said."""
    supplied.document()
    before = supplied.shop.store.head().size

    with pytest.raises(LedgerError, match=why):
        read(supplied, document, *lines, badge=badge)
    assert supplied.shop.store.head().size == before


def test_a_paper_is_read_once_and_again_only_where_it_was_misread(
    supplied: Loft,
) -> None:
    """Whoever read it strikes it first."""
    code = supplied.document()
    first = read(supplied, code, line())

    with pytest.raises(LedgerError, match=f"read in entry {first} already"):
        read(supplied, code, line(amount=600_000))
    twice = PermitRead(
        document=code, lines=(PermitLine(species=SPRUCE, mass_mg=600_000),)
    )
    with pytest.raises(TamperError, match="before this one"):
        supplied.say(twice, "12")
    correct(supplied.shop, first, reason="a nought", hands=supplied.hands("12"))
    read(supplied, code, line(amount=600_000))

    (use,) = used_of(supplied.shop, code).lines
    assert (use.permitted, use.remains) == (600_000, 600_000)
