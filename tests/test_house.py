"""The rules of the house, held by the machine so that people need not remember them."""

import ast
import dataclasses
import importlib
import io
import re
import subprocess
import sys
import tokenize
import typing
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ROOMS = ("ledger", "labels", "demo", "cli")
LONGEST_FUNCTION = 50
LONGEST_MODULE = 400

# These hold more than the mirror of one module each.
OWN_TESTS = (
    "tests",
    "tests/vectors",
    "tests/scenarios",
    "tests/benchmarks",
    "tests/labels/verify",
)

# Put together here, so that this file does not break the rules it holds.
UNFINISHED = re.compile(rf"\b({'TO' + 'DO'}|{'FIX' + 'ME'})\b")
BARE_IGNORE = re.compile(r"#\s*type:\s*ignore(?!\[[a-z-]+)")
UNWANTED = {
    "a path of one machine": r"(?<![\w.*-])/("
    + "|".join(("wo" + "rk", "ro" + "ot", "ho" + "me"))
    + r")/\w",
    "the host of a registry": "|".join(
        re.escape(host)
        for host in (
            "pypi" + ".org",
            "python" + "hosted.org",
            "npm" + "js.org",
            "npm" + "js.com",
            "deb.debian" + ".org",
            "/opt/" + "wheels",
            "/opt/" + "pypi",
        )
    ),
    "a promise that nobody can keep": "tamper" + r"[- ]?" + "proof",
}

Rule = Callable[[ast.Module, str], Iterator[str]]
Function = ast.FunctionDef | ast.AsyncFunctionDef


def modules(*folders: str) -> list[Path]:
    """Return every Python file below the folders, in order."""
    return sorted(path for name in folders for path in (ROOT / name).rglob("*.py"))


def documents() -> Iterator[tuple[Path, str]]:
    """Yield every text file of the project that is not made by a program."""
    made = {"__pycache__", "demo-out"}
    kept = [entry for entry in ROOT.iterdir() if not entry.name.startswith(".")]
    for top in (ROOT / ".ci", *kept):
        for path in sorted(top.rglob("*")) if top.is_dir() else [top]:
            if path.is_file() and not made & {*path.relative_to(ROOT).parts}:
                try:
                    yield path, path.read_text(encoding="utf-8")
                except UnicodeDecodeError:
                    continue  # a font, a picture, a recording


def functions(tree: ast.AST) -> Iterator[Function]:
    """Yield every function, method and inner function."""
    return (node for node in ast.walk(tree) if isinstance(node, Function))


def public(tree: ast.Module) -> Iterator[Function | ast.ClassDef]:
    """Yield the functions and classes that others may use, and their methods."""
    waiting = list(tree.body)
    for node in waiting:
        if isinstance(node, Function | ast.ClassDef) and not node.name.startswith("_"):
            yield node
            if isinstance(node, ast.ClassDef):
                waiting.extend(node.body)


def long_functions(tree: ast.Module, _: str) -> Iterator[str]:
    """Find functions that are too long, their docstring not counted."""
    for function in functions(tree):
        first = function.body[0]
        docstring = ast.get_docstring(function, clean=False)
        told = (first.end_lineno or 0) - first.lineno + 1 if docstring else 0
        lines = (function.end_lineno or 0) - function.lineno + 1 - told
        if lines > LONGEST_FUNCTION:
            yield f"{function.name} has {lines} lines of {LONGEST_FUNCTION}"


def long_modules(_: ast.Module, text: str) -> Iterator[str]:
    """Find modules that are too long."""
    lines = len(text.splitlines())
    if lines > LONGEST_MODULE:
        yield f"the module has {lines} lines of {LONGEST_MODULE}"


def silent_names(tree: ast.Module, _: str) -> Iterator[str]:
    """Find what is public and has no docstring."""
    if not ast.get_docstring(tree) and tree.body:
        yield "the module has no docstring"
    for node in public(tree):
        if not ast.get_docstring(node):
            yield f"{node.name} has no docstring"


def unsourced(tree: ast.Module, _: str) -> Iterator[str]:
    """Find public functions that do not say where their fact comes from."""
    for node in public(tree):
        told = ast.get_docstring(node) or ""
        if node in tree.body and isinstance(node, Function) and "Source:" not in told:
            yield f"{node.name} names no source"


def hidden_imports(tree: ast.Module, _: str) -> Iterator[str]:
    """Find imports that only the type checker sees: there a layer is wrong."""
    for node in ast.walk(tree):
        names = (
            {alias.name for alias in node.names}
            if isinstance(node, ast.Import | ast.ImportFrom)
            else {getattr(node, "id", ""), getattr(node, "attr", "")}
        )
        if "TYPE_CHECKING" in names:
            yield f"line {getattr(node, 'lineno', 0)} hides an import"


def wide_excepts(tree: ast.Module, _: str) -> Iterator[str]:
    """Find handlers that would swallow any mistake; to undo and raise again is fine."""
    wide = {"Exception", "BaseException"}
    for node in ast.walk(tree):
        if isinstance(node, ast.ExceptHandler) and not raises_again(node):
            caught = list(ast.walk(node.type)) if node.type else []
            if not caught or any(getattr(name, "id", "") in wide for name in caught):
                yield f"line {node.lineno} catches everything"


def raises_again(handler: ast.ExceptHandler) -> bool:
    """Tell whether a handler ends by raising what it caught."""
    last = handler.body[-1]
    return isinstance(last, ast.Raise) and last.exc is None


def bare_ignores(_: ast.Module, text: str) -> Iterator[str]:
    """Find places where the type checker is silenced without saying about what."""
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type == tokenize.COMMENT and BARE_IGNORE.search(token.string):
            yield f"line {token.start[0]} silences every type error"


def unfinished(_: ast.Module, text: str) -> Iterator[str]:
    """Find notes that something remains to be done."""
    for number, line in enumerate(text.splitlines(), start=1):
        if UNFINISHED.search(line):
            yield f"line {number} is not finished"


RULES = (
    long_functions,
    long_modules,
    silent_names,
    hidden_imports,
    wide_excepts,
    bare_ignores,
    unfinished,
)


def broken(rule: Rule, paths: list[Path]) -> list[str]:
    """Return every breach of a rule, with its file."""
    found = []
    for path in paths:
        text = path.read_text(encoding="utf-8")
        for breach in rule(ast.parse(text), text):
            found.append(f"{path.relative_to(ROOT)}: {breach}")
    return found


@pytest.mark.parametrize("room", ROOMS)
def test_every_room_is_furnished(room: str) -> None:
    """A rule that finds no module to judge would always be content."""
    assert modules(room)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_the_rules_of_the_house_hold(rule: Rule) -> None:
    """No module of the project or of its tests breaks a rule."""
    found = broken(rule, modules(*ROOMS, "tests"))

    assert not found, "\n".join(found)


def test_facts_of_nature_craft_and_law_have_a_source() -> None:
    """Every public function about wood, shop rules or the law names its source."""
    rooms = [
        room
        for room in ("ledger/wood", "ledger/craft", "ledger/trade")
        if (ROOT / room).is_dir()
    ]
    found = broken(unsourced, modules(*rooms))

    assert rooms, "there is no room of facts"
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        (long_functions, "def f():\n" + "    g()\n" * LONGEST_FUNCTION),
        (long_modules, "g()\n" * (LONGEST_MODULE + 1)),
        (silent_names, '"""A."""\nclass C:\n    """B."""\n    def f(self): ...'),
        (unsourced, 'def f():\n    """Return a fact."""'),
        (hidden_imports, "from typing import TYPE_CHECKING"),
        (hidden_imports, "import typing\nif typing.TYPE_CHECKING: import os"),
        (wide_excepts, "try: f()\nexcept (OSError, Exception): g()"),
        (wide_excepts, "try: f()\nexcept: g()"),
        (bare_ignores, "f()  # type: " + "ignore"),
        (unfinished, "# " + "TO" + "DO: more"),
    ],
)
def test_each_rule_sees_its_fault(rule: Rule, text: str) -> None:
    """A rule that a plain breach does not disturb is no rule."""
    assert len(list(rule(ast.parse(text), text))) >= 1


@pytest.mark.parametrize("what", UNWANTED)
def test_no_file_holds_what_is_unwanted(what: str) -> None:
    """No text names a folder of one machine, a registry, or a promise too large."""
    pattern = re.compile(UNWANTED[what], re.IGNORECASE)
    found = [
        f"{path.relative_to(ROOT)}: {match[0]}"
        for path, text in documents()
        if (match := pattern.search(text))
    ]

    assert not found, "\n".join(found)


def test_every_whole_number_in_an_event_names_its_unit() -> None:
    """A number whose unit is not in its name will be misread in sixty years."""
    quantities = importlib.import_module("ledger.quantities")
    events = importlib.import_module("ledger.events").EVENTS
    nameless = [
        f"{owner.__name__}.{field}"
        for owner, field in whole_numbers(events)
        if not quantities.is_unit_named(field)
    ]

    assert len(events) > 1
    assert not nameless, "\n".join(nameless)


def whole_numbers(classes: tuple[type, ...]) -> list[tuple[type, str]]:
    """Return each field that holds integers, in the classes and those within them."""
    found, waiting = [], list(dict.fromkeys(classes))
    for owner in waiting:
        hints = typing.get_type_hints(owner)
        for field in dataclasses.fields(owner):
            parts = set(parts_of(hints[field.name]))
            if int in parts:
                found.append((owner, field.name))
            inner = [part for part in parts if dataclasses.is_dataclass(part)]
            waiting.extend(part for part in inner if part not in waiting)
    return found


def parts_of(hint: object) -> Iterator[type]:
    """Yield the plain types that a hint is made of."""
    inner = typing.get_args(hint)
    for part in inner:
        yield from parts_of(part)
    if not inner and isinstance(hint, type):
        yield hint


def test_whole_numbers_are_found_wherever_they_hide() -> None:
    """An integer is seen in a list, beside nothing, and in a class within the class."""

    @dataclasses.dataclass(frozen=True)
    class Inner:
        rings: tuple[int, ...]
        sawn: bool

    inner = dataclasses.make_dataclass(
        "Outer", [("age", int | None), ("parts", tuple[Inner, ...]), ("name", str)]
    )

    assert whole_numbers((inner,)) == [(inner, "age"), (Inner, "rings")]


def test_the_tests_mirror_the_tree() -> None:
    """Whoever changes a module finds its tests without searching."""
    astray = []
    for test in modules("tests"):
        inner = test.relative_to(ROOT)
        if test.name.startswith("test_") and inner.parent.as_posix() not in OWN_TESTS:
            place = ROOT / inner.relative_to("tests").parent
            judged = place / test.name.removeprefix("test_")
            if not judged.exists() and not judged.with_suffix("").is_dir():
                astray.append(f"{inner} has no {judged.relative_to(ROOT)}")

    assert not astray, "\n".join(astray)


def commands() -> Iterator[tuple[str, typing.Any]]:
    """Yield every command that a person can type, with all its words."""
    get_command = importlib.import_module("typer.main").get_command
    waiting = [("flitchbook", get_command(importlib.import_module("cli.main").app))]
    for words, command in waiting:
        children = getattr(command, "commands", {})
        waiting.extend((f"{words} {name}", each) for name, each in children.items())
        if not children and not command.hidden:
            yield words, command


def test_every_command_has_help() -> None:
    """A command that does not say what it does might as well not be there."""
    found = dict(commands())
    silent = [words for words, command in found.items() if not command.help]

    assert len(found) > 1
    assert not silent, "\n".join(silent)


def test_every_command_is_in_the_readme() -> None:
    """The README shows each command at least once, with its full words."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = " ".join(readme.split())
    found = dict(commands())
    absent = [words for words in found if not re.search(rf"{words}\b", shown)]

    assert len(found) > 1
    assert not absent, "\n".join(absent)


@pytest.mark.parametrize(
    ("shell", "script"),
    [
        ("sh", "demo/environment.sh"),
        ("sh", "demo/run"),
        ("sh", "tests/run"),
        ("bash", ".ci/run"),
    ],
)
def test_a_script_can_be_read_by_its_shell(shell: str, script: str) -> None:
    """The shell finds no error of grammar in a script."""
    read = subprocess.run(
        [shell, "-n", ROOT / script], capture_output=True, text=True, check=False
    )

    assert (read.returncode, read.stderr) == (0, "")


def test_no_test_may_skip_where_none_is_allowed(tmp_path: Path) -> None:
    """A skip is a failure, with its reason, where everything must have run."""
    (tmp_path / "conftest.py").write_text("from tests.conftest import *\n")
    (tmp_path / "test_skip.py").write_text(
        "import pytest\ndef test_late(): pytest.skip('no saw')\n"
        "@pytest.mark.xfail\ndef test_known(): assert False\n"
    )
    (tmp_path / "test_early.py").write_text(
        "import pytest\npytest.skip('no wood', allow_module_level=True)\n"
    )
    command = [sys.executable, "-m", "pytest", "--continue-on-collection-errors"]
    run = subprocess.run(
        [*command, str(tmp_path)],
        cwd=tmp_path,
        env={"PYTHONPATH": str(ROOT), "FLITCHBOOK_NO_SKIP": "1"},
        capture_output=True,
        text=True,
        check=False,
    )

    assert run.returncode == pytest.ExitCode.TESTS_FAILED
    assert "no saw (FLITCHBOOK_NO_SKIP is set" in run.stdout
    assert "no wood (FLITCHBOOK_NO_SKIP is set" in run.stdout
    assert "1 failed, 1 xfailed, 1 error" in run.stdout
