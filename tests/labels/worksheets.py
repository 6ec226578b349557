"""Worksheets to draw in tests: the usual ones, a crowd, and hardly anything."""

from dataclasses import replace

from ledger.trade.consignment import Party
from ledger.trade.forms.cites import cites_worksheet
from ledger.trade.forms.declaration import declaration_worksheet
from ledger.trade.forms.musical import musical_worksheet
from ledger.trade.forms.union import union_worksheet
from tests.ledger.trade.forms.samples import (
    BLANK,
    EBONY,
    GUITAR,
    OLD,
    ROSEWOOD,
    SALE,
    TO_AMERICA,
    TOUR,
    with_items,
)

TAXA = (
    *("Dalbergia latifolia", "Dalbergia cochinchinensis", "Swietenia macrophylla"),
    *("Pterocarpus erinaceus", "Guibourtia pellegriniana", "Cedrela odorata"),
    *("Paubrasilia echinata", "Platymiscium pleiostachyum", "Khaya anthotheca"),
    *("Handroanthus impetiginosus", "Pericopsis elata", "Diospyros perrieri"),
    *("Swietenia macrophylla × Swietenia mahagoni", "Dalbergia baronii"),
)
LONG = Party(
    name="荒川 健二 弦楽器工房 (Kenji Arakawa, Stringed Instruments of the North)",
    address=(
        "札幌市中央区北一条西2丁目 第三ビル 405号室",
        "Sapporo, Hokkaidō 060-0001, by way of the harbour office",
    ),
    country="JP",
)
POLISH = Party(
    name="Zażółć Gęślą Jaźń, pracownia Jakuba Wolańskiego spółka z ograniczoną",
    address=("ulica Świętego Łukasza Ewangelisty 17/4b", "31-041 Kraków-Śródmieście"),
    country="PL",
)
CROWD = tuple(
    replace(
        (ROSEWOOD, BLANK)[number % 2],
        taxon=taxon,
        trade_name=f"wood number {number}, of many names and none of them short",
        part="back, sides, headplate, bindings and purfling of the body",
        thing=("26-0147-3", "26-0148-1", f"L23-04{number % 10}-02")[number % 3],
        mass_mg=(987_654_321, 4_250, 900)[number % 3],
        source=("", "W")[number % 2],
        lots=tuple(f"L{20 + each}-0{number:02}" for each in range(number % 4)),
    )
    for number, taxon in enumerate(TAXA)
)
CROWDED = with_items(
    SALE,
    *CROWD,
    sender=POLISH,
    recipient=LONG,
    legs=("US", "EU"),
    ask_first=(
        *SALE.ask_first,
        replace(SALE.ask_first[0], taxon="", whom="whoever keeps the table " * 9),
    ),
    newest_source=None,
)
BARE = with_items(
    TOUR,
    replace(OLD, trade_name="", part="", source="", acquired=None, shown="none"),
    things=(),
    purpose="",
    sender=Party(name=""),
    recipient=Party(name=""),
)
BAND = with_items(
    TOUR,
    *(replace(OLD, thing=f"26-{number:04}-0") for number in range(1, 5)),
    things=tuple(replace(GUITAR, code=f"26-{n:04}-0") for n in range(1, 5)),
)

USUAL = {
    "cites": cites_worksheet(SALE),
    "union": union_worksheet(SALE),
    "declaration": declaration_worksheet(TO_AMERICA),
    "musical": musical_worksheet(TOUR),
}
WORST = {
    "crowd, cites": cites_worksheet(CROWDED),
    "crowd, union": union_worksheet(CROWDED),
    "crowd, declaration": declaration_worksheet(
        replace(CROWDED, legs=("PL", "US"), hts_number="")
    ),
    "band": musical_worksheet(BAND),
    "bare": musical_worksheet(BARE),
    "one row": cites_worksheet(with_items(SALE, ROSEWOOD, ask_first=())),
    "open only": declaration_worksheet(with_items(TO_AMERICA, EBONY)),
}
EVERY = {**USUAL, **WORST}
