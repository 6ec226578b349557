"""Plain pages for an exported record: heads, links and tables, without a script.

They load nothing from anywhere, and fit a telephone: what is wide is moved in its own
box, a code is kept on one line, and a digest is broken wherever it must be.
"""

import re
from collections.abc import Iterable, Sequence
from html import escape
from typing import TextIO
from urllib.parse import quote

from ledger.quantities import THIN_SPACE

# What fits on one line of a cell is not broken.
SHORT = 24
TAG = re.compile(r"<[^>]*>")
# What has a hyphen and a digit, and fits on a telephone.
CODE = re.compile(r"(?=.*\d)(?=.*-)[\w.,:;-]{1,26}")
NARROW_SPACE = "\u202f"  # at which no line ends
# Of a scientific name what is not in italics.
UPRIGHT = frozenset(("sp.", "spp.", "cf.", "subsp.", "var.", "unknown"))
HEAD = """<!DOCTYPE html>
<html lang="en">
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy"
 content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width">
<title>{title}</title>
<style>
body {{ font: 18px/1.5 Georgia, serif; margin: 0 auto; max-width: 62em;
 padding: 1.5em 1em 3em; background: #fbf7ef; color: #1b1714;
 overflow-wrap: anywhere; }}
h1 {{ font-size: 1.7em; line-height: 1.2; padding-bottom: .3em;
 border-bottom: 5px solid; position: relative; }}
h1::after {{ content: ""; position: absolute; left: 0; right: 0; bottom: -9px;
 border-bottom: 1px solid; }}
h2 {{ margin: 2em 0 .5em; font-size: 1.2em; color: #5b3a1e; }}
a {{ color: #5b3a1e; }}
a:focus-visible, div:focus-visible {{ outline: 4px solid #1b1714;
 outline-offset: 3px; }}
div {{ overflow-x: auto; }}
table {{ border-collapse: collapse; }}
th, td {{ border-bottom: 1px solid #b9ac99; padding: .25em 1em .25em 0;
 text-align: left; vertical-align: top; overflow-wrap: break-word; }}
th {{ font-weight: normal; font-style: italic; color: #5b3a1e; line-height: 1.2;
 vertical-align: bottom; }}
td, b {{ font-family: Verdana, sans-serif; font-variant-numeric: tabular-nums; }}
td {{ font-size: .85em; min-width: 11em; max-width: 24em; white-space: pre-line; }}
td.short {{ min-width: 0; }}
td.short, b, i, span, td a {{ white-space: nowrap; }}
i {{ font: italic 1.15em Georgia, serif; }}
</style>
<h1>{head}</h1>
"""


class Html(str):
    """What is HTML already."""

    __slots__ = ()


def head(words: str, code: str = "") -> str:
    """Return how a page begins: its title, a code in it kept together."""
    title = escape(f"{words} {code}".strip())
    kept = f"{escape(words)} <b>{escape(code)}</b>" if code else title
    return HEAD.format(title=title, head=kept)


def write_table(
    page: TextIO, heads: Sequence[str], rows: Iterable[Sequence[object]]
) -> None:
    """Write a table, row by row as they come."""
    page.write("<div tabindex=0><table>\n<tr>")
    page.writelines(f"<th>{escape(words)}</th>" for words in heads)
    page.write("</tr>\n")
    for row in rows:
        page.write(f"<tr>{''.join(map(_td, row))}</tr>\n")
    page.write("</table></div>\n")


def prose(words: str) -> Html:
    """Return words as HTML; no line ends in a code, or between number and unit."""
    kept = (
        f"<span>{escape(word)}</span>" if CODE.fullmatch(word) else escape(word)
        for word in re.split(r"(\s+)", words)
    )
    return Html("".join(kept).replace(THIN_SPACE, NARROW_SPACE))


def species(name: str) -> Html:
    """Return a scientific name in italics, but for what is none of it."""
    words = (
        escape(word) if word in UPRIGHT else f"<i>{escape(word)}</i>"
        for word in name.split()
    )
    return Html(" ".join(words).replace("</i> <i>", " "))


def link(path: str, text: str = "") -> Html:
    """Return a link to a file of the folder."""
    return Html(f'<a href="{quote(path)}">{escape(text or path)}</a>')


def links(paths: Iterable[str]) -> Html:
    """Return links to some files, by their names."""
    return Html(", ".join(link(path, path.rpartition("/")[2]) for path in paths))


def _td(value: object) -> str:
    text = TAG.sub("", value) if isinstance(value, Html) else str(value)
    return f"<td{' class=short' if len(text) <= SHORT else ''}>{_cell(value)}</td>"


def _cell(value: object) -> str:
    if isinstance(value, Html):
        return value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return prose(str(value))
