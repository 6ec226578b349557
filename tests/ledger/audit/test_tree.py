"""Tiles, head and checkpoints beside the records, and what only an outsider knows."""

import pytest

from ledger.acts.heads import CHECKPOINTS, sign_head
from ledger.acts.signing import log_key
from ledger.audit import audit
from ledger.audit.tree import TileBuilder, note_size
from ledger.events import CertificatePrinted
from ledger.log import merkle, tables
from ledger.log.checkpoint import Checkpoint, parse_checkpoint, parse_note, sign_note
from ledger.log.tiles import grown
from tests.ledger.audit.tampering import behind_the_guards, records_of, refit
from tests.skerrymoor import Loft


def found(loft: Loft, against: Checkpoint | None = None) -> list[tuple[str, bool]]:
    """Return cause and openness of everything that an audit finds."""
    report = audit(loft.shop, against=against)
    return [(finding.cause, finding.is_open) for finding in report.findings]


def signed_head(loft: Loft) -> Checkpoint:
    """Sign the head of a shop, and return what was signed."""
    return parse_checkpoint(parse_note(sign_head(loft.shop)))


def forget_checkpoints(loft: Loft, size: int) -> None:
    """Take the checkpoints above a size out of the table and out of the file."""
    with behind_the_guards(loft) as connection:
        connection.execute("DELETE FROM checkpoint WHERE size > ?", (size,))
    kept = [note for _, note in loft.shop.store.checkpoints()]
    (loft.shop.folder / CHECKPOINTS).write_text("\n".join(kept), encoding="utf-8")


def shortened(loft: Loft, entries: int) -> Checkpoint:
    """Take the newest entries away, and make everything else fit.

    A head was signed before and behind them; the second one is returned.
    """
    early = signed_head(loft)
    for n in range(entries):
        loft.model(f"Slipway {n}")
    late = signed_head(loft)
    refit(loft, records_of(loft)[:-entries])
    forget_checkpoints(loft, early.size)
    return late


@pytest.mark.parametrize("size", [0, 1, 2, 255, 256, 257, 600, 256 * 256 + 257])
def test_tiles_built_beside_the_walk_are_the_ones_a_log_keeps(size: int) -> None:
    """Full ones come out as they fill, the begun ones at the end."""
    kept: dict[tuple[int, int], bytes] = {}
    built: dict[tuple[int, int], bytes] = {}
    builder = TileBuilder()
    for index in range(size):
        leaf = merkle.leaf_hash(b"%d" % index)
        for level, number, hashes in grown(index, leaf, lambda *at: kept.get(at, b"")):
            kept[level, number] = hashes
        built |= {(level, n): hashes for level, n, hashes in builder.add(leaf)}
    full = dict(built)
    built |= {(level, n): hashes for level, n, hashes in builder.rest()}

    assert built == kept
    assert all(len(hashes) == 256 * 32 for hashes in full.values())
    assert len(full) == sum(size // 256**level for level in (1, 2))


def test_nothing_in_the_shop_tells_that_its_newest_entries_were_taken_away(
    loft: Loft,
) -> None:
    """Entries, tiles, head, views and checkpoints cut off together leave no trace."""
    shortened(loft, 3)

    assert audit(loft.shop).findings == ()


def test_a_checkpoint_that_left_the_building_tells(loft: Loft) -> None:
    """It says how many entries there were, and so how many are missing."""
    late = shortened(loft, 3)

    report = audit(loft.shop, against=late)

    assert not report
    assert [f.cause for f in report.findings] == ["missing"]
    assert f"{late.size} entries existed" in report.findings[0].detail
    assert "3 entries are missing" in report.findings[0].detail


def test_a_checkpoints_file_that_was_left_behind_tells(loft: Loft) -> None:
    """Whoever cuts the database and forgets the file beside it is found out."""
    kept = loft.shop.folder / CHECKPOINTS
    signed_head(loft)
    loft.model()
    signed_head(loft)
    text = kept.read_bytes()
    refit(loft, records_of(loft)[:-1])
    forget_checkpoints(loft, loft.shop.store.head().size)
    kept.write_bytes(text)

    assert found(loft) == [("missing", False)]


def test_an_outside_checkpoint_of_this_history_is_content(loft: Loft) -> None:
    """One of any earlier size agrees, however much was said since."""
    early = signed_head(loft)
    loft.model()

    assert found(loft, early) == []


@pytest.mark.parametrize("origin", [None, "ledger-0123456789abcdef"])
def test_an_outside_checkpoint_of_another_history_tells(
    loft: Loft, origin: str | None
) -> None:
    """Another root at the same size, or the head of another log."""
    head = signed_head(loft)
    other = Checkpoint(origin=origin or head.origin, size=head.size, root=b"\x11" * 32)

    assert found(loft, other) == [("outside", False)]


def test_another_head_under_the_log_s_own_key_is_found(loft: Loft) -> None:
    """Two heads of one size that do not agree: one of them is of another history."""
    head = signed_head(loft)
    loft.model()
    other = Checkpoint(origin=head.origin, size=head.size + 1, root=b"\x22" * 32)
    note = sign_note(other.text, name=head.origin, secret=log_key(loft.shop))
    loft.shop.store.add_checkpoint(other.size, note)

    assert found(loft) == [("checkpoint", False)]


def test_a_note_that_the_log_did_not_sign_is_found(loft: Loft) -> None:
    """A true head under another's signature is no checkpoint of this log."""
    head = loft.shop.store.head()
    true = Checkpoint(
        origin=loft.shop.standing().origin, size=head.size, root=head.root
    )
    note = sign_note(true.text, name=true.origin, secret=loft.keys["01"])
    loft.shop.store.add_checkpoint(head.size, note)

    assert found(loft) == [("checkpoint", False)]


def test_a_checkpoint_under_another_size_than_it_says_is_found(loft: Loft) -> None:
    """Else the report would call a newer head signed than any that was."""
    signed_head(loft)
    with behind_the_guards(loft) as connection:
        connection.execute("UPDATE checkpoint SET size = size + 5")

    assert found(loft) == [("checkpoint", False)]


@pytest.mark.parametrize(
    ("statement", "cause"),
    [
        ("UPDATE head SET edge = zeroblob(length(edge))", "head"),
        ("UPDATE head SET size = size + 1", "head"),
        ("INSERT INTO head SELECT size + 1, root, edge FROM head", "head"),
        ("DELETE FROM head", "head"),
        ("UPDATE tile SET hashes = substr(hashes, 33)", "tile"),
        ("DELETE FROM tile", "tile"),
        ("INSERT INTO tile SELECT level, number + 1, hashes FROM tile", "tile"),
        ("UPDATE entry SET leaf = zeroblob(32) WHERE idx = 3", "leaf"),
    ],
)
def test_whatever_beside_the_records_does_not_fit_is_found(
    loft: Loft, statement: str, cause: str
) -> None:
    """Tiles, head and leaf hashes are made anew and compared, one and all."""
    with behind_the_guards(loft) as connection:
        connection.execute(statement)

    assert found(loft) == [(cause, False)]


@pytest.mark.parametrize("guard", tables.GUARDS, ids=lambda guard: guard.name)
def test_a_guard_that_is_gone_is_named(loft: Loft, guard: tables.Guard) -> None:
    """Without it the database no longer refuses one kind of change."""
    with loft.shop.store.engine.begin() as connection:
        connection.exec_driver_sql(f"DROP TRIGGER {guard.name}")

    report = audit(loft.shop)

    assert [(f.cause, guard.name in f.detail) for f in report.findings] == [
        ("guard", True)
    ]


def test_what_is_no_checkpoint_speaks_of_no_size(loft: Loft) -> None:
    """A note in the table that cannot be read is a finding, and no error."""
    loft.shop.store.add_checkpoint(1, "so much for that\n")

    assert note_size("so much for that\n") is None
    assert found(loft) == [("checkpoint", False)]


def test_the_report_tells_which_head_left_on_a_certificate(loft: Loft) -> None:
    """A head that was signed and kept here vouches for nothing outside."""
    number = loft.issue(loft.build())
    head = signed_head(loft)
    assert audit(loft.shop).newest_outside is None

    printed = CertificatePrinted(number=number, paper="A4", sha256="0" * 64)
    with loft.shop.turn() as turn:
        day = turn.say(printed, loft.hands("01")).at[:10]

    assert audit(loft.shop).newest_outside == (head.size, day)
