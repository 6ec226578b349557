"""flitchbook build next, stuck: what can be done now, and what stands still."""

from datetime import timedelta

import pytest

from tests.cli.bench import SERIAL, Bench

SECOND = "26-0002-6"


@pytest.fixture
def begun(bench: Bench) -> Bench:
    """Give a bench at a shop with a solid body begun."""
    bench.does("model draft solid-body --out solid.toml")
    bench.does("model define Slipway --from solid.toml --by 01")
    bench.does("build begin Slipway --by 01 --due 2026-01-20")
    return bench


def test_what_waits_says_for_what(begun: Bench) -> None:
    """The first few, for what is right before; with --all each, however far back."""
    told = begun.does(f"build next {SECOND}").splitlines()
    whole = begun.does(f"build next {SECOND} --all").splitlines()

    assert told[:2] == [f"{SECOND}: Slipway, version 1, 0 of 33 steps done", "waits"]
    assert "   1 plane and join the body: no wood is allotted to the body" in told
    assert told[-1] == "  and 27 steps after that: --all lists them"
    assert len(told) == 2 + 6 + 1
    (marriage,) = [line for line in whole if line.startswith("  22 ")]
    assert "press the frets is not done yet" in marriage


def test_what_can_be_done_says_by_whom(bench: Bench) -> None:
    """By name; where nobody else may, by a lead."""
    define = "model define Slipway --by 01 --instrument guitar --part body"
    bench.does(f"{define} --step join=plates --step string=set-up")
    bench.does("build begin Slipway --by 01")
    told = bench.does(f"build next {SECOND}").splitlines()
    data = bench.data(f"build next {SECOND}")

    assert told[1:] == [
        "can be done now",
        "   1 join, by Jakub Wolański and Ines Carvalhal",
        '   2 string, by Oluwaseun "Seun" Adeyemi-Brandt',
    ]
    assert [who["badge"] for who in data["ready"][0]["who"]] == ["03", "10"]
    bench.does(f"build sign {SECOND} join --by 03")
    bench.does(f"build sign {SECOND} string --by 01")
    assert bench.does(f"build next {SECOND}").splitlines() == [
        f"{SECOND}: Slipway, version 1, 2 of 2 steps done (2 signatures, entries 35 to "
        f"36)",
        "every step done",
    ]


def test_on_hold_nothing_can_be_done(bench: Bench) -> None:
    """What was open waits for the doubt, and nobody is named for it."""
    define = "model define Slipway --by 01 --instrument guitar --part body"
    bench.does(f"{define} --step join=plates --step string=set-up")
    bench.does("build begin Slipway --by 01")
    bench.does(f"build sign {SECOND} join --by 03")
    bench.does("hold place 03 --why 'a loose joint' --by 12")
    told = bench.does(f"build next {SECOND}").splitlines()

    assert told[1].startswith("nothing of it goes on: it is in doubt by hold H26-001")
    assert told[2:] == ["waits", "   2 string: for that doubt alone"]
    assert bench.data(f"build next {SECOND}")["ready"] == []


def test_a_certified_instrument_says_so(bench: Bench) -> None:
    """Nothing of it waits."""
    told = bench.does(f"build next {SERIAL}").splitlines()

    assert told[1:] == ["it has its certificate C-2026-00001", "every step done"]
    bench.refuses("build next 26-0099-5", "there is no instrument 26-0099-5")


def test_what_stands_still_is_listed_the_late_first(begun: Bench) -> None:
    """With its newest entry, and what it waits for."""
    first = begun.does("build stuck")
    begun.at += timedelta(days=16)
    late = begun.does("build stuck")
    data = begun.data("build stuck --days 100")

    assert first == "no build is late, and something was said of each within 14 days\n"
    assert late.splitlines() == [
        f"{SECOND}: Slipway, due 2026-01-20, 1 day late, nothing said for 16 days, "
        f"since 2026-01-05, entry 35",
        "  plane and join the body: no wood is allotted to the body",
    ]
    assert [each["late_days"] for each in data["builds"]] == [1]
    assert begun.run("build stuck --days 0").code == 2
