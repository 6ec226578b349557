"""A round from the first PIN to the last entry, at a pipe and at a terminal."""

import json
import shutil
from pathlib import Path

import pytest

from cli.loop_lines import LONGEST_LINE
from ledger.audit import audit
from ledger.log.entry import parse_record
from tests.cli.rounds import HOST, OTHER, SERIAL, Walk, scan
from tests.cli.terminal import at_terminal, piped

PIN = "PIN of Maura Kiely, badge 02: "
MONDAY = (
    "receive",
    "Ferrante",
    "Picea abies",
    "split billet",
    "24 sets",
    "IT",
    "none",
    "later",
    "yes",
    scan("L26-001-01.A"),
    "204 g",
    "to shelf B3",
    scan("L26-001-01.B"),
    "206",
    "shelf B3",
    scan("L26-003-01.A"),
    "206.5 g",
    "lock",
    "03",
    SERIAL,
    scan("L26-001-01"),
    "L26-002-01",
    "1",
    "did",
    "brace",
    "did",
    "done",
)


def events(walk: Walk) -> list[dict[str, object]]:
    """Return what every entry says, the oldest first."""
    shop = walk.shop()
    found = [parse_record(data).entry.event for _, data in shop.store.records()]
    shop.close()
    return found


def copied(folder: Path, template: Path) -> Path:
    """Copy a shop for a process of its own, with the PINs of everybody in a file."""
    shutil.copytree(template, folder, dirs_exist_ok=True)
    (folder / "pins").write_text("01 4711\n02 0202\n03 0303\n", encoding="ascii")
    return folder


def test_a_whole_monday_morning_is_one_round(walk: Walk) -> None:
    """A lot comes in, wood is weighed, put away and allotted, and a step is signed."""
    before = walk.size()
    said = walk.says(MONDAY)

    assert (said.code, said.err) == (0, "")
    lines = said.out.splitlines()
    assert "L26-004 Picea abies, split billet, came in on 2026-01-05" in said.out
    assert lines[10].startswith("L26-001-01.A 204 g, 428 kg/m³: normal for Picea abies")
    assert any(
        line.startswith("L26-003-01.A 206.5 g, 433 kg/m³: normal for Picea abies; ")
        and "rested 0 of 90 days; earliest 2026-04-05" in line
        for line in lines
    )
    assert (
        "round of Maura Kiely: 1 received, 3 weighed, 2 moved; the newest" in said.out
    )
    assert 'Jakub Wolański signs "I did: join the top of 26-0001-8"' in said.out
    assert lines[-1].startswith("round of Jakub Wolański: 2 allotted, 2 signed; the")
    kinds = [str(event["kind"]) for event in events(walk)[before:]]
    assert kinds == [
        "lot.received/1",
        "board.weighed/1",
        "board.moved/1",
        "board.weighed/1",
        "board.moved/1",
        "board.weighed/1",
        "board.allotted/1",
        "board.allotted/1",
        "board.allotted/1",
        "build.step-signed/2",
        "build.step-signed/2",
    ]
    shop = walk.shop()
    assert audit(shop).findings == ()
    shop.close()


def test_a_round_that_refused_something_tells_a_script(walk: Walk) -> None:
    """What came after the refusal was recorded all the same."""
    before = walk.size()
    said = walk.says(["L26-001-01.A", "900 g", "cancel", "204 g"])

    assert (said.code, said.err) == (1, "")
    assert walk.size() == before + 1


def test_each_answer_is_one_object_where_that_is_asked_for(walk: Walk) -> None:
    """A program reads which line was refused."""
    said = walk.says(["L26-001-01.A", "205 kg", "cancel"], options="--by 02 --json")
    told = [json.loads(line) for line in said.out.splitlines()]

    assert [each["refused"] for each in told] == [False, True, False, False]
    assert told[0]["said"][0].startswith("L26-001-01.A 205 g on 2026-01-05")


@pytest.mark.parametrize("name", ["02", "Maura", "maura kiely"])
def test_whoever_is_not_named_is_asked(walk: Walk, name: str) -> None:
    """By badge, or by a name or part of it."""
    said = walk.says(["somebody", name, "done"], options="")

    assert "nobody here is called 'somebody'" in said.out
    assert said.out.endswith("round of Maura Kiely: nothing recorded\n")


@pytest.mark.parametrize("idle", ["0", "2 h", "soon"])
def test_a_lock_needs_a_span_that_makes_sense(walk: Walk, idle: str) -> None:
    """A round that never locks is a shared login."""
    walk.bench.refuses(f"loop --by 02 --idle '{idle}'", idle.partition(" ")[0])


def test_a_wrong_pin_in_a_file_is_tried_once(walk: Walk) -> None:
    """A script that guesses waits like anybody else."""
    walk.bench.file("pins", "02 9999\n")
    said = walk.says(["L26-001-01.A"])

    assert said.code == 1
    assert "does not open the key of Maura Kiely" in said.err
    assert (walk.bench.folder / "shop/keys/wrong-pins.json").exists()


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("x" * (1 << 20), f"has 1048576 bytes, and the longest one has {LONGEST_LINE}"),
        ("L26-001-01.A\x1b[2J", "that line holds what no key types"),
        ("L26-001\t01", "that line holds what no key types"),
        ("\u202eL26-001-01.A", "that line holds what no key types"),
        (b"shelf \xfc", "is no text in UTF-8"),
        ("棚三番", "'棚三番' is no code, and nothing is in hand"),
        ("HTTPS://OTHER.EXAMPLE/B/L26-001-01.AP", "that label is of other.example"),
        ("HTTPSÖ--SKERRYMOOR.EXAMPLE-B-L26ß001", "typed for another keyboard"),
        (f"HTTPS://{HOST}/B/L26-001-01.A6", "the check character of L26-001-01.A"),
        ("L26-001-99", "there is no board L26-001-99"),
        ("L26-999", "there is no lot L26-999"),
        ("26-0001-9", "the check digit of 26-0001-9 is 8, not 9"),
        ("26-0009-1", "there is no instrument 26-0009-1"),
        ("D26-0099", "there is no document D26-0099"),
        ("B26-0099", "B26-0099 is of no instrument of this shop"),
        ("C-2026-00001", "C-2026-00001 is a certificate"),
        ("412 g", "nothing is in hand"),
        ("to shelf B3", "nothing is in hand"),
        ("did", "'did' is no code, and nothing is in hand"),
        ("undo", "nothing of this round is left to strike"),
    ],
)
def test_what_cannot_be_done_is_refused_in_one_sentence(
    walk: Walk, line: str | bytes, why: str
) -> None:
    """It says first that nothing was recorded, and the round goes on."""
    before = walk.size()
    said = walk.says([line, "L26-001-01.A"])
    first, shown, _ = said.out.splitlines()

    assert first.startswith("nothing was recorded: ") and why in first
    assert shown.startswith("L26-001-01.A 205 g")
    assert (said.code, said.err, walk.size()) == (1, "", before)


def test_the_next_person_signs_with_another_key(walk: Walk) -> None:
    """After `lock` nothing is said in the name of whoever went."""
    walk.answers("L26-001-01.A", "204 g", "lock", "03", "L26-001-01.B", "206 g")
    shop = walk.shop()
    records = [parse_record(data).entry for _, data in shop.store.records()][-2:]
    shop.close()

    assert len({entry.key for entry in records}) == 2


def test_after_the_lock_nothing_is_in_hand(walk: Walk) -> None:
    """Grams of the next person are not those of the board before."""
    said = walk.says(["L26-001-01.A", "lock", "03", "204 g"])

    assert "nothing was recorded: nothing is in hand" in said.out


def test_a_terminal_that_is_idle_asks_for_the_pin_again(
    tmp_path: Path, stocked_folder: Path
) -> None:
    """What was in hand and what was asked is still there afterwards."""
    copied(tmp_path, stocked_folder)
    with at_terminal(tmp_path, "--by", "02", "--idle", "1 s") as terminal:
        terminal.hears(PIN)
        terminal.types("0202\n")
        terminal.hears("Maura Kiely> ")
        terminal.types("L26-001-01.A\n")
        terminal.hears("L26-001-01.A> ")
        terminal.hears("locked after 1 s: PIN of Maura Kiely")
        terminal.hears(PIN)
        terminal.types("0202\n")
        terminal.hears("L26-001-01.A> ")
        terminal.types("204 g\n")
        terminal.hears("L26-001-01.A 204 g, 428 kg/m³")
        terminal.hears("> ")
        terminal.types("\x04")

        assert terminal.ends() == 0
        assert "round of Maura Kiely: 1 weighed" in terminal.shown
        assert "0202" not in terminal.shown


def test_somebody_else_comes_in_where_no_pin_is_typed(
    tmp_path: Path, stocked_folder: Path
) -> None:
    """Enter alone at the lock asks who is there."""
    copied(tmp_path, stocked_folder)
    with at_terminal(tmp_path, "--by", "02", "--idle", "1 s") as terminal:
        terminal.hears(PIN)
        terminal.types("0202\n")
        terminal.hears("locked after 1 s")
        terminal.hears(PIN)
        terminal.types("\n")
        terminal.hears("who is there, badge or name? ")
        terminal.types("Jakub\n")
        terminal.hears("PIN of Jakub Wolański, badge 03: ")
        terminal.types("0303\n")
        terminal.hears("Jakub Wolański> ")
        terminal.types("done\n")

        assert terminal.ends() == 0


def test_three_wrong_pins_end_the_round(tmp_path: Path, stocked_folder: Path) -> None:
    """The wait between them grows, and a scan is no PIN."""
    copied(tmp_path, stocked_folder)
    with at_terminal(tmp_path, "--by", "02") as terminal:
        terminal.hears("No checkpoint has left this machine, as far as is known here")
        terminal.hears(PIN)
        terminal.types(scan("L26-001-01.A") + "\n")
        terminal.hears("that was a scan and no PIN")
        for _ in range(2):
            terminal.hears(PIN)
            terminal.types("1111\n")
            terminal.hears("does not open the key")
        terminal.hears(PIN)
        terminal.types("1111\n")
        terminal.hears("after a wrong PIN this key waits")
        while terminal.process.poll() is None:
            terminal.types("1111\n")
            terminal.hears("\n")
            if "round is over" in terminal.shown:
                break

        assert terminal.ends() == 1
        assert "that PIN or pass-phrase does not open the key" in terminal.shown


@pytest.mark.parametrize("at_the_pin", [True, False])
def test_ctrl_c_ends_the_round_in_order(
    tmp_path: Path, stocked_folder: Path, at_the_pin: bool
) -> None:
    """Nothing is traced back, and what was answered is recorded."""
    copied(tmp_path, stocked_folder)
    with at_terminal(tmp_path, "--by", "02") as terminal:
        terminal.hears(PIN)
        if not at_the_pin:
            terminal.types("0202\n")
            terminal.hears("> ")
            terminal.types("L26-001-01.A\n")
            terminal.hears("> ")
            terminal.types("204 g\n")
            terminal.hears("normal for Picea abies")
        terminal.types("\x03")

        assert terminal.ends() == 0
        assert "ended by Ctrl-C: what was answered above is recorded" in terminal.shown
        assert "Traceback" not in terminal.shown


def test_an_idle_pipe_locks_and_goes_on_with_its_pin_file(
    tmp_path: Path, stocked_folder: Path
) -> None:
    """The key is dropped while nobody types, and opened for the next line."""
    copied(tmp_path, stocked_folder)
    options = ["--by", "02", "--idle", "1 s", "--pin-file", "pins"]
    with piped(tmp_path, options) as process:
        assert process.stdin and process.stdout
        process.stdin.write(b"L26-001-01.A\n")
        process.stdin.flush()
        assert process.stdout.readline().startswith("L26-001-01.A 205\u2009g".encode())
        assert process.stdout.readline() == b"locked after 1 s: PIN of Maura Kiely\n"
        process.stdin.write(b"204 g\n")
        process.stdin.flush()
        assert process.stdout.readline().startswith("L26-001-01.A 204\u2009g".encode())
        process.stdin.close()
        assert process.wait() == 0


@pytest.mark.parametrize("answers", [0, 1, 2, 5, 11])
def test_a_round_killed_in_the_middle_leaves_whole_entries(
    tmp_path: Path, stocked_folder: Path, answers: int
) -> None:
    """Each mass that was answered is in the log, and nothing half."""
    walk_in = copied(tmp_path, stocked_folder)
    weighings = "".join(f"L26-001-01.A\n{200_000 + n} mg\n" for n in range(400))
    with piped(walk_in, ["--by", "02", "--pin-file", "pins"]) as process:
        assert process.stdin and process.stdout
        process.stdin.write(weighings.encode())
        process.stdin.flush()
        heard = [process.stdout.readline() for _ in range(2 * answers)]
        process.kill()
        heard += process.stdout.readlines()
    told = [line for line in heard if b"normal" in line and line.endswith(b"\n")]
    shop = Walk.look(walk_in)
    entries = [parse_record(data).entry for _, data in shop.store.records()]
    masses = [e.event["mass_mg"] for e in entries if e.kind == "board.weighed/1"]
    findings = audit(shop).findings
    shop.close()

    assert findings == ()
    assert answers <= len(told) <= len(masses) <= len(told) + 1
    assert masses == [200_000 + n for n in range(len(masses))]


def test_two_builds_never_share_a_board(walk: Walk) -> None:
    """The second one is told who has it, since when, and what is ready beside it."""
    before = walk.size()
    said = walk.says([SERIAL, "L26-001-01", OTHER, "L26-001-01"], options="--by 03")
    *_, refusal, _ = said.out.splitlines()

    assert refusal.startswith(
        "nothing was used up: board L26-001-01.A is already allotted to 26-0001-8 as "
        "its top, by Jakub Wolański (badge 03) on 2026-01-05 "
    )
    assert "ready and like it: L26-001-02, L26-001-03" in refusal
    assert walk.size() == before + 2
