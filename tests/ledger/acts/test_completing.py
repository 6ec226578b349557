"""A further certificate: issued where something is new, with what that asks for."""

from typing import Any

import pytest

from ledger.acts import completing, reserving, rework
from ledger.acts.certificates import certificate_paper, find_certificate
from ledger.audit import audit
from ledger.check import check_certificate
from ledger.errors import RefusedError
from ledger.events.build import Measure, PartWeighed
from tests.aftersale import FIRST, SERIAL, retopped, serviced, top_off
from tests.skerrymoor import NECK, TOP, Loft

NEXT = "C-2026-00002"


def test_without_anything_new_there_is_no_further_one(certified: Loft) -> None:
    """Neither at first nor after the second; no number is taken."""
    with pytest.raises(RefusedError, match=f"certificate {FIRST} already, and nothing"):
        certified.issue(SERIAL)
    serviced(certified)
    assert certified.issue(SERIAL) == NEXT
    with pytest.raises(RefusedError, match=f"certificate {NEXT} already, and nothing"):
        certified.issue(SERIAL)


def test_no_instrument_is_lighter_than_its_parts(certified: Loft) -> None:
    """Something was worked after it was weighed: both numbers are told."""
    serial, lot = certified.begin(), certified.receive()
    certified.number(lot, TOP, NECK)
    certified.allot(serial, "top", f"{lot}-01")
    certified.allot(serial, "neck", f"{lot}-02")
    certified.sign(
        serial, "join the top", weighed=[PartWeighed(part="top", mass_mg=190_500)]
    )
    certified.sign(
        serial,
        "brace",
        measures=[Measure(what="mass", mass_mg=801_000)],
        weighed=[PartWeighed(part="neck", mass_mg=611_000)],
    )
    told = r"its parts weigh 801.5.g and the whole 801.g: weigh again .*'neck=190 g'"
    with pytest.raises(RefusedError, match=told):
        certified.issue(serial)


def test_of_much_that_is_missing_the_first_is_named_and_the_rest_counted(
    loft: Loft, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody reads more at once, and another command shows all of it."""
    loft.model()
    serial = loft.begin()
    for most, more in ((2, 5), (6, 1)):
        monkeypatch.setattr(completing, "MOST_NAMED", most)
        said = f"; and {more} more: see flitchbook build show {serial}$"
        with pytest.raises(RefusedError, match=said) as told:
            loft.issue(serial)
        assert str(told.value).count("; ") == most
    monkeypatch.setattr(completing, "MOST_NAMED", 7)
    with pytest.raises(RefusedError, match=r"not weighed \(measure: mass\)$"):
        loft.issue(serial)


def test_a_further_certificate_tells_of_the_new_wood(certified: Loft) -> None:
    """The new top and its mass, whoever made it; the first one stays as it was."""
    old = certificate_paper(certified.shop, FIRST).event
    new = retopped(certified)
    number = certified.issue(SERIAL)
    event = certificate_paper(certified.shop, number).event
    top, neck = event.materials

    assert number == NEXT == find_certificate(certified.shop, SERIAL)
    assert (top.board, top.mass_mg) == (new, 188_000)
    assert event.mass_mg == 1_990_000
    assert (neck.board, neck.mass_mg) == ("L26-002-01", 611_000)
    assert event.measures == old.measures
    assert event.makers[-1].work == "new top fitted, voiced and finished (2026)"
    assert certificate_paper(certified.shop, FIRST).event == old
    assert audit(certified.shop).findings == ()


def test_both_certificates_verify_and_have_their_own_number(certified: Loft) -> None:
    """Each file by itself; the entry of the older one comes first."""
    retopped(certified)
    papers = [
        certificate_paper(certified.shop, number)
        for number in (FIRST, certified.issue(SERIAL))
    ]
    answers = [check_certificate(paper.file.data, None) for paper in papers]

    assert [answer.word for answer in answers] == ["CANNOT TELL", "CANNOT TELL"]
    assert [paper.event.number for paper in papers] == [FIRST, NEXT]
    assert papers[0].entry.index < papers[1].entry.index
    assert papers[0].file.status_token != papers[1].file.status_token


def test_what_a_new_top_asks_for_is_told_at_once(certified: Loft) -> None:
    """Wood first, then its mass and the whole one's, none of them from before."""
    top_off(certified)
    with pytest.raises(RefusedError, match=r"not finished: part top has no board$"):
        certified.issue(SERIAL)
    lot = certified.receive()
    certified.number(lot, TOP)
    certified.allot(SERIAL, "top", f"{lot}-01")
    with pytest.raises(
        RefusedError,
        match=r"part top is other wood since entry \d+ and was not weighed again .*; "
        r"the instrument was not weighed since entry \d+",
    ):
        certified.issue(SERIAL)
    rework.order(
        certified.shop,
        serial=SERIAL,
        step="brace",
        reason="new top",
        hands=certified.hands(),
    )
    with pytest.raises(RefusedError, match="step brace is not signed"):
        certified.issue(SERIAL)
    weighed = PartWeighed(part="top", mass_mg=188_000)
    mass = Measure(what="mass", mass_mg=1_990_000)
    certified.sign(SERIAL, "brace", weighed=[weighed], measures=[mass])

    assert certified.issue(SERIAL) == NEXT


@pytest.mark.parametrize("is_spoiled", [True, False])
def test_what_was_weighed_with_other_wood_is_weighed_again(
    supplied: Loft, is_spoiled: bool
) -> None:
    """Before the first certificate too; what was only swapped stood on no scale."""
    tops, necks = supplied.receive(documents=(supplied.document(),)), supplied.receive()
    supplied.number(tops)
    supplied.number(necks, NECK, NECK)
    supplied.model()
    serial = supplied.begin()
    supplied.allot(serial, "top", f"{tops}-01")
    supplied.allot(serial, "neck", f"{necks}-01")
    supplied.finish(serial)
    told: dict[str, Any] = {"reason": "a knot", "hands": supplied.hands()}
    if is_spoiled:
        rework.scrap(supplied.shop, serial=serial, part="neck", **told)
    else:
        reserving.release(supplied.shop, code=f"{necks}-01", **told)
    supplied.allot(serial, "neck", f"{necks}-02")
    whole = r"; the instrument was not weighed since entry \d+ \(flitchbook build sign"
    with pytest.raises(
        RefusedError,
        match=r"part neck is other wood since entry \d+ and was not weighed again "
        rf"\([^)]*\){whole if is_spoiled else '$'}",
    ):
        supplied.issue(serial)
    neck = PartWeighed(part="neck", mass_mg=611_000)
    mass = Measure(what="mass", mass_mg=1_990_000)
    supplied.sign(
        serial, "brace", "01", weighed=[neck], measures=[mass], meaning="assisted"
    )

    assert supplied.issue(serial) == FIRST


def test_work_by_others_makes_nobody_a_maker(certified: Loft) -> None:
    """Who entered it did not do it."""
    before = certificate_paper(certified.shop, FIRST).event.makers
    serviced(certified, "refinished", by_others=True)
    makers = certificate_paper(certified.shop, certified.issue(SERIAL)).event.makers

    assert [m.work for m in makers] == [m.work for m in before]


def test_the_newest_measure_is_a_service_s(certified: Loft) -> None:
    """It takes the place of the one from the bench."""
    serviced(certified, measures=[Measure(what="relief", length_um=90)])
    event = certificate_paper(certified.shop, certified.issue(SERIAL)).event

    assert event.measures == (Measure(what="relief", length_um=90),)
