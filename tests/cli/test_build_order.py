"""flitchbook build begin, order, change, promised: what it is to be, and what it is."""

import pytest

from tests.cli.bench import SERIAL, Bench

SECOND = "26-0002-6"
ORDERED = "--order A-17 --due 2026-11-20 --to FR --promise 'width at the nut=44 mm'"


@pytest.fixture
def ordered(bench: Bench) -> Bench:
    """Give a bench at a shop with an instrument begun to order."""
    said = bench.does(f"build begin Tidewarden --by 01 {ORDERED}")
    assert said == f"{SECOND}: Tidewarden. Stamp nothing else.\n"
    return bench


def test_what_was_promised_stands_beside_what_was_read(ordered: Bench) -> None:
    """With the entry of each, how far it is off, and what was promised before."""
    ordered.does(
        f"build change {SECOND} --by 01 --why 'a wider hand' --promise "
        f"'width at the nut=45 mm' --due 2026-12-24"
    )
    ordered.does(
        f"build sign {SECOND} 'join the top' --by 03 --measured "
        f"'width at the nut=45.2 mm'"
    )
    told = ordered.does(f"build promised {SECOND}").replace("\u2009", " ")
    data = ordered.data(f"build promised {SECOND}")

    assert told.splitlines() == [
        f"{SECOND}: Tidewarden, version 1",
        "order A-17, due 2026-12-24, to FR: entry 34, changed in entry 35",
        "  width at the nut: promised 45 mm, entry 35; read 45.2 mm, 0.2 mm more, "
        "entry 36",
        "    before that 44 mm, entry 34",
        'changed in entry 35: "a wider hand"',
        "no concession was given",
    ]
    (nut,) = data["promised"]
    assert (nut["off"], nut["measured"]["length_um"]) == (200, 45_200)
    assert data["changes"][0]["why"] == "a wider hand"


def test_an_instrument_without_a_promise_says_so(bench: Bench) -> None:
    """What was measured of it is told all the same."""
    told = bench.does(f"build promised {SERIAL}").replace("\u2009", " ")

    assert "nothing was promised of it" in told
    assert "  relief: 0.18 mm, entry" in told


def test_an_order_can_come_after_the_serial(bench: Bench) -> None:
    """The office may say it, and is told of a day that is past."""
    bench.does("build begin Tidewarden --by 01")
    told = bench.does(f"build order {SECOND} --order A-18 --due 2025-11-20 --by 12")

    assert "note: 2025-11-20 is past, and today is 2026-01-05" in told
    bench.refuses(f"build order {SECOND} --to FR --by 12", "was set down in entry 34")


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"build change {SECOND} --why x", "that changes nothing"),
        (f"build change {SECOND} --why x --due 2026-11-20", "is 2026-11-20 already"),
        (f"build change {SECOND} --why '' --to JP", "the reason has 1 to"),
        (f"build change {SECOND} --why x --to Japan", "no country of two letters"),
        (f"build change {SECOND} --why x --version 2", "no version 2: the newest one"),
        (f"build change {SECOND} --why x --promise nut", "needs a name and a value"),
        (f"build change {SERIAL} --why x --to JP", "its build is closed"),
        (f"build change {SECOND} --why x --to JP --by 03", "needs the role lead"),
        ("build begin Tidewarden --due 20.11.", "is no day such as"),
        ("build begin Tidewarden --promise nut=44 --promise nut=45", "promised twice"),
        ("build promised 26-0099-5", "there is no instrument 26-0099-5"),
    ],
)
def test_what_is_no_order_is_refused(ordered: Bench, command: str, why: str) -> None:
    """With what is wrong, and nothing written anywhere."""
    by = "" if " --by " in command or "promised" in command[:14] else " --by 01"
    ordered.refuses(f"{command}{by}", why)


def test_what_may_be_a_slip_of_an_order_is_noted(ordered: Bench) -> None:
    """A second instrument of an order, and wood that nobody knows."""
    said = ordered.does(
        "build begin tidewarden --by 01 --order A-17 --promise top=Unobtainium"
    )

    assert said.splitlines() == [
        "26-0003-4: Tidewarden. Stamp nothing else.",
        "note: no table and no lot here knows 'Unobtainium' for the top: see that the "
        "wood is written as it is on its papers",
        f"note: order A-17 is of {SECOND} too: see that it is one order of several "
        "instruments",
    ]
    told = ordered.does(
        "build change 26-0003-4 --by 01 --why x --promise 'top=Picea abies'"
    )
    assert "note" not in told
