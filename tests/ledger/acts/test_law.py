"""The law that a shop goes by: its own rows over the tables, adopted like its rules."""

from datetime import date
from typing import Any

import pytest

from ledger.acts.inforce import texts_in_force
from ledger.acts.law import law_in_force, overlay_in_force
from ledger.acts.policies import adopt_policy
from ledger.acts.reviewing import edition_of, review_tables
from ledger.audit import audit
from ledger.errors import RefusedError
from ledger.events import PolicyAdopted
from ledger.log.entry import Entry
from ledger.trade.determination import determine
from ledger.trade.edition import tables_sha256
from ledger.trade.law import Law, compiled
from ledger.trade.overlay import first_overlay
from ledger.trade.question import question_from
from tests.ledger.trade.overlays import LISTING, MEETING, row_of, text_of
from tests.skerrymoor import Loft

# The clock of these tests stands at the beginning of 2026.
EARLY = {"checked_on": "2025-12-30", "newest_source": "2025-11-02"}
MINE = {**LISTING, **EARLY}
MET = {**MEETING, **EARLY}
WALNUT = "Juglans nigra"


def adopt(loft: Loft, *rows: tuple[str, dict[str, Any]], version: int = 1) -> Entry:
    """Adopt a text with rows of the shop's own."""
    return adopt_policy(loft.shop, text_of(*rows, version=version), loft.hands())


def law_of(loft: Loft) -> Law:
    """Return the edition that a shop goes by."""
    with loft.shop.store.reading() as session:
        return law_in_force(session)


def test_a_shop_begins_with_the_compiled_tables(loft: Loft) -> None:
    """And with a text that it may edit."""
    assert law_of(loft) is compiled()
    assert texts_in_force(loft.shop)["law"] == first_overlay()


def test_rows_of_its_own_are_adopted_signed_and_marked(loft_on_each: Loft) -> None:
    """By the entry and the day; an audit finds nothing."""
    entry = adopt(loft_on_each, ("listings", MINE), ("meetings", MET))
    law = law_of(loft_on_each)
    own = f"the shop's own row, adopted in entry {entry.index} on {entry.at[:10]}"

    with loft_on_each.shop.store.reading() as session:
        before = law_in_force(session, at=entry.index - 1)

    assert before is compiled()
    assert law.listings[MINE["id"]].own == own
    assert law.meetings[-1].own == own
    assert tables_sha256(law) != tables_sha256()
    assert law_of(loft_on_each) is law
    assert audit(loft_on_each.shop).findings == ()


def test_the_newest_text_takes_the_older_ones_place_whole(loft: Loft) -> None:
    """Without a row it gives the compiled tables back."""
    adopt(loft, ("listings", MINE))
    adopt(loft, ("meetings", MET), version=2)
    second = law_of(loft)
    adopt(loft, version=3)

    assert MINE["id"] not in second.listings
    assert second.meetings[-1].id == "CoP21"
    assert law_of(loft) is compiled()
    assert texts_in_force(loft.shop)["law"]["version"] == 3


def test_a_text_is_the_next_version_of_its_name(loft: Loft) -> None:
    """As with the house's other texts."""
    adopt(loft, ("meetings", MET), version=2)
    with pytest.raises(RefusedError, match="is not after version 2"):
        adopt(loft, ("listings", MINE), version=2)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ({**MINE, "appendix": "IV"}, "appendix is 'IV'; it is one of"),
        ({**MINE, "annotation": "99"}, "no text of an annotation '99' exists"),
        (
            {**MINE, "checked_on": "2026-11-28"},
            "lies after 2026-01-05, the day of its adoption",
        ),
        (
            row_of("listings", "dalbergia-genus", id="again", **EARLY, unchanged=""),
            "dalbergia-genus speaks of the same population",
        ),
    ],
)
def test_what_does_not_fit_is_refused_and_not_recorded(
    loft: Loft, row: dict[str, Any], said: str
) -> None:
    """The text is read whole before anything is said."""
    size = loft.shop.store.head().size
    with pytest.raises(RefusedError, match=said):
        adopt(loft, ("listings", row))

    assert loft.shop.store.head().size == size
    assert law_of(loft) is compiled()


def test_only_a_lead_adopts_rows_of_the_law(loft: Loft) -> None:
    """As anything that the house goes by."""
    with pytest.raises(RefusedError):
        adopt_policy(loft.shop, text_of(("meetings", MET)), loft.hands("03"))

    assert law_of(loft) is compiled()


def test_the_tables_are_shown_with_the_shops_rows_and_who_adopted_them(
    loft: Loft,
) -> None:
    """By name, with entry and time."""
    entry = adopt(loft, ("listings", MINE), ("meetings", MET))
    told = review_tables(loft.shop, day=date(2026, 1, 5))
    with loft.shop.store.reading() as session:
        adopted = overlay_in_force(session)

    assert adopted is not None and told.adopted == adopted
    assert (adopted.entry, adopted.overlay.name) == (entry.index, "own 1")
    assert "Adeyemi-Brandt" in told.adopted_by and entry.at[:10] in told.adopted_by
    assert (adopted.left_out, adopted.faults) == (frozenset(), ())
    assert told.sha256 == tables_sha256(law_of(loft))


def test_without_a_shop_the_tables_stand_as_they_come() -> None:
    """Nothing of anybody's own is in them."""
    told = review_tables(None, day=date(2026, 11, 30))

    assert told.sha256 == tables_sha256()
    assert (told.adopted, told.adopted_by) == (None, "")
    assert not any(count.own for count in told.review.counts)


def test_the_tables_that_answer_say_whose_rows_lie_over_them(loft: Loft) -> None:
    """Without a shop, in one that has none, and in one that adopted some."""
    alone, before = edition_of(None), edition_of(loft.shop)
    entry = adopt(loft, ("listings", MINE))
    after = edition_of(loft.shop)

    assert alone.law is before.law is compiled()
    assert alone.words.endswith("no shop was named, see --shop")
    assert before.words.endswith("the shop has adopted no rows of its own")
    assert after.law.listings[MINE["id"]].own
    assert f"own 1, adopted in entry {entry.index} on {entry.at[:10]}" in after.words


def test_a_row_that_an_older_program_let_in_takes_no_effect_and_is_told(
    loft_on_each: Loft,
) -> None:
    """What fits in the same text stands; an audit finds nothing in either."""
    moved = row_of("names", "Dalbergia nigra", accepted="Acer saccharum", **EARLY)
    rows = (("names", moved), ("listings", LISTING), ("meetings", MET))
    text = text_of(*rows, ("listings", {**MINE, "id": "own-walnut", "taxon": WALNUT}))
    entry = loft_on_each.say(PolicyAdopted(policy=text))
    law, told = law_of(loft_on_each), edition_of(loft_on_each.shop)
    adopted = told.adopted

    assert adopted is not None and adopted.left_out == {1, 2}
    assert [fault.partition(": ")[0] for fault in adopted.faults] == [
        "row 1 (names, 'Dalbergia nigra')",
        "row 2 (listings, 'acer-saccharum-2027')",
    ]
    assert law.names["Dalbergia nigra"] == compiled().names["Dalbergia nigra"]
    assert "acer-saccharum-2027" not in law.listings
    assert law.listings["own-walnut"].own and law.meetings[-1].own
    assert law.left_out is not None
    assert law.left_out.says == (
        f"a row of the shop's own, adopted in entry {entry.index} on {entry.at[:10]}, "
        f"is left out: flitchbook record tables says why"
    )
    assert told.words.endswith("; 2 of them left out, see record tables")
    assert audit(loft_on_each.shop).findings == ()


def test_answers_that_would_rest_on_a_row_left_out_say_so(loft: Loft) -> None:
    """Brazilian rosewood needs its papers; a maple that may be listed is to ask."""
    moved = row_of("names", "Dalbergia nigra", accepted="Acer saccharum", **EARLY)
    maple = {**LISTING, "valid_from": "2026-01-01"}
    text = text_of(("names", moved), ("listings", maple))
    loft.say(PolicyAdopted(policy=text))
    law, said = law_of(loft), "is left out: flitchbook record tables says why"
    asked = {
        "form": "sawn_wood",
        "date": "2026-01-20",
        "movement": "US -> JP, sale",
    }
    told = [
        determine(question_from({**asked, "taxon": taxon}), law=law)
        for taxon in ("Dalbergia nigra", "Acer saccharum", "Acer rubrum")
    ]

    assert [each.answer for each in told] == ["needed", "ask", "not needed"]
    assert [said in each.why for each in told] == [True, True, False]
    assert told[0].row == "dalbergia-nigra"


def test_a_text_adopted_in_the_place_of_one_that_does_not_fit_ends_it(
    loft: Loft,
) -> None:
    """Nothing is left out any more."""
    loft.say(PolicyAdopted(policy=text_of(("listings", LISTING))))
    adopt(loft, ("listings", MINE), version=2)
    law = law_of(loft)

    assert law.left_out is None
    assert law.listings[MINE["id"]].own


@pytest.mark.parametrize(
    ("table", "row", "said"),
    [
        (
            "names",
            row_of("names", "Dalbergia nigra", accepted="Acer saccharum", **EARLY),
            "accepted may not become 'Acer saccharum'",
        ),
        (
            "meetings",
            row_of("meetings", "CoP19", took_effect="2027-01-01", **EARLY),
            "a meeting may only be moved earlier",
        ),
        (
            "names",
            row_of("names", "Osyris lanceolata", grows_in="IN", **EARLY),
            "grows_in may not change",
        ),
    ],
)
def test_rows_that_would_free_wood_without_a_word_are_not_adopted(
    loft: Loft, table: str, row: dict[str, Any], said: str
) -> None:
    """A name moved out of its listing or its range, a meeting moved later."""
    before = loft.shop.store.head().size
    with pytest.raises(RefusedError, match=said):
        adopt(loft, (table, row))

    assert loft.shop.store.head().size == before
    assert law_of(loft) is compiled()
