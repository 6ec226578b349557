"""How two graders agree: told to those two and the lead, and to nobody else."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.acts import people, policies
from ledger.acts.agreeing import Agreeing, agreeing
from ledger.acts.shop import Hands
from ledger.acts.signing import person_key
from ledger.craft.grading_policy import first_grading_policy
from ledger.errors import RefusedError
from tests import racked, skerrymoor
from tests.racked import LOT
from tests.skerrymoor import CHEAP, TOP, Loft

PAIRS = 15


@pytest.fixture(scope="module")
def graded_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop where two people graded thirty halves, closed again."""
    folder = tmp_path_factory.mktemp("graded")
    loft = skerrymoor.opened(folder)
    loft.supplier()
    loft.number(loft.receive(), *[TOP] * PAIRS)
    for number in range(1, PAIRS + 1):
        code = f"{LOT}-{number:02d}"
        first = "first" if number <= 8 else "second"
        second = "first" if number <= 6 else "second"
        racked.judge(loft, code, word=first, badge="02")
        racked.judge(loft, code, word=second, badge="03")
    loft.shop.close()
    return folder


@pytest.fixture
def graded(
    tmp_path: Path, graded_folder: Path, request: pytest.FixtureRequest
) -> Iterator[Loft]:
    """Give that shop, open."""
    made = skerrymoor.again(tmp_path, graded_folder, request.node.name)
    yield made
    made.shop.close()


def told(loft: Loft, asker: str = "02", one: str = "02", other: str = "03") -> Agreeing:
    """Return what somebody is told of two people's agreement."""
    pair = [loft.person(badge) for badge in (one, other)]
    return agreeing(loft.shop, loft.keys[asker], *pair)


def test_two_graders_are_told_how_they_agree(graded: Loft) -> None:
    """Worked by hand: 26 of 30 alike, by chance 49.8 %; kappa is 0.734."""
    said = told(graded)
    by_hand = (26 / 30 - (16 * 12 + 14 * 18) / 900) / (1 - (16 * 12 + 14 * 18) / 900)

    assert (said.agreement.boards, said.agreement.alike) == (30, 26)
    assert said.agreement.plain.kappa_ppm == round(by_hand * 1e6)
    assert said.agreement.apart == (("first", "second", 4),)
    assert (said.policy, said.versions, said.remarks) == ("first", (2,), ())


@pytest.mark.parametrize("asker", ["02", "03", "01"])
def test_those_two_and_the_lead_are_told(graded: Loft, asker: str) -> None:
    """All the same numbers, and nothing is recorded of it."""
    size = graded.shop.store.head().size

    assert told(graded, asker).agreement == told(graded).agreement
    assert graded.shop.store.head().size == size


@pytest.mark.parametrize("asker", ["10", "12"])
def test_nobody_else_is_told(graded: Loft, asker: str) -> None:
    """Neither a colleague nor whoever keeps the keys."""
    with pytest.raises(RefusedError, match="is for those two and the lead, and not"):
        told(graded, asker)


def test_it_takes_two(graded: Loft) -> None:
    """Nobody is compared with oneself."""
    with pytest.raises(RefusedError, match="Maura Kiely always agrees with Maura"):
        told(graded, other="02")


def test_too_few_boards_tell_nothing(graded: Loft) -> None:
    """Somebody who graded none has none in common."""
    with pytest.raises(RefusedError, match="the two graded 0 boards in common"):
        told(graded, other="10")


def test_the_newest_grading_of_each_counts(graded: Loft) -> None:
    """A board that one of them looked at again is judged by the later look."""
    racked.judge(graded, f"{LOT}-07", word="second", badge="02")

    assert told(graded).agreement.alike == 28


def test_a_grading_that_was_struck_does_not_count(graded: Loft) -> None:
    """The earlier one stands again."""
    racked.judge(graded, f"{LOT}-07", word="second", badge="02")
    size = graded.shop.store.head().size
    graded.say(graded.strike(size - 1), "02")

    assert told(graded).agreement.alike == 27


def test_for_another_part_is_another_question(graded: Loft) -> None:
    """What one graded as a back is not set against the other's top."""
    for number in range(1, PAIRS + 1):
        code = f"{LOT}-{number:02d}"
        racked.judge(graded, code, word="third", badge="02", part="back")

    assert told(graded).agreement.alike == 26


def test_all_keys_of_a_person_count(graded: Loft) -> None:
    """A new key is the same hand; whoever asks with it is one of the two still."""
    maura = graded.person("02")
    hands = Hands(by=graded.keys["12"], approving=(graded.keys["01"],))
    people.replace_key(graded.shop, maura, "2020", hands, stretching=CHEAP)
    graded.keys["02"] = person_key(graded.shop, graded.person("02"), "2020")
    racked.judge(graded, f"{LOT}-07", word="second", badge="02")

    assert told(graded).agreement.alike == 28
    assert told(graded).agreement.boards == 30


def test_other_words_and_other_rules_do_not_count(graded: Loft) -> None:
    """Versions of one policy go together while their words are the same."""
    text = first_grading_policy() | {"version": 3}
    policies.adopt_policy(graded.shop, text, graded.hands())
    racked.judge(graded, f"{LOT}-07", word="second", badge="02")
    later = told(graded)
    other = first_grading_policy() | {"id": "loft"}
    policies.adopt_policy(graded.shop, other, graded.hands())

    assert (later.versions, later.agreement.alike) == ((2, 3), 28)
    with pytest.raises(RefusedError, match="graded 0 boards in common"):
        told(graded)


def test_what_does_not_count_is_said(graded: Loft) -> None:
    """How many, and why."""
    text = first_grading_policy() | {"version": 3, "otherwise": "jigs"}
    racked.judge(graded, f"{LOT}-15", word="set aside", badge="02")
    policies.adopt_policy(graded.shop, text, graded.hands())
    said = told(graded)

    assert said.agreement.boards == 30
    assert said.remarks[0].startswith("2 gradings do not count, being by another")
