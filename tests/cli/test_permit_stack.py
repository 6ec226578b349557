"""flitchbook document stack, lot stack: what came in, who drew of it, what is left."""

from pathlib import Path

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

PERMITS = "document permits D26-0001 --by 12"
NUMBER = (
    "board number L26-001 --for top --length '559 mm' --width '203 mm' "
    "--thickness '8 mm' --mass '400 g' --by 02"
)


def add_up(told: dict[str, object]) -> bool:
    """Tell whether what came in is all accounted for, to the milligram."""
    shares: list[dict[str, object]] = told["shares"]  # type: ignore[assignment]  # JSON
    drawn = sum(int(str(each["mass_mg"])) for each in shares if each["kind"] != "open")
    return int(str(told["left_mg"])) + drawn == told["came_mg"]


def test_a_lot_is_told_and_drawn(bench: Bench) -> None:
    """Who drew how much, what is left, and what has no number yet."""
    bench.does(NUMBER)
    said = bench.does("lot stack L26-001 --out stack.pdf").replace("\u2009", " ")
    page = reading.text(Path("stack.pdf").read_bytes()).replace("\u2009", " ")
    told = bench.data("lot stack L26-001")

    assert "0.400 kg  1 board" in said and "picture: stack.pdf" in said
    assert SERIAL in page and "0.400 kg left" in page
    assert told["left"] == {"L26-001-02": 400_000} and add_up(told)
    assert [each["name"] for each in told["shares"]] == [SERIAL]
    assert told["without_number"] and told["issued_mg"] is None


def test_what_is_kept_is_no_longer_left(bench: Bench) -> None:
    """Wood that is reserved is hatched, and told with for whom."""
    bench.does(NUMBER)
    before = bench.data("lot stack L26-001")["left_mg"]
    serial = bench.data("build begin Tidewarden --by 01")["serial"]
    bench.does(
        f"board reserve L26-001-02 --for {serial} --part top --until 2026-02-01 --by 01"
    )
    told = bench.data("lot stack L26-001")

    assert (before, told["left_mg"]) == (400_000, 0) and add_up(told)
    assert {"kind": "kept", "name": f"for {serial}", "mass_mg": 400_000} in told[
        "shares"
    ]


def test_a_paper_is_drawn_with_what_it_was_issued_for(bench: Bench) -> None:
    """What may still come in lies on top; of too much the title says so."""
    bench.does(f"{PERMITS} --line 'Picea abies=40 kg'")
    told = bench.data("document stack D26-0001")
    said = bench.does("document stack D26-0001 --out stack.png")

    assert told["issued_mg"] == 40_000_000 and told["lots"] == ["L26-001"]
    still = {each["name"]: each["mass_mg"] for each in told["shares"]}
    assert still["not come in, or not weighed yet"] == 40_000_000 - told["came_mg"]
    assert "not come in, or not weighed yet" in said and Path("stack.png").exists()


def test_an_over_drawn_paper_says_so(bench: Bench) -> None:
    """In the title, for that is what was found."""
    bench.does(f"{PERMITS} --line 'Picea abies=0.4 kg'")
    said = bench.does("document stack D26-0001")

    assert said.startswith("Delivery note 7/26 is over-drawn by ")
    assert "not come in" not in said


def test_a_paper_in_another_unit_says_so(bench: Bench) -> None:
    """A stack is of kilograms, and pieces are told elsewhere."""
    bench.does(f"{PERMITS} --line 'Picea abies=24 pieces'")
    said = bench.does("document stack D26-0001")

    assert "issued in another unit than kilograms; L26-001" in said
    assert bench.data("document stack D26-0001")["issued_mg"] is None


def test_of_several_lines_one_is_asked_for(bench: Bench) -> None:
    """A stack is of one wood, and the refusal names those there are."""
    bench.does(f"{PERMITS} --line 'Picea abies=40 kg' --line 'Cedrela=1 kg'")
    bench.refuses("document stack D26-0001", "each of Picea abies, Cedrela: say with")
    told = bench.data("document stack D26-0001 --species 'cedrela'")

    assert (told["issued_mg"], told["lots"]) == (1_000_000, [])
    bench.refuses(
        "document stack D26-0001 --species Acer", "no line in kilograms for Acer"
    )


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("lot stack L26-099", "there is no lot L26-099"),
        ("document stack D26-0099", "there is no document D26-0099"),
        ("lot stack L26-001 --out stack.bmp", "ends in neither .pdf nor .png"),
    ],
)
def test_what_cannot_be_told_is_refused(bench: Bench, command: str, why: str) -> None:
    """Nothing is written then."""
    bench.refuses(command, why)
