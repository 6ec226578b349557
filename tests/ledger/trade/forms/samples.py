"""Consignments of the invented shop to write worksheets from."""

from dataclasses import replace
from datetime import date
from typing import Any

from hypothesis import strategies as st

from ledger.trade.consignment import Ask, Consignment, HeldPaper, Item, Party, Thing
from ledger.trade.forms.worksheet import Box, Form, Worksheet

PERMIT = HeldPaper(
    document="D23-0118",
    paper="export permit",
    number="IN-2023-0412",
    issued_on=date(2023, 11, 2),
)
INVOICE = HeldPaper(document="D23-0119", paper="invoice", number="F-88")

ROSEWOOD = Item(
    thing="26-0147-3",
    taxon="Dalbergia latifolia",
    trade_name="East Indian rosewood",
    part="back",
    form="finished_instruments",
    pieces=2,
    mass_mg=746_000,
    volume_mm3=830_000,
    origin="IN",
    acquired=date(2024, 1, 18),
    shown="document",
    held=(PERMIT, INVOICE),
    lots=("L23-040",),
    boards=("L23-040-02",),
    kind="plant",
    appendix="II",
    annex="B",
    annotation="annotation #15",
    source="W",
    first_listed=date(2017, 1, 2),
    answer="needed",
    documents=("re-export certificate", "EU import permit"),
)
SIDES = replace(ROSEWOOD, part="sides", mass_mg=400_000, volume_mm3=445_000)
BLANK = replace(
    ROSEWOOD,
    thing="L25-019-06",
    taxon="Swietenia macrophylla",
    trade_name="big-leaf mahogany",
    part="neck blank",
    form="sawn_wood",
    pieces=1,
    mass_mg=960_123,
    volume_mm3=1_760_000,
    origin="BR",
    held=(),
    lots=("L25-019",),
    boards=("L25-019-06",),
    annotation="annotation #6",
    source="",
)
EBONY = replace(
    ROSEWOOD,
    taxon="Diospyros crassiflora",
    trade_name="Gaboon ebony",
    part="fingerboard",
    pieces=1,
    mass_mg=210_500,
    volume_mm3=None,
    origin="CM",
    shown="none",
    held=(),
    lots=("L24-011",),
    appendix="",
    annex="",
    annotation="",
    source="",
    answer="ask",
    documents=(),
)
OLD = replace(
    ROSEWOOD,
    thing="K26-0001",
    taxon="Dalbergia nigra",
    first_listed=date(1992, 6, 11),
    trade_name="Brazilian rosewood",
    origin="BR",
    acquired=date(1967, 3, 1),
    shown="witness",
    held=(),
    lots=(),
    boards=(),
    appendix="I",
    annex="A",
    annotation="",
    documents=("musical instrument certificate",),
)
SHELL = replace(
    ROSEWOOD,
    taxon="Nautilus pompilius",
    trade_name="nautilus",
    part="inlay",
    form="inlay",
    pieces=12,
    mass_mg=900,
    volume_mm3=None,
    origin="PH",
    held=(),
    lots=(),
    boards=(),
    kind="animal",
    annotation="",
    documents=("re-export certificate",),
)
GUITAR = Thing(
    code="26-0147-3",
    what="flat-top guitar",
    model="Tidewarden",
    made_in=2026,
    marks=("serial on the headstock", "label inside"),
    certificate="C-2026-00088",
    mass_mg=1_986_000,
)
OLD_GUITAR = replace(
    GUITAR, code="K26-0001", model="", made_in=1967, marks=(), certificate=""
)
SALE = Consignment(
    number="X26-0001",
    printed_on=date(2026, 11, 22),
    moves_on=date(2026, 11, 24),
    legs=("US", "FR"),
    purpose="sale",
    owner_changes=True,
    sender=Party(
        name="Skerrymoor Fretted Instruments",
        address=("The Loft", "Port Anslow"),
        country="US",
    ),
    recipient=Party(
        name="Amélie Rousset", address=("12 quai des Lanternes", "Lyon"), country="FR"
    ),
    things=(GUITAR, OLD_GUITAR),
    items=(ROSEWOOD, SIDES, EBONY, BLANK),
    hts_number="",
    table_date=date(2026, 11, 24),
    newest_source=date(2025, 12, 31),
    edition="0c1d" * 16,
    ask_first=(
        Ask(
            law="CITES",
            taxon="Diospyros crassiflora",
            papers=(),
            whom="the Management Authority of France",
            is_needed=False,
        ),
    ),
    size=71391,
    root=bytes(range(100, 132)).hex(),
)
TOUR = replace(
    SALE,
    legs=("US", "FR", "US"),
    purpose="performance",
    owner_changes=False,
    items=(OLD, replace(EBONY, thing="K26-0001")),
    ask_first=(),
)
TO_AMERICA = replace(SALE, legs=("FR", "US"), hts_number="9202904000")

SPECIES = ("Dalbergia latifolia", "Swietenia macrophylla", "Picea abies")
FORMS = ("finished_instruments", "sawn_wood", "veneer_sheets", "finished_parts")
PAPERS = ("export permit", "re-export certificate", "pre-Convention certificate")


def with_items(consignment: Consignment, *items: Item, **changes: Any) -> Consignment:
    """Return a consignment of other items."""
    return replace(consignment, items=items, **changes)


def boxes_of(form: Form) -> list[Box]:
    """Return every box of a form, with those of its rows."""
    rows = [box for row in form.specimens for box in row.boxes]
    return [*form.boxes, *rows, *form.closing]


def every_box(worksheet: Worksheet) -> list[Box]:
    """Return every box of a worksheet."""
    return [box for form in worksheet.forms for box in boxes_of(form)]


def box(worksheet: Worksheet, number: str, row: int = 0, form: int = 0) -> Box:
    """Return the box of a number: of a row, or of the form where it has it."""
    found = worksheet.forms[form]
    boxes = (*found.boxes, *found.specimens[row].boxes, *found.closing)
    return next(each for each in boxes if each.number == number)


@st.composite
def items(draw: st.DrawFn) -> Item:
    """Draw an item that a form can take."""
    paper = draw(st.sampled_from(PAPERS))
    origin = draw(st.sampled_from(("IN", "BR", "US", "FR", None)))
    return replace(
        ROSEWOOD,
        thing=draw(st.sampled_from(("26-0147-3", "26-0148-1", "L23-040-02"))),
        taxon=draw(st.sampled_from(SPECIES)),
        part=draw(st.sampled_from(("back", "neck", "fingerboard", ""))),
        form=draw(st.sampled_from(FORMS)),
        pieces=draw(st.integers(1, 99)),
        mass_mg=draw(st.integers(1, 10**9)),
        volume_mm3=draw(st.none() | st.integers(1, 10**9)),
        origin=origin,
        may_be_from=() if origin else ("BR", "IN", "US"),
        acquired=draw(st.none() | st.just(date(1970, 1, 1))),
        held=draw(st.sampled_from(((), (PERMIT,), (PERMIT, INVOICE)))),
        source=draw(st.sampled_from(("", "W", "A"))),
        appendix=draw(st.sampled_from(("I", "II", "III"))),
        annex=draw(st.sampled_from(("", "A", "B"))),
        documents=(paper, "EU import permit"),
    )


@st.composite
def consignments(draw: st.DrawFn) -> Consignment:
    """Draw a consignment of items that forms can take."""
    found = draw(st.lists(items(), min_size=1, max_size=14))
    purposes = st.sampled_from(("sale", "personal", "performance", "", "gift"))
    return replace(
        SALE,
        items=tuple(found),
        purpose=draw(purposes),
        legs=draw(st.sampled_from((("US", "FR"), ("US", "EU")))),
        hts_number=draw(st.sampled_from(("", "9202", "9202904000"))),
    )
