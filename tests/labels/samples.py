"""Papers of the invented shop to draw in tests."""

from dataclasses import replace

from labels.card import OwnerCard
from labels.certificate import Maker, Material, Measure, OwnerCertificate, Remark
from labels.label import BoardLabel, Heading
from labels.words import ten_words

HOST = "skm.example"
DIGITS = "".join(str(n * n * 7 % 11 % 10) for n in range(806))
CARD_TEXT = f"https://{HOST}/v#{DIGITS}"
ROOT = bytes(range(100, 132))

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
    card_text=CARD_TEXT,
    mass_g=1986,
    species=("Picea abies", "Dalbergia latifolia"),
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
    key_id="7f3a91c204be5d18",
    card_text=CARD_TEXT,
    as_of="2026-11-21",
    as_of_entry=86114,
    checkpoint_note="skm.example/loft\n86131\nZGVtbw==\n\n— skm.example/loft c2ln\n",
    ten_words=ten_words(ROOT),
    entries=241,
    steps=42,
    signers=9,
    remarks=REMARKS,
)
CERTIFICATE_FILE = b'{"format":"flitchbook-certificate/1","model":"Tidewarden"}'
PROOF_FILE = b"c2sp.org/tlog-proof@v1\nindex 86114\n"
