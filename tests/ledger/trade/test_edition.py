"""The edition of the tables: one digest that anybody can take again."""

from hashlib import sha256
from importlib.resources import files
from pathlib import Path

from ledger.trade.amendment import amended, read_overlay
from ledger.trade.edition import tables_sha256
from ledger.trade.law import compiled
from ledger.trade.overlay import first_overlay
from tests.ledger.trade.overlays import LISTING, MEETING, OWN, law_with, text_of

TABLES = Path(str(files("ledger.trade")))


def digest_of(tables: dict[str, bytes]) -> str:
    """Take the digest as the list of `sha256sum` would give it."""
    lines = [f"{sha256(tables[name]).hexdigest()}  {name}" for name in sorted(tables)]
    return sha256(("\n".join(lines) + "\n").encode("ascii")).hexdigest()


def test_the_digest_is_of_every_table_there_is() -> None:
    """By name and content, in the order of the names."""
    tables = {path.name: path.read_bytes() for path in TABLES.glob("*.csv")}

    assert tables_sha256() == digest_of(tables)
    assert {"listings.csv", "annotations.csv", "rules.csv"} <= tables.keys()


def test_any_other_table_is_another_edition() -> None:
    """A byte less, another name, a table less."""
    tables = {path.name: path.read_bytes() for path in TABLES.glob("*.csv")}
    first = min(tables)
    rest = {name: data for name, data in tables.items() if name != first}
    others = [
        tables | {first: tables[first][:-1]},
        rest | {"zones.csv": tables[first]},
        rest,
    ]

    assert len({tables_sha256(), *(digest_of(other) for other in others)}) == 4


def test_the_compiled_edition_is_the_one_without_a_word_of_the_shops_own() -> None:
    """Whether or not it is named."""
    assert tables_sha256(compiled()) == tables_sha256()


def test_a_shops_own_rows_make_another_edition() -> None:
    """Two lines as sha256sum writes them: the tables, and the shop's own text."""
    text = text_of(("meetings", MEETING))
    law = amended(compiled(), read_overlay(text), own=OWN)
    other = law_with(("meetings", MEETING), ("listings", LISTING))
    mine = sha256(read_overlay(text).text.encode()).hexdigest()
    lines = f"{tables_sha256()}  tables\n{mine}  overlay\n"

    assert tables_sha256(law) == sha256(lines.encode()).hexdigest()
    editions = {tables_sha256(), tables_sha256(law), tables_sha256(other)}
    assert len(editions) == 3


def test_an_edition_is_of_the_text_and_not_of_who_adopted_it() -> None:
    """The same rows are the same edition in any shop."""
    overlay = read_overlay(text_of(("meetings", MEETING)))
    here, there = (amended(compiled(), overlay, own=own) for own in (OWN, "another"))

    assert tables_sha256(here) == tables_sha256(there)
    assert first_overlay()["rows"] == []
