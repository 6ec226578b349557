"""flitchbook shop: the card key reported, and a new key for the log."""

import json

from tests.cli.bench import Bench

ROOTS = "--root sticks/root-1.json --root sticks/root-2.json"


def test_a_card_key_is_reported_and_made_anew(bench: Bench) -> None:
    """The answer tells which certificates came since, and what counts instead."""
    command = "shop compromised-card-key --since 2026-01-05"
    bench.refuses(f"{command} --by 12 --approve 01", "had no card key that counted")
    issued = bench.data("certificate since C-2026-00001")["entry"]
    said = bench.does(
        f"shop compromised-card-key --since {issued} --by 12 --approve 01"
    )

    assert "no card of it proves anything any more" in said
    assert "Certificates since then: C-2026-00001." in said
    assert "Make a new one: flitchbook shop renew-card-key." in said
    bench.does(f"shop renew-card-key --by 01 {ROOTS}")
    assert bench.data("record audit")["findings"] == []


def test_the_log_gets_a_new_key_by_the_roots(bench: Bench) -> None:
    """Refused without them, and nothing is left behind."""
    bench.refuses("shop replace-log-key --by 01", "approved by 0 of 2 roots")
    bench.does("record checkpoint")
    told = bench.data(f"shop replace-log-key --by 01 {ROOTS}")

    assert told["cosigned"] is True
    assert told["checkpoint"].splitlines()[1] == str(told["entry"] + 1)
    assert bench.does("record checkpoint").startswith(told["checkpoint"].rstrip())
    again = bench.does(f"shop replace-log-key --by 01 {ROOTS}")
    assert "the old key has signed its first head too" in again
    assert bench.data("record audit")["findings"] == []
    bench.does(f"shop keys {ROOTS}")


def test_a_stolen_root_is_changed_and_then_reported(bench: Bench) -> None:
    """What it approved is told, and the roots of today affirm it."""
    bench.file("pins", (bench.folder / "pins").read_text() + "root-4 phrase 4\n")
    bench.does(f"person appoint 03 lead --by 12 {ROOTS}")
    stick = (bench.folder / "sticks/root-2.json").read_text(encoding="utf-8")
    key = json.loads(stick)["id"]
    report = f"shop compromised-root {key} --since 1 --by 12"
    bench.refuses(f"{report} {ROOTS}", "is not reported but changed")
    bench.does(
        "shop change-roots --by 12 --new-root sticks/root-4.json --threshold 2 "
        "--keep sticks/root-1.json --keep sticks/root-3.json"
    )
    today = "--root sticks/root-1.json --root sticks/root-4.json"
    bench.refuses(f"{report} --approve 01", "approved by 0 of 2 roots")
    told = bench.data(f"{report} {today}")
    entries = " ".join(str(each["entry"]) for each in told["disputed"])
    bench.refuses(f"record affirm {entries} --by 01 --approve 12", "of 2 roots")
    bench.does(f"record affirm {entries} --by 01 {today}")

    assert {each["way"] for each in told["disputed"]} == {"approved"}
    assert bench.data("record audit")["findings"] == []
