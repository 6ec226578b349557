"""The line that an audit leaves beside the log: kept, read strictly, never believed."""

import json
import sqlite3
from hashlib import sha256
from typing import Any

import pytest

from ledger.acts.copies import rebuild
from ledger.acts.heads import sign_head
from ledger.acts.layout import LEDGER
from ledger.audit import Outside, audit
from ledger.audit.audited import AUDITS, Audited, governing_digest, note_audit
from ledger.log.entry import parse_record
from tests.ledger.audit.tampering import index_of, rechained, records_of, refit
from tests.ledger.audit.test_lately import audited, causes, look
from tests.skerrymoor import Loft


def test_what_an_audit_found_is_told_until_one_finds_nothing(certified: Loft) -> None:
    """Even where what came since is sound."""
    certified.shop.folder.joinpath("checkpoints").write_text("", encoding="utf-8")
    sign_head(certified.shop)
    sound = records_of(certified)
    index = index_of(certified, "board.numbered/2")
    refit(certified, rechained(sound, index, sound[index].replace(b"mass", b"mars")))
    audited(certified)
    refit(certified, sound)

    assert look(certified).is_whole is False

    audited(certified)

    assert look(certified).is_whole is True


def test_an_audit_of_the_hashes_alone_is_kept_only_where_it_finds_something(
    certified: Loft,
) -> None:
    """It judges no signature: nobody is to rest on it."""
    note_audit(certified.shop, audit(certified.shop, level="tree"), certified.clock())

    assert not (certified.shop.folder / AUDITS).exists()


def test_where_nothing_can_be_written_nothing_is_kept(certified: Loft) -> None:
    """As on a copy that somebody else is to judge."""
    (certified.shop.folder / AUDITS).mkdir()

    audited(certified)

    assert look(certified).audited is None


def test_a_line_cut_off_leaves_nobody_sure(certified: Loft) -> None:
    """It may have said that something was changed; the next one is a line again."""
    audited(certified)
    path = certified.shop.folder / AUDITS
    with path.open("a", encoding="utf-8") as file:
        file.write('{"at": "2026')
    assert look(certified).is_whole is None

    audited(certified)

    assert look(certified).is_whole is True


@pytest.mark.parametrize(
    "said",
    [
        {"root": ""},
        {"root": "zz" * 32},
        {"governing": "5a"},
        {"size": 0},
        {"size": -7},
        {"changes": -5},
        {"outside_size": -1},
        {"outside_day": "\x1b[31m"},
        {"at": "2031-01-05T00:00:00Z"},
        {"at": "today\nwhole"},
    ],
)
def test_a_line_that_no_audit_left_says_nothing(
    certified: Loft, said: dict[str, Any]
) -> None:
    """Whoever owns the machine may write one; it has at least to be possible."""
    audited(certified)
    path = certified.shop.folder / AUDITS
    line = json.loads(path.read_text(encoding="utf-8")) | said
    path.write_text(json.dumps(line), encoding="utf-8")

    assert look(certified).audited is None


def test_a_line_without_end_is_no_line(certified: Loft) -> None:
    """However deep it is nested."""
    path = certified.shop.folder / AUDITS
    path.write_text("[" * 200_000, encoding="utf-8")

    assert look(certified).is_whole is None


def test_views_of_another_version_change_nothing(certified: Loft) -> None:
    """They are to be folded again; until then nobody knows."""
    audited(certified)
    with sqlite3.connect(certified.shop.folder / LEDGER) as connection:
        connection.execute("UPDATE viewedition SET digest = 'older'")
    connection.close()
    note_audit(certified.shop, audit(certified.shop), certified.clock())
    assert (look(certified).is_whole, causes(look(certified))) == (None, ["edition"])

    rebuild(certified.shop)

    assert look(certified).is_whole is True


def test_somebody_elses_checkpoint_is_no_change_of_ours(certified: Loft) -> None:
    """What was typed wrong, or is of another log, is told and not kept."""
    audited(certified)
    foreign = Outside(size=3, root_start=b"\x00" * 10)
    report = audit(certified.shop, against=foreign)
    assert not report
    note_audit(certified.shop, report, certified.clock())

    assert look(certified).is_whole is True


def test_the_digest_of_what_governs_is_of_that_size(certified: Loft) -> None:
    """What comes later changes nothing of it; it is that of lines by hand."""
    with certified.shop.store.reading() as session:
        first = governing_digest(session, 1)
    data = records_of(certified)[0]
    once = parse_record(data).entry.event["approvals"]["once"]
    lines = f"0 {sha256(data).hexdigest()}\n0 once {once}"

    assert first == sha256(lines.encode()).hexdigest()
    assert Audited.__dataclass_fields__.keys() >= {"governing", "root", "changes"}
