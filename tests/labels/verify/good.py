"""Papers as shops give them out: all of them true."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from labels.certificate import draw
from ledger.acts import certificates, signing
from ledger.check import CANNOT_TELL, NO, YES
from ledger.log.card import read_card, write_card
from ledger.log.keys import SecretKey
from tests import skerrymoor
from tests.labels.samples import CERTIFICATE
from tests.labels.verify.cards import card, claims, item
from tests.labels.verify.cases import PLANS, SHOP, Case, only, pdf_around, sale
from tests.labels.verify.houses import Plan, Sale, founded, sold
from tests.labels.verify.sayings import Chance
from tests.ledger.buying import CARD, PINNED, sold_by
from tests.ledger.log.workshop import VECTORS

TRUE = only(YES)
OPEN = only(CANNOT_TELL)


def certificates_of_many_shops() -> Iterator[Case]:
    """Yield certificates of every plan, with the shop's keys, without, or others'."""
    for plan in PLANS:
        for n in range(8):
            one = sale(plan, str(n))
            what = f"{plan.label}, {n}"
            yield Case(what=what, data=one.data, keys=one.keys, allowed=TRUE)
        yield Case(what=f"{plan.label} alone", data=one.data, keys=None, allowed=OPEN)
        other = PLANS[PLANS.index(plan) - 1]
        keys = sale(other, "0").keys
        what = f"{plan.label} with the keys of {other.label}"
        yield Case(what=what, data=one.data, keys=keys, allowed=OPEN)


def certificates_by_chance() -> Iterator[Case]:
    """Yield certificates of one shop that say many things, some names undisclosed."""
    for n in range(150):
        one = sale(SHOP, f"full {n}")
        yield Case(what=f"{n}", data=one.data, keys=one.keys, allowed=TRUE)
        part = replace(one, disclosed=one.disclosed[::-2])
        yield Case(what=f"{n} in part", data=part.data, keys=one.keys, allowed=TRUE)


def trees_of_many_sizes() -> Iterator[Case]:
    """Yield every place in small trees, and places about each power of two."""
    sizes = [(i, n) for n in range(5, 18) for i in range(4, n)]
    sizes += [
        (2**k + i, 2 ** (k + 1) + j)
        for k in (5, 8, 15, 31, 32, 33, 47)
        for i in (-1, 0, 1)
        for j in (-1, 0, 1)
    ]
    one = sale()
    keys = one.rekeyed(size=2**53 - 1)
    for index, size in sizes:
        plan = replace(SHOP, index=index, head=size)
        bare = replace(one, index=index, house=replace(one.house, plan=plan))
        what = f"entry {index} of {size}"
        made = bare.resaid(one.event)
        yield Case(what=what, data=made.data, keys=keys, allowed=_since(made))


def _since(made: Sale) -> frozenset[str]:
    """Allow a yes, unless the shop's lead was not yet there."""
    return TRUE if made.index >= 3 else only(NO)


def cards_of_many_shops() -> Iterator[Case]:
    """Yield cards of every plan, with the shop's keys and without."""
    for plan in PLANS:
        chance = Chance(f"card {plan.label}")
        for n in range(6):
            one = sale(plan, str(n))
            text = card(item(claims(one, chance)), one.house.key("card")).encode()
            what = f"{plan.label}, {n}"
            yield Case(what=what, data=text, keys=one.keys, allowed=TRUE)
        yield Case(what=f"{plan.label} alone", data=text, keys=None, allowed=OPEN)


def pages() -> Iterator[Case]:
    """Yield pages around certificates: made by hand, and as the shop draws them."""
    for plan in PLANS:
        one = sale(plan, "0")
        for line in (b"\n", b"\r\n"):
            data = pdf_around(one.data, line=line)
            yield Case(what=plan.label, data=data, keys=one.keys, allowed=TRUE)
        words = b"(26-9999-9) Tj %\xff\xfe\n"
        data = pdf_around(one.data, before=words, more=words)
        what = f"{plan.label}, retyped"
        yield Case(what=what, data=data, keys=one.keys, allowed=TRUE)
    for n in range(3):
        one = sale(SHOP, f"full {n}")
        page = drawn(one)
        yield Case(what=f"drawn {n}", data=page, keys=one.keys, allowed=TRUE)
        yield Case(what=f"drawn {n} alone", data=page, keys=None, allowed=OPEN)


def drawn(one: Sale) -> bytes:
    """Return the page that the shop's own press draws around a certificate."""
    proof = one.proof(one.record).encode()
    return draw(CERTIFICATE, paper="A4", certificate_file=one.data, proof_file=proof)


def proof_files() -> Iterator[Case]:
    """Yield proof files with the record in them, of certificates and of others."""
    for plan in PLANS:
        for n in range(3):
            one = sale(plan, str(n))
            data = one.proof(one.record).encode()
            yield Case(what=plan.label, data=data, keys=one.keys, allowed=TRUE)
        yield Case(what=f"{plan.label} alone", data=data, keys=None, allowed=OPEN)
        for size in (1, 2, 5):
            first = replace(one, record=one.house.lineage[0], index=0).proved(size)
            data = first.proof(first.record).encode()
            what = f"{plan.label}, the founding of {size}"
            yield Case(what=what, data=data, keys=one.keys, allowed=TRUE)
        for event in (
            {"kind": "lot.received/1", "lot": "L26-004"},
            {"kind": "board.never-heard-of/7", "more": ["\u2028", None]},
            {"kind": "certificate.issued/2"},
        ):
            other = one.resaid(event)
            data = other.proof(other.record).encode()
            what = f"{plan.label}, {event['kind']}"
            yield Case(
                what=what, data=data, keys=one.keys, allowed=_unless_newest(plan)
            )


def _unless_newest(plan: Plan) -> frozenset[str]:
    """Allow a yes, unless the keys file knows the root with another entry in it."""
    return TRUE if plan.head != plan.size else only(NO)


def papers_of_the_acts() -> Iterator[Case]:
    """Yield what the shop's own acts write, and the vectors by a separate writer."""
    pinned = PINNED
    yield Case(what="pinned", data=pinned.data, keys=pinned.keys, allowed=TRUE)
    yield Case(what="pinned card", data=CARD, keys=pinned.keys, allowed=TRUE)
    added = _card_of_many_woods()
    yield Case(what="woods added up", data=added, keys=pinned.keys, allowed=TRUE)
    page = pdf_around(pinned.data)
    yield Case(what="pinned page", data=page, keys=pinned.keys, allowed=TRUE)
    for what, data, keys in _of_the_loft():
        yield Case(what=what, data=data, keys=keys, allowed=TRUE)
        yield Case(what=f"{what}, alone", data=data, keys=None, allowed=OPEN)
        what = f"{what}, with the vectors' keys"
        yield Case(what=what, data=data, keys=pinned.keys, allowed=OPEN)


def _card_of_many_woods() -> bytes:
    """Return the vectors' card as it is of sixteen listed and unheard-of woods."""
    seeds = dict(map(str.split, (VECTORS / "seeds").read_text().splitlines()))
    woods = tuple((f"Lignum numero {n:02}", 100) for n in range(16))
    names = [name for name, _ in woods]
    said = replace(read_card(CARD.decode()).claims, species=woods)
    key = SecretKey(bytes.fromhex(seeds["card"]))
    text = write_card(said, key, host="", listed=names[12:], unsure=names)
    if "+" not in dict(read_card(text).claims.species):
        raise AssertionError("all sixteen had room, so nothing was added up")
    return text.encode()


@cache
def _of_the_loft() -> tuple[tuple[str, bytes, bytes], ...]:
    """Return the papers of a loft that built two instruments."""
    with TemporaryDirectory() as folder:
        loft = skerrymoor.opened(Path(folder))
        numbers = [loft.issue(loft.build()), loft.issue(loft.another())]
        sales = [sold_by(loft, number) for number in numbers]
        lead = signing.card_key(loft.shop, loft.person("01"), skerrymoor.LEAD.pin)
        papers = [certificates.certificate_paper(loft.shop, n) for n in numbers]
        texts = [certificates.card_text(loft.shop, p, lead).encode() for p in papers]
        loft.shop.close()
    keys = sales[-1].keys
    made = [("loft", one.data, keys) for one in sales]
    made += [("loft page", pdf_around(one.data), keys) for one in sales]
    made += [("loft card", text, keys) for text in texts]
    made += [("loft proof", p.proof_file.encode(), keys) for p in papers]
    return tuple(made)


def shops_made_up() -> Iterator[Case]:
    """Yield shops that a forger made up whole: they vouch for themselves alone."""
    true = sale()
    for n in range(30):
        false = sold(founded(Plan(label=f"forger {n}", roots=3, threshold=2)))
        what = f"forger {n}"
        yield Case(what=what, data=false.data, keys=false.keys, allowed=TRUE)
        yield Case(what=what, data=false.data, keys=true.keys, allowed=OPEN)
        yield Case(what=what, data=false.data, keys=None, allowed=OPEN)
