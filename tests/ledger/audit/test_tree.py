"""Tiles, head and checkpoints beside the records, and what only an outsider knows."""

import pytest

from ledger.acts.heads import read_notes, sign_head
from ledger.acts.layout import CHECKPOINTS
from ledger.acts.signing import log_key
from ledger.audit import Outside, audit
from ledger.audit.tree import TileBuilder, note_size
from ledger.events import CertificatePrinted
from ledger.log import merkle, tables
from ledger.log.checkpoint import Checkpoint, parse_checkpoint, parse_note, sign_note
from ledger.log.tiles import grown
from tests.ledger.audit.tampering import behind_the_guards, records_of, refit
from tests.skerrymoor import Loft


def found(loft: Loft, against: Checkpoint | None = None) -> list[tuple[str, bool]]:
    """Return cause and openness of everything that an audit finds."""
    report = audit(loft.shop, against=Outside.of(against) if against else None)
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

    report = audit(loft.shop, against=Outside.of(late))

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


def test_a_note_that_this_log_never_signed_proves_nothing(loft: Loft) -> None:
    """Its root may be right, and its signature somebody else's."""
    head = signed_head(loft)
    forged = sign_note(head.text, name=head.origin, secret=loft.keys["03"])
    ours = sign_note(head.text, name=head.origin, secret=log_key(loft.shop))

    report = audit(loft.shop, against=Outside.of(head, forged))

    assert [f.cause for f in report.findings] == ["outside"]
    assert "not signed by this log" in report.findings[0].detail
    assert audit(loft.shop, against=Outside.of(head, ours)).findings == ()


@pytest.mark.parametrize("kept", [1, 10, 31])
def test_part_of_a_root_is_compared_as_far_as_it_goes(loft: Loft, kept: int) -> None:
    """Ten words are ten bytes; another tenth byte is another history."""
    head = signed_head(loft)
    start = head.root[:kept]
    other = start[:-1] + bytes([start[-1] ^ 1])
    same, differs = (Outside(size=head.size, root_start=r) for r in (start, other))

    assert audit(loft.shop, against=same).findings == ()
    assert [f.cause for f in audit(loft.shop, against=differs).findings] == ["outside"]


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

    assert found(loft) == [("kept", False), ("checkpoint", False)]


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
    assert found(loft) == [("kept", False), ("checkpoint", False)]


def test_the_report_tells_which_head_left_on_a_certificate(loft: Loft) -> None:
    """A head that was signed and kept here vouches for nothing outside."""
    number = loft.issue(loft.build())
    head = signed_head(loft)
    assert audit(loft.shop).newest_outside is None

    printed = CertificatePrinted(number=number, paper="A4", sha256="0" * 64)
    with loft.shop.turn() as turn:
        day = turn.say(printed, loft.hands("01")).at[:10]

    assert audit(loft.shop).newest_outside == (head.size, day)


@pytest.mark.parametrize("paper", ["card", "owner-card-01.pdf"])
def test_a_card_takes_no_checkpoint_out_of_the_house(loft: Loft, paper: str) -> None:
    """It has room for the leaf alone: what left is the head on the certificate."""
    number = loft.issue(loft.build())
    first = signed_head(loft)
    for on, name in (("A4", "first"), (paper, "second")):
        printed = CertificatePrinted(number=number, paper=on, sha256="0" * 64)
        with loft.shop.turn() as turn:
            turn.say(printed, loft.hands("01"))
        loft.model(name)
        signed_head(loft)

    outside = audit(loft.shop).newest_outside
    assert outside is not None
    assert outside[0] == first.size


def test_a_checkpoints_file_cut_off_in_its_last_note_is_no_change(loft: Loft) -> None:
    """Wherever the power went: the table has the note, and the file half of it."""
    signed_head(loft)
    whole = len((loft.shop.folder / CHECKPOINTS).read_bytes())
    loft.model()
    signed_head(loft)
    data = (loft.shop.folder / CHECKPOINTS).read_bytes()
    for by in range(1, len(data) - whole, 9):
        (loft.shop.folder / CHECKPOINTS).write_bytes(data[:-by])
        assert found(loft) == [], f"{by} bytes cut off"


@pytest.mark.parametrize("notes", [1, 2, 3])
def test_a_checkpoints_file_that_was_taken_away_is_found(
    loft: Loft, notes: int
) -> None:
    """The table says how many heads were signed."""
    for n in range(notes):
        signed_head(loft)
        loft.model(f"Slipway {n}")
    (loft.shop.folder / CHECKPOINTS).unlink()

    assert found(loft) == [("kept", False)]


def test_a_checkpoints_file_that_was_shortened_is_found(loft: Loft) -> None:
    """One note may be missing at its end, and no more."""
    for n in range(3):
        signed_head(loft)
        loft.model(f"Slipway {n}")
    path = loft.shop.folder / CHECKPOINTS
    path.write_text(read_notes(path.read_text())[0], encoding="utf-8")

    assert found(loft) == [("kept", False)]


def test_a_checkpoints_file_that_cannot_be_read_is_found(loft: Loft) -> None:
    """A folder of that name is no file."""
    (loft.shop.folder / CHECKPOINTS).unlink(missing_ok=True)
    (loft.shop.folder / CHECKPOINTS).mkdir()

    assert found(loft) == [("kept", False)]


def test_a_scribble_in_the_checkpoints_file_is_found(loft: Loft) -> None:
    """What ends the file is a note's beginning, or somebody wrote there."""
    signed_head(loft)
    with (loft.shop.folder / CHECKPOINTS).open("a") as file:
        file.write("\nso much for that\n")

    assert found(loft) == [("checkpoint", False)]


def test_what_is_appended_meanwhile_is_not_judged(loft_on_each: Loft) -> None:
    """The audit sees one moment: neither entries, names nor heads after it."""
    said: list[str] = []

    def meanwhile(done: int, total: int) -> None:
        if done == total and not said:
            said.append(loft_on_each.supplier("Somebody new"))
            sign_head(loft_on_each.shop)

    size = loft_on_each.shop.store.head().size
    report = audit(loft_on_each.shop, progress=meanwhile)

    assert said
    assert (report.size, report.findings) == (size, ())


def test_a_row_before_the_first_entry_is_found(loft: Loft) -> None:
    """And nothing behind it is called another for that."""
    with behind_the_guards(loft) as connection:
        connection.execute("INSERT INTO entry VALUES (-1, x'00', zeroblob(32))")

    assert found(loft) == [("gap", False)]


def test_a_missing_entry_leaves_one_gap(loft: Loft) -> None:
    """The entries after it stand where they say."""
    with behind_the_guards(loft) as connection:
        connection.execute("DELETE FROM entry WHERE idx = 5")

    assert [cause for cause, _ in found(loft)].count("gap") == 1
