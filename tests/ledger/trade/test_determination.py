"""Determinations: the worked cases, their twins on either side of a day, and doubt."""

import re
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.trade.answers import Determination, as_data
from ledger.trade.determination import determine, limited_mass_mg
from ledger.trade.listings import is_stale
from ledger.trade.question import Part, question_from
from ledger.trade.tables import (
    Annotation,
    Listing,
    form_for,
    names,
    stands,
    wood_forms,
)
from tests.ledger.trade.asking import BOW, CASES, GUITAR, ROSEWOOD, answered, every_row

ASKED = frozenset(
    {"taxon", "form", "date", "listed_wood_kg", "acquired", "origin", "movement"}
)
OFFICIAL = [case for case in CASES if case["answered_in_official_guidance"]]
LEGS = ["US", "EU", "GB", "BR", "IN", "MG", "MX", "GT", "FJ", "CM", "JP", "RU"]
UNWANTED = re.compile(r"legal|compliant|cites-free|certified|authentic", re.I)


def asked(case: dict[str, Any], **change: Any) -> Determination:
    """Return the answer to a worked case, told without its id and free words."""
    told = {name: case[name] for name in ASKED if name in case}
    told |= change
    # A case that is asked about on an earlier day was acquired by then.
    told["acquired"] = min(told["acquired"], told["date"])
    return answered(**told)


def check_rows(found: Determination, day: date) -> None:
    """See that an answer and those beside it rest on rows that stood that day."""
    for said in (found, *found.also, *found.parts):
        assert said.row or said.answer == "ask", said
        for mark in said.rows:
            row = every_row()[mark]
            assert stands(row.valid_from, row.valid_until, day), (mark, day)


@pytest.mark.parametrize("case", OFFICIAL, ids=lambda case: case["id"])
def test_cases_of_official_guidance_are_answered_as_it_answers(
    case: dict[str, Any],
) -> None:
    """Each case names its sources; the answer agrees, and is never a mere ask."""
    wanted = "needed" if case["cites_covered"] else "not needed"

    assert asked(case).answer == wanted


@pytest.mark.parametrize(
    "case",
    [case for case in CASES if case not in OFFICIAL],
    ids=lambda case: case["id"],
)
def test_cases_by_inference_are_never_answered_the_wrong_way(
    case: dict[str, Any],
) -> None:
    """What guidance does not answer may be asked about, where the row is stale."""
    found = asked(case)
    wanted = "needed" if case["cites_covered"] else "not needed"

    if found.answer == "ask":
        row = every_row()[found.row]
        assert isinstance(row, Listing | Annotation)
        assert is_stale(row, date.fromisoformat(case["date"]))
    else:
        assert found.answer == wanted


def test_of_all_worked_cases_one_is_asked_about() -> None:
    """Mammoth ivory: no source of its row is newer than 2017."""
    found = [case["id"] for case in CASES if asked(case).answer == "ask"]

    assert found == ["T36"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_ids_and_free_words_change_no_answer(case: dict[str, Any]) -> None:
    """Nor does the answer that the case expects."""
    whole = answered(**case, item="rosewood guitar from Mexico", note="covered, needed")

    assert whole == asked(case)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_every_answer_rests_on_rows_that_stood_that_day(case: dict[str, Any]) -> None:
    """Today, and on the days around every change of the law."""
    days = {case["date"], *(day for pair in BOUNDARIES for day in pair[:2])}
    for day in sorted(days):
        check_rows(asked(case, date=day), date.fromisoformat(day))


BOUNDARIES: list[tuple[str, str, dict[str, Any], str, str, str]] = [
    ("2017-01-01", "2017-01-02", {"taxon": ROSEWOOD, "form": "sawn_wood"},
     "IN -> US, sale", "not needed", "needed"),
    ("2017-01-01", "2017-01-02", {"taxon": "Guibourtia tessmannii", "form": "logs"},
     "CM -> US, sale", "not needed", "needed"),
    ("2016-05-08", "2016-05-09", {"taxon": "Pterocarpus erinaceus", "form": "logs"},
     "SN -> CN, sale", "not needed", "needed"),
    ("2019-11-25", "2019-11-26", GUITAR, "EU -> US, sale", "needed", "not needed"),
    ("2019-11-25", "2019-11-26",
     {"taxon": ROSEWOOD, "form": "sawn_wood", "listed_wood_kg": 3},
     "IN -> US, no sale", "not needed", "needed"),
    ("2019-11-25", "2019-11-26",
     {"taxon": "Pericopsis elata", "form": "transformed_wood_4409"},
     "CM -> US, sale", "not needed", "needed"),
    ("2023-02-22", "2023-02-23", {"taxon": "Khaya ivorensis", "form": "sawn_wood"},
     "GH -> EU, sale", "not needed", "needed"),
    ("2023-02-22", "2023-02-23", {"taxon": "Pterocarpus soyauxii", "form": "logs"},
     "CM -> US, sale", "not needed", "needed"),
    ("2023-02-22", "2023-02-23", BOW, "BR -> DE, sale", "not needed", "needed"),
    ("2024-11-24", "2024-11-25",
     {"taxon": "Handroanthus impetiginosus", "form": "sawn_wood"},
     "BR -> US, sale", "not needed", "needed"),
    ("2026-03-04", "2026-03-05", BOW, "FR -> JP, sale", "not needed", "needed"),
    ("2026-03-04", "2026-03-05", BOW, "BR -> US -> BR, loan", "needed", "not needed"),
    ("2026-03-04", "2026-03-05", {"taxon": "Picea abies", "form": "sawn_wood"},
     "DE -> JP, sale", "not needed", "ask"),
    ("2020-08-27", "2020-08-28", {"taxon": "Cedrela odorata", "form": "plywood"},
     "BR -> US, sale", "not needed", "needed"),
    ("1992-06-10", "1992-06-11",
     {"taxon": "Dalbergia nigra", "form": "finished_instruments"},
     "US -> JP, sale", "not needed", "needed"),
    ("2020-12-31", "2021-01-01", {"taxon": ROSEWOOD, "form": "sawn_wood"},
     "GB -> DE, sale", "not needed", "needed"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("before", "after", "thing", "movement", "then", "since"),
    BOUNDARIES,
    ids=[f"{pair[1]} {pair[2]['taxon']} {pair[2]['form']}" for pair in BOUNDARIES],
)
def test_the_law_changes_from_one_day_to_the_next(
    before: str,
    after: str,
    thing: dict[str, Any],
    movement: str,
    then: str,
    since: str,
) -> None:
    """The last day of the older text, and the first of the newer."""
    assert answered(**thing, date=before, movement=movement).answer == then
    assert answered(**thing, date=after, movement=movement).answer == since


@pytest.mark.parametrize(
    ("day", "papers"),
    [
        ("2017-01-01", []),
        ("2017-01-02", ["export permit"]),
        ("2017-02-03", ["export permit"]),
        ("2017-02-04", ["export permit", "EU import permit"]),
    ],
)
def test_the_union_follows_the_convention_a_month_later(
    day: str, papers: list[str]
) -> None:
    """Rosewood in Annex B since 2017-02-04."""
    found = answered(
        taxon=ROSEWOOD, form="sawn_wood", date=day, movement="IN -> EU, sale"
    )

    assert [paper.name for paper in found.documents] == papers


@pytest.mark.parametrize(
    ("day", "movement", "form"),
    [
        ("2018-05-10", "EU -> US, no sale", "finished_instruments"),
        ("2018-05-10", "EU -> US, no sale", "sawn_wood"),
        ("2024-05-10", "EU -> US, sale", "other_finished_products"),
    ],
)
def test_ten_kilograms_are_free_and_a_milligram_more_is_not(
    day: str, movement: str, form: str
) -> None:
    """Annotation #15, texts of 2017 and 2019."""
    thing = {"taxon": ROSEWOOD, "form": form, "date": day, "movement": movement}

    assert answered(**thing, mass_mg=10_000_000).answer == "not needed"
    assert answered(**thing, mass_mg=10_000_001).answer == "needed"
    assert answered(**thing).answer == "ask"


@given(
    taxon=st.text(max_size=40) | st.sampled_from(["rosewood", "ebony", "any"]),
    form=st.sampled_from([*wood_forms(), "part", "finished"]),
    day=st.dates(date(1900, 1, 1), date(2100, 1, 1)),
    movement=st.sampled_from(["EU -> US, sale", "US -> EU -> US, no sale", "UK sale"]),
)
def test_an_unknown_taxon_is_asked_about_and_never_free(
    taxon: str, form: str, day: date, movement: str
) -> None:
    """Whatever the form, the day and the movement."""
    genus = taxon.strip().split(" ")[0].capitalize()
    if not taxon.isprintable() or not taxon.strip() or f"{genus} spp." in names():
        taxon = "Dalbergia unknownensis"
    found = answered(taxon=taxon, form=form, date=str(day), movement=movement)

    assert found.answer == "ask" and found.documents == ()


@given(
    taxon=st.sampled_from(sorted(names())),
    form=st.text(min_size=1, max_size=30),
    day=st.dates(date(1900, 1, 1), date(2100, 1, 1)),
)
def test_an_unknown_form_is_asked_about_and_never_free(
    taxon: str, form: str, day: date
) -> None:
    """Even of spruce, even of an Appendix I wood."""
    if not form.isprintable() or not form.strip() or form_for(form) is not None:
        form = "half finished"
    found = answered(taxon=taxon, form=form, date=str(day), movement="EU -> US, sale")

    assert found.answer == "ask"
    assert "is no form in the table" in found.why


@given(
    taxon=st.sampled_from(sorted(names())),
    form=st.sampled_from([*wood_forms(), "inlay"]),
    day=st.dates(date(1975, 7, 1), date(2027, 12, 31)),
    acquired=st.none() | st.dates(date(1900, 1, 1), date(2027, 1, 1)),
    legs=st.lists(
        st.sampled_from(LEGS),
        min_size=1,
        max_size=4,
    ),
    purpose=st.sampled_from([None, "sale", "no sale", "gift", "loan", "personal"]),
    mass=st.none() | st.integers(1, 20_000_000),
)
def test_every_answer_says_why_whom_to_ask_and_which_row(**told: Any) -> None:
    """Needed comes with a document, what is not needed with none."""
    day = told.pop("day")
    acquired = told.pop("acquired")
    found = answered(
        **{key: value for key, value in told.items() if key != "mass"},
        date=str(day),
        acquired=acquired and str(min(acquired, day)),
        mass_mg=told["mass"],
    )

    check_rows(found, day)
    assert found.why and found.ask_whom
    assert (found.answer == "needed") == bool(found.documents)
    assert not UNWANTED.search(str(as_data(found)["why"]))


def test_one_covered_species_makes_papers_needed_for_the_whole() -> None:
    """A spruce and rosewood guitar with an Appendix I fingerboard."""
    found = answered(
        **{**GUITAR, "date": "2024-05-10", "movement": "EU -> JP, sale"},
        parts=[
            {"taxon": "Picea abies", "form": "finished_instruments"},
            {"taxon": "Dalbergia nigra", "form": "finished_instruments"},
        ],
    )

    assert found.answer == "needed" and found.taxon == "Dalbergia nigra"
    assert [part.answer for part in found.parts] == [
        "not needed",
        "not needed",
        "needed",
    ]


def test_the_trade_inside_the_union_in_appendix_i_needs_a_certificate() -> None:
    """Article 10; to own and lend it needs none, and what is unsaid is asked."""
    guitar = {"taxon": "Dalbergia nigra", "form": "finished_instruments"}
    found = {
        line: answered(**guitar, date="2024-05-10", movement=line)
        for line in (
            "DE -> FR, sale",
            "EU sale",
            "DE -> FR, loan",
            "DE -> FR",
            "UK sale",
        )
    }

    assert [each.answer for each in found.values()] == [
        "needed",
        "needed",
        "not needed",
        "ask",
        "needed",
    ]
    assert found["EU sale"].documents[0].name == "Article 10 certificate"
    assert found["UK sale"].rule == "article-10-uk"


def test_a_movement_that_cannot_be_read_is_asked_about() -> None:
    """And the sentence shows how to write it."""
    found = answered(**GUITAR, date="2024-05-10", movement="from here to there")

    assert found.answer == "ask"
    assert "write it as US -> EU, sale" in found.why


def test_things_from_several_countries_are_asked_about_one_by_one() -> None:
    """Where it is not said which sets out from where."""
    found = answered(**GUITAR, date="2024-05-10", movement="CA/IN -> EU, sale")

    assert (found.answer, found.row) == ("ask", "")


@pytest.mark.parametrize(
    ("taxon", "movement", "words"),
    [
        ("Dalbergia nigra", "US -> JP, sale", "may not move for commerce: ask first"),
        ("Swietenia macrophylla", "FJ -> US, sale", "taken to be Fiji, where it grows"),
        ("Paubrasilia echinata", "FR -> JP, sale", "no permit is given for commerce"),
        ("Picea abies", "DE -> JP, sale", "found in the table dated 2026-11-24"),
        (
            "Dalbergia latifola",
            "DE -> JP, sale",
            "is one of these meant: Dalbergia lat",
        ),
        ("rosewood", "DE -> JP, sale", "is a trade name that may mean"),
    ],
)
def test_what_must_be_said_beside_the_answer_is_said(
    taxon: str, movement: str, words: str
) -> None:
    """In the sentence that tells why."""
    found = answered(
        taxon=taxon, form="sawn_wood", date="2026-11-25", movement=movement
    )

    assert words in found.why


def test_the_ten_kilograms_count_listed_wood_alone() -> None:
    """In 2018 in every form, in 2024 in other finished products; unknown is unknown."""
    parts = (
        Part(taxon=ROSEWOOD, form="other_finished_products", mass_mg=3),
        Part(taxon="Guibourtia tessmannii", form="sawn_wood", mass_mg=40),
        Part(taxon="Picea abies", form="other_finished_products", mass_mg=500),
        Part(taxon="Dalbergia nigra", form="other_finished_products", mass_mg=6000),
    )

    assert limited_mass_mg(parts, date(2018, 5, 10)) == 43
    assert limited_mass_mg(parts, date(2024, 5, 10)) == 3
    assert limited_mass_mg(parts, date(2016, 5, 10)) == 0
    unknown = Part(taxon=ROSEWOOD, form="other_finished_products")
    assert limited_mass_mg((*parts, unknown), date(2024, 5, 10)) is None


def test_the_declaration_of_the_united_states_is_said_once_for_the_whole() -> None:
    """And is not spared where one part is of a listed species."""
    light = {"plant_ppm": 40_000, "entry_plant_mass_mg": 2_400_000}
    line = {"date": "2024-05-10", "movement": "CN -> US, sale"}
    maple = {"taxon": "Acer saccharum", "form": "finished_instruments"}
    mixed = {**maple, "parts": [{"taxon": ROSEWOOD, "form": "finished_instruments"}]}
    alone = [said.rule for said in answered(**maple, **line, **light).also]
    within = [said.rule for said in answered(**mixed, **line, **light).also]

    assert alone == ["lacey-de-minimis"]
    assert within == ["lacey-9202"]


def test_a_question_of_a_shipment_takes_the_mass_of_the_shipment() -> None:
    """Nine kilograms here and two there are eleven."""
    asked_for = question_from(
        {
            "taxon": ROSEWOOD,
            "form": "other_finished_products",
            "mass_mg": 9_000_000,
            "date": "2024-05-10",
            "movement": "DE -> US, sale",
        }
    )

    assert determine(asked_for).answer == "not needed"
    assert determine(asked_for, shipment_mass_mg=11_000_000).answer == "needed"


def test_inside_the_union_a_stale_row_is_asked_about_too() -> None:
    """A wood may have come into Annex A since the newest source."""
    spruce = {"taxon": "Picea abies", "form": "sawn_wood", "movement": "DE -> FR, sale"}

    assert answered(**spruce, date="2026-03-04").answer == "not needed"
    assert answered(**spruce, date="2026-03-05").answer == "ask"
