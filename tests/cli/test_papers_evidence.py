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
from ledger.acts import measuring, people
from ledger.acts.certificates import certificate_paper
from ledger.events import CertificateIssued
from ledger.events.build import Measure, PartWeighed
from tests import aftersale, skerrymoor
from tests.labels.evidence_samples import jpeg
from tests.labels.samples import CARD_TEXT
from tests.ledger.views.test_readings import TAPPED
from tests.sentences import VOICED
from tests.sentences_build import GRADUATED
from tests.shops import certified, certified_folder
from tests.skerrymoor import NECK, TOP, Loft

__all__ = ["certified", "certified_folder"]

NUMBER = "C-2026-00001"
SET = "L26-001-01"
SERIAL = aftersale.SERIAL


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
    loft.say(replace(TAPPED, board=f"{SET}.A"), "03")
    loft.say(VOICED, "03")
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


def issued(loft: Loft, number: str = NUMBER) -> tuple[CertificateIssued, int]:
    """Return what the certificate says, and its entry."""
    paper = certificate_paper(loft.shop, number)
    return paper.event, paper.entry.index


def found(loft: Loft, number: str = NUMBER) -> Evidence:
    """Return the evidence behind the certificate."""
    return evidence_of(loft.shop, *issued(loft, number))


def drawn(loft: Loft, number: str = NUMBER) -> bytes:
    """Draw the certificate without what a checkpoint signed now would change."""
    paper = certificate_paper(loft.shop, number)
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


def test_what_nobody_tapped_or_photographed_is_not_there(certified: Loft) -> None:
    """Nor is anything said to be left out; nothing is invented."""
    evidence = evidence_of(certified.shop, *issued(certified), with_photographs=False)

    assert evidence.voice is None and not evidence.are_left_out
    assert found(certified).photographs == ()


def test_the_strip_and_the_ladder_are_there(pictured: Loft) -> None:
    """Wood, hands and the day of the certificate; the plate, and the braced top."""
    evidence = found(pictured)

    assert evidence.voice is not None and evidence.timeline is not None
    assert [rail.stage for rail in evidence.voice.rails] == ["plate", "braced"]
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


def test_what_is_struck_or_comes_off_later_changes_nothing(pictured: Loft) -> None:
    """A tap and a photograph of its own wood, its gauging, and the top itself."""
    loft = pictured
    gauged = loft.say(replace(GRADUATED, serial=SERIAL), "03").index
    served = aftersale.serviced(loft, "frets dressed").index
    newest = loft.issue(SERIAL)
    told, page, later = found(loft), drawn(loft), found(loft, newest)
    assert told.voice is not None
    tapped = told.voice.heading.entries
    front = next(each.entry for each in told.photographs if each.board)
    for index in (*tapped, front, gauged, served):
        loft.say(loft.strike(index))
    aftersale.top_off(loft)

    assert (found(loft), drawn(loft), found(loft, newest)) == (told, page, later)


def test_what_somebody_signed_whose_name_was_erased_is_not_shown(
    pictured: Loft,
) -> None:
    """It may show them, so it is not promised among the others on file either."""
    before = found(pictured)
    signer = pictured.person("03").subject
    people.erase(pictured.shop, signer, pictured.hands("12", "01"))
    evidence = found(pictured)

    assert [each.step for each in before.photographs] == ["", "brace"]
    assert [each.step for each in evidence.photographs] == [""]
    assert (before.more, evidence.more, evidence.unseen) == (0, 0, ())


def test_photographs_can_be_left_out(pictured: Loft) -> None:
    """What was taken at the bench stays there: one line says it, no file is read."""
    for file in pictured.shop.attachments.iterdir():
        file.unlink()
    paper = certificate_paper(pictured.shop, NUMBER)
    page = owner_certificate(pictured.shop, paper, CARD_TEXT)
    without = with_evidence(pictured.shop, paper, page, with_photographs=False).evidence

    assert without is not None and without.timeline is not None
    assert (without.photographs, without.more, without.unseen) == ((), 0, ())
    assert without.are_left_out


def test_a_photograph_that_is_gone_or_spoiled_is_told(pictured: Loft) -> None:
    """The paper is laid out without both of them, and says which entries they are."""
    wood, made = found(pictured).photographs
    (pictured.shop.attachments / wood.digest).unlink()
    (pictured.shop.attachments / made.digest).write_bytes(b"nothing")
    evidence = found(pictured)

    assert evidence.photographs == ()
    assert evidence.unseen == (wood.entry, made.entry)
    assert drawn(pictured).startswith(b"%PDF")
