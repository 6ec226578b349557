"""What the record says of a code, of a certificate since, and of a person."""

from pathlib import Path

import pytest

from ledger.acts import boards, claims, corrections, measuring, people
from ledger.acts.certificates import certificate_paper
from ledger.acts.claims import Claim, Since
from ledger.acts.heads import sign_head
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardWeighed
from tests.aftersale import FIRST, OLD_TOP, SERIAL, retopped, serviced
from tests.ledger.audit.tampering import behind_the_guards, records_of, refit
from tests.skerrymoor import CHEAP, Loft


def named(loft: Loft, code: str) -> list[Claim]:
    """Return what is said of a code."""
    with loft.shop.store.reading() as session:
        return claims.claims(loft.shop, session, code)


def of_person(
    loft: Loft, badge: str, start: str | None = None, end: str | None = None
) -> list[Claim]:
    """Return what a person signed."""
    with loft.shop.store.reading() as session:
        return claims.signed_by(
            loft.shop, session, loft.person(badge), start=start, end=end
        )


def test_every_entry_that_names_a_code_is_told(certified: Loft) -> None:
    """Its number, its weighing, its label, its place; of others nothing."""
    lot = certified.receive()
    certified.number(lot)
    first, other = f"{lot}-01.A", f"{lot}-01.B"
    shop, hands = certified.shop, certified.hands("02")
    measuring.weigh(shop, first, 204_000, hands=hands)
    boards.labels_printed(
        shop, [first, other], paper="dk-1209", sha256="5a" * 32, hands=hands
    )
    kinds = [claim.kind for claim in named(certified, first)]

    assert kinds == ["board.numbered", "board.weighed", "label.printed"]
    assert [c.kind for c in named(certified, other)] == kinds[::2]
    assert {claim.who for claim in named(certified, first)} == {"Maura Kiely"}
    assert len(named(certified, f"{lot}-01")) == 4


def test_a_strike_names_no_code_and_is_told_all_the_same(certified: Loft) -> None:
    """The struck entry says by which."""
    lot = certified.receive()
    certified.number(lot)
    hands = certified.hands("02")
    said = certified.say(BoardWeighed(board=f"{lot}-01.A", mass_mg=99_000), "02")
    strike = corrections.correct(
        certified.shop, said.index, reason="the other half", hands=hands
    )
    *_, weighed, struck = named(certified, f"{lot}-01.A")

    assert (weighed.entry, weighed.struck_by) == (said.index, strike.index)
    assert (struck.kind, struck.struck_by) == ("correction.made", None)
    assert f"struck by entry {strike.index}" in weighed.words


def test_a_code_that_only_begins_like_another_is_another(certified: Loft) -> None:
    """A half is not its set, and nothing at all is not found."""
    codes = {claim.about.split()[0] for claim in named(certified, "L26-002-01")}

    assert codes == {"L26-002-01", SERIAL}
    with pytest.raises(NotFoundError, match="no entry names L26-0"):
        named(certified, "L26-0")


def test_nothing_since_a_certificate_is_said_with_its_head(certified: Loft) -> None:
    """The head that was signed over it is in the log."""
    sign_head(certified.shop)
    found = claims.since(certified.shop, FIRST)

    assert (found.number, found.serial, found.claims) == (FIRST, SERIAL, ())
    assert found.replaced_by is None
    assert found.is_kept
    assert found.head is not None and found.head.size == found.issued.idx + 1


def test_without_a_signed_head_nothing_outside_proves_the_log(certified: Loft) -> None:
    """Then it is not said to be kept."""
    found = claims.since(certified.shop, SERIAL)

    assert (found.head, found.is_kept) == (None, False)


def test_all_that_was_said_since_is_listed(certified: Loft) -> None:
    """Of the instrument, its old wood and its new, and what struck any of it."""
    gone = serviced(certified, "polished").index
    corrections.correct(
        certified.shop, gone, reason="another one", hands=certified.hands()
    )
    retopped(certified)
    number = certified.issue(SERIAL)
    lot = certified.receive()
    certified.number(lot)
    found = claims.since(certified.shop, FIRST)
    kinds = [claim.kind for claim in found.claims]

    assert found.replaced_by == number
    assert kinds == [
        "instrument.serviced",
        "correction.made",
        "instrument.part-removed",
        "board.numbered",
        "board.numbered",
        "board.allotted",
        "board.allotted",
        "build.rework-ordered",
        "build.rework-ordered",
        "build.step-signed",
        "build.step-signed",
        "instrument.serviced",
        "certificate.issued",
    ]
    assert not [claim for claim in found.claims if str(lot) in claim.about]


def test_a_weighing_of_wood_that_left_is_told(certified: Loft) -> None:
    """Old wood that the certificate names is looked for too."""
    measured = certified.shop.store.head().size
    certified.say(BoardWeighed(board=OLD_TOP[0], mass_mg=204_000), "02")
    (claim,) = claims.since(certified.shop, FIRST).claims

    assert (claim.entry, claim.kind) == (measured, "board.weighed")


def file_of(loft: Loft, folder: Path) -> Path:
    """Write a certificate's file."""
    path = folder / "certificate.json"
    path.write_bytes(certificate_paper(loft.shop, FIRST).file.data)
    return path


def test_the_head_in_a_file_is_looked_for_in_the_log(
    certified: Loft, tmp_path: Path
) -> None:
    """It is found in this log, and in none that somebody wrote anew."""
    path = file_of(certified, tmp_path)
    found: Since = claims.since(certified.shop, str(path))
    assert (found.number, found.is_kept) == (FIRST, True)

    records = records_of(certified)
    index = next(n for n, r in enumerate(records) if b'"lot.received/' in r)
    changed = records[index].replace(b'"boards":24', b'"boards":25')
    assert changed != records[index]
    refit(certified, [*records[:index], changed, *records[index + 1 :]])

    assert not claims.since(certified.shop, str(path)).is_kept


@pytest.mark.parametrize("text", [b"{}", b"%PDF-1.7", b"V#12"])
def test_a_file_that_holds_no_certificate_is_refused(
    certified: Loft, tmp_path: Path, text: bytes
) -> None:
    """Nor one of another record."""
    path = tmp_path / "other"
    path.write_bytes(text)
    with pytest.raises(RefusedError, match="holds no certificate of this shop"):
        claims.since(certified.shop, str(path))
    with pytest.raises(NotFoundError, match="there is no certificate C-2026-00009"):
        claims.since(certified.shop, "C-2026-00009")


def test_a_persons_entries_are_listed_between_two_moments(certified: Loft) -> None:
    """Days are whole days, moments are exact; the earlier one comes first."""
    everything = of_person(certified, "03")
    third = everything[2].entered

    assert {claim.who for claim in everything} == {"Jakub Wolański"}
    assert of_person(certified, "03", "2026-01-05", "2026-01-05") == everything
    assert of_person(certified, "03", third) == everything[2:]
    assert of_person(certified, "03", end=third) == everything[:3]
    assert of_person(certified, "03", "2026-01-06") == []
    for start, end, why in (
        ("yesterday", None, "is no day such as"),
        ("2026-01-06", "2026-01-05", "2026-01-06 is after 2026-01-05"),
    ):
        with pytest.raises(RefusedError, match=why):
            of_person(certified, "03", start, end)


def test_all_of_a_persons_signatures_are_verified(certified: Loft) -> None:
    """Of a key that ended too, and of the new one beside it."""
    person = certified.person("03")
    before = len(of_person(certified, "03"))
    people.replace_key(
        certified.shop, person, "3333", certified.hands("12", "01"), stretching=CHEAP
    )
    with certified.shop.store.reading() as session:
        found = claims.signatures_of(certified.shop, session, person)

    assert (len(found.keys), found.count, found.bad) == (2, before, ())


def test_a_signature_that_was_bent_is_told(certified: Loft) -> None:
    """By its entry; and an audit says so as well."""
    index = of_person(certified, "03")[1].entry
    records = records_of(certified)
    bent = records[index][:-9] + bytes([records[index][-9] ^ 1]) + records[index][-8:]
    with behind_the_guards(certified) as connection:
        connection.execute("UPDATE entry SET record = ? WHERE idx = ?", (bent, index))
    person = certified.person("03")
    with certified.shop.store.reading() as session:
        found = claims.signatures_of(certified.shop, session, person)

    assert found.bad == (index,)
    assert audit(certified.shop).findings != ()
