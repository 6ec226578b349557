"""flitchbook shipment: planned, looked ahead, and put on paper."""

import pytest

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


def test_looking_ahead_needs_nobody_s_key(bench: Bench) -> None:
    """Nothing is recorded, so nobody signs."""
    size = bench.data("shop show")["size"]
    told = bench.data(f"shipment plan {SERIAL} {ABROAD} --look-ahead")

    assert told["shipment"] is None and told["answer"] in {"ask", "not needed"}
    assert told["totals"]["species"] == 1
    assert {"answer", "mass_mg", "row", "source", "why"} <= told["rows"][0].keys()
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
        (f"shipment plan {SERIAL} {ABROAD} --by 03", "papers"),
        ("shipment papers X26-0009 --out x.pdf --by 12", "there is no shipment"),
        ("shipment papers L26-001 --out x.pdf --by 12", "X26-0001"),
    ],
)
def test_what_is_no_shipment_is_refused(bench: Bench, command: str, why: str) -> None:
    """In one sentence, exit code 1, and no file is left."""
    bench.refuses(command, why)

    assert not (bench.folder / "x.pdf").exists()
