"""flitchbook owner: a name for the office only, and none before the certificate."""

import pytest

from tests.cli.bench import SERIAL, Bench

REGISTER = f"owner register {SERIAL} 'Amélie Rousset' --by 12"


def test_an_owner_is_registered_once(bench: Bench) -> None:
    """The answer does not repeat the name; a second owner needs the slip."""
    said = bench.does(f"{REGISTER.replace(SERIAL, 'S/' + SERIAL)} --on 2026-01-05")

    assert said.startswith(f"The owner of {SERIAL} is registered by entry ")
    assert "Rousset" not in said
    bench.refuses(REGISTER, "a change of owner needs the transfer slip")


def test_an_owner_is_erased(bench: Bench) -> None:
    """Afterwards no file of the shop holds the name."""
    bench.does(REGISTER)
    told = bench.data(f"owner erase {SERIAL} --by 12 --approve 01")

    assert told.keys() == {"entry", "still_held"}
    for path in (bench.folder / "shop").rglob("*"):
        assert path.is_dir() or b"Rousset" not in path.read_bytes()


def test_owners_are_shown_by_name_to_the_office_alone(bench: Bench) -> None:
    """Everybody else hears how many there were, and of which slip."""
    bench.does(REGISTER)
    bench.does(f"owner slip {SERIAL} --out slip.pdf --by 12")
    shown, told = (
        bench.does(f"owner show {SERIAL} --by {badge}") for badge in ("01", "12")
    )

    assert "owner 1: Amélie Rousset, since 2026-01-05, with C-2026-00001" in shown
    assert "owner 1: sealed for the office" in told
    assert "slip W-2026-00001: works (entry" in told
    bench.refuses("owner show 26-0009-1 --by 01", "and so no owner")


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (
            f"owner transfer {SERIAL} --slip ABCD --to Kenji --by 12",
            "a slip's code has 27 letters and digits in groups of 4, and these are 4",
        ),
        (f"owner register {SERIAL} '' --by 12", "a name has 1 to 200 characters"),
        (f"owner register {SERIAL} A --by 12 --on today", "no day such as"),
        (f"owner register {SERIAL} A --by 03", "registering an owner needs the role"),
        ("owner register 26-0009-1 A --by 12", "has no certificate yet: issue it"),
        (f"owner erase {SERIAL} --by 12 --approve 01", "has no registered owner"),
    ],
)
def test_an_owner_is_not_entered_wrongly(bench: Bench, command: str, why: str) -> None:
    """No name, no day, no right, no certificate."""
    bench.refuses(command, why)
