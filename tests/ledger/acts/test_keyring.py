"""Keys are laid for their holders, shared among leads, and taken away again."""

from collections.abc import Callable
from typing import Any

import pytest

from ledger.acts import people
from ledger.acts.keyring import Sharing, new_key, seal_key, shown_key
from ledger.acts.signing import card_key
from ledger.audit import audit
from ledger.errors import RefusedError
from ledger.log import keyfile
from ledger.log.governing import founding_origin
from ledger.log.keys import SecretKey, possession_statement, signature_bytes
from ledger.log.vault import person_sealing_key
from ledger.views.people import Person
from tests.conftest import entropy_from
from tests.skerrymoor import CHEAP, LEAD, PINS, Loft


def test_a_shown_key_shows_possession_for_its_one_purpose() -> None:
    """The signature verifies over log, key and purpose."""
    secret = new_key(entropy_from("shown"))
    origin = founding_origin([secret.public])
    shown = shown_key(secret, origin=origin, purpose="card")
    signature = signature_bytes(shown.possession)

    assert signature is not None
    for purpose, fits in (("card", True), ("person", False)):
        said = possession_statement(
            origin=origin, public=secret.public, purpose=purpose
        )
        assert secret.public.has_signed(said, signature) is fits


def test_a_key_is_laid_over_itself_and_over_no_other(loft: Loft) -> None:
    """Unless the other was named as one that ended."""
    chance = entropy_from("laid")
    holder, old, new = (new_key(chance) for _ in range(3))
    path = loft.shop.keys / f"{holder.id}.card.json"

    def lay(secret: SecretKey, pin: str, *over: str) -> None:
        seal_key(
            loft.shop,
            secret,
            purpose="card",
            pin=pin,
            holder=holder,
            over=over,
            stretching=CHEAP,
        )

    lay(old, "1")
    lay(old, "2")
    assert keyfile.opened(path.read_bytes(), pin="2", holder="x") == old
    with pytest.raises(RefusedError, match=f"holds key {old.id} already"):
        lay(new, "3")
    lay(new, "3", old.id)

    assert keyfile.opened(path.read_bytes(), pin="3", holder="x") == new
    assert path.stat().st_mode & 0o777 == 0o600


def second_lead(loft: Loft, badge: str = "02") -> Person:
    """Make somebody a lead beside the first, with card key and office key."""
    sharing = sharing_with(loft, badge)
    people.appoint(
        loft.shop,
        loft.person(badge),
        "lead",
        loft.hands("01", "roots"),
        sharing=sharing,
    )
    return loft.person(badge)


def sharing_with(loft: Loft, badge: str) -> Sharing:
    """Return what the first lead shares with another."""
    card = card_key(loft.shop, loft.person("01"), LEAD.pin)
    return Sharing(
        lead=loft.keys["01"],
        card=card,
        to=loft.keys[badge],
        pin=PINS[badge],
        stretching=CHEAP,
    )


def opens_office(loft: Loft, key: SecretKey) -> bool:
    """Tell whether a key opens the office."""
    try:
        loft.shop.vault.open_office(person_sealing_key(key.seed))
    except RefusedError:
        return False
    return True


def dismissed(loft: Loft) -> None:
    """Take the role from the second lead."""
    people.dismiss(loft.shop, loft.person("02"), "lead", loft.hands("01", "roots"))


def retired(loft: Loft) -> None:
    """End the second lead's key."""
    people.retire(loft.shop, loft.person("02"), loft.hands("02"))


def rekeyed(loft: Loft) -> None:
    """Replace the second lead's key, and share nothing with the new one."""
    hands = loft.hands("12", "roots")
    people.replace_key(loft.shop, loft.person("02"), "9999", hands, stretching=CHEAP)


def erased(loft: Loft) -> None:
    """Erase the second lead's name."""
    people.erase(loft.shop, loft.person("02").subject, loft.hands("12", "roots"))


@pytest.mark.parametrize(
    "end", [dismissed, retired, rekeyed, erased], ids=lambda end: str(end.__name__)
)
def test_whoever_leads_no_more_opens_neither_office_nor_card_key(
    certified: Loft, end: Callable[[Loft], None]
) -> None:
    """Dismissed, retired, with another key or erased: both are taken away."""
    second_lead(certified)
    key = certified.keys["02"]
    assert opens_office(certified, key)
    end(certified)

    assert not opens_office(certified, key)
    assert opens_office(certified, certified.keys["01"])
    assert not (certified.shop.keys / f"{key.id}.card.json").exists()
    assert audit(certified.shop)


def test_the_last_lead_s_key_still_opens_the_office(certified: Loft) -> None:
    """Else nobody could ever read again who owns what."""
    people.retire(certified.shop, certified.person("01"), certified.hands("01"))

    assert opens_office(certified, certified.keys["01"])


def test_a_role_is_taken_back_by_the_roots(certified: Loft) -> None:
    """From the next entry on it does not count, even with the card's file at hand."""
    maura = second_lead(certified)
    path = certified.shop.keys / f"{maura.key}.card.json"
    file = path.read_bytes()
    with pytest.raises(RefusedError, match="0 of 2 roots"):
        people.dismiss(certified.shop, maura, "lead", certified.hands("01", "12"))
    dismissed(certified)
    path.write_bytes(file)

    with pytest.raises(RefusedError, match="only a lead signs cards"):
        card_key(certified.shop, maura, PINS["02"])
    with pytest.raises(RefusedError, match="for a lead"):
        people.qualify(
            certified.shop, certified.person("03"), ["finish"], certified.hands("02")
        )
    with pytest.raises(RefusedError, match="is not held"):
        dismissed(certified)


def test_an_appointment_that_was_cut_off_is_made_again(certified: Loft) -> None:
    """The card key's file is there already, and gives way to itself."""
    sharing, key = sharing_with(certified, "02"), certified.keys["02"]
    seal_key(
        certified.shop,
        sharing.card,
        purpose="card",
        pin="0000",
        holder=key,
        stretching=CHEAP,
    )
    maura = second_lead(certified)

    assert card_key(certified.shop, maura, PINS["02"]).id == sharing.card.id


def test_nothing_is_shared_with_somebody_who_does_not_lead(certified: Loft) -> None:
    """Neither file nor office key, whoever asks for it."""
    sharing = sharing_with(certified, "02")
    with pytest.raises(RefusedError, match="is no lead's"):
        people.share(certified.shop, sharing)

    assert not opens_office(certified, certified.keys["02"])
    assert not (certified.shop.keys / f"{certified.keys['02'].id}.card.json").exists()


def test_a_card_key_is_renewed_by_the_roots(certified: Loft) -> None:
    """The old one ends, the other lead's file goes, and can be shared again."""
    maura = second_lead(certified)
    shop, lead = certified.shop, certified.person("01")
    old = card_key(shop, lead, LEAD.pin)
    stale = sharing_with(certified, "02")
    told: dict[str, Any] = {"lead": certified.keys["01"], "pin": LEAD.pin}
    with pytest.raises(RefusedError, match="0 of 2 roots"):
        people.renew_card_key(shop, certified.hands("01", "12"), **told)
    assert card_key(shop, maura, PINS["02"]).id == old.id
    renewal = people.renew_card_key(
        shop, certified.hands("12", "roots"), **told, stretching=CHEAP
    )

    new = card_key(shop, lead, LEAD.pin)
    assert new.id != old.id
    assert set(shop.standing().live_keys("card", shop.store.head().size)) == {new.id}
    assert [p.badge for p in renewal.to_share] == ["02"]
    assert [e.event["key"] for e in renewal.retired] == [old.id]
    with pytest.raises(RefusedError, match="has no card key"):
        card_key(shop, maura, PINS["02"])
    with pytest.raises(RefusedError, match="has ended"):
        people.share(shop, stale)
    people.share(shop, sharing_with(certified, "02"))
    assert card_key(shop, maura, PINS["02"]).id == new.id
    assert audit(shop).findings == ()


def test_a_card_key_is_renewed_for_a_lead_only(certified: Loft) -> None:
    """Not for whoever happens to sign."""
    with pytest.raises(RefusedError, match="is no lead's"):
        people.renew_card_key(
            certified.shop,
            certified.hands("12", "roots"),
            certified.keys["12"],
            PINS["12"],
        )
