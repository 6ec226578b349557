"""flitchbook determine: questions in a file, answers with their reasons."""

import io
import json
import re
import sys
from pathlib import Path

import pytest

from cli.determine import LARGEST_BYTES
from ledger.trade.tables import ANIMAL_FORMS, wood_forms
from tests.cli.bench import Bench
from tests.ledger.trade.asking import VECTORS
from tests.ledger.trade.overlays import LISTING, text_of

GUITAR = {
    "taxon": "Dalbergia latifolia",
    "form": "finished_instruments",
    "date": "2024-05-10",
    "legs": ["US", "FR"],
    "purpose": "sale",
}
BOARDS = {**GUITAR, "form": "sawn_wood"}
BOARDS_OF_SPRUCE = {"taxon": "Picea abies", "form": "sawn_wood"}
UNWANTED = re.compile(r"\blegal\b|compliant|cites-free|certified|authentic", re.I)


@pytest.fixture
def bare(bare: Bench, monkeypatch: pytest.MonkeyPatch) -> Bench:
    """Give a bench without a shop, where none is named."""
    monkeypatch.delenv("FLITCHBOOK_SHOP")
    return bare


def test_one_question_is_answered_word_first(bare: Bench) -> None:
    """Then why, the papers, the rule, the dates, whom to ask and what this is."""
    bare.file("q.json", json.dumps(BOARDS))
    said = bare.does("determine q.json")
    lines = said.splitlines()

    assert lines[0] == "needed: Dalbergia latifolia, sawn wood"
    assert lines[1].startswith(
        "  why     annotation #15, text of 2019 covers sawn wood"
    )
    assert "  paper   re-export certificate, from the Management Authority of" in said
    assert "  dates   compiled 2026-11-24, newest source seen 2025-12-31" in lines
    assert "row dalbergia-genus" in said
    assert "  row     checked against its sources" in lines
    assert "  ask     the Management Authority of the United States; the Man" in said
    assert "  also    needed: EU, who first places listed wood" in said
    assert lines[-1].startswith("A maker's worksheet from dated tables, not a permit")
    assert not UNWANTED.search(said)


def test_a_program_is_told_the_same(bare: Bench) -> None:
    """One question gives one object."""
    bare.file("q.json", json.dumps(GUITAR))
    told = bare.data("determine q.json")

    assert (told["answer"], told["row"]) == ("not needed", "dalbergia-genus")
    assert told["documents"] == []
    assert told["confidence"] == "verified"


def test_a_question_may_start_in_the_shop_s_own_country(bench: Bench) -> None:
    """It says where it goes; the answer says whence, and who said so."""
    bench.setting(country="US")
    asked = {**GUITAR, "legs": None, "to": "FR"}
    bench.file("q.json", json.dumps(asked))
    bench.file("other.json", json.dumps({**asked, "from": "GB"}))
    bench.file("legs.json", json.dumps(GUITAR))
    bench.file("many.json", json.dumps([asked, GUITAR]))
    said, told = bench.does("determine q.json"), bench.data("determine q.json")
    legs, many = bench.data("determine legs.json"), bench.does("determine many.json")

    assert said.splitlines()[1] == (
        "  from    the United States, the shop's own country"
    )
    assert told["start"] == {"country": "US", "of_shop": True}
    assert legs == {**told, "start": None}
    assert many.count("    from the United States, the shop's own country\n") == 1
    assert bench.data("determine other.json")["start"] is None
    assert "shop's own country" not in bench.does("determine other.json")


def test_a_question_without_a_start_is_refused(bare: Bench) -> None:
    """It says how to say it once, and how for good."""
    asked = {**GUITAR, "legs": None, "to": "FR"}
    bare.file("q.json", json.dumps(asked))
    bare.file("many.json", json.dumps([GUITAR, asked]))

    bare.refuses("determine q.json", 'nothing says where it starts: say "from" in')
    bare.file("both.json", json.dumps({**GUITAR, "to": "FR"}))
    bare.refuses("determine both.json", "from and to; this one has legs and to")
    bare.refuses("determine many.json", "question 2: nothing says where it starts")


@pytest.mark.parametrize("wrap", [list, lambda cases: {"cases": cases}])
def test_many_questions_are_answered_each_with_its_mark(
    bare: Bench, wrap: type[list[object]]
) -> None:
    """A list, or an object with cases; without an id they are counted."""
    cases = [{**GUITAR, "id": "guitar"}, BOARDS]
    bare.file("q.json", json.dumps(wrap(cases)))
    told = bare.data("determine q.json")["determinations"]
    said = bare.does("determine q.json")

    assert [(one["id"], one["answer"]) for one in told] == [
        ("guitar", "not needed"),
        ("2", "needed"),
    ]
    assert said.startswith("guitar  not needed: Dalbergia latifolia, finished instrum")
    assert "\n    row dalbergia-genus: checked against its sources\n" in said
    assert "\n2  needed: Dalbergia latifolia, sawn wood\n" in said


def test_the_worked_cases_can_be_asked_as_they_lie(bare: Bench) -> None:
    """The whole file of them, expected answers and all."""
    told = bare.data(f"determine {VECTORS}")["determinations"]
    cases = json.loads(VECTORS.read_text(encoding="utf-8"))["cases"]

    assert [one["id"] for one in told] == [case["id"] for case in cases]
    assert all(
        one["answer"] == "needed"
        for one, case in zip(told, cases, strict=True)
        if case["cites_covered"]
    )


def test_a_question_is_read_from_the_input(
    bare: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A dash stands for it."""
    typed = io.TextIOWrapper(io.BytesIO(json.dumps(BOARDS).encode()))
    monkeypatch.setattr(sys, "stdin", typed)

    assert bare.data("determine -")["answer"] == "needed"


def test_parts_and_a_line_of_movement_are_understood(bare: Bench) -> None:
    """A spruce top, an Appendix I fingerboard, and a tour."""
    asked = {
        "taxon": "Picea abies",
        "form": "finished instrument",
        "date": "2024-05-10",
        "movement": "US -> EU -> US, no sale",
        "parts": [{"taxon": "Dalbergia nigra", "form": "finished_instruments"}],
    }
    bare.file("q.json", json.dumps(asked))
    said = bare.does("determine q.json")

    assert said.startswith("needed: Dalbergia nigra, finished instruments\n")
    assert (
        "musical instrument certificate, from the Management Authority of the" in said
    )
    assert "  part    not needed: Picea abies, finished instruments" in said


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (
            {"taxon": "rosewood"},
            "is a trade name that may mean Dalbergia spp., Dalberg",
        ),
        ({"taxon": "Dalbergia latifola"}, "is one of these meant: Dalbergia latifolia"),
        (
            {"taxon": "ローズウッド"},
            "ローズウッド is no name in the table; write genus",
        ),
        ({"taxon": "any"}, "any is no name in the table"),
        ({"form": "guitarish"}, "guitarish is no form in the table; it has: logs"),
    ],
)
def test_what_is_unknown_is_asked_about(
    bare: Bench, change: dict[str, str], why: str
) -> None:
    """Never answered as not needed."""
    bare.file("q.json", json.dumps({**GUITAR, **change}, ensure_ascii=False))
    said = bare.does("determine q.json")

    assert said.startswith("ask: ")
    assert why in said


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "q.json is no whole JSON"),
        ('{"taxon": "Picea', "see whether it was cut off"),
        ("[" * 100_000, "q.json is nested too deep to be a question"),
        ("[]", "the list holds no question"),
        ('{"cases": []}', "the list holds no question"),
        ('{"cases": 7}', "a question must be a JSON object, not a number"),
        ("7", "a question must be a JSON object, not a number"),
        ("{}", "legs must be a list of countries in the order of travel, as ["),
        ('{"taxon": "a", "taxon": "b"}', "the field 'taxon' is said twice"),
        ('{"listed_wood_kg": NaN}', "NaN is no number"),
        (b"\xff\xfe{}", "q.json is no text in UTF-8"),
        (json.dumps({**GUITAR, "date": 7}), "date must be a text, not a number"),
        (json.dumps([GUITAR, {**GUITAR, "legs": []}]), "question 2: legs must be a li"),
        (json.dumps({**GUITAR, "color": 1}), "a question has no field color; it has:"),
        ('{"mass_mg": ' + "9" * 5000 + "}", "q.json holds a number of too many digits"),
    ],
)
def test_a_bad_file_is_refused_in_one_sentence(
    bare: Bench, text: str | bytes, why: str
) -> None:
    """It says what is wrong, and what to do."""
    bare.file("q.json", text)

    bare.refuses("determine q.json", why)


def test_a_file_that_is_not_there_is_refused(bare: Bench) -> None:
    """So is a folder."""
    bare.refuses("determine lost.json", "there is no file lost.json")
    bare.refuses("determine .", ". is a folder")


def test_a_huge_file_is_not_read_to_its_end(bare: Bench) -> None:
    """One byte over the limit is enough."""
    with Path(bare.folder / "q.json").open("wb") as file:
        file.truncate(100 * 1024 * 1024)

    said = bare.run("determine q.json")

    assert (said.code, said.out) == (1, "")
    assert f"bytes of at most {LARGEST_BYTES}" in said.err


def test_the_help_shows_how_a_question_looks(bare: Bench) -> None:
    """In plain words, with an example that can be typed."""
    said = bare.does("determine --help")
    example = re.search(r"\{\".*?\}", " ".join(said.split()))

    assert example is not None
    asked = json.loads(example[0])
    bare.file("q.json", json.dumps(asked))
    assert bare.data("determine q.json")["taxon"] == asked["taxon"]


def test_the_way_to_an_answer_is_explained_step_by_step(bare: Bench) -> None:
    """Each with its row, the days on which it stands, and what it decided."""
    bare.file("q.json", json.dumps({**GUITAR, "parts": [BOARDS_OF_SPRUCE]}))
    said = bare.does("determine q.json --explain")
    lines = [" ".join(line.split()) for line in said.splitlines()]

    assert "the way to the answer: Dalbergia latifolia, finished instruments" in lines
    assert "the way to the answer: Picea abies, sawn wood" in lines
    assert "the way to the answer: the whole" in lines
    assert any(
        line.startswith("1 name Dalbergia latifolia is an accepted name")
        for line in lines
    )
    assert "row dalbergia-genus from 2017-01-02" in lines
    assert any(line.endswith("=> not needed") for line in lines)
    assert lines[-1].startswith("A maker's worksheet from dated tables, not a permit")
    assert "the way to the answer" not in bare.does("determine q.json")


def test_a_program_is_told_the_way_too(bare: Bench) -> None:
    """Of one question or of many, and only where that was asked for."""
    bare.file("q.json", json.dumps(GUITAR))
    bare.file("list.json", json.dumps([GUITAR, BOARDS]))
    one = bare.data("determine q.json --explain")
    many = bare.data("determine list.json --explain")["determinations"]

    assert [step["step"] for step in one["path"][:3]] == ["name", "form", "movement"]
    assert one["path"][-1]["decided"] == one["answer"]
    assert many[0]["path"] == one["path"]
    assert all(other["path"] for said in many for other in said["also"])
    assert "path" not in bare.data("determine q.json")
    assert "the way to the answer" in bare.does("determine list.json --explain")


MAPLE = {
    "taxon": "Acer saccharum",
    "form": "sawn_wood",
    "date": "2027-06-01",
    "legs": ["CA", "JP"],
    "purpose": "sale",
}
EARLY = {"checked_on": "2025-12-30", "newest_source": "2025-11-02"}


def test_without_a_shop_it_goes_by_the_tables_of_the_program(bare: Bench) -> None:
    """And says so, of one question and of many."""
    bare.file("q.json", json.dumps(GUITAR))
    bare.file("list.json", json.dumps([GUITAR, BOARDS]))
    words = "tables: those of the program; no shop was named, see --shop"
    told = bare.data("determine q.json")["edition"]

    assert bare.does("determine q.json").splitlines()[-2] == words
    assert bare.does("determine list.json").splitlines()[-2] == words
    assert (told["of_shop"], told["overlay"], told["entry"]) == (False, None, None)
    assert bare.data("determine list.json")["edition"] == told


def test_the_rows_of_a_shops_own_are_gone_by_where_it_is_named(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With --shop, or in the environment; the answer bears their mark."""
    bench.file("q.json", json.dumps(MAPLE))
    before = bench.does("determine q.json")
    bench.file("law.json", json.dumps(text_of(("listings", {**LISTING, **EARLY}))))
    entry = bench.data("shop policy law.json --by 01")["entry"]
    inside = bench.data("determine q.json")
    monkeypatch.delenv("FLITCHBOOK_SHOP")
    outside = bench.data("determine q.json")
    named = bench.data("determine q.json --shop shop")
    said = bench.does("determine q.json --shop shop")

    assert "tables: those of the program; the shop has adopted no rows of" in before
    assert (inside["answer"], inside["row"]) == ("needed", LISTING["id"])
    assert outside["answer"] == "ask"
    assert named == inside
    assert f"the shop's own row, adopted in entry {entry} on 2026-01" in said
    assert (
        f"tables: those of the program with the shop's own rows, own 1, adopted in "
        f"entry {entry} on 2026-01"
    ) in said
    assert named["edition"]["entry"] == entry
    assert named["edition"]["tables_sha256"] != outside["edition"]["tables_sha256"]


def test_a_shop_that_is_not_there_is_refused(bare: Bench) -> None:
    """Rather than answered by other tables than those named."""
    bare.file("q.json", json.dumps(GUITAR))
    said = bare.run("determine q.json --shop nowhere")

    assert (said.code, said.out) == (1, "")
    assert "nowhere" in said.err


def test_the_help_tells_every_field_and_form(bare: Bench) -> None:
    """Those that a question may have, and the forms it may name."""
    said = " ".join(bare.does("determine --help").split())
    words = re.findall(r"\w+", said)

    assert {"plant_ppm", "entry_plant_mass_mg"} <= set(words)
    assert {*wood_forms(), *ANIMAL_FORMS} <= set(words)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ('{"taxon": "Picea', "line 1, sign 11 goes on as no JSON does; see whether"),
        ('{"mass_mg": ' + "9" * 5000 + "}", "write the mass in milligrams"),
    ],
)
def test_a_file_that_is_no_json_is_refused_in_our_own_words(
    bare: Bench, text: str, why: str
) -> None:
    """Not in those of the language it is read with."""
    bare.file("q.json", text)
    said = bare.run("determine q.json")

    assert why in said.err
    assert not re.search(r"Unterminated|Exceeds|conversion|char \d", said.err, re.I)


def test_a_law_beside_bears_its_confidence_in_a_list(bare: Bench) -> None:
    """Under its answer, as the rows of the Convention do."""
    bare.file("list.json", json.dumps([BOARDS]))
    lines = bare.does("determine list.json").splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith("    also needed"))

    assert lines[at].startswith("    also needed: US, plants of a CITES Appendix enter")
    assert lines[at + 1].startswith("         row ") and "checked" in lines[at + 1]
