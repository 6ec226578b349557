"""Questions in JSON: what is understood, and one sentence for what is not."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.trade.determination import determine
from ledger.trade.question import Part, hts_number_from, question_from
from tests.ledger.trade.asking import CASES, GUITAR

PLAIN: dict[str, Any] = {
    "taxon": "Picea abies",
    "form": "sawn_wood",
    "date": "2024-05-10",
    "legs": ["DE", "JP"],
}
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.sampled_from([*PLAIN, "parts", "x"]), inner, max_size=6)
    ),
    max_leaves=12,
)


def test_a_question_is_read_whole() -> None:
    """Every field that a rule looks at."""
    asked = question_from(
        {
            **PLAIN,
            "acquired": "2020-01-31",
            "origin": "Norway",
            "purpose": "sale",
            "owner_changes": True,
            "mass_mg": 412_000,
            "hts_number": "9202.90.40",
            "plant_ppm": 40_000,
            "entry_plant_mass_mg": 2_400_000,
            "parts": [{"taxon": "Acer rubrum", "form": "sawn_wood", "mass_mg": 5}],
        }
    )

    assert asked.parts == (
        Part(
            taxon="Picea abies",
            form="sawn_wood",
            mass_mg=412_000,
            acquired=date(2020, 1, 31),
            origin="NO",
        ),
        Part(
            taxon="Acer rubrum",
            form="sawn_wood",
            mass_mg=5,
            acquired=date(2020, 1, 31),
            origin="NO",
        ),
    )
    assert asked.date == date(2024, 5, 10)
    assert asked.movement is not None
    assert asked.movement.legs == ("DE", "JP")
    assert (asked.movement.purpose, asked.movement.owner_changes) == ("sale", True)
    assert asked.hts_number == "92029040"
    assert (asked.plant_ppm, asked.entry_plant_mass_mg) == (40_000, 2_400_000)


def test_an_origin_may_be_one_of_several_countries() -> None:
    """By code or name, for the thing or for a part that says it itself."""
    within = {"taxon": "Acer rubrum", "form": "sawn_wood"}
    asked = question_from(
        {
            **PLAIN,
            "may_be_from": ["Madagascar", "ID", "MG"],
            "parts": [within, within | {"origin": "US"}],
        }
    )

    assert [(part.origin, part.may_be_from) for part in asked.parts] == [
        (None, ("ID", "MG")),
        (None, ("ID", "MG")),
        ("US", ()),
    ]


@pytest.mark.parametrize(
    "told",
    [
        {"may_be_from": ["MG"]},
        {"may_be_from": "MG"},
        {"may_be_from": []},
        {"may_be_from": ["MG", "EU"]},
        {"may_be_from": ["MG", "ID"], "origin": "ID"},
    ],
)
def test_one_country_and_the_union_are_no_several(told: dict[str, Any]) -> None:
    """The sentence shows how it is written."""
    with pytest.raises(RefusedError, match="lists two countries or more"):
        question_from(PLAIN | told)


def test_a_way_may_be_told_by_its_ends() -> None:
    """It is the same question as with two legs."""
    ends = {**PLAIN, "legs": None, "from": "Germany", "to": "JP"}

    assert question_from(ends) == question_from(PLAIN)


def test_a_thing_may_be_told_by_its_parts_alone() -> None:
    """Then it has no taxon of its own."""
    parts = [{"taxon": "Acer rubrum", "form": "sawn_wood"}]
    asked = question_from({"date": "2024-05-10", "legs": ["DE"], "parts": parts})

    assert [part.taxon for part in asked.parts] == ["Acer rubrum"]


def test_kilograms_become_whole_milligrams() -> None:
    """0.06 kg is 60 g and not a hair less."""
    for kilograms, mg in ((0.06, 60_000), (10.000001, 10_000_001), (7, 7_000_000)):
        asked = question_from({**PLAIN, "listed_wood_kg": kilograms})
        assert asked.parts[0].mass_mg == mg


def test_two_taxa_in_a_line_set_out_from_two_places() -> None:
    """The first from the first, the second from the second."""
    asked = question_from(
        {
            "taxon": "Picea abies / Dalbergia latifolia",
            "form": "sawn_wood",
            "date": "2027-02-01",
            "movement": "CA/IN -> EU",
        }
    )

    assert [(part.taxon, part.shipped_from) for part in asked.parts] == [
        ("Picea abies", "CA"),
        ("Dalbergia latifolia", "IN"),
    ]


def test_a_movement_that_does_not_parse_is_kept_to_be_asked_about() -> None:
    """It is no error of the file."""
    asked = question_from({**GUITAR, "date": "2024-05-10", "movement": "somewhere"})

    assert asked.movement is None and asked.unread == "somewhere"


def test_remarks_beside_a_case_are_read_over() -> None:
    """An id, a note and the expected answer change nothing of the question."""
    case = CASES[0]
    bare = {"taxon", "form", "listed_wood_kg", "acquired", "date", "movement"}

    assert question_from(case) == question_from({name: case[name] for name in bare})


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"taxon": None}, "taxon is missing"),
        ({"taxon": 7}, "taxon must be a text, not a number"),
        ({"taxon": ""}, "taxon must be a text, not an empty text"),
        ({"taxon": "a\x1b[31mb"}, "taxon holds signs that cannot be printed"),
        ({"taxon": "x" * 301}, "taxon has 301 characters of at most 300"),
        ({"form": None}, "form is missing"),
        ({"date": None}, "date is missing"),
        ({"date": "10.5.2024"}, "date is 10.5.2024, which is no day"),
        ({"date": "2024-02-30"}, "which is no day; write it as 2026-10-01"),
        ({"date": 20240510}, "date must be a text"),
        ({"date": "20240510"}, "date is 20240510, which is no day"),
        ({"date": "2024-W19-5"}, "date is 2024-W19-5, which is no day"),
        ({"acquired": "２０２４-05-10"}, "which is no day"),
        ({"acquired": "long ago"}, "acquired is long ago, which is no day"),
        ({"legs": None}, "legs must be a list of countries"),
        ({"legs": []}, "legs must be a list of countries"),
        ({"legs": "DE"}, "legs must be a list of countries"),
        ({"legs": ["DE", "Atlantis"]}, "legs names Atlantis, which is no country"),
        ({"legs": [["DE"]]}, "legs must be a text, not a list"),
        ({"movement": "DE -> JP"}, "says its way once: with legs, with a movement"),
        ({"to": "JP"}, "or with from and to"),
        ({"from": "DE"}, "or with from and to; this one has legs and from"),
        ({"to": "JP"}, "this one has legs and to"),
        ({"legs": None, "to": "JP"}, "from is missing; say it in the question"),
        ({"legs": None, "from": "DE"}, "from is said without to"),
        ({"legs": None, "from": "DE", "to": "x"}, "to names x, which is no country"),
        ({"origin": "XX"}, "no country; write its two letters, such as FR for France"),
        ({"purpose": "fun"}, "purpose is fun, which is not known; say sale"),
        ({"owner_changes": "yes"}, "owner_changes must be true or false"),
        (
            {"mass_mg": "412 g"},
            "mass_mg is a text: write the mass in whole milligrams, as 412000 for 412",
        ),
        ({"mass_mg": ""}, "mass_mg is an empty text: write the mass in whole"),
        ({"mass_mg": 1.5}, "mass_mg is a number with a fraction: write the mass"),
        ({"mass_mg": True}, "mass_mg is a truth: write the mass"),
        ({"mass_mg": -1}, "mass_mg is -1, outside 1 to 1000000000000000 mg"),
        ({"mass_mg": 0}, "mass_mg is 0: write the mass in whole milligrams, as 412000"),
        ({"entry_plant_mass_mg": 0}, "or leave it out where nobody weighed"),
        (
            {"date": "2024-05-10", "acquired": "2024-05-11"},
            "acquired is 2024-05-11, after the movement on 2024-05-10; write the day",
        ),
        ({"entry_plant_mass_mg": []}, "entry_plant_mass_mg is a list: write the mass"),
        ({"plant_ppm": "5 %"}, "write the share in parts per million, as 50000 for"),
        ({"plant_ppm": 1_000_001}, "plant_ppm is 1000001, outside 0 to 1000000"),
        ({"listed_wood_kg": "2"}, "listed_wood_kg must be a number"),
        ({"listed_wood_kg": float("nan")}, "which is no weight in kilograms"),
        ({"listed_wood_kg": -0.1}, "which is no weight in kilograms"),
        ({"hts_number": "guitar"}, "'guitar' is no number of the US tariff: write its"),
        ({"hts_number": "92.02.90"}, "4, 6, 8 or 10 digits, with or without points"),
        ({"hts_number": "9202 9040"}, "is no number of the US tariff"),
        ({"hts_number": "92029"}, "is no number of the US tariff"),
        ({"hts_number": "920290400012"}, "is no number of the US tariff"),
        ({"hts": "9202"}, "a question has no field hts; it has: acquired"),
        ({"parts": {}}, "parts must be a list"),
        ({"parts": ["x"]}, "a part must be a JSON object"),
        ({"parts": [{"taxon": "Acer rubrum"}]}, "form is missing"),
        ({"colour": "brown"}, "a question has no field colour; it has: acquired, date"),
        ({"\x1b": 1}, "a question has no field of that name"),
    ],
)
def test_what_is_not_understood_is_refused_in_one_sentence(
    change: dict[str, Any], why: str
) -> None:
    """It names the field, and what to write."""
    with pytest.raises(RefusedError) as refusal:
        question_from({**PLAIN, **change})

    assert why in str(refusal.value)
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize(
    ("said", "digits"),
    [
        ("9202", "9202"),
        ("9202.90", "920290"),
        ("9202.90.40", "92029040"),
        ("9207.90.0040", "9207900040"),
        ("9207.90.00.40", "9207900040"),
        (" 9207900040 ", "9207900040"),
    ],
)
def test_a_number_of_the_tariff_is_read_to_its_digits(said: str, digits: str) -> None:
    """With or without points; the schedule itself writes the last four together."""
    assert hts_number_from(said) == digits


@pytest.mark.parametrize("data", [None, 7, "x", [], [1], True])
def test_what_is_no_object_is_no_question(data: object) -> None:
    """And it says what it is."""
    with pytest.raises(RefusedError, match="a question must be a JSON object, not"):
        question_from(data)


@given(JSON)
def test_any_json_is_a_question_or_refused(data: object) -> None:
    """Nothing else happens."""
    try:
        assert question_from(data).parts
    except RefusedError as refusal:
        assert str(refusal)


def test_what_moves_on_the_day_it_was_acquired_is_asked_about() -> None:
    """And a part says its own day."""
    day = "2024-05-10"
    part = {"taxon": "Acer rubrum", "form": "logs", "acquired": "2024-05-11"}

    assert question_from({**PLAIN, "date": day, "acquired": day}).parts[0].acquired
    with pytest.raises(RefusedError, match="on which Acer rubrum was acquired"):
        question_from({**PLAIN, "date": day, "parts": [part]})


@pytest.mark.parametrize(
    "way",
    [
        {"legs": ["US"]},
        {"legs": ["US"], "purpose": "sale"},
        {"legs": ["US"], "purpose": "no sale"},
        {"movement": "US"},
        {"movement": "US, sale"},
        {"movement": "US no sale"},
        {"movement": "United States"},
    ],
)
def test_one_country_alone_is_asked_about(way: dict[str, Any]) -> None:
    """Whether things stay there or go elsewhere, nobody said."""
    told = {name: PLAIN[name] for name in ("taxon", "form", "date")}
    asked = question_from({**told, **way})
    found = determine(asked)

    assert (asked.movement, asked.alone) == (None, "US")
    assert found.answer == "ask"
    assert found.why == "one country only: say where it goes, or 'inside US'"


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("inside US", "US"),
        ("US interstate sale", "US"),
        ("UK sale", "GB"),
        ("inside the Union, no sale", "EU"),
        ("within the European Union, sale", "EU"),
        ("EU internal", "EU"),
        ("in Germany, sale", "DE"),
    ],
)
def test_what_stays_inside_is_said_so(line: str, code: str) -> None:
    """As the worked cases say it, or with a word for it."""
    told = {name: PLAIN[name] for name in ("taxon", "form", "date")}
    asked = question_from({**told, "movement": line})

    assert asked.movement is not None
    assert (asked.movement.legs, asked.alone) == ((code,), "")
