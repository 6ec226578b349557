"""Which edition of the tables answered."""

from functools import cache
from hashlib import sha256
from importlib.resources import files

from ledger.trade.law import Law


def tables_sha256(law: Law | None = None) -> str:
    """Return the digest of an edition of the tables, in lower-case hex digits.

    Of the compiled edition it is the SHA-256 of a list of the tables by name, each line
    the SHA-256 of a table, two spaces and its file name, so that
    `LC_ALL=C sha256sum *.csv | sha256sum` in the folder of the tables gives the same.

    Of an edition that a shop corrected it is the SHA-256 of two such lines: the digest
    of the compiled tables, named `tables`, and the SHA-256 of the shop's own text as it
    stands in the entry that adopted it, named `overlay`.

    Source: FIPS 180-4 for SHA-256.
    """
    if law is None or not law.overlay:
        return _compiled_sha256()
    return _list_sha256(
        (_compiled_sha256(), "tables"),
        (sha256(law.overlay.encode()).hexdigest(), "overlay"),
    )


@cache
def _compiled_sha256() -> str:
    tables = sorted(
        (file.name, file.read_bytes())
        for file in files("ledger.trade").iterdir()
        if file.name.endswith(".csv")
    )
    return _list_sha256(*((sha256(data).hexdigest(), name) for name, data in tables))


def _list_sha256(*lines: tuple[str, str]) -> str:
    """Return the digest of a list as sha256sum writes it."""
    listed = "".join(f"{digest}  {name}\n" for digest, name in lines)
    return sha256(listed.encode()).hexdigest()
