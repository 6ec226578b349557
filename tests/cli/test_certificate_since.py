"""flitchbook certificate show, since and check with the shop: which one is newest."""

import shutil
from pathlib import Path

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.cli.onward import onward

FIRST, NEXT = "C-2026-00001", "C-2026-00002"


@pytest.fixture
def renewed(bench: Bench, kept: Path) -> Bench:
    """Give an instrument that was serviced and has two certificates, both on paper."""
    return onward(bench, kept / "renewed", _renew)


def _renew(bench: Bench) -> None:
    bench.run(f"certificate print {FIRST} --out first.pdf --by 01")
    bench.does(f"instrument service {SERIAL} 'neck reset' --by 12")
    bench.run(f"certificate issue {SERIAL} --out next.pdf --by 01")
    bench.does("shop keys --root sticks/root-1.json --root sticks/root-2.json")
    shutil.copy("shop/published/keys-0001.json", "keys.json")


def test_both_are_shown_in_order(renewed: Bench) -> None:
    """The older one names the newer, and stays."""
    said = renewed.does(f"certificate show {FIRST}")
    told = renewed.data(f"certificate show {SERIAL}")["certificates"]

    assert [row["number"] for row in told] == [FIRST, NEXT]
    assert [row["superseded_by"] for row in told] == [NEXT, None]
    assert f"drawn 1 time, superseded by {NEXT}" in said
    renewed.refuses("certificate show 26-0002-6", "there is no certificate 26-0002-6")
    renewed.refuses(
        "certificate show 26-0001-7", "check digit of 26-0001-7 is 8, not 7"
    )


def test_a_check_with_the_shop_says_which_is_newest(renewed: Bench) -> None:
    """Without it both are true; with it the older one is told as superseded."""
    old = renewed.does("certificate check first.pdf --keys keys.json")
    told = renewed.does("certificate check first.pdf --keys keys.json --shop shop")
    data = renewed.data("certificate check first.pdf --keys keys.json --shop shop")
    new = renewed.data("certificate check next.pdf --keys keys.json --shop shop")

    assert "superseded by" not in old
    assert old.startswith("YES") and told.startswith("YES")
    assert f"superseded by {NEXT}, issued 2026-01-05; {FIRST} stays true" in told
    assert (data["superseded_by"], new["superseded_by"]) == (NEXT, None)
    assert "superseded_by" not in renewed.data(
        "certificate check first.pdf --keys keys.json"
    )


def test_a_record_that_ends_before_it_says_so(
    renewed: Bench, certified_folder: Path
) -> None:
    """An old copy of the shop is no answer, and says why.

    Whoever worked with the newer one is warned as well.
    """
    shutil.copytree(certified_folder, "old")
    check = "certificate check next.pdf --keys keys.json --shop old/shop"
    renewed.does("shop show")
    warned = renewed.run(check)
    renewed.patch.setenv("FLITCHBOOK_STATE", "another-account")

    assert warned.code == 1 and warned.err.startswith("WARNING: this ledger ends at ")
    renewed.refuses(
        check,
        f"the record in old/shop ends before {NEXT}: give the shop's newest",
    )


def test_what_was_said_since_is_listed_with_the_head(renewed: Bench) -> None:
    """By number and by file; a file's own head is looked for."""
    by_number = renewed.does(f"certificate since {FIRST}")
    by_file = renewed.data("certificate since first.pdf")
    newest = renewed.does(f"certificate since {NEXT}")

    assert f"{FIRST} of {SERIAL}, issued 2026-01-05 in entry" in by_number
    assert "instrument.serviced 26-0001-8" in by_number
    assert f"superseded by {NEXT}; it stays true as of its day" in by_number
    assert by_number.endswith("is in the log: nothing before it was changed\n")
    assert by_file["head_in_log"] is True
    assert [claim["kind"] for claim in by_file["entries"]] == [
        "certificate.printed",
        "instrument.serviced",
        "certificate.issued",
    ]
    assert "certificate.printed" in newest
    renewed.refuses("certificate since keys.json", "holds no certificate of this shop")
