"""Days, moments, codes, kinds and measures: those that there are, and their like."""

from collections.abc import Callable, Iterator
from itertools import chain, combinations

from ledger.check import CANNOT_TELL, NO, YES
from ledger.craft.measured import UNITS
from tests.labels.verify.cases import SHOP, Case, only, sale
from tests.labels.verify.edges import said_by, with_material
from tests.labels.verify.houses import Sale, entry_of
from tests.labels.verify.sayings import Json

TRUE, FALSE = only(YES), only(NO)
DAYS = {
    "2024-02-29": TRUE,
    "2000-02-29": TRUE,
    "9999-12-31": TRUE,
    "0001-01-01": TRUE,
    "1582-10-10": TRUE,
    "2023-02-29": FALSE,
    "1900-02-29": FALSE,
    "0000-01-01": FALSE,
    "2026-04-31": FALSE,
    "2026-00-10": FALSE,
    "2026-13-10": FALSE,
    "2026-11-00": FALSE,
    "2026-11-32": FALSE,
    "10000-01-01": FALSE,
    "-001-01-01": FALSE,
    "+2026-01-1": FALSE,
    "2026-1-1": FALSE,
    "20261121": FALSE,
    "2026-W47-6": FALSE,
    "2026-11-21T": FALSE,
    "2026-11-21\n": FALSE,
    " 2026-11-21": FALSE,
    "２０２６-11-21": FALSE,
    "٢٠٢٦-11-21": FALSE,
    "2026\u201011\u201021": FALSE,
    "2026/11/21": FALSE,
}


TIMES = {
    "00:00:00Z": TRUE,
    "23:59:59Z": TRUE,
    "24:00:00Z": FALSE,
    "23:60:00Z": FALSE,
    "23:59:60Z": FALSE,
    "23:59:61Z": FALSE,
    "12:00Z": FALSE,
    "12:00:00z": FALSE,
    "12:00:00": FALSE,
    "12:00:00.0Z": FALSE,
    "12:00:00+00:00": FALSE,
    "12:00:00Z\n": FALSE,
    "1:00:00Z": FALSE,
    "１2:00:00Z": FALSE,
}


CODES = {
    "L26-004-11": TRUE,
    "L26-004-00": TRUE,
    "L26-004-100": TRUE,
    "L26-004-999.C999": TRUE,
    "L26-004-11.A": TRUE,
    "L26-004-11.B": TRUE,
    "L26-004-11.C1": TRUE,
    "L26-004-1": FALSE,
    "L26-004-011": FALSE,
    "L26-004-1000": FALSE,
    "L26-004-11.C": FALSE,
    "L26-004-11.C0": FALSE,
    "L26-004-11.C1000": FALSE,
    "L26-004-11.D": FALSE,
    "L26-004-11.a": FALSE,
    "l26-004-11": FALSE,
    "L26-004-11\n": FALSE,
    "L26-004": FALSE,
    "L26-004-１1": FALSE,
    "L26-004-11.A.B": FALSE,
    " L26-004-11": FALSE,
    "": FALSE,
}


KINDS = (
    "certificate.issued/2",
    "certificate.issued/01",
    "certificate.issued/1\n",
    "certificate.issued/0",
    "certificate.issued",
    "certificate-.issued/1",
    "Certificate.issued/1",
    "certificate.issued/1/1",
    "a.b/1",
    "a-b.c-d/10",
    "a-b.c-d/98",
    "a--b.c/1",
    "lot.received/1",
    "lot.rec\u0435ived/1",
    "certificate.withdrawn/1",
    "shop.founded/1",
)


def days_and_times() -> Iterator[Case]:
    """Yield days and moments that there are, and others, wherever one may stand."""
    one = sale(SHOP, "days")
    event = with_material(one.event)
    for day, allowed in DAYS.items():
        yield said_by(one, f"issued on {day!r}", event | {"issued_on": day}, allowed)
        rows = [event["materials"][0] | {"received_on": day}]
        yield said_by(one, f"received on {day!r}", event | {"materials": rows}, allowed)
        yield from _moments(one, event, f"{day}T12:00:00Z", allowed)
        keys = one.rekeyed(date=day)
        told = TRUE if allowed == TRUE else only(CANNOT_TELL)
        yield Case(what=f"keys of {day!r}", data=one.data, keys=keys, allowed=told)
        yield Case(what=f"keys of {day!r}, alone", data=keys, keys=None)
    for time, allowed in TIMES.items():
        yield from _moments(one, event, f"2026-11-21T{time}", allowed)


def _moments(
    one: Sale, event: Json, moment: str, allowed: frozenset[str]
) -> Iterator[Case]:
    yield said_by(one, f"at {moment!r}", event | {"happened_at": moment}, allowed)
    lead = one.house.key("lead")
    entry = entry_of(one.house.origin, event, lead.id, one.index) | {"at": moment}
    made = one.recorded(entry)
    what = f"entered {moment!r}"
    yield Case(what=what, data=made.data, keys=one.keys, allowed=allowed)


def depths() -> Iterator[Case]:
    """Yield entries that nest as deep as may be, deeper, and less deep."""
    one = sale(SHOP, "depths")
    for depth in (1, 12, 13, 14, 15, 16, 30):
        # The entry is one deep and the event two, and what it holds begins at three.
        lists, objects = nested(depth, [], list), nested(depth, {}, named)
        for what, inner in (("lists", lists), ("objects", objects)):
            other = one.resaid({"kind": "lot.received/1", "more": inner})
            data = other.proof(other.record).encode()
            allowed = TRUE if depth + 2 <= 16 else FALSE
            what = f"{depth + 2} deep in {what}"
            yield Case(what=what, data=data, keys=one.keys, allowed=allowed)


def nested(
    depth: int, inmost: object, around: Callable[[list[object]], object]
) -> object:
    """Return a value that nests so deep."""
    value = inmost
    for _ in range(depth - 1):
        value = around([value])
    return value


def named(items: list[object]) -> object:
    """Return an object that holds one value."""
    return {"more": items[0]}


def codes_and_kinds() -> Iterator[Case]:
    """Yield codes of boards and lots, measures of no unit or two, and other kinds."""
    one = sale(SHOP, "codes")
    event = with_material(one.event)
    for code, allowed in CODES.items():
        rows = [event["materials"][0] | {"board": code}]
        yield said_by(one, f"board {code!r}", event | {"materials": rows}, allowed)
        lot = "L26-004" if allowed == TRUE else code[:-1]
        rows = [event["materials"][0] | {"lot": lot}]
        yield said_by(one, f"lot {lot!r}", event | {"materials": rows})
    some = chain.from_iterable(combinations(UNITS, n) for n in range(3))
    for units in some:
        row = {unit: k for k, unit in enumerate(units)}
        for more in ({}, {"note": "x"}, {"constructor": 1}):
            measures = [{"what": "relief"} | row | more]
            is_sound = len(row) == 1 and not more
            allowed = TRUE if is_sound else FALSE
            what = f"measures {measures}"
            yield said_by(one, what, event | {"measures": measures}, allowed)
    for kind in KINDS:
        yield said_by(one, kind, event | {"kind": kind}, FALSE)
        other = one.resaid({"kind": kind, "more": [1, None]})
        data = other.proof(other.record).encode()
        yield Case(what=f"proof of {kind}", data=data, keys=one.keys)
        other = one.resaid(event | {"kind": kind})
        data = other.proof(other.record).encode()
        yield Case(what=f"proof of {kind}, whole", data=data, keys=one.keys)
