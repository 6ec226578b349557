"""What a look tells without a walk over everything, and how sure that is."""

import random

import pytest

from ledger.acts.heads import sign_head
from ledger.audit import audit, lately
from ledger.audit.lately import AUDITS, Lately, note_audit
from ledger.events import CorrectionMade, codec
from ledger.log import merkle
from ledger.log.entry import parse_record
from tests.ledger.audit.tampering import (
    appended,
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
    return lately.lately(loft.shop)


def audited(loft: Loft) -> None:
    """Audit a shop, and keep that it was."""
    note_audit(loft.shop, audit(loft.shop), loft.clock())


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
