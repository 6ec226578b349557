"""flitchbook build check: warnings first, and never a gate."""

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.cli.rounds import Walk

BRAZIL = "Dalbergia nigra"
ABROAD = "--from US --to FR --on 2026-01-20"


def test_the_warning_comes_first_and_is_no_refusal(walk: Walk) -> None:
    """With its papers, what is missing, and what could be taken instead."""
    bench = walk.bench
    bench.does(
        f"lot receive --species '{BRAZIL}' --boards 1 --harvested-in BR "
        f"--supplier Ferrante --by 02"
    )
    bench.does(
        "board number L26-004 --by 02 --for neck --length '810 mm' --width '95 mm' "
        "--thickness '24 mm' --mass '1.6 kg' --as-read"
    )
    bench.does(f"build allot {SERIAL} L26-004-01 --part neck --by 03")
    said = bench.does(f"build check {SERIAL} {ABROAD}").splitlines()

    assert said[0] == (
        f"{SERIAL} (Tidewarden), the United States to France, sale, 2026-01-20 (as "
        f"asked): documents needed for 1, 0 to ask about, 0 not needed"
    )
    assert said[1].startswith(
        "  needed     neck: Dalbergia nigra, L26-004-01 of L26-004 from BR, allotted, "
        "not weighed yet, at most 1600\u2009g as the whole board: "
    )
    assert any(line.strip().startswith("re-export certificate") for line in said)
    assert any("row dalbergia-nigra: checked against its sources" in x for x in said)
    assert any("missing, before it is sold: ask the sawyer" in line for line in said)
    assert (
        "             instead, ready in the rack: L26-002-01 (Swietenia macrophylla, "
        "not needed)" in said
    )
    assert "  no wood is chosen or named for: top" in said
    assert said[-1].endswith("ask the office named here before anything moves.")


def test_a_program_is_told_the_same(bench: Bench) -> None:
    """With stable keys, and each part's own answer."""
    told = bench.data(f"build check {SERIAL} {ABROAD}")

    assert told.keys() == {
        *("of", "model", "legs", "purpose", "day", "why_day"),
        *("needed", "ask", "parts", "unchosen", "also"),
    }
    assert (told["of"], told["legs"], told["day"]) == (
        SERIAL,
        ["US", "FR"],
        "2026-01-20",
    )
    top, neck = told["parts"]
    assert (top["part"], top["boards"]) == ("top", ["L26-001-01.A", "L26-001-01.B"])
    assert (neck["mass_mg"], neck["weighed"], neck["answer"]) == (
        611_000,
        True,
        "not needed",
    )
    assert neck["determination"]["row"] == "picea-not-listed"
    assert neck["missing"][0]["kind"] == "purchase"


def test_a_model_is_told_by_the_woods_it_allows(bench: Bench) -> None:
    """One that names none has nothing to say, and says so."""
    said = bench.does(f"build check Tidewarden {ABROAD}").splitlines()

    assert said[0].startswith(
        "Tidewarden, the United States to France, sale, 2026-01-20"
    )
    assert "  no wood is chosen or named for: top, neck" in said
    assert "  nothing can be said: choose wood, or name species in the model" in said


def test_a_scan_is_read(bench: Bench) -> None:
    """As every other command does."""
    scan = f"HTTPS://SKERRYMOOR.EXAMPLE/S/{SERIAL}"

    assert bench.does(f"build check {scan} {ABROAD}").startswith(
        f"{SERIAL} (Tidewarden)"
    )


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        (
            f"{SERIAL} --from US --to 紫国",
            "is no country: write two letters such as JP",
        ),
        (f"{SERIAL} --from Nowhere --to FR", "'Nowhere' is no country"),
        (f"{SERIAL} --from US --to FR --for fun", "'fun' is no purpose: say sale"),
        (f"{SERIAL} --from US --to FR --on gestern", "is no day such as"),
        (f"26-0001-7 {ABROAD}", "the check digit of 26-0001-7 is 8, not 7"),
        (f"26-0009-1 {ABROAD}", "there is no instrument 26-0009-1"),
        (f"ギター {ABROAD}", "there is no model ギター: set it down"),
        (f"L26-001-01 {ABROAD}", "L26-001-01 is a board: give a serial or a model"),
        (f"HTTPS://OTHER.EXAMPLE/S/26-0001-8 {ABROAD}", "is of other.example"),
    ],
)
def test_what_cannot_be_asked_is_refused(bench: Bench, typed: str, why: str) -> None:
    """In one sentence that says what to do."""
    bench.refuses(f"build check {typed}", why)


@pytest.mark.parametrize("left_out", ["--from US", "--to FR"])
def test_both_countries_are_named(bench: Bench, left_out: str) -> None:
    """No setting says where the shop is; leaving one out is a wrong use."""
    assert bench.run(f"build check {SERIAL} {left_out}").code == 2
