"""True papers that went wrong on their way, and true words that others wrote down."""

import json
from collections.abc import Iterator
from dataclasses import replace

from ledger.check import MARKER, YES
from ledger.log.card import to_digits
from ledger.log.checkpoint import NoteKey
from ledger.log.cosignature import cosign
from ledger.log.keys import SecretKey
from tests.labels.verify import cards, twists
from tests.labels.verify.cards import card, claims, item
from tests.labels.verify.cases import (
    ALONE,
    ANY,
    NEVER_YES,
    SHOP,
    Case,
    full_sale,
    only,
    pdf_around,
    sale,
)
from tests.labels.verify.good import drawn
from tests.labels.verify.houses import Sale, note_of, place, signature_line
from tests.labels.verify.sayings import Chance, b64, loosely

TRUE = only(YES)


def certificates_damaged() -> Iterator[Case]:
    """Yield a certificate file with one byte or stretch wrong."""
    for name, one, count in (("alone", sale(ALONE), 300), ("full", full_sale(), 600)):
        chance = Chance(f"damaged certificate {name}")
        for _ in range(count):
            what, data = twists.damaged(one.data, chance)
            allowed = NEVER_YES if data != one.data else TRUE
            yield Case(what=what, data=data, keys=one.keys, allowed=allowed)


def keys_files_damaged() -> Iterator[Case]:
    """Yield a true certificate with a keys file of which one byte is wrong."""
    for plan in (ALONE, SHOP):
        one, chance = sale(plan), Chance(f"damaged keys {plan.label}")
        # No signature more than are needed: of those more, any may be wrong.
        whole = one.rekeyed()
        for n in range(350):
            what, keys = twists.damaged(whole, chance)
            allowed = NEVER_YES if keys != whole else TRUE
            yield Case(what=what, data=one.data, keys=keys, allowed=allowed)
            if n % 7 == 0:
                what = f"{what}, shown alone"
                yield Case(what=what, data=keys, keys=None, allowed=NEVER_YES)


def cards_damaged() -> Iterator[Case]:
    """Yield a card's text with one sign wrong, and its bytes with one wrong."""
    one, chance = sale(), Chance("damaged card")
    said, key = item(claims(one, chance)), one.house.key("card")
    text = card(said, key).encode()
    for _ in range(250):
        what, data = twists.damaged(text, chance)
        yield Case(what=what, data=data, keys=one.keys)
    header = item({1: -19, 4: bytes.fromhex(key.id)})
    whole = item([header, {}, said, key.sign(cards.to_be_signed(header, said))])
    for _ in range(350):
        what, wrong = twists.damaged(whole, chance)
        data = (cards.ADDRESS + to_digits(wrong)).encode()
        allowed = NEVER_YES if wrong != whole else TRUE
        yield Case(what=what, data=data, keys=one.keys, allowed=allowed)


def pages_damaged() -> Iterator[Case]:
    """Yield pages with a byte wrong, within the attachment or without."""
    one, chance = sale(), Chance("damaged page")
    page = pdf_around(one.data, before=b"(words) Tj\n", more=b"(more) Tj\n")
    for _ in range(200):
        what, data = twists.damaged(page, chance)
        yield Case(what=what, data=data, keys=one.keys)
    start = page.index(MARKER)
    for at in range(start - 4, start + 60):
        data = page[:at] + bytes([page[at] ^ 1]) + page[at + 1 :]
        yield Case(what=f"byte {at} turned", data=data, keys=one.keys)
    real = drawn(one)
    for _ in range(12):
        what, data = twists.damaged(real, chance)
        yield Case(what=f"drawn, {what}", data=data, keys=one.keys)


def proofs_damaged() -> Iterator[Case]:
    """Yield proof files with a byte wrong, or lines in other places."""
    one, chance = sale(), Chance("damaged proof")
    text = one.proof(one.record)
    for _ in range(200):
        what, data = twists.damaged(text.encode(), chance)
        allowed = NEVER_YES if data != text.encode() else TRUE
        yield Case(what=what, data=data, keys=one.keys, allowed=allowed)
    for _ in range(100):
        what, moved = twists.lines_moved(text, chance)
        data = moved.encode()
        yield Case(what=what, data=data, keys=one.keys)


def lines_moved() -> Iterator[Case]:
    """Yield certificates whose proof or record has its lines in other places."""
    one, chance = full_sale(), Chance("lines moved")
    for member in ("proof", "record"):
        for _ in range(120):
            what, text = twists.lines_moved(one.members[member], chance)
            data = replace(one, odd={member: text}).data
            allowed = TRUE if text == one.members[member] else NEVER_YES
            what = f"{member}: {what}"
            yield Case(what=what, data=data, keys=one.keys, allowed=allowed)


def base64_otherwise() -> Iterator[Case]:
    """Yield each base64 of a certificate and of its keys file written otherwise."""
    one = sale()
    proof = one.members["proof"].split("\n")
    texts = {("record", one.members["record"].split("\n")[1])}
    texts |= {("proof", proof[n]) for n in (2, 3, -4)}
    texts |= {("proof", proof[-2].split(" ")[-1])}
    for member, text in sorted(texts):
        for what, other in twists.base64_otherwise(text):
            odd = {member: one.members[member].replace(text, other, 1)}
            data = replace(one, odd=odd).data
            what = f"{member} {what}"
            yield Case(what=what, data=data, keys=one.keys, allowed=NEVER_YES)
    members = json.loads(one.keys)
    row = members["log"][0]
    for what, other in twists.base64_otherwise(row["vkey"].split("+", 2)[2]):
        vkey = "+".join([*row["vkey"].split("+", 2)[:2], other])
        keys = one.rekeyed(log=[row | {"vkey": vkey}])
        what = f"vkey {what}"
        yield Case(what=what, data=one.data, keys=keys, allowed=NEVER_YES)
    for what, other in twists.base64_otherwise(members["signatures"][0]["signature"]):
        first = members["signatures"][0] | {"signature": other}
        keys = loosely(members | {"signatures": [first, *members["signatures"][1:]]})
        what = f"signature of the keys {what}"
        yield Case(what=what, data=one.data, keys=keys, allowed=NEVER_YES)


def hex_otherwise() -> Iterator[Case]:
    """Yield each row of hex digits written otherwise, and signed that way."""
    one = full_sale()
    lead = one.house.key("lead")
    for what, other in twists.hex_otherwise(one.token.hex()):
        data = replace(one, odd={"status_token": other}).data
        what = f"token {what}"
        yield Case(what=what, data=data, keys=one.keys, allowed=NEVER_YES)
    for what, other in twists.hex_otherwise(one.disclosed[0]["key"]):
        rows = [one.disclosed[0] | {"key": other}, *one.disclosed[1:]]
        data = replace(one, disclosed=rows).data
        what = f"key of a name {what}"
        yield Case(what=what, data=data, keys=one.keys, allowed=NEVER_YES)
    for name in ("status_token_sha256", "transfer_sha256"):
        for what, other in twists.hex_otherwise(one.event[name]):
            data = one.resaid(one.event | {name: other}).data
            what = f"{name} {what}"
            yield Case(what=what, data=data, keys=one.keys, allowed=NEVER_YES)
    entry = json.loads(one.record.split(b"\n")[0])
    for name in ("key", "previous"):
        for what, other in twists.hex_otherwise(entry[name]):
            data = one.recorded(entry | {name: other}, lead).data
            what = f"{name} {what}"
            yield Case(what=what, data=data, keys=one.keys, allowed=NEVER_YES)
    yield from _hex_of_keys_files(one, lead)


def _hex_of_keys_files(one: Sale, lead: SecretKey) -> Iterator[Case]:
    members = json.loads(one.keys)
    for what, other in twists.hex_otherwise(members["root"]):
        keys = one.rekeyed(root=other)
        what = f"root {what}"
        yield Case(what=what, data=one.data, keys=keys, allowed=NEVER_YES)
    name, hashed, key = members["log"][0]["vkey"].split("+", 2)
    for other in ("00000000", hashed[::-1], hashed.upper(), hashed[:-1], f"{hashed}0"):
        row = members["log"][0] | {"vkey": f"{name}+{other}+{key}"}
        keys = one.rekeyed(log=[row])
        what = f"the hash of the log's key is {other}"
        yield Case(what=what, data=one.data, keys=keys, allowed=NEVER_YES)
    for name in ("key", "public"):
        for what, other in twists.hex_otherwise(str(one.rows(lead)[0][name])):
            keys = one.rekeyed(keys=one.rows(lead, **{name: other}))
            what = f"{name} in the keys file {what}"
            yield Case(what=what, data=one.data, keys=keys, allowed=NEVER_YES)


def json_otherwise() -> Iterator[Case]:
    """Yield certificate, entry and keys file as other writers of JSON have them."""
    for one in (sale(), full_sale()):
        for what, data in twists.json_otherwise(one.data):
            allowed = NEVER_YES if data != one.data else TRUE
            yield Case(what=what, data=data, keys=one.keys, allowed=allowed)
        for what, keys in twists.json_otherwise(one.keys):
            what = f"keys {what}"
            allowed = NEVER_YES if keys != one.keys else TRUE
            yield Case(what=what, data=one.data, keys=keys, allowed=allowed)
        lead = one.house.key("lead")
        for what, entry in twists.json_otherwise(one.record.split(b"\n")[0]):
            record = entry + b"\n" + b64(lead.sign(entry)).encode() + b"\n"
            made = replace(one, record=record).proved()
            what, text = f"entry {what}", record.decode("utf-8", "surrogateescape")
            data = loosely_escaped(made, text)
            allowed = NEVER_YES if record != one.record else TRUE
            yield Case(what=what, data=data, keys=one.keys, allowed=allowed)


def loosely_escaped(made: Sale, record: str) -> bytes:
    """Write a certificate file around a record, even one that is no text."""
    members = replace(made, record=b"").members | {"record": record}
    text = json.dumps(
        members, sort_keys=True, separators=(",", ":"), ensure_ascii=False
    )
    return text.encode("utf-8", "surrogateescape")


def cards_otherwise() -> Iterator[Case]:
    """Yield cards whose text, bytes, header or facts are written otherwise."""
    one, chance = sale(), Chance("cards otherwise")
    key = one.house.key("card")
    facts = claims(one, chance)
    said, header = item(facts), item({1: -19, 4: bytes.fromhex(key.id)})
    for what, text in cards.digits_otherwise(card(said, key)):
        data = text.encode("utf-8")
        yield Case(what=what, data=data, keys=one.keys)
    for what, payload in cards.payloads_otherwise(facts):
        data = card(payload, key).encode()
        yield Case(what=what, data=data, keys=one.keys)
    for what, other in cards.headers_otherwise(bytes.fromhex(key.id)):
        data = card(said, key, header=other or b"\x40").encode()
        yield Case(what=what, data=data, keys=one.keys)
    signature = key.sign(cards.to_be_signed(header, said))
    for what, whole in cards.outside_otherwise(header, said, signature):
        data = (cards.ADDRESS + to_digits(whole)).encode()
        yield Case(what=what, data=data, keys=one.keys)


def notes_otherwise() -> Iterator[Case]:
    """Yield checkpoints of odd names, sizes and lines, each signed by the log."""
    one = sale()
    house, head = one.house, one.house.plan.head
    _, root = place(one.record, one.index, head)
    for what, note, allowed in _notes(one, head, root):
        data = replace(one, note=note).data
        yield Case(what=what, data=data, keys=one.keys, allowed=allowed)
        proof = replace(one, note=note).proof(one.record).encode()
        what = f"{what}, as a proof"
        yield Case(what=what, data=proof, keys=one.keys, allowed=allowed)
    for sign in twists.SPACES:
        name = f"other{sign}log"
        true = note_of(house, head, root)
        more = signature_line(house, true.split("\n\n")[0], house.key("w"), name)
        data = replace(one, note=true + more).data
        what = f"a signer's name with U+{ord(sign):04X}"
        yield Case(what=what, data=data, keys=one.keys)
        proof = replace(one, note=true + more).proof(one.record).encode()
        yield Case(what=f"{what}, as a proof", data=proof, keys=one.keys)


Noted = Iterator[tuple[str, str, frozenset[str]]]
SIZES = ("014", "+14", " 14", "14 ", "14.0", "1_4", "\uff11\uff14", "0", "", "-1")


def _notes(one: Sale, head: int, root: bytes) -> Noted:
    yield from _signed_otherwise(one, note_of(one.house, head, root))
    yield from _extended(one, head, root)
    house, log = one.house, one.house.key("log")
    for said in SIZES:
        body = f"{house.origin}\n{said}\n{b64(root)}\n"
        note = f"{body}\n{signature_line(house, body, log)}"
        yield f"of the size {said!r}", note, NEVER_YES
    for n in range(8):
        lines = (house.origin, str(head), b64(root))
        odd = [f"{word} " if n >> k & 1 else word for k, word in enumerate(lines)]
        body = "\n".join(odd) + "\n"
        note = f"{body}\n{signature_line(house, body, log)}"
        yield f"with spaces {n}", note, TRUE if n == 0 else NEVER_YES


def _signed_otherwise(one: Sale, true: str) -> Noted:
    """Yield a true note with signatures more, fewer, or of another form."""
    house, log = one.house, one.house.key("log")
    text = true.split("\n\n")[0] + "\n"
    line = signature_line(house, text, log)
    other = signature_line(house, text, house.key("witness"), "witness.example")
    typed = f"— {house.origin} {b64(bytes(4) + bytes(76))}\n"
    for count in (1, 2, 98, 99, 100, 101):
        allowed = TRUE if count < 100 else NEVER_YES
        yield f"{count} others before", f"{text}\n{other * count}{line}", allowed
        yield f"{count} of no known type after", f"{true}{typed * count}", allowed
        yield f"{count} again", f"{true}{line * count}", allowed
    witnessed = cosign(
        text, name="witness.example", secret=house.key("w"), seconds=1_767_225_600
    )
    yield "that a witness signed too", true + witnessed, TRUE
    for size in (0, 1, 3, 4):
        short = f"— {house.origin} {b64(log.public.raw[:size])}\n"
        yield f"a line of {size} bytes", true + short, NEVER_YES
    wrong = signature_line(house, f"{text} ", log)
    yield "one of the log's over another text", true + wrong, NEVER_YES
    yield "that one first", f"{text}\n{wrong}{line}", NEVER_YES
    cut = f"— {house.origin} {b64(NoteKey(house.origin, log.public).hash + b'x')}\n"
    yield "one of the log's cut", true + cut, NEVER_YES
    for dash in ("-", "\u2013", "\u2014\u2014", "\u2014 "):
        yield f"with {dash!r}", f"{text}\n{line.replace('—', dash)}", NEVER_YES
    yield "without its last line end", true[:-1], NEVER_YES
    yield "with one more", f"{true}\n", NEVER_YES
    yield "with returns", true.replace("\n", "\r\n"), NEVER_YES


def _extended(one: Sale, head: int, root: bytes) -> Noted:
    """Yield notes with more lines than three, up to the longest and beyond."""
    for more in ("more\n", "a\n\nb\n", "\n", "é\u2028\n", "\U0001f40c" * 20_000 + "\n"):
        yield (
            f"with the lines {more!r:.20}",
            note_of(one.house, head, root, more=more),
            ANY,
        )
    for count in (31_000, 32_700, 33_000, 65_000, 66_000):
        for sign in ("a", "é", "\U0001f40c"):
            extended = note_of(one.house, head, root, more=sign * count + "\n")
            yield f"with {count} {sign}", extended, ANY
