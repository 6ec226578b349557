"""What the page can say: the sentences in its script and in its frame, as they stand.

    literals.sentences()  # {"a record has at most {1} bytes": "entry.js", …}

A sentence is a literal with a space and two letters in it; literals joined by a plus
are one. What is put into a sentence is a hole, numbered from 1, as in its translations.
"""

import re
from html.parser import HTMLParser
from typing import Final

from labels.verify import HERE

# What a slash divides stands behind one of these; elsewhere it begins a pattern.
VALUE = re.compile(r"[\w)\]}\"'`]\s*$")
PATTERN = re.compile(r"/(?:\\.|\[(?:\\.|[^\]\\])*\]|[^/\\\n\[])+/[a-z]*")
PLAIN = re.compile(r"\"(?:\\.|[^\"\\])*\"|'(?:\\.|[^'\\])*'")
# A sentence that is put behind another by its name.
CONSTANT = re.compile(r"\+\s*[A-Z][A-Z_]+\b")
ESCAPE = re.compile(r"\\(u[0-9a-f]{4}|.)")
# Literals with a space in them that nobody reads.
NO_WORDS: Final = frozenset(
    {
        "flitchbook-status {1}",
        "{1} {2}",
        "— ",
        "extra ",
    }
)
HIDDEN = ("style", "script", "title")


def sentences() -> dict[str, str]:
    """Return what can be said, each with the place where it first stands."""
    found: dict[str, str] = {}
    for path in sorted((HERE / "js").iterdir(), key=lambda one: one.name):
        for text in literals(path.read_text(encoding="utf-8")):
            if _is_said(text):
                found.setdefault(text, path.name)
    for text in frame():
        found.setdefault(text, "page.html")
    return found


def literals(source: str) -> list[str]:
    """Return the literals of a script, those joined by a plus as one."""
    found: list[str] = []
    joined, at = False, 0
    while at < len(source):
        rest = source[at : at + 2]
        if rest == "//":
            at = source.find("\n", at)
            continue
        if source[at] in "\"'":
            text, at = _plain(source, at)
            inner: list[str] = []
        elif source[at] == "`":
            text, at, inner = _template(source, at)
        elif source[at] == "/" and not VALUE.search(source[:at][-40:]):
            pattern = PATTERN.match(source, at)
            at, joined = (pattern.end() if pattern else at + 1), False
            continue
        else:
            constant = CONSTANT.match(source, at) if joined else None
            if constant:
                found.append(_renumbered(found.pop(), "{1}"))
            joined = joined and (source[at].isspace() or source[at] == "+")
            at = constant.end() if constant else at + 1
            continue
        if joined:
            text = _renumbered(found.pop(), text)
        found += [*inner, text]
        joined = True
    return found


def frame() -> list[str]:
    """Return the words of the page's frame: texts to be translated, and labels."""
    reader = _Frame()
    reader.feed((HERE / "page.html").read_text(encoding="utf-8"))
    return reader.found


class _Frame(HTMLParser):
    """Gathers what stands in elements that are translated, and every label."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.is_said = False

    def handle_starttag(self, _: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a label, and whether the text that follows is translated."""
        given = dict(attrs)
        self.is_said = "data-say" in given
        if given.get("aria-label"):
            self.found.append(str(given["aria-label"]))

    def handle_data(self, data: str) -> None:
        """Note a text that is translated."""
        if self.is_said and data.strip():
            self.found.append(" ".join(data.split()))
            self.is_said = False


def _is_said(text: str) -> bool:
    bare = re.sub(r"\{[0-9]\}", "", text)
    is_sentence = " " in text and len(re.findall(r"[^\W\d_]", bare)) > 1
    return is_sentence and text not in NO_WORDS


def _plain(source: str, at: int) -> tuple[str, int]:
    found = PLAIN.match(source, at)
    assert found, source[at : at + 60]
    return _unescaped(found[0][1:-1]), found.end()


def _template(source: str, at: int) -> tuple[str, int, list[str]]:
    """Read a literal between backticks; its holes may hold literals of their own."""
    text, inner, holes = "", [], 0
    at += 1
    while source[at] != "`":
        if source.startswith("${", at):
            end = _hole(source, at + 2)
            holes += 1
            text += f"{{{holes}}}"
            inner += literals(source[at + 2 : end])
            at = end + 1
        else:
            step = 2 if source[at] == "\\" else 1
            text += _unescaped(source[at : at + step])
            at += step
    return text, at + 1, inner


def _hole(source: str, at: int) -> int:
    """Return where the brace stands that ends a hole."""
    depth = 0
    while depth or source[at] != "}":
        if source[at] == "`":
            at = _template(source, at)[1]
            continue
        if source[at] in "\"'":
            at = _plain(source, at)[1]
            continue
        depth += {"{": 1, "}": -1}.get(source[at], 0)
        at += 1
    return at


def _renumbered(first: str, then: str) -> str:
    """Join two pieces of one sentence, the holes numbered through."""
    count = len(re.findall(r"\{[0-9]\}", first))
    return first + re.sub(r"\{([0-9])\}", lambda m: f"{{{int(m[1]) + count}}}", then)


def _unescaped(text: str) -> str:
    def meant(found: re.Match[str]) -> str:
        sign = found[1]
        return chr(int(sign[1:], 16)) if len(sign) == 5 else {"n": "\n"}.get(sign, sign)

    return ESCAPE.sub(meant, text)
