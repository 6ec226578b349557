"""An invented shop for tests: Skerrymoor Fretted Instruments, opened through the acts.

    loft = skerrymoor.opened(folder)
    lot = loft.receive()
    serial = loft.begin()

Clock, keys and chance are fixed, and a PIN costs next to nothing to try. The shop is
made once and copied for each test, on PostgreSQL too.
"""

import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from ledger.acts import (
    allotting,
    boards,
    builds,
    certificates,
    documents,
    lots,
    models,
    owners,
    people,
    policies,
    signoffs,
    suppliers,
)
from ledger.acts.asked import SignOff
from ledger.acts.founding import FirstLead, RootStick, found_shop
from ledger.acts.settings import Settings
from ledger.acts.shop import Hands, Shop, open_shop
from ledger.acts.signing import find_person, person_key, root_key
from ledger.craft.policy import first_house_policy
from ledger.events import CorrectionMade, Event
from ledger.events.build import Measure, PartWeighed, Run
from ledger.events.codec import Beside
from ledger.events.route import PlannedPart, PlannedStep
from ledger.events.wood import Shown
from ledger.ids import LotId
from ledger.log import attachments
from ledger.log.entry import Entry
from ledger.log.keyfile import Stretching
from ledger.log.keys import SecretKey
from ledger.log.merkle import leaf_hash
from ledger.views.people import Person
from ledger.views.people import people as people_in
from tests.conftest import entropy_from

NAME = "Skerrymoor Fretted Instruments"
CHEAP = Stretching(memory_kib=64, iterations=1, lanes=1)
LEAD = FirstLead(name='Oluwaseun "Seun" Adeyemi-Brandt', badge="01", pin="4711")
# Badge, name, PIN and qualifications of everybody else who is in the shop.
CAST = (
    ("12", "Rukmini Desai", "1212", ("papers",)),
    ("02", "Maura Kiely", "0202", ("receive",)),
    ("03", "Jakub Wolański", "0303", ("plates", "brace")),
    ("10", "Ines Carvalhal", "1010", ("inspect", "plates")),
)
# Wood of these tests may be used at once; those about rest adopt other limits.
WITHOUT_REST = first_house_policy() | {
    "id": "bench",
    "rest": [],
    "rest_of_others": {"least_days": 0, "preferred_days": 0},
    "steady": {"weighings": 0, "apart_days": 0, "within_ppm": 0},
    "room": {"least_humidity_ppm": 0, "most_humidity_ppm": 0, "fresh_days": 0},
}
PINS = {LEAD.badge: LEAD.pin} | {badge: pin for badge, _, pin, _ in CAST}
STEPS = (
    PlannedStep(step="join the top", qualification="plates"),
    PlannedStep(step="brace", qualification="brace"),
)
TOP = boards.BoardDraft(
    meant_for="top",
    length_um=559_000,
    width_um=203_000,
    thickness_um=4_200,
    masses_mg=(205_000, 207_000),
)
NECK = boards.BoardDraft(
    meant_for="neck",
    length_um=810_000,
    width_um=95_000,
    thickness_um=24_000,
    masses_mg=(1_040_000,),
    # Spruce it is not; in these tests it may come in a lot of it.
    as_read=True,
)


@dataclass(slots=True, kw_only=True)
class Clock:
    """A clock that moves on by one step whenever somebody looks at it."""

    moment: datetime = datetime(2026, 1, 5, 8, tzinfo=UTC)
    step: timedelta = timedelta(minutes=1)

    def __call__(self) -> datetime:
        """Return the time, and move on."""
        self.moment += self.step
        return self.moment


@dataclass(slots=True, kw_only=True)
class Loft:
    """The open shop, its clock, and everybody's keys by badge."""

    shop: Shop
    clock: Clock
    roots: tuple[SecretKey, ...]
    keys: dict[str, SecretKey] = field(default_factory=dict)

    def hands(self, badge: str = "01", *yes: str) -> Hands:
        """Return whose key signs and whose approve; `roots` brings two root keys."""
        approving = [self.keys[name] for name in yes if name != "roots"]
        if "roots" in yes:
            approving += self.roots[:2]
        return Hands(by=self.keys[badge], approving=tuple(approving))

    def say(
        self, event: Event, badge: str = "01", *, happened_at: str | None = None
    ) -> Entry:
        """Say one sentence as it stands, without the act that would ask about it."""
        beside = Beside(happened_at=happened_at)
        with replace(self.shop, beside=beside).turn() as turn:
            return turn.say(event, self.hands(badge))

    def strike(self, index: int) -> CorrectionMade:
        """Return the sentence that strikes an entry, one that is not there too."""
        is_there = index < self.shop.store.head().size
        record = self.shop.store.record(index) if is_there else b""
        return CorrectionMade(index=index, struck=leaf_hash(record).hex())

    def adopt(self, **limits: Any) -> Entry:
        """Adopt the trade's first limits as this house's, or some that differ."""
        text = first_house_policy() | {"id": "loft"} | limits
        return policies.adopt_policy(self.shop, text, self.hands())

    def person(self, name: str) -> Person:
        """Return a person by badge or name."""
        return find_person(self.shop, name)

    def enrol(
        self,
        name: str = "Teresa Quispe",
        badge: str = "04",
        hands: Hands | None = None,
        qualifications: Sequence[str] = ("necks",),
    ) -> Person:
        """Enrol somebody whose PIN is the badge twice."""
        people.enrol(
            self.shop,
            name=name,
            badge=badge,
            pin=badge * 2,
            qualifications=qualifications,
            hands=hands or self.hands("12", "01"),
            qualified_by=self.keys["01"],
            stretching=CHEAP,
        )
        person = self.person(badge)
        self.keys[badge] = person_key(self.shop, person, badge * 2)
        return person

    def supplier(
        self, name: str = "Ferrante & Daughters", shown: Shown = "by-name"
    ) -> str:
        """Enter a sawyer of the Val Corda."""
        return suppliers.record_supplier(
            self.shop,
            name=name,
            shown=shown,
            region="Val Corda",
            country="IT",
            hands=self.hands("02"),
        )

    def document(self, text: str = "delivery note", **facts: Any) -> str:
        """File a paper that says this; the same again has an empty line more."""
        path = self.shop.folder.parent / "paper.txt"
        path.write_text(text, encoding="utf-8")
        while attachments.digest_of(path) in attachments.digests(self.shop.attachments):
            path.write_text(path.read_text(encoding="utf-8") + "\n", encoding="utf-8")
        told: dict[str, Any] = {
            "paper": "delivery note",
            "number": "7/26",
            "issued_on": "2026-01-03",
        }
        told |= {"expires_on": None, "hands": self.hands("02")} | facts
        if told.get("is_personal"):
            told.setdefault("about", self.person("10").subject)
        return documents.file_document(self.shop, path, **told)

    def draft(self, **facts: Any) -> lots.LotDraft:
        """Return what is known of a lot of Alpine spruce from the first sawyer."""
        known: dict[str, Any] = {
            "species": "Picea abies",
            "form": "sawn",
            "boards": 24,
            "received_on": "2026-01-05",
            "harvested_in": "IT",
        }
        if "supplier" not in facts and not facts.get("is_opening"):
            known["supplier"] = suppliers.find_supplier(self.shop, "Ferrante")
        return lots.LotDraft(**(known | facts))

    def receive(self, **facts: Any) -> LotId:
        """Receive a lot."""
        code = lots.receive_lot(self.shop, self.draft(**facts), self.hands("02"))
        return LotId.parse(code)

    def number(self, lot: LotId, *drafts: boards.BoardDraft) -> list[str]:
        """Give boards their codes: one set of two halves if nothing else is said."""
        return boards.number_boards(self.shop, lot, drafts or (TOP,), self.hands("02"))

    def model(self, name: str = "Tidewarden") -> int:
        """Set down a model of two parts and two steps."""
        return models.define_model(
            self.shop,
            name=name,
            instrument="flat-top guitar",
            parts=[PlannedPart(part=part) for part in ("top", "neck")],
            steps=STEPS,
            hands=self.hands(),
        )

    def begin(self, model: str = "Tidewarden", run: Run | None = None) -> str:
        """Begin an instrument."""
        return builds.begin(self.shop, model=model, run=run, hands=self.hands())

    def allot(self, serial: str, part: str, code: str, badge: str = "03") -> list[str]:
        """Allot a board or a set."""
        return allotting.allot(
            self.shop, serial=serial, part=part, code=code, hands=self.hands(badge)
        )

    def sign(self, serial: str, step: str, badge: str = "03", **said: Any) -> int:
        """Sign a step as done, or as `meaning` says."""
        told: dict[str, Any] = {
            name: tuple(value) if isinstance(value, list) else value
            for name, value in said.items()
        }
        off = SignOff(serial=serial, step=step, **told)
        return signoffs.sign(self.shop, off, self.hands(badge)).index

    def build(self, shown: Shown = "by-name") -> str:
        """Build an instrument from the sawyer to the scales; return its serial."""
        self.supplier(shown=shown)
        tops, necks = self.receive(documents=(self.document(),)), self.receive()
        self.number(tops)
        (neck,) = self.number(necks, NECK)
        self.model()
        serial = self.begin(run=Run(name="Harbour Lights", number=3, pieces=12))
        self.allot(serial, "top", f"{tops}-01")
        self.allot(serial, "neck", neck)
        self.finish(serial)
        return serial

    def finish(self, serial: str) -> None:
        """Sign both steps, weigh both parts and the whole instrument."""
        top = PartWeighed(part="top", mass_mg=190_500)
        neck = PartWeighed(part="neck", mass_mg=611_000)
        mass = Measure(what="mass", mass_mg=1_986_000)
        relief = Measure(what="relief", length_um=180)
        self.sign(serial, "join the top", weighed=[top])
        self.sign(serial, "brace", measures=[mass, relief], weighed=[neck])

    def another(self) -> str:
        """Build a second instrument of the same wood; return its serial."""
        serial = self.begin()
        lot = self.receive()
        self.number(lot, TOP, NECK)
        self.allot(serial, "top", f"{lot}-01")
        self.allot(serial, "neck", f"{lot}-02")
        self.finish(serial)
        return serial

    def issue(self, serial: str) -> str:
        """Issue an instrument's certificate; return its number."""
        return certificates.issue(self.shop, serial=serial, hands=self.hands())

    def sell(self, serial: str, name: str = "Amélie Rousset") -> None:
        """Register the first owner."""
        owners.register(
            self.shop,
            serial=serial,
            name=name,
            registered_on=None,
            hands=self.hands("12"),
        )


def opened(folder: Path, *, database: str = "", threshold: int = 2) -> Loft:
    """Open the shop in `folder`/shop, its three root sticks beside it, and staff it."""
    clock = Clock()
    shop = founded(folder, clock=clock, database=database, threshold=threshold)
    loft = manned(shop, clock, folder)
    two_roots = loft.hands("01", "roots")
    for badge, name, pin, qualifications in CAST:
        is_first = badge == "12"
        people.enrol(
            shop,
            name=name,
            badge=badge,
            pin=pin,
            qualifications=qualifications,
            hands=two_roots if is_first else loft.hands("12", "01"),
            qualified_by=loft.keys["01"],
            stretching=CHEAP,
        )
        person = find_person(shop, badge)
        loft.keys[badge] = person_key(shop, person, pin)
        if is_first:
            people.appoint(shop, person, "key-administrator", two_roots)
    return loft


def founded(
    folder: Path,
    *,
    clock: Callable[[], datetime],
    database: str = "",
    threshold: int = 2,
    roots: int = 3,
    lead: FirstLead = LEAD,
    label: str = "skerrymoor",
) -> Shop:
    """Found the shop, with its first lead and nobody else."""
    return found_shop(
        folder / "shop",
        name=NAME,
        lead=lead,
        sticks=sticks(folder)[:roots],
        threshold=threshold,
        settings=Settings(
            label_host="skerrymoor.example", place="Port Anslow", database=database
        ),
        now=clock,
        entropy=entropy_from(label),
        stretching=CHEAP,
        house=WITHOUT_REST,
    )


def sticks(folder: Path) -> list[RootStick]:
    """Return the three root sticks of a shop."""
    return [
        RootStick(path=folder / f"sticks/root-{n}.json", pass_phrase=f"phrase {n}")
        for n in (1, 2, 3)
    ]


def manned(shop: Shop, clock: Clock, folder: Path) -> Loft:
    """Return the open shop with the keys of everybody who is in it."""
    roots = [root_key(s.path, s.pass_phrase) for s in sticks(folder) if s.path.exists()]
    with shop.store.reading() as session:
        enrolled = people_in(session)
        session.expunge_all()
    keys = {
        p.badge: person_key(shop, p, PINS.get(p.badge, p.badge * 2)) for p in enrolled
    }
    return Loft(shop=shop, clock=clock, roots=tuple(roots), keys=keys)


def again(folder: Path, template: Path, label: str) -> Loft:
    """Copy a shop that was opened and closed, sticks and all, and open it."""
    shutil.copytree(template, folder, dirs_exist_ok=True)
    return reopened(folder, label, datetime(2026, 1, 5, 12, tzinfo=UTC))


def reopened(folder: Path, label: str, moment: datetime) -> Loft:
    """Open a shop that was copied, at a time, with a chance of its own."""
    clock = Clock(moment=moment)
    shop = open_shop(folder / "shop", now=clock, entropy=entropy_from(label))
    return manned(shop, clock, folder)
