"""flitchbook record whole: at once, with what it rests on, and never more than that."""

import pytest

from tests.cli.bench import Bench


def test_before_an_audit_nobody_knows(bench: Bench) -> None:
    """What there is was read again; views and files were not. That is no refusal."""
    said = bench.does("record whole").splitlines()
    told = bench.data("record whole")

    assert said[0].startswith(f"not known: {told['size']} entries, root ")
    assert said[1].startswith(f"No audit is known here of {told['size']}; the records")
    assert said[2].startswith("Not judged here: what is shown, files, the vault")
    assert said[-1].startswith("No backup is known here")
    assert (told["whole"], told["audited"]) == (None, None)
    assert (told["read_now"], told["unread"]) == (told["size"], 0)


def test_after_an_audit_it_is_whole_with_what_came_since(bench: Bench) -> None:
    """The day of the audit, and how many entries were read since."""
    size = bench.data("record audit")["size"]
    bench.does("record backup copies")
    assert (
        bench.does("record whole")
        .splitlines()[1]
        .startswith(f"By this folder's own note all of {size} entries were audited on ")
    )

    bench.does("build begin Tidewarden --by 01")

    said = bench.does("record whole").splitlines()
    told = bench.data("record whole")
    newer = told["size"] - size
    assert said[0].startswith("whole as far as was read: ")
    assert said[2] == f"{newer} came since; the records of all were read again now."
    since = f"{newer} entr{'y' if newer == 1 else 'ies'} since in none."
    assert said[-1].endswith(f"{since} No copy is known on another disk.")
    assert (told["whole"], told["answer"]) == (True, "whole as far as was read")
    assert told["audited"]["size"] == size
    assert (told["read_now"], told["unread"]) == (newer, 0)


def test_what_was_changed_since_is_told_first(bench: Bench) -> None:
    """The exit is 1, and the finding names its entry."""
    ledger = bench.folder / "shop" / "ledger.sqlite3"
    data = ledger.read_bytes()
    # In the record: the view beside it is an audit's to judge.
    changed = data.replace(b'"species":"Picea abies"', b'"species":"Picea abiez"')
    ledger.write_bytes(changed)

    said = bench.run("record whole")

    assert changed != data

    assert (said.code, said.out[:8]) == (1, "CHANGED:")
    assert "  entry " in said.out
    assert bench.run("record whole --json").code == 1


def test_an_audit_that_found_changes_is_told(bench: Bench) -> None:
    """Also after somebody put the changed byte back: only an audit says it is gone."""
    ledger = bench.folder / "shop" / "ledger.sqlite3"
    data = ledger.read_bytes()
    ledger.write_bytes(data.replace(b"Picea abies", b"Picea abiez", 1))
    assert bench.run("record audit").code == 1
    ledger.write_bytes(data)

    said = bench.run("record whole")

    assert said.code == 1
    assert f"The audit of {bench.at:%Y-%m-%d} found changes (" in said.out
    bench.does("record audit")
    assert bench.does("record whole").startswith("whole as far as was read: ")


@pytest.mark.parametrize("said", ["", "[]", "{", '{"at": 5}', "\x00", "null"])
def test_a_last_line_that_cannot_be_read_leaves_it_open(
    bench: Bench, said: str
) -> None:
    """It may have said that something was changed."""
    bench.does("record audit")
    audits = bench.folder / "shop" / "audits"
    audits.write_text(f"{audits.read_text()}{said}\n", encoding="utf-8")
    word = "not known: " if said else "whole as far as was read: "
    assert bench.does("record whole").startswith(word)


def test_an_audit_that_cannot_be_kept_says_so(bench: Bench) -> None:
    """As of a copy on a medium that takes no writing."""
    (bench.folder / "shop" / "audits").mkdir()

    said = bench.does("record audit").splitlines()

    assert said[-1].startswith("That it was audited cannot be kept in its folder")
    assert bench.does("record whole").startswith("not known: ")
