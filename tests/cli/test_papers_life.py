"""What a certificate tells of an instrument's life, and what it keeps to the shop."""

from cli import papers
from ledger.acts import rework
from ledger.acts.certificates import certificate_paper
from ledger.acts.service import come_home, send
from ledger.acts.voiding import misstamped
from tests.aftersale import FIRST, SERIAL, retopped, serviced, top_off
from tests.shops import certified, certified_folder
from tests.skerrymoor import Loft

__all__ = ["certified", "certified_folder"]


def said(loft: Loft, number: str, language: str = "en") -> list[str]:
    """Return the remarks of a certificate."""
    paper = certificate_paper(loft.shop, number)
    drawn = papers.owner_certificate(loft.shop, paper, "V#1", language)
    return [remark.text for remark in drawn.remarks]


def test_trips_service_concessions_and_stamps_are_said(certified: Loft) -> None:
    """Neither whither it went nor why; what is still out is not told."""
    loft, hands = certified, certified.hands()
    send(loft.shop, serial=SERIAL, to="Port Anslow hall", errand="show", hands=hands)
    come_home(loft.shop, serial=SERIAL, condition="dusty", hands=hands)
    serviced(loft, "refinished", fault="worn lacquer", by_others=True)
    new = retopped(loft)
    rework.concede(
        loft.shop,
        serial=SERIAL,
        step="brace",
        what="high relief",
        measure=None,
        reason="as the player wants it",
        hands=hands,
    )
    misstamped(
        loft.shop,
        stamped="26-0010-3",
        serial=SERIAL,
        reason="wrong wheel",
        hands=hands,
    )
    send(loft.shop, serial=SERIAL, to="Lyon", errand="loan", hands=hands)
    texts = said(loft, loft.issue(SERIAL))

    assert texts == [
        f"replaces {FIRST}, which stays true as of 2026-01-05",
        "out for a show, home 2026-01-05",
        "service for worn lacquer: refinished, by others",
        f"top replaced 2026: L26-001-01 taken off (kept), {new} in its place",
        "service: new top fitted, voiced and finished",
        "brace: high relief, let pass by a lead",
        "26-0010-3 was stamped by mistake and is void",
    ]
    assert said(loft, FIRST) == []


def test_what_happens_after_a_certificate_is_not_on_it(certified: Loft) -> None:
    """Drawn again it says what it said, with the old wood and what is struck since."""
    first = said(certified, FIRST)
    done = serviced(certified, "frets dressed")
    newer = certified.issue(SERIAL)
    second = said(certified, newer)
    top_off(certified)
    serviced(certified)
    certified.say(certified.strike(done.index))

    assert said(certified, FIRST) == first
    assert said(certified, newer) == second and "service: frets dressed" in second


def test_a_life_is_told_in_the_language_of_the_paper(certified: Loft) -> None:
    """The codes and what a person wrote stay as they are."""
    loft, hands = certified, certified.hands()
    send(loft.shop, serial=SERIAL, to="Port Anslow hall", errand="show", hands=hands)
    come_home(loft.shop, serial=SERIAL, condition="dusty", hands=hands)
    serviced(loft, "refinished", fault="worn lacquer", by_others=True)
    new = retopped(loft)
    texts = said(loft, loft.issue(SERIAL), "de")

    assert texts == [
        f"ersetzt {FIRST}, das für den Stand 2026-01-05 wahr bleibt",
        "unterwegs (Ausstellung), zurück 2026-01-05",
        "Wartung wegen worn lacquer: refinished, durch andere",
        f"Decke ersetzt 2026: L26-001-01 abgenommen (aufbewahrt), {new} an der Stelle",
        "Wartung: new top fitted, voiced and finished",
    ]
