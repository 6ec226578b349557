"""The story: a shop opens, receives wood, builds one guitar and certifies it.

Everything goes through `ledger.acts`, as a bench would do it, under a clock that the
story sets and with chance that is counted out of SHA-256. The root hash at its end is
therefore one number, and a test knows it.
"""

import hashlib
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from demo import cast
from ledger import quantities
from ledger.acts import builds, certificates, owners, people, signing, wood
from ledger.acts.founding import FirstLead, RootStick, found_shop
from ledger.acts.settings import Settings
from ledger.acts.shop import Hands, Shop
from ledger.events.build import PartWeighed, Run
from ledger.ids import LotId
from ledger.log.keyfile import Stretching
from ledger.log.keys import SecretKey

PAPERS = Path(__file__).parent / "papers"
UNICODE = "14.0.0"
SPOKEN = "the {} of three sticks"
MINUTE = timedelta(minutes=1)


@dataclass(slots=True)
class Clock:
    """A clock that the story sets; it goes on a minute each time it is looked at."""

    at: datetime = field(default=datetime(2026, 1, 5, 8, 0, tzinfo=UTC))

    def __call__(self) -> datetime:
        """Return the time, and go on a minute."""
        self.at += MINUTE
        return self.at

    def morning_of(self, day: str) -> None:
        """Set the clock to eight in the morning of a day."""
        year, month, date = (int(part) for part in day.split("-"))
        self.at = datetime(year, month, date, 8, 0, tzinfo=UTC)


@dataclass(slots=True)
class Chance:
    """Chance that is the same each time: counted out of SHA-256."""

    count: int = 0

    def __call__(self, size: int) -> bytes:
        """Return the next `size` bytes."""
        out = b""
        while len(out) < size:
            out += hashlib.sha256(f"skerrymoor {self.count}".encode()).digest()
            self.count += 1
        return out[:size]


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """The shop at the end of the story, and what to look at."""

    shop: Shop
    clock: Clock
    keys: dict[str, SecretKey]
    roots: tuple[SecretKey, ...]
    serial: str
    certificate: str
    lot: str
    boards: tuple[str, ...]
    root: str

    def card_key(self) -> SecretKey:
        """Return the shop's card key, opened with the lead's PIN."""
        lead = signing.find_person(self.shop, cast.LEAD.badge)
        return signing.card_key(self.shop, lead, cast.LEAD.pin)

    def hands(self, badge: str) -> Hands:
        """Return the hands of whoever wears a badge."""
        return Hands(by=self.keys[badge])


def play(folder: Path, *, stretching: Stretching | None = None) -> Story:
    """Play the story into a new folder: `shop` and, kept apart, `sticks`."""
    clock, chance = Clock(), Chance()
    shop, roots = _open(folder, clock, chance, stretching)
    keys = _enrol(shop, roots, stretching)
    lots = _receive(shop, clock, keys)
    codes = _number(shop, Hands(by=keys["02"]), lots)
    serial = _build(shop, clock, keys, codes)
    clock.morning_of("2026-11-21")
    number = certificates.issue(shop, serial=serial, hands=Hands(by=keys["01"]))
    owners.register(
        shop,
        serial=serial,
        name=cast.OWNER,
        registered_on="2026-11-21",
        hands=Hands(by=keys["12"]),
    )
    return Story(
        shop=shop,
        clock=clock,
        keys=keys,
        roots=roots,
        serial=serial,
        certificate=number,
        lot=lots[cast.SPRUCE],
        boards=tuple(sorted(code for part in codes.values() for code in part)),
        root=shop.store.head().root.hex(),
    )


def _open(
    folder: Path, clock: Clock, chance: Chance, stretching: Stretching | None
) -> tuple[Shop, tuple[SecretKey, ...]]:
    sticks = [
        RootStick(
            path=folder / "sticks" / f"root-{n}.json",
            pass_phrase=SPOKEN.format(word),
        )
        for n, word in enumerate(("first", "second", "third"), start=1)
    ]
    founded = found_shop(
        folder / "shop",
        name=cast.SHOP,
        lead=FirstLead(name=cast.LEAD.name, badge=cast.LEAD.badge, pin=cast.LEAD.pin),
        sticks=sticks,
        threshold=2,
        settings=Settings(
            place=cast.PLACE, label_host=cast.HOST, first_serial=cast.FIRST_SERIAL
        ),
        now=clock,
        entropy=chance,
        stretching=stretching,
        unicode=UNICODE,
    )
    # The story leaps over months; at a bench somebody would look at the clock.
    shop = replace(founded, pause_confirmed=True)
    roots = tuple(signing.root_key(s.path, s.pass_phrase) for s in sticks)
    return shop, roots


def _enrol(
    shop: Shop, roots: tuple[SecretKey, ...], stretching: Stretching | None
) -> dict[str, SecretKey]:
    lead = signing.person_key(
        shop, signing.find_person(shop, cast.LEAD.badge), cast.LEAD.pin
    )
    keys = {cast.LEAD.badge: lead}
    by_roots = Hands(by=lead, approving=roots[:2])
    _enrol_one(shop, cast.OFFICE, by_roots, lead, keys, stretching)
    office = signing.find_person(shop, cast.OFFICE.badge)
    people.appoint(shop, office, "key-administrator", by_roots)
    by_office = Hands(by=keys[cast.OFFICE.badge], approving=(lead,))
    for builder in cast.BUILDERS:
        _enrol_one(shop, builder, by_office, lead, keys, stretching)
    return keys


def _enrol_one(
    shop: Shop,
    builder: cast.Builder,
    hands: Hands,
    lead: SecretKey,
    keys: dict[str, SecretKey],
    stretching: Stretching | None,
) -> None:
    people.enrol(
        shop,
        name=builder.name,
        badge=builder.badge,
        pin=builder.pin,
        qualifications=builder.may,
        hands=hands,
        qualified_by=lead,
        stretching=stretching,
    )
    person = signing.find_person(shop, builder.badge)
    keys[builder.badge] = signing.person_key(shop, person, builder.pin)


def _receive(
    shop: Shop, clock: Clock, keys: dict[str, SecretKey]
) -> dict[cast.Delivery, str]:
    maura = Hands(by=keys["02"])
    for sawyer in cast.SAWYERS:
        wood.record_supplier(
            shop,
            name=sawyer.name,
            shown=sawyer.shown,
            region=sawyer.region,
            country=sawyer.country,
            hands=maura,
        )
    lots = {}
    for delivery in cast.DELIVERIES:
        if delivery.evidence is None:
            clock.morning_of(delivery.received_on)
        lots[delivery] = _receive_one(shop, delivery, maura)
    return lots


def _receive_one(shop: Shop, delivery: cast.Delivery, hands: Hands) -> str:
    documents: tuple[str, ...] = ()
    if delivery.paper:
        filed = wood.file_document(
            shop,
            PAPERS / delivery.paper,
            paper="invoice" if delivery.evidence else "delivery note",
            number=delivery.number,
            issued_on=None,
            expires_on=None,
            hands=hands,
        )
        documents = (filed,)
    sawyer = delivery.sawyer
    draft = wood.LotDraft(
        species=delivery.species,
        trade_name=delivery.trade_name,
        form=delivery.form,
        boards=delivery.boards,
        received_on=delivery.received_on,
        supplier=wood.find_supplier(shop, sawyer.name) if sawyer else None,
        documents=documents,
        harvested_in=delivery.harvested_in,
        evidence=delivery.evidence,
        is_opening=delivery.evidence is not None,
        code=LotId.parse(delivery.code) if delivery.code else None,
    )
    return wood.receive_lot(shop, draft, hands)


def _number(
    shop: Shop, hands: Hands, lots: dict[cast.Delivery, str]
) -> dict[str, list[str]]:
    """Give every piece its code; return the codes by the part they become."""
    codes: dict[str, list[str]] = {}
    for piece in cast.PIECES:
        draft = wood.BoardDraft(
            meant_for=piece.meant_for,
            length_um=quantities.length_um(piece.length),
            width_um=quantities.length_um(piece.width),
            thickness_um=quantities.length_um(piece.thickness),
            masses_mg=tuple(quantities.mass_mg(text) for text in piece.masses),
        )
        lot = LotId.parse(lots[piece.delivery])
        numbered = wood.number_boards(shop, lot, [draft], hands)
        codes.setdefault(piece.part, []).extend(numbered)
    return codes


def _build(
    shop: Shop, clock: Clock, keys: dict[str, SecretKey], codes: dict[str, list[str]]
) -> str:
    lead, jakub = Hands(by=keys["01"]), Hands(by=keys["03"])
    builds.define_model(
        shop,
        name=cast.MODEL,
        instrument=cast.INSTRUMENT,
        parts=cast.PARTS,
        steps=cast.STEPS,
        hands=lead,
    )
    clock.morning_of("2026-07-16")
    run = Run(name="Harbour Lights", number=3, pieces=12)
    serial = builds.begin(shop, model=cast.MODEL, run=run, hands=lead)
    for part in cast.PARTS:
        boards = codes[part]
        set_code = boards[0].partition(".")[0]
        builds.allot(shop, serial=serial, part=part, code=set_code, hands=jakub)
    for work in cast.WORK:
        clock.morning_of(work.day)
        builds.sign(
            shop,
            serial=serial,
            step=work.step,
            meaning=work.meaning,
            measures=work.measured,
            weighed=[
                PartWeighed(part=part, mass_mg=quantities.mass_mg(mass))
                for part, mass in work.weighed
            ],
            hands=Hands(by=keys[work.badge]),
        )
    return serial
