"""flitchbook shop policy: the rules in words, as a text to edit, and adopted."""

import json
from datetime import date

import pytest

from cli.shop_policy import policy
from ledger.craft.grading_policy import first_grading_policy
from ledger.craft.matching_policy import first_matching_policy
from ledger.craft.policy import first_house_policy
from ledger.trade.amendment import read_overlay
from ledger.trade.fitting import require_fit
from ledger.trade.law import compiled
from tests.cli.bench import Bench


def test_the_row_that_the_help_shows_would_be_adopted() -> None:
    """Whoever copies it has a text of the law that fits the tables."""
    shown = " ".join((policy.__doc__ or "").split())
    overlay = read_overlay(json.loads(shown[shown.index("{") :]))
    require_fit(overlay, compiled(), today=date(2026, 12, 1))

    assert [each.id for each in overlay.amendments] == ["CoP21"]


def test_all_rules_in_force_are_told_in_words(bench: Bench) -> None:
    """A few lines each, and which format prints the text of it."""
    said = bench.does("shop policy").replace("\u2009", " ")

    for words in (
        "who signs what (first 1), --format signing:",
        "    supplier.*, document.*: lead or receive or papers\n",
        "the house's limits (bench 1), --format house:",
        "    after a split 3 % may be missing\n",
        "grades (first 2), --format grading:",
        "    first, second, third; else set aside\n",
        "ring width at most 1.7 mm; ring spread at most 60 %; ring angle at most 10°",
        "places of the ring spread at least 3; places of the ring angle at least 3",
        "colour at worst slightly uneven; defects at most 1 pitch, 1 stain\n",
        "points for pairs (first 1), --format matching:",
        "    halves of one board 0, neighbours in the billet 10, of one lot 40; boards "
        "of two lots are no pair\n",
        "    density: 4 points a per cent, 20 where nobody measured; more than 8 % "
        "apart is no pair\n",
        "    figure: 10 points a step",
        "rows of the law of the shop's own (own 1), --format law:\n",
        "    none; the tables stand as they come with the program\n",
    ):
        assert words in said, words


def test_limits_of_rest_are_told_in_words(bench: Bench) -> None:
    """Which wood rests how long, how steady, and in which room."""
    limits = first_house_policy() | {"id": "bench", "version": 2}
    bench.file("limits.json", json.dumps(limits))
    bench.does("shop policy limits.json --by 01")
    said = bench.does("shop policy").replace("\u2009", " ")

    for words in (
        "Picea, Sequoia, Thuja rests 90 days, better 180 days\n",
        "everything else rests 365 days, better 730 days\n",
        "steady: 3 weighings 7 days apart within 0.2 %\n",
        "room at 40 % to 50 %RH, measured within 7 days\n",
    ):
        assert words in said, words


def test_a_program_is_given_every_text(bench: Bench) -> None:
    """By its kind, as it was adopted, or the one to begin with."""
    told = bench.data("shop policy")

    assert told.keys() == {"signing", "house", "grading", "matching", "law"}
    assert told["grading"] == first_grading_policy()
    assert told["matching"] == first_matching_policy()


@pytest.mark.parametrize("kind", ["grading", "matching"])
def test_grades_and_points_are_shown_changed_and_adopted(
    bench: Bench, kind: str
) -> None:
    """What is shown can be edited and given back, once for each version."""
    text = json.loads(bench.does(f"shop policy --format {kind}"))
    text["version"] += 1
    newest = text["version"]
    bench.file("text.json", json.dumps(text))
    bench.does("shop policy text.json --by 01")

    assert bench.data(f"shop policy --format {kind}") == {"policy": text}
    assert f"(first {newest})" in bench.does("shop policy")
    bench.refuses("shop policy text.json --by 01", f"is not after version {newest}, wh")


def test_grades_that_do_not_fit_are_refused(bench: Bench) -> None:
    """With the word that is none."""
    text = first_grading_policy() | {"version": 3, "otherwise": "first"}
    bench.file("text.json", json.dumps(text))

    bench.refuses("shop policy text.json --by 01", "is a grade already")
    assert bench.run("shop policy --format rest").code == 2


def test_the_policy_is_shown_changed_and_adopted(bench: Bench) -> None:
    """What is shown can be edited and given back."""
    policy = json.loads(bench.does("shop policy --format signing"))
    policy["version"] += 1
    bench.file("policy.json", json.dumps(policy))
    told = bench.data("shop policy policy.json --by 01")

    assert told.keys() == {"entry"}
    assert bench.data("shop policy --format signing") == {"policy": policy}


def test_the_house_s_limits_are_shown_changed_and_adopted(bench: Bench) -> None:
    """By their format, with the same command as the policy of signing."""
    signing, limits = (
        bench.data("shop policy --format signing"),
        json.loads(bench.does("shop policy --format house")),
    )
    limits["version"] += 1
    limits["rest"] = [
        {"species": ["Picea"], "least_days": 60, "preferred_days": 90},
    ]
    bench.file("limits.json", json.dumps(limits))
    told = bench.data("shop policy limits.json --by 01")

    assert told.keys() == {"entry"}
    assert bench.data("shop policy --format house") == {"policy": limits}
    assert bench.data("shop policy --format signing") == signing
    bench.refuses("shop policy limits.json --by 01", "is not after version 2, which")
    assert "whole: " in bench.does("record audit")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "is no policy in JSON: begin with what flitchbook shop policy"),
        ("[]", "is no policy in JSON"),
        ("{}", "None is no format of a policy: write flitchbook-policy/1"),
        ('{"format": "flitchbook-keys/1"}', "'flitchbook-keys/1' is no format of"),
        ('{"format": "flitchbook-policy/1"}', "has format, id, version and rules"),
        ("[" * 100_000, "is no policy in JSON"),
        ('{"format": ' + "9" * 5000 + "}", "is no policy in JSON"),
        (b"\xff\xfe\x00", "is no policy in JSON"),
        ('{"format": "flitchbook-house/1"}', "a policy of the house has format, id"),
        ('{"format": "flitchbook-house/1", "a\\nb": 1}', "look at"),
    ],
)
def test_what_is_no_policy_is_not_adopted(
    bench: Bench, text: str | bytes, why: str
) -> None:
    """A keys file given by mistake must not become the shop's rules."""
    bench.file("policy.json", text)

    bench.refuses("shop policy policy.json --by 01", why)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"version": True}, "version is a whole number from 1 to 1000000, not True"),
        ({"version": 1e9}, "not 1000000000.0"),
        ({"version": float("nan")}, "not nan"),
        ({"version": 10**400}, "not a number as large as that"),
        ({"version": 0}, "not 0"),
        ({"more": "x" * 100_000}, "just these: look at 'more'"),
        ({"x" * 100_000: 1}, "just these: look at"),
        ({"\u202e\n\x1b[2J": 1}, r"look at '\u202e\n\x1b[2J'"),
        ({"id": "\ud800"}, "is no name such as first"),
        ({"rest": [{"species": ["Picea"]}]}, "look at 'least_days, preferred_days'"),
        ({"steady": {"weighings": "3"}}, "look at 'apart_days, within_ppm'"),
        ({"steady": 3}, "the policy's steady has weighings, apart_days, within_ppm"),
    ],
)
def test_limits_that_do_not_fit_are_refused_in_a_sentence(
    bench: Bench, change: dict[str, object], why: str
) -> None:
    """A wrong member, a wrong type, a number without end: one line says which."""
    limits = json.loads(bench.does("shop policy --format house")) | change
    bench.file("limits.json", json.dumps(limits))

    bench.refuses("shop policy limits.json --by 01", why)
    assert len(bench.run("shop policy limits.json --by 01").err) < 300


def test_a_file_says_itself_what_it_is(bench: Bench) -> None:
    """So that nobody adopts the other one by a wrong word."""
    bench.file("policy.json", bench.does("shop policy --format signing"))

    bench.refuses(
        "shop policy policy.json --format house --by 01", "leave --format out"
    )


def test_only_a_lead_adopts_a_policy(bench: Bench) -> None:
    """And a file that is not there is named."""
    bench.file("policy.json", bench.does("shop policy --format signing"))

    bench.refuses("shop policy policy.json --by 03", "adopting a policy is for a lead")
    limits = json.loads(bench.does("shop policy --format house"))
    bench.file("limits.json", json.dumps(limits | {"version": 9}))
    bench.refuses("shop policy limits.json --by 03", "adopting a policy is for a lead")
    bench.refuses("shop policy none.json --by 01", "there is no file none.json")


def test_rows_of_the_law_are_printed_edited_and_adopted(bench: Bench) -> None:
    """A meeting since, which makes older rows something to ask about."""
    text = bench.data("shop policy --format law")["policy"]
    row = {
        "id": "CoP21",
        "took_effect": "2028-09-01",
        "sources": "Notification to the Parties, 2025",
        "confidence": "verified",
        "checked_on": "2025-12-30",
        "newest_source": "2025-11-02",
    }
    text["rows"].append({"table": "meetings", "why": "announced", "row": row})
    bench.file("law.json", json.dumps(text))
    bench.does("shop policy law.json --by 01")

    assert bench.data("shop policy --format law")["policy"] == text
    assert "    meetings, CoP21: announced\n" in bench.does("shop policy")
