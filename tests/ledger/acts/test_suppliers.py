"""Sawyers are entered once, in any script, and found by part of a name."""

from typing import Any

import pytest

from ledger.acts import suppliers
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from tests.skerrymoor import Loft

HOSTILE = {
    "turned around": "Ferrante \u202e& Daughters",
    "with a bell": "Ferrante\x07",
    "with a nought": "Ferrante\x00",
    "of two lines": "Ferrante\n& Daughters",
    "half a character": "Ferrante \udcff",
    "taken apart": "Rosalind Achte\u0308rberg",
    "unassigned": "Ferrante \U0001fbff\u0378",
    "endless": "F" * 10_000,
    "empty": "",
    "blank": " \t ",
}


def untouched(loft: Loft, size: int) -> bool:
    """Tell that nothing was recorded since, and that everything is whole."""
    return loft.shop.store.head().size == size and audit(loft.shop).findings == ()


@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_name_is_refused_and_kept_nowhere(loft: Loft, what: str) -> None:
    """Bidi, control characters, surrogates, another Unicode form, ten thousand."""
    size, known = loft.shop.store.head().size, loft.shop.vault.subjects()
    with pytest.raises(RefusedError):
        loft.supplier(HOSTILE[what])

    assert loft.shop.vault.subjects() == known
    assert untouched(loft, size)


@pytest.mark.parametrize("name", ["D'Arcy & Söhne", "若林木材", "Mbeki-Laurent Ebène"])
def test_a_name_in_any_script_is_kept_as_it_is(loft: Loft, name: str) -> None:
    """Apostrophes, umlauts and Japanese stand in no file of the log."""
    assert loft.supplier(f" {name} ") == name
    found = suppliers.find_supplier(loft.shop, name.casefold())

    with loft.shop.store.reading() as session:
        session.expunge_all()
        assert suppliers.named(loft.shop, session)[0][1] == name
    assert (found.shown, found.region, found.country) == ("by-name", "Val Corda", "IT")
    records = b"".join(data for _, data in loft.shop.store.records())
    assert name.encode() not in records


def test_a_sawyer_is_entered_once(supplied: Loft) -> None:
    """In whatever letters the name is typed."""
    with pytest.raises(RefusedError, match="is entered already"):
        supplied.supplier("FERRANTE & daughters ")


def test_part_of_a_name_finds_one_sawyer_and_no_two(supplied: Loft) -> None:
    """The whole name finds its own even where others begin with it."""
    supplied.supplier("Ferrante & Daughters, Val Torta")
    with pytest.raises(RefusedError, match="fits several"):
        suppliers.find_supplier(supplied.shop, "ferrante")
    with pytest.raises(NotFoundError, match="no sawyer or supplier here"):
        suppliers.find_supplier(supplied.shop, "Valdesund")
    with pytest.raises(NotFoundError):
        suppliers.find_supplier(supplied.shop, "  ")

    assert suppliers.find_supplier(supplied.shop, "Ferrante & Daughters").idx


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"country": "Italy"}, "no country of two letters"),
        ({"country": "zz"}, "ZZ is the code of no country"),
        ({"country": "I\nT"}, "no country"),
        ({"shown": "by-region", "region": None}, "needs a region"),
        ({"shown": "in-lights"}, "shown"),
        ({"region": "Val\x00Corda"}, "cannot be written"),
        ({"region": "Val \udcff"}, "cannot be written"),
    ],
)
def test_a_sawyer_s_particulars_are_sound(
    loft: Loft, changes: dict[str, Any], said: str
) -> None:
    """A country has a code of two letters, and a region is shown if there is one."""
    told: dict[str, Any] = {"name": "Wairere Timber Family", "shown": "by-name"}
    told |= {"region": None, "country": None, "hands": loft.hands("02")} | changes
    known = loft.shop.vault.subjects()
    with pytest.raises(RefusedError, match=said):
        suppliers.record_supplier(loft.shop, **told)

    assert loft.shop.vault.subjects() == known


def test_a_country_is_recorded_in_capitals_however_it_is_typed(loft: Loft) -> None:
    """So that two sawyers of one country are of one country."""
    suppliers.record_supplier(
        loft.shop,
        name="Wairere Timber Family",
        shown="by-name",
        region=None,
        country="fj",
        hands=loft.hands("02"),
    )

    assert suppliers.find_supplier(loft.shop, "wairere").country == "FJ"
