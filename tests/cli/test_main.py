"""The program: three exits, one sentence, nothing loaded before there is work."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.main import get_command

from cli import context, main
from ledger.errors import NotFoundError
from tests.cli.bench import Bench

HEAVY = [
    "PIL",
    "cbor2",
    "cryptography",
    "numpy",
    "pikepdf",
    "pydantic",
    "pypdfium2",
    "qrcode",
    "reportlab",
    "sqlalchemy",
    "sqlite3",
    "sqlmodel",
]
ROOT = Path(main.__file__).parent.parent
# No file may grow beyond a limit, as on a disk that is full.
FULL = (
    "import resource, signal; signal.signal(signal.SIGXFSZ, signal.SIG_IGN); "
    "resource.setrlimit(resource.RLIMIT_FSIZE, ({limit}, {limit})); "
    "from cli.main import run; run()"
)
LOADED = (
    "import atexit, json, sys; atexit.register(lambda: print(json.dumps("
    "sorted({n.partition('.')[0] for n in sys.modules})), file=sys.stderr)); "
    "from cli.main import run; run()"
)


def commands() -> Iterator[str]:
    """Yield the words of every command and of every noun."""
    waiting = [("", get_command(main.app))]
    for words, command in waiting:
        yield words
        children = getattr(command, "commands", {})
        waiting.extend((f"{words} {name}", each) for name, each in children.items())


def loaded(*words: str, cwd: Path) -> tuple[int, set[str]]:
    """Run a command in a new interpreter; return its exit and what it imported."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *words],
        cwd=cwd,
        env={"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, set(json.loads(done.stderr.splitlines()[-1]))


@pytest.mark.parametrize("words", list(commands()))
def test_every_command_and_noun_explains_itself(bare: Bench, words: str) -> None:
    """Help needs no shop, and each option says what it is for."""
    said = bare.does(f"{words} --help")

    assert said.startswith("Usage: flitchbook")
    assert all(
        len(line.split()) > 1
        for line in said.splitlines()
        if line.lstrip().startswith("--")
    )


@pytest.mark.parametrize(
    ("command", "fault"),
    [
        ("plank", "No such command 'plank'"),
        ("lot burn", "No such command 'burn'"),
        ("board weigh", "Missing argument 'board'"),
        ("lot show", "Missing argument"),
        ("lot show L26-001 L26-002", "unexpected extra argument"),
        ("lot show L26-001 --colour", "No such option"),
        ("record audit --level deep", "'deep' is not one of 'tree', 'roles', 'all'"),
        ("label board L26-001 --out x --on A5", "'A5' is not one of"),
        ("shop open N --lead A", "Missing option '--new-root'"),
    ],
)
def test_a_wrong_use_is_exit_2(bench: Bench, command: str, fault: str) -> None:
    """It says what is wrong and where help is, and writes nothing."""
    before = bench.all_that_is_kept()
    said = bench.run(command)

    assert (said.code, said.out) == (2, "")
    assert fault in said.err and "-h' for help" in said.err
    assert bench.all_that_is_kept() == before


@pytest.mark.parametrize("mass", ["-205 g", "-.5 kg"])
def test_a_number_with_a_minus_is_told_from_an_option(bench: Bench, mass: str) -> None:
    """After what the program says of options comes what to do."""
    said = bench.run(f"board weigh L26-001-01.A '{mass}'")

    assert (said.code, said.out) == (2, "")
    assert said.err.endswith(
        f"flitchbook: {mass!r} begins with a minus and was read as an option: leave "
        f"the minus away, for nothing weighs or measures less than nothing\n"
    )
    assert "minus" not in bench.run("board weigh L26-001-01.A --colour 205").err


@pytest.mark.parametrize(
    ("words", "code"), [("--help", 0), ("certificate check", 2), ("plank", 2), ("", 2)]
)
def test_help_and_wrong_use_load_nothing_heavy(
    tmp_path: Path, words: str, code: int
) -> None:
    """No database, no PDF, no cryptography for somebody who only asks how."""
    ended, modules = loaded(*words.split(), cwd=tmp_path)

    assert ended == code
    assert not modules & set(HEAVY)


def test_a_stranger_s_check_loads_no_database(tmp_path: Path) -> None:
    """What judges a certificate needs none, and draws nothing."""
    (tmp_path / "x.json").write_text("{}")
    ended, modules = loaded("certificate", "check", "x.json", cwd=tmp_path)

    assert ended == 1
    assert not modules & {"sqlmodel", "sqlalchemy", "sqlite3", "reportlab", "pikepdf"}


def test_a_refusal_is_one_sentence_and_exit_1(
    bare: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever the ledger refuses is told without a trace of the program."""

    def refuse(*_: object) -> None:
        raise NotFoundError("there is no such wood")

    monkeypatch.setattr(context.Desk, "shop", property(refuse))

    assert bare.run("trace L26-001") == bare.run("trace L26-001")
    assert bare.run("trace L26-001").err == "flitchbook: there is no such wood\n"


def test_what_the_machine_refuses_is_one_sentence_too(
    bare: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It names the place, and what to look at."""

    def fail(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied", "shop/shop.toml")

    monkeypatch.setattr(context.Desk, "_open", fail)
    said = bare.run("shop show")

    assert (said.code, said.out) == (1, "")
    assert said.err == (
        "flitchbook: shop/shop.toml cannot be read or written (Permission denied); see "
        "that the folder is there, that it may be written and that the disk has room\n"
    )


def test_a_person_who_breaks_off_sees_no_trace(
    bare: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C ends the command, and that is all."""

    def break_off(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(context.Desk, "_open", break_off)
    said = bare.run("shop show")

    assert said.code in (1, 130)
    assert "Traceback" not in said.err


@pytest.mark.parametrize(
    ("command", "kib"),
    [
        ("build begin Tidewarden --by 01", 2),
        ("build begin Tidewarden --by 01", 20),
        ("document file note.txt --paper note --by 02", 120),
        ("shop open N --lead A --new-root root-1.json --shop new", 20),
        ("shop open N --lead A --new-root root-1.json --shop new", 120),
        ("record export copy", 2),
        ("record backup copies", 120),
        ("demo --out demo-out", 120),
    ],
)
def test_a_full_disk_is_told_and_leaves_nothing(
    bench: Bench, command: str, kib: int
) -> None:
    """No half file and no half shop stays, whatever grew too large."""
    bench.does("record checkpoint")
    bench.file("note.txt", "x" * 300_000)
    (bench.folder / "copies").mkdir()
    before = bench.all_that_is_kept()
    done = subprocess.run(
        [sys.executable, "-c", FULL.format(limit=kib * 1024), *command.split()],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )

    assert (done.returncode, done.stderr.count("\n")) == (1, 1), done.stderr
    assert done.stderr.startswith("flitchbook: ")
    assert bench.all_that_is_kept() == before


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("record correct -1 --why x", "entries are numbered from 0 on"),
        ("lot balance --year -1", "--year -1 is below nought: write the year with"),
        ("gauge due --within -1", "--within -1 is below nought: days are counted"),
    ],
)
def test_a_count_below_nought_is_told_what_it_counts(
    bench: Bench, command: str, why: str
) -> None:
    """Nothing is weighed there, so nothing is said of weighing."""
    said = bench.run(command)

    assert (said.code, said.out) == (2, "")
    assert why in said.err and "weighs" not in said.err
