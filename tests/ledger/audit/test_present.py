"""What lies beside the log: views, papers, the vault, the log's key."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import clock, copies, corrections, lostnumbers, people, thefts
from ledger.acts.signing import LOG_KEY
from ledger.audit import audit
from ledger.audit.walk import ROLES, TREE
from ledger.errors import TamperError
from ledger.events import RoomMeasured
from ledger.log import keyfile
from ledger.log.database import transaction
from ledger.log.entry import parse_record
from ledger.views import fold
from tests.ledger.audit.tampering import (
    appended,
    behind_the_guards,
    changed_vault,
    index_of,
    off_the_road,
)
from tests.sentences import say_everything
from tests.skerrymoor import Loft

VIEWS = [str(view.__tablename__) for view in fold.TABLES]


def found(loft: Loft) -> list[str]:
    """Return the causes that an audit of everything names."""
    return [finding.cause for finding in audit(loft.shop).findings]


@pytest.fixture
def lively(certified: Loft) -> Loft:
    """Give a shop in which every view has a row."""
    shop, lead = certified.shop, certified.hands()
    certified.sell("26-0001-8")
    clock.doubt(
        shop,
        since="2025-01-01T00:00:00Z",
        until="2025-01-02T00:00:00Z",
        hands=certified.hands("01", "12"),
    )
    say_everything(certified)
    thefts.report(shop, serial="26-0001-8", name="A. F.", said_on=None, hands=lead)
    lostnumbers.reserve(shop, ["C-2025-00088"], lead)
    people.erase(shop, certified.person("10").subject, certified.hands("12", "01"))
    return certified


@pytest.mark.parametrize("view", VIEWS)
def test_a_row_that_is_missing_from_a_view_is_found(lively: Loft, view: str) -> None:
    """Every view is folded again and compared row by row."""
    with behind_the_guards(lively) as connection:
        first = f"(SELECT min(rowid) FROM {view})"  # noqa: S608 - our names
        gone = connection.execute(f"DELETE FROM {view} WHERE rowid = {first}")  # noqa: S608

    assert gone.rowcount == 1
    assert "view" in found(lively)


def test_audit_is_content_on_each_database(loft_on_each: Loft) -> None:
    """The same shop is whole on SQLite and on PostgreSQL, with an instrument in it."""
    serial = loft_on_each.build()
    loft_on_each.issue(serial)
    loft_on_each.sell(serial)

    assert audit(loft_on_each.shop).findings == ()


def test_a_filed_paper_that_is_gone_is_found(certified: Loft) -> None:
    """The entry says that it was there."""
    next(certified.shop.attachments.iterdir()).unlink()

    assert found(certified) == ["attachment"]


def test_a_changed_personal_paper_is_found(certified: Loft) -> None:
    """Behind its salt a paper is hashed as any other."""
    before = set(certified.shop.attachments.iterdir())
    certified.document("a letter", is_personal=True)
    (letter,) = set(certified.shop.attachments.iterdir()) - before
    letter.write_bytes(b"another letter")

    assert found(certified) == ["attachment"]


def test_a_personal_paper_without_its_salt_cannot_be_judged(certified: Loft) -> None:
    """Once the salt is forgotten nobody can say whose paper it was."""
    certified.document("a letter", is_personal=True)
    changed_vault(certified, "DELETE FROM salt")

    report = audit(certified.shop)

    assert [finding.cause for finding in report.findings] == ["absent"]
    assert report


@pytest.mark.parametrize(
    ("statement", "causes"),
    [
        ("UPDATE opening SET value = 'Benji' WHERE field = 'person.name'", 5),
        ("UPDATE opening SET value = 'Benji' WHERE field = 'supplier.name'", 1),
        ("UPDATE opening SET key = zeroblob(32) WHERE field = 'person.name'", 5),
    ],
)
def test_what_the_vault_says_is_what_was_committed_to(
    certified: Loft, statement: str, causes: int
) -> None:
    """Neither a name nor the key of its commitment can be changed unseen."""
    changed_vault(certified, statement)

    assert set(found(certified)) == {"commitment"}
    assert len(found(certified)) >= causes


def test_a_name_that_was_put_in_place_of_another_is_found(certified: Loft) -> None:
    """A row that is sound in itself is still not the one the entry speaks of."""
    person = certified.person("03")
    changed_vault(certified, "DELETE FROM opening WHERE subject = ?", person.subject)
    certified.shop.vault.put(person.subject, "person.name", "Benji", b"k" * 32)

    assert found(certified) == ["commitment"]


def struck(loft: Loft) -> None:
    """Strike an entry, and say why."""
    with loft.shop.turn() as turn:
        air = RoomMeasured(room="x", temperature_millikelvin=1, humidity_ppm=1)
        index = turn.say(air, loft.hands("03")).index
    hands = loft.hands("03")
    corrections.correct(loft.shop, index, reason="misread the dial", hands=hands)


@pytest.mark.parametrize(
    ("statement", "cause"),
    [
        ("DELETE FROM opening WHERE field = 'reason'", "absent"),
        ("UPDATE opening SET value = 'Benji' WHERE field = 'reason'", "commitment"),
        ("UPDATE opening SET key = zeroblob(32) WHERE field = 'reason'", "commitment"),
    ],
)
def test_a_reason_that_is_gone_or_another_is_missed(
    loft: Loft, statement: str, cause: str
) -> None:
    """Why something was struck is committed to, as a name is."""
    struck(loft)
    assert found(loft) == []
    changed_vault(loft, statement)

    assert found(loft) == [cause]


def test_a_reason_that_was_erased_with_its_giver_is_not_missed(loft: Loft) -> None:
    """Nor is it anywhere in the shop's folder."""
    struck(loft)
    text = b"misread the dial"
    assert any(text in data for data in files_of(loft))
    people.erase(loft.shop, loft.person("03").subject, loft.hands("12", "01"))

    assert found(loft) == []
    assert not any(text in data for data in files_of(loft))


def test_a_reason_that_was_given_for_no_entry_is_to_be_swept(loft: Loft) -> None:
    """Its giver is known, so it is looked for by what entries commit to."""
    struck(loft)
    subject = loft.person("03").subject
    loft.shop.vault.put(subject, "reason", "never said", b"k" * 32)
    report = audit(loft.shop)

    assert [finding.cause for finding in report.findings] == ["orphan"]
    assert report
    assert "flitchbook record rebuild" in report.findings[0].detail


def test_a_reason_beside_a_kind_of_a_later_version_is_no_orphan(loft: Loft) -> None:
    """Nobody here can say what it is for, and yet an entry names it."""
    subject = loft.person("03").subject
    said = loft.shop.vault.put(subject, "reason", "a later rule", b"k" * 32)
    appended(loft, {"kind": "board.sung/1", "reason_commitment": said})
    causes = found(loft)
    copies.rebuild(loft.shop)

    assert causes == ["unknown"]
    assert said in loft.shop.vault.commitments("reason")


def files_of(loft: Loft) -> list[bytes]:
    """Return the bytes of every file of a shop."""
    return [p.read_bytes() for p in loft.shop.folder.rglob("*") if p.is_file()]


def test_an_owner_whom_the_vault_lost_is_missed(certified: Loft) -> None:
    """The name is sealed, and yet it is seen whether it is there."""
    certified.sell("26-0001-8")
    changed_vault(certified, "DELETE FROM opening WHERE field = 'owner.name'")

    assert found(certified) == ["absent"]


def replace_log_key(loft: Loft) -> None:
    """Lay another key in the place of the log's."""
    other = keyfile.unsealed(loft.keys["01"], purpose="log")
    (loft.shop.keys / LOG_KEY).write_bytes(other)


@pytest.mark.parametrize(
    ("tampering", "cause"),
    [
        (replace_log_key, "custody"),
        (lambda loft: (loft.shop.keys / LOG_KEY).unlink(), "absent"),
        (lambda loft: (loft.shop.keys / LOG_KEY).chmod(0o640), "custody"),
        (lambda loft: (loft.shop.keys / LOG_KEY).write_bytes(b"rust"), "custody"),
    ],
    ids=["another", "gone", "readable", "damaged"],
)
def test_the_log_key_is_the_log_s_and_its_owner_s(
    loft: Loft, tampering: Callable[[Loft], object], cause: str
) -> None:
    """Another key, one for all to read, or rust; none is open, as in an import."""
    tampering(loft)

    assert found(loft) == [cause]


@pytest.mark.parametrize("level", [TREE, ROLES])
def test_lower_levels_leave_views_papers_and_names_alone(
    certified: Loft, level: str
) -> None:
    """They are for whoever has the log only."""
    changed_vault(certified, "DELETE FROM opening")
    with transaction(certified.shop.store.engine, writing=True) as connection:
        connection.exec_driver_sql("DELETE FROM board")

    assert audit(certified.shop, level=level).findings == ()


def test_progress_is_told_entry_by_entry(loft: Loft) -> None:
    """Whoever waits sees how many entries of how many are walked."""
    told: list[tuple[int, int]] = []
    audit(loft.shop, progress=lambda done, total: told.append((done, total)))
    size = loft.shop.store.head().size

    assert told == [(n, size) for n in range(1, size + 1)]


def again(loft: Loft, kind: str, **changes: object) -> dict[str, Any]:
    """Return what was said once, with some of it changed."""
    record = loft.shop.store.record(index_of(loft, kind))
    return parse_record(record).entry.event | changes


def number_taken(loft: Loft, name: str) -> dict[str, Any]:
    """Return an event that takes what another entry took before."""
    begun = again(loft, "build.begun/1", serial="26-0999-1")
    issued = again(loft, "certificate.issued/1", number="C-2026-00777")
    sold = again(loft, "owner.registered/1", owner="ab" * 16)
    return {
        "board": again(loft, "board.allotted/1"),
        "body": begun | {"neck": "N26-0999"},
        "neck": begun | {"body": "B26-0999"},
        "number of a certificate": again(loft, "certificate.issued/1"),
        "certificate of nothing": issued | {"serial": "99-9999-9"},
        "owner": sold,
        "board of no lot": again(
            loft, "board.numbered/2", board="L26-777-01", lot="L26-777"
        ),
        "print of nothing": {
            "kind": "certificate.printed/1",
            "number": "C-2026-00777",
            "paper": "A4",
            "sha256": "5a" * 32,
        },
    }[name]


@pytest.mark.parametrize(
    "name",
    [
        "board",
        "body",
        "neck",
        "number of a certificate",
        "certificate of nothing",
        "owner",
        "board of no lot",
        "print of nothing",
    ],
)
def test_what_was_taken_before_is_found_and_not_folded(lively: Loft, name: str) -> None:
    """A lead may have signed it: it still is no such thing, and no fold takes it."""
    event = number_taken(lively, name)
    with pytest.raises(TamperError, match="run flitchbook record audit"):
        appended(lively, event, fold=fold.fold)
    index = appended(lively, event).entry.index

    report = audit(lively.shop)

    assert [(f.index, f.cause) for f in off_the_road(report)] == [(index, "number")]
    with pytest.raises(TamperError):
        copies.rebuild(lively.shop)


def test_a_badge_is_taken_once(loft: Loft) -> None:
    """Two people under one badge could not be told apart."""
    event = again(loft, "person.enrolled/1", subject="ab" * 16)
    del event["approvals"]
    entry = parse_record(loft.shop.store.record(1)).entry
    with (
        loft.shop.store.reading() as session,
        pytest.raises(TamperError, match="person 01 was taken"),
    ):
        fold.fold(session, replace(entry, event=event, index=99))


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE document SET digest = x'00'",
        "UPDATE document SET digest = '../../../etc/passwd'",
        "DROP TABLE lot",
        "UPDATE person SET is_retired = 'x'",
        "UPDATE person SET subject = x'00' WHERE badge = '03'",
        "INSERT INTO personability VALUES (x'00', 'role', 'lead', 1)",
    ],
)
def test_a_view_that_makes_no_sense_is_a_finding_and_no_error(
    certified: Loft, statement: str
) -> None:
    """Papers and names are looked for by what the log says, not by the view."""
    with behind_the_guards(certified) as connection:
        connection.execute(statement)

    assert found(certified) == ["view"]


def test_a_note_that_is_text_is_a_finding_and_no_error(loft: Loft) -> None:
    """The check of its type can be got round by whoever owns the file."""
    with behind_the_guards(loft) as connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.execute("INSERT INTO checkpoint VALUES (5, 'text')")

    assert set(found(loft)) == {"kept", "checkpoint"}


def test_a_vault_that_makes_no_sense_is_a_finding_and_no_error(loft: Loft) -> None:
    """A subject of bytes is none, and a file of noise no vault."""
    with closing(sqlite3.connect(loft.shop.folder / "vault.sqlite3")) as connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.execute("UPDATE opening SET subject = x'00' WHERE id = 1")
        connection.commit()
    assert "commitment" in found(loft)
    (loft.shop.folder / "vault.sqlite3").write_bytes(b"noise" * 4096)

    assert "commitment" in found(loft)


def lose_a_column(connection: sqlite3.Connection) -> None:
    """Let the boards' table be that of an older edition, which knew less of a board."""
    connection.execute("UPDATE viewedition SET digest = 'older'")
    connection.execute("ALTER TABLE board DROP COLUMN place")


@pytest.mark.parametrize(
    "older",
    [
        lambda connection: connection.execute("DROP TABLE viewedition"),
        lambda connection: connection.execute("DELETE FROM viewedition"),
        lose_a_column,
    ],
    ids=["before editions", "of none", "of another"],
)
def test_views_of_an_older_edition_are_folded_again(
    lively: Loft, older: Callable[[sqlite3.Connection], object]
) -> None:
    """The answer says how they are made again, and then they are as they should be."""
    with lively.shop.store.reading() as session:
        before = list(fold.rows(session))
    with behind_the_guards(lively) as connection:
        older(connection)
        connection.execute("DROP TABLE lot")
    report = audit(lively.shop)

    assert not report
    assert [str(finding) for finding in off_the_road(report)] == [
        "the whole: edition: the views were folded by another version: flitchbook "
        "record rebuild makes them again; they were not compared"
    ]
    copies.rebuild(lively.shop)
    with lively.shop.store.reading() as session:
        assert list(fold.rows(session)) == before
    assert off_the_road(audit(lively.shop)) == []
