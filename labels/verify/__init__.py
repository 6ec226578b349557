"""The page that checks: one file, opened by anybody, with no network.

    page = verify.page(name="Skerrymoor Fretted Instruments", keys=keys_file)

It shares no code with `ledger.check`, and answers the same. The modules in `js` import
one another by name, so that they can be read one by one; here they become one script,
each after those it imports, in a page that allows no other script, style or address.
Before it stand the words of the page in other languages (`words`), the trade's as the
papers have them, and a reader of squares that is not ours (`vendor`). Its letters are
the faces of the house, cut smaller, and lie in the page too. `site` is the same page
for the shop's own site, beside a worker that keeps it for when there is no network.
"""

import base64
import hashlib
import json
import re
from html import escape
from importlib.resources import files
from importlib.resources.abc import Traversable

from labels import terms
from labels.tongue import tongue

FIRST = "main.js"
# Where cards point to under the host, and beside it the worker that keeps the page.
PLACE, KEEP = "v", "v-keep.js"
LANGUAGES = ("de", "es", "fr")
IMPORT = re.compile(r'^import \{[^}]*\} from "\./([a-z-]+\.js)";\n', re.MULTILINE)
EXPORT = re.compile(r"^export (?=(?:async )?function |const |class )", re.MULTILINE)
HERE = files(__package__)
# What a certificate says in words of the trade, which the papers' catalogues have.
TRADE = (
    *terms.KINDS,
    *terms.OTHER_KINDS,
    *terms.PARTS,
    *terms.STEPS,
    *terms.MEANINGS,
    *terms.OTHERS,
)
# The file of a face, and by which family, slant and weight the style names it.
FACES = (
    ("FlitchText-Regular", "Flitch Text", "normal", 400),
    ("FlitchText-Italic", "Flitch Text", "italic", 400),
    ("FlitchText-SemiBold", "Flitch Text", "normal", 600),
    ("FlitchTextCaps-Medium", "Flitch Text Caps", "normal", 500),
    ("FlitchData-Medium", "Flitch Data", "normal", 500),
    ("FlitchData-ExtraBold", "Flitch Data", "normal", 800),
)


def page(
    *,
    name: str = "",
    keys: bytes = b"",
    status: bytes = b"",
    host: str = "",
    beside: str = "",
    workers: str = "",
) -> bytes:
    """Return the page, with the keys file of the shop that makes it, if it gives one.

    `status` is its newest status list, and `host` where its cards say that the page
    lies. `beside` is script that runs after the page's own; `workers` is from where the
    page may take a worker, and it takes none unless it is given.
    """
    script = "\n".join((_text("vendor/qr.js"), words(), bundle(FIRST) + beside))
    style = _faces() + _text("page.css")
    policy = (
        f"default-src 'none'; script-src '{_allowed(script)}'; "
        f"style-src '{_allowed(style)}'; font-src data:; img-src data:; "
        f"{workers and f'worker-src {workers}; '}base-uri 'none'; form-action 'none'"
    )
    parts = {
        "policy": policy,
        "name": escape(name),
        "host": escape(host),
        "keys": _base64(keys),
        "status": _base64(status),
        "style": style,
        "script": script,
    }
    text = re.sub(r"\{\{([a-z]+)\}\}", lambda m: parts[m[1]], _text("page.html"))
    return text.encode("utf-8")


def site(*, name: str, keys: bytes, status: bytes, host: str) -> dict[str, bytes]:
    """Return what a host of plain files gives out: the page and what lies with it.

    The worker is a file of its own, since a browser takes one from nowhere else. It
    lies above the page, because cards point to HOST/v with no slash at its end, and a
    worker within the folder would not answer for that. Keys file and list lie there for
    whoever asks for them; the page does not.
    """
    register = "\n" + _text("site/register.js")
    made = page(
        name=name,
        keys=keys,
        status=status,
        host=host,
        beside=register,
        workers="'self'",
    )
    keep = _text(f"site/{KEEP}").encode("utf-8")
    files = {f"{PLACE}/index.html": made, KEEP: keep, f"{PLACE}/keys.json": keys}
    return files | ({f"{PLACE}/status.json": status} if status else {})


def words() -> str:
    """Return the script that names the translations of the page's sentences.

    Parts and steps are named in it as on paper, out of the same catalogues.
    """
    known = {name: json.loads(_text(f"words/{name}.json")) for name in LANGUAGES}
    trade = {name: {each: tongue(name)(each) for each in TRADE} for name in LANGUAGES}
    return _constant("TRANSLATIONS", known) + _constant("TRADE", trade)


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


def _constant(name: str, known: dict[str, dict[str, str]]) -> str:
    """Return words by language as a constant of the script."""
    text = json.dumps(known, ensure_ascii=False, separators=(",", ":"))
    return f"const {name} = {text.replace('<', chr(92) + 'u003c')};\n"


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
