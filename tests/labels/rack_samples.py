"""Papers of the invented rack to draw in tests, plain ones and the longest."""

from dataclasses import replace

from labels.envelope import Envelope
from labels.hold_tag import HoldTag, UnderHold
from labels.lot_card import HeldPaper, LotCard
from labels.rack_card import RackCard, Shelved
from ledger.codes import check_character
from tests.labels.samples import HOST

SHOP = "Skerrymoor Fretted Instruments"
PRINTED = "2026-01-12 16:40 UTC"
LONG_SPECIES = "Pseudoacacioides longissima borealis var. septentrionalis"
HANGUL = "뒤판"

LOT = LotCard(
    shop=SHOP,
    host=HOST,
    code="L26-004",
    check=check_character("L26-004"),
    species="Picea abies",
    trade_name="European spruce",
    origin_unknown=False,
    sawyer="Ferrante & Daughters",
    received="2026-01-05",
    count="24 came in, 24 numbered, 19 in the rack",
    grades="AA 5, A 3, not graded 11",
    grown="Italy (IT)",
    papers=(
        HeldPaper("D26-0001", "invoice 4711/26"),
        HeldPaper("D26-0002", "phytosanitary certificate IT-99"),
    ),
    missing=1,
    earliest="2026-04-05",
    preferred="2026-07-04",
    rest="3 of 19 ready when printed; days of the last one",
    printed_at=PRINTED,
)
LONG_LOT = replace(
    LOT,
    shop="Skerrymoor Fretted Instruments and Sons of the Old Loft",
    species=LONG_SPECIES,
    trade_name="山田の木 " * 20,
    sawyer="Holzhandel " * 18,
    count="999 came in, 999 numbered, 999 in the rack " * 3,
    grades="AAA 5, " * 20,
    grown="CM or GA or GH or NG or CI or LR, nobody knows which " * 2,
    papers=tuple(HeldPaper(f"D26-{n:04}", "export permit 99" * 9) for n in range(14)),
    missing=999,
    rest="none of 999 ready when printed; days of the last one " * 2,
)
UNKNOWN_LOT = replace(
    LOT,
    host="",
    origin_unknown=True,
    species="unknown",
    trade_name="",
    papers=(),
    missing=0,
    earliest="",
    preferred="",
    rest="no piece of it is in the rack",
)

HOLD = HoldTag(
    shop=SHOP,
    host=HOST,
    code="H26-001",
    check=check_character("H26-001"),
    doubted="document D26-0001, export permit IT-2026-0047",
    since="2026-01-05",
    placed="2026-01-12",
    entry=63402,
    who="a lead",
    lifted_by=("Oluwaseun Adeyemi-Brandt", "badge 05"),
    rack=(
        UnderHold("L26-004-03 to 13, 15", "Picea abies"),
        UnderHold("L26-009-01", "Dalbergia latifolia"),
    ),
    count=14,
    printed_at=PRINTED,
)
LONG_HOLD = replace(
    HOLD,
    shop=LONG_LOT.shop,
    host="",
    doubted="document D26-0001, " + "export permit " * 20,
    entry=9_999_999,
    lifted_by=("Oluwaseun Adeyemi-Brandt",) * 9,
    rack=(UnderHold("L26-004-03 to 13, " + "15 to 99, " * 30, LONG_SPECIES),) * 40,
    count=12_345,
)
EMPTY_HOLD = replace(HOLD, since="", rack=(), count=0, lifted_by=())

CARD = RackCard(
    shop=SHOP,
    place="crib, shelf B",
    rows=(
        Shelved("L26-004-03", "Picea abies", "top", "ready", "solid"),
        Shelved("L26-004-05", "Picea abies", "top", "2026-04-05", "hollow"),
        Shelved("L26-009-01", "Dalbergia latifolia", "back", "HOLD H26-001", "sawn"),
        Shelved("L26-009-02.A", "Dalbergia latifolia", "back", "in 26-0001-8", "solid"),
    ),
    printed_at=PRINTED,
)
LONG_CARD = replace(
    CARD,
    shop=LONG_LOT.shop,
    place="the long rack under the window, shelf " * 4,
    rows=(
        Shelved(
            "L26-999-999.C999", LONG_SPECIES, "binding " * 9, "HOLD H26-999", "sawn"
        ),
    )
    * 60,
)

ENVELOPE = Envelope(
    shop=SHOP,
    what="Root key",
    key="7f3a91c204be5d18",
    whose=SHOP,
    decides="2 of 3 together: who is a lead, and who is a root",
    file="root-1.json",
    sealed="2026-01-12",
    sealed_by="Oluwaseun Adeyemi-Brandt",
    opened="Ask who was there, and why. If nobody knows, take it as lost.",
    lost="Tell whoever has another root today. Make new ones with those that are left.",
)
LONG_ENVELOPE = replace(
    ENVELOPE,
    shop=LONG_LOT.shop,
    whose="Jakub Wolański 山田 花子 " * 9,
    decides=ENVELOPE.decides * 4,
    file="root-" * 30,
    sealed_by="Oluwaseun Adeyemi-Brandt " * 4,
)
