"""Wood is made of wood, ends where it is used up, and is a part in between."""

from ledger.acts.provenance import provenance
from tests.ledger.acts.provenance.reading import ends_of, every_view, faults_in, read
from tests.ledger.acts.provenance.test_telling import told
from tests.skerrymoor import Loft

RECORDS = every_view()
GRAPH = told(RECORDS)
DOCUMENT = read(GRAPH.data())


def entries(kind: str) -> list[int]:
    """Return the entries of a kind."""
    return [r.entry.index for r in RECORDS if r.entry.kind.startswith(kind)]


def test_pieces_are_made_of_all_their_boards_which_end() -> None:
    """Sawn or glued: each of the boards is over by the same entry."""
    made = ends_of(DOCUMENT, "ProvDerivation")
    over = ends_of(DOCUMENT, "ProvInvalidation")
    saws = [
        r.entry for r in RECORDS if r.entry.kind in ("board.split/1", "board.joined/1")
    ]
    assert {entry.kind for entry in saws} == {"board.split/1", "board.joined/1"}
    for entry in saws:
        pieces = entry.event["made"]
        for piece in pieces if isinstance(pieces, list) else [pieces]:
            for parent in entry.event["parents"]:
                pair = (f"log:board-{piece['board']}", f"log:board-{parent}")
                assert pair in made
                assert (pair[1], f"log:entry-{entry.index}") in over


def test_an_allotted_board_is_a_part_and_what_is_scrapped_is_over() -> None:
    """The part is a thing of its own, made of the board, a member of its instrument."""
    made, members = (
        ends_of(DOCUMENT, "ProvDerivation"),
        ends_of(DOCUMENT, "ProvMembership"),
    )
    for index in entries("board.allotted"):
        event = RECORDS[index].entry.event
        assert (f"log:part-{index}", f"log:board-{event['board']}") in made
        assert (f"log:serial-{event['serial']}", f"log:part-{index}") in members
    over = {act for _, act in ends_of(DOCUMENT, "ProvInvalidation")}
    assert entries("build.part-scrapped")
    for index in entries("build.part-scrapped"):
        assert f"log:entry-{index}" in over


def test_a_certified_instrument_is_made_of_its_parts(certified: Loft) -> None:
    """With their finished masses, and it is of the instrument that was begun."""
    graph = provenance(certified.shop, ["26-0001-8"])
    document = read(graph.data())
    made = "log:made-C-2026-00001"
    parts = {old for new, old in ends_of(document, "ProvDerivation") if new == made}

    assert faults_in(document) == []
    assert len(parts) == 3
    assert (made, "log:serial-26-0001-8") in ends_of(document, "ProvSpecialization")
    masses = [
        (relation.more.get("log:mass_mg"), relation.more.get("log:set_mass_mg"))
        for relation in graph.relations
        if relation.kind == "wasDerivedFrom" and relation.start == made[4:]
    ]
    assert masses == [(None, 190_500), (None, 190_500), (611_000, None)]
