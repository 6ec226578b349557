"""The one file of the page that checks: small, one script, and nothing loose."""

import base64
import re
from pathlib import Path

from labels import verify
from tests.labels.verify.pages import KEYS, SHOP

MODULES = sorted(Path(str(verify.HERE / "js")).glob("*.js"))
IMPORT = "import "
TOP_LEVEL = re.compile(
    r"^(?:export )?(?:async )?(?:function\*?|const|let|class) (\w+)", re.MULTILINE
)
FORBIDDEN = (
    "innerHTML",
    "outerHTML",
    "insertAdjacent",
    "document.write",
    "eval(",
    "Function(",
    "fetch(",
    "XMLHttpRequest",
    "WebSocket",
    "sendBeacon",
    "sessionStorage",
    "indexedDB",
    "cookie",
    "import(",
)


def test_the_page_stays_small() -> None:
    """700 kB are the most, with a shop's keys file in it."""
    assert len(verify.page(name=SHOP, keys=KEYS)) <= 700_000


def test_the_script_does_nothing_that_the_page_forbids() -> None:
    """No markup out of texts, no code out of texts, no network and no storage."""
    script = verify.bundle(verify.FIRST)
    square = (verify.HERE / "vendor/qr.js").read_text(encoding="utf-8")

    assert len(script) > 20_000
    assert [word for word in FORBIDDEN if word in script + square] == []
    for text in (script, square, verify.words()):
        assert not re.search("</script|<!--", text, re.IGNORECASE)


def test_one_module_alone_remembers() -> None:
    """What a browser keeps of a visit is the number of a status list, and no more."""
    uses = [p.name for p in MODULES if "localStorage" in p.read_text(encoding="utf-8")]

    assert uses == ["memory.js"]


def test_what_is_not_ours_bears_its_licence() -> None:
    """In the tree beside it, and by a line in every page that is made."""
    licence = (verify.HERE / "vendor/LICENSE-qr.txt").read_text(encoding="utf-8")

    assert "Permission is hereby granted, free of charge" in licence
    assert "/*! QR decoder of qr 0.7.0, (c) 2023 Paul Miller, MIT" in (
        verify.page().decode()
    )


def test_modules_are_small_and_share_no_name() -> None:
    """They become one script: no name stands twice, and nothing else is imported."""
    texts = [path.read_text(encoding="utf-8") for path in MODULES]
    names = [name for text in texts for name in TOP_LEVEL.findall(text)]
    imports = [line for text in texts for line in text.splitlines() if IMPORT in line]

    assert len(texts) > 10 and len(names) > 100
    assert sorted(names) == sorted(set(names))
    assert all(verify.IMPORT.fullmatch(f"{line}\n") for line in imports)
    assert all(len(text.splitlines()) <= 300 for text in texts)


def test_a_name_cannot_leave_its_place() -> None:
    """A shop whose name is markup, or one of the page's own marks, stays a name."""
    name = '"><script>{{keys}}</script>'
    text = verify.page(name=name, keys=KEYS).decode()

    assert name not in text
    assert "&quot;&gt;&lt;script&gt;{{keys}}&lt;/script&gt;" in text
    assert text.count("<script>") == 1
    assert base64.b64encode(KEYS).decode() in text


def test_every_module_is_in_the_script_once() -> None:
    """Each behind those that it imports, and none is left out."""
    script = verify.bundle(verify.FIRST)
    firsts = [path.read_text(encoding="utf-8").splitlines()[0] for path in MODULES]

    assert len({*firsts}) == len(MODULES)
    assert all(script.count(first) == 1 for first in firsts)
