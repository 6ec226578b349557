"""The evidence behind a certificate is what the record held when it was issued."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from cli.papers import owner_certificate
from cli.papers_evidence import evidence_of, with_evidence
from labels import certificate
from labels.evidence_facts import Evidence
from ledger.acts import measuring
from ledger.acts.certificates import certificate_paper
from ledger.events import CertificateIssued
from ledger.events.build import Measure, PartWeighed
from tests import aftersale, skerrymoor
from tests.labels.evidence_samples import jpeg
from tests.labels.samples import CARD_TEXT
from tests.skerrymoor import NECK, TOP, Loft

NUMBER = "C-2026-00001"
SET = "L26-001-01"


def day(loft: Loft, number: int) -> None:
    """Let it be a day of January."""
    loft.clock.moment = datetime(2026, 1, number, 9, tzinfo=UTC)


@pytest.fixture(scope="module")
def pictured_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop whose one instrument was weighed and photographed, to be copied."""
    folder = tmp_path_factory.mktemp("pictured")
    loft = skerrymoor.opened(folder)
    loft.supplier()
    lot = loft.receive()
    loft.number(lot, TOP, NECK, TOP)
    loft.model()
    serial = loft.begin()
    for number, lost in ((12, 900), (19, 1_300), (26, 1_400)):
        day(loft, number)
        for half in ("A", "B"):
            mass = 205_000 - lost
            measuring.weigh(loft.shop, f"{SET}.{half}", mass, hands=loft.hands("02"))
    whole = folder / "whole.jpg"
    whole.write_bytes(jpeg((400, 300)))
    measuring.photograph(loft.shop, SET, whole, face="front", hands=loft.hands("02"))
    day(loft, 27)
    loft.allot(serial, "top", SET)
    loft.allot(serial, "neck", f"{lot}-02")
    top = PartWeighed(part="top", mass_mg=190_500)
    neck = PartWeighed(part="neck", mass_mg=611_000)
    seen = aftersale.picture(folder / "braced.png")
    loft.sign(serial, "join the top", weighed=[top])
    whole_mass = Measure(what="mass", mass_mg=1_986_000)
    loft.sign(
        serial, "brace", measures=[whole_mass], weighed=[neck], photographs=[seen]
    )
    assert loft.issue(serial) == NUMBER
    loft.shop.close()
    return folder


@pytest.fixture
def pictured(
    tmp_path: Path, pictured_folder: Path, request: pytest.FixtureRequest
) -> Iterator[Loft]:
    """Give that shop, open."""
    made = skerrymoor.again(tmp_path, pictured_folder, request.node.name)
    day(made, 28)
    yield made
    made.shop.close()


def issued(loft: Loft) -> tuple[CertificateIssued, int]:
    """Return what the certificate says, and its entry."""
    paper = certificate_paper(loft.shop, NUMBER)
    return paper.event, paper.entry.index


def found(loft: Loft) -> Evidence:
    """Return the evidence behind the certificate."""
    return evidence_of(loft.shop, *issued(loft))


def drawn(loft: Loft) -> bytes:
    """Draw the certificate without what a checkpoint signed now would change."""
    paper = certificate_paper(loft.shop, NUMBER)
    shown = with_evidence(
        loft.shop, paper, owner_certificate(loft.shop, paper, CARD_TEXT)
    )
    still = replace(shown, checkpoint_note="note", root=bytes(32), ten_words=())
    return certificate.draw(
        still, paper="A4", certificate_file=b"{}", proof_file=b"proof"
    )


def test_what_was_weighed_before_the_work_is_the_curve(pictured: Loft) -> None:
    """Of the top the heavier half: four weights; the other half beside it is thin."""
    evidence = found(pictured)
    plot = evidence.seasoning

    assert plot is not None and plot.chosen is not None
    assert (evidence.weighed, plot.chosen.name) == ("top", f"{SET}.B")
    assert [weight.rest_days for weight in plot.chosen.weights] == [0, 7, 14, 21]
    assert [weight.mass_mg for weight in plot.chosen.weights][1:] == [
        204_100,
        203_700,
        203_600,
    ]
    assert [series.name for series in plot.siblings] == [f"{SET}.A"]


def test_the_strip_is_there_and_no_ladder_that_nobody_tapped(pictured: Loft) -> None:
    """Wood, hands and the day of the certificate; nothing is invented."""
    evidence = found(pictured)

    assert evidence.timeline is not None and evidence.voice is None
    assert evidence.timeline.certified_on == "2026-01-27"
    assert [rack.parts for rack in evidence.timeline.racks] == ["top, neck"]


def test_photographs_come_with_step_board_and_digest(pictured: Loft) -> None:
    """One of a set is shown once, though both halves name it."""
    wood, made = found(pictured).photographs

    assert (wood.part, wood.board, wood.face) == ("top", f"{SET}.A", "front")
    assert (made.step, made.day) == ("brace", "2026-01-27")
    assert (wood.width, wood.height) == (400, 300)
    for each in (wood, made):
        assert (pictured.shop.attachments / each.digest).is_file()


def test_what_is_said_later_changes_nothing(pictured: Loft) -> None:
    """Weighed, photographed and serviced afterwards: the same bytes."""
    before = drawn(pictured)
    later = aftersale.picture(pictured.shop.folder.parent / "later.png", 40)
    hands = pictured.hands("02")
    measuring.weigh(pictured.shop, "L26-001-03.A", 204_000, hands=hands)
    measuring.photograph(pictured.shop, "L26-001-03", later, face="front", hands=hands)
    aftersale.serviced(pictured, "frets dressed", photographs=[later])

    assert drawn(pictured) == before


def test_photographs_can_be_left_out(pictured: Loft) -> None:
    """What was taken at the bench stays there, and no sentence counts it."""
    paper = certificate_paper(pictured.shop, NUMBER)
    page = owner_certificate(pictured.shop, paper, CARD_TEXT)
    without = with_evidence(pictured.shop, paper, page, with_photographs=False)

    assert without.evidence is not None and without.evidence.timeline is not None
    assert (without.evidence.photographs, without.evidence.more) == ((), 0)


def test_a_photograph_that_is_gone_or_spoiled_is_told(pictured: Loft) -> None:
    """The paper is laid out without both of them, and says which entries they are."""
    wood, made = found(pictured).photographs
    (pictured.shop.attachments / wood.digest).unlink()
    (pictured.shop.attachments / made.digest).write_bytes(b"nothing")
    evidence = found(pictured)

    assert evidence.photographs == ()
    assert evidence.unseen == (wood.entry, made.entry)
    assert drawn(pictured).startswith(b"%PDF")
