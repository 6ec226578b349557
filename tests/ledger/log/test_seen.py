"""What an account has seen is kept whole, never less, and told if it is damaged."""

import json
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log import seen
from ledger.log.seen import Left, Seen, Sighting, SignedHead
from tests.ledger.log.damage import flipped
from tests.ledger.log.witnessed import LEAVES, LOG, ORIGIN, head, note


def signed(size: int, leaves: tuple[bytes, ...] = LEAVES) -> SignedHead:
    """Return a head of the first leaves as it is kept."""
    return SignedHead(key=LOG, note=note(size, leaves), day="2026-01-09")


LEFT = Left(size=5, root=head(5).root.hex(), day="2026-01-09", how="printed")


def test_nothing_is_seen_before_anything_is(tmp_path: Path) -> None:
    """Neither without a folder nor in one."""
    assert seen.read(tmp_path / "none", ORIGIN) == Seen()
    assert seen.read(tmp_path, ORIGIN) == Seen()


def test_what_was_seen_is_read_again(tmp_path: Path) -> None:
    """The newest head, what left, and what speaks against the log."""
    other = signed(7, LEAVES[::-1])
    for change in (
        partial(Seen.with_newest, signed=signed(6)),
        partial(Seen.with_left, left=LEFT),
        partial(Seen.with_against, signed=other),
    ):
        seen.remember(tmp_path / "state", ORIGIN, change)

    known = seen.read(tmp_path / "state", ORIGIN)
    assert known == Seen(newest=signed(6), left=LEFT, against=(other,))
    assert known.heads == (signed(6), other)
    assert seen.read(tmp_path / "state", "example.org/another") == Seen()


def test_nothing_is_replaced_by_less(tmp_path: Path) -> None:
    """An older head, and an older paper, change nothing; the same twice is once."""
    full = Seen().with_newest(signed(6)).with_left(LEFT).with_against(signed(8))

    assert full.with_newest(signed(5)) == full
    assert full.with_left(replace(LEFT, size=4)) == full
    assert full.with_against(signed(8)) == full.with_against(signed(6)) == full
    assert full.with_newest(signed(7)).newest == signed(7)


def test_a_damaged_file_is_told_and_never_written_over(tmp_path: Path) -> None:
    """Whichever byte of a head changes; what it held stays where it is."""
    seen.remember(tmp_path, ORIGIN, partial(Seen.with_newest, signed=signed(6)))
    path = seen.place(tmp_path, ORIGIN)
    whole = path.read_bytes()
    for bad in list(flipped(whole))[::7]:
        path.write_bytes(bad)
        try:
            known = seen.read(tmp_path, ORIGIN)
        except LedgerError:
            with pytest.raises(LedgerError):
                seen.remember(tmp_path, ORIGIN, lambda _: Seen())
            assert path.read_bytes() == bad
        else:
            # Only the day is nobody's signature.
            assert known.newest is not None and known.newest.note == note(6)


def test_what_nobody_signed_is_remembered_by_its_size(tmp_path: Path) -> None:
    """A smaller one, and another of its size, change nothing; damage is told."""
    sighting = Sighting(head=head(6), day="2026-01-09")
    seen.remember(tmp_path, ORIGIN, partial(Seen.with_sighted, sighting=sighting))
    known = seen.read(tmp_path, ORIGIN)
    other = head(6, LEAVES[::-1])

    assert known == Seen(sighted=sighting)
    assert known.with_sighted(replace(sighting, head=head(5))) == known
    assert known.with_sighted(replace(sighting, head=other)) == known
    assert known.with_sighted(replace(sighting, head=head(7))) != known
    path = seen.place(tmp_path, ORIGIN)
    said = json.loads(path.read_bytes())
    for bad in ({"size": "6"}, {"size": 0}, {"root": "00"}, {"day": None}):
        path.write_text(json.dumps(said | {"sighted": said["sighted"] | bad}))
        with pytest.raises(TamperError, match="is damaged"):
            seen.read(tmp_path, ORIGIN)


@pytest.mark.parametrize(
    "text", ["", "[]", "null", "{}", '{"format": 1}', "[" * 9999, "\x00"]
)
def test_what_is_no_such_file_is_damage(tmp_path: Path, text: str) -> None:
    """Never a traceback."""
    seen.place(tmp_path, ORIGIN).write_text(text, encoding="utf-8")

    with pytest.raises(TamperError, match="is damaged"):
        seen.read(tmp_path, ORIGIN)


@pytest.mark.parametrize(
    "left", [{"size": "5"}, {"size": True}, {"root": "zz"}, {"how": None}, {"x": 1}]
)
def test_what_left_is_of_its_form(tmp_path: Path, left: dict[str, object]) -> None:
    """A size is a number, a root is hex, the rest is text."""
    seen.remember(tmp_path, ORIGIN, partial(Seen.with_left, left=LEFT))
    path = seen.place(tmp_path, ORIGIN)
    said = json.loads(path.read_bytes())
    said["left"] |= left
    path.write_text(json.dumps(said), encoding="utf-8")

    with pytest.raises(TamperError, match="is damaged"):
        seen.read(tmp_path, ORIGIN)


def test_a_file_of_another_log_is_not_taken_for_this_one(tmp_path: Path) -> None:
    """Whoever moves one file in another's place is told."""
    seen.remember(tmp_path, ORIGIN, partial(Seen.with_newest, signed=signed(6)))
    other = "example.org/another"
    seen.place(tmp_path, ORIGIN).rename(seen.place(tmp_path, other))

    with pytest.raises(TamperError, match="is not of the log"):
        seen.read(tmp_path, other)


def test_what_is_set_aside_is_kept(tmp_path: Path) -> None:
    """Each time under another name; nothing where nothing was."""
    assert seen.set_aside(tmp_path, ORIGIN) is None
    kept = []
    for size in (5, 6):
        seen.remember(tmp_path, ORIGIN, partial(Seen.with_newest, signed=signed(size)))
        kept.append(seen.set_aside(tmp_path, ORIGIN))

    assert seen.read(tmp_path, ORIGIN) == Seen()
    assert len({path for path in kept if path and path.exists()}) == 2


def test_a_folder_that_cannot_be_written_to_is_refused(tmp_path: Path) -> None:
    """As one sentence that names it."""
    (tmp_path / "file").write_text("")

    with pytest.raises(RefusedError, match="cannot be written to"):
        seen.remember(tmp_path / "file", ORIGIN, lambda known: known)
