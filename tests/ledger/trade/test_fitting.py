"""Whether a shop's own rows fit the tables they are laid over."""

from datetime import date

import pytest

from ledger.errors import RefusedError
from ledger.trade.amendment import COLUMNS, read_overlay
from ledger.trade.fitting import faults, require_fit
from ledger.trade.law import compiled
from ledger.trade.reading import raw_rows
from tests.ledger.trade.overlays import LISTING, MEETING, TODAY, row_of, text_of

SOURCE = {
    "sources": "Kew list, 2026",
    "confidence": "verified",
    "checked_on": "2026-11-28",
    "newest_source": "2026-01-01",
}
NAME = {"name": "Acer novum", "accepted": "Acer novum", "kind": "plant", **SOURCE}


def faults_of(*rows: tuple[str, dict[str, str]], today: date = TODAY) -> list[str]:
    """Return what does not fit of a text with these rows."""
    return list(faults(read_overlay(text_of(*rows)), compiled(), today=today))


@pytest.mark.parametrize("table", COLUMNS)
def test_every_compiled_row_fits_the_tables_it_is_of(table: str) -> None:
    """Row by row, as a shop would put it in its text."""
    for row in raw_rows(table):
        assert faults_of((table, row)) == []


def test_what_is_added_well_fits() -> None:
    """A meeting, a listing from a day, a species and a word for it."""
    ended = row_of("listings", "acer-not-listed")
    word = {**NAME, "name": "Acer vetus"}

    assert ended["taxon"] == "Acer spp."
    assert faults_of(("meetings", MEETING), ("listings", LISTING)) == []
    assert faults_of(("names", word), ("names", NAME)) == []


@pytest.mark.parametrize(
    ("table", "row", "said"),
    [
        (
            "listings",
            {**LISTING, "taxon": "Acer novum"},
            "taxon 'Acer novum' is not in the table of names; add it there",
        ),
        (
            "listings",
            {**LISTING, "taxon": "Caesalpinia echinata"},
            "is no accepted name; write Paubrasilia echinata",
        ),
        (
            "listings",
            {**LISTING, "annotation": "99"},
            "no text of an annotation '99' exists; it is one of: 1, 10, ",
        ),
        (
            "listings",
            {**LISTING, "annotation": "15-2017"},
            "no text of annotation #15-2017 stood on each of its days",
        ),
        (
            "listings",
            {**LISTING, "annotation": "15", "valid_from": "2016-01-01"},
            "no text of annotation #15 stood on each of its days",
        ),
        (
            "listings",
            row_of("listings", "dalbergia-genus", id="dalbergia-again"),
            "dalbergia-genus speaks of the same population on the same days; end one",
        ),
        (
            "listings",
            {**LISTING, "population": "QX"},
            "population names 'QX', which is no country; write FR",
        ),
        (
            "listings",
            {**LISTING, "unchanged": "CoP18"},
            "unchanged says 'CoP18'; write a meeting and the mark of a source",
        ),
        (
            "listings",
            {**LISTING, "unchanged": "CoP99:S07"},
            "unchanged says 'CoP99:S07'",
        ),
        (
            "listings",
            {**LISTING, "sources": "S01; S999"},
            "'S999' is no source in the table of sources; write its title, issuer",
        ),
        (
            "listings",
            {**LISTING, "sources": "S01;M"},
            "M stands for memory, and beside no other source",
        ),
        (
            "listings",
            {**LISTING, "checked_on": "2026-12-02"},
            "checked_on 2026-12-02 lies after today, 2026-12-01",
        ),
        (
            "annotations",
            row_of("annotations", "15-2019", id="15-2028", valid_from="2028-09-01"),
            "what other_finished_products depends on is judged for 2, 14, 10-2023",
        ),
        (
            "annotations",
            row_of(
                "annotations",
                "15-2019",
                id="15-2028",
                valid_from="2028-09-01",
                other_finished_products="covered",
            ),
            "15-2019 and 15-2028 stood on the same days; end one on the day before",
        ),
        (
            "rules",
            row_of("rules", "eudr", id="eudr-new"),
            "nothing here is judged by a rule of that name; correct one of: no-border",
        ),
        (
            "rules",
            row_of("rules", "eudr", law="UK"),
            "the rule is one of EU, not of 'UK'",
        ),
        ("names", {**NAME, "name": "acer Novum"}, "as botanists do: Acer novum"),
        (
            "names",
            {**NAME, "accepted": "Acer nullum"},
            "accepted 'Acer nullum' is not in the table of names",
        ),
        (
            "names",
            {**NAME, "group": "Acer novum"},
            "a name is no group of its own; leave the group empty",
        ),
        (
            "names",
            {**NAME, "grows_in": "Atlantis"},
            "grows_in names 'Atlantis', which is no country",
        ),
        (
            "trade_names",
            {"trade_name": "Loft maple", "may_mean": "Acer spp.", **SOURCE},
            "write the trade name in small letters: loft maple",
        ),
        (
            "trade_names",
            {"trade_name": "loft maple", "may_mean": "Acer novum", **SOURCE},
            "may_mean names 'Acer novum', which is not in the table of names",
        ),
    ],
)
def test_each_fault_is_said_in_one_sentence_with_its_row(
    table: str, row: dict[str, str], said: str
) -> None:
    """And the first of them refuses the text."""
    found = faults_of((table, row))

    assert any(said in fault for fault in found), found
    assert all(fault.startswith(f"row 1 ({table}, ") for fault in found)
    overlay = read_overlay(text_of((table, row)))
    with pytest.raises(RefusedError, match="row 1"):
        require_fit(overlay, compiled(), today=TODAY)


def test_a_text_is_rewritten_by_ending_the_older_one() -> None:
    """Two rows of one text that fit each other."""
    older = row_of("annotations", "15-2019", valid_until="2028-08-31")
    newer = row_of(
        "annotations",
        "15-2019",
        id="15-2028",
        valid_from="2028-09-01",
        other_finished_products="covered",
    )

    assert faults_of(("annotations", older), ("annotations", newer)) == []


@pytest.mark.parametrize(
    ("mark", "change", "said"),
    [
        ("Dalbergia nigra", {"accepted": "Acer saccharum"}, "accepted may not become"),
        ("Dalbergia nigra", {"group": "Acer spp."}, "group may not become 'Acer spp.'"),
        ("Dalbergia latifolia", {"group": ""}, "group may not become empty"),
        ("Dalbergia spp.", {"accepted": "Acer spp."}, "list Dalbergia spp. by"),
        ("Dalbergia latifolia", {"kind": "animal"}, "kind may not become 'animal'"),
        (
            "Caesalpinia echinata",
            {"accepted": "Acer saccharum"},
            "the tables list Paubrasilia echinata by",
        ),
    ],
)
def test_no_name_is_moved_out_of_what_lists_it(
    mark: str, change: dict[str, str], said: str
) -> None:
    """Neither an accepted name nor a word for it, by species or by genus."""
    (fault, *_) = faults_of(("names", row_of("names", mark, **change)))

    assert said in fault
    assert "correct the listing rows" in fault


def test_a_name_that_nothing_lists_may_be_moved() -> None:
    """A maple becomes a word for another."""
    row = row_of("names", "Acer rubrum", accepted="Acer saccharum")

    assert faults_of(("names", row)) == []


def test_a_meeting_may_be_moved_earlier_only() -> None:
    """Later it would make older rows less stale."""
    later = row_of("meetings", "CoP20", took_effect="2026-03-06")
    earlier = row_of("meetings", "CoP20", took_effect="2026-03-04")

    assert faults_of(("meetings", later)) == [
        "row 1 (meetings, 'CoP20'): took_effect 2026-03-06 is later than in the "
        "tables, which say 2026-03-05; a meeting may only be moved earlier"
    ]
    assert faults_of(("meetings", earlier)) == []
