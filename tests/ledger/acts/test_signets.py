"""A shop's signet is its card key's, from the day that key entered the record."""

from datetime import UTC, datetime, timedelta

import pytest
from cryptography import x509

from ledger.acts import people
from ledger.acts.signets import shop_signet
from ledger.acts.signing import card_key
from ledger.errors import RefusedError
from ledger.log.keys import SecretKey
from tests.skerrymoor import CHEAP, LEAD, NAME, Loft


def card_of(loft: Loft) -> SecretKey:
    """Return the shop's card key, opened by its first lead."""
    return card_key(loft.shop, loft.person(LEAD.badge), LEAD.pin)


def first_day(data: bytes) -> datetime:
    """Return since when a certificate counts."""
    return x509.load_der_x509_certificate(data).not_valid_before_utc


def test_it_counts_from_the_day_of_the_founding(loft: Loft) -> None:
    """With the shop's name, and the same however late it is made."""
    made = shop_signet(loft.shop, card_of(loft))
    loft.clock.moment += timedelta(days=400)
    name = x509.load_der_x509_certificate(made.certificate).subject

    assert {one.value for one in name} == {NAME}
    assert first_day(made.certificate) == datetime(2026, 1, 5, tzinfo=UTC)
    assert shop_signet(loft.shop, card_of(loft)).fingerprint == made.fingerprint


def test_a_new_card_key_has_a_new_signet(loft: Loft) -> None:
    """From its own first day on."""
    old = shop_signet(loft.shop, card_of(loft))
    loft.clock.moment += timedelta(days=30)
    people.renew_card_key(
        loft.shop,
        loft.hands("01", "roots"),
        loft.keys["01"],
        LEAD.pin,
        stretching=CHEAP,
    )
    new = shop_signet(loft.shop, card_of(loft))

    assert new.fingerprint != old.fingerprint
    assert first_day(new.certificate) == datetime(2026, 2, 4, tzinfo=UTC)


@pytest.mark.parametrize("whose", ["a stranger's", "a person's"])
def test_only_a_card_key_of_this_shop_has_one(loft: Loft, whose: str) -> None:
    """Neither a stranger's key nor a person's signs a paper for the shop."""
    key = SecretKey(bytes(32)) if whose == "a stranger's" else loft.keys["01"]

    with pytest.raises(RefusedError, match=f"key {key.id} is no card key of this"):
        shop_signet(loft.shop, key)
