"""Signatures and keys that no honest signer makes, and that some programs take."""

from collections.abc import Iterator
from dataclasses import replace
from hashlib import sha256

from ledger.check import CANNOT_TELL, NO
from ledger.log.checkpoint import NoteKey
from ledger.log.keys import SMALL_ORDER, SecretKey
from tests.labels.verify import cards, curve
from tests.labels.verify.cards import card, claims, item
from tests.labels.verify.cases import ALONE, ANY, NEVER_YES, Case, only, sale
from tests.labels.verify.forged import SHOPS
from tests.labels.verify.houses import House, Sale, entry_of
from tests.labels.verify.sayings import Chance, Json, b64, loosely

FALSE = only(NO)
OPEN = only(CANNOT_TELL)


def odd_signatures() -> Iterator[Case]:
    """Yield signatures that RFC 8032 forbids, or that only few programs take.

    Where the two could differ it matters little who is right, and much that they agree.
    """
    for plan in (ALONE, *SHOPS[2:8]):
        one = sale(plan)
        lead, log = one.house.key("lead"), one.house.key("log")
        said = one.record.split(b"\n")[0]
        true = lead.sign(said)
        told: dict[str, tuple[bytes, frozenset[str]]] = {
            "the order added": (curve.over_order(true), FALSE),
            "S is nought": (true[:32] + bytes(32), FALSE),
            "all noughts": (bytes(64), FALSE),
            "R is neutral": (curve.signed(lead, said), FALSE),
            "R is neutral, written otherwise": (
                curve.signed(lead, said, r=curve.NEUTRAL_AGAIN),
                FALSE,
            ),
            "R with its sign turned": (
                true[:31] + bytes([true[31] ^ 128]) + true[32:],
                FALSE,
            ),
        }
        for raw in sorted(SMALL_ORDER):
            told[f"R is {raw.hex()[:4]}"] = (raw + true[32:], FALSE)
            told[f"R is {raw.hex()[:4]}, S nought"] = (raw + bytes(32), FALSE)
        for what, (signature, allowed) in told.items():
            record = said + b"\n" + b64(signature).encode() + b"\n"
            made = replace(one, record=record).proved()
            what = f"record: {what}"
            yield Case(what=what, data=made.data, keys=one.keys, allowed=allowed)
        text = one.note.split("\n\n")[0] + "\n"
        for what, signature, allowed in (
            ("the order added", curve.over_order(log.sign(text.encode())), FALSE),
            ("R is neutral", curve.signed(log, text.encode()), FALSE),
        ):
            note = _signed_note(one.house, text, signature)
            data = replace(one, note=note).data
            what = f"checkpoint: {what}"
            yield Case(what=what, data=data, keys=one.keys, allowed=allowed)
        yield from _odd_cards(one)


def _signed_note(house: House, text: str, signature: bytes) -> str:
    hashed = house.standing.log_key
    assert hashed is not None
    line = b64(NoteKey(house.origin, hashed).hash + signature)
    return f"{text}\n— {house.origin} {line}\n"


def _odd_cards(one: Sale) -> Iterator[Case]:
    key, said = one.house.key("card"), item(claims(one, Chance("odd")))
    header = item({1: -19, 4: bytes.fromhex(key.id)})
    true = key.sign(cards.to_be_signed(header, said))
    message = cards.to_be_signed(header, said)
    for what, signature, allowed in (
        ("the order added", curve.over_order(true), FALSE),
        ("R is neutral", curve.signed(key, message), FALSE),
        ("nothing signed", bytes(64), FALSE),
    ):
        data = card(said, key, signature=signature).encode()
        what = f"card: {what}"
        yield Case(what=what, data=data, keys=one.keys, allowed=allowed)


def odd_keys() -> Iterator[Case]:
    """Yield keys of small order, keys written otherwise, and keys of a mixed order."""
    one = sale()
    lead = one.house.key("lead")
    said = one.record.split(b"\n")[0]
    rows = one.rows(lead)
    for raw in sorted(SMALL_ORDER):
        for signature in (curve.NEUTRAL + bytes(32), raw + bytes(32)):
            yield _under(one, raw, signature, f"small order {raw.hex()[:4]}", OPEN)
    for n in range(2, 19):
        raw = (curve.P + n).to_bytes(32, "little")
        for sign in (0, 128):
            odd = raw[:31] + bytes([raw[31] | sign])
            beside = _row(odd, rows)
            keys = one.rekeyed(keys=[*rows, beside])
            what = f"p + {n} beside, {sign}"
            yield Case(what=what, data=one.data, keys=keys, allowed=ANY)
            signature = curve.NEUTRAL + bytes(32)
            yield _under(one, odd, signature, f"p + {n}, {sign}", NEVER_YES)
    for n in range(40):
        raw = Chance(f"odd {n}").bytes(32)
        keys = one.rekeyed(keys=[*rows, _row(raw, rows)])
        yield Case(what="no point beside", data=one.data, keys=keys, allowed=ANY)
        yield _under(one, raw, lead.sign(said), "no point", NEVER_YES)
    mixed = curve.mixed(lead)
    for fits in (True, False):
        yield _mixed(one, mixed, lead, fits=fits)


def _row(raw: bytes, rows: list[Json]) -> Json:
    named = {"key": sha256(raw).hexdigest()[:16], "public": raw.hex()}
    return next(row for row in rows if row["purpose"] == "person") | named


def _under(
    one: Sale, raw: bytes, signature: bytes, what: str, allowed: frozenset[str]
) -> Case:
    """Return a certificate signed by an odd key for which the roots vouch."""
    lead = one.house.key("lead")
    row = _row(raw, one.rows(lead))
    rows = [row if r["key"] == lead.id else r for r in one.rows(lead)]
    entry = loosely(entry_of(one.house.origin, one.event, row["key"], one.index))
    record = entry + b"\n" + b64(signature).encode() + b"\n"
    made = replace(one, record=record).proved()
    keys = one.rekeyed(keys=rows)
    return Case(what=what, data=made.data, keys=keys, allowed=allowed)


def _mixed(one: Sale, raw: bytes, lead: SecretKey, *, fits: bool) -> Case:
    key = _row(raw, one.rows(lead))["key"]
    said = loosely(entry_of(one.house.origin, one.event, key, one.index))
    signature = curve.signed_mixed(lead, said, fits=fits)
    return _under(one, raw, signature, f"a mixed key, {fits}", ANY)
