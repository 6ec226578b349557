"""A PIN becomes a signature, and guessing becomes slow."""

from datetime import timedelta
from pathlib import Path

import pytest

from ledger.acts.signing import (
    WRONG_PINS,
    card_key,
    find_person,
    holder_name,
    log_key,
    person_key,
    root_key,
)
from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log.keyfile import WrongPinError
from tests.skerrymoor import LEAD, PINS, Loft


def guess(loft: Loft, pin: str = "0000") -> None:
    """Try a PIN on Jakub's key."""
    person_key(loft.shop, loft.person("03"), pin)


@pytest.mark.parametrize("name", ["03", "jakub", "WOLAŃSKI", " Jakub Wolański "])
def test_somebody_is_found_by_badge_or_name(loft: Loft, name: str) -> None:
    """In part, and in whatever letters."""
    assert find_person(loft.shop, name).badge == "03"


def test_a_badge_or_a_whole_name_comes_before_a_part(loft: Loft) -> None:
    """Where a part fits several, their badges are told."""
    loft.enrol(name="Ines", badge="21")
    loft.enrol(name="Badge 03 Keeper", badge="22")

    assert find_person(loft.shop, "ines").badge == "21"
    assert find_person(loft.shop, "03").badge == "03"
    with pytest.raises(RefusedError, match="fits several people: give a badge, 10, 21"):
        find_person(loft.shop, "ine")
    for nobody in ("", "  ", "Benji", "0 3"):
        with pytest.raises(NotFoundError):
            find_person(loft.shop, nobody)


def test_every_key_opens_with_its_own_pin(loft: Loft) -> None:
    """A person's, the card's and the roots'; the log's needs none."""
    for badge, pin in PINS.items():
        person = loft.person(badge)
        assert person_key(loft.shop, person, pin).id == person.key
    assert card_key(loft.shop, loft.person("01"), LEAD.pin)
    assert log_key(loft.shop).public == loft.shop.standing().log_key


def test_a_wrong_pin_is_refused_and_the_next_try_waits(loft: Loft) -> None:
    """Even the right PIN has to wait, and then it opens and all is forgotten."""
    with pytest.raises(WrongPinError, match="Jakub Wolański"):
        guess(loft)
    loft.clock.step = timedelta()
    with pytest.raises(RefusedError, match="this key waits"):
        guess(loft, PINS["03"])
    loft.clock.moment += timedelta(seconds=2)
    guess(loft, PINS["03"])

    assert not (loft.shop.keys / WRONG_PINS).exists()


def test_the_waits_grow_to_half_a_minute_and_no_further(loft: Loft) -> None:
    """1, 2, 4, 8, 16, and from then on 30 seconds."""
    loft.clock.step = timedelta()
    waits = []
    for _ in range(9):
        with pytest.raises(WrongPinError):
            guess(loft)
        began = loft.clock.moment
        while True:
            try:
                guess(loft, PINS["02"])
            except WrongPinError:
                break
            except RefusedError:
                loft.clock.moment += timedelta(seconds=1)
        waits.append(int((loft.clock.moment - began).total_seconds()))
        loft.clock.moment += timedelta(seconds=60)

    assert waits[0] <= 2
    assert waits == sorted(waits)
    assert max(waits) == 30


@pytest.mark.parametrize("back", [timedelta(days=1), timedelta(days=9000)])
def test_a_clock_set_back_locks_nobody_out_and_spares_no_wait(
    loft: Loft, back: timedelta
) -> None:
    """The wait begins anew, and is no longer than it would have been."""
    for _ in range(4):
        with pytest.raises(RefusedError):
            guess(loft)
        loft.clock.moment += timedelta(seconds=60)
    loft.clock.moment -= back
    loft.clock.step = timedelta()
    with pytest.raises(RefusedError, match="try again in 8 s"):
        guess(loft, PINS["03"])
    loft.clock.moment += timedelta(seconds=8)
    guess(loft, PINS["03"])


def test_somebody_else_s_right_pin_ends_no_wait(loft: Loft) -> None:
    """Whoever tries another's PINs cannot wash the count away with the own."""
    loft.clock.step = timedelta()
    for wait in (1, 2, 4, 8):
        with pytest.raises(WrongPinError):
            guess(loft)
        person_key(loft.shop, loft.person("02"), PINS["02"])
        with pytest.raises(RefusedError, match=f"try again in {wait} s"):
            guess(loft)
        loft.clock.moment += timedelta(seconds=wait)
    guess(loft, PINS["03"])

    assert not (loft.shop.keys / WRONG_PINS).exists()


def test_both_files_of_a_lead_count_as_one(loft: Loft) -> None:
    """The card key rests under the same PIN: guessing at it is guessing at that."""
    lead = loft.person("01")
    loft.clock.step = timedelta()
    with pytest.raises(WrongPinError):
        card_key(loft.shop, lead, "0000")

    with pytest.raises(RefusedError, match="this key waits"):
        person_key(loft.shop, lead, LEAD.pin)


@pytest.mark.parametrize(
    "text",
    ["", "[]", "4", '{"a":{}}', '{"a":{"count":"x","until":"y"}}', '{"a":[1,2]}'],
)
def test_a_damaged_note_of_wrong_pins_is_said_to_be_damaged(
    loft: Loft, text: str
) -> None:
    """Whoever scribbles in it gets no further tries."""
    (loft.shop.keys / WRONG_PINS).write_text(text)
    with pytest.raises(TamperError, match="damaged: remove it"):
        guess(loft, PINS["03"])


def test_a_key_file_of_another_does_not_open_as_one_s_own(loft: Loft) -> None:
    """Maura's file in the place of Jakub's, opened with Maura's PIN."""
    jakub, maura = loft.person("03"), loft.person("02")
    path = loft.shop.keys / f"{jakub.key}.json"
    path.write_bytes((loft.shop.keys / f"{maura.key}.json").read_bytes())
    with pytest.raises(TamperError):
        person_key(loft.shop, jakub, PINS["02"])


def test_a_missing_key_file_is_named(loft: Loft, tmp_path: Path) -> None:
    """So that the right one can be brought."""
    (loft.shop.keys / f"{loft.person('03').key}.json").unlink()
    with pytest.raises(NotFoundError, match="cannot be read"):
        guess(loft, PINS["03"])
    with pytest.raises(NotFoundError, match=r"root-9\.json"):
        root_key(tmp_path / "root-9.json", "x")


def test_a_holder_is_named_for_every_key(loft: Loft) -> None:
    """By name, by badge once erased, and a key nobody holds by itself."""
    with loft.shop.store.reading() as session:
        assert holder_name(loft.shop, session, loft.keys["03"].id) == "Jakub Wolański"
        assert holder_name(loft.shop, session, "ab" * 8) == "key " + "ab" * 8
