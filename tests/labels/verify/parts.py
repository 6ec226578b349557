"""The parts of the page's reader, asked one by one what they give."""

import base64
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser

from labels import verify
from ledger.errors import LedgerError
from tests import browser as browsers

Ask = Callable[[str, Sequence[Any]], list[Any]]
FAULT = "a fault"
# RFC 8032 section 7.1, tests 1 to 3: key, message, signature.
RFC_8032 = [
    (
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e06522490155"
        "5fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
        "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac"
        "18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
]
# Runs one of the page's functions over many inputs; bytes come as {"b64": …}.
EACH = """async ([source, inputs]) => {
    const given = (v) => {
        if (Array.isArray(v)) return v.map(given);
        return v && v.b64 !== undefined ? fromBase64(v.b64) : v;
    };
    const shown = (v) => (v instanceof Uint8Array ? hexOf(v) : v);
    const out = [];
    for (const input of inputs) {
        try {
            out.push(shown(await parts[source](...given(input))));
        } catch (fault) {
            out.push(fault instanceof Fault ? "a fault" : `threw ${fault}`);
        }
    }
    return out;
}"""
PARTS = """
globalThis.fromBase64 = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
globalThis.Fault = Fault;
globalThis.hexOf = hexOf;
globalThis.parts = {
    check, canCheck, hasSigned, publicBytes, rootFromPath, isDay, isMoment, base64Bytes,
    hexBytes, byCodePoint: (a, b) => Math.sign(byCodePoint(a, b)),
    why: (data) => {
        try { return parseObject(data) && ""; } catch (fault) { return fault.message; }
    },
    rewritten: (data) => canonical(parseObject(data)),
    head: (note) => {
        const { origin, size, root } = parseCheckpoint(parseNote(note));
        return [origin, size, hexOf(root)];
    },
    noteKey: async (text) => hexOf((await parseNoteKey(text)).raw),
    record: async (data) => hexOf((await parseRecord(data)).leaf),
    proofIndex: (text) => parseProof(text).index,
    keysNumber: async (data) => (await readKeysFile(data)).number,
    cbor: (data) => { exactCbor(data); return "read"; },
};
globalThis.ready = true;
"""


@contextmanager
def asked(
    browser: Browser, folder: Path, *, before: str = "() => null"
) -> Iterator[Ask]:
    """Yield a way to ask one of the page's functions about many inputs."""
    path = folder / "verify.html"
    path.write_bytes(verify.page(beside=PARTS))
    with browsers.page(browser) as page:
        page.goto(path.as_uri())
        page.wait_for_function("globalThis.ready === true")
        page.evaluate(before)
        yield lambda name, inputs: list(
            page.evaluate(EACH, [name, [_plain(given) for given in inputs]])
        )


def _plain(given: Any) -> Any:
    if isinstance(given, bytes):
        return {"b64": base64.b64encode(given).decode("ascii")}
    return [_plain(one) for one in given] if isinstance(given, list | tuple) else given


def said(call: Callable[..., Any], *given: Any) -> Any:
    """Return what the ledger's own function gives, or that it is a fault."""
    try:
        found = call(*given)
    except (LedgerError, ValueError):
        return FAULT
    return found.hex() if isinstance(found, bytes) else found
