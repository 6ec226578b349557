"""Which edition of the tables answered."""

from functools import cache
from hashlib import sha256
from importlib.resources import files


@cache
def tables_sha256() -> str:
    """Return the digest of all tables of the law, in lower-case hex digits.

    It is the SHA-256 of a list of the tables by name, each line the SHA-256 of a table,
    two spaces and its file name, so that `LC_ALL=C sha256sum *.csv | sha256sum` in the
    folder of the tables gives the same.

    Source: FIPS 180-4 for SHA-256.
    """
    folder = files("ledger.trade")
    tables = sorted(
        (file.name, file.read_bytes())
        for file in folder.iterdir()
        if file.name.endswith(".csv")
    )
    lines = (f"{sha256(data).hexdigest()}  {name}\n" for name, data in tables)
    return sha256("".join(lines).encode()).hexdigest()
