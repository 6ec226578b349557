"""Papers of the invented shop to draw in tests."""

from dataclasses import replace
from hashlib import sha256

from labels.card import OwnerCard
from labels.certificate import Maker, Material, Measure, OwnerCertificate, Remark
from labels.facts import figure_of
from labels.label import BoardLabel, Heading
from labels.materials import (
    Counts,
    MaterialRow,
    MaterialsPaper,
    RuleRow,
    WithThisPage,
)
from labels.tag import BuildTag, MaySign, NextStep, Signed, TagStep, Wood
from ledger.words import ten_words

HOST = "skm.example"
DIGITS = "".join(str(n * n * 7 % 11 % 10) for n in range(806))
CARD_TEXT = f"https://{HOST}/v#{DIGITS}"
ROOT = bytes(range(100, 132))
LEAF = sha256(b"entry 86114").digest()

BACK_A = BoardLabel(
    code="L23-040-02.A",
    check="7",
    genus="Dalbergia",
    epithet="latifolia",
    lot="L23-040",
    received="2024-01-18",
    what="back, half A",
    half="A",
    host=HOST,
)
BACK_B = replace(BACK_A, code="L23-040-02.B", check="4", what="back, half B", half="B")
WHOLE = replace(BACK_A, code="L24-018-05", check="K", what="neck blank", half=None)

HEADING = Heading(
    lot="L23-040",
    species="Dalbergia latifolia",
    sawyer="Nambiar Depot Auctions",
    date="2024-01-18",
    who="Maura Kiely",
)

CARD = OwnerCard(
    shop="Skerrymoor Fretted Instruments",
    model="Tidewarden",
    kind="flat-top guitar",
    year=2026,
    run="Harbour Lights, 3 of 12",
    serial="26-0147-3",
    certificate="C-2026-00088",
    entry=86114,
    leaf=LEAF,
    card_text=CARD_TEXT,
    mass_g=1986,
    species=("Picea abies", "Dalbergia latifolia"),
    figure=figure_of(
        "flat-top guitar",
        (
            ("top", "Picea abies"),
            ("neck", "Swietenia macrophylla"),
            ("fingerboard", "Diospyros crassiflora"),
            ("bridge", "Diospyros crassiflora"),
            ("binding", "Juglans nigra"),
        ),
    ),
    key_line="skm.example+1f7c09ae",
)

MAKERS = (
    Maker("02", "Maura Kiely", "received, weighed and seasoned the wood"),
    Maker("03", "Jakub Wolański", "plates, braces, binding"),
    Maker("11", "Tadhg Mac Giolla", "neck"),
    Maker("05", None, "finish"),
)
MATERIALS = (
    Material(
        "top",
        "Picea abies",
        "European spruce",
        "Ferrante & Daughters",
        "Val Corda, IT",
        "L26-004-11",
        6,
        190,
    ),
    Material(
        "headplate",
        "Dalbergia latifolia",
        "East Indian rosewood",
        "offcut of the back",
        "",
        "L23-040-02.C1",
        34,
        28,
    ),
)
MEASURES = (Measure("mass", "1986", "g"), Measure("action, 12th fret", "2.3", "mm"))
REMARKS = (Remark("2026-07-29", 63402, "a side cracked while bending; repaired"),)

CERTIFICATE = OwnerCertificate(
    shop="Skerrymoor Fretted Instruments",
    place="Port Anslow",
    model="Tidewarden",
    kind="flat-top guitar, dreadnought-size",
    run="Harbour Lights, 3 of 12",
    serial="26-0147-3",
    number="C-2026-00088",
    makers=MAKERS,
    materials=MATERIALS,
    measures=MEASURES,
    signer_badge="01",
    signer_name="Oluwaseun Adeyemi-Brandt",
    signer_rank="lead builder, for the Loft",
    issued="2026-11-21",
    entry=86114,
    leaf=LEAF,
    key_id="7f3a91c204be5d18",
    card_text=CARD_TEXT,
    as_of="2026-11-21",
    as_of_entry=86114,
    checkpoint_note="skm.example/loft\n86131\nZGVtbw==\n\n— skm.example/loft c2ln\n",
    root=ROOT,
    ten_words=ten_words(ROOT),
    entries=241,
    steps=42,
    signers=9,
    remarks=REMARKS,
)
CERTIFICATE_FILE = b'{"format":"flitchbook-certificate/1","model":"Tidewarden"}'
PROOF_FILE = b"c2sp.org/tlog-proof@v1\nindex 86114\n"

ROUTE = """
Top joined; Rosette set; Top to thickness; Back joined; Back to thickness; Sides bent;
Blocks and linings; Top braced; Back braced; Voice; Inside photographed; Closing
inspection; Box closed; Channels cut; Bound and purfled; Binding scraped; Neck blank
cut; Truss rod; Headplate; Neck carved; Fingerboard slotted; Fingerboard radius;
Fingerboard glued; Frets pressed; Frets levelled; Neck fitted; Marriage: body and neck
agree; In the white; Grain filled; Sprayed; Cured; Levelled; Buffed; Bridge glued;
Tuners and hardware; Nut and saddle; Set up; Played in; Final inspection; Rested 8
days; Photographed and weighed; Certificate signed
"""
GATES = (10, 12, 27, 28, 31, 39, 40, 42)
STEPS = tuple(
    TagStep(
        number,
        name,
        number in GATES,
        "crack repaired, see 63 402" if number == 6 else "",
        Signed(f"08-{number:02}", ("03", "08", "04", "10")[number % 4])
        if number < 24
        else None,
    )
    for number, name in enumerate(" ".join(ROUTE.split()).split("; "), start=1)
)
TAG = BuildTag(
    shop="The Loft",
    model="Tidewarden",
    kind="flat-top guitar",
    run="Harbour Lights, 3 of 12",
    serial="26-0147-3",
    host=HOST,
    body="B26-0147",
    neck="N26-0147",
    next_step=NextStep(24, "Frets pressed"),
    state="READY",
    edge="solid",
    may_sign=(
        MaySign("04", "Teresa Quispe"),
        MaySign("11", "Tadhg Mac Giolla"),
        MaySign("08", "Benji Takahashi-Cole", "with a countersign only"),
    ),
    then=("25 Frets levelled", "26 Neck fitted", "27 Marriage (gate)"),
    wood=(
        Wood("fingerboard", "Diospyros crassiflora", "L24-011-02"),
        Wood("neck", "Swietenia macrophylla", "L25-019-06"),
    ),
    hazards=("Dalbergia latifolia", "Diospyros crassiflora"),
    printed_at="2026-09-04 16:40",
    zone="Europe/Dublin",
    steps=STEPS,
    checkpoint_note=(
        "skm.example/loft\n71391\nq2n7Jc0mVb9e1wY4uKfX8hZt3rAo5sLdP6iGxQvTzBE=\n\n"
        "— skm.example/loft kZ3w+Hq1v0eYt7uJ9mPb4cRr2xLdS8aFnG6oVi5TzQyKjC1hWsEXMpU0l"
        "Bf7gD9rN3q4tZvA2y8ocJkI5uPmSx6w==\n"
    ),
    root=ROOT,
    ten_words=ten_words(ROOT),
    size=71391,
)

WOODS = (
    MaterialRow(
        "Diospyros crassiflora",
        "Gaboon ebony",
        "fingerboard, bridge",
        "finished instrument",
        "CM",
        198_000,
        191_000,
        "none found",
        "ask",
        "No listing found, but the row was last checked in 2017. Paper held: export "
        "paper D-2024-009.",
    ),
    MaterialRow(
        "Dalbergia latifolia",
        "East Indian rosewood",
        "back, sides, headplate",
        "finished instrument",
        "IN",
        746_000,
        830_000,
        "App. II #15",
        "not needed",
        "#15 lets finished instruments go. Paper held: export permit and invoice "
        "D-2023-118 for lot L23-040.",
    ),
    MaterialRow(
        "Picea abies",
        "European spruce",
        "top, braces",
        "finished instrument",
        "IT, NO",
        302_000,
        670_000,
        "none found",
        "not needed",
        "No listing found. Paper held: invoices D-2026-004 and D-2025-061.",
    ),
    MaterialRow(
        "Juglans nigra",
        "black walnut",
        "binding",
        "finished instrument",
        "US",
        4_250,
        None,
        "none found",
        "not needed",
        "No listing found. Paper held: salvage statement D-2024-077.",
    ),
)
MATERIALS_PAPER = MaterialsPaper(
    number="X26-0412",
    date="2026-11-22",
    place="Port Anslow",
    shop="Skerrymoor Fretted Instruments",
    address="The Loft, Port Anslow",
    sent_from="IE",
    recipient="Amélie Rousset",
    sent_to="Lyon, FR",
    what="1 guitar, 26-0147-3",
    movement="2026-11-24",
    purpose="sold, so the owner changes",
    counts=Counts(ask=1, needed=0, listed=1, listed_mass_mg=746_000, species=4),
    rows=WOODS,
    totals="net, as weighed",
    animal_parts=("nut and saddle, cattle bone (Bos taurus), 18 g",),
    papers=(
        WithThisPage("invoice F-2026-0312", True),
        WithThisPage("packing list", True),
        WithThisPage("copy of D-2024-009", False),
    ),
    table_compiled="2026-03-05",
    newest_source="2025-11-24",
    rules=(
        RuleRow(
            "dalbergia-genus",
            "Finished musical instruments, parts and accessories are outside the "
            "listing; the wood itself is not.",
            "CITES Appendices, annotation #15",
            "in force 2019-11-26, checked 2026-03-05",
        ),
        RuleRow(
            "diospyros-crassiflora",
            "No row lists this species outside Madagascar; the row is stale.",
            "CITES Appendices, genus Diospyros",
            "in force 2017-01-02, checked 2017-06-01",
        ),
    ),
    whom_to_ask=(
        "Ask before you move it: your CITES Management Authority, or a customs broker."
    ),
    size=71_391,
    ten_words=TAG.ten_words,
    host=HOST,
    check="4",
    signer_badge="09",
    signer_name="Philippa Osei",
    signer_rank="shipping and papers",
)
