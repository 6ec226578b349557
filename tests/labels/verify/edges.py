"""Papers at the edge of what the formats allow: the last that may be, the first not.

Signed, like those of `structure`, by whoever ought to sign.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from hashlib import sha256
from typing import Any

from ledger.check import NO, YES
from ledger.log.encoding import profile_fault
from tests.labels.verify import twists
from tests.labels.verify.cards import card, claims, item
from tests.labels.verify.cases import (
    ALONE,
    ANY,
    DOMAIN,
    NEVER_YES,
    SHOP,
    Case,
    full_sale,
    only,
    sale,
)
from tests.labels.verify.houses import (
    Plan,
    Sale,
    approved,
    entry_of,
    founded,
    founding,
    note_of,
    place,
    recorded,
    sold,
)
from tests.labels.verify.sayings import Chance, Json, disclosure

TRUE, FALSE = only(YES), only(NO)
# Each stands beside the first or the last of those that no canonical text holds.
SIGNS = (
    "\x09\x0a\x0b\x1f\x20\x7e\x7f\x80\x9f\xa0\u061b\u061c\u061d\u200d\u200e\u200f\u2010"
    "\u2029\u202a\u202e\u202f\u2065\u2066\u2069\u206a\ud7ff\ud800\udbff\udc00\udfff"
    "\ue000\ufdd0\ufeff\ufffe\uffff\U00010000\U0010ffff\u2028\xad\u180e\u0300\u034f"
)


def with_material(event: Json) -> Json:
    """Return a certificate's event with one material of the fewest words."""
    material = {
        "board": "L26-004-11",
        "lot": "L26-004",
        "mass_mg": 1,
        "part": "top",
        "received_on": "2026-01-05",
        "species": "Picea abies",
    }
    return event | {"materials": [material]}


def said_by(one: Sale, what: str, event: object, allowed: frozenset[str] = ANY) -> Case:
    """Let the lead say another event, which discloses no names."""
    bare = replace(one, disclosed=[]).resaid(event)
    return Case(what=what, data=bare.data, keys=one.keys, allowed=allowed)


def reserved_members() -> Iterator[Case]:
    """Yield members that may stand beside any event's own, holding anything."""
    one, shop = sale(SHOP, "reserved"), sale(DOMAIN)
    names = ("approvals", "happened_at", "station", "reason_commitment", "policy")
    odd = [value for value in twists.ODD if _is_writable(value)]
    odd += [{"by": [], "once": "0" * 32, "root_version": 1}, "2026-11-21T15:40:00Z"]
    for name in (*names, "constructor", "valueof", "hasownproperty", "tostring"):
        for value in odd:
            what = f"{name} is {value!r:.40}"
            yield said_by(one, what, one.event | {name: value})
            # Approvals that stand beside the true ones would take their place.
            whole = name != "approvals"
            yield _refounded(shop, f"founding: {what}", {name: value}, whole)


def _is_writable(value: object) -> bool:
    return type(value) is not float and value not in (2**53, 10**400)


def _refounded(one: Sale, what: str, more: Json, whole: bool) -> Case:
    """Found a shop of a domain with more in its founding, before approval or after."""
    house, plan = one.house, one.house.plan
    bare = founding(plan, house.origin, house.roots)
    event = approved(bare | more, house.roots, house.origin, 1)
    if not whole:
        event = approved(bare, house.roots, house.origin, 1) | more
    return led(one, what, [_founding_record(one, event)])


def _founding_record(one: Sale, event: Json) -> bytes:
    root = one.house.roots[0]
    return recorded(entry_of(one.house.origin, event, root.id, 0), root)


def led(
    one: Sale,
    what: str,
    lineage: Sequence[bytes],
    allowed: frozenset[str] = ANY,
    **changes: Any,
) -> Case:
    """Put a lineage into a keys file, which may speak of other things as well."""
    texts = [record.decode("utf-8", "surrogatepass") for record in lineage]
    keys = one.rekeyed(lineage=texts, **changes)
    return Case(what=what, data=one.data, keys=keys, allowed=allowed)


def signs() -> Iterator[Case]:
    """Yield every sign at the edge of what a text may hold, wherever it may stand."""
    one, chance = sale(SHOP, "signs"), Chance("signs")
    key, facts = one.house.key("card"), claims(one, chance)
    head, domain = one.house.plan.head, sale(DOMAIN)
    _, root = place(one.record, one.index, head)
    for sign in SIGNS + twists.SPACES:
        name = f"U+{ord(sign):04X}"
        word = f"a{sign}b"
        yield said_by(one, f"model with {name}", one.event | {"model": word})
        yield said_by(one, f"model of {name}", one.event | {"model": sign})
        for place_ in (1, 3, 4):
            data = card(item(facts | {place_: word}), key).encode()
            yield Case(what=f"card's {place_} with {name}", data=data, keys=one.keys)
        data = card(item(facts | {5: [[word, 1]]}), key).encode()
        yield Case(what=f"card's species with {name}", data=data, keys=one.keys)
        keys = one.rekeyed(date=word)
        yield Case(what=f"date of the keys with {name}", data=one.data, keys=keys)
        if not 0xD800 <= ord(sign) <= 0xDFFF:
            note = note_of(one.house, head, root, more=f"{word}\n")
            made = replace(one, note=note)
            yield Case(what=f"note with {name}", data=made.data, keys=one.keys)
            data = made.proof(one.record).encode()
            yield Case(what=f"proof with {name}", data=data, keys=one.keys)
            more = {"name": word, "unicode": word}
            yield _refounded(domain, f"founding with {name}", more, True)
        if profile_fault(sign) is None:
            plan = Plan(label=f"of {name}", domain=f"sk{sign}rry.example")
            made = sold(founded(plan))
            what = f"origin with {name}"
            yield Case(what=what, data=made.data, keys=made.keys)


def lengths() -> Iterator[Case]:
    """Yield records, files, paths and names of the largest size, and one larger."""
    one = replace(sale(ALONE, "lengths"), disclosed=[])
    for sign in ("x", "漆", "\U0001f40c", "\\", "\n"):
        size = len(sign.encode()) + (sign in "\\\n")
        short = len(one.resaid(one.event | {"model": ""}).record)
        most = (65_535 - short) // size
        for more in (0, 1):
            event = one.event | {"model": sign * (most + more)}
            made = one.resaid(event)
            allowed = TRUE if len(made.record) <= 65_535 else NEVER_YES
            what = f"a record of {len(made.record)} in {sign!r}"
            yield Case(what=what, data=made.data, keys=one.keys, allowed=allowed)
    for sign in ("x", "漆", "\U0001f40c"):
        for size in (1_048_575, 1_048_576, 1_048_577):
            made = _long(one, sign, size)
            allowed = TRUE if size <= 1_048_576 else NEVER_YES
            what = f"a file of {len(made.data)} in {sign!r}"
            yield Case(what=what, data=made.data, keys=one.keys, allowed=allowed)
    for count in (62, 63, 64, 65, 1000):
        path = tuple(sha256(b"%d" % n).digest() for n in range(count))
        made = replace(one, path=path)
        what = f"a path of {count}"
        yield Case(what=what, data=made.data, keys=one.keys, allowed=FALSE)
    for size in (2**53 - 2, 2**53, 2**53 + 1, 10**16 - 1, 10**16):
        made = one.proved(size)
        keys = one.rekeyed(size=2**53 - 1)
        allowed = TRUE if size < 2**53 else NEVER_YES
        what = f"a tree of {size}"
        yield Case(what=what, data=made.data, keys=keys, allowed=allowed)
        data = made.proof(made.record).encode()
        what = f"a proof in a tree of {size}"
        yield Case(what=what, data=data, keys=keys, allowed=allowed)


def _long(one: Sale, sign: str, size: int) -> Sale:
    """Return a file of this many bytes, by the length of a name that it discloses."""
    maker = one.event["makers"][0] | {"name_commitment": "0" * 64}
    event = one.event | {"makers": [maker]}
    key = bytes(32)
    opened = disclosure("person.name", maker["subject"], "", key)[1]
    short = len(replace(one.resaid(event), disclosed=[opened]).data)
    width = len(sign.encode())
    many, rest = divmod(size - short, width)
    name = sign * many + "x" * rest
    commitment, opened = disclosure("person.name", maker["subject"], name, key)
    event = one.event | {"makers": [maker | {"name_commitment": commitment}]}
    return replace(one, disclosed=[opened]).resaid(event)


def names_of_the_same() -> Iterator[Case]:
    """Yield certificates in which one subject stands several times."""
    one = sale(SHOP, "the same")
    who, other = "ab" * 16, "cd" * 16
    said = [
        disclosure(field, subject, name, bytes([n]) * 32)
        for n, (field, subject, name) in enumerate(
            (
                ("person.name", who, "Maura"),
                ("person.name", who, "Jakub"),
                ("supplier.name", who, "Ferrante"),
                ("person.name", other, "Ines"),
                ("supplier.name", other, ""),
            )
        )
    ]
    makers: list[Json] = [
        {
            "badge": f"{n}",
            "subject": subject,
            "work": "x",
            "name_commitment": said[n][0],
        }
        for n, subject in ((0, who), (1, who), (3, other))
    ]
    material = with_material({})["materials"][0]
    materials = [
        material | {"sawyer": {"subject": subject, "name_commitment": said[n][0]}}
        for n, subject in ((2, who), (4, other))
    ]
    event = one.event | {"makers": makers, "materials": materials}
    for n in range(32):
        rows = [said[k][1] for k in range(5) if n >> k & 1]
        for disclosed in (rows, rows[::-1]):
            made = replace(one, disclosed=disclosed).resaid(event)
            allowed = FALSE if n & 3 == 3 else TRUE
            what = f"disclosed {n:05b}"
            yield Case(what=what, data=made.data, keys=one.keys, allowed=allowed)


INDICES = ("010", "+10", " 10", "10 ", "1e1", "1_0", "10.0", "\uff11\uff10", "", "-0")
FAR = (2**53 - 1, 2**53, 10**16 - 1, 10**16, 2**64)
HEADERS = ("C2SP.org/tlog-proof@v1", "c2sp.org/tlog-proof@v2", "c2sp.org/tlog-proof")


def proofs_otherwise() -> Iterator[Case]:
    """Yield proof files whose lines are written otherwise."""
    one = full_sale()
    text = one.proof(one.record)
    told = {f"index {n!r}": text.replace("index 10", f"index {n}", 1) for n in INDICES}
    told |= {f"index {n}": text.replace("index 10", f"index {n}", 1) for n in FAR}
    told |= {h: text.replace("c2sp.org/tlog-proof@v1", h, 1) for h in HEADERS}
    told |= {f"{b!r} before": b + text for b in ("\ufeff", " ", "\n", "\r\n")}
    told["with returns"] = text.replace("\n", "\r\n")
    for what, wrong in (told | dict(_extras(text))).items():
        data = wrong.encode()
        yield Case(what=what, data=data, keys=one.keys, allowed=NEVER_YES)
    for n in FAR:
        bare = one.proof().replace("index 10", f"index {n}", 1).encode()
        yield Case(what=f"index {n} alone", data=bare, keys=one.keys)
    # A certificate file's proof has no such line.
    odd = replace(one, odd={"proof": text}).data
    yield Case(what="extra in a file", data=odd, keys=one.keys, allowed=FALSE)


def _extras(text: str) -> Iterator[tuple[str, str]]:
    """Yield a proof whose line with the record in it is written otherwise."""
    extra = text.split("\n")[1]
    told = {
        "cut": "extra",
        "empty": "extra ",
        "padding": "extra =",
        "a space after": f"{extra} ",
        "a space before": f" {extra}",
        "a return": f"{extra}\r",
        "twice": f"{extra}\n{extra}",
        "in capitals": extra.replace("extra", "Extra", 1),
        "two spaces": extra.replace(" ", "  ", 1),
        "without padding": extra.rstrip("=")[:-1],
    }
    for what, other in told.items():
        yield f"the record: {what}", text.replace(extra, other, 1)
    without = text.replace(f"{extra}\n", "", 1)
    yield "the record later", without.replace("index 10", f"index 10\n{extra}", 1)


def certificates_of_everything() -> Iterator[Case]:
    """Yield certificates of very many makers, materials and measures."""
    for count in (0, 1, 50, 120):
        one = sale(SHOP, f"everything {count}")
        maker = {"badge": "1", "subject": "ab" * 16, "work": "漆"}
        many = {
            "makers": [maker] * count,
            "materials": with_material({})["materials"] * count,
            "measures": [{"what": "x", "mass_mg": -1}] * count,
            "photographs": ["00" * 32] * count,
        }
        yield said_by(one, f"{count} of each", one.event | many, TRUE)
