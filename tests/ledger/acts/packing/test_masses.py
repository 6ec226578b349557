"""Whose mass it is decides what one piece weighs."""

import pytest

from ledger.acts.packing.masses import Settled, settle
from ledger.acts.packing.words import Per
from ledger.errors import RefusedError


@pytest.mark.parametrize(
    ("listed", "told", "quantity", "per", "expected"),
    [
        ((412,), None, 1, None, Settled(masses_mg=(412,), per=None)),
        ((412,), "each", 3, "set", Settled(masses_mg=(412,), per="set")),
        ((412,), "set", 3, None, Settled(masses_mg=(412,), per="set")),
        ((206,), "half", 3, "set", Settled(masses_mg=(412,), per="set")),
        ((206,), "half", 6, "half", Settled(masses_mg=(206,), per="half")),
        (
            (413,),
            "set",
            6,
            "half",
            Settled(masses_mg=(207,), per="half", is_shared=True),
        ),
        (
            (1_240,),
            "total",
            3,
            "set",
            Settled(masses_mg=(413,), per="set", is_shared=True),
        ),
        ((412,), "total", 1, "set", Settled(masses_mg=(412,), per="set")),
        ((212, 204), None, 1, None, Settled(masses_mg=(212, 204), per="set")),
        ((212, 204), "each", 2, "half", Settled(masses_mg=(212, 204), per="half")),
    ],
)
def test_masses_are_brought_to_one_piece_or_one_set(
    listed: tuple[int, ...],
    told: str | None,
    quantity: int,
    per: Per | None,
    expected: Settled,
) -> None:
    """What was weighed together is shared out, rounded half up, and said to be."""
    assert settle(listed, told=told, quantity=quantity, per=per) == expected


@pytest.mark.parametrize(
    ("listed", "told", "quantity", "per", "said"),
    [
        ((1_240,), None, 3, "set", "may be the mass of each or of all 3"),
        ((412,), "set", 1, "board", "does not count sets"),
        ((206,), "half", 2, None, "does not count sets"),
        ((212, 204), None, 2, "set", "the row lists 2 (set); give each set a row"),
        ((212, 204), None, 1, "board", "the row lists 1 (board)"),
        ((212, 204), None, 3, None, "the row lists 3; give"),
    ],
)
def test_a_mass_of_nobody_knows_what_is_refused(
    listed: tuple[int, ...], told: str | None, quantity: int, per: Per | None, said: str
) -> None:
    """It is never guessed whose mass it is."""
    with pytest.raises(RefusedError) as refused:
        settle(listed, told=told, quantity=quantity, per=per)

    assert said in str(refused.value)
