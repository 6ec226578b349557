"""The edition of the tables: one digest that anybody can take again."""

from hashlib import sha256
from importlib.resources import files
from pathlib import Path

from ledger.trade.edition import tables_sha256

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
