"""How much of the wood that came is in finished parts, reckoned by hand beside it."""

import pytest

from ledger.acts import sawing
from ledger.acts.yields import Yield, read_parts, yield_of
from ledger.events.build import PartWeighed
from ledger.views.boards import boards_of, plain_boards
from ledger.views.family import family, firsts_of
from tests.skerrymoor import NECK, TOP, Loft

SERIAL = "26-0001-8"


@pytest.fixture
def begun(supplied: Loft) -> Loft:
    """Give a set of tops of 205 g and 207 g, two necks of 1040 g, and a build begun."""
    supplied.number(supplied.receive(), TOP)
    supplied.number(supplied.receive(), NECK, NECK)
    supplied.model()
    supplied.begin()
    return supplied


def made_of(loft: Loft, lot: str) -> Yield:
    """Return the yield of a lot, of which every board was weighed when it came."""
    with loft.shop.store.reading() as session:
        firsts = firsts_of(session, lot)
        masses = {b.code: b.mass_mg or 0 for b in boards_of(session, lot)}
        kin = family(session, firsts, "pieces")
        first_mg = {code: masses[code] for code in firsts}
        return yield_of(read_parts(session, plain_boards(session)), kin, first_mg)


def weigh(loft: Loft, part: str, mass_mg: int, *, step: str = "join the top") -> None:
    """Weigh a finished part, at the end of a step."""
    weighed = [PartWeighed(part=part, mass_mg=mass_mg)]
    loft.sign(SERIAL, step, weighed=weighed)


def test_nothing_finished_has_no_yield(begun: Loft) -> None:
    """Wood in the rack, and wood in a part that nobody weighed, is no yield of 0."""
    assert made_of(begun, "L26-001").ppm is None
    begun.allot(SERIAL, "top", "L26-001-01")

    assert made_of(begun, "L26-001") == Yield(finished_mg=0, wood_mg=0)


def test_two_halves_that_became_one_top(begun: Loft) -> None:
    """190.5 g of 205 g and 207 g; the halves share it by their masses."""
    begun.allot(SERIAL, "top", "L26-001-01")
    weigh(begun, "top", 190_500)
    made = made_of(begun, "L26-001")

    assert made == Yield(finished_mg=190_500, wood_mg=412_000)
    assert made.ppm == 190_500 * 1_000_000 // 412_000


def test_a_piece_carries_its_whole_board(begun: Loft) -> None:
    """What still lies in the rack of the board was needed too."""
    sawing.split(
        begun.shop,
        codes=["L26-002-01"],
        pieces=[
            sawing.PieceDraft(meant_for="neck", mass_mg=700_000),
            sawing.PieceDraft(meant_for="brace", mass_mg=320_000),
        ],
        hands=begun.hands("02"),
    )
    begun.allot(SERIAL, "neck", "L26-002-01.C1")
    weigh(begun, "neck", 611_000)

    assert made_of(begun, "L26-002") == Yield(finished_mg=611_000, wood_mg=1_040_000)


def test_wood_glued_of_two_lots_is_shared_by_mass(begun: Loft) -> None:
    """A neck of 412 g of spruce and 1040 g of the other; each lot has its share."""
    joined = sawing.join(
        begun.shop,
        codes=["L26-002-01", "L26-001-01.A", "L26-001-01.B"],
        draft=sawing.PieceDraft(meant_for="neck", mass_mg=1_452_000),
        hands=begun.hands("02"),
    )
    begun.allot(SERIAL, "neck", joined)
    weigh(begun, "neck", 726_000)

    assert made_of(begun, "L26-001") == Yield(finished_mg=206_000, wood_mg=412_000)
    assert made_of(begun, "L26-002") == Yield(finished_mg=520_000, wood_mg=1_040_000)


def test_a_board_half_of_which_nobody_weighed_is_left_out(begun: Loft) -> None:
    """Two parts of one board, one of them weighed: nobody knows its yield yet."""
    sawing.split(
        begun.shop,
        codes=["L26-002-01"],
        pieces=[
            sawing.PieceDraft(meant_for="neck", mass_mg=700_000),
            sawing.PieceDraft(meant_for="top", mass_mg=320_000),
        ],
        hands=begun.hands("02"),
    )
    begun.allot(SERIAL, "neck", "L26-002-01.C1")
    begun.allot(SERIAL, "top", "L26-002-01.C2")
    weigh(begun, "neck", 611_000)
    assert made_of(begun, "L26-002").ppm is None
    weigh(begun, "top", 189_000, step="brace")

    assert made_of(begun, "L26-002") == Yield(finished_mg=800_000, wood_mg=1_040_000)
