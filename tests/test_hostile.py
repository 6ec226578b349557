"""Whatever a file holds that somebody was sent, a command answers in one sentence."""

import json
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests import skerrymoor
from tests.harming import COLOUR, FILES
from tests.shops import certified_folder

__all__ = ["certified_folder"]

ROOT = Path(__file__).parent.parent
MOST_KIBIBYTES = 700_000
LISTED = "lot receive --species Picea --form sawn --received 2026-01-05 --by 02 --list"
# How each kind of file is handed over, and which of them are.
GIVEN: dict[str, str] = {
    "certificate check": "huge.json huge.pdf huge.card huge.proof deep.json pipe "
    "digits.json deep.card long.card many.card power.card swollen.pdf nothing",
    "certificate check certificate.json --keys": "huge.json deep.json pipe nothing",
    "certificate since": "huge.pdf huge.json",
    "record audit --against": "huge.pdf huge.proof pipe nothing",
    "determine": "huge.json deep.json digits.json pipe nothing",
    "calc tap": "huge.wav lie.wav nan.wav choir.wav pipe nothing",
    "calc air": f"huge.csv nul.csv quotes.csv columns.csv {COLOUR}.csv pipe",
    "shop policy --by 01": "huge.json deep.json digits.json pipe nothing",
    "lot plots L26-001 --harvested-from 2025-10-01 --harvested-to 2025-11-01 --by 02": (
        "huge.json deep.json deep-plots.json digits.json pipe"
    ),
    LISTED: "huge.csv nul.csv quotes.csv formula.csv columns.csv pipe nothing "
    f"{COLOUR}.csv",
    "model define Parlour --by 01 --from": "huge.csv deep.json pipe nothing",
    "board photograph L26-001-01 --by 02": "huge.png wide.png swollen.pdf pipe nothing",
    "document file --by 02": "huge.pdf pipe",
    "lot receive --species Picea --form sawn --boards 1 --received 2026-01-05 --by 02 "
    "--pin-file": "huge.csv nothing deep.json",
    "shop keys --root": "huge.json deep.json digits.json nothing",
    "lot show": f"{COLOUR} \u202egnol " + "L" * 100_000,
}
IMPORTED = (
    "huge-checkpoints huge-keys huge-shop.toml piped-keys piped-records.txt "
    "piped-shop.toml piped-vault.sqlite3 huge-records.txt linked-keys"
)
COMMANDS = [
    *([*how.split(), file] for how, files in GIVEN.items() for file in files.split()),
    *(["record", "import", name, "--shop", "new"] for name in IMPORTED.split()),
]


@pytest.fixture(scope="module")
def answers(
    tmp_path_factory: pytest.TempPathFactory, certified_folder: Path
) -> Iterator[dict[str, dict[str, Any]]]:
    """Give what each command said, one process with little room for all of them."""
    folder = tmp_path_factory.mktemp("hostile")
    shutil.copytree(certified_folder, folder, dirs_exist_ok=True)
    pins = "".join(f"{name} {pin}\n" for name, pin in skerrymoor.PINS.items())
    (folder / "pins").write_text(pins)
    vectors = ROOT / "tests/vectors/log"
    shutil.copy(vectors / "certificate.json", folder)
    for name, make in FILES.items():
        make(folder / name)
    for name in IMPORTED.split():
        spoil(folder / name, *name.split("-", 1))
    run = subprocess.run(
        [sys.executable, "-m", "tests.harming", str(folder)],
        cwd=ROOT,
        env={
            "PATH": "",
            "PYTHONPATH": str(ROOT),
            "FLITCHBOOK_SHOP": "shop",
            "FLITCHBOOK_PIN_FILE": "pins",
        },
        input=json.dumps(COMMANDS),
        capture_output=True,
        text=True,
        check=True,
    )
    told = json.loads(run.stdout)
    yield {" ".join(c): t for c, t in zip(COMMANDS, told, strict=True)}
    shutil.rmtree(folder)


def spoil(folder: Path, how: str, what: str) -> None:
    """Make an export of the vectors' record in which one file means harm."""
    folder.mkdir()
    vectors = ROOT / "tests/vectors/log"
    shutil.copy(vectors / "records.txt", folder)
    shutil.copy(vectors / "checkpoint", folder / "checkpoints")
    path = folder / what
    if how == "huge":
        with path.open("ab") as file:
            file.truncate(1 << 30)
        return
    path.unlink(missing_ok=True)
    if how == "piped":
        FILES["pipe"](path)
    else:
        path.symlink_to(vectors / "keys.json")


@pytest.mark.parametrize("command", [" ".join(c)[:120] for c in COMMANDS], ids=ascii)
def test_a_file_that_means_harm_gets_one_sentence(
    answers: dict[str, dict[str, Any]], command: str
) -> None:
    """It is refused, or cannot be judged; never a traceback, never without bound."""
    told = next(t for words, t in answers.items() if words[:120] == command)

    assert told["code"] in (1, 2), told["err"][-2000:]
    assert "Traceback" not in told["err"]
    if told["err"].startswith("flitchbook: "):
        assert told["err"].count("\n") == 1
    assert len(told["out"] + told["err"]) < 3000
    assert told["most_kibibytes"] < MOST_KIBIBYTES


def test_nothing_is_said_that_turns_a_terminal_round(
    answers: dict[str, dict[str, Any]],
) -> None:
    """Neither a colour nor a mark that reverses what follows comes through."""
    said = "".join(t["out"] + t["err"] for t in answers.values())

    assert "\\x1b[31m" in said
    assert "\\u202e" in said
    assert not set(said) & {"\x1b", "\x9b", "\u202e"}
