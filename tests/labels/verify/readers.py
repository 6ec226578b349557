"""Both readers side by side: the ledger's own, and the page in a browser.

What each says is made plain, so that the two can be compared: the word, and the facts.
"""

import base64
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser

from labels import verify
from ledger.check import Answer, check
from ledger.craft.measured import UNITS
from ledger.events import CertificateIssued
from ledger.log.card import CardClaims
from tests import browser as browsers
from tests.labels.verify.cases import Case

Plain = dict[str, Any]
Reader = Callable[[Sequence[Case]], list[Plain]]
# So many go to the page in one call; and no call carries more than this, in bytes.
MOST, LARGEST = 400, 16_000_000
# What is given is written in base64, each keys file once; what comes back is plain.
JUDGE = """async ({ keys, cases }) => {
    const bytes = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
    const files = keys.map(bytes);
    const answers = [];
    for (const [data, at] of cases) {
        try {
            answers.push(await judged(bytes(data), at < 0 ? null : files[at]));
        } catch (fault) {
            answers.push({ word: `threw ${fault}` });
        }
    }
    return answers;
}"""
# What the two are compared by; the reasons are each reader's own words.
TOLD = (
    "word",
    "facts",
    "names",
    "index",
    "entered",
    "said",
    "key",
    "checkpoint",
    "date",
    "card",
)
BESIDE = "globalThis.judged = check; globalThis.ready = true;"


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """An input about which the readers do not agree, and what each says of it."""

    what: str
    ledger: Plain
    page: Plain

    def __str__(self) -> str:
        """Say what differs, the word first."""
        names = [n for n in TOLD if self.ledger.get(n) != self.page.get(n)]
        said = (f"{n}: {self.ledger.get(n)!r} / {self.page.get(n)!r}" for n in names)
        return f"{self.what}: {'; '.join(said)}"


@contextmanager
def page(browser: Browser, folder: Path) -> Iterator[Reader]:
    """Yield the page as a reader of many cases: a file, and no network."""
    path = folder / "verify.html"
    path.write_bytes(verify.page(beside=BESIDE))
    with browsers.page(browser) as opened:
        opened.goto(path.as_uri())
        opened.wait_for_function("globalThis.ready === true")

        def read(cases: Sequence[Case]) -> list[Plain]:
            keys = list(dict.fromkeys(c.keys for c in cases if c.keys is not None))
            at = {data: n for n, data in enumerate(keys)}
            given = {
                "keys": [_b64(data) for data in keys],
                "cases": [
                    [_b64(c.data), -1 if c.keys is None else at[c.keys]] for c in cases
                ],
            }
            return [seen(answer) for answer in opened.evaluate(JUDGE, given)]

        yield read


def ledger(cases: Sequence[Case]) -> list[Plain]:
    """Read the cases as the ledger does."""
    return [told(check(case.data, case.keys)) for case in cases]


def differences(
    cases: Sequence[Case], said: Sequence[Plain], seen: Sequence[Plain]
) -> list[Difference]:
    """Return the cases of which the page says another word or other facts."""
    return [
        Difference(what=case.what, ledger=one, page=other)
        for case, one, other in zip(cases, said, seen, strict=True)
        if any(one.get(name) != other.get(name) for name in TOLD)
    ]


def batches(cases: Sequence[Case]) -> Iterator[Sequence[Case]]:
    """Yield the cases in as many calls as they need."""
    batch: list[Case] = []
    size = 0
    for case in cases:
        if batch and (len(batch) == MOST or size + len(case.data) > LARGEST):
            yield batch
            batch, size = [], 0
        batch.append(case)
        size += len(case.data) + len(case.keys or b"")
    if batch:
        yield batch


def told(answer: Answer) -> Plain:
    """Return what the ledger answers in the page's own form, nothing left empty."""
    head = answer.checkpoint
    return _without_nothing(
        {
            "word": answer.word,
            "facts": answer.facts and _facts(answer.facts, answer.names or {}),
            "names": answer.names or None,
            "index": answer.index,
            "entered": answer.entered,
            "checkpoint": head
            and {"origin": head.origin, "size": head.size, "root": head.root.hex()},
            "said": answer.said,
            "key": answer.key,
            "date": answer.keys_date,
            "card": answer.card and _card(answer.card),
        }
    )


def seen(answer: Plain) -> Plain:
    """Return what the page answers, nothing left empty."""
    dated = {"date": (answer.get("keys") or {}).get("date")}
    return _without_nothing(answer | dated | {"names": answer.get("names") or None})


def _facts(event: CertificateIssued, names: dict[str, str]) -> Plain:
    makers = [
        {"badge": m.badge, "work": m.work, "name": names.get(m.subject)}
        for m in event.makers
    ]
    materials = [
        {
            "part": m.part,
            "species": m.species,
            "trade_name": m.trade_name,
            "board": m.board,
            "mass_mg": m.mass_mg,
            "harvested_in": m.harvested_in,
            "received_on": m.received_on,
            "sawyer": names.get(m.sawyer.subject) if m.sawyer else None,
        }
        for m in event.materials
    ]
    measures = [
        {"what": m.what} | {unit: getattr(m, unit) for unit in UNITS}
        for m in event.measures
    ]
    run = event.run
    return {
        "serial": event.serial,
        "number": event.number,
        "model": event.model,
        "issued_on": event.issued_on,
        "mass_mg": event.mass_mg,
        "instrument": event.instrument,
        "run": run and {"name": run.name, "number": run.number, "pieces": run.pieces},
        "makers": makers,
        "materials": materials,
        "measures": measures,
        "photographs": list(event.photographs),
    }


def _card(claims: CardClaims) -> Plain:
    return {
        "serial": claims.serial,
        "number": claims.certificate,
        "model": claims.model,
        "issued_on": claims.issued.isoformat(),
        "species": [list(pair) for pair in claims.species],
        "mass_g": claims.mass,
        "makers": claims.makers,
        "index": claims.index,
    }


def _without_nothing(said: Plain) -> Plain:
    return {name: _bare(value) for name, value in said.items() if value is not None}


def _bare(value: Any) -> Any:
    """Return a value without the members that hold nothing, at any depth."""
    if isinstance(value, dict):
        return _without_nothing(value)
    return [_bare(item) for item in value] if isinstance(value, list) else value


def _b64(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")
