"""Shipments of the invented shop to draw in tests, from the least to the fullest."""

from dataclasses import replace
from datetime import date
from typing import Any

from labels.custody_facts import Chain, Step, chain
from labels.species_facts import Imprint
from ledger.trade.consignment import Consignment, HeldPaper, Item, Party, Thing
from ledger.trade.due_diligence import Contact, Grown, Sheet, due_diligence
from tests.labels.samples import HOST, TAG

PERMIT = HeldPaper(
    document="D23-0118",
    paper="export permit",
    number="IN/23/0417",
    issued_on=date(2023, 11, 2),
)
INVOICE = HeldPaper(document="D26-0004", paper="invoice", number="118/26")
GUITAR = Thing(
    code="26-0147-3",
    what="flat-top guitar",
    model="Tidewarden",
    made_in=2026,
    marks=("serial on the headstock and the neck block", "label inside"),
    certificate="C-2026-00088",
    mass_mg=1_986_000,
)
OTHER = replace(GUITAR, code="26-0148-1", certificate="", mass_mg=2_014_500)
BLANK = Thing(
    code="L24-011-07",
    what="fingerboard blank",
    model="",
    made_in=None,
    marks=("number on the end",),
    certificate="",
    mass_mg=412_250,
)


def item(thing: str, taxon: str, part: str, mass_mg: int | None, **more: Any) -> Item:
    """Return an item: one finished part of Italian wood if nothing else is said."""
    told: dict[str, Any] = {
        "trade_name": "",
        "form": "finished_instruments",
        "pieces": 1,
        "volume_mm3": None,
        "origin": "IT",
        "acquired": date(2024, 1, 18),
        "shown": "document",
        "held": (INVOICE,),
        "lots": ("L26-004",),
        "boards": ("L26-004-11.A", "L26-004-11.B"),
        "kind": "plant",
        "appendix": "",
        "annex": "",
        "annotation": "",
        "source": "W",
        "first_listed": None,
        "answer": "not needed",
        "documents": (),
    }
    return Item(thing=thing, taxon=taxon, part=part, mass_mg=mass_mg, **(told | more))


ROSEWOOD: dict[str, Any] = {
    "trade_name": "East Indian rosewood",
    "origin": "IN",
    "held": (PERMIT, INVOICE),
    "lots": ("L23-040",),
    "appendix": "II",
    "annex": "B",
    "annotation": "annotation #15",
}
EBONY: dict[str, Any] = {
    "trade_name": "Gaboon ebony",
    "origin": "CM",
    "lots": ("L24-011",),
    "boards": ("L24-011-07",),
    "answer": "ask",
}


def guitar_items(code: str) -> tuple[Item, ...]:
    """Return the parts of one guitar, a nut of bone among them."""
    return (
        item(code, "Picea abies", "top", 190_250, trade_name="European spruce"),
        item(code, "Picea abies", "braces", 61_750, pieces=13, origin="NO"),
        item(code, "Dalbergia latifolia", "back, sides", 718_000, pieces=4, **ROSEWOOD),
        item(code, "Dalbergia latifolia", "headplate", 28_000, **ROSEWOOD),
        item(code, "Diospyros crassiflora", "fingerboard", 171_000, **EBONY),
        item(code, "Juglans nigra", "binding", 4_250, pieces=4, trade_name="walnut"),
        item(
            code,
            "Bos taurus",
            "nut and saddle",
            9_000,
            pieces=2,
            kind="animal",
            form="part",
            trade_name="cattle bone",
            lots=(),
            boards=(),
        ),
    )


CONSIGNMENT = Consignment(
    number="X26-0412",
    printed_on=date(2026, 11, 22),
    moves_on=date(2026, 11, 24),
    legs=("IE", "FR"),
    purpose="sold, so the owner changes",
    owner_changes=True,
    sender=Party(
        name="Skerrymoor Fretted Instruments",
        address=("The Loft", "Port Anslow"),
        country="IE",
    ),
    recipient=Party(name="Amélie Rousset", address=("Lyon",), country="FR"),
    things=(GUITAR, OTHER, BLANK),
    items=(
        *guitar_items("26-0147-3"),
        *guitar_items("26-0148-1"),
        item(
            "L24-011-07",
            "Diospyros crassiflora",
            "fingerboard blank",
            412_250,
            **(EBONY | {"form": "sawn_wood", "volume_mm3": 398_000}),
        ),
    ),
    hts_number="",
    table_date=date(2026, 11, 24),
    newest_source=date(2026, 3, 5),
    edition="ab" * 32,
    ask_first=(),
    size=71_391,
    root="00" * 32,
)
IMPRINT = Imprint(
    place="Port Anslow",
    host=HOST,
    check="4",
    ten_words=TAG.ten_words,
    signer_badge="09",
    signer_name="Philippa Osei",
    signer_rank="shipping and papers",
    whom_to_ask=(
        "Ask before it moves: the Management Authorities of Ireland and France."
    ),
)
LONG = (
    "Dalbergia cochinchinensis",
    "Swietenia macrophylla × Swietenia mahagoni",
    "Pericopsis elata",
    "Acer pseudoplatanus",
)
SPECIES = tuple(
    f"{LONG[n % 4]}{' var. longissima' if n % 3 else ''} no{n}" for n in range(14)
)
FULL = replace(
    CONSIGNMENT,
    purpose="exhibit, returns by 2027-01-31",
    sender=Party(
        name="Skerrymoor Fretted Instruments and Workshops of the Outer Harbour",
        address=("The Loft", "Long Quay 12 to 14", "Port Anslow"),
        country="IE",
    ),
    recipient=Party(
        name="荒川 健二 (Kenji Arakawa)",
        address=("札幌市中央区 北三条西", "Sapporo"),
        country="JP",
    ),
    legs=("IE", "JP"),
    things=tuple(
        replace(
            GUITAR,
            code=f"26-{n:04}-X",
            what="twelve-string flat-top guitar of small body, with its case",
            model="Lamplit Twelve, 港の灯",
            marks=GUITAR.marks * 2,
            mass_mg=None if n % 3 == 2 else 12_345_678_901 + n,
        )
        for n in range(5)
    ),
    items=tuple(
        item(
            f"26-{n:04}-X",
            species,
            ("back, sides, headplate, bindings and purfling", "top")[m % 2],
            None if (n + m) % 7 == 3 else 1_234_567 * m + n,
            pieces=1 + 99 * (m % 2),
            trade_name=("ジャックウッド", "a wood of the trade with a long name")[
                m % 2
            ],
            origin=(None, "ID")[m % 2],
        )
        for n in range(5)
        for m, species in enumerate(SPECIES)
    ),
    newest_source=None,
)
LEAST = replace(
    CONSIGNMENT,
    purpose="",
    sender=Party(name=""),
    recipient=Party(name=""),
    things=(replace(BLANK, what="wood", marks=(), mass_mg=None),),
    items=(),
)
BARE = replace(
    IMPRINT, place="", host="", signer_name=None, signer_rank="", whom_to_ask=""
)
SHIPMENTS = {
    "one": (CONSIGNMENT, IMPRINT),
    "full": (FULL, IMPRINT),
    "least": (LEAST, BARE),
}


def steps_of(of: Item) -> tuple[Step, ...]:
    """Return the way of an item, as far as the record knows it."""
    if not of.lots:
        return (Step("thing", of.thing, "2026-11-21", "", 86_114, "diary"),)
    paper = of.held[0]
    said = f"{paper.document} {paper.paper} {paper.number}"
    grew = Step("grew", of.origin or "", "", said, 1_204, of.shown)
    return (
        *((grew,) if of.origin else ()),
        Step(
            "supplied", "Ferrante & Daughters, Val Corda", "", said, 1_204, "document"
        ),
        *(Step("lot", lot, "2024-01-18", said, 1_206, "document") for lot in of.lots),
        *(
            Step("board", board, "2024-01-19", "", 1_240 + n, "diary")
            for n, board in enumerate(of.boards)
        ),
        Step("part", of.part, "2026-07-02", "", 63_402, "diary"),
        Step("thing", of.thing, "2026-11-21", "", 86_114, "diary"),
    )


def chains_of(consignment: Consignment) -> tuple[Chain, ...]:
    """Return the way of each item of a shipment."""
    return tuple(chain(each, steps_of(each)) for each in consignment.items)


def packing_list_of(name: str) -> tuple[Consignment, Imprint]:
    """Return what a packing list is drawn from."""
    return SHIPMENTS[name]


def custody_of(name: str) -> tuple[Consignment, tuple[Chain, ...], Imprint]:
    """Return what a chain of custody is drawn from; the least knows nothing."""
    consignment, imprint = SHIPMENTS[name]
    nothing = chain(item("L24-011-07", "unknown", "", None), ())
    return consignment, chains_of(consignment) or (nothing,), imprint


CUSTOMER = Contact(
    name="Amélie Rousset",
    address=("4 quai des Luthiers", "69000 Lyon"),
    country="FR",
    email="atelier@rousset.example",
)
SAWYER = Contact(
    name="Mbeki-Laurent Ebène",
    address=("BP 12", "Ebolowa"),
    country="CM",
    email="bois@mbeki-laurent.example",
)
GROWN = Grown(
    lot="L24-011",
    document="D26-0031",
    number=3,
    harvested_from="2023-09-04",
    harvested_to="2023-10-20",
)


def due_diligence_of(name: str) -> tuple[Consignment, Sheet, Imprint]:
    """Return what an input sheet is drawn from; the least knows nothing."""
    consignment, imprint = SHIPMENTS[name]
    form: dict[str, Any] = {"form": "sawn_wood"}
    if name == "full":
        items = tuple(replace(each, **form) for each in consignment.items[:14])
        consignment = replace(consignment, items=items)
    if name == "least":
        nothing: dict[str, Any] = {"lots": (), "held": (), "origin": None}
        form = {"form": "unfinished_shaped_parts"} | nothing
        items = (item("L24-011-07", "unknown", "", None, **form),)
        consignment = replace(consignment, items=items)
    sheet = due_diligence(
        consignment,
        customer=CUSTOMER if name == "one" else None,
        suppliers={} if name == "least" else {"L24-011": SAWYER},
        grown={"L24-011": GROWN} if name == "one" else {},
    )
    return consignment, sheet, imprint
