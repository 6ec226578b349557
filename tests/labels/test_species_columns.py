"""The three columns under the head: whole, once, and no higher than need be."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels import species_columns
from labels.page import least
from labels.species_columns import BODY, COLUMNS, NAME, Column
from ledger.errors import RefusedError
from ledger.trade.movement import place_name
from ledger.trade.tables import places

WHAT = species_columns.what("1 guitar", "2026-11-24", "")
EMPTY = Column(heading="From", bold="", plain="", said_by="--sender")


def to(name: str, address: str) -> Column:
    """Return the column of a recipient."""
    return species_columns.party("To", name, address, "--recipient")


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("Hafen 1, Kiel, Germany, Germany (DE)", "Hafen 1, Kiel, Germany (DE)"),
        ("Hafen 1, Kiel, germany., Germany (DE)", "Hafen 1, Kiel, Germany (DE)"),
        ("Hafen 1, Kiel, DE, Germany (DE)", "Hafen 1, Kiel, Germany (DE)"),
        ("Hafen 1\nKiel\nGermany (DE), Germany (DE)", "Hafen 1, Kiel, Germany (DE)"),
        (
            "Kiel, Germany, Germany (DE) via France (FR)",
            "Kiel, Germany (DE) via France (FR)",
        ),
        ("Portland, ME, United States (US)", "Portland, ME, United States (US)"),
        ("Strasbourg, France, Germany (DE)", "Strasbourg, France, Germany (DE)"),
        ("Den, Denmark (DK)", "Den, Denmark (DK)"),
        ("Germany (DE)", "Germany (DE)"),
        ("Lyon, FR", "Lyon, FR"),
        ("", ""),
    ],
)
def test_a_country_is_said_once(address: str, said: str) -> None:
    """Where the address ends in the country that follows it, and nowhere else."""
    assert to("Amélie", address).plain == said


@pytest.mark.parametrize("code", sorted(places()))
def test_every_country_is_said_once(code: str) -> None:
    """By its name as by its letters."""
    whole = f"{place_name(code)} ({code})"
    for ending in (place_name(code), code, whole):
        said = to("A", f"Quay 1, {ending}, {whole}").plain

        assert said == f"Quay 1, {whole}", ending


words = st.lists(st.text("abcdefgh", min_size=1, max_size=14), max_size=40)


@given(words, words)
def test_an_address_is_whole_or_refused(name: list[str], address: list[str]) -> None:
    """Never cut, never wider than its column; the head grows a line at a time."""
    column = to(" ".join(name), " ".join(address))
    try:
        made = species_columns.planned((EMPTY, column, WHAT))
    except RefusedError as why:
        assert str(why).startswith(
            "--recipient is too long for the paper: 10 lines are"
        )
        assert len(name) + len(address) > 10
        return
    _, lines = made.columns[1]
    assert "".join(line for line, _ in lines).replace(" ", "") == "".join(
        [*name, *address]
    )
    assert len(lines) <= species_columns.MOST_LINES
    assert made.grown == pytest.approx(4.4 * max(0, len(lines) - 3))
    for line, style in lines:
        assert least(line, style) <= COLUMNS[1][1] + 1e-9
        assert style.size in (NAME.size, NAME.floor, BODY.size, BODY.floor)


def test_ten_lines_fit_and_letters_shrink_before_an_eleventh() -> None:
    """Nine lines of an address take no smaller letters."""
    nine = ", ".join(f"line {n} of an address of a street" for n in range(9))
    usual = species_columns.planned((EMPTY, to("Amélie", nine), WHAT))
    more = ", ".join(f"line {n} of an address of a street" for n in range(12))
    small = species_columns.planned((EMPTY, to("Amélie", more), WHAT))

    assert {style.size for _, style in usual.columns[1][1]} == {NAME.size, BODY.size}
    assert {style.size for _, style in small.columns[1][1]} == {NAME.floor, BODY.floor}
