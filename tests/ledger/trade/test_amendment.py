"""A shop's own rows: read strictly, and laid over the tables."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.log.encoding import canonical
from ledger.trade.amendment import COLUMNS, amended, read_overlay
from ledger.trade.law import compiled
from ledger.trade.names import read_name, trade_meanings
from ledger.trade.overlay import first_overlay
from ledger.trade.reading import raw_rows
from tests.ledger.trade.overlays import (
    LISTING,
    MEETING,
    OWN,
    law_with,
    row_of,
    text_of,
)

GENUS = "dalbergia-genus"


def test_the_columns_are_those_of_the_tables() -> None:
    """A column that is added needs a newer format of the text."""
    for table, columns in COLUMNS.items():
        assert tuple(raw_rows(table)[0]) == columns, table


@pytest.mark.parametrize("table", COLUMNS)
def test_every_compiled_row_could_be_a_row_of_a_shops_own(table: str) -> None:
    """Read and laid over, it says what it said, and whose it is."""
    rows = raw_rows(table)
    overlay = read_overlay(text_of(*((table, row) for row in rows[:400])))
    law = amended(compiled(), overlay, own=OWN)

    assert len(overlay.amendments) == len(rows)
    for before, after in zip(_rows(compiled(), table), _rows(law, table), strict=True):
        assert after.own == OWN and before.own == ""
        assert _told(before) == _told(after)


def test_a_text_is_known_by_its_name_and_its_one_spelling() -> None:
    """The bytes of the entry that adopts it, by RFC 8785."""
    text = text_of(("meetings", MEETING), ("listings", LISTING), version=3)
    overlay = read_overlay(text)

    assert overlay.name == "own 3"
    assert overlay.text.encode() == canonical(text)


def test_a_row_whose_id_is_there_takes_its_place_and_another_is_added() -> None:
    """And whatever is not named stays as it was."""
    shorter = row_of("listings", GENUS, valid_until="2030-01-01")
    law = law_with(("listings", shorter), ("listings", LISTING))

    assert str(law.listings[GENUS].valid_until) == "2030-01-01"
    assert law.listings[LISTING["id"]].population == frozenset()
    assert len(law.listings) == len(compiled().listings) + 1
    rest = law.listings.keys() - {GENUS, LISTING["id"]}
    assert all(law.listings[mark] is compiled().listings[mark] for mark in rest)


def test_a_text_without_rows_changes_nothing() -> None:
    """It is how a shop takes all of its own rows back."""
    law = amended(compiled(), read_overlay(first_overlay()), own=OWN)

    assert law.listings == compiled().listings
    assert law.rules == compiled().rules


@pytest.mark.parametrize("day", ["2026-03-04", "2026-03-05", "2027-03-05"])
def test_a_meeting_takes_effect_on_the_earlier_of_two_days(day: str) -> None:
    """Also where it was adopted when the tables did not know it yet."""
    law = law_with(("meetings", row_of("meetings", "CoP20", took_effect=day)))
    (meeting,) = (each for each in law.meetings if each.id == "CoP20")

    assert str(meeting.took_effect) == min(day, "2026-03-05")
    assert meeting.own == OWN


def test_a_name_of_the_shops_own_is_read_and_marked() -> None:
    """A species, a word for it, and a trade name that may mean two."""
    checked = {name: MEETING[name] for name in ("confidence", "checked_on")}
    source = {"sources": "Kew list, 2026", "newest_source": "2026-01-01", **checked}
    maple = {"name": "Acer novum", "accepted": "Acer novum", "kind": "plant"}
    word = {"name": "Acer vetus", "accepted": "Acer novum", "kind": "plant"}
    trade = {"trade_name": "loft maple", "may_mean": "Acer novum; Acer saccharum"}
    law = law_with(
        ("names", maple | source),
        ("names", word | source),
        ("trade_names", trade | source),
    )

    assert read_name("acer Vetus", law).name == law.names["Acer novum"]
    assert read_name("acer Vetus", law).path[0].own == OWN
    assert trade_meanings("Loft Maple", law) == ("Acer novum", "Acer saccharum")
    assert OWN in read_name("Loft maple", law).reason
    assert read_name("Acer novum").name is None


def fault_of(text: object) -> str:
    """Return why a text is refused."""
    with pytest.raises(RefusedError) as refusal:
        read_overlay(text)
    return str(refusal.value)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"rows": {}}, "rows is a list of at most 500 rows"),
        ({"rows": [{}] * 501}, "rows is a list of at most 500 rows"),
        ({"rows": ["x"]}, "row 1 has table, why, row; 'x' is no such thing"),
        ({"rows": [{"table": "places"}]}, "row 1 lacks why, row: write it in"),
        ({"version": 0}, "version is a whole number from 1 to 1000000, not 0"),
        ({"version": True}, "version is a whole number"),
        ({"version": 10**40}, "not a number as large as that"),
        ({"id": "my own"}, "the text's id 'my own' is no name such as own"),
        ({"format": "flitchbook-law/2"}, "has the format flitchbook-law/1"),
        ({"more": 1}, "has no 'more'; it has format, id, version, rows"),
    ],
)
def test_what_is_no_text_of_the_law_is_refused(
    change: dict[str, Any], said: str
) -> None:
    """In one sentence that says how it is written."""
    assert said in fault_of({**first_overlay(), **change})


@pytest.mark.parametrize("text", [None, [], "flitchbook-law/1", 7, {}])
def test_what_is_no_text_at_all_is_refused(text: object) -> None:
    """A list, a word, a number, nothing."""
    assert "a text of the law" in fault_of(text)


@pytest.mark.parametrize(
    ("table", "change", "said"),
    [
        ("places", {}, "'places' is no table that may be amended; those are listings"),
        ("listings", {"colour": "red"}, "its row has no 'colour'; it has id, taxon"),
        ("listings", {"taxon": None}, "taxon is None, and must be a text"),
        ("listings", {"note": 7}, "note is 7, and must be a text"),
        ("listings", {"taxon": ""}, "taxon must hold one line of text"),
        ("listings", {"taxon": " Acer"}, "without spaces around it"),
        ("listings", {"note": "two\nlines"}, "one line of text"),
        ("listings", {"note": "x" * 601}, "note has 601 letters of at most 600"),
        ("listings", {"id": "カエデ"}, "is no name such as dalbergia-genus"),
        ("listings", {"appendix": "2"}, "appendix is '2'; it is one of: I, II, III,"),
        ("listings", {"eu_annex": "b"}, "eu_annex is 'b'; it is one of: A, B, C, D"),
        ("listings", {"rank": "kind"}, "rank is 'kind'; it is one of: species, genus"),
        (
            "listings",
            {"confidence": "sure"},
            "confidence is 'sure'; it is one of: from memory, unverified, partly",
        ),
        ("listings", {"valid_from": "2027-2-1"}, "'2027-2-1', which is no day; write"),
        ("listings", {"valid_from": "2027-02-30"}, "which is no day"),
        ("listings", {"checked_on": ""}, "checked_on must hold one line of text"),
        ("listings", {"newest_source": ""}, "newest_source must hold one line"),
        (
            "listings",
            {"valid_until": "2027-02-28"},
            "valid_until 2027-02-28 lies before valid_from 2027-03-01; write them the",
        ),
        (
            "listings",
            {"eu_from": "2027-05-01", "eu_until": "2027-04-01"},
            "eu_until 2027-04-01 lies before eu_from 2027-05-01",
        ),
        (
            "listings",
            {"newest_source": "2026-11-29"},
            "checked_on 2026-11-28 lies before newest_source 2026-11-29",
        ),
        ("listings", {"appendix": "none"}, "has no annotation; write none"),
        ("listings", {"appendix": "III"}, "listed_by is empty; name the State"),
        ("listings", {"sources": "M"}, "sources M and confidence from memory"),
        (
            "listings",
            {"confidence": "from memory, unverified"},
            "sources M and confidence from memory",
        ),
        ("meetings", {"took_effect": ""}, "took_effect must hold one line of text"),
        ("meetings", {"newest_source": ""}, "newest_source is empty; write the day"),
        ("meetings", {"valid_from": "2027-01-01"}, "its row has no 'valid_from'"),
    ],
)
def test_a_row_that_does_not_fit_its_table_is_refused_with_its_place(
    table: str, change: dict[str, Any], said: str
) -> None:
    """Unknown columns, days that are none or swapped, words that are none."""
    plain = MEETING if table == "meetings" else LISTING
    why = fault_of(text_of(("meetings", MEETING), (table, {**plain, **change})))

    assert said in why
    assert "row 2" in why or "row 1 already" in why


def test_a_row_stands_once_in_a_text() -> None:
    """Which of two would count, nobody could tell."""
    said = fault_of(text_of(("meetings", MEETING), ("meetings", MEETING)))

    assert said == ("row 2 (meetings, 'CoP21') stands in row 1 already: write it once")


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=8,
)


@given(JSON)
def test_no_text_whatever_ends_in_anything_but_a_refusal(said: object) -> None:
    """Nothing is read out of what is none, and no sentence has two lines."""
    for text in (
        said,
        {**first_overlay(), "rows": said},
        {**first_overlay(), "rows": [said]},
        text_of(("listings", {**LISTING, "note": said})),
        text_of(("meetings", said)),  # type: ignore[arg-type]  # anything at all
    ):
        try:
            read_overlay(text)
        except RefusedError as fault:
            assert str(fault).isprintable()


def _rows(law: Any, table: str) -> list[Any]:
    found = getattr(law, table)
    return list(found.values() if isinstance(found, dict) else found)


def _told(row: Any) -> str:
    return json.dumps(
        {
            name: sorted(value) if isinstance(value, frozenset) else value
            for name in type(row).__slots__
            if name != "own"
            for value in [getattr(row, name)]
        },
        default=str,
        sort_keys=True,
    )
