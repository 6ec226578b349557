"""flitchbook certificate withdraw and status, and what a stranger is told by them."""

import json
import shutil

import pytest

from tests.cli.bench import SERIAL, Bench

NUMBER = "C-2026-00001"
CHECK = "certificate check first.pdf --keys keys.json"


@pytest.fixture
def sold(bench: Bench) -> Bench:
    """Give an instrument whose certificate is on paper, and the shop's keys file."""
    bench.run(f"certificate print {NUMBER} --out first.pdf --no-photographs --by 01")
    bench.does("shop keys --root sticks/root-1.json --root sticks/root-2.json")
    shutil.copy("shop/published/keys-0001.json", "keys.json")
    return bench


def test_a_stranger_is_told_what_the_list_says(sold: Bench) -> None:
    """Nothing, then that it was withdrawn: true, and the command fails."""
    assert "status: no list of the shop's was opened" in sold.does(CHECK)
    told = sold.data("certificate status --out first.json --by 01")
    number = told["size"]
    assert (told["number"], told["certificates"]) == (number, {})
    said = sold.does(f"{CHECK} --status first.json")
    assert f"nothing is said against it in status list {number} of 2026-01-05" in said

    sold.does(f"certificate withdraw {NUMBER} --why 'a wrong mass' --by 01")
    listed = sold.does("certificate status --out second.json --by 01")
    assert "1 withdrawn, up to entry" in listed
    found = sold.run(f"{CHECK} --status second.json")
    assert found.code == 1
    assert found.out.startswith("YES, BUT\n  withdrawn by the shop: ask it why\n")
    assert "The record says:" in found.out
    data = json.loads(sold.run(f"{CHECK} --status second.json --json").out)
    assert data["answer"] == "YES, BUT"
    assert data["facts"]["serial"] == SERIAL
    assert data["status"]["states"] == ["withdrawn"]
    assert data["status"]["number"] == data["status"]["size"] > number
    older = sold.run(f"{CHECK} --status first.json")
    assert (older.code, older.out.partition("\n")[0]) == (1, "CANNOT TELL")
    assert f"is older than status list {data['status']['number']}, which" in older.out


def test_a_list_that_is_named_and_does_not_hold_is_no_yes(sold: Bench) -> None:
    """Whoever names one relies on it; of another paper than a certificate too."""
    sold.does("certificate status --out list.json --by 01")
    text = (sold.folder / "list.json").read_text(encoding="utf-8")
    sold.file("altered.json", text.replace('"issued":"2026', '"issued":"2025'))
    found = sold.run(f"{CHECK} --status altered.json")
    assert found.code == 1
    assert found.out.startswith("CANNOT TELL\n  the status list does not hold: key ")
    assert found.out.count("nothing is known from it") == 1
    assert "The record says:" in found.out
    assert sold.does(f"{CHECK} --status list.json").startswith("YES\n")


def test_what_was_withdrawn_is_told_wherever_it_is_shown(sold: Bench) -> None:
    """And drawn nowhere; another one is issued."""
    told = sold.data(f"certificate withdraw {NUMBER} --reason 'mass' --by 01")
    entry = told["entry"]
    assert f"withdrawn by entry {entry}" in sold.does(f"certificate show {NUMBER}")
    assert f"withdrawn by entry {entry}" in sold.does(f"certificate since {NUMBER}")
    assert f"withdrawn by entry {entry}" in sold.does(f"{CHECK} --shop shop")
    assert sold.data(f"certificate since {NUMBER}")["withdrawn_by"] == entry
    for draw in ("certificate print", "certificate insurer", "label card"):
        sold.refuses(f"{draw} {NUMBER} --out no.pdf --by 01", "was withdrawn by entry")
    issued = sold.run(f"certificate issue {SERIAL} --out next.pdf --by 01")
    assert issued.out.startswith("C-2026-00002: next.pdf")


def test_a_list_is_signed_by_a_lead_and_written_over_nothing(sold: Bench) -> None:
    """No file stays of one that was refused."""
    sold.refuses("certificate status --by 12", "only a lead signs cards")
    sold.refuses("certificate status --next 2026-01-01 --by 01", "is not replaced on")
    sold.file("mine.json", "{}")
    sold.refuses("certificate status --out mine.json --by 01", "mine.json")
    sold.refuses(f"certificate withdraw {NUMBER} --why x --by 12", "is for a lead")
