"""flitchbook hold: what is in doubt on one screen, and cleared by a lead."""

import json

import pytest

from tests.cli.bench import SERIAL, Bench

PLACE = "hold place D26-0001 --why 'a letter came' --since 2026-01-04 --by 03"


@pytest.fixture
def held(bench: Bench) -> Bench:
    """Give a bench at a shop whose paper for one lot is in doubt."""
    bench.does(PLACE)
    return bench


def test_a_hold_tells_at_once_how_much_it_covers(bench: Bench) -> None:
    """By its number, and where to see the rest."""
    told = bench.does(PLACE)

    assert told.splitlines()[0].startswith(
        "H26-001: document D26-0001, delivery note 7/26 is in doubt, entry "
    )
    assert "Print its tag with flitchbook label hold H26-001.\n" in told
    assert "On hold: 1 lot, 0 boards in the rack, 0 builds in progress, " in told
    assert "1 instrument finished here, 0 that left." in told


def test_one_screen_shows_all_and_never_says_more_than_in_doubt(held: Bench) -> None:
    """Lots with their papers then, instruments, amounts, and each entry."""
    told = held.does("hold show H26-001")

    assert "H26-001: in doubt since 2026-01-04: document D26-0001" in told
    assert '"a letter came"' in told
    assert "by these dates in force on 2026-01-05" in told
    assert told.endswith("Print its tag with flitchbook label hold H26-001.\n")
    assert "finished, in the shop: 1" in told and SERIAL in told
    assert "Picea abies, instruments: 2 pieces, 0.412" in told
    for word in ("illegal", "unlawful", "forbidden", "compliant"):
        assert word not in told.casefold()


def test_a_program_is_told_the_same(held: Bench) -> None:
    """Codes, entries and amounts as numbers."""
    told = held.data("hold show H26-001")

    assert [lot["lot"] for lot in told["lots"]] == ["L26-001"]
    assert told["lots"][0]["papers"][0]["was_in_force"] is True
    assert told["in_instruments"] == ["L26-001-01.A", "L26-001-01.B"]
    (build,) = told["finished_here"]
    assert (build["serial"], build["certificate"]) == (SERIAL, "C-2026-00001")
    assert build["owner"] == "none"
    (amount,) = told["amounts"]
    assert (amount["pieces"], amount["mass_mg"]) == (2, 412_000)
    assert amount["volume_mm3"] == 953_207
    assert json.dumps(told)


def test_an_owner_is_told_of_as_registered_and_not_by_name(bench: Bench) -> None:
    """The name is for those who may know it."""
    bench.does(f"owner register {SERIAL} 'Amélie Rousset' --by 12")
    bench.does(PLACE)
    told = bench.does("hold show H26-001")

    assert "left the shop: 1" in told
    assert "with its registered owner, owner registered" in told
    assert "Amélie" not in told


def test_a_lot_is_cleared_and_a_hold_is_lifted(held: Bench) -> None:
    """The list and the screen keep what was."""
    cleared = held.does("hold lift H26-001 --only L26-001 --why 'not of it' --by 01")
    assert cleared.startswith("L26-001 is cleared of H26-001; entry ")
    shown = held.does("hold show H26-001")
    assert "cleared: L26-001" in shown and '"not of it"' in shown
    assert "lots: 0" in shown
    lifted = held.does("hold lift H26-001 --why 'the office wrote' --by 01")
    assert lifted.startswith("H26-001 is lifted; entry ")

    listed = held.does("hold list")
    assert "H26-001: document D26-0001" in listed and "lifted by entry" in listed
    assert held.data("hold list")["holds"][0]["lifted_by"] is not None
    assert '"the office wrote"' in held.does("hold show H26-001")


def test_a_shop_without_holds_says_so(bench: Bench) -> None:
    """An empty answer would leave one guessing."""
    assert bench.does("hold list") == "no hold was ever placed\n"


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("place L26-099 --why so --by 03", "there is no lot L26-099"),
        ("place nobody --why so --by 03", "'nobody' is no code"),
        ("place L26-001 --why ' ' --by 03", "the reason has 1 to"),
        ("place L26-001 --why so --since never --by 03", "'never' is no day"),
        ("lift H26-001 --why so --by 03", "lifting a hold needs the role lead"),
        ("lift H26-001 --only L26-002 --why so --by 01", "does not cover lot, board"),
        ("lift H26-009 --why so --by 01", "there is no hold H26-009"),
        ("show H26-009", "there is no hold H26-009"),
        ("show L26-001", "is not the code of a hold"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(
    held: Bench, command: str, why: str
) -> None:
    """With nothing written."""
    held.refuses(f"hold {command}", why)


def test_a_certified_instrument_on_hold_is_in_no_shipment(held: Bench) -> None:
    """The refusal names the hold and what is in doubt."""
    held.refuses(
        f"shipment plan {SERIAL} --from GB --to FR --for sale --by 12",
        f"{SERIAL} is in doubt by hold H26-001 on document D26-0001",
    )
