"""A certificate is issued when all is there, says what the record says, and once."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import certificates, models, people, sawing
from ledger.acts.sawing import PieceDraft
from ledger.acts.signing import card_key
from ledger.audit import audit
from ledger.check import check, check_certificate
from ledger.errors import NotFoundError, RefusedError
from ledger.events.build import Measure, PartWeighed
from ledger.events.route import PlannedPart
from ledger.log.card import read_card
from ledger.log.entry import parse_record
from ledger.log.proof import parse_certificate_file, parse_proof
from ledger.log.vault import commit
from ledger.views.certificates import Certificate
from tests.ledger.buying import sold_by
from tests.skerrymoor import LEAD, NECK, STEPS, TOP, Loft

NUMBER, SERIAL = "C-2026-00001", "26-0001-8"


def test_everything_that_is_missing_is_told_at_once(loft: Loft) -> None:
    """Steps, boards, weights: whoever finishes it walks to the bench once."""
    loft.model()
    serial = loft.begin()
    with pytest.raises(RefusedError) as refusal:
        loft.issue(serial)

    for said in (
        "step join the top is not signed",
        "step brace is not signed",
        "part top has no board",
        "part neck has no board",
        "part top is not weighed",
        "part neck is not weighed",
        "the finished instrument is not weighed",
    ):
        assert said in str(refusal.value)


@pytest.mark.parametrize(
    ("left_out", "said"),
    [
        ("mass", "the finished instrument is not weighed"),
        ("mass in mm", "the finished instrument is not weighed"),
        ("neck", "part neck is not weighed"),
        ("brace", "step brace is not signed"),
        ("board", "part neck has no board"),
    ],
)
def test_one_thing_that_is_missing_is_enough(
    loft: Loft, left_out: str, said: str
) -> None:
    """It is named, and nothing else is; nothing is recorded."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK)
    loft.model()
    serial = loft.begin()
    loft.allot(serial, "top", "L26-001-01")
    if left_out != "board":
        loft.allot(serial, "neck", "L26-001-02")
    masses = {"mass": (), "mass in mm": (Measure(what="mass", length_um=1),)}
    measures = masses.get(left_out, (Measure(what="mass", mass_mg=1_986_000),))
    parts = [part for part in ("top", "neck") if part != left_out]
    weighed = [PartWeighed(part=part, mass_mg=1000) for part in parts]
    loft.sign(serial, "join the top", measures=measures, weighed=weighed)
    if left_out != "brace":
        loft.sign(serial, "brace")
    size = loft.shop.store.head().size
    with pytest.raises(RefusedError) as refusal:
        loft.issue(serial)

    assert said in str(refusal.value)
    assert ";" not in str(refusal.value)
    assert loft.shop.store.head().size == size
    assert audit(loft.shop).findings == ()


def test_a_certificate_says_what_the_record_says(certified: Loft) -> None:
    """Materials by part, makers by badge, measures in their units."""
    paper = certificates.certificate_paper(certified.shop, NUMBER)
    event = paper.event
    top, neck = event.materials

    assert (event.number, event.serial, event.model) == (NUMBER, SERIAL, "Tidewarden")
    assert (event.mass_mg, event.issued_on) == (1_986_000, "2026-01-05")
    assert [m.badge for m in event.makers] == ["02", "03"]
    assert event.makers[1].work == "join the top, brace"
    assert (top.part, top.board, top.mass_mg) == ("top", "L26-001-01", 190_500)
    assert (neck.part, neck.board, neck.mass_mg) == ("neck", "L26-002-01", 611_000)
    assert event.measures == (Measure(what="relief", length_um=180),)
    assert event.run is not None
    assert (event.run.number, event.run.pieces) == (3, 12)
    assert paper.signer == LEAD.name
    assert paper.entry.key == certified.keys["01"].id


def test_numbers_follow_one_another_through_the_year(certified: Loft) -> None:
    """A second certificate of the same instrument is refused and takes none."""
    with pytest.raises(RefusedError, match=f"has its certificate {NUMBER} already"):
        certified.issue(SERIAL)
    serial = certified.another()

    assert certified.issue(serial) == "C-2026-00002"
    later = certified.another()
    certified.clock.moment = certified.clock.moment.replace(year=2027)
    object.__setattr__(certified.shop, "pause_confirmed", True)
    assert certified.issue(later) == "C-2027-00001"


@pytest.mark.parametrize("badge", ["03", "12"])
def test_only_a_lead_issues(loft: Loft, badge: str) -> None:
    """A refused certificate takes no number, and leaves no secret behind."""
    serial = loft.build()
    known = loft.shop.vault.subjects()
    with pytest.raises(RefusedError, match=r"issuing a certificate is for a lead"):
        certificates.issue(loft.shop, serial=serial, hands=loft.hands(badge))

    assert loft.shop.vault.subjects() == known
    assert loft.issue(serial) == NUMBER


def test_the_papers_files_read_back_and_hang_together(certified: Loft) -> None:
    """The certificate file, the proof with the record in it, and the card."""
    shop = certified.shop
    paper = certificates.certificate_paper(shop, NUMBER)
    proof = parse_proof(paper.proof_file)
    text = certificates.card_text(
        shop, paper, card := card_key(shop, certified.person("01"), LEAD.pin)
    )
    read = read_card(text)
    claims = read.claims

    assert read.is_signed_by(card.public)
    assert parse_certificate_file(paper.file.data) == paper.file
    assert proof.extra == shop.store.record(paper.entry.index)
    assert proof.covers(paper.file.record.leaf)
    assert text.startswith("https://skerrymoor.example/v#")
    assert (claims.serial, claims.certificate, claims.mass) == (SERIAL, NUMBER, 1986)
    assert claims.species == (("Picea abies", 802),)
    assert (claims.leaf, claims.makers) == (paper.file.record.leaf, 2)


LISTED = "Dalbergia nigra, Dalbergia latifolia, Cedrela odorata, Khaya ivorensis"
UNHEARD = [f"Arbor {'qwertzuiopas'[n] * 7}ensis" for n in range(12)]


def test_many_listed_and_unheard_of_woods_still_have_a_card(loft: Loft) -> None:
    """The listed ones are named, and a stranger reads it with the rest added up."""
    loft.supplier()
    masses = {f"wood {n}": 190_000 - 1000 * n for n in range(16)}
    serial = begun_of(loft, masses, [*UNHEARD, *LISTED.split(", ")])
    number = loft.issue(serial)
    paper = certificates.certificate_paper(loft.shop, number)
    card = card_key(loft.shop, loft.person("01"), LEAD.pin)
    text = certificates.card_text(loft.shop, paper, card)
    keys = sold_by(loft, number).keys
    answer = check(text.encode(), keys)

    assert answer.word == "YES"
    assert answer.card is not None
    shown = dict(answer.card.species)
    assert {*LISTED.split(", "), "+"} <= set(shown)
    assert sum(shown.values()) == sum(masses.values()) // 1000
    assert (answer.card.serial, answer.card.certificate) == (serial, number)


def begun_of(loft: Loft, masses: dict[str, int], species: list[str]) -> str:
    """Build an instrument of so many parts, each of another wood; return its serial."""
    models.define_model(
        loft.shop,
        name="Marquetry",
        instrument="flat-top guitar",
        parts=[PlannedPart(part=part) for part in masses],
        steps=STEPS,
        hands=loft.hands(),
    )
    serial = loft.begin("Marquetry")
    for part, name in zip(masses, species, strict=True):
        lot = loft.receive(species=name, trade_name=None)
        (code,) = loft.number(lot, replace(NECK, meant_for=part))
        loft.allot(serial, part, code)
    weighed = [PartWeighed(part=part, mass_mg=mass) for part, mass in masses.items()]
    loft.sign(serial, "join the top", weighed=weighed)
    loft.sign(serial, "brace", measures=[Measure(what="mass", mass_mg=3_100_000)])
    return serial


def test_without_room_for_a_card_nothing_is_recorded(loft: Loft) -> None:
    """It is told before the entry is made, with what to do, and no secret is kept."""
    serial, known = loft.build(), loft.shop.vault.subjects()
    size, settings = loft.shop.store.head().size, loft.shop.settings
    long = replace(settings, label_host="h" * 250)
    object.__setattr__(loft.shop, "settings", long)
    with pytest.raises(RefusedError, match=r"room for .* give the shop a shorter one"):
        loft.issue(serial)

    assert loft.shop.store.head().size == size
    assert loft.shop.vault.subjects() == known
    object.__setattr__(loft.shop, "settings", settings)
    assert loft.issue(serial) == NUMBER


def test_every_paper_drawn_again_is_the_same_but_for_its_proof(
    certified: Loft,
) -> None:
    """Names, token and disclosures stay; the head that proves them grows."""
    first = certificates.certificate_paper(certified.shop, NUMBER)
    same = certificates.certificate_paper(certified.shop, NUMBER)
    certified.model("Slipway")
    later = certificates.certificate_paper(certified.shop, NUMBER)

    assert first.file.data == same.file.data
    assert later.proof.head.size == first.proof.head.size + 1
    assert (later.file.disclosed, later.names) == (first.file.disclosed, first.names)


@pytest.mark.parametrize(
    ("shown", "name", "region"),
    [
        ("by-name", "Ferrante & Daughters", "Val Corda"),
        ("by-region", None, "Val Corda"),
        ("known-to-maker", None, None),
    ],
)
def test_a_sawyer_shows_as_the_supplier_s_file_says(
    loft: Loft, shown: Any, name: str | None, region: str | None
) -> None:
    """By name, by region only, or not at all; the bytes hold nothing more."""
    number = loft.issue(loft.build(shown))
    paper = certificates.certificate_paper(loft.shop, number)
    sawyers = {material.sawyer for material in paper.event.materials}
    (sawyer,) = sawyers

    assert (sawyer.region if sawyer else None) == region
    assert (paper.names.get(sawyer.subject) if sawyer else None) == name
    assert (b"Ferrante" in paper.file.data) == (name is not None)
    assert check_certificate(paper.file.data, None).names == paper.names


def test_a_disclosed_key_tells_nothing_of_another_paper(certified: Loft) -> None:
    """Each certificate commits afresh, so that two cannot be laid side by side."""
    certified.issue(certified.another())
    papers = [
        certificates.certificate_paper(certified.shop, number)
        for number in (NUMBER, "C-2026-00002")
    ]
    keys = [{d.subject: d.key for d in paper.file.disclosed} for paper in papers]
    held = certified.shop.vault.get(certified.person("03").subject, "person.name")

    assert keys[0].keys() == keys[1].keys()
    assert not set(keys[0].values()) & set(keys[1].values())
    assert held is not None
    assert held.key not in keys[0].values()
    for paper in papers:
        for said in paper.file.disclosed:
            made = commit(said.field, said.subject, said.value, said.key)
            assert made == said.commitment


def test_an_erased_maker_stands_by_badge_on_old_papers_and_new(
    certified: Loft,
) -> None:
    """On the next certificate there is no commitment any more."""
    jakub = certified.person("03").subject
    serial = certified.another()
    people.erase(certified.shop, jakub, certified.hands("12", "01"))
    papers = [
        certificates.certificate_paper(certified.shop, number)
        for number in (NUMBER, certified.issue(serial))
    ]

    for paper in papers:
        assert jakub not in paper.names
        assert {m.badge for m in paper.event.makers} >= {"03"}
        assert check_certificate(paper.file.data, None).word == "CANNOT TELL"
    committed = [
        m.name_commitment for p in papers for m in p.event.makers if m.badge == "03"
    ]
    assert committed[0] is not None
    assert committed[1] is None


def test_printing_is_recorded_for_papers_that_are_there(certified: Loft) -> None:
    """A number that was never issued is not printed."""
    told: dict[str, Any] = {"paper": "A4", "sha256_hex": "ab" * 32}
    hands = certified.hands("12")
    certificates.printed(certified.shop, number=NUMBER, hands=hands, **told)
    with pytest.raises(NotFoundError, match="no certificate C-2026-00009"):
        certificates.printed(certified.shop, number="C-2026-00009", hands=hands, **told)

    with certified.shop.store.reading() as session:
        assert session.get_one(Certificate, NUMBER).prints == 1


def test_a_certificate_is_found_by_its_number_or_its_serial(certified: Loft) -> None:
    """However it is typed."""
    for text in (NUMBER, f" {NUMBER.lower()} ", SERIAL):
        assert certificates.find_certificate(certified.shop, text) == NUMBER
    for text in ("", "26-0002-6", "C-2026-00002"):
        with pytest.raises(NotFoundError):
            certificates.find_certificate(certified.shop, text)
    with pytest.raises(NotFoundError):
        certificates.certificate_paper(certified.shop, "C-2026-00002")


@pytest.mark.parametrize(
    ("mass", "grams"), [(0, 0), (499, 0), (500, 1), (1_499, 1), (1_500, 2)]
)
def test_half_a_gram_is_rounded_up(mass: int, grams: int) -> None:
    """As on the scales that show whole grams."""
    assert certificates.whole_grams(mass) == grams


def test_the_issuing_entry_is_the_lead_s(certified: Loft) -> None:
    """And the secrets' digests in it are of what the vault keeps."""
    records = [parse_record(data) for _, data in certified.shop.store.records()]
    (issued,) = [r for r in records if r.entry.kind == "certificate.issued/1"]

    assert issued.is_signed_by(certified.keys["01"].public)
    assert len(issued.entry.event["status_token_sha256"]) == 64


def test_a_glued_part_is_certified_of_all_its_woods(loft: Loft) -> None:
    """A neck laminated of two lots: each with its share of the finished mass."""
    loft.supplier()
    first = loft.receive(species="Acer saccharum", boards=1)
    second = loft.receive(species="Juglans nigra", boards=1)
    maple, walnut = (
        loft.number(lot, replace(NECK, masses_mg=(mass,)))[0]
        for lot, mass in ((first, 900_000), (second, 300_000))
    )
    draft = PieceDraft(meant_for="neck", mass_mg=1_200_000)
    neck = sawing.join(
        loft.shop, codes=[maple, walnut], draft=draft, hands=loft.hands("03")
    )
    tops = loft.receive(documents=(loft.document(),))
    loft.number(tops)
    loft.model()
    serial = loft.begin()
    loft.allot(serial, "top", f"{tops}-01")
    loft.allot(serial, "neck", neck)
    loft.finish(serial)
    paper = certificates.certificate_paper(loft.shop, loft.issue(serial))
    necks = [m for m in paper.event.materials if m.part == "neck"]

    assert [(m.species, m.lot, m.board, m.mass_mg) for m in necks] == [
        ("Acer saccharum", str(first), neck, 458_250),
        ("Juglans nigra", str(second), neck, 152_750),
    ]
    assert audit(loft.shop).findings == ()
