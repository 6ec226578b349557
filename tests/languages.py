"""Bring the catalogues up to the papers' words: python -m tests.languages.

New words come in without a translation, unused ones go, and what is translated is
packed for use. A test says which words still want one.
"""

import ast
from collections.abc import Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

from babel.messages import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from labels.tongue import CATALOGUES
from ledger.languages import LANGUAGES

ROOT = Path(__file__).parents[1]
# By which words are said: in one form, or in one for each number.
ONE, MORE = ("say", "term"), "many"
# Lines of a header that change with the day or the tool, or say nothing.
IDLE = (
    b'"POT-Creation-Date',
    b'"PO-Revision-Date',
    b'"Generated-By',
    b'"Project-Id-Version',
    b'"Report-Msgid-Bugs-To',
    b'"Last-Translator',
    b'"Language-Team',
)
NO_DAY = datetime(2000, 1, 1, tzinfo=UTC)
TRANSLATED = tuple(language for language in LANGUAGES if language != "en")


def said() -> Catalog:
    """Return every word that the papers say by way of a catalogue."""
    template = Catalog(charset="utf-8", fuzzy=False)
    for path in _modules():
        for words in said_in(path.read_text(encoding="utf-8")):
            template.add(words, locations=[(path.relative_to(ROOT).as_posix(), 0)])
    return template


def said_in(text: str) -> Iterator[str | tuple[str, str]]:
    """Yield the words that a module says, also where a call stands in braces."""
    for call in ast.walk(ast.parse(text)):
        if not isinstance(call, ast.Call):
            continue
        words = [word for part in call.args for word in _literals(part)]
        name = _name(call.func)
        if name == MORE and len(words) == 2:
            yield words[0], words[1]
        elif name in ONE:
            yield from words


def _name(called: ast.expr) -> str:
    """Return by which name something is called; say of tongue(language)(words) too."""
    if isinstance(called, ast.Call) and _name(called.func) == "tongue":
        return "say"
    if isinstance(called, ast.Attribute):
        return called.attr
    return called.id if isinstance(called, ast.Name) else ""


def _literals(part: ast.expr) -> Iterator[str]:
    """Yield the words that an argument may be."""
    if isinstance(part, ast.IfExp):
        yield from _literals(part.body)
        yield from _literals(part.orelse)
    elif isinstance(part, ast.Constant) and isinstance(part.value, str):
        yield part.value


def _modules() -> Iterator[Path]:
    """Yield the modules that have to do with catalogues."""
    for room in ("labels", "cli"):
        for path in sorted((ROOT / room).glob("*.py")):
            if "labels.tongue import" in path.read_text(encoding="utf-8"):
                yield path


def read(language: str) -> Catalog:
    """Return the catalogue of a language."""
    with (CATALOGUES / f"{language}.po").open("rb") as stream:
        return read_po(stream, locale=language)


def brought_up(language: str) -> Catalog:
    """Return the catalogue of a language with the words of today, and no other."""
    catalogue = read(language)
    catalogue.update(said(), no_fuzzy_matching=True, update_header_comment=False)
    catalogue.obsolete.clear()
    return catalogue


def written(catalogue: Catalog) -> bytes:
    """Return a catalogue as the PO file that people read and write."""
    out = BytesIO()
    write_po(out, catalogue, width=88, sort_output=True, include_lineno=False)
    lines = out.getvalue().splitlines(keepends=True)
    return (
        b"".join(line for line in lines if not line.startswith(IDLE)).rstrip() + b"\n"
    )


def packed(catalogue: Catalog) -> bytes:
    """Return a catalogue as the MO file that the papers read."""
    catalogue.creation_date = catalogue.revision_date = NO_DAY
    out = BytesIO()
    write_mo(out, catalogue)
    return out.getvalue()


def main() -> None:
    """Write both files of every language."""
    for language in TRANSLATED:
        text = written(brought_up(language))
        (CATALOGUES / f"{language}.po").write_bytes(text)
        (CATALOGUES / f"{language}.mo").write_bytes(packed(read(language)))


if __name__ == "__main__":
    main()
