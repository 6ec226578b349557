"""flitchbook record tables: how old and how sure the law's tables are, and whose."""

import json

import pytest

from tests.cli.bench import Bench
from tests.ledger.trade.overlays import LISTING, MEETING, row_of, text_of

EARLY = {"checked_on": "2025-12-30", "newest_source": "2025-11-02"}
TEXT = text_of(("listings", {**LISTING, **EARLY}), ("meetings", {**MEETING, **EARLY}))
KEYS = {
    "compiled_on",
    "newest_source",
    "age_days",
    "tables",
    "weak",
    "overlay",
    "tables_sha256",
}


def test_the_tables_are_told_with_their_days_and_their_rows(bench: Bench) -> None:
    """A line for each, then the first ten weak rows of each kind, then the edition."""
    said = bench.does("record tables").splitlines()
    told = bench.data("record tables")

    assert said[0] == (
        "compiled 2026-11-24, which lies after today by this machine's clock; newest "
        f"source seen {told['newest_source']}"
    )
    assert said[1].split() == ["table", "rows", "verified", "partly", "memory", "own"]
    assert said[2].split()[0] == "listings"
    assert any(line.startswith("from memory, no source read: ") for line in said)
    assert any("more; --weak lists them all" in line for line in said)
    assert said[-2].startswith("No row of the shop's own; flitchbook shop policy")
    assert said[-1] == f"edition {told['tables_sha256']}"
    assert told.keys() == KEYS


def test_every_weak_row_is_listed_where_that_is_asked(bench: Bench) -> None:
    """As many lines as a program is told rows."""
    said = bench.does("record tables --weak").splitlines()
    told = bench.data("record tables")

    assert len([line for line in said if line[:4] == "    "]) == len(told["weak"])
    assert not any("more; --weak" in line for line in said)
    assert any(line.startswith("    listings, betula-not-listed") for line in said)


def test_the_shops_own_rows_are_told_with_who_adopted_them(bench: Bench) -> None:
    """By name, entry and day, with the reason for each."""
    bench.file("law.json", json.dumps(TEXT))
    adopted = bench.data("shop policy law.json --by 01")
    said = bench.does("record tables")
    told = bench.data("record tables")["overlay"]

    assert (
        f"2 rows of the shop's own (own 1), adopted in entry {adopted['entry']} by"
        in said
    )
    assert "    listings, acer-saccharum-2027: read in a newer source\n" in said
    assert told["entry"] == adopted["entry"]
    assert "Adeyemi-Brandt" in told["adopted_by"]
    assert [(row["table"], row["id"]) for row in told["rows"]] == [
        ("listings", "acer-saccharum-2027"),
        ("meetings", "CoP21"),
    ]
    assert told["faults"] == []


def test_a_row_that_is_left_out_is_told_with_its_number_and_why(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where an older program let it in; every answer and list of the rules says so."""
    moved = row_of("names", "Dalbergia nigra", accepted="Acer saccharum", **EARLY)
    text = text_of(("meetings", {**MEETING, **EARLY}), ("names", moved))
    bench.file("law.json", json.dumps(text))
    with monkeypatch.context() as older:
        older.setattr("ledger.acts.policies._require_fit", lambda *_: None)
        bench.does("shop policy law.json --by 01")
    said = bench.does("record tables")
    told = bench.data("record tables")
    names = next(each for each in told["tables"] if each["table"] == "names")

    assert "2 rows of the shop's own (own 1), adopted in entry" in said
    assert (
        "    meetings, CoP21: read in a newer source\n"
        "1 row of these is left out, for it would be refused today; adopt a text with "
        "it corrected, or without it:\n"
        "    row 2 (names, 'Dalbergia nigra'): accepted may not become "
    ) in said
    assert [row["left_out"] for row in told["overlay"]["rows"]] == [False, True]
    assert len(told["overlay"]["faults"]) == 1 and names["own"] == 0
    assert (
        "    names, Dalbergia nigra: read in a newer source (left out: flitchbook "
        "record tables says why)\n" in bench.does("shop policy")
    )


def test_without_a_shop_the_programs_own_tables_are_told(
    bare: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder that was named and is none is refused all the same."""
    lost = bare.folder / "nowhere"
    monkeypatch.setattr("cli.context.default_folder", lambda: lost)
    monkeypatch.setattr("cli.record_tables.default_folder", lambda: lost)
    monkeypatch.delenv("FLITCHBOOK_SHOP", raising=False)
    told = bare.data("record tables")

    assert told["overlay"] is None
    assert told["tables"][0]["table"] == "listings"
    bare.refuses("record tables --shop elsewhere", "there is no shop in elsewhere")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[]", "law.json is no policy in JSON"),
        ('{"rows": [], "rows": []}', "the member 'rows' is said twice; say it once"),
        ('{"format": "flitchbook-law/1"', "law.json is no policy in JSON"),
        ('{"format": "flitchbook-law/1"}', "a text of the law lacks id, version, rows"),
        (
            json.dumps(text_of(("listings", {**LISTING, "appendix": "附属書"}))),
            "appendix is '附属書'; it is one of: I, II, III, none",
        ),
        (
            json.dumps(text_of(("listings", LISTING))),
            "checked_on 2026-11-28 lies after 2026-01-05, the day of its adoption",
        ),
        (
            json.dumps(text_of(("holidays", LISTING))),
            "'holidays' is no table that may be amended",
        ),
    ],
)
def test_a_text_that_does_not_fit_is_refused(
    bench: Bench, text: str, said: str
) -> None:
    """And the tables stay as they were."""
    bench.file("law.json", text)
    bench.refuses("shop policy law.json --by 01", said)

    assert bench.data("record tables")["overlay"] is None
