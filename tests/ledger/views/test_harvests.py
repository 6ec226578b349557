"""The countries of a harvest stand from the entry that names them until struck."""

from collections.abc import Iterator

import pytest

from ledger.errors import TamperError
from ledger.events import (
    DocumentFiled,
    Event,
    LotHarvestNamed,
    LotPaperAdded,
    LotReceived,
    MaterialHarvestNamed,
    MaterialReceived,
)
from ledger.views.harvests import naming_of
from ledger.views.materials import Material
from ledger.views.wood import Lot
from tests.ledger.views.forests import grown, strike

PAPER, LOT, BATCH = "D26-0001", "L26-001", "M26-001"


def came(country: str | None = None) -> Iterator[Event]:
    """Yield a paper, and a lot and a batch that came in with it: entries 0 to 2."""
    yield DocumentFiled(document=PAPER, paper="letter", sha256="5a" * 32)
    yield LotReceived(
        lot=LOT,
        species="Diospyros crassiflora",
        form="sawn",
        boards=2,
        received_on="2026-01-05",
        documents=(PAPER,),
        harvested_in=country,
    )
    yield MaterialReceived(
        batch=BATCH,
        what="shell",
        use="shell",
        species="Nautilus pompilius",
        received_on="2026-01-05",
        documents=(PAPER,),
    )


def named(*countries: str, paper: str | None = None) -> LotHarvestNamed:
    """Return the sentence that the lot is of one of these countries."""
    return LotHarvestNamed(lot=LOT, countries=countries, document=paper)


def shell(*countries: str) -> MaterialHarvestNamed:
    """Return the sentence that the batch is of one of these countries."""
    return MaterialHarvestNamed(batch=BATCH, countries=countries)


def letter(country: str) -> LotPaperAdded:
    """Return the sentence that another paper of the lot gives a country."""
    return LotPaperAdded(lot=LOT, document="D26-0002", harvested_in=country)


SECOND = DocumentFiled(document="D26-0002", paper="letter", sha256="5b" * 32)


@pytest.mark.parametrize(
    ("said", "known"),
    [
        ((named("CM", "GA"),), (None, None, "CM GA")),
        ((named("CM"),), ("CM", 3, "")),
        ((named("CM", paper=PAPER),), ("CM", 3, "")),
        ((named("CM"), strike(3)), (None, None, "")),
        ((named("CM", "GA"), strike(3)), (None, None, "")),
        ((named("CM", "GA"), strike(3), named("GA")), ("GA", 5, "")),
        ((named("CG", "CM", "GA"), named("CM", "GA")), (None, None, "CM GA")),
        ((named("CM", "GA"), named("GA")), ("GA", 4, "")),
        ((named("CM", "GA"), named("GA"), strike(4)), (None, None, "CM GA")),
        ((named("CM", "GA"), named("GA"), strike(3)), ("GA", 4, "")),
        ((named("CM", "GA"), named("GA"), strike(4), named("CM")), ("CM", 6, "")),
        (
            (named("CG", "CM", "GA"), named("CM", "GA"), named("CM"), strike(5)),
            (None, None, "CM GA"),
        ),
        ((named("CM", "GA"), SECOND, letter("GA")), ("GA", 5, "CM GA")),
        ((named("CM", "GA"), SECOND, letter("GA"), strike(5)), (None, None, "CM GA")),
        ((named("CM"), SECOND, letter("CM"), strike(3)), ("CM", 5, "")),
        ((named("CM"), SECOND, letter("CM"), strike(5)), ("CM", 3, "")),
    ],
)
def test_what_was_named_stands_until_it_is_struck(
    said: tuple[Event, ...], known: tuple[str | None, int | None, str]
) -> None:
    """One country is the one that is known; of several a later paper tells which."""
    with grown([*came(), *said]) as session:
        lot = session.get_one(Lot, LOT)
        assert (lot.harvested_in, lot.harvested_idx, lot.may_be_from) == known


def test_a_batch_has_its_countries_too() -> None:
    """And its paper stays the paper of both."""
    with grown([*came(), shell("ID", "PH")]) as session:
        assert session.get_one(Material, BATCH).may_be_from == "ID PH"
        assert naming_of(session, LOT) is None
        found = naming_of(session, BATCH)
        assert found is not None and found.idx == 3
    with grown([*came(), shell("ID"), strike(3)]) as session:
        batch = session.get_one(Material, BATCH)
        assert (batch.harvested_in, batch.harvested_idx) == (None, None)


@pytest.mark.parametrize(
    ("country", "said", "fault"),
    [
        ("FJ", (named("CM"),), "was of FJ before this entry"),
        (None, (named("CM"), named("CM")), "was of CM before this entry"),
        (None, (named("CM", "GA"), named("CM", "GA")), "was of CM GA before this"),
        (None, (named("CM", "GA"), named("CG")), "was of CM GA before this entry"),
        (None, (named("CM", "GA"), named("CG", "CM")), "was of CM GA before this"),
        (
            None,
            (named("CM", "GA"), SECOND, letter("GA"), named("GA")),
            "was of GA before this entry",
        ),
        (None, (named("CM", paper="D26-0009"),), "D26-0009 is no paper of L26-001"),
        (
            None,
            (named("CM", "GA"), SECOND, letter("FJ")),
            "may be of CM GA by an entry before this one, which says FJ",
        ),
        (
            None,
            (LotHarvestNamed(lot="L26-009", countries=("CM",)),),
            "there is no lot L26-009 before",
        ),
        (
            None,
            (MaterialHarvestNamed(batch="M26-009", countries=("CM",)),),
            "there is no material M26-009 before",
        ),
    ],
)
def test_what_went_past_the_act_is_tampering(
    country: str | None, said: tuple[Event, ...], fault: str
) -> None:
    """Nothing names another country than the one that stands."""
    with pytest.raises(TamperError, match=fault), grown([*came(country), *said]):
        pass


@pytest.mark.parametrize(
    "told",
    [
        {"countries": ("CM",)},
        {"lot": LOT, "countries": ("GA", "CM")},
        {"lot": LOT, "countries": ("CM", "CM")},
        {"lot": LOT, "countries": ()},
        {"lot": LOT, "countries": ("cm",)},
    ],
)
def test_a_sentence_that_says_nothing_clear_is_none(
    told: dict[str, object],
) -> None:
    """It is of one thing, and its countries are sorted, each of them once."""
    with pytest.raises(ValueError, match="HarvestNamed"):
        LotHarvestNamed(**told)  # type: ignore[arg-type]
