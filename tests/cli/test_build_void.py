"""flitchbook build void and misstamped: numbers that lead on, or nowhere."""

from tests.cli.bench import SERIAL, Bench

NEXT = "26-0002-6"
WRONG = "26-0010-3"
STAMP = f"build misstamped {WRONG} {SERIAL} --why 'wrong wheel' --by 01"


def test_a_void_build_frees_its_wood_and_keeps_its_number(bench: Bench) -> None:
    """The next instrument has the next number."""
    for command in (
        "build begin Tidewarden --by 01",
        "board number L26-001 --by 02 --for top --length '559 mm' --width '203 mm' "
        "--thickness '4.2 mm' --mass '205 g'",
        f"build allot {NEXT} L26-001-02 --part top --by 03",
    ):
        bench.does(command)
    said = bench.does(f"build void {NEXT} --why 'the block split' --by 01")

    assert f"{NEXT} is void by entry" in said
    assert "Free again: L26-001-02.\n" in said
    bench.refuses(f"build void {NEXT} --why again --by 01", f"{NEXT} is void, by entry")
    assert bench.data("build begin Tidewarden --by 01")["serial"] == "26-0003-4"
    bench.refuses(
        f"build void {SERIAL} --why 'no' --by 01", "has its certificate C-2026-00001"
    )
    bench.refuses("build void 26-0003-4 --why 'no' --by 03", "lead")


def test_a_wrong_stamp_leads_on_wherever_it_is_scanned(bench: Bench) -> None:
    """Show, trace, sign: each names the true number, and nothing is done."""
    told = bench.data(STAMP)
    led = f"{WRONG} was stamped by mistake and is void, by entry {told['entry']}: the"

    for command in (
        f"build show {WRONG}",
        f"build show S/{WRONG}",
        f"trace {WRONG}",
        f"instrument history {WRONG}",
        f"build sign {WRONG} brace --by 03",
        STAMP,
    ):
        bench.refuses(command, f"{led} instrument is {SERIAL}")
    bench.refuses("build show 26-0011-3", "the check digit of 26-0011-3 is 4, not 3")
    assert led in bench.does(f"record claims {WRONG}")


def test_a_number_of_another_instrument_is_no_wrong_stamp(bench: Bench) -> None:
    """It is that one's, whatever stands on this one."""
    bench.does("build begin Tidewarden --by 01")
    bench.refuses(
        f"build misstamped {NEXT} {SERIAL} --why 'wrong wheel' --by 01",
        f"{NEXT} is the number of another instrument, a Tidewarden",
    )
