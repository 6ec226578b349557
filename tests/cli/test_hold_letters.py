"""flitchbook hold letters: drafts for those who may know the owners, never sent."""

from pathlib import Path

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

STEM = f"draft-H26-001-{SERIAL}"


@pytest.fixture
def sold(bench: Bench) -> Bench:
    """Give a bench at a shop whose one sold instrument is in doubt."""
    bench.does(f"owner register {SERIAL} 'Amélie Rousset' --by 12")
    bench.does("hold place L26-001 --why 'a letter came' --by 03")
    return bench


def test_a_letter_is_drafted_on_paper_and_as_text(sold: Bench, tmp_path: Path) -> None:
    """Both marked; nothing is recorded."""
    with_before = sold.all_that_is_kept()["shop/ledger.sqlite3"]
    told = sold.data("hold letters H26-001 --out letters --by 01")

    assert told["letters"] == [{"serial": SERIAL, "owner": "Amélie Rousset"}]
    assert sold.all_that_is_kept()["shop/ledger.sqlite3"] == with_before
    folder = tmp_path / "letters"
    text = (folder / f"{STEM}.txt").read_text(encoding="utf-8")
    assert text.startswith("DRAFT, NOT SENT")
    assert "To: Amélie Rousset" in text and "board L26-001-01.A (entry" in text
    drawn = reading.text((folder / f"{STEM}.pdf").read_bytes())
    assert "Draft, not sent" in drawn and "Amélie Rousset" in drawn


def test_who_may_not_know_the_owners_gets_no_letters(sold: Bench) -> None:
    """The office's names open with an office person's PIN."""
    sold.refuses(
        "hold letters H26-001 --out letters --by 03", "does not open the office"
    )


def test_an_instrument_without_an_owner_is_named_and_gets_none(bench: Bench) -> None:
    """No folder is made for nothing."""
    bench.does("hold place L26-001 --why 'a letter came' --by 03")
    told = bench.does("hold letters H26-001 --out letters --by 01")

    assert told.splitlines() == [
        "H26-001: 0 letters drafted, none sent.",
        f"  {SERIAL}: no owner known",
    ]
    assert not (bench.folder / "letters").exists()


def test_drafts_go_into_a_new_folder_and_about_a_hold_that_stands(sold: Bench) -> None:
    """Nothing is written over."""
    (sold.folder / "letters").mkdir()
    sold.file("letters/old.txt", "keep me")
    sold.refuses("hold letters H26-001 --out letters --by 01", "is not empty")
    sold.does("hold lift H26-001 --why 'all is well' --by 01")
    sold.refuses("hold letters H26-001 --out other --by 01", "was lifted by entry")
