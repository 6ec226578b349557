"""The vectors of keys gone wrong, against their own writer and against the ledger."""

from pathlib import Path

from ledger.log.authority import judge
from ledger.log.checkpoint import NoteKey, checkpoint_by, verified_checkpoint
from ledger.log.entry import Record, parse_record
from ledger.log.keys import PublicKey, SecretKey
from ledger.log.keysfile import read_keys_file, write_keys_file
from ledger.log.standing import Standing, apply
from tests.vectors.keys import make
from tests.vectors.log.sayings import KEY_ID, PUBLIC, SEEDS

FOLDER = Path(make.__file__).parent


def records() -> list[Record]:
    """Return the committed records."""
    lines = (FOLDER / "records.txt").read_bytes().split(b"\n")[:-1]
    pairs = zip(lines[::2], lines[1::2], strict=True)
    return [parse_record(entry + b"\n" + said + b"\n") for entry, said in pairs]


def folded() -> Standing:
    """Judge the committed records one after the other, and fold them."""
    standing = Standing()
    for record in records():
        assert judge(standing, record), record.entry.kind
        apply(standing, record.entry.index, record.entry.event, record.entry.key)
    return standing


def test_the_writer_still_writes_the_committed_bytes() -> None:
    """Every file is made again from the fixed seeds, byte for byte, none over."""
    made = make.vectors()

    assert {name: (FOLDER / name).read_bytes() for name in made} == made
    there = {path.name for path in FOLDER.iterdir() if path.suffix != ".py"}
    assert there - {"__pycache__"} == set(made)


def test_both_writers_agree_on_records_and_on_who_is_in_dispute() -> None:
    """Of three lots one was said before, one is affirmed, and one stays open."""
    standing, leaves = folded(), (FOLDER / "leaves").read_text().split()
    key = standing.keys[KEY_ID["lead"]]

    assert [record.leaf.hex() for record in records()] == leaves
    assert [key.is_disputed_at(index) for index in (3, 4, 5)] == [False, True, False]
    assert (key.until_index, standing.clouded_by) == (6, None)


def test_the_new_key_s_first_head_is_good_by_the_new_key_and_known_by_the_old() -> None:
    """Heads of that size and more are the new one's, older ones the old one's."""
    standing, note = folded(), (FOLDER / "first-head").read_text()
    old = NoteKey(standing.origin, PublicKey(PUBLIC["log"]))
    head = checkpoint_by(note, standing.log_keys_at)

    assert head.size == make.CHANGED + 1
    assert verified_checkpoint(note, [old]) == head
    assert old not in standing.log_keys_at(head.size)


def test_the_keys_file_is_written_byte_for_byte_and_read() -> None:
    """With the spans of both keys of the log, and what was affirmed."""
    data, read = (FOLDER / "keys.json").read_bytes(), records()
    file = read_keys_file(data)
    again = write_keys_file(
        folded(),
        lineage=[read[0].data, read[make.CHANGED].data],
        number=1,
        date="2026-01-02",
        size=len(read),
        root=file.root,
        roots=[SecretKey(SEEDS[name]) for name in make.TWO],
    )
    lead = file.key(KEY_ID["lead"])

    assert again == data
    assert lead is not None and lead.affirmed == {make.AFFIRMED}
