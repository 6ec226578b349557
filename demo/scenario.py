"""The story: a shop opens, wood rests, three instruments are built, one is sold.

Everything goes through `ledger.acts`, as a bench would do it, under a clock that the
story sets and with chance that is counted out of SHA-256. The root hash at its end is
therefore one number, and a test knows it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from demo import building, cast, tops, wood
from demo.bench import Bench, Chance, Clock
from demo.shelf import Shelf
from ledger.acts import people, signing
from ledger.acts.founding import FirstLead, RootStick, found_shop
from ledger.acts.matching import Assigned
from ledger.acts.settings import Settings
from ledger.acts.shop import Hands, Shop
from ledger.log.keyfile import Stretching
from ledger.log.keys import SecretKey

UNICODE = "14.0.0"
RACK = "the rack"
SPOKEN = "the {} of three sticks"


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """The shop at the end of the story, and what to look at.

    `mishaps` are what was said where something went wrong, at the rack and on the way
    of each instrument, by its serial; so are the `certificates`.
    """

    shop: Shop
    clock: Clock
    keys: dict[str, SecretKey]
    roots: tuple[SecretKey, ...]
    serial: str
    next_serial: str
    arch_top: str
    solid_body: str
    certificate: str
    certificates: Mapping[str, str]
    shipment: str
    recipient: str
    chosen: str
    looked_at: str
    lot: str
    boards: tuple[str, ...]
    matched: Assigned
    shelf: Shelf
    mishaps: Mapping[str, tuple[str, ...]]
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
    hands = {badge: Hands(by=key) for badge, key in keys.items()}
    bench = Bench(shop=shop, clock=clock, hands=hands)
    woods = wood.gather(bench)
    built = building.build(bench, woods)
    sold = building.sell(bench, built)
    return Story(
        shop=shop,
        clock=clock,
        keys=keys,
        roots=roots,
        serial=built.serial,
        next_serial=built.next_serial,
        arch_top=built.arch_top,
        solid_body=built.solid_body,
        certificate=sold.certificates[built.serial],
        certificates=sold.certificates,
        shipment=sold.shipment,
        recipient=f"{cast.OWNER}, {cast.OWNER_PLACE}",
        chosen=f"{woods.flat_top['top']}.A",
        looked_at=f"{woods.tops}-{tops.METERED:02d}.A",
        lot=woods.tops,
        boards=woods.boards,
        matched=built.matched,
        shelf=built.shelf,
        mishaps={
            RACK: (*woods.mishaps, *built.at_the_rack),
            **built.on_the_way,
        },
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
