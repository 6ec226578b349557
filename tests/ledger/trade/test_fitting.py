"""Whether a shop's own rows fit the tables they are laid over."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.trade.amendment import COLUMNS, read_overlay
from ledger.trade.determination import determine
from ledger.trade.fitting import faults, fitted, require_fit
from ledger.trade.law import compiled
from ledger.trade.question import question_from
from ledger.trade.reading import raw_rows
from ledger.trade.tables import names, places, wood_forms
from tests.ledger.trade.overlays import (
    LISTING,
    MEETING,
    TODAY,
    law_with,
    own_rows,
    row_of,
    text_of,
)

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
            "checked_on 2026-12-02 lies after 2026-12-01, the day of its adoption",
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


@pytest.mark.parametrize(
    ("mark", "grows_in", "old", "day", "answers"),
    [
        # Outside of the populations that are listed.
        ("Osyris lanceolata", "IN", "empty", "2020-01-01", ("ask", "not needed")),
        # Wider than the one population that is listed.
        ("Dalbergia louvelii", "MG IN", "MG", "2012-06-01", ("needed", "ask")),
        # No more known to be of the populations that are listed.
        ("Khaya ivorensis", "", "africa", "2024-06-01", ("needed", "ask")),
    ],
)
def test_where_a_listed_name_grows_is_not_changed(
    mark: str, grows_in: str, old: str, day: str, answers: tuple[str, str]
) -> None:
    """Neither more countries nor fewer, for each can make an answer weaker."""
    row = ("names", row_of("names", mark, grows_in=grows_in))
    (fault,) = faults_of(row)
    wood = {"taxon": mark, "form": "sawn_wood", "date": day}
    asked = question_from({**wood, "movement": "US -> JP, sale"})

    assert f"grows_in may not change: {mark} is listed by " in fault
    assert f"leave it {old}, and say of each lot where it was harvested" in fault
    told = (determine(asked).answer, determine(asked, law=law_with(row)).answer)
    assert told == answers


def test_nor_is_it_where_the_same_text_lists_the_name() -> None:
    """A maple that the shop lists in one country and has grow in another."""
    listing = {**LISTING, "population": "US"}
    row = row_of("names", "Acer saccharum", grows_in="CA")
    (fault,) = faults_of(("listings", listing), ("names", row))

    assert fault.startswith("row 2 (names, 'Acer saccharum'): grows_in may not change")
    assert faults_of(("names", row)) == []


def test_the_same_range_in_another_order_is_no_change() -> None:
    """Only which countries it names counts."""
    row = row_of("names", "Dalbergia stevensonii", grows_in="MX GT BZ")

    assert faults_of(("names", row)) == []


@given(
    mark=st.sampled_from(sorted(names())),
    grows_in=st.lists(st.sampled_from(sorted(places())), max_size=3).map(" ".join),
    form=st.sampled_from(wood_forms()),
    day=st.dates(date(1990, 1, 1), date(2030, 12, 31)).map(str),
    legs=st.lists(st.sampled_from(["US", "DE", "BR", "IN"]), min_size=1, max_size=3),
)
def test_no_range_that_fits_changes_any_answer(
    mark: str, grows_in: str, form: str, day: str, legs: list[str]
) -> None:
    """Whatever the shop writes of where a wood grows."""
    row = ("names", row_of("names", mark, grows_in=grows_in))
    asked = question_from(
        {"taxon": mark, "form": form, "date": day, "legs": legs, "purpose": "sale"}
    )
    if not faults_of(row):
        mine, plain = determine(asked, law=law_with(row)), determine(asked)
        told = [(said.answer, said.documents, said.rows) for said in (mine, plain)]

        assert told[0] == told[1]
        assert [o.answer for o in mine.also] == [o.answer for o in plain.also]


def test_what_fits_is_kept_and_what_rests_on_the_rest_goes_with_it() -> None:
    """A species from an unknown source, its listing, and a meeting for itself."""
    name = {**NAME, "sources": "S999"}
    listing = {**LISTING, "taxon": "Acer novum"}
    rows = (("names", name), ("listings", listing), ("meetings", MEETING))
    found = fitted(read_overlay(text_of(*rows)), compiled(), today=TODAY)

    assert [each.id for each in found.fits.amendments] == ["CoP21"]
    assert [each.number for each in found.left_out.amendments] == [1, 2]
    assert len(found.faults) == 2
    assert found.faults[0].startswith(
        "row 1 (names, 'Acer novum'): 'S999' is no source"
    )
    assert "taxon 'Acer novum' is not in the table of names" in found.faults[1]


def test_what_fits_whole_is_left_as_it_is() -> None:
    """Nothing is left out, and nothing is said."""
    overlay = read_overlay(text_of(("meetings", MEETING), ("listings", LISTING)))
    found = fitted(overlay, compiled(), today=TODAY)

    assert (found.fits, found.left_out.amendments, found.faults) == (overlay, (), ())


@given(rows=own_rows())
def test_what_is_kept_of_any_text_would_be_adopted_today(
    rows: list[tuple[str, dict[str, str]]],
) -> None:
    """And every row is either kept or left out."""
    overlay = read_overlay(text_of(*rows))
    found = fitted(overlay, compiled(), today=TODAY)
    require_fit(found.fits, compiled(), today=TODAY)
    both = (*found.fits.amendments, *found.left_out.amendments)

    assert bool(found.faults) == bool(found.left_out.amendments)
    assert sorted(each.number for each in both) == [
        each.number for each in overlay.amendments
    ]


def test_a_meeting_may_be_moved_earlier_only() -> None:
    """Later it would make older rows less stale."""
    later = row_of("meetings", "CoP20", took_effect="2026-03-06")
    earlier = row_of("meetings", "CoP20", took_effect="2026-03-04")

    assert faults_of(("meetings", later)) == [
        "row 1 (meetings, 'CoP20'): took_effect 2026-03-06 is later than in the "
        "tables, which say 2026-03-05; a meeting may only be moved earlier"
    ]
    assert faults_of(("meetings", earlier)) == []


def test_a_meeting_may_not_be_moved_before_the_one_that_preceded_it() -> None:
    """The first in the tables has none before it."""
    early = row_of("meetings", "CoP20", took_effect="2020-01-01")
    first = row_of("meetings", "CoP17", took_effect="2016-01-01")

    assert faults_of(("meetings", early)) == [
        "row 1 (meetings, 'CoP20'): took_effect 2020-01-01 is no day for CoP20: CoP19 "
        "came before it, and took effect on 2023-02-23; write a later day"
    ]
    assert faults_of(("meetings", first)) == []
