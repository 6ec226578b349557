"""flitchbook trace: from any code to the trees and back."""

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.cli.rounds import Walk

NUMBER = (
    "board number L26-002 --by 02 --for neck --length '810 mm' --width '95 mm' "
    "--thickness '24 mm' --mass '820 g'"
)


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
    assert line.keys() == {
        *("depth", "code", "said", "entry"),
        *("reason", "reason_erased", "disputed_since"),
    }


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


def test_an_override_says_why(walk: Walk) -> None:
    """In the lead's own words, on the line that names the override."""
    why = "for the fair; he kept it three years in the dry"
    walk.bench.does(f"board override L26-003-01.A {SERIAL} --by 01 --why '{why}'")
    walk.bench.does(f"build allot {SERIAL} L26-003-01.A --part top --by 03")
    said = walk.bench.does(f"trace {SERIAL}").splitlines()
    told = walk.bench.data(f"trace {SERIAL}")["trace"]

    assert [line for line in said if f': "{why}"  (entry ' in line] == [said[2]]
    assert (
        said[2]
        .lstrip()
        .startswith(f"override  let through for {SERIAL} before it was ready")
    )
    assert [line["reason"] for line in told[:4]] == [None, None, why, None]


def test_a_struck_number_says_why_until_the_reason_is_erased(bench: Bench) -> None:
    """It goes with the person who gave it; the entry stays."""
    bench.does(NUMBER)
    index = bench.data("trace L26-002-02")["trace"][0]["entry"]
    struck = bench.data(f"record correct {index} --by 02 --why 'counted twice'")
    before = bench.does("trace L26-002-02").splitlines()[0]
    listed = bench.does("lot show L26-002").splitlines()[-1]
    bench.does("person erase 02 --by 12 --approve 01")
    after = bench.does("trace L26-002-02").splitlines()[0]
    line = bench.data("trace L26-002-02")["trace"][0]

    words, entry = "its number was struck", f"  (entry {struck['entry']})"
    assert before == f'L26-002-02  neck, {words}: "counted twice"{entry}'
    assert " ".join(listed.split()) == (
        f'L26-002-02 {words}: "counted twice" {entry.strip()}'
    )
    assert after == f"L26-002-02  neck, {words}: a reason that was erased{entry}"
    assert (line["reason"], line["reason_erased"]) == (None, True)
    gone = {"board": "L26-002-02", "entry": struck["entry"], "reason": None}
    assert bench.data("lot show L26-002")["struck"] == [gone]


def test_a_saw_s_reason_stands_with_the_board_and_not_with_its_pieces(
    bench: Bench,
) -> None:
    """One entry ended the one and gave the other its number."""
    bench.does(NUMBER)
    bench.does("board split L26-002-02 --by 03 --piece 'a=54 g' --why 'it fell'")
    first, *rest = bench.does("trace L26-002-02").splitlines()

    assert 'made into pieces: "it fell"' in first
    assert any("L26-002-02.C1  a" in line for line in rest)
    assert not any("it fell" in line for line in rest)
