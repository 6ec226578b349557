"""flitchbook board find, identify, unknown, and label replace: wood without a label."""

import pytest

from tests.cli.bench import Bench

SIZES = "--length '559 mm' --width '203 mm' --thickness '4.2 mm' --mass '205 g'"


@pytest.fixture
def spare(bench: Bench) -> Bench:
    """Give a bench with one more set of tops."""
    bench.does(
        f"board number L26-001 --by 02 --for top {SIZES} --mass '260 g' --as-read"
    )
    return bench


def test_what_was_found_is_told_by_its_measures(spare: Bench) -> None:
    """The board in the instrument is told as such."""
    said = spare.does(f"board find {SIZES} --species spruce")

    assert "L26-001-02.A  likely: it measures the same" in said
    assert "the top of 26-0001-8" in said
    data = spare.data(f"board find {SIZES}")
    assert data["candidates"][0]["apart_milli"]["mass_mg"] == 0
    spare.refuses(
        f"board find {SIZES} --species maple --place loft",
        "no board of 'maple' that lay at 'loft' on record is 559",
    )
    spare.refuses("board find --length '' --width 2mm", "'' is not a length")
    spare.refuses("board find --mass '205 g'", "one measure alone tells no board")


def test_a_board_is_identified_and_labelled_again(spare: Bench) -> None:
    """The label says which replacement it is, and the old one is refused."""
    said = spare.does(
        f"board identify L26-001-02.A {SIZES} --why 'the grain is its' --by 03"
    )
    assert "identified by measurement, confidence: likely" in said
    assert "marked replacement 1: flitchbook label board L26-001-02.A" in said

    spare.run("label board L26-001-02.A --out label.pdf --by 02")
    spare.refuses(
        "board weigh HTTPS://SKERRYMOOR.EXAMPLE/B/L26-001-02.AL '205 g' --by 02",
        "this label of L26-001-02.A was replaced by number 1 on 2026-01-05",
    )
    spare.does(
        "board weigh HTTPS://SKERRYMOOR.EXAMPLE/B/L26-001-02.AL/1 '205 g' --by 02"
    )
    trace = spare.does("trace L26-001-02.A")
    assert "identified by measurement, confidence: likely; 2 more" in trace
    assert '"the grain is its"' in trace


def test_a_label_is_replaced_with_a_reason(spare: Bench) -> None:
    """Each time by the next number."""
    for number in (1, 2):
        data = spare.data("label replace L26-001-02.A --why torn --by 02")
        assert data["label"] == number
    spare.refuses("label replace L26-001-02 --why torn --by 02", "scan the half")


def test_wood_of_unknown_origin_gets_a_code(spare: Bench) -> None:
    """And goes into no instrument."""
    said = spare.does(f"board unknown {SIZES} --place 'shelf J' --by 02")

    assert "origin unknown, for a jig; it goes into no instrument." in said
    code = said.partition(":")[0]
    spare.does("build begin Tidewarden --by 01")
    spare.refuses(f"build allot 26-0002-6 {code} --part top --by 03", "for jigs only")
