"""flitchbook trace: from any code to the trees and back."""

import pytest

from tests.cli.bench import SERIAL, Bench


@pytest.mark.parametrize(
    ("code", "first"),
    [
        (SERIAL, f"{SERIAL}  Tidewarden"),
        (f"HTTPS://SKERRYMOOR.EXAMPLE/S/{SERIAL}", f"{SERIAL}  Tidewarden"),
        ("L26-001", "L26-001  Picea abies, grown in IT"),
        ("l26-001-01", f"L26-001-01.A  top of {SERIAL}"),
        ("D26-0001", "D26-0001  delivery note 7/26"),
    ],
)
def test_every_code_can_be_followed(bench: Bench, code: str, first: str) -> None:
    """A serial, a lot, a board and a paper, each with the entry it rests on."""
    said = bench.does(f"trace {code}")

    assert said.startswith(first)
    assert all("(entry " in line for line in said.splitlines())
    line = bench.data(f"trace {code}")["trace"][0]
    assert line.keys() == {"depth", "code", "said", "entry"}


@pytest.mark.parametrize(
    ("code", "why"),
    [
        ("L26-099", "there is no L26-099: it was never recorded"),
        ("26-0001-7", "the check digit of 26-0001-7 is 8, not 7"),
        ("スプルース", "is no code of this shop; write a lot like L26-031"),
        ("''", "is no code of this shop"),
        ("x/y/z", "scan again, or type the code alone"),
        ("HTTPS://OTHER.EXAMPLE/S/26-0001-8", "that label is of other.example"),
    ],
)
def test_what_is_no_code_is_not_followed(bench: Bench, code: str, why: str) -> None:
    """The sentence says how a code looks."""
    bench.refuses(f"trace {code}", why)
