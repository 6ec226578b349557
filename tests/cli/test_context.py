"""Who signs, with which PIN, in which shop, by which clock."""

import sys
from datetime import timedelta
from pathlib import Path

import pytest

from cli import context
from tests.cli.bench import Bench

BEGIN = "build begin Tidewarden --by 01"
ENROL = "person enrol 'Teresa Quispe' --badge 04 --by 12 --approve 01"
WRONG = "that PIN or pass-phrase does not open the key of"


class Terminal:
    """A keyboard on which answers were typed beforehand."""

    def __init__(self, patch: pytest.MonkeyPatch, *typed: str) -> None:
        self.prompts: list[str] = []
        self._typed = list(typed)
        patch.setattr(context, "getpass", self.ask)
        patch.setattr(sys, "stdin", self)
        patch.delenv("FLITCHBOOK_PIN_FILE", raising=False)

    def isatty(self) -> bool:
        """Somebody sits here."""
        return True

    def ask(self, prompt: str) -> str:
        """Give the next answer."""
        self.prompts.append(prompt)
        return self._typed.pop(0)


@pytest.mark.parametrize(
    "text",
    [
        "01 4711\n",
        "01\t4711\r\n",
        "\ufeff01 4711\n",
        "0 9\n\n011 9\n  01   4711  \n",
        "4711",
        "4711\n02 0202\n",
    ],
)
def test_a_pin_comes_out_of_a_file(bench: Bench, text: str) -> None:
    """A badge and its PIN on a line, or one bare word for whoever signs."""
    bench.file("own", text)

    assert bench.does(f"{BEGIN} --pin-file own").startswith("26-0002-6")


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "there is nobody to ask for the PIN of Oluwaseun"),
        (b"02 0202\n", "give --pin-file with a line '01 …'"),
        (b"\xff\xfe4711", "the pin file own cannot be read"),
        (b"\x00\x9f\x01", "cannot be read: name a text file with lines such as"),
    ],
)
def test_a_pin_file_without_the_pin_is_no_help(
    bench: Bench, data: bytes, why: str
) -> None:
    """Empty, of somebody else, in another encoding, no text."""
    bench.file("own", data)

    bench.refuses(f"{BEGIN} --pin-file own", why)


@pytest.mark.parametrize("name", ["none", "shop"])
def test_a_pin_file_that_is_none_is_named(bench: Bench, name: str) -> None:
    """Missing, or a folder."""
    bench.refuses(f"{BEGIN} --pin-file {name}", f"the pin file {name} cannot be read")


def test_a_pin_comes_out_of_the_environment(bench: Bench) -> None:
    """FLITCHBOOK_PIN is the signer's only; an empty one is none."""
    bench.patch.delenv("FLITCHBOOK_PIN_FILE")
    bench.patch.setenv("FLITCHBOOK_PIN", "4711")

    assert bench.does(BEGIN).startswith("26-0002-6")
    bench.refuses(f"{BEGIN} --approve 12", "nobody to ask for the PIN of Rukmini")
    bench.patch.setenv("FLITCHBOOK_PIN", "")
    bench.refuses(BEGIN, "nobody to ask for the PIN of Oluwaseun")


def test_a_pin_is_typed_where_somebody_sits(bench: Bench) -> None:
    """The prompt says whose; the answer does not repeat it."""
    terminal = Terminal(bench.patch, "4711")
    said = bench.does(BEGIN)

    assert terminal.prompts == ['PIN of Oluwaseun "Seun" Adeyemi-Brandt, badge 01: ']
    assert "4711" not in said


def test_one_pin_draws_and_prints(bench: Bench) -> None:
    """The lead's key and the card key rest under the same PIN: it is asked for once."""
    terminal = Terminal(bench.patch, "4711")

    assert bench.run("label card C-2026-00001 --by 01 --out card.pdf").code == 0
    assert len(terminal.prompts) == 1


def test_a_new_pin_is_typed_twice(bench: Bench) -> None:
    """Two that differ do nothing; two that agree enrol, and open the key."""
    bench.patch.setenv("FLITCHBOOK_BY", "02")
    terminal = Terminal(bench.patch, "1212", "4711", "mallet", "malet")
    said = bench.run(ENROL)

    assert (said.code, said.out) == (1, "")
    assert "the two are not the same: nothing was done" in said.err
    assert terminal.prompts[2:] == ["New PIN for badge 04: ", "The same again: "]
    Terminal(bench.patch, "1212", "4711", "mallet", "mallet")
    assert "mallet" not in bench.does(ENROL)


def test_after_a_wrong_pin_one_waits_longer_each_time(bench: Bench) -> None:
    """Nobody guesses fast; the right PIN after the wait opens and forgets."""
    bench.step = timedelta(0)
    bench.file("wrong", "01 0000\n")
    waits = []
    for _ in range(7):
        assert WRONG in bench.run(f"{BEGIN} --pin-file wrong").err
        told = bench.run(BEGIN)
        waits.append(int(told.err.split()[-2]))
        bench.at += timedelta(seconds=31)

    assert waits == sorted(waits)
    assert (waits[0], waits[-1]) == (1, 30)
    assert "waits: try again in 30 s" in told.err
    assert bench.does(BEGIN).startswith("26-0002-6")
    assert "wrong-pins" not in str(list((bench.folder / "shop").rglob("*")))


@pytest.mark.parametrize(
    ("by", "why"),
    [
        ("", "say who signs: give --by with a badge or a name"),
        ("--by 99", "nobody here is called '99': give a name or a badge"),
        ("--by a", "'a' fits several people: give a badge, 01"),
        ("--by 陽子", "nobody here is called '陽子'"),
        ("--by 01 --approve 99", "nobody here is called '99'"),
        ("--by 01 --root none.json", "there is no root key at none.json: is its stick"),
        ("--by 01 --root pins", "nobody to ask for the pass-phrase of pins"),
    ],
)
def test_who_signs_must_be_somebody(bench: Bench, by: str, why: str) -> None:
    """A badge, a name, or a part of one that fits one person."""
    bench.refuses(f"build begin Tidewarden {by}", why)


def test_whoever_stands_here_all_day_says_so_once(bench: Bench) -> None:
    """FLITCHBOOK_BY signs for commands without --by, by part of a name too."""
    bench.patch.setenv("FLITCHBOOK_BY", "oluwa")

    assert bench.does("build begin Tidewarden").startswith("26-0002-6")


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"{", "is damaged, put back its copy"),
        (b"", "is damaged, put back its copy"),
        (b"\xff", "they are no text"),
        (b"{}", "is no flitchbook-key/1"),
    ],
)
def test_a_damaged_key_file_is_named(bench: Bench, data: bytes, why: str) -> None:
    """Whose it is, and to put back its copy."""
    for path in (bench.folder / "shop" / "keys").glob("*.json"):
        path.write_bytes(data)

    bench.refuses(BEGIN, "the key file of Oluwaseun")
    bench.refuses(BEGIN, why)


@pytest.mark.parametrize("name", ["none", "pins", "empty", "shop/keys", "''"])
@pytest.mark.parametrize("command", ["shop show", "record audit", BEGIN])
def test_a_folder_that_is_no_shop_is_named(
    bench: Bench, command: str, name: str
) -> None:
    """Missing, a file, empty, something else: how to name one or open one."""
    (bench.folder / "empty").mkdir()

    bench.refuses(f"{command} --shop {name}", "or open one with flitchbook shop open")


@pytest.mark.parametrize(
    ("name", "keep", "why"),
    [
        ("ledger.sqlite3", 40_000, "is cut off: it has 40000 bytes of"),
        ("ledger.sqlite3", 0, "holds no log; put back the newest copy"),
        ("ledger.sqlite3", None, "there is no log at"),
        ("vault.sqlite3", 20_000, "put back the newest copy"),
        ("vault.sqlite3", 0, "is empty; put back the newest copy"),
        ("vault.sqlite3", None, "no vault is at shop/vault.sqlite3"),
        ("shop.toml", 9, "shop/shop.toml cannot be read"),
    ],
)
def test_a_file_that_was_cut_off_is_named(
    bench: Bench, name: str, keep: int | None, why: str
) -> None:
    """Log, vault, settings: the sentence says to put back a copy."""
    path = bench.folder / "shop" / name
    data = path.read_bytes()
    path.unlink()
    if keep is not None:
        path.write_bytes(data[:keep])

    bench.refuses("person list", why)


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ('colour = "red"', "colour is no setting of a shop"),
        ('pattern = "x"', "pattern is no setting of a shop"),
        ("paper = 4", "paper is no text: write it in quotes"),
        ('paper = "A5"', "the paper is A4 or Letter, not 'A5'"),
        ('label_host = "https://skm.example"', "give its name alone"),
        ('label_host = "a.very.long.host.of.a.workshop.example"', "a label holds 33"),
        ('first_serial = "zzz"', "is not a serial of this shop"),
        ('serial_pattern = "x"\nfirst_serial = "1"', "is not a serial pattern"),
    ],
)
def test_a_strange_setting_is_named(bench: Bench, line: str, why: str) -> None:
    """Before it stops the shop at the first serial or label."""
    bench.file("shop/shop.toml", line)

    bench.refuses("person list", f"shop/shop.toml: {why}"[:15])
    bench.refuses("person list", why)


def test_a_clock_that_is_behind_is_refused(bench: Bench) -> None:
    """The sentence gives both times, and what a lead may say."""
    bench.at -= timedelta(days=2)

    bench.refuses(BEGIN, "have a lead say so with flitchbook record doubt-clock")


def test_a_clock_that_leapt_ahead_is_asked_about(bench: Bench) -> None:
    """After a long pause somebody looks at the clock and says so."""
    bench.at += timedelta(days=40)

    bench.refuses(BEGIN, "look at the clock, and if it is right say so with")
    assert bench.does(f"{BEGIN} --after-pause").startswith("26-0002-6")


@pytest.mark.parametrize(
    ("when", "why"),
    [("noon", "in UTC"), ("2026-01-07T08:00:00Z", "is still to come")],
)
def test_what_is_entered_late_happened_before(
    bench: Bench, when: str, why: str
) -> None:
    """No time, or one that has not come yet."""
    bench.refuses(f"{BEGIN} --happened-at {when}", why)


def test_what_is_entered_late_is_entered(bench: Bench) -> None:
    """When it happened stands beside the time it was entered."""
    said = bench.does(f"{BEGIN} --happened-at 2026-01-05T09:00:00Z")

    assert said.startswith("26-0002-6")


def test_the_shop_lies_where_the_platform_keeps_data(
    bare: Bench, tmp_path: Path
) -> None:
    """If nobody names a folder."""
    bare.patch.delenv("FLITCHBOOK_SHOP")
    bare.patch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))

    assert context.default_folder().name == "shop"
    assert "flitchbook" in context.default_folder().parts
    assert context.now().tzinfo is not None
