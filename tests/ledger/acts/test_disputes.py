"""Keys that were in other hands: reported, and what they said looked at again."""

from pathlib import Path

import pytest

from ledger.acts import copies, people
from ledger.acts.claims import signed_by
from ledger.acts.corrections import correct
from ledger.acts.disputes import (
    APPROVED,
    SAID,
    affirm,
    disputed,
    disputed_at,
    disputed_behind,
    report,
    report_root,
)
from ledger.acts.disputes import report_card_key as report_card
from ledger.acts.founding import change_roots
from ledger.acts.hands import hands_on
from ledger.acts.rooms import measure_room
from ledger.acts.shop import CARD_FILE, Hands
from ledger.acts.signing import find_person, person_key
from ledger.audit import audit
from ledger.check import CANNOT_TELL, YES, check_certificate
from ledger.errors import NotFoundError, RefusedError
from ledger.events import RoleGranted
from ledger.log.keysfile import read_keys_file
from tests.ledger.acts.test_founding import new_stick
from tests.ledger.audit.tampering import index_of
from tests.ledger.buying import sold_by
from tests.skerrymoor import CHEAP, Loft

STEP = "build.step-signed/2"


def new_key(loft: Loft, badge: str, *hands: str) -> None:
    """Give somebody a new key, and keep it at hand."""
    people.replace_key(
        loft.shop, loft.person(badge), badge * 2, loft.hands(*hands), stretching=CHEAP
    )
    loft.keys[badge] = person_key(loft.shop, loft.person(badge), badge * 2)


def open_of(loft: Loft, key: str) -> list[int]:
    """Return the entries of a key that are in dispute."""
    with loft.shop.store.reading() as session:
        found = disputed(session, loft.shop.standing(), [key])
    return [each.entry.index for each in found]


def test_a_builder_s_key_is_reported_affirmed_and_struck(certified: Loft) -> None:
    """From the report over the new key to the day on which nothing is open."""
    shop, jakub = certified.shop, certified.person("03")
    since = index_of(certified, STEP)
    told = report(shop, jakub, str(since), certified.hands("12", "01"))
    numbers = [each.entry.index for each in told.disputed]

    assert (told.key, told.since, told.is_of_today) == (jakub.key, since, True)
    assert not told.opened_cards
    assert numbers[0] == since and len(numbers) == 2
    assert {each.way for each in told.disputed} == {SAID}
    with pytest.raises(RefusedError, match="is retired and signs nothing more"):
        person_key(shop, certified.person("03"), "0303")
    found = audit(shop)
    assert found
    assert [(f.index, f.cause) for f in found.findings] == [
        (n, "disputed") for n in numbers
    ]
    with shop.store.reading() as session:
        claims = signed_by(shop, session, jakub)
    assert [c.entry for c in claims if c.disputed_since == since] == numbers
    assert f", disputed since entry {since}" in claims[-1].words
    hands = hands_on(shop, "26-0001-8")
    assert [h.idx for h in hands if h.disputed_since == since] == numbers

    new_key(certified, "03", "12", "01")
    (entry,) = affirm(shop, numbers[:1], certified.hands("03", "12"))
    affirm(shop, numbers[1:], certified.hands("01", "12"))

    assert entry.key == certified.keys["03"].id
    assert open_of(certified, jakub.key) == []
    assert audit(shop).findings == ()
    with pytest.raises(RefusedError, match=f"entry {since} is not in dispute"):
        affirm(shop, [since], certified.hands("03", "12"))


def test_entries_are_told_with_since_when_they_are_in_dispute(certified: Loft) -> None:
    """None where no key was reported, nor of what was said before, or affirmed."""
    shop, first = certified.shop, index_of(certified, STEP)
    steps = range(first, first + 2)

    def told(*asked: int) -> dict[int, int]:
        with shop.store.reading() as session:
            return disputed_at(session, shop.standing(), asked)

    assert told(*steps, 999_999) == {}
    report(shop, certified.person("03"), str(first), certified.hands("12", "01"))
    assert told(0, *steps) == dict.fromkeys(steps, first)
    with shop.store.reading() as session:
        standing, end = shop.standing(), shop.store.head().size - 1
        behind = disputed_behind(session, standing, "26-0001-8", end)
        own = disputed_behind(session, standing, "26-0001-8", first, own=first + 1)
    assert behind == dict.fromkeys(steps, first)
    assert own == behind
    affirm(shop, [first], certified.hands("01", "12"))
    assert told(0, *steps) == {first + 1: first}


def test_what_was_struck_is_in_dispute_no_more(loft: Loft) -> None:
    """It counts for nothing, so nobody has to stand by it."""
    air = measure_room(
        loft.shop,
        room="crib",
        temperature_millikelvin=293_150,
        humidity_ppm=440_000,
        hands=loft.hands("02"),
    )
    index, maura = air.entry.index, loft.person("02")
    told = report(loft.shop, maura, str(index), loft.hands("12", "01"))
    assert [each.entry.index for each in told.disputed] == [index]

    correct(loft.shop, index, reason="not Maura's", hands=loft.hands("01"))

    assert open_of(loft, maura.key) == []
    assert audit(loft.shop).findings == ()


def test_affirming_is_for_the_holder_or_a_lead_with_another_s_yes(
    certified: Loft,
) -> None:
    """All entries that are named, or none of them."""
    shop, size = certified.shop, certified.shop.store.head
    since = index_of(certified, STEP)
    told = report(shop, certified.person("03"), str(since), certified.hands("12", "01"))
    numbers = [each.entry.index for each in told.disputed]
    before = size().size

    for hands in (("02", "01"), ("01",), ("12", "01"), ("10", "12")):
        with pytest.raises(RefusedError):
            affirm(shop, numbers, certified.hands(*hands))
    with pytest.raises(RefusedError, match="entry 0 is not in dispute"):
        affirm(shop, [numbers[0], 0], certified.hands("01", "12"))
    with pytest.raises(NotFoundError, match=r"no entry 999 .* --disputed lists what"):
        affirm(shop, [999], certified.hands("01", "12"))
    assert size().size == before


def test_a_lead_s_certificate_cannot_be_told_until_it_is_affirmed(
    certified: Loft,
) -> None:
    """Nor is it a no: the keys file says that the shop does not know either."""
    shop, seun = certified.shop, certified.person("01")
    issued = index_of(certified, "certificate.issued/1")
    told = report(shop, seun, str(issued), certified.hands("12", "roots"))

    assert told.opened_cards and told.is_of_today
    assert not (shop.keys / f"{seun.key}{CARD_FILE}").exists()
    made = sold_by(certified)
    answer = check_certificate(made.data, made.keys)
    assert answer.word == CANNOT_TELL
    assert f"since entry {issued} is disputed" in answer.reasons[0]

    affirm(shop, [issued], certified.hands("12", "roots"))
    keys = copies.publish_keys(shop, certified.roots[:2]).read_bytes()
    known = read_keys_file(keys).key(seun.key)

    assert check_certificate(made.data, keys).word == YES
    assert known is not None and known.affirmed == {issued}


def test_an_approval_in_dispute_is_open_too(loft: Loft) -> None:
    """What the entry decides still stands; what governs is told first."""
    shop, seun = loft.shop, loft.person("01")
    teresa = loft.enrol(hands=loft.hands("12", "01"))
    enrolled = teresa.idx
    told = report(shop, seun, str(enrolled), loft.hands("12", "roots"))
    first = told.disputed[0]

    assert (first.entry.index, first.way, first.governs) == (enrolled, APPROVED, True)
    assert find_person(shop, "04").key == teresa.key
    with shop.store.reading() as session:
        claims = signed_by(shop, session, loft.person("12"))
        told_at = disputed_at(session, shop.standing(), [enrolled, enrolled - 1])
    assert enrolled in [c.entry for c in claims if c.disputed_since == enrolled]
    assert told_at == {enrolled: enrolled}
    found = audit(shop).findings
    assert found[0].index == enrolled and found[0].is_open
    assert found[0].detail.startswith(f"approved by key {seun.key}, disputed since")
    affirm(
        shop, [each.entry.index for each in told.disputed], loft.hands("12", "roots")
    )
    assert audit(shop).findings == ()


def test_a_key_that_was_replaced_first_is_reported_all_the_same(loft: Loft) -> None:
    """Whoever held which key since then is looked up, and today's goes on."""
    jakub = loft.person("03")
    loft.model()
    new_key(loft, "03", "12", "01")
    since = str(jakub.idx + 1)
    told = report(loft.shop, jakub, since, loft.hands("12", "01"))

    assert (told.key, told.is_of_today) == (jakub.key, False)
    assert loft.person("03").key == loft.keys["03"].id
    assert not loft.person("03").is_retired
    with pytest.raises(RefusedError, match="another report may only name an earlier"):
        report(loft.shop, jakub, since, loft.hands("12", "01"))


def test_a_report_says_since_which_entry_or_since_when(certified: Loft) -> None:
    """A moment leads to the first entry that was entered then or later."""
    shop, jakub = certified.shop, certified.person("03")
    since = index_of(certified, STEP)
    with shop.store.reading() as session:
        at = next(c for c in signed_by(shop, session, jakub) if c.entry == since)
    with pytest.raises(RefusedError, match="'noon' is no number of an entry, no day"):
        report(shop, jakub, "noon", certified.hands("12", "01"))
    with pytest.raises(
        NotFoundError, match="had no person key that counted at entry 0"
    ):
        report(shop, jakub, "2020-01-01", certified.hands("12", "01"))
    with pytest.raises(RefusedError, match="2099-01-01T00:00:00Z is still to come"):
        report(shop, jakub, "2099-01-01", certified.hands("12", "01"))
    told = report(shop, jakub, at.entered, certified.hands("12", "01"))

    assert told.since == since


def test_a_reported_card_key_makes_no_card_sure_any_more(certified: Loft) -> None:
    """It is renewed like any other; which certificates came since is told."""
    shop = certified.shop
    issued = index_of(certified, "certificate.issued/1")
    told = report_card(shop, str(issued), certified.hands("12", "01"))

    assert (told.issued_since, told.is_of_today) == (("C-2026-00001",), True)
    with pytest.raises(NotFoundError, match="the shop had no card key"):
        report_card(shop, "0", certified.hands("12", "01"))
    renewal = people.renew_card_key(
        shop,
        certified.hands("01", "roots"),
        certified.keys["01"],
        "4711",
        stretching=CHEAP,
    )
    assert renewal.retired == ()
    assert audit(shop).findings == ()


def test_what_a_compromised_key_granted_stands_until_it_is_reversed(
    loft: Loft,
) -> None:
    """Roots approved it, and yet it is told first, for others speak by its leave."""
    maura = loft.person("02")
    event = RoleGranted(subject=maura.subject, role="lead")
    with loft.shop.turn() as turn:
        granted = turn.say(event, loft.hands("03", "roots"))
    told = report(
        loft.shop, loft.person("03"), str(granted.index), loft.hands("12", "01")
    )

    assert [each.governs for each in told.disputed] == [True]
    assert "lead" in loft.shop.standing().roles_of(maura.subject)
    assert audit(loft.shop).findings[0].index == granted.index


def test_what_a_stolen_root_approved_is_reported_once_it_is_replaced(
    loft: Loft, tmp_path: Path
) -> None:
    """It stands, an audit leaves it open, and the roots stand by it."""
    shop, hands = loft.shop, loft.hands("12", "roots")
    event = RoleGranted(subject=loft.person("02").subject, role="lead")
    with shop.turn() as turn:
        granted = turn.say(event, hands).index
    stolen = loft.roots[1].id
    with pytest.raises(NotFoundError, match="no root key 12: none so far were repl"):
        report_root(shop, "12", str(granted), hands)
    with pytest.raises(RefusedError, match="is not reported but changed"):
        report_root(shop, stolen, str(granted), hands)
    kept = (loft.roots[0], loft.roots[2])
    change_roots(
        shop,
        kept=kept,
        new=[new_stick(tmp_path)],
        threshold=2,
        hands=loft.hands("12"),
        stretching=CHEAP,
    )
    today = Hands(by=loft.keys["12"], approving=kept)
    with pytest.raises(RefusedError, match="of 2 roots"):
        report_root(shop, stolen, str(granted), loft.hands("12", "01"))
    told = report_root(shop, stolen, str(granted), today)

    assert [each.way for each in told.disputed] == [APPROVED] * len(told.disputed)
    assert told.disputed[0].entry.index == granted
    keys = read_keys_file(copies.publish_keys(shop, kept).read_bytes())
    assert (known := keys.key(stolen)) and known.disputed_since == granted
    found = audit(shop).findings
    assert {f.index for f in found} == {each.entry.index for each in told.disputed}
    assert all(f.is_open for f in found)
    affirm(shop, [each.entry.index for each in told.disputed], today)
    assert audit(shop).findings == ()
    assert read_keys_file(copies.publish_keys(shop, kept).read_bytes())
