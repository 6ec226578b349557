"""flitchbook board: a code and first measures, each with its unit."""

import pytest

from tests.cli.bench import Bench

NUMBER = (
    "board number L26-001 --by 02 --for top --length '559 mm' --width '203 mm' "
    "--thickness '4.2 mm' --mass '205 g'"
)


def test_a_set_of_two_halves_gets_one_number(bench: Bench) -> None:
    """Two masses make two halves."""
    said = bench.does(f"{NUMBER} --mass '207 g'")

    assert said == (
        "L26-001-02.A and L26-001-02.B: pencil the code first, then label it.\n"
    )
    assert bench.data(NUMBER) == {"boards": ["L26-001-03"]}


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("--length 559", "'559' is not a length; write it like 2.9 mm or 3/32 in"),
        ("--length '559 g'", "'559 g' is not a length"),
        ("--length '-559 mm'", "is below zero"),
        ("--length '0 mm'", "all above nothing"),
        ("--length '9e9 mm'", "is not a length"),
        ("--width '99999999999999999999 m'", "check the unit"),
        ("--mass '205 mm'", "'205 mm' is not a mass; write it like 54 g"),
        ("--mass '1 g' --mass '2 g'", "two for its halves, not 3"),
        ("--for ''", "the use of a board has 1 to 200 characters"),
        ("--for 'to\u202ep'", "U+202E"),
    ],
)
def test_a_measure_that_makes_no_sense_is_refused(
    bench: Bench, rest: str, why: str
) -> None:
    """Wrong units, no unit, nothing at all."""
    bench.refuses(f"{NUMBER} {rest}", why)


@pytest.mark.parametrize(
    ("lot", "why"),
    [
        ("L26-099", "there is no lot L26-099: receive it first"),
        ("L26-001-04", "is not the code of a lot"),
        ("HTTPS://OTHER.EXAMPLE/L/L26-0010", "type the code alone if it is yours"),
    ],
)
def test_a_board_belongs_to_a_lot_of_this_shop(
    bench: Bench, lot: str, why: str
) -> None:
    """A lot that came in, and no other."""
    bench.refuses(NUMBER.replace("L26-001", lot), why)
