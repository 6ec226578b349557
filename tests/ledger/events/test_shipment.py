"""What is said of a shipment: laws, papers and lots in members of their own types."""

from dataclasses import replace
from typing import Any, get_args

import pytest

from ledger.errors import TamperError
from ledger.events import ShipmentPapersPrinted, codec
from ledger.events.shipment import Determined, Purpose, Share
from ledger.trade import movement
from tests.sentences import DESCRIBED, PLANNED, PLANNED_V1

SHARE = {"lot": "L26-001", "mass_mg": 190_500}
BESIDE = Determined(
    law="US",
    answer="needed",
    rule="lacey-9202",
    row="lacey-9202",
    documents=(),
    shares=(Share(lot="L26-001", mass_mg=190_500),),
    evidence=(),
    table_date="2026-11-24",
)


def test_an_answer_is_written_with_what_it_has() -> None:
    """A paper's office as `from`; no row, species, origin or day where none is."""
    (cites, other) = codec.plain(
        replace(PLANNED, determined=(*PLANNED.determined, BESIDE))
    )["determined"]

    assert cites["documents"] == [{"name": "advice", "from": "the authority"}]
    known = {"origin": "NO", "acquired": "2026-01-05"}
    assert cites["shares"] == [{"lot": "L26-001", "mass_mg": 190_500} | known]
    assert other["shares"] == [{"lot": "L26-001", "mass_mg": 190_500}]
    assert cites["evidence"] == ["D26-0001"]
    assert "row" not in cites
    assert other.keys().isdisjoint({"species", "form", "mass_mg"})
    assert (other["law"], other["row"]) == ("US", "lacey-9202")


@pytest.mark.parametrize(
    ("member", "said"),
    [
        ("legs", ["FR", "Japan"]),
        ("legs", ["FR", "jp"]),
        ("legs", ["FR"]),
        ("purpose", "fun"),
        ("purpose", "concert"),
        ("hts_number", "9202.90"),
        ("hts_number", "92029"),
        ("hts_number", "920290400012"),
        ("tables_sha256", "none"),
        ("determined", []),
        ("tariff_code", "9202"),
    ],
)
def test_what_is_no_journey_is_damage(member: str, said: Any) -> None:
    """Countries in two letters, a known purpose, digits of the tariff, a digest."""
    with pytest.raises(TamperError, match=r"^shipment\.planned/2: "):
        codec.parse(codec.plain(PLANNED) | {member: said})


@pytest.mark.parametrize(
    ("member", "said"),
    [
        ("answer", "free"),
        ("row", ""),
        ("origins", ["NO"]),
        ("shares", []),
        ("shares", [{"lot": "Picea", "mass_mg": 1}]),
        ("shares", [SHARE | {"origin": "Norway"}]),
        ("shares", [SHARE | {"acquired": "long ago"}]),
        ("evidence", ["invoice 7"]),
        ("documents", ["advice, the authority"]),
        ("documents", [{"name": "advice"}]),
    ],
)
def test_what_is_no_answer_is_damage(member: str, said: Any) -> None:
    """Empty stands for nothing; what is absent is left out."""
    members = codec.plain(PLANNED)
    answer = members["determined"][0] | {member: said}
    with pytest.raises(TamperError, match=r"^shipment\.planned/2: determined\.0\."):
        codec.parse(members | {"determined": [answer]})


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"species": None}, "species and form are there together, or neither is"),
        ({"form": None}, "species and form are there together, or neither is"),
        ({"mass_mg": None}, "its shares weigh 190500 mg together, not none"),
        ({"mass_mg": 190_501}, "its shares weigh 190500 mg together, not 190501"),
        ({"shares": [{"lot": "L26-001"}]}, "weigh none mg together, not 190500"),
        ({"shares": [SHARE, SHARE]}, "a lot, a batch or a piece is named once"),
        (
            {"shares": [SHARE | {"batch": "M26-001"}]},
            "a lot, a batch or a described",
        ),
        ({"shares": [{"mass_mg": 190_500}]}, "of a lot, a batch or a described piece"),
    ],
)
def test_an_answer_that_does_not_add_up_is_damage(
    told: dict[str, Any], words: str
) -> None:
    """It is of a species in a form, gram for gram as known, or of the shipment."""
    members = codec.plain(PLANNED)
    answer = {
        name: value
        for name, value in (members["determined"][0] | told).items()
        if value is not None
    }
    with pytest.raises(TamperError, match=words):
        codec.parse(members | {"determined": [answer]})


def test_a_shipment_of_nothing_cannot_be_said() -> None:
    """Neither instruments nor boards nor pieces; any of them will do."""
    members = codec.plain(PLANNED)
    with pytest.raises(TamperError, match="holds an instrument, a board or a piece"):
        codec.parse(members | {"boards": []})

    instruments = {"serials": ["26-0001-8"], "boards": []}
    assert codec.parse(members | instruments) == replace(
        PLANNED, serials=("26-0001-8",), boards=()
    )


def test_a_share_is_of_a_piece_that_was_described() -> None:
    """The first is 1; there is none beyond the last."""
    members = codec.plain(DESCRIBED)
    assert codec.parse(members) == DESCRIBED

    answer = members["determined"][0] | {"shares": [{"number": 2}]}
    with pytest.raises(TamperError, match="a piece that nobody described"):
        codec.parse(members | {"determined": [answer]})


def test_what_was_planned_of_old_is_read_as_it_was_said() -> None:
    """With lots, and a mass whenever there is a species."""
    members = codec.plain(PLANNED_V1)
    assert codec.parse(members) == PLANNED_V1

    answer = {n: v for n, v in members["determined"][0].items() if n != "mass_mg"}
    with pytest.raises(TamperError, match="species, form and mass are there together"):
        codec.parse(members | {"determined": [answer]})


def test_every_purpose_of_the_tables_can_be_said() -> None:
    """The words that can be said only grow; the tables may know fewer of them."""
    assert set(get_args(movement.Purpose)) <= set(get_args(Purpose))


def test_a_list_carries_the_root_of_its_checkpoint() -> None:
    """Beside the size, and never without it."""
    printed = ShipmentPapersPrinted(
        shipment="X26-0001",
        paper="materials list",
        number=2,
        size=9,
        root="5c" * 32,
        sha256="5b" * 32,
    )
    members = codec.plain(printed)

    assert codec.parse(members) == printed
    del members["root"]
    with pytest.raises(TamperError, match="root: field required"):
        codec.parse(members)
