"""An instrument changes hands by the code of its slip, once, and by nothing else."""

from datetime import timedelta

import pytest

from ledger.acts import owners, thefts, transfers
from ledger.acts.slipcodes import printed_code
from ledger.audit import audit
from ledger.errors import RefusedError
from ledger.log.vault import person_sealing_key
from ledger.views.certificates import owners_of
from tests.handed import SERIAL, handed_on, reported, slip_of
from tests.ledger.acts.test_owners import files_with
from tests.skerrymoor import Loft


def test_the_next_owner_is_entered_and_the_former_one_kept(certified: Loft) -> None:
    """Both names are sealed for the office, and the next slip is waiting."""
    certified.sell(SERIAL)
    first = slip_of(certified)
    made = handed_on(certified, first)
    vault = certified.shop.vault
    office = vault.open_office(person_sealing_key(certified.keys["01"].seed))
    with certified.shop.store.reading() as session:
        subjects = [row.subject for row in owners_of(session, SERIAL)]
    opened = [vault.get(s, owners.OWNER_NAME, office=office) for s in subjects]

    assert [each.value for each in opened if each] == [
        "Amélie Rousset",
        "Kenji Arakawa",
    ]
    assert (made.used, made.slip) == ("W-2026-00001", "W-2026-00002")
    assert slip_of(certified).number == made.slip
    assert owners.owner_subject(certified.shop, SERIAL) == subjects[1]
    assert owners.owner_subject(certified.shop, SERIAL, 1) == subjects[0]
    assert files_with(certified.shop.folder, "Kenji Arakawa") == []
    assert audit(certified.shop).findings == ()


def test_a_used_code_hands_nothing_on(certified: Loft) -> None:
    """Not the first one, and not the second after the third."""
    first = slip_of(certified)
    entry = handed_on(certified, first).entry
    with pytest.raises(
        RefusedError,
        match=f"slip W-2026-00001 was used by entry {entry.index}: slip W-2026-00002",
    ):
        handed_on(certified, first, "a thief")
    second = slip_of(certified)
    handed_on(certified, second, "Devika Nambiar")
    with pytest.raises(RefusedError, match="slip W-2026-00003 works now"):
        handed_on(certified, second, "a thief")


def test_a_code_of_another_instrument_or_of_none_is_told_as_such(
    certified: Loft,
) -> None:
    """Each has its own sentence, and none quotes a code."""
    other = certified.another()
    certified.issue(other)
    theirs = slip_of(certified, other)
    with pytest.raises(RefusedError, match="of another instrument than 26-0001-8"):
        handed_on(certified, theirs)
    nobodys = printed_code(bytes(16))
    with pytest.raises(RefusedError, match="on no slip of this shop") as refused:
        _by(certified, nobodys)
    assert nobodys[:9] not in str(refused.value)
    with pytest.raises(RefusedError, match="the code is mistyped"):
        _by(certified, printed_code(theirs.code)[:-1] + "Q")


def test_while_a_report_stands_nothing_changes_hands(certified: Loft) -> None:
    """Not even with the right code; afterwards it does."""
    first = slip_of(certified)
    reported(certified)
    with pytest.raises(RefusedError, match=r"report 1 of 2026-01-05\): contact those"):
        handed_on(certified, first)
    thefts.withdraw(
        certified.shop,
        serial=SERIAL,
        number=1,
        reason="it was at the repairer's",
        hands=certified.hands(),
    )
    assert handed_on(certified, first).used == first.number


def test_what_is_refused_leaves_nothing(certified: Loft) -> None:
    """Neither a name nor a code in the vault, and the slip still works."""
    first = slip_of(certified)
    known = certified.shop.vault.subjects()
    for name, day, badge, said in (
        ("", None, "12", "1 to 200 characters"),
        ("Kenji Arakawa", "tomorrow", "12", "no day such as"),
        ("Kenji Arakawa", "2027-01-01", "12", "still to come"),
        ("Kenji Arakawa", "2026-01-04", "12", "C-2026-00001 of 26-0001-8 was issued"),
        ("Kenji Arakawa", None, "03", "entering a change of owner needs"),
    ):
        with pytest.raises(RefusedError, match=said):
            _by(certified, printed_code(first.code), name=name, day=day, badge=badge)
        assert certified.shop.vault.subjects() == known
    assert handed_on(certified, first).used == first.number


def test_nobody_follows_an_owner_before_that_owner_came(certified: Loft) -> None:
    """The same day will do; the day before is refused."""
    certified.clock.moment += timedelta(days=10)
    certified.sell(SERIAL)
    code = printed_code(slip_of(certified).code)
    with pytest.raises(RefusedError, match=r"2026-01-14 is before 2026-01-15, when"):
        _by(certified, code, day="2026-01-14")
    _by(certified, code, day="2026-01-15")


def _by(
    loft: Loft,
    code: str,
    *,
    name: str = "Kenji Arakawa",
    day: str | None = None,
    badge: str = "12",
) -> None:
    """Ask for a change of owner by a code as it was typed."""
    transfers.transfer(
        loft.shop,
        serial=SERIAL,
        code=code,
        name=name,
        transferred_on=day,
        hands=loft.hands(badge),
    )
