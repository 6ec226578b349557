"""The life of an instrument, told to its maker, its owner and anybody."""

import pytest

from ledger.acts import rework
from ledger.acts.histories import Reader, Told, history
from ledger.acts.service import come_home, send
from ledger.acts.voiding import misstamped, void
from ledger.errors import NotFoundError
from tests.aftersale import SERIAL, retopped, serviced, top_off
from tests.sentences_build import GRADUATED
from tests.skerrymoor import Loft

PRIVATE = ("Amélie", "Rousset", "Lyon", "broken in a fall", "scratch on the rim")


@pytest.fixture
def lived(certified: Loft) -> Loft:
    """Give an instrument that was sold, lent, fell, got a new top, and is misnamed."""
    loft = certified
    loft.sell(SERIAL)
    hands = loft.hands("12")
    send(loft.shop, serial=SERIAL, to="Lyon", errand="loan", hands=hands)
    come_home(loft.shop, serial=SERIAL, condition="scratch on the rim", hands=hands)
    retopped(loft)
    rework.concede(
        loft.shop,
        serial=SERIAL,
        step="brace",
        what="high relief",
        measure=None,
        reason="as the player wants it",
        hands=loft.hands(),
    )
    loft.issue(SERIAL)
    misstamped(
        loft.shop,
        stamped="26-0010-3",
        serial=SERIAL,
        reason="wrong wheel",
        hands=loft.hands(),
    )
    return loft


def told(loft: Loft, reader: Reader) -> list[Told]:
    """Return the history for a reader."""
    with loft.shop.store.reading() as session:
        return history(loft.shop, session, SERIAL, reader)


def test_the_maker_is_told_all_with_its_entries(lived: Loft) -> None:
    """Begun, built, certified, sold, lent, broken, mended, certified again."""
    facts = told(lived, "maker")
    words = "\n".join(fact.said for fact in facts)

    assert [fact.entry for fact in facts] == sorted({fact.entry for fact in facts})
    for said in (
        "begun: Tidewarden, Harbour Lights 3 of 12, body B26-0001, neck N26-0001",
        "certificate C-2026-00001",
        "an owner was registered with C-2026-00001; the name is sealed",
        "left for Lyon, loan",
        "came home: scratch on the rim",
        'top taken off (L26-001-01.A and L26-001-01.B), kept: "broken in a fall"',
        "top: L26-003-01",
        "brace: did by Jakub Wolański",
        "service: new top fitted, voiced and finished, by Oluwaseun",
        'step brace: high relief, let pass by a lead: "as the player wants it"',
        "certificate C-2026-00002, in place of C-2026-00001",
        "26-0010-3 was stamped by mistake, is void and leads here",
    ):
        assert said in words


def test_the_owner_is_told_no_names_of_owners_and_no_places(lived: Loft) -> None:
    """But all that was done to it, and by whose hands."""
    facts = told(lived, "owner")
    words = "\n".join(fact.said for fact in facts)

    assert not [private for private in PRIVATE if private in words]
    assert "left the shop, loan" in words
    assert "came home" in words
    assert "top taken off (L26-001-01.A and L26-001-01.B), kept" in words
    assert "brace: did by Jakub Wolański" in words
    assert "an owner was registered" in words


def test_the_public_is_told_least(lived: Loft) -> None:
    """No person at all, no trip, no wood that a copier could name."""
    facts = told(lived, "public")
    words = "\n".join(fact.said for fact in facts)

    assert not [private for private in PRIVATE if private in words]
    for hidden in ("Jakub", "Oluwaseun", "left", "came home", "L26-", "B26-", "relief"):
        assert hidden not in words
    assert [fact.said for fact in facts] == [
        "begun: Tidewarden, Harbour Lights 3 of 12",
        "built and signed off",
        "certificate C-2026-00001",
        "an owner was registered",
        "top taken off",
        "another top",
        "service",
        "certificate C-2026-00002, in place of C-2026-00001",
        "26-0010-3 was stamped by mistake, is void and leads here",
    ]


def test_what_was_entered_late_bears_both_days(certified: Loft) -> None:
    """It stands where it happened, and says when it was entered."""
    certified.clock.moment = certified.clock.moment.replace(day=9)
    index = serviced(certified, on="2026-01-06").index
    top_off(certified)
    facts = {fact.entry: fact for fact in told(certified, "owner")}

    assert (facts[index].happened, facts[index].entered) == ("2026-01-06", "2026-01-09")
    assert facts[index + 1].happened == "2026-01-09"


def test_a_plate_gauged_after_the_certificate_is_told(certified: Loft) -> None:
    """To the maker and the owner; the public is told of no measures."""
    index = certified.say(GRADUATED, "03").index
    lines = {
        reader: [fact.said for fact in told(certified, reader) if fact.entry == index]
        for reader in ("maker", "owner", "public")
    }

    said = ["top gauged for its thickness at 4 places"]
    assert lines == {"maker": said, "owner": said, "public": []}


def test_an_instrument_that_will_not_be_says_so(loft: Loft) -> None:
    """Its number stays in the record, with the reason for the maker."""
    loft.model()
    serial = loft.begin()
    void(loft.shop, serial=serial, reason="the neck block split", hands=loft.hands())
    with loft.shop.store.reading() as session:
        facts = [
            history(loft.shop, session, serial, "maker")[-1],
            history(loft.shop, session, serial, "public")[-1],
        ]
        with pytest.raises(NotFoundError):
            history(loft.shop, session, "26-0009-1", "public")

    void_words = "void: it will not be, and its number is not given again"
    assert facts[0].said == f'{void_words}: "the neck block split"'
    assert facts[1].said == void_words
