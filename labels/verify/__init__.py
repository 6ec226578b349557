"""The page that checks: one file, opened by anybody, with no network.

    page = verify.page(name="Skerrymoor Fretted Instruments", keys=keys_file)

It shares no code with `ledger.check`, and answers the same. The modules in `js` import
one another by name, so that they can be read one by one; here they become one script,
each after those it imports, in a page that allows no other script, style or address.
Its letters are the faces of the house, cut smaller, and lie in the page too.
"""

import base64
import hashlib
import re
from html import escape
from importlib.resources import files
from importlib.resources.abc import Traversable

FIRST = "main.js"
IMPORT = re.compile(r'^import \{[^}]*\} from "\./([a-z-]+\.js)";\n', re.MULTILINE)
EXPORT = re.compile(r"^export (?=(?:async )?function |const |class )", re.MULTILINE)
HERE = files(__package__)
# The file of a face, and by which family, slant and weight the style names it.
FACES = (
    ("FlitchText-Regular", "Flitch Text", "normal", 400),
    ("FlitchText-Italic", "Flitch Text", "italic", 400),
    ("FlitchText-SemiBold", "Flitch Text", "normal", 600),
    ("FlitchTextCaps-Medium", "Flitch Text Caps", "normal", 500),
    ("FlitchData-Medium", "Flitch Data", "normal", 500),
    ("FlitchData-ExtraBold", "Flitch Data", "normal", 800),
)


def page(*, name: str = "", keys: bytes = b"", beside: str = "") -> bytes:
    """Return the page, with the keys file of the shop that makes it, if it gives one.

    `beside` is script that runs after the page's own, for whoever tests it.
    """
    script, style = bundle(FIRST) + beside, _faces() + _text("page.css")
    policy = (
        f"default-src 'none'; script-src '{_allowed(script)}'; "
        f"style-src '{_allowed(style)}'; font-src data:; img-src data:; "
        f"base-uri 'none'; form-action 'none'"
    )
    parts = {
        "policy": policy,
        "name": escape(name),
        "keys": _base64(keys),
        "style": style,
        "script": script,
    }
    text = re.sub(r"\{\{([a-z]+)\}\}", lambda m: parts[m[1]], _text("page.html"))
    return text.encode("utf-8")


def bundle(first: str) -> str:
    """Return a module and all that it imports as one script, what is imported first."""
    done: dict[str, str] = {}
    _gather(first, done, ())
    return "\n".join(done.values())


def _gather(name: str, done: dict[str, str], above: tuple[str, ...]) -> None:
    if name in above:
        raise ValueError(f"{' imports '.join((*above, name))}: a circle")
    if name in done:
        return
    source = _text(f"js/{name}")
    for imported in IMPORT.findall(source):
        _gather(imported, done, (*above, name))
    done[name] = EXPORT.sub("", IMPORT.sub("", source)).strip() + "\n"


def _faces() -> str:
    """Return the rules that give the style its faces, each with all its letters."""
    fonts = files("labels") / "fonts"
    return "".join(
        f'@font-face {{ font-family: "{family}"; font-style: {slant}; '
        f"font-weight: {weight}; font-display: block; "
        f"src: url(data:font/woff2;base64,"
        f"{_base64((fonts / f'{name}.woff2').read_bytes())}) }}\n"
        for name, family, slant, weight in FACES
    )


def _base64(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")


def _allowed(text: str) -> str:
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"sha256-{_base64(digest)}"


def _text(name: str) -> str:
    at: Traversable = HERE
    for part in name.split("/"):
        at = at / part
    return at.read_text(encoding="utf-8")
