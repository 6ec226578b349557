"""What is exported for people and programs is what the views hold, row for row."""

import csv
import hashlib
import json
import subprocess
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from cli.record_pages import write_pages
from cli.record_words import HEADINGS
from ledger.acts import exchange, people
from ledger.acts.readable import ABOUT, FOR_OFFICE, cell, write_names, write_tables
from ledger.views import fold
from tests.handed import reported, slip_of
from tests.ledger.acts.test_copying import lock
from tests.ledger.log.keeping import folder_holds
from tests.skerrymoor import Loft


def sheet(path: Path) -> list[list[str]]:
    """Read a CSV as a spreadsheet does."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.reader(file))


def test_every_table_is_what_the_views_hold(certified: Loft, tmp_path: Path) -> None:
    """In both forms, with the columns' own names; without rows it has its heads."""
    certified.sell("26-0001-8")
    with certified.shop.store.reading() as session:
        written = write_tables(session, tmp_path / "tables", with_names=True)
        expected = defaultdict(list)
        for name, row in fold.rows(session):
            expected[name].append(row)
    columns = {table.name: list(table.c.keys()) for table in fold.tables_of_views()}

    assert [t.name for t in written] == [str(v.__tablename__) for v in fold.TABLES]
    for table in written:
        heads, *rows = sheet(tmp_path / "tables" / f"{table.name}.csv")
        lines = (tmp_path / "tables" / f"{table.name}.jsonl").read_text("utf-8")
        plain = [json.loads(line) for line in lines.splitlines()]
        assert heads == columns[table.name]
        assert rows == [[cell(v) for v in row] for row in expected[table.name]]
        assert [tuple(row.values()) for row in plain] == [
            tuple(v.hex() if isinstance(v, bytes) else v for v in row)
            for row in expected[table.name]
        ]
        assert table.rows == len(rows)
        assert table.about
    assert sum(table.rows for table in written) > 50


def test_thefts_and_slips_are_shown_only_with_the_names(
    certified: Loft, tmp_path: Path
) -> None:
    """Neither as tables nor on the instrument's page, nor where the names are sealed.

    The log tells by serial that they were, and what lies beside it says so.
    """
    slip_of(certified)
    reported(certified)
    ways: dict[str, dict[str, Any]] = {
        "bare": {},
        "sealed": {"with_names": True, "lock": lock()},
        "full": {"with_names": True},
    }
    for name, how in ways.items():
        out = tmp_path / name
        exchange.export(certified.shop, out, **how, draw=write_pages)
        tables = {path.name for path in (out / "tables").iterdir()}
        shown = (out / "instruments/26-0001-8.html").read_text(encoding="utf-8")
        index = (out / "tables.html").read_text(encoding="utf-8")
        holds = (out / "HOLDS.txt").read_text(encoding="utf-8")
        for view in ("theftreport", "transfercode"):
            is_told = name == "full"
            assert (f"{view}.csv" in tables) is (f"{view}.jsonl" in tables) is is_told
            assert (HEADINGS[view] in shown) is (view in index) is is_told
        assert ("which instruments were reported" in holds) is (name != "full")
        assert b"theft.reported" in (out / "records.txt").read_bytes()


def test_views_of_another_version_are_no_tables(loft: Loft, tmp_path: Path) -> None:
    """Nobody here can say what their columns mean; the records go all the same."""
    with loft.shop.store.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE viewedition SET digest = 'older'")
    size = exchange.export(loft.shop, tmp_path / "out", draw=write_pages)
    page = (tmp_path / "out/index.html").read_text(encoding="utf-8")

    assert size == loft.shop.store.head().size
    assert not (tmp_path / "out/tables").exists()
    assert "No tables: what is shown was folded by another version" in page


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (None, ""),
        (True, "yes"),
        (False, "no"),
        (-12, "-12"),
        ("L26-001", "L26-001"),
        ("=1+1", "'=1+1"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("-12", "'-12"),
        ("\tx", "'\tx"),
    ],
)
def test_no_cell_is_a_formula(value: object, shown: str) -> None:
    """A number may be below nought; a text that looks like one is a text."""
    assert cell(value) == shown


def test_names_are_written_with_whose_they_are(certified: Loft, tmp_path: Path) -> None:
    """An owner's and a claimant's are sealed; no token and no code is among them."""
    certified.sell("26-0001-8")
    claimant = reported(certified).claimant
    shop = certified.shop
    shop.vault.put("ab" * 16, "certificate.transfer-code", "the code", b"k" * 32)
    with shop.store.reading() as session:
        count = write_names(session, shop.vault, tmp_path / "names.csv")
    rows = sheet(tmp_path / "names.csv")
    jakub = certified.person("03").subject

    assert rows[0] == ["what", "of", "subject", "value"]
    assert ["person.name", "badge 03", jakub, "Jakub Wolański"] in rows
    assert ("owner.name", "26-0001-8", FOR_OFFICE) in [(a, b, d) for a, b, _, d in rows]
    assert ["claimant.name", "26-0001-8", claimant, FOR_OFFICE] in rows
    assert count == len(rows) - 1
    assert "the code" not in (tmp_path / "names.csv").read_text("utf-8-sig")


def test_an_erased_name_is_in_no_file_of_a_new_export(
    certified: Loft, tmp_path: Path
) -> None:
    """With names and all, and the others are there."""
    subject = certified.person("03").subject
    people.erase(certified.shop, subject, certified.hands("12", "01"))
    exchange.export(certified.shop, tmp_path / "out", with_names=True, draw=write_pages)

    assert not folder_holds(tmp_path / "out", "Wolański")
    assert folder_holds(tmp_path / "out", "Kiely")


def test_it_is_checked_by_hand_as_its_readme_says(
    certified: Loft, tmp_path: Path
) -> None:
    """The commands that need nothing but a shell, as they are printed."""
    folder = tmp_path / "out"
    exchange.export(certified.shop, folder, draw=write_pages)
    by_hand = ABOUT[ABOUT.index("To check it by hand") :].splitlines()
    summed, chained = [line.strip() for line in by_hand if line.startswith("    ")][:2]
    files = shell(summed, folder).splitlines()
    second = json.loads((folder / "records.txt").read_bytes().splitlines()[2])

    assert files and all(f"attachments/{line[:64]}" in line for line in files)
    assert shell(chained, folder)[:64] == second["previous"]


def shell(command: str, folder: Path) -> str:
    """Run a command as somebody without the program does."""
    done = subprocess.run(
        ["sh", "-ec", command], cwd=folder, capture_output=True, text=True, check=True
    )
    return done.stdout


def test_an_entry_s_signature_is_checked_by_hand(
    certified: Loft, tmp_path: Path
) -> None:
    """With openssl, by the key that the founding names."""
    folder = tmp_path / "out"
    exchange.export(certified.shop, folder, draw=write_pages)
    first = json.loads((folder / "records.txt").read_bytes().splitlines()[0])
    after = ABOUT[ABOUT.index("    sed -n 1p") :].partition("PUBLIC is")[0]
    public = next(
        root["public"]
        for root in first["event"]["roots"]
        if key_id(root["public"]) == first["key"]
    )
    # What makes bytes of hex is not on every machine; all else is.
    bare = [line for line in after.splitlines() if "xxd" not in line]
    der = bytes.fromhex(f"302a300506032b6570032100{public}")
    (folder / "key.der").write_bytes(der)

    assert "302a300506032b6570032100%s' PUBLIC | xxd -r -p > key.der" in after
    assert "Signature Verified Successfully" in shell("\n".join(bare), folder)


def key_id(public: str) -> str:
    """Return the name of a key."""
    return hashlib.sha256(bytes.fromhex(public)).hexdigest()[:16]
