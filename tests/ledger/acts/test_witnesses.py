"""The shop's side: who witnesses, what each is given, and what is kept of each."""

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from ledger.acts import leaving, outside, witnesses
from ledger.acts.copies import publish_keys
from ledger.acts.heads import sign_head
from ledger.acts.logkey import replace_log_key
from ledger.acts.shop import Shop, open_shop
from ledger.acts.signing import log_key
from ledger.acts.witnesses import Witness
from ledger.acts.witnessing import Holder, Signed, witness
from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log.checkpoint import NoteKey, parse_checkpoint, parse_note, sign_note
from ledger.log.cosignature import WitnessKey
from tests.ledger.log.witnessed import WITNESS, WITNESS_KEY
from tests.skerrymoor import Loft

HOLDER = Holder(name=WITNESS, secret=WITNESS_KEY)
NOW = datetime(2026, 1, 9, 15, tzinfo=UTC)
NAME = "harbour-notary"


@pytest.fixture
def notary(loft: Loft, tmp_path: Path) -> Witness:
    """Give a witness that the shop knows."""
    loft.shop = replace(loft.shop, state=tmp_path / "account")
    return witnesses.add(loft.shop.folder, NAME, HOLDER.key)


@pytest.fixture
def put_back(loft: Loft, notary: Witness, tmp_path: Path) -> Iterator[Shop]:
    """Give the shop as it was before two entries that the witness signed for."""
    older = tmp_path / "older"
    loft.shop.store.close()
    shutil.copytree(loft.shop.folder, older)
    loft.model()
    loft.model("Nightferry")
    witnesses.take(loft.shop, notary, reply(loft, notary, tmp_path))
    shop = loft.shop
    made = open_shop(older, now=shop.now, entropy=shop.entropy)
    yield made
    made.close()


def reply(
    loft: Loft,
    notary: Witness,
    folder: Path,
    now: datetime = NOW,
    *,
    since: int | None = None,
    whole: bool = False,
) -> str:
    """Have the head witnessed; return the reply, or the whole note as remembered."""
    given = witnesses.give(loft.shop, notary, since)
    log = outside.log_keys(loft.shop.store)[0]
    memory = folder / "memory"
    signed = witness(memory, given.text.encode(), holder=HOLDER, log=log, now=now)
    return given.note + signed.line if whole else signed.line


def test_what_is_given_begins_where_the_witness_left_off(
    loft: Loft, notary: Witness, tmp_path: Path
) -> None:
    """From nothing first; then from what it signed, with what shows it goes on."""
    first = witnesses.give(loft.shop, notary)
    taken = witnesses.take(loft.shop, notary, reply(loft, notary, tmp_path))
    loft.model()
    second = witnesses.give(loft.shop, notary)
    witnesses.take(loft.shop, notary, reply(loft, notary, tmp_path, whole=True))
    newest = witnesses.newest_cosigned(loft.shop.folder, notary)

    assert (first.old, first.path) == (0, ())
    assert (second.old, taken.head.size) == (first.head.size, first.head.size)
    assert second.path and second.head.size == first.head.size + 1
    assert newest is not None and newest.head == second.head
    assert (newest.at, newest.day) == (NOW, "2026-01-09")


def test_what_a_witness_signed_is_outside_this_machine(
    loft: Loft, notary: Witness, tmp_path: Path
) -> None:
    """For every account: it lies in the shop's folder, and the log holds it."""
    taken = witnesses.take(loft.shop, notary, reply(loft, notary, tmp_path))
    for state in (loft.shop.state, None):
        left = leaving.newest_left(replace(loft.shop, state=state))
        assert left is not None
        assert (left.size, left.day) == (taken.head.size, "2026-01-09")
        assert left.how == f"signed by witness {NAME} on"


def test_a_witness_goes_on_with_a_log_s_new_key_by_its_keys_file(
    loft: Loft, notary: Witness, tmp_path: Path
) -> None:
    """It keeps its memory; an older file, and the old key, are believed no more."""
    shop, memory = loft.shop, tmp_path / "memory"
    before = publish_keys(shop, loft.roots[:2]).read_bytes()
    witnesses.take(shop, notary, reply(loft, notary, tmp_path))
    thief, signed = log_key(shop), parse_checkpoint(parse_note(sign_head(shop)))
    replace_log_key(shop, loft.hands("01", "roots"))
    loft.model()
    keys = publish_keys(shop, loft.roots[:2]).read_bytes()
    given = witnesses.give(shop, notary).text.encode()
    new = outside.log_keys(shop.store)[0]

    def asked(data: bytes, log: NoteKey | None, keys: bytes | None) -> Signed:
        return witness(memory, data, holder=HOLDER, log=log, now=NOW, keys=keys)

    with pytest.raises(RefusedError, match="keys file, which --keys takes"):
        asked(given, new, None)
    with pytest.raises(TamperError, match="no key that is known here"):
        asked(given, None, None)
    with pytest.raises(TamperError, match="no key that is known here"):
        asked(given, None, before)
    line = asked(given, None, keys)
    assert (line.before, line.size) == (signed.size, shop.store.head().size)
    witnesses.take(shop, notary, line.line)
    loft.model("Nightferry")
    assert asked(witnesses.give(shop, notary).text.encode(), None, None).line
    with pytest.raises(RefusedError, match="does not go on from number"):
        asked(given, None, before)
    head = replace(parse_checkpoint(parse_note(sign_head(shop))), root=b"z" * 32)
    forged = sign_note(head.text, name=head.origin, secret=thief)
    with pytest.raises(TamperError, match="no key that is known here"):
        asked(f"old {head.size}\n\n{forged}".encode(), None, None)
    assert not list(memory.glob("*/fork-*"))


def test_an_older_reply_does_not_take_the_place_of_a_newer_one(
    loft: Loft, notary: Witness, tmp_path: Path
) -> None:
    """Of one size the later time counts."""
    first = reply(loft, notary, tmp_path)
    size = loft.shop.store.head().size
    later = reply(loft, notary, tmp_path, NOW + timedelta(days=1), since=size)
    for each in (later, first):
        witnesses.take(loft.shop, notary, each)
    newest = witnesses.newest_cosigned(loft.shop.folder, notary)

    assert newest is not None and newest.day == "2026-01-10"


def test_a_reply_that_is_another_s_is_not_taken(
    loft: Loft, notary: Witness, tmp_path: Path
) -> None:
    """Nor one of another log, nor a line with a byte changed."""
    line = reply(loft, notary, tmp_path)
    other = witnesses.add(
        loft.shop.folder, "cooper", WitnessKey("c.example", WITNESS_KEY.public)
    )
    with pytest.raises(TamperError, match="signed no checkpoint of this log"):
        witnesses.take(loft.shop, other, line)
    with pytest.raises(TamperError, match="did not sign this"):
        witnesses.take(loft.shop, other, sign_head(loft.shop) + line)
    with pytest.raises(TamperError):
        witnesses.take(loft.shop, notary, line.replace("A", "B"))
    with pytest.raises(TamperError, match="replies with lines"):
        witnesses.take(loft.shop, notary, "")

    assert witnesses.newest_cosigned(loft.shop.folder, notary) is None


def test_a_witness_finds_an_older_copy(
    loft: Loft, notary: Witness, put_back: Shop, tmp_path: Path
) -> None:
    """Its note speaks of what is missing; from then on nothing is recorded."""
    newest = (loft.shop.folder / "witnesses" / f"{NAME}.note").read_text()
    size = put_back.store.head().size
    with pytest.raises(RefusedError, match="this log has"):
        witnesses.give(put_back, notary, size + 2)
    with pytest.raises(TamperError, match="2 entries are missing; nothing is recorded"):
        witnesses.take(put_back, notary, newest)
    older = replace(loft, shop=put_back)
    with pytest.raises(TamperError, match="2 entries are missing"):
        older.model("Slipway")

    assert parse_checkpoint(parse_note(newest)).size == size + 2


def test_a_ledger_replaced_beside_its_witnesses_is_found(
    loft: Loft, notary: Witness, put_back: Shop
) -> None:
    """By an account that saw nothing: the notes of witnesses lie in the folder."""
    shutil.copytree(
        loft.shop.folder / "witnesses",
        put_back.folder / "witnesses",
        dirs_exist_ok=True,
    )
    gap = outside.find_gap(put_back.store, put_back.folder, None)

    assert gap is not None and gap.missing == 2
    assert "kept in witnesses in the shop's folder" in str(gap)


def test_a_witness_has_one_name_and_one_key(loft: Loft, notary: Witness) -> None:
    """The same again is nothing new."""
    folder = loft.shop.folder
    other = WitnessKey("other.example", WITNESS_KEY.public)

    assert witnesses.add(folder, NAME, HOLDER.key) == notary
    assert witnesses.known(folder) == (notary,)
    assert witnesses.named(folder, NAME) == notary
    with pytest.raises(RefusedError, match="with another key"):
        witnesses.add(folder, NAME, other)
    with pytest.raises(RefusedError, match="is known here as harbour-notary"):
        witnesses.add(folder, "notary", HOLDER.key)
    with pytest.raises(NotFoundError, match="no witness 'cooper' is known"):
        witnesses.named(folder, "cooper")
    for name in ("", "Notary", "a/b", "..", "-a", "a-", "x" * 41):
        with pytest.raises(RefusedError, match="no name for a witness"):
            witnesses.add(folder, name, other)


def test_damage_beside_the_log_is_told(
    loft: Loft, notary: Witness, tmp_path: Path
) -> None:
    """And stops nothing but what needs it."""
    witnesses.take(loft.shop, notary, reply(loft, notary, tmp_path))
    folder = loft.shop.folder / "witnesses"
    for bad in (b"", b"\xff", b"nothing", sign_head(loft.shop).encode()):
        (folder / f"{NAME}.note").write_bytes(bad)
        with pytest.raises(TamperError):
            witnesses.newest_cosigned(loft.shop.folder, notary)
    for bad in (b"", b"\xff", b"[]", b"{}", b'{"format": "flitchbook-witnesses/1"}'):
        (folder / "known.json").write_bytes(bad)
        with pytest.raises(TamperError, match="is damaged"):
            witnesses.known(loft.shop.folder)

    assert leaving.newest_left(loft.shop) is not None
    loft.model()
