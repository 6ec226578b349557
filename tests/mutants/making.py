"""Make the small mistakes that somebody might make in a module, one at a time.

A mutant is the module with one of them: a comparison that takes its bound in or leaves
it out, a condition that always holds or never, a step left out, an `and` for an `or`, a
number one too large, a word misspelt, a pattern with one sign less. Words that a person
reads are left alone, for they decide nothing.
"""

import ast
import copy
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

COMPARED = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
RECKONED = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.FloorDiv,
    ast.LShift: ast.RShift,
    ast.RShift: ast.LShift,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
    ast.BitXor: ast.BitOr,
}
NAMED = {"all": "any", "any": "all", "min": "max", "max": "min"}
# Calls whose answer may be mistaken for what they were called on.
TRIMMING = frozenset({"strip", "rstrip", "lower", "removeprefix"})
# Calls that may be left out: their first argument stands for itself.
TIDYING = frozenset({"sorted", "set", "reversed"})
LONG_HEX = re.compile(r"[0-9a-f]{16,}")

Put = Callable[[ast.AST], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """A module with one mistake: in which function, or as which constant, and what."""

    place: str  # the qualified name of a function, or of a module's constant
    line: int
    change: str
    tree: ast.Module
    is_constant: bool

    @property
    def name(self) -> str:
        """What the mutant is known by, wherever in the module it stands."""
        return f"{self.place}: {self.change}"


def mutants_of(source: str) -> Iterator[Mutant]:
    """Make every mutant of a module; two of the same name are told apart by a count.

    They share one tree, in which each has its mistake until the next is asked for.
    """
    tree = ast.parse(source)
    seen: dict[str, int] = {}
    for place, owner, is_constant in _places(tree):
        for node, put in _nodes(owner):
            for other, change in _mistakes(node):
                name = f"{place}: {change}"
                seen[name] = seen.get(name, 0) + 1
                count = f" ({seen[name]})" if seen[name] > 1 else ""
                put(ast.fix_missing_locations(ast.copy_location(other, node)))
                yield Mutant(
                    place=place,
                    line=_line(node),
                    change=change + count,
                    tree=tree,
                    is_constant=is_constant,
                )
                put(node)


def _line(node: ast.AST) -> int:
    """Return the line of a node, or of the first part of it that has one."""
    lines = (getattr(each, "lineno", None) for each in ast.walk(node))
    return next(line for line in lines if isinstance(line, int))


def _places(tree: ast.Module) -> Iterator[tuple[str, ast.stmt, bool]]:
    """Yield the outermost functions, those of classes too, and the constants."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            yield node.name, node, False
        elif isinstance(node, ast.ClassDef):
            for inner in node.body:
                if isinstance(inner, ast.FunctionDef):
                    yield f"{node.name}.{inner.name}", inner, False
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            if isinstance(target, ast.Name) and node.value and target.id != "__all__":
                yield target.id, node, True


def _nodes(owner: ast.stmt) -> Iterator[tuple[ast.AST, Put]]:
    """Yield what can be mistaken in a function's body, or in a constant's value.

    With each comes what puts another node in its place: no types, and no messages.
    """
    wanted = "body" if isinstance(owner, ast.FunctionDef) else "value"
    tops = [pair for pair in _inside(owner) if pair[2] == wanted]
    if isinstance(owner, ast.FunctionDef) and ast.get_docstring(owner) is not None:
        tops = tops[1:]
    while tops:
        node, put, _ = tops.pop(0)
        yield node, put
        tops = [*_inside(node), *tops]


def _inside(node: ast.AST) -> list[tuple[ast.AST, Put, str]]:
    """Return the parts of a node with what replaces each, and their field's name."""
    if isinstance(node, ast.Raise):
        return []
    found: list[tuple[ast.AST, Put, str]] = []
    is_message = isinstance(node, ast.JoinedStr) and _is_message(node)
    for field, value in ast.iter_fields(node):
        if isinstance(value, ast.AST) and field != "annotation":
            found.append((value, partial(setattr, node, field), field))
        elif isinstance(value, list):
            found += [
                (each, partial(value.__setitem__, n), field)
                for n, each in enumerate(value)
                if isinstance(each, ast.AST)
                and not (is_message and isinstance(each, ast.Constant))
            ]
    return found


def _mistakes(node: ast.AST) -> Iterator[tuple[ast.AST, str]]:
    for kind, make in MISTAKES:
        if isinstance(node, kind):
            for other in make(node):
                yield other, f"{_told(node)} -> {_told(other)}"


def _told(node: ast.AST) -> str:
    """Return a node's first line of code, and of a long one its beginning and end."""
    line = ast.unparse(node).partition("\n")[0]
    return line if len(line) <= 120 else f"{line[:80]} ... {line[-30:]}"


def _compare(node: ast.Compare) -> Iterator[ast.AST]:
    for n, operator in enumerate(node.ops):
        made = copy.deepcopy(node)
        made.ops[n] = COMPARED[type(operator)]()
        yield made


def _both(node: ast.BoolOp) -> Iterator[ast.AST]:
    for n in range(len(node.values)):
        left = [*node.values[:n], *node.values[n + 1 :]]
        yield left[0] if len(left) == 1 else ast.BoolOp(op=node.op, values=left)
    other = ast.Or() if isinstance(node.op, ast.And) else ast.And()
    yield ast.BoolOp(op=other, values=node.values)


def _reckon(node: ast.BinOp) -> Iterator[ast.AST]:
    other = RECKONED.get(type(node.op))
    if other is not None and not _is_message(node.left):
        yield ast.BinOp(left=node.left, op=other(), right=node.right)


def _deny(node: ast.UnaryOp) -> Iterator[ast.AST]:
    if isinstance(node.op, ast.Not | ast.USub):
        yield node.operand


def _branch(node: ast.If | ast.IfExp) -> Iterator[ast.AST]:
    for said in (True, False):
        made = copy.deepcopy(node)
        made.test = ast.Constant(said)
        yield made


def _sift(node: ast.comprehension) -> Iterator[ast.AST]:
    for n in range(len(node.ifs)):
        made = copy.deepcopy(node)
        del made.ifs[n]
        yield made


def _constant(node: ast.Constant) -> Iterator[ast.AST]:
    value = node.value
    if isinstance(value, bool):
        yield ast.Constant(not value)
    elif isinstance(value, int):
        yield ast.Constant(value + 1)
        if value > 0:
            yield ast.Constant(value - 1)
    elif isinstance(value, str) and not _is_message(node):
        yield ast.Constant(_misspelt(value))
    elif isinstance(value, bytes):
        yield ast.Constant(value[:-1] + bytes([value[-1] ^ 1]) if value else b"x")


def _misspelt(text: str) -> str:
    if LONG_HEX.fullmatch(text):
        return text[:-1] + ("0" if text[-1] != "0" else "1")
    return f"{text}x"


def _is_message(node: ast.AST) -> bool:
    if isinstance(node, ast.JoinedStr):
        return any(_is_message(part) for part in node.values)
    is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
    return is_text and " " in str(getattr(node, "value", "")).strip()


def _call(node: ast.Call) -> Iterator[ast.AST]:
    function = node.func
    if isinstance(function, ast.Attribute):
        if function.attr in TRIMMING:
            yield function.value
        if _is_pattern(function) and isinstance(node.args[0], ast.Constant):
            yield from _patterns(node)
    elif isinstance(function, ast.Name) and len(node.args) > 0:
        if function.id in TIDYING:
            yield node.args[0]
        if function.id in NAMED:
            name = ast.Name(id=NAMED[function.id], ctx=ast.Load())
            yield ast.Call(func=name, args=node.args, keywords=node.keywords)


def _is_pattern(function: ast.Attribute) -> bool:
    return isinstance(function.value, ast.Name) and (
        function.value.id,
        function.attr,
    ) == (
        "re",
        "compile",
    )


def _patterns(node: ast.Call) -> Iterator[ast.AST]:
    """Yield a pattern with one sign less, wherever it is a pattern still."""
    first = node.args[0]
    text = first.value if isinstance(first, ast.Constant) else ""
    if not isinstance(text, str | bytes):
        return
    for n in range(len(text)):
        shorter = _without(text, n)
        try:
            re.compile(shorter)
        except re.error:
            continue
        made = copy.deepcopy(node)
        made.args[0] = ast.Constant(shorter)
        yield made


def _without(text: str | bytes, n: int) -> str | bytes:
    if isinstance(text, str):
        return text[:n] + text[n + 1 :]
    return text[:n] + text[n + 1 :]


def _leave_out(node: ast.stmt) -> Iterator[ast.AST]:
    yield ast.Pass()


def _return_nothing(node: ast.Return) -> Iterator[ast.AST]:
    if node.value is not None and not _is_none(node.value):
        yield ast.Return(value=ast.Constant(None))


def _is_none(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _jump(node: ast.Break | ast.Continue) -> Iterator[ast.AST]:
    yield ast.Continue() if isinstance(node, ast.Break) else ast.Break()


MISTAKES: tuple[
    tuple[type | tuple[type, ...], Callable[..., Iterator[ast.AST]]], ...
] = (
    (ast.Compare, _compare),
    (ast.BoolOp, _both),
    (ast.BinOp, _reckon),
    (ast.UnaryOp, _deny),
    ((ast.If, ast.IfExp), _branch),
    (ast.comprehension, _sift),
    (ast.Constant, _constant),
    (ast.Call, _call),
    ((ast.Expr, ast.AugAssign, ast.Raise), _leave_out),
    (ast.Return, _return_nothing),
    ((ast.Break, ast.Continue), _jump),
)
