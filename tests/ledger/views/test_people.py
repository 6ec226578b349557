"""People as they are today, by badge, with every key they ever had."""

from ledger.acts import people
from ledger.views.people import (
    Person,
    abilities,
    erased_subjects,
    people_by_key,
    subject_of_key,
)
from ledger.views.people import people as everybody
from tests.skerrymoor import CHEAP, Loft


def test_everybody_stands_there_by_badge(loft: Loft) -> None:
    """With the role or the work that each is trusted with."""
    with loft.shop.store.reading() as session:
        badges = [person.badge for person in everybody(session)]
        held = {
            person.badge: [row.name for row in abilities(session, person.subject)]
            for person in everybody(session)
        }

    assert badges == ["01", "02", "03", "10", "12"]
    assert held["01"] == ["lead", "key-administrator"]
    assert held["03"] == ["plates", "brace"]
    assert held["12"] == ["papers", "key-administrator"]


def test_an_old_key_still_tells_whose_it_was(loft: Loft) -> None:
    """A replaced key is nobody's key of today, and its subject is known."""
    old = loft.person("03")
    people.replace_key(loft.shop, old, "9999", loft.hands("12", "01"), stretching=CHEAP)
    new = loft.person("03")
    with loft.shop.store.reading() as session:
        assert subject_of_key(session, old.key) == old.subject
        assert subject_of_key(session, new.key) == old.subject
        assert subject_of_key(session, "ab" * 8) is None
        assert people_by_key(session, old.key) == []
        assert [p.badge for p in people_by_key(session, new.key)] == ["03"]


def test_who_left_and_who_is_forgotten_still_has_a_badge(loft: Loft) -> None:
    """Retired is not erased, and a new key brings a person back."""
    jakub = loft.person("03")
    people.retire(loft.shop, jakub, loft.hands("03"))
    assert (loft.person("03").is_retired, loft.person("03").is_erased) == (True, False)
    people.replace_key(
        loft.shop, jakub, "9999", loft.hands("12", "01"), stretching=CHEAP
    )
    assert not loft.person("03").is_retired
    people.erase(loft.shop, jakub.subject, loft.hands("12", "01"))

    with loft.shop.store.reading() as session:
        assert erased_subjects(session) == {jakub.subject}
        assert session.get_one(Person, jakub.subject).is_erased
