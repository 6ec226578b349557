"""flitchbook record: judged, copied and brought elsewhere, whole or not at all."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.bench import Bench


@pytest.fixture
def exported(bench: Bench) -> Bench:
    """Give a bench with an exported record beside the shop."""
    bench.does("record export copy")
    return bench


@pytest.mark.parametrize("level", ["tree", "roles", "all"])
def test_a_whole_record_is_whole(bench: Bench, level: str) -> None:
    """At every level; what rests on the shop's word alone is said each time."""
    said = bench.does(f"record audit --level {level}").splitlines()
    told = bench.data(f"record audit --level {level}")

    assert said[0].startswith(f"whole: {told['size']} entries, level {level}, root ")
    assert len(said) == 3
    assert told.keys() >= {"whole", "size", "root", "level", "findings"}
    assert told["whole"] is True and told["findings"] == []


def test_a_changed_record_is_told_first(bench: Bench) -> None:
    """The first word says it, and the exit is 1."""
    ledger = bench.folder / "shop" / "ledger.sqlite3"
    data = ledger.read_bytes()
    ledger.write_bytes(data.replace(b"Picea abies", b"Picea abiez", 1))
    said = bench.run("record audit")

    assert data != ledger.read_bytes()
    assert (said.code, said.out[:8]) == (1, "CHANGED:")
    assert bench.run("record audit --json").code == 1


def test_a_checkpoint_is_signed_with_its_ten_words(bench: Bench) -> None:
    """To be kept elsewhere, and compared later."""
    told = bench.data("record checkpoint")
    bench.file("kept", told["checkpoint"])
    said = bench.does("record checkpoint")

    assert told.keys() == {"checkpoint", "size", "root", "file", "outside"}
    assert len(said.splitlines()[-1].split()) == 10
    bench.does("build begin Tidewarden --by 01")
    assert "Compared with a checkpoint of " in bench.does("record audit --against kept")


def test_an_older_shop_put_in_its_place_is_seen(bench: Bench) -> None:
    """The kept checkpoint speaks of entries that are not there."""
    shutil.copytree("shop", "older")
    bench.does("build begin Tidewarden --by 01")
    bench.file("kept", bench.data("record checkpoint")["checkpoint"])
    said = bench.run("record audit --shop older --against kept")

    assert (said.code, said.out[:8]) == (1, "CHANGED:")


def test_the_words_of_a_tag_are_compared(bench: Bench) -> None:
    """Typed off the paper: of this history, of another, and beyond the end."""
    told = bench.data("record checkpoint")
    words = " ".join(bench.does("record checkpoint").splitlines()[-1].split())
    typed = f"{told['size']} {words}"
    swapped = f"{told['size']} zenith {' '.join(words.split()[1:])}"
    beyond = f"{told['size'] + 187} {words}"

    assert "Compared with" in bench.does(f"record audit --against '{typed}'")
    assert "outside:" in bench.run(f"record audit --against '{swapped}'").out
    assert (
        "187 entries are missing" in bench.run(f"record audit --against '{beyond}'").out
    )
    bench.refuses("record audit --against '9 acorn'", "has 10 words, and 1 are here")
    bench.refuses(f"record audit --against '{'9' * 20} x'", "is no number of entries")


def test_a_mistake_is_struck_by_an_entry(bench: Bench) -> None:
    """By whoever made it or a lead, with a reason; the struck entry stays."""
    bench.does("shop room --temperature 20C --humidity 74%RH --by 02")
    index = bench.data("shop show")["size"] - 1
    why = "--why 'misread the dial'"
    bench.refuses(f"record correct {index} {why} --by 03", "said by somebody else")
    told = bench.data(f"record correct {index} {why} --by 02")

    assert told == {"struck": index, "entry": index + 1}
    bench.refuses(f"record correct {index} {why} --by 02", "was struck by entry")
    bench.refuses(f"record correct 0 {why} --by 01", "shop.founded")
    bench.refuses(f"record correct 9999 {why} --by 01", "there is no entry 9999")


@pytest.mark.parametrize(
    ("told", "why"),
    [
        ("--why ''", "the reason has 1 to 200 characters on one line"),
        ("--why ' '", "the reason has 1 to 200 characters on one line"),
        (f"--why {'x' * 201}", "the reason has 1 to 200 characters on one line"),
        ("--why 'a\nb'", "the reason has 1 to 200 characters on one line"),
        ("--why 'a\u202eb'", "that reason cannot be written down: text holds"),
    ],
)
def test_a_mistake_is_not_struck_without_a_reason(
    bench: Bench, told: str, why: str
) -> None:
    """One line that can be read; nothing of it is kept otherwise."""
    bench.does("shop room --temperature 20C --humidity 44%RH --by 02")
    index = bench.data("shop show")["size"] - 1

    bench.refuses(f"record correct {index} {told} --by 02", why)


def test_a_number_without_end_is_no_entry(bench: Bench) -> None:
    """However many digits somebody leans on."""
    index = "9" * 400

    bench.refuses(f"record correct {index} --why slip --by 01", "there is no entry")
    assert bench.run("record correct seven --why slip --by 01").code == 2
    assert bench.run("record correct 7 --by 01").code == 2


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("none", "there is no file none: look at its name again"),
        ("shop", "shop is a folder: name a file in it"),
        ("pins", "pins holds no checkpoint"),
        ("end.png", "holds no checkpoint (it is no text): name a note, a proof, a"),
        ("''", "--against is empty: name a file, or type what a paper says"),
        ("' '", "--against is empty"),
        ("'pocket lumber'", "the words of a paper begin with its number of entries"),
    ],
)
def test_what_is_no_checkpoint_is_not_compared(
    bench: Bench, name: str, why: str
) -> None:
    """Missing, a folder, something else, nothing at all."""
    bench.file("end.png", b"\x89PNG\xff")
    bench.refuses(f"record audit --against {name}", why)


def test_a_backup_is_audited_and_opens(bench: Bench) -> None:
    """The copy is a shop of its own."""
    told = bench.data("record backup copies")

    assert told.keys() == {"folder", "size", "copies", "failed"}
    again = bench.data(f"record audit --shop {told['folder']}")
    assert (again["whole"], again["size"]) == (True, told["size"])


def test_no_backup_lies_in_the_shop_itself(bench: Bench) -> None:
    """It would be lost with what it is a copy of."""
    for folder in ("shop", "shop/copies", "shop/../shop/keys"):
        said = bench.run(f"record backup {folder}")

        assert (said.code, said.out) == (1, ""), said
        assert "lies in the shop's own folder, and would be lost with it" in said.err
    assert not (bench.folder / "shop" / "copies").exists()


def test_an_audit_says_when_the_shop_was_last_copied(bench: Bench) -> None:
    """With the copy's name and never its path, and what was entered since."""
    before = bench.does("record audit")
    bench.does("record backup copies")
    bench.does("board move L26-001-01.A --to 'shelf B' --by 03")
    told = bench.does("record audit")
    data = bench.data("record audit")["backup"]
    kept = bench.folder / "shop" / "backups"

    assert "No backup is known here: make one with flitchbook record backup" in before
    assert f"{data['size']} entries, opened and audited whole then; 1 entry si" in told
    assert (data["entries_since"], data["of_this_log"]) == (1, True)
    assert data["name"].startswith("flitchbook-2026") and "copies" not in data["name"]
    assert str(bench.folder) not in kept.read_text(encoding="utf-8")


def test_a_backup_of_another_history_is_told(bench: Bench) -> None:
    """A note that was altered, or a log that was; one that cannot be read says none."""
    bench.does("record backup copies")
    kept = bench.folder / "shop" / "backups"
    root = bench.data("record audit")["backup"]["root"]
    bench.file("shop/backups", kept.read_text("utf-8").replace(root, "5a" * 32))
    assert "HOLDS ANOTHER HISTORY" in bench.does("record audit")

    size = bench.data("record audit")["size"]
    longer = kept.read_text("utf-8").replace(f'"size": {size}', f'"size": {size + 9}')
    bench.file("shop/backups", longer)
    told = bench.does("record audit")
    assert f"HISTORY of {size + 9} entries, and this log has {size}: audit it" in told

    bench.file("shop/backups", "[]\n{}\nnothing\n")
    assert bench.data("record audit")["backup"] is None


def test_an_export_comes_back_entry_for_entry(exported: Bench) -> None:
    """Read out as plain files, and read in again elsewhere."""
    said = exported.does("record import copy --shop again")
    size = exported.data("shop show")["size"]

    assert said.startswith(f"again: {size} entries, verified.\n")
    assert exported.data("shop show --shop again") == exported.data("shop show")
    assert "badge 03" in exported.does("person list --shop again")


def test_names_go_along_only_if_asked_for(exported: Bench) -> None:
    """Without them no file of the export holds one."""
    exported.does("record export names --with-names")

    for path in Path("copy").rglob("*"):
        assert path.is_dir() or "Wolański".encode() not in path.read_bytes()
    exported.does("record import names --shop again")
    assert "Jakub Wolański" in exported.does("person list --shop again")


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("record export copy", "copy is not empty: name a new folder"),
        ("record export pins", "pins is a file: name a new folder"),
        ("record export pins/x", "pins/x cannot be read or written"),
        ("record export /proc/x", "/proc/x cannot be read or written"),
        ("record backup pins", "cannot be read or written"),
        ("record backup /proc/x", "/proc/x cannot be read or written"),
        ("record import copy", "shop is not empty: name a new folder"),
        ("record import none --shop new", "none is no exported record: none/"),
        ("record import sticks --shop new", "sticks is no exported record"),
        ("record import copy --shop pins", "pins is a file: name a new folder"),
        ("record import copy --shop /proc/x", "/proc/x cannot be read or written"),
        ("record doubt-clock --by 01 --from x --to y", "no time such as"),
        (
            "record doubt-clock --by 01 --from 2026-01-05T13:00:00Z "
            "--to 2026-01-04T13:00:00Z",
            "give the first false time first",
        ),
        (
            "record doubt-clock --by 01 --from 2026-01-04T13:00:00Z "
            "--to 2026-01-05T13:00:00Z",
            "ask a lead or a key-administrator to say yes too",
        ),
    ],
)
def test_a_copy_goes_where_nothing_is(exported: Bench, command: str, why: str) -> None:
    """Never over something, never half."""
    exported.refuses(command, why)


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("records.txt", b"Picea abies", b"Picea abiez"),
        ("records.txt", b"\n", b"\r\n"),
        ("records.txt", b"{", b"\xff"),
        ("checkpoints", b"ledger-", b"lodger-"),
        ("checkpoints", b"ledger-", b"\xff\xfe"),
    ],
)
def test_a_changed_export_is_not_imported(
    exported: Bench, name: str, old: bytes, new: bytes
) -> None:
    """It is verified before the first write."""
    path = exported.folder / "copy" / name
    data = path.read_bytes()
    path.write_bytes(data.replace(old, new, 1))

    assert path.read_bytes() != data
    exported.refuses("record import copy --shop new", "copy is n")


def test_an_export_that_was_cut_off_is_not_imported(exported: Bench) -> None:
    """The checkpoints say how much there was."""
    path = exported.folder / "copy" / "records.txt"
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(lines[:-2]))

    exported.refuses("record import copy --shop new", "copy is not imported")


def test_views_of_another_version_are_not_read(bench: Bench) -> None:
    """Until they are folded again the log is judged and carried away, and no more."""
    before = bench.does("lot show L26-001")
    with closing(sqlite3.connect("shop/ledger.sqlite3")) as connection:
        connection.execute("UPDATE viewedition SET digest = '00'")
        connection.execute("UPDATE lot SET species = 'Dalbergia nigra'")
        connection.commit()
    for command in (
        "lot show L26-001",
        "trace L26-001",
        "build begin Tidewarden --by 01",
    ):
        said = bench.run(command)
        assert (said.code, said.out) == (1, "")
        assert "folded by another version: run flitchbook record rebuild" in said.err
    judged, copied = bench.run("record audit"), bench.run("record backup copies")
    bench.does("record export copy")
    bench.does("shop show")

    assert (judged.code, judged.out[:8]) == (1, "CHANGED:")
    assert "edition: " in judged.out and "view: lot differs" in judged.out
    assert copied.code == 1 and "neither may the shop be: " in copied.err
    bench.does("record rebuild")
    assert bench.does("lot show L26-001") == before
    assert bench.does("record audit").startswith("whole: ")


def test_a_shop_of_another_version_is_copied_before_it_is_folded(bench: Bench) -> None:
    """Its rows are as they should be: nothing was changed, and nothing is called so."""
    with closing(sqlite3.connect("shop/ledger.sqlite3")) as connection:
        connection.execute("UPDATE viewedition SET digest = '00'")
        connection.commit()
    judged = bench.run("record audit")
    copied = bench.does("record backup copies")

    assert (judged.code, judged.out[:13]) == (1, "CANNOT JUDGE:")
    assert "edition: the views were folded by another version" in copied


def test_views_are_folded_again(bench: Bench) -> None:
    """What is shown is the same as before."""
    before = bench.does("lot show L26-001")
    told = bench.data("record rebuild")

    assert told == {"size": bench.data("shop show")["size"]}
    assert bench.does("lot show L26-001") == before


def test_a_false_time_is_doubted(bench: Bench) -> None:
    """A lead and a key administrator say so together."""
    told = bench.data(
        "record doubt-clock --by 01 --approve 12 --from 2026-01-05T08:00:00Z "
        "--to 2026-01-05T09:00:00Z"
    )

    assert told.keys() == {"entry"}


def test_what_a_checkpoint_printed_is_read_again(bench: Bench) -> None:
    """The note, an empty line and ten words, as they came out of the command."""
    printed = bench.does("record checkpoint")
    bench.file("own.txt", printed)
    *_, words = printed.splitlines()
    other = words.replace(words.split()[0], "zenith", 1)
    bench.file("other.txt", printed.replace(words, other))
    bench.file("short.txt", printed.replace(words, words.rpartition(" ")[0]))

    assert "Compared with" in bench.does("record audit --against own.txt")
    bench.refuses(
        "record audit --against other.txt", "the words below its note are not"
    )
    bench.refuses("record audit --against short.txt", "has 10 words, and 9 are here")


def test_a_folder_that_is_no_export_is_told_what_to_name(bench: Bench) -> None:
    """And no shop is made of it."""
    bench.refuses(
        "record import nowhere --shop new",
        "name the folder that flitchbook record export wrote",
    )
