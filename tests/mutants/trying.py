"""Try whether the tests of a module see its mutants.

The tests run once as the module is, and are noted by the lines they come by. Then
each mutant gets a process of its own, forked from the one in which all is imported and
every test collected: the mutant's code takes the place of the function's, and the
tests that come by its line run, the quickest first, until one of them fails. One that
takes too long, or too much memory, is seen as well.
"""

import ast
import importlib
import inspect
import os
import resource
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

import coverage
import pytest
from _pytest.runner import runtestprotocol

from tests.mutants.making import Mutant, mutants_of
from tests.thrift import forget_signatures

# A test may take this much longer than with the module as it is.
SECONDS_MORE, TIMES_LONGER = 1, 5
MOST_BYTES = 4 << 30
SEEN, UNSEEN, BROKEN = 0, 1, 2


@dataclass(kw_only=True)
class Trial:
    """A module on trial: a pytest plugin that tries all its mutants."""

    path: str  # from the project's folder
    told: Callable[[Mutant, bool], None]
    wanted: Callable[[Mutant], bool] = lambda _: True
    seconds: dict[str, float] = field(default_factory=dict)
    failed: list[str] = field(default_factory=list)

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Run the tests as they are, then those that meet each mutant."""
        by_line = self._tests_by_line(session.items)
        if self.failed:
            return True
        for mutant in mutants_of(Path(self.path).read_text(encoding="utf-8")):
            if self.wanted(mutant):
                items = self._meeting(mutant, by_line, session.items)
                self.told(mutant, self._is_seen(mutant, items))
        return True

    def _tests_by_line(self, items: Sequence[pytest.Item]) -> dict[int, set[str]]:
        measured = coverage.Coverage(data_file=None, include=[self.path])
        measured.start()
        for item, following in zip(items, [*items[1:], items[-1]], strict=True):
            measured.switch_context(item.nodeid)
            began = time.process_time()
            reports = runtestprotocol(item, log=False, nextitem=following)
            self.seconds[item.nodeid] = time.process_time() - began
            self.failed += [r.nodeid for r in reports if r.failed]
        measured.stop()
        data = measured.get_data()
        lines = data.contexts_by_lineno(str(Path(self.path).resolve()))
        return {line: set(tests) - {""} for line, tests in lines.items()}

    def _meeting(
        self, mutant: Mutant, by_line: dict[int, set[str]], items: list[pytest.Item]
    ) -> list[pytest.Item]:
        """Return the tests that come by a mutant's line, or by a use of a constant."""
        lines = [mutant.line]
        if mutant.is_constant:
            lines = [n.lineno for n in _named(mutant.tree, mutant.place)]
        near = set().union(*(by_line.get(line, set()) for line in lines))
        met = [item for item in items if item.nodeid in near or not near]
        return sorted(met, key=lambda item: self.seconds[item.nodeid])

    def _is_seen(self, mutant: Mutant, items: Sequence[pytest.Item]) -> bool:
        child = os.fork()
        if child == 0:
            os._exit(self._tried(mutant, items))
        _, status = os.waitpid(child, 0)
        return not os.WIFEXITED(status) or os.WEXITSTATUS(status) != UNSEEN

    def _tried(self, mutant: Mutant, items: Sequence[pytest.Item]) -> int:
        """Run the tests against the mutant; what ends by a signal is seen, too."""
        resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
        try:
            _put_in(self.path, mutant)
        except (SyntaxError, ValueError, TypeError, ArithmeticError, LookupError):
            return BROKEN
        forget_signatures()
        for item in items:
            longest = SECONDS_MORE + TIMES_LONGER * self.seconds[item.nodeid]
            end = int(time.process_time() + longest) + 1
            resource.setrlimit(resource.RLIMIT_CPU, (end, resource.RLIM_INFINITY))
            # What the last test left standing may belong to another module's tests.
            item.session._setupstate.teardown_exact(item)
            reports = runtestprotocol(item, log=False, nextitem=item)
            if any(report.failed for report in reports):
                return SEEN
        return UNSEEN


def _put_in(path: str, mutant: Mutant) -> None:
    """Let the mutant's code do the work of the module's own, wherever it is used."""
    name = path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    module = importlib.import_module(name)
    if mutant.is_constant:
        _put_in_constant(module, mutant)
        return
    code = compile(mutant.tree, path, "exec", dont_inherit=True)
    function = _function(module, mutant.place)
    function.__code__ = next(c for c in _codes(code) if c.co_qualname == mutant.place)


def _put_in_constant(module: ModuleType, mutant: Mutant) -> None:
    said = next(
        node.value
        for node in mutant.tree.body
        if isinstance(node, ast.Assign | ast.AnnAssign)
        and node.value is not None
        and ast.unparse(_target(node)) == mutant.place
    )
    old = vars(module)[mutant.place]
    code = compile(ast.Expression(said), "constant", "eval")
    new = eval(code, dict(vars(module)))  # noqa: S307 - it is the project's own code
    for other in [m for n, m in sys.modules.items() if n.startswith("ledger")]:
        if vars(other).get(mutant.place) is old:
            setattr(other, mutant.place, new)


def _named(tree: ast.Module, name: str) -> Iterator[ast.Name]:
    """Yield where a constant is used in the module's own functions."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and node.id == name:
            yield node


def _target(node: ast.Assign | ast.AnnAssign) -> ast.expr:
    return node.targets[0] if isinstance(node, ast.Assign) else node.target


def _function(module: ModuleType, place: str) -> FunctionType:
    found: Any = module
    for part in place.split("."):
        found = inspect.getattr_static(found, part)
    for inner in ("fget", "__func__", "__wrapped__"):
        found = getattr(found, inner, found)
    if not isinstance(found, FunctionType):
        raise TypeError(f"{place} is no function")
    return found


def _codes(code: CodeType) -> Iterator[CodeType]:
    yield code
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield from _codes(inner)
