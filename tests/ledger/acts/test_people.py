"""People come, are trusted with work, get new keys, leave, and are forgotten."""

from pathlib import Path

import pytest

from ledger.acts import certificates, copies, people, policies
from ledger.acts.owners import owner_subject
from ledger.acts.people import Sharing
from ledger.acts.shop import Hands, Shop, open_shop
from ledger.acts.signing import card_key, find_person, person_key
from ledger.acts.suppliers import find_supplier
from ledger.audit import audit
from ledger.check import check_certificate
from ledger.errors import NotFoundError, RefusedError
from ledger.events import PersonErased
from ledger.log.vault import person_sealing_key
from ledger.views.certificates import certificate_subject
from ledger.views.people import Person, abilities
from tests.conftest import entropy_from
from tests.skerrymoor import CHEAP, LEAD, PINS, Loft

REFUSED = [
    ("02", ("01",), "enrolling somebody is for a key-administrator"),
    ("12", (), "approved by 0 of 1"),
    ("12", ("12",), "approved by 0 of 1"),
    ("12", ("02",), "approved by 0 of 1"),
]


def test_a_key_administrator_and_a_second_enrol_somebody(loft: Loft) -> None:
    """The new person signs at once what the qualification allows."""
    teresa = loft.enrol()

    assert teresa.badge == "04"
    assert loft.keys["04"].id == teresa.key
    assert audit(loft.shop).findings == ()


@pytest.mark.parametrize(("by", "approving", "said"), REFUSED)
def test_nobody_enrols_alone(
    loft: Loft, by: str, approving: tuple[str, ...], said: str
) -> None:
    """Neither a builder, nor an administrator without another who may approve."""
    size = loft.shop.store.head().size
    with pytest.raises(RefusedError, match=said):
        loft.enrol(hands=loft.hands(by, *approving))

    assert loft.shop.store.head().size == size
    with pytest.raises(NotFoundError):
        loft.person("04")


def test_a_refused_person_is_not_kept_in_the_vault(loft: Loft) -> None:
    """Neither where the enrolment is refused, nor where a qualification is."""
    known = loft.shop.vault.subjects()
    with pytest.raises(RefusedError):
        loft.enrol(hands=loft.hands("12"))

    assert loft.shop.vault.subjects() == known

    with pytest.raises(RefusedError, match="knows no 'flying': flitchbook shop policy"):
        loft.enrol(qualifications=["flying"])

    assert loft.shop.vault.subjects() == known


@pytest.mark.parametrize("badge", ["", "0 4", "04/1", "123456789", "-"])
def test_a_badge_is_a_few_letters_or_digits(loft: Loft, badge: str) -> None:
    """It is read aloud, typed and printed."""
    with pytest.raises(RefusedError, match="is no badge"):
        loft.enrol(badge=badge)


def test_a_badge_is_given_once(loft: Loft) -> None:
    """Not again while its person is here, nor when the person is gone."""
    with pytest.raises(RefusedError, match="Jakub Wolański's and is not given again"):
        loft.enrol(badge="03")
    people.erase(loft.shop, loft.person("03").subject, loft.hands("12", "01"))
    with pytest.raises(RefusedError, match="badge 03's and is not given again"):
        loft.enrol(badge="03")
    for like in ("3", "003"):
        with pytest.raises(RefusedError, match="is too like 03, badge 03's, to tell"):
            loft.enrol(badge=like)
    loft.enrol(badge="30")
    loft.enrol(badge="k7")
    with pytest.raises(RefusedError, match="not given again"):
        loft.enrol(name="Noor Rahimi", badge="K7")


@pytest.mark.parametrize(
    "name",
    [
        "",
        "   ",
        "x" * 201,
        "x" * 10_000,
        "a\nb",
        "a\x00b",
        "a\u202eb",
        "\ud800",
        "e\u0301",
    ],
)
def test_a_name_that_cannot_be_written_is_refused(loft: Loft, name: str) -> None:
    """Nothing of it is kept anywhere."""
    known = loft.shop.vault.subjects()
    with pytest.raises(RefusedError):
        loft.enrol(name=name)

    assert loft.shop.vault.subjects() == known
    assert audit(loft.shop).findings == ()


@pytest.mark.parametrize("name", ["荒川 健二", "Tadhg O'Mac Giolla-Núñez", "x" * 38])
def test_a_name_is_kept_as_it_is_written(loft: Loft, name: str) -> None:
    """In any script, with apostrophes and all."""
    loft.enrol(name=f"  {name} ")

    assert loft.person(name).badge == "04"


def test_a_lead_qualifies_others_and_nobody_qualifies_himself(loft: Loft) -> None:
    """What is granted already is refused, and what the policy does not know."""
    jakub = loft.person("03")
    people.qualify(loft.shop, jakub, ["finish", "inspect"], loft.hands())
    with loft.shop.store.reading() as session:
        held = {row.name for row in abilities(session, jakub.subject)}

    assert held == {"plates", "brace", "finish", "inspect"}
    for person, names, hands, said in (
        ("03", ["finish"], loft.hands(), "held already"),
        ("03", ["flying"], loft.hands(), "knows no 'flying'"),
        ("03", ["bind"], loft.hands("03"), "himself"),
        ("03", ["bind"], loft.hands("12"), "for a lead"),
        ("01", ["bind"], loft.hands("01"), "himself"),
    ):
        with pytest.raises(RefusedError, match=said):
            people.qualify(loft.shop, loft.person(person), names, hands)


def test_several_qualifications_are_granted_all_or_none(loft: Loft) -> None:
    """One that is refused takes the others with it."""
    with pytest.raises(RefusedError):
        people.qualify(loft.shop, loft.person("02"), ["bind", "flying"], loft.hands())

    assert loft.shop.standing().qualifications_of(loft.person("02").subject) == {
        "receive"
    }


def test_the_roots_appoint_a_lead_who_then_signs_cards(certified: Loft) -> None:
    """A lead shares the card key and the office's key, each under the new PIN."""
    shop, seun = certified.shop, certified.keys["01"]
    card = card_key(shop, certified.person("01"), LEAD.pin)
    sharing = Sharing(
        lead=seun, card=card, to=certified.keys["02"], pin=PINS["02"], stretching=CHEAP
    )
    maura = certified.person("02")
    hands = certified.hands("01", "roots")
    with pytest.raises(RefusedError, match="has no card key"):
        card_key(shop, maura, PINS["02"])
    people.appoint(shop, maura, "lead", hands, sharing=sharing)

    assert card_key(shop, maura, PINS["02"]).id == card.id
    sealing = person_sealing_key(certified.keys["02"].seed)
    assert shop.vault.open_office(sealing).public_key() == shop.vault.office_public()
    certified.model("Slipway")


@pytest.mark.parametrize("approving", [(), ("12",), ("12", "03")])
def test_without_the_roots_nobody_gets_a_role(
    loft: Loft, approving: tuple[str, ...]
) -> None:
    """Not even where the lead and the administrator agree."""
    with pytest.raises(RefusedError, match="approved by 0 of 2 roots"):
        people.appoint(
            loft.shop, loft.person("02"), "lead", loft.hands("01", *approving)
        )


def test_one_root_of_two_is_not_enough(loft: Loft) -> None:
    """The refusal says how many said yes."""
    hands = Hands(by=loft.keys["01"], approving=loft.roots[:1])
    with pytest.raises(RefusedError, match="approved by 1 of 2 roots"):
        people.appoint(loft.shop, loft.person("02"), "lead", hands)


@pytest.mark.parametrize("by", [("03",), ("12", "01")])
def test_whoever_leaves_signs_nothing_more_and_what_was_signed_stands(
    certified: Loft, by: tuple[str, ...]
) -> None:
    """The key ends, by its holder's hand or by two others."""
    people.retire(certified.shop, certified.person("03"), certified.hands(*by))
    serial = certified.begin()

    with pytest.raises(RefusedError, match="does not count"):
        certified.sign(serial, "brace")
    with pytest.raises(RefusedError, match="retired and signs nothing more"):
        person_key(certified.shop, certified.person("03"), PINS["03"])
    assert audit(certified.shop).findings == ()
    with pytest.raises(RefusedError, match="has ended already"):
        people.retire(
            certified.shop, certified.person("03"), certified.hands("12", "01")
        )


@pytest.mark.parametrize("by", [("02",), ("12",), ("02", "01")])
def test_nobody_is_sent_away_by_one_alone(loft: Loft, by: tuple[str, ...]) -> None:
    """Somebody else's key ends by an administrator and a second only."""
    with pytest.raises(RefusedError):
        people.retire(loft.shop, loft.person("03"), loft.hands(*by))


def test_a_retired_lead_signs_no_cards(certified: Loft) -> None:
    """The card key's file is gone, and one put back is not opened any more."""
    path = certified.shop.keys / f"{certified.keys['01'].id}.card.json"
    file = path.read_bytes()
    people.retire(certified.shop, certified.person("01"), certified.hands("01"))

    assert not path.exists()
    path.write_bytes(file)
    with pytest.raises(RefusedError, match="retired and signs no cards"):
        card_key(certified.shop, certified.person("01"), LEAD.pin)


def replaced(loft: Loft, badge: str, pin: str, *by: str) -> Person:
    """Give somebody a new key under a new PIN."""
    person = loft.person(badge)
    people.replace_key(loft.shop, person, pin, loft.hands(*by), stretching=CHEAP)
    return loft.person(badge)


@pytest.mark.parametrize("by", [("12", "01"), ("12", "03")])
def test_a_lost_key_is_replaced_and_signs_nothing_more(
    certified: Loft, by: tuple[str, ...]
) -> None:
    """Same person, new key: history stands, the old key's next entry does not."""
    old = certified.keys["03"]
    jakub = replaced(certified, "03", "9999", *by)
    serial = certified.begin()

    with pytest.raises(RefusedError, match="does not count"):
        certified.sign(serial, "brace")
    certified.keys["03"] = person_key(certified.shop, jakub, "9999")
    assert certified.keys["03"].id != old.id
    certified.sign(serial, "brace")
    assert audit(certified.shop).findings == ()


def test_a_lead_s_key_is_replaced_by_the_roots_only(certified: Loft) -> None:
    """And the new PIN then opens the card key again, if somebody shares it."""
    shop, lead = certified.shop, certified.person("01")
    with pytest.raises(RefusedError, match="0 of 2 roots"):
        replaced(certified, "01", "9999", "12", "01")
    card = card_key(shop, lead, LEAD.pin)
    people.replace_key(
        shop,
        lead,
        "9999",
        certified.hands("12", "roots"),
        shared_by=(certified.keys["01"], card),
        stretching=CHEAP,
    )

    assert card_key(shop, certified.person("01"), "9999").id == card.id
    assert audit(shop).findings == ()


def bytes_under(folder: Path) -> bytes:
    """Return the bytes of every file of a shop, and their names."""
    files = [path for path in folder.rglob("*") if path.is_file()]
    return b"".join(str(path).encode() + path.read_bytes() for path in files)


def spelled(name: str) -> list[bytes]:
    """Return a name as it may stand in a file."""
    escaped = name.encode("ascii", "backslashreplace")
    return [name.encode(c) for c in ("utf-8", "utf-16-le", "utf-16-be")] + [escaped]


def test_an_erased_name_is_nowhere_in_the_shop(certified: Loft) -> None:
    """Not in a file, not in a page that a database let go; every proof holds."""
    shop, name = certified.shop, "Jakub Wolański"
    jakub = certified.person("03")
    certified.document("his letter", is_personal=True, about=jakub.subject)
    paper = certificates.certificate_paper(shop, "C-2026-00001")
    keys = copies.publish_keys(shop, certified.roots[:2]).read_bytes()
    assert any(text in bytes_under(shop.folder) for text in spelled(name))
    people.erase(shop, jakub.subject, certified.hands("12", "01"))
    found = bytes_under(shop.folder)

    assert not [text for text in spelled(name) if text in found]
    assert b"his letter" not in found
    report = audit(shop)
    assert {f.cause for f in report.findings} == {"absent"}  # the letter's salt
    after = certificates.certificate_paper(shop, "C-2026-00001")
    assert jakub.subject in paper.names
    assert jakub.subject not in after.names
    assert [m.badge for m in after.event.makers] == ["02", "03"]
    assert check_certificate(paper.file.data, keys)
    keys = copies.publish_keys(shop, certified.roots[:2]).read_bytes()
    assert check_certificate(after.file.data, keys)
    with pytest.raises(NotFoundError):
        find_person(shop, "Jakub")
    assert find_person(shop, "03").is_erased


def test_an_erasing_that_was_cut_off_is_finished_at_the_next_start(
    certified: Loft,
) -> None:
    """The entry stands, the name too: whoever opens the shop next erases it."""
    shop, jakub = certified.shop, certified.person("03")
    certified.document("his letter", is_personal=True, about=jakub.subject)
    with shop.turn() as turn:
        turn.say(PersonErased(subject=jakub.subject), certified.hands("12", "01"))
    shop.close()
    again: Shop = open_shop(shop.folder, now=shop.now, entropy=entropy_from("again"))
    found = bytes_under(shop.folder)
    causes = {finding.cause for finding in audit(again).findings}
    again.close()

    assert not [text for text in spelled("Jakub Wolański") if text in found]
    assert b"his letter" not in found
    assert causes == {"absent"}
    certified.shop = again


@pytest.mark.parametrize("by", [("12",), ("02", "01"), ("03",), ("12", "12")])
def test_nobody_is_forgotten_by_one_alone(loft: Loft, by: tuple[str, ...]) -> None:
    """A refused erasing erases nothing."""
    jakub = loft.person("03")
    with pytest.raises(RefusedError):
        people.erase(loft.shop, jakub.subject, loft.hands(*by))

    assert loft.person("Jakub").subject == jakub.subject


def test_a_policy_of_the_house_is_adopted_by_a_lead(loft: Loft) -> None:
    """From the next entry on it decides who may do what."""
    policy = dict(loft.shop.standing().policy or {})
    policy |= {"version": 2, "rules": []}
    with pytest.raises(RefusedError, match="for a lead"):
        policies.adopt_policy(loft.shop, policy, loft.hands("12"))
    policies.adopt_policy(loft.shop, policy, loft.hands())

    with pytest.raises(RefusedError, match=r"entering a sawyer needs the role lead"):
        loft.supplier()
    with pytest.raises(RefusedError, match="cannot name"):
        rule = {"any_of": [{"role": "lead"}], "approvals": 0, "kinds": ["root.*"]}
        policies.adopt_policy(loft.shop, policy | {"rules": [rule]}, loft.hands())


def test_a_qualification_is_taken_back_by_a_lead(loft: Loft) -> None:
    """All that were named, or none."""
    jakub = loft.person("03")
    for names, hands, said in (
        (["plates", "finish"], loft.hands(), "is not held"),
        (["plates"], loft.hands("12"), "for a lead"),
    ):
        with pytest.raises(RefusedError, match=said):
            people.disqualify(loft.shop, jakub, names, hands)
    people.disqualify(loft.shop, jakub, ["plates", "brace"], loft.hands())

    assert loft.shop.standing().qualifications_of(jakub.subject) == frozenset()
    assert audit(loft.shop).findings == ()


@pytest.mark.parametrize("what", ["nobody", "certificate"])
def test_only_somebody_is_erased(certified: Loft, what: str) -> None:
    """The subject under which a certificate's secrets lie is no person."""
    number = "C-2026-00001"
    subject = {"nobody": "e" * 32, "certificate": certificate_subject(number)}[what]
    with pytest.raises(RefusedError, match="is no person, sawyer, owner or claimant"):
        people.erase(certified.shop, subject, certified.hands("12", "01"))

    assert certificates.certificate_paper(certified.shop, number).file.status_token


def test_a_sawyer_and_an_owner_are_erased_like_anybody(certified: Loft) -> None:
    """Both names are gone."""
    shop = certified.shop
    certified.sell("26-0001-8")
    owner = owner_subject(shop, "26-0001-8")
    sawyer = find_supplier(shop, "Ferrante").subject
    for subject in (owner, sawyer):
        people.erase(shop, subject, certified.hands("12", "01"))

        assert shop.vault.fields(subject) == ()
    assert audit(shop)
