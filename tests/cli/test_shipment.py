"""flitchbook shipment: planned, looked ahead, and put on paper."""

from json import loads
from types import SimpleNamespace

import pytest

from cli.shipment_lines import change_line
from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

ABROAD = "--from GB --to FR --for sale --on 2026-11-23"
PLAN = f"shipment plan {SERIAL} --by 12 --from GB"


def test_a_shipment_is_planned_and_put_on_paper(bench: Bench) -> None:
    """What must be asked comes first, and the paper says what it is."""
    said = bench.does(f"shipment plan {SERIAL} {ABROAD} --by 12")

    assert said.startswith("Shipment X26-0001: 1 to ask about, ")
    assert "Picea abies (top, neck)" in said
    assert "not a permit" in said and "Tables compiled 20" in said
    drawn = bench.run(
        "shipment papers X26-0001 --out list.pdf --recipient 'Amélie Rousset' --by 12"
    )
    assert drawn.code == 0 and "printed at level Q" in drawn.err
    assert drawn.out.startswith("list.pdf: the materials list of X26-0001, print 1.")
    text = reading.text((bench.folder / "list.pdf").read_bytes(), 0)
    assert "Not a permit." in text and "Amélie Rousset" in text
    assert "X26-0001" in text and "Picea abies" in text
    bench.refuses("shipment papers X26-0001 --out list.pdf --by 12", "is there already")
    again = bench.run("shipment papers X26-0001 --out again.pdf --on Letter --by 12")
    assert "print 2" in again.out


def test_it_starts_in_the_shop_s_own_country(bench: Bench) -> None:
    """Unless --from says another; the plan's legs say which it was, for good."""
    plan = f"shipment plan {SERIAL} --to FR --for sale --on 2026-11-23"
    bench.refuses(f"{plan} --by 12", "nothing says where it starts: give --from, or")
    bench.setting(country="CA")
    own = bench.does(f"{plan} --by 12").splitlines()
    told = bench.data(f"{plan} --from GB --by 12")
    said = bench.does(f"{plan} --from GB --look-ahead")

    assert own[1] == "  It sets out from Canada, the shop's own country."
    assert told["start"] == {"country": "GB", "of_shop": False}
    assert "sets out" not in said and "Canada" not in said
    bench.setting(country="US")
    drawn = bench.run("shipment papers X26-0001 --out list.pdf --by 12")
    assert drawn.code == 0, drawn.err
    assert "Canada (CA)" in reading.text((bench.folder / "list.pdf").read_bytes(), 0)
    ahead = bench.data(f"{plan} --look-ahead")
    assert ahead["start"] == {"country": "US", "of_shop": True}


def test_a_set_is_sent_as_its_two_halves(bench: Bench) -> None:
    """Whoever names the set means both."""
    bench.does(
        "board number L26-001 --for top --length 559mm --width 203mm --thickness 4.2mm "
        "--mass 205g --mass 207g --by 02"
    )
    told = bench.data(f"shipment plan L26-001-02 {ABROAD} --look-ahead")

    assert [row["mass_mg"] for row in told["rows"]] == [412_000]


def test_looking_ahead_needs_nobody_s_key(bench: Bench) -> None:
    """Nothing is recorded, so nobody signs."""
    size = bench.data("shop show")["size"]
    told = bench.data(f"shipment plan {SERIAL} {ABROAD} --look-ahead")
    known = {"origin": "IT", "may_be_from": [], "acquired": "2026-01-05"}

    assert told["shipment"] is None and told["answer"] in {"ask", "not needed"}
    assert told["totals"]["species"] == 1
    assert {"answer", "mass_mg", "row", "source", "why"} <= told["rows"][0].keys()
    assert told["rows"][0]["confidence"] == "partly verified"
    assert told["rows"][0]["lots"] == [
        {"lot": "L26-001", "mass_mg": 190_500} | known,
        {"lot": "L26-002", "mass_mg": 611_000} | known,
    ]
    assert len(told["tables_sha256"]) == 64
    assert bench.data("shop show")["size"] == size


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"shipment plan L26-001 {ABROAD} --by 12", "L26-001 is a lot"),
        (f"shipment plan 26-0002-9 {ABROAD} --by 12", "check"),
        (
            f"shipment plan {SERIAL} --from GB --to 日本 --for sale --by 12",
            "no country",
        ),
        (f"{PLAN} --to FR --for fun", "is no purpose"),
        (
            f"{PLAN} --to US --for sale --hts-number abc",
            "'abc' is no number of the US tariff",
        ),
        (
            f"{PLAN} --to US --for sale --hts-number 92.02 --look-ahead",
            "4, 6, 8 or 10 digits",
        ),
        (f"shipment plan {SERIAL} {ABROAD} --by 03", "papers"),
        ("shipment papers X26-0009 --out x.pdf --by 12", "there is no shipment"),
        ("shipment papers L26-001 --out x.pdf --by 12", "X26-0001"),
    ],
)
def test_what_is_no_shipment_is_refused(bench: Bench, command: str, why: str) -> None:
    """In one sentence, exit code 1, and no file is left."""
    bench.refuses(command, why)

    assert not (bench.folder / "x.pdf").exists()


def test_what_other_laws_ask_is_counted_with_its_papers(bench: Bench) -> None:
    """Under the first line, which counts the lists of CITES alone."""
    said = bench.does(f"{PLAN} --to US --for sale --on 2026-11-23 --hts-number 9202")

    assert "  Beside CITES: 0 to ask about, documents needed for 1." in said
    assert "Lacey Act declaration (PPQ 505), from the importer, to USDA-APHIS" in said
    assert "ask USDA-APHIS, or a customs broker" in said
    assert "ask the Management Authority of the United Kingdom; the Management" in said
    assert "row picea-not-listed: checked in part against its sources" in said


def test_old_and_new_wood_of_a_listed_species_are_two_lines(bench: Bench) -> None:
    """Each with its lot, its origin and its day, where they are known."""
    rosewood = "lot receive --species 'Dalbergia latifolia' --boards 1 --by 02"
    size = "--length 559mm --width 203mm --thickness 12mm --mass 985g"
    bench.does(f"{rosewood} --received 2010-08-07 --opening --evidence invoice")
    bench.does(f"{rosewood} --supplier ferrante --harvested-in IN")
    for lot in ("L26-003", "L26-004"):
        bench.does(f"board number {lot} --for back {size} --by 02")
    said = bench.does(f"shipment plan L26-003-01 L26-004-01 {ABROAD} --by 12")

    assert "of: 985\u2009g of L26-003, of no known origin, acquired 2010-" in said
    assert "of: 985\u2009g of L26-004, from IN, acquired 2026-01-05" in said


def test_a_lot_of_one_of_several_countries_is_judged_as_of_the_worst(
    bench: Bench,
) -> None:
    """Macassar ebony that may be of Madagascar, where ebony is listed."""
    ebony = "lot receive --species 'Diospyros celebica' --boards 1 --by 02"
    size = "--length 559mm --width 203mm --thickness 12mm --mass 1500g"
    bench.does(f"{ebony} --supplier ferrante")
    bench.does(f"board number L26-003 --for back {size} --by 02")
    ahead = f"shipment plan L26-003-01 {ABROAD} --look-ahead"
    assert "  ask        Diospyros celebica" in bench.does(ahead)
    bench.does("lot harvest L26-003 ID MG --why 'the sawyer, by telephone' --by 02")
    said = bench.does(ahead)

    assert "  needed     Diospyros celebica" in said
    assert "if it is of Madagascar (MG), and it may also be of Indonesia (ID)" in said
    assert "L26-003, of Indonesia (ID) or Madagascar (MG), nobody knows which" in said


def test_a_program_is_told_what_changed_since_planning(bench: Bench) -> None:
    """As a list to a program; nothing changed within a minute."""
    bench.does(f"shipment plan {SERIAL} {ABROAD} --by 12")
    drawn = bench.run("shipment papers X26-0001 --out one.pdf --by 12 --json")

    assert loads(drawn.out)["changes"] == []


def test_a_change_is_one_sentence() -> None:
    """And nothing is said where nothing changed."""
    changes = ("Picea abies, sawn wood: ask then, needed now",)
    changed = SimpleNamespace(number="X26-0001", changes=changes)

    assert change_line(changed) == [
        "Changed since X26-0001 was planned: Picea abies, sawn wood: ask then, "
        "needed now."
    ]
    assert change_line(SimpleNamespace(number="X26-0001", changes=())) == []
