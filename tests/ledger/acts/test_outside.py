"""A shop that was put back as it was is found out by whoever worked with it since."""

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.acts import outside
from ledger.acts.heads import sign_head
from ledger.acts.layout import EVIDENCE
from ledger.acts.shop import Shop, open_shop
from ledger.acts.signing import log_key
from ledger.audit import audit
from ledger.audit.lately import lately
from ledger.errors import TamperError
from ledger.log import seen
from ledger.log.checkpoint import NoteKey, parse_checkpoint, parse_note, sign_note
from tests import skerrymoor
from tests.ledger.audit.tampering import rechained, records_of, refit
from tests.skerrymoor import Loft


@pytest.fixture
def account(tmp_path: Path) -> Path:
    """Give the folder in which an account keeps what it saw."""
    return tmp_path / "account"


@pytest.fixture
def kept(loft: Loft, account: Path) -> Loft:
    """Give a shop whose account remembers what it saw."""
    loft.shop = replace(loft.shop, state=account)
    return loft


@pytest.fixture
def put_back(kept: Loft, tmp_path: Path) -> Iterator[Loft]:
    """Give that shop after three entries and a signed head, put back as it was."""
    older = tmp_path / "older"
    sign_head(kept.shop)
    kept.shop.store.close()
    shutil.copytree(kept.shop.folder, older)
    for name in ("Tidewarden", "Nightferry", "Slipway"):
        kept.model(name)
    sign_head(kept.shop)
    shop = again(kept, older)
    yield replace(kept, shop=shop)
    shop.close()


def again(loft: Loft, folder: Path) -> Shop:
    """Open a folder as another command of the same account does."""
    shop = loft.shop
    return open_shop(folder, now=shop.now, entropy=shop.entropy, state=shop.state)


def gap_of(loft: Loft) -> outside.Gap | None:
    """Return what the account finds missing."""
    return outside.find_gap(loft.shop.store, loft.shop.folder, loft.shop.state)


def remembered(loft: Loft) -> seen.Seen:
    """Return what the account remembers of the log."""
    assert loft.shop.state is not None
    return seen.read(loft.shop.state, loft.shop.standing().origin)


def test_whatever_is_signed_is_remembered_outside_of_the_shop(kept: Loft) -> None:
    """The newest head, with the key that signed it; nothing of it in the folder."""
    sign_head(kept.shop)
    kept.model()
    note = sign_head(kept.shop)
    newest = remembered(kept).newest

    assert newest is not None and newest.note == note
    assert newest.head == parse_checkpoint(parse_note(note))
    assert newest.day == "2026-01-05"
    assert gap_of(kept) is None


def test_an_older_copy_in_its_place_is_told_with_all_numbers(put_back: Loft) -> None:
    """Where it ends, what is proven, and how many are missing."""
    size = put_back.shop.store.head().size
    told = str(gap_of(put_back))

    assert told == (
        f"this ledger ends at {size}; a checkpoint of Monday 2026-01-05, kept in this "
        f"account on this machine, proves {size + 3} existed: 3 entries are missing"
    )


def test_nothing_is_said_and_no_head_is_signed_on_it(put_back: Loft) -> None:
    """The refusal says what to do; what is there can be read."""
    shop = put_back.shop
    before = shop.store.head(), list(shop.store.checkpoints())
    for act in (put_back.model, put_back.supplier, lambda: sign_head(shop)):
        with pytest.raises(TamperError, match="3 entries are missing; nothing is rec"):
            act()

    assert (shop.store.head(), list(shop.store.checkpoints())) == before
    assert shop.standing().name == skerrymoor.NAME


def test_no_number_is_given_again(put_back: Loft, account: Path) -> None:
    """Neither a serial nor a certificate's: paper may bear them already."""
    blind = replace(put_back, shop=replace(put_back.shop, state=None))
    blind.model()
    serial = blind.begin()
    seeing = replace(put_back, shop=replace(put_back.shop, state=account))

    with pytest.raises(TamperError, match="nothing is recorded on it"):
        seeing.begin()
    with pytest.raises(TamperError, match="nothing is recorded on it"):
        seeing.issue(serial)


def test_what_is_gone_is_not_forgotten_by_looking(put_back: Loft) -> None:
    """Nothing is learnt from the older copy, however often it is opened."""
    before = remembered(put_back)
    shop = put_back.shop
    outside.learn(shop.store, shop.folder, shop.state)

    assert remembered(put_back) == before
    assert gap_of(put_back) is not None


def test_it_goes_on_where_the_entries_are_back(put_back: Loft, kept: Loft) -> None:
    """Another copy that holds them: nothing has to be cleared away."""
    whole = again(kept, kept.shop.folder)

    assert outside.find_gap(whole.store, whole.folder, whole.state) is None
    replace(put_back, shop=whole).model("Fairlead")
    whole.close()


def test_another_history_of_the_same_length_is_told(kept: Loft) -> None:
    """Entries written anew, with everything beside them made to fit."""
    kept.model("Tidewarden")
    sign_head(kept.shop)
    records = records_of(kept)
    changed = records[-1].replace(b"Tidewarden", b"Tidewarder")
    refit(kept, rechained(records, len(records) - 1, changed))
    gap = outside.find_gap(kept.shop.store, kept.shop.folder, kept.shop.state)

    # Though its own note stands in the table still.
    assert gap is not None and str(gap).startswith("this ledger holds another history")
    causes = {finding.cause for finding in audit(kept.shop, level="tree").findings}
    assert "checkpoint" in causes


def test_an_audit_and_a_look_find_it_too(put_back: Loft) -> None:
    """With its cause, and the sentence as it is told at the bench."""
    told = str(gap_of(put_back))
    report, look = audit(put_back.shop), lately(put_back.shop, put_back.clock())

    assert not report and look.is_whole is False
    for found in (report.findings, look.findings):
        assert [(each.cause, each.detail) for each in found] == [("missing", told)]
    assert audit(replace(put_back.shop, state=None))


def test_a_note_held_against_the_log_stays_with_it(put_back: Loft, kept: Loft) -> None:
    """For every account: it lies in the shop's folder as well."""
    note = sign_head(kept.shop)
    shop = replace(put_back.shop, state=None)
    gap = outside.hold_against(shop.store, shop.folder, None, note, "2026-01-09")
    found = outside.find_gap(shop.store, shop.folder, None)

    assert gap is not None and gap.missing == 3
    assert "Friday 2026-01-09, kept in evidence in the shop's folder" in str(found)
    with pytest.raises(TamperError, match="3 entries are missing"):
        replace(put_back, shop=shop).model()
    outside.hold_against(shop.store, shop.folder, None, note, "2026-01-10")
    assert len(list((shop.folder / EVIDENCE).iterdir())) == 1


def test_a_note_that_another_key_signed_accuses_nobody(kept: Loft) -> None:
    """And neither does one that the log holds, nor a file that is no note."""
    shop = kept.shop
    note = sign_head(shop)
    forged = f"{shop.standing().origin}\n999\n{note.splitlines()[2]}\n"
    name = shop.standing().origin
    other = sign_note(forged, name=name, secret=kept.keys["01"])
    held = [
        outside.hold_against(shop.store, shop.folder, shop.state, each, "2026-01-09")
        for each in (other, note, "nothing")
    ]
    (shop.folder / EVIDENCE).mkdir()
    (shop.folder / EVIDENCE / "x.note").write_text(other, encoding="utf-8")
    (shop.folder / EVIDENCE / "y.note").write_bytes(b"\xff")

    assert held == [None, None, None]
    assert gap_of(kept) is None


def test_a_damaged_file_is_told_once_and_kept(kept: Loft, account: Path) -> None:
    """It is set aside, and what was seen begins anew."""
    sign_head(kept.shop)
    origin = kept.shop.standing().origin
    path = seen.place(account, origin)
    path.write_bytes(b"{")
    first, second = (outside.set_damage_aside(origin, account) for _ in range(2))
    outside.learn(kept.shop.store, kept.shop.folder, account)

    assert first is not None and "is damaged" in first and "damaged-1" in first
    assert second is None
    assert remembered(kept).newest is not None
    asked = outside.about_account(origin, account, is_signing=True)
    assert asked is not None and "damaged-1: hold a paper against the log" in asked
    assert outside.about_account(origin, account, is_signing=False) is None
    outside.settle(kept.shop.store, account)
    assert outside.about_account(origin, account, is_signing=True) is None
    assert path.with_suffix(".aside-1").read_bytes() == b"{"


def test_a_folder_that_cannot_be_written_to_stops_nobody(
    kept: Loft, tmp_path: Path
) -> None:
    """What left is not remembered then, and an audit says so."""
    (tmp_path / "file").write_text("")
    for blocked in (tmp_path / "file", tmp_path / "file" / "below"):
        kept.shop = replace(kept.shop, state=blocked)
        kept.model(f"Slipway {blocked.name}")
        sign_head(kept.shop)
        told = outside.trouble(kept.shop.store, blocked)

        assert told is not None and "not remembered in this account" in told
    assert outside.trouble(kept.shop.store, tmp_path / "account") is None
    assert outside.trouble(kept.shop.store, None) is None


def test_a_log_founded_anew_under_the_same_origin_begins_anew(kept: Loft) -> None:
    """What was remembered is set aside, and not lost."""
    sign_head(kept.shop)
    outside.begin_anew(kept.shop.state, kept.shop.standing().origin)

    assert remembered(kept) == seen.Seen()


def test_what_left_counts_while_the_log_holds_it(kept: Loft, put_back: Loft) -> None:
    """A head of entries that are gone is not the newest outside."""
    head = parse_checkpoint(parse_note(sign_head(kept.shop)))
    outside.leave(kept.shop.state, head, day="2026-01-09", how="printed")
    store, state = kept.shop.store, kept.shop.state
    left = outside.newest_left(store, state)

    assert left is not None and (left.size, left.day) == (head.size, "2026-01-09")
    assert outside.newest_left(put_back.shop.store, state) is None


def test_the_keys_of_a_log_are_those_it_was_founded_with(kept: Loft) -> None:
    """By its first entry, which no view can tell otherwise."""
    standing = kept.shop.standing()
    assert standing.log_key is not None

    assert outside.log_keys(kept.shop.store) == (
        NoteKey(standing.origin, standing.log_key),
    )


def test_it_is_found_on_each_database(loft_on_each: Loft, tmp_path: Path) -> None:
    """A head that proves more is remembered, and nothing is recorded."""
    loft = loft_on_each
    loft.shop = replace(loft.shop, state=tmp_path / "account")
    loft.model()
    note = sign_head(loft.shop)
    head = parse_checkpoint(parse_note(note))
    assert gap_of(loft) is None and head.size == loft.shop.store.head().size
    key = outside.log_keys(loft.shop.store)[0]
    beyond = sign_note(
        replace(head, size=head.size + 1).text,
        name=head.origin,
        secret=log_key(loft.shop),
    )
    signed = seen.SignedHead(key=key, note=beyond, day="2026-01-09")
    outside.see(loft.shop.state, signed)

    with pytest.raises(TamperError, match="1 entry is missing"):
        loft.model("Nightferry")


def test_an_account_that_saw_nothing_goes_on_and_the_fork_is_told(
    put_back: Loft,
) -> None:
    """What was entered on the older copy does not make up for what is missing."""
    blind = replace(put_back, shop=replace(put_back.shop, state=None))
    size = put_back.shop.store.head().size
    for name in ("Fairlead", "Bowsprit", "Capstan", "Windlass"):
        blind.model(name)
    gap = gap_of(put_back)

    assert gap is not None and gap.missing == 0
    assert str(gap).startswith(
        f"this ledger holds another history: its first {size + 3} entries are not"
    )
    with pytest.raises(TamperError, match="another history"):
        put_back.model("Nightferry")
    causes = [each.cause for each in audit(put_back.shop, level="tree").findings]
    assert causes == ["checkpoint"]
