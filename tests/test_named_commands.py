"""Whoever is told to run a command can run it: each that is named is one there is."""

import ast
import re
from collections.abc import Iterator

import pytest

from tests.test_house import ROOMS, ROOT, commands, modules

# What is typed begins with the program's name; a sentence about it goes on otherwise.
NAMED = re.compile(r"\bflitchbook(?! (?:that|with)\b)(?: [a-z][a-z-]*)+")
GAP = "\0"  # what is only known when it is said


def texts(tree: ast.AST) -> Iterator[str]:
    """Yield every text of a module, each whole, on one line."""
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            parts = (getattr(value, "value", GAP) for value in node.values)
            text = "".join(part if isinstance(part, str) else GAP for part in parts)
            yield " ".join(text.split())
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield " ".join(node.value.split())


def unknown(text: str, known: set[str]) -> list[str]:
    """Return what a text names that is neither a command nor the beginning of one."""
    begun = {
        " ".join(words[:n])
        for words in (each.split() for each in known)
        for n in range(1, len(words) + 1)
    }
    return [words for named in NAMED.findall(text) if (words := _astray(named, begun))]


def test_every_command_that_is_named_is_there() -> None:
    """In refusals, in help, on paper and in docstrings."""
    known = {words for words, _ in commands()}
    astray = {
        f"{path.relative_to(ROOT)}: {words}"
        for path in modules(*ROOMS)
        if "flitchbook " in (source := path.read_text(encoding="utf-8"))
        for text in texts(ast.parse(source))
        if "flitchbook " in text
        for words in unknown(text, known)
    }

    assert len(known) > 1
    assert not astray, "\n".join(sorted(astray))


@pytest.mark.parametrize(
    ("text", "astray"),
    [
        ("run flitchbook record audit", []),
        ("run flitchbook record", []),
        ("with flitchbook record witness take and a name", []),
        ("flitchbook demo loft makes one", []),
        ("run flitchbook record\n    audti now", ["flitchbook record audti"]),
        ("run flitchbook recrod audit", ["flitchbook recrod"]),
        (f"run flitchbook {GAP} audti", []),
    ],
)
def test_a_command_that_is_none_is_seen(text: str, astray: list[str]) -> None:
    """Misspelt in any word, or written over two lines."""
    known = {
        "flitchbook record audit",
        "flitchbook record witness take",
        "flitchbook demo",
    }

    assert unknown(" ".join(text.split()), known) == astray


def _astray(named: str, begun: set[str]) -> str:
    """Return the words up to the first that leads nowhere, or nothing."""
    known, words = "", named.split()
    for n in range(1, len(words) + 1):
        longer = " ".join(words[:n])
        if longer not in begun:
            # After a whole command comes what it is told, or the rest of a sentence.
            is_whole = not any(each.startswith(f"{known} ") for each in begun)
            return "" if is_whole else longer
        known = longer
    return ""
