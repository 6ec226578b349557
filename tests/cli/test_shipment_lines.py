"""What a shipment asks for in lines: little is not rounded off, nothing is hidden."""

import json
from types import SimpleNamespace
from typing import Any

import pytest

from cli import shipment_lines
from tests.cli.bench import Bench

SENT = "--from GB --to US --for sale --on 2026-11-23 --by 12"


def piece(species: str, **told: str) -> dict[str, Any]:
    """Return a described part."""
    form = {"part": "stick", "form": "sawn_wood", "origin": "IN"}
    return form | {"species": species} | told


def planned(bench: Bench, *parts: dict[str, Any]) -> str:
    """Return what the plan of a thing of these parts says."""
    data = {"things": [{"what": "parcel", "parts": list(parts)}]}
    bench.file("parcel.json", json.dumps(data))
    return bench.does(f"shipment plan --described parcel.json {SENT}")


@pytest.mark.parametrize(
    ("masses", "said"),
    [
        (("2 kg", None), "at least 2.00\u2009kg of listed wood"),
        ((None,), "listed wood not weighed"),
        (("0.4 g",), "0.4\u2009g of listed wood"),
        (("60 g",), "0.06\u2009kg of listed wood"),
    ],
)
def test_the_totals_never_say_nothing_of_something(
    bench: Bench, masses: tuple[str | None, ...], said: str
) -> None:
    """What was never weighed is no nought, and little is not rounded off."""
    parts = [
        piece("Dalbergia latifolia", **({"mass": mass} if mass else {}))
        for mass in masses
    ]
    told = planned(bench, *parts)

    assert said in told.splitlines()[0]
    assert "0.00" not in told


@pytest.mark.parametrize(
    ("mass_mg", "said"),
    [
        (None, "not weighed"),
        (400, "0.4\u2009g"),
        (3_000, "3\u2009g"),
        (1_050_400, "1050\u2009g"),
    ],
)
def test_a_mass_is_told_in_grams(mass_mg: int | None, said: str) -> None:
    """Whole ones, but of what is less than ten."""
    assert shipment_lines._mass(mass_mg) == said


def test_listed_wood_is_told_before_what_is_open_for_age_alone(bench: Bench) -> None:
    """Of the same plan, whatever its order in the file."""
    data = {
        "things": [
            {
                "what": "parcel",
                "parts": [
                    piece("Acer pseudoplatanus", mass="60 g", origin="FR"),
                    piece("Dalbergia latifolia", form="finished_instruments"),
                ],
            }
        ]
    }
    bench.file("parcel.json", json.dumps(data))
    said = bench.does(
        "shipment plan --described parcel.json --from GB --to US --for sale "
        "--on 2028-11-23 --by 12"
    )

    assert said.index("Dalbergia latifolia (stick)") < said.index("Acer pseudoplat")


def test_of_several_old_sources_the_span_is_told_once() -> None:
    """One reason for all that age alone leaves open; nothing where none is."""

    def line(day: str) -> SimpleNamespace:
        why = f"the newest source seen is of {day}" if day else ""
        said = SimpleNamespace(open_for_age=why, newest_source=day)
        return SimpleNamespace(is_listed=False, determination=said)

    assert shipment_lines.why_aged([line("")]) == ""
    assert shipment_lines.why_aged([line("2019-08-31")]) == (
        "the newest source seen is of 2019-08-31"
    )
    assert shipment_lines.why_aged([line("2022-11-25"), line("2017-04-21")]) == (
        "the newest sources seen are of 2017-04-21 to 2022-11-25, and the lists may "
        "have changed since"
    )


def test_of_several_woods_open_for_age_the_reason_is_told_once(bench: Bench) -> None:
    """Each keeps its parts, its row and its papers."""
    told = planned(bench, piece("Acer saccharum"), piece("Juglans nigra"))

    assert told.count("open only because") == 1
    assert "  ask        Acer" not in told and "row acer-not-listed; papers on" in told
    assert "Juglans nigra (stick), not weighed; row juglans-not-listed" in told


def test_a_source_that_nobody_saw_has_no_day() -> None:
    """The others are told, and where none was seen the first reason stands."""

    def line(said: str, day: str | None) -> Any:
        open_ = SimpleNamespace(open_for_age=said, newest_source=day)
        return SimpleNamespace(is_listed=False, determination=open_)

    some = [line("a", None), line("b", "2022-11-25"), line("c", "2017-04-21")]
    assert "of 2017-04-21 to 2022-11-25" in shipment_lines.why_aged(some)
    assert shipment_lines.why_aged([line("a", None), line("b", None)]) == "a"


def test_lines_are_read_needed_first_then_open_then_listed() -> None:
    """Whatever the order on record; what age alone leaves open comes last of all."""
    told = [
        line(answer, is_listed=is_listed, aged=aged)
        for answer, is_listed, aged in (
            ("ask", False, "the lists may have changed"),
            ("not needed", False, ""),
            ("not needed", True, ""),
            ("ask", False, ""),
            ("ask", True, ""),
            ("needed", True, ""),
        )
    ]

    assert shipment_lines.for_reading(told) == told[::-1]


def line(answer: str, *, is_listed: bool, aged: str) -> SimpleNamespace:
    """Return a line of an answer, as far as its place among others goes."""
    said = SimpleNamespace(open_for_age=aged)
    return SimpleNamespace(answer=answer, is_listed=is_listed, determination=said)
