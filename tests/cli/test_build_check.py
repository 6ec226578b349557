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
        *("needed", "ask", "parts", "unchosen", "also", "start"),
    }
    assert told["start"] == {"country": "US", "of_shop": False}
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


GUITAR = """
[model]
instrument = "flat-top guitar"
family = "flat-top"
[[part]]
name = "back"
species = ["Dalbergia latifolia"]
[[part]]
name = "top"
species = ["Picea"]
[[part]]
name = "neck"
species = ["Acer", "Swietenia"]
[[part]]
name = "braces"
species = ["Picea"]
[[part]]
name = "saddle"
species = ["Pinctada"]
[[step]]
name = "brace"
needs = "brace"
uses_up = ["back", "top", "neck", "braces", "saddle"]
"""


def test_wood_that_is_open_for_its_age_alone_goes_in_one_line(bench: Bench) -> None:
    """After what is listed and what must be settled, with the reason once."""
    bench.file("guitar.toml", GUITAR)
    bench.does("model define Guitar --from guitar.toml --by 01")
    way = "--from US --to JP --on 2026-11-30"
    said = bench.does(f"build check Guitar {way}").splitlines()
    told = bench.data(f"build check Guitar {way}")

    assert said[0].endswith(
        "documents needed for 0, 5 to ask about (4 for the age of the tables alone), "
        "1 not needed"
    )
    assert said[1].startswith(
        "  ask        neck: Swietenia spp., allowed by the model: Swietenia humilis is "
        "listed and would need documents; Swietenia macrophylla and"
    )
    assert said[4:7] == [
        "  ask        Picea spp. (top, braces), Acer spp. (neck): no listing found; "
        "open only because the newest source seen is of 2022-11-25, and the lists may "
        "have changed before 2026-11-30",
        "             ask the Management Authority of the United States; the "
        "Management Authority of Japan",
        "             rows picea-not-listed, acer-not-listed: checked in part against "
        "its sources",
    ]
    assert said[7].startswith("  ask        Pinctada spp. (saddle): no listing found;")
    assert "of 2017-04-21" in said[7]
    assert said[-2].startswith("  not needed back: Dalbergia latifolia, allowed")
    assert [bool(part["open_for_age"]) for part in told["parts"]] == [
        *(False, True, True, True, True),
        False,
    ]
    assert {part["answer"] for part in told["parts"]} == {"ask", "not needed"}


def test_what_is_missing_on_paper_is_told_of_old_tables_too(walk: Walk) -> None:
    """Once for each lot, with the parts that it is for."""
    bench = walk.bench
    bench.does(f"build allot {SERIAL} L26-001-01 --part top --by 03")
    said = bench.does(f"build check {SERIAL} --from US --to JP --on 2026-11-30")

    assert "  ask        Picea abies (top): no listing found; open only because" in said
    assert "             row picea-not-listed: checked in part against its" in said
    assert (
        "             missing for L26-001 (top), before it is sold: ask the sawyer for "
        "the invoice" in said
    )


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


def test_where_it_goes_is_always_said(bench: Bench) -> None:
    """Leaving it out is a wrong use."""
    assert bench.run(f"build check {SERIAL} --from US").code == 2


def test_it_starts_in_the_shop_s_own_country(bench: Bench) -> None:
    """Unless --from says another; the first line tells which it was."""
    check = f"build check {SERIAL} --to FR --on 2026-01-20"
    bench.refuses(check, "give --from, or write the shop's own country once into shop/")
    bench.setting(country="US")
    own, said = bench.does(check), bench.does(f"{check} --from GB")

    assert own.startswith(
        f"{SERIAL} (Tidewarden), from the United States, the shop's own country, to "
        f"France, sale, 2026-01-20 (as asked): "
    )
    assert own.splitlines()[1:] == (bench.does(f"{check} --from US").splitlines()[1:])
    assert said.startswith(f"{SERIAL} (Tidewarden), the United Kingdom to France, sale")
    assert bench.data(check)["start"] == {"country": "US", "of_shop": True}
