"""What a look tells without a walk over everything, and how sure that is."""

import random
import sqlite3

import pytest

from ledger.acts.clock import doubt
from ledger.acts.heads import sign_head
from ledger.acts.layout import LEDGER
from ledger.audit import audit, lately
from ledger.audit.audited import AUDITS, note_audit
from ledger.audit.lately import Lately
from ledger.events import CorrectionMade, TagPrinted, codec
from ledger.log import merkle
from ledger.log.entry import parse_record
from tests.ledger.audit.tampering import (
    appended,
    behind_the_guards,
    by_roots,
    index_of,
    rechained,
    records_of,
    refit,
    resealed,
)
from tests.ledger.audit.test_tree import shortened
from tests.skerrymoor import Loft

SAMPLE = 20


def look(loft: Loft) -> Lately:
    """Look at a shop as it is."""
    return lately.lately(loft.shop, loft.clock())


def audited(loft: Loft) -> None:
    """Audit a shop, and keep that it was."""
    note_audit(loft.shop, audit(loft.shop), loft.clock())


def doubted(loft: Loft) -> int:
    """Doubt a day of the clock, approved by two; return the entry."""
    since, until = "2020-01-01T00:00:00Z", "2020-01-02T00:00:00Z"
    hands = loft.hands("01", "12")
    return doubt(loft.shop, since=since, until=until, hands=hands).index


def causes(told: Lately) -> list[str]:
    """Return the causes of what was found."""
    return [found.cause for found in told.findings]


def test_nobody_knows_before_the_first_audit(certified: Loft) -> None:
    """Even where all that there is was read again: views and files were not."""
    told = look(certified)

    assert (told.is_whole, told.audited, told.findings) == (None, None, ())
    assert (told.read, told.unread) == (told.size, 0)
    assert told.root == certified.shop.store.head().root.hex()


def test_after_an_audit_what_came_since_is_read(certified: Loft) -> None:
    """All of it, and nothing of what was audited."""
    audited(certified)
    certified.model("Slipway 1")
    certified.model("Slipway 2")

    told = look(certified)

    assert told.is_whole is True
    assert told.audited is not None
    assert (told.audited.size, told.read, told.unread) == (told.size - 2, 2, 0)


def test_what_is_too_much_to_read_at_once_is_said_to_be_unread(
    certified: Loft, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The newest are read, and the answer is that nobody knows."""
    audited(certified)
    for n in range(5):
        certified.model(f"Slipway {n}")
    monkeypatch.setattr(lately, "AT_ONCE", 3)

    told = look(certified)

    assert (told.is_whole, told.read, told.unread) == (None, 3, 2)
    assert told.findings == ()


@pytest.mark.parametrize("start", range(0, 33, 4))
def test_a_walk_goes_on_wherever_another_ended(
    certified: Loft, start: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the same standing, edge and chain as if it had begun at the beginning."""
    size = certified.shop.store.head().size
    monkeypatch.setattr(lately, "AT_ONCE", size - start)

    told = look(certified)

    assert (told.read, told.unread, told.findings) == (size - start, start, ())


def test_a_changed_byte_in_what_came_since_is_found(certified: Loft) -> None:
    """Whatever else was made to fit."""
    audited(certified)
    for n in range(3):
        certified.model(f"Slipway {n}")
    records = records_of(certified)
    chance = random.Random(20)  # noqa: S311 (which bytes to change, nothing secret)
    for _ in range(SAMPLE):
        index = len(records) - chance.randint(1, 3)
        data = bytearray(records[index])
        place, bit = chance.randrange(len(data)), chance.randrange(8)
        data[place] ^= 1 << bit
        refit(certified, rechained(records, index, bytes(data)))

        told = look(certified)

        assert told.is_whole is False, f"bit {bit} of byte {place} of entry {index}"


def test_another_history_than_the_audited_one_is_found(certified: Loft) -> None:
    """A builder signs an old entry anew; all that follows is made to fit it."""
    audited(certified)
    records, index = records_of(certified), index_of(certified, "board.numbered/2")
    event = parse_record(records[index]).entry.event | {"mass_mg": 1}
    changed = resealed(records[index], certified.keys["02"], event=event)
    refit(certified, rechained(records, index, changed))

    told = look(certified)

    assert told.is_whole is False
    assert "outside" in causes(told)


def test_entries_that_were_audited_and_are_gone_are_missed(certified: Loft) -> None:
    """With every head that spoke of them taken away."""
    sign_head(certified.shop)
    certified.model("Slipway")
    audited(certified)
    (kept := certified.shop.folder / AUDITS).rename(aside := kept.with_suffix(".away"))
    shortened(certified, 1)
    aside.rename(kept)
    records = records_of(certified)
    refit(certified, records[:-1])

    told = look(certified)

    assert told.is_whole is False
    assert "missing" in causes(told)
    assert (told.read, told.unread) == (0, 0)


def test_a_strike_of_an_old_entry_is_judged(certified: Loft) -> None:
    """What it names stands before the walk: its hash and its signer are looked up."""
    audited(certified)
    struck = index_of(certified, "board.numbered/2")
    leaf = merkle.leaf_hash(records_of(certified)[struck]).hex()
    for by, named in (("02", leaf), ("03", leaf), ("02", "00" * 32)):
        strike = CorrectionMade(index=struck, struck=named)
        appended(certified, codec.plain(strike), certified.keys[by])

    told = look(certified)

    assert [(f.cause, f.index) for f in told.findings] == [
        ("authority", told.size - 2),
        ("struck", told.size - 1),
    ]


def test_a_tail_rewritten_behind_a_signed_head_is_found(certified: Loft) -> None:
    """By a lead, with head and leaves made to fit and the tiles left as they were."""
    audited(certified)
    for n in range(3):
        certified.model(f"Slipway {n}")
    sign_head(certified.shop)
    with behind_the_guards(certified) as connection:
        tiles = connection.execute("SELECT * FROM tile").fetchall()
    records = records_of(certified)
    event = parse_record(records[-2]).entry.event | {"instrument": "lute"}
    changed = resealed(records[-2], certified.keys["01"], event=event)
    refit(certified, rechained(records, len(records) - 2, changed))
    last = resealed(records_of(certified)[-1], certified.keys["01"])
    refit(certified, [*records_of(certified)[:-1], last])
    with behind_the_guards(certified) as connection:
        connection.execute("DELETE FROM tile")
        connection.executemany("INSERT INTO tile VALUES (?, ?, ?)", tiles)

    told = look(certified)

    assert told.is_whole is False
    assert {"tile", "checkpoint"} <= set(causes(told))


@pytest.mark.parametrize("view", ["governingentry", "doubtedtime", "onceused"])
def test_a_view_that_hides_who_may_say_what_is_found(
    certified: Loft, view: str
) -> None:
    """The look rests on it, and the audit's line has its digest."""
    doubted(certified)
    audited(certified)
    assert look(certified).is_whole is True
    with behind_the_guards(certified) as connection:
        newest = f"(SELECT max(idx) FROM {view})"  # noqa: S608 - our names
        connection.execute(f"DELETE FROM {view} WHERE idx = {newest}")  # noqa: S608

    told = look(certified)

    assert told.is_whole is False
    assert "view" in causes(told)


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM entry WHERE idx BETWEEN 5 AND 7",
        "UPDATE entry SET idx = -5 WHERE idx = 7",
    ],
)
def test_entries_that_are_gone_from_the_midst_are_missed(
    certified: Loft, statement: str
) -> None:
    """However long ago they were audited."""
    audited(certified)
    with behind_the_guards(certified) as connection:
        connection.execute(statement)

    assert "gap" in causes(look(certified))


def test_a_guard_that_is_gone_is_missed(certified: Loft) -> None:
    """As an audit misses it."""
    audited(certified)
    with sqlite3.connect(certified.shop.folder / LEDGER) as connection:
        connection.execute("DROP TRIGGER entry_guards_update")
    connection.close()

    assert causes(look(certified)) == ["guard"]


def test_what_nobody_here_understands_leaves_the_answer_open(certified: Loft) -> None:
    """After a kind that governs and is of a newer version nobody knows who may."""
    audited(certified)
    event = {"kind": "root.split/1"}
    appended(certified, by_roots(certified, event))

    told = look(certified)

    assert told.is_whole is None
    assert told.clouded_by == f"root.split/1 at {told.size - 1}"


def test_approvals_are_used_once(certified: Loft) -> None:
    """Also where the first use was audited, of an entry that does not govern."""
    said = doubted(certified)
    audited(certified)
    record = records_of(certified)[said]
    appended(certified, parse_record(record).entry.event)

    assert "authority" in causes(look(certified))


def test_a_strike_of_what_the_tree_does_not_hold_is_found(certified: Loft) -> None:
    """Somebody else's key on an old record, and a strike signed by that key."""
    audited(certified)
    struck = index_of(certified, "board.numbered/2")
    forged = resealed(records_of(certified)[struck], certified.keys["03"])
    with behind_the_guards(certified) as connection:
        connection.execute(
            "UPDATE entry SET record = ? WHERE idx = ?", (forged, struck)
        )
    strike = CorrectionMade(index=struck, struck=merkle.leaf_hash(forged).hex())
    appended(certified, codec.plain(strike), certified.keys["03"])

    assert "struck" in causes(look(certified))


def test_the_newest_head_outside_is_told(certified: Loft) -> None:
    """That of the audit, and a newer one on a paper since."""
    root = certified.shop.store.head().root.hex()
    size = certified.shop.store.head().size
    sign_head(certified.shop)
    certified.say(
        TagPrinted(serial="26-0001-8", number=1, size=size, root=root, sha256="5a" * 32)
    )
    day = certified.shop.today()
    assert look(certified).newest_outside == (size, day)
    audited(certified)

    assert look(certified).newest_outside == (size, day)
