"""The countries of a harvest are named once, by whoever knows, and papers list them."""

from typing import Any

import pytest

from ledger.acts.corrections import correct, reasons_of
from ledger.acts.evidence import evidence_of
from ledger.acts.freight import Goods, materials_of
from ledger.acts.harvests import Named, Naming, name_harvest
from ledger.acts.law import law_in_force
from ledger.acts.lotpapers import add_paper
from ledger.acts.materials import BatchDraft, receive_batch
from ledger.acts.shipments import Journey, plan
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.ids import LotId
from ledger.views.boards import boards_of
from ledger.views.wood import Lot
from tests.skerrymoor import NECK, Loft

EBONY = "Diospyros crassiflora"
TOLD = "the sawyer, by telephone"


@pytest.fixture
def lot(supplied: Loft) -> LotId:
    """Give a lot of ebony whose country nobody said."""
    lot = supplied.receive(species=EBONY, boards=1, harvested_in=None)
    supplied.number(lot, NECK)
    return lot


def name(loft: Loft, code: LotId | str, *countries: str, **told: Any) -> Naming:
    """Name the countries of a harvest, by word of the sawyer unless told otherwise."""
    said = {"why": TOLD} | told
    badge = said.pop("badge", "02")
    named = Named(code=str(code), countries=countries, **said)
    return name_harvest(loft.shop, named, loft.hands(badge))


def known(loft: Loft, lot: LotId) -> tuple[str | None, str]:
    """Return where a lot was harvested, and what it may be."""
    with loft.shop.store.reading() as session:
        row = session.get_one(Lot, str(lot))
        return row.harvested_in, row.may_be_from


def test_several_countries_are_kept_and_one_is_the_country(
    supplied: Loft, lot: LotId
) -> None:
    """By code or name, in any order, each once; the reason goes to the vault."""
    made = name(supplied, lot, "Gabon", "CM", "GA")
    assert made.countries == ("CM", "GA") and made.notes == ()
    assert known(supplied, lot) == (None, "CM GA")
    with supplied.shop.store.reading() as session:
        index = made.entry.index
        assert reasons_of(supplied.shop, session, {index}) == {index: TOLD}

    strike = "it was the other letter"
    correct(supplied.shop, index, reason=strike, hands=supplied.hands("02"))
    name(supplied, lot, "CM")
    assert known(supplied, lot) == ("CM", "")
    assert audit(supplied.shop).findings == ()


def test_what_goes_in_a_shipment_bears_the_countries(
    supplied: Loft, lot: LotId
) -> None:
    """Of wood and of shell; an answer never rests on one of them."""
    hands = supplied.hands("12")
    with supplied.shop.store.reading() as session:
        code = boards_of(session, str(lot))[0].code
    index = name(supplied, lot, "CM", "GA").entry.index
    goods = Goods(boards=(code,))
    with supplied.shop.store.reading() as session:
        (found,) = materials_of(session, goods, law_in_force(session))
    assert (found.origin, found.may_be_from) == (None, ("CM", "GA"))

    journey = Journey(legs=("GB", "US"), moves_on="2026-11-24", purpose="sale")
    made = plan(supplied.shop, goods=goods, journey=journey, hands=hands)
    with pytest.raises(RefusedError, match=f"{made.number} came after entry {index}"):
        correct(supplied.shop, index, reason="another letter", hands=hands)


def test_what_must_be_shown_tells_the_countries(supplied: Loft, lot: LotId) -> None:
    """It stays missing until one of them is known."""
    name(supplied, lot, "CM", "GA")
    (found,) = evidence_of(supplied.shop, lot)
    said = next(each for each in found.asked if each.kind == "country")

    assert said.level == "none"
    assert said.said == "of Cameroon (CM) or Gabon (GA), and nobody knows which"
    assert f"flitchbook lot harvest {lot}" in said.missing


def test_a_paper_that_names_one_shows_it(supplied: Loft, lot: LotId) -> None:
    """Once it is a paper of the lot."""
    letter = supplied.document("letter", paper="letter of the sawyer")
    with pytest.raises(RefusedError, match=f"{letter} is no paper of {lot}: join it"):
        name(supplied, lot, "CM", document=letter, why="")
    add_paper(supplied.shop, str(lot), letter, None, supplied.hands("02"))
    name(supplied, lot, "CM", document=letter, why="")
    (found,) = evidence_of(supplied.shop, lot)
    said = next(each for each in found.asked if each.kind == "country")

    assert (said.level, said.paper) == ("document", letter)
    assert said.said.startswith(f"harvested in Cameroon, by {letter} (letter of")


def test_a_later_paper_gives_one_of_them_and_no_other(
    supplied: Loft, lot: LotId
) -> None:
    """What was said before has to be struck first."""
    name(supplied, lot, "CM", "GA")
    letter = supplied.document("letter", paper="letter")
    hands = supplied.hands("02")
    with pytest.raises(LedgerError, match=r"is of Cameroon \(CM\) or Gabon \(GA\) by"):
        add_paper(supplied.shop, str(lot), letter, "IN", hands)
    add_paper(supplied.shop, str(lot), letter, "GA", hands)
    assert known(supplied, lot) == ("GA", "CM GA")


def test_shell_has_a_country_too(supplied: Loft) -> None:
    """A batch of glue was harvested nowhere."""
    hands = supplied.hands("02")
    day = "2026-01-05"
    shell = BatchDraft(
        what="shell", use="shell", received_on=day, species="Nautilus spp."
    )
    glue = BatchDraft(what="hide glue", use="glue", received_on=day)
    batch = receive_batch(supplied.shop, shell, hands)
    assert name(supplied, batch, "PH").countries == ("PH",)
    with pytest.raises(RefusedError, match="is of no plant or animal on record"):
        name(supplied, receive_batch(supplied.shop, glue, hands), "PH")


def test_a_country_where_it_does_not_grow_is_told(supplied: Loft, lot: LotId) -> None:
    """It is kept as said: the table may have a gap."""
    (note,) = name(supplied, lot, "CA", "CM").notes
    assert "Diospyros crassiflora growing in" in note
    assert note.endswith("and not in Canada (CA): ask once more")


@pytest.mark.parametrize(
    ("countries", "told", "why"),
    [
        ((), {}, "name the country, or each that it may be: such as CM GA"),
        (("EU",), {}, "name each member State that it may be"),
        (("Atlantis",), {}, "is no country: write two letters"),
        (("CM",), {"why": " "}, "say who named the countries, with --why"),
        (("CM",), {"document": "D26-0099"}, "D26-0099 is no paper of"),
        (("CM",), {"badge": "03"}, "needs the role"),
    ],
)
def test_what_is_not_clear_is_refused(
    supplied: Loft, lot: LotId, countries: tuple[str, ...], told: Any, why: str
) -> None:
    """And nothing is kept of it."""
    size = supplied.shop.store.head().size
    with pytest.raises(LedgerError, match=why):
        name(supplied, lot, *countries, **told)
    assert supplied.shop.store.head().size == size
    assert known(supplied, lot) == (None, "")


def test_fewer_of_the_countries_are_named_once_they_are_known(
    supplied: Loft, lot: LotId
) -> None:
    """Even where a shipment rests on the older word, which stays; and shell too."""
    hands = supplied.hands("12")
    with supplied.shop.store.reading() as session:
        code = boards_of(session, str(lot))[0].code
    name(supplied, lot, "CG", "CM", "GA")
    journey = Journey(legs=("GB", "US"), moves_on="2026-11-24", purpose="sale")
    plan(supplied.shop, goods=Goods(boards=(code,)), journey=journey, hands=hands)

    name(supplied, lot, "CM", "GA")
    assert known(supplied, lot) == (None, "CM GA")
    index = name(supplied, lot, "Gabon").entry.index
    assert known(supplied, lot) == ("GA", "")
    with pytest.raises(RefusedError, match=f"strike it first .* correct {index}"):
        name(supplied, lot, "CM")
    correct(supplied.shop, index, reason="another lot", hands=supplied.hands("02"))
    assert known(supplied, lot) == (None, "CM GA")
    shell = BatchDraft(
        what="shell", use="shell", received_on="2026-01-05", species="Nautilus spp."
    )
    batch = receive_batch(supplied.shop, shell, supplied.hands("02"))
    name(supplied, batch, "ID", "PH")
    assert name(supplied, batch, "PH").countries == ("PH",)
    assert audit(supplied.shop).findings == ()


def test_a_country_is_named_once(supplied: Loft, lot: LotId) -> None:
    """What stands is told with its entry, and how to change it."""
    spruce = supplied.receive(harvested_in="IT")
    with pytest.raises(
        RefusedError, match=r"Italy \(IT\), as was said.*and that stays: write"
    ):
        name(supplied, spruce, "SI")
    index = name(supplied, lot, "CM", "GA").entry.index
    for again in (("CG",), ("CM", "GA"), ("CG", "CM")):
        with pytest.raises(RefusedError, match=f"flitchbook record correct {index}"):
            name(supplied, lot, *again)
    with pytest.raises(LedgerError, match="there is no lot L26-099"):
        name(supplied, "L26-099", "CM")
