"""What the shop must be able to forget: names, owners, prices, flags, salts.

The log keeps a commitment in place of each such value,

    HMAC-SHA-256(key, canonical {"f": field, "s": subject, "v": value})

and the vault, a database of its own, keeps what opens it: the value and its 32-byte
key. Once that is erased nobody can open the commitment, and every proof still holds.

**Order.** The vault first, then the entry: a commitment in the log that nothing ever
opened would be a hole, while a row that no entry speaks of is merely an orphan, and
is swept. Erasing goes the other way: the entry first, then the vault, and the
next start finishes what a power cut left. Who sweeps holds the log's lock, so that no
other station stands between its two steps.

**Two classes.** Builders' and sawyers' names are readable at the station. Owners,
prices and flags are sealed to the office, value and key together. The office's private
key lies in the vault sealed to each office person, whose own sealing key comes from the
seed that the PIN unlocks. Whoever was an office person may have kept the office key.

**Erased means erased.** Once `erase` returns, the value's bytes are in no file of the
folder. Backups and copies elsewhere are not reached.

Source: RFC 2104 (HMAC); RFC 5869 (HKDF, for a person's sealing key).
"""

import hmac
import os
import sqlite3
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from cryptography.hazmat.primitives.asymmetric.x25519 import (
    X25519PrivateKey,
    X25519PublicKey,
)
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from ledger.errors import RefusedError, TamperError
from ledger.log.encoding import canonical
from ledger.log.sealing import KEY_SIZE, Entropy, seal, unseal
from ledger.log.vaultfile import connected, make, require_ours, require_there, told

# Sealed values are filled up to a multiple, so that length does not tell yes from no.
FILLED_TO = 64
PERSON_LABEL = b"flitchbook-sealing/1"
OFFICE = b"office"
SELECT = "SELECT commitment, subject, field, value, key, sealed FROM opening"


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """What opens a commitment."""

    value: str
    key: bytes


def commit(field: str, subject: str, value: str, key: bytes) -> str:
    """Return the commitment that an entry shows in place of a value, in hex."""
    if len(key) != KEY_SIZE:
        raise RefusedError(
            f"a commitment key has {KEY_SIZE} bytes, not {len(key)}; draw a new one"
        )
    said = canonical({"f": field, "s": subject, "v": value})
    return hmac.new(key, said, sha256).hexdigest()


def person_sealing_key(seed: bytes) -> X25519PrivateKey:
    """Return the key that opens what is sealed to a person, from that person's seed."""
    if len(seed) != KEY_SIZE:
        raise RefusedError(f"a seed has {KEY_SIZE} bytes, not {len(seed)}")
    derived = HKDF(algorithm=SHA256(), length=KEY_SIZE, salt=None, info=PERSON_LABEL)
    return X25519PrivateKey.from_private_bytes(derived.derive(seed))


@dataclass(frozen=True, slots=True, kw_only=True)
class Vault:
    """An open vault; close it, or use it in a `with`."""

    path: Path
    connection: sqlite3.Connection

    @classmethod
    def create(cls, path: Path) -> "Vault":
        """Make an empty vault where none is, whole or not at all, and open it."""
        if os.path.lexists(path):
            raise RefusedError(f"{path} is there already; open it instead")
        make(path)
        return cls.open(path)

    @classmethod
    def open(cls, path: Path) -> "Vault":
        """Open a vault; a missing one is never silently begun anew."""
        require_there(path)
        with told(path):
            connection = connected(path)
            try:
                require_ours(path, connection)
            except BaseException:
                connection.close()
                raise
        return cls(path=path, connection=connection)

    def close(self) -> None:
        """Let the vault go."""
        self.connection.close()

    def __enter__(self) -> "Vault":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def put(self, subject: str, field: str, value: str, key: bytes) -> str:
        """Keep a value that the station may read, and return its commitment."""
        commitment = commit(field, subject, value, key)
        with self._writing():
            self._keep(commitment, subject, field, value, key, None)
        return commitment

    def put_sealed(
        self, subject: str, field: str, value: str, key: bytes, *, entropy: Entropy
    ) -> str:
        """Keep a value that only the office may read, and return its commitment."""
        commitment = commit(field, subject, value, key)
        text = value.encode()
        filled = text.ljust(-(-len(text) // FILLED_TO) * FILLED_TO, b"\0")
        about = commitment.encode()
        office = self.office_public()
        sealed = seal(key + filled, office, about=about, entropy=entropy)
        with self._writing():
            self._keep(commitment, subject, field, None, None, sealed)
        return commitment

    def get(
        self, subject: str, field: str, *, office: X25519PrivateKey | None = None
    ) -> Opening | None:
        """Return the newest value of a subject's field, or None once it is erased."""
        rows = self._rows(
            f"{SELECT} WHERE subject = ? AND field = ? ORDER BY id DESC LIMIT 1",
            subject,
            field,
        )
        return self._opened(rows[0], office) if rows else None

    def opening_of(
        self, commitment: str, *, office: X25519PrivateKey | None = None
    ) -> Opening | None:
        """Return what opens one commitment, or None once it is erased."""
        rows = self._rows(f"{SELECT} WHERE commitment = ?", commitment)
        return self._opened(rows[0], office) if rows else None

    def fields(self, subject: str) -> tuple[str, ...]:
        """Return which fields of a subject are kept, sealed ones too."""
        asked = "SELECT DISTINCT field FROM opening WHERE subject = ? ORDER BY field"
        return tuple(field for (field,) in self._rows(asked, subject))

    def subjects(self) -> frozenset[str]:
        """Return everybody of whom something is kept."""
        rows = self._rows(
            "SELECT subject FROM opening UNION SELECT subject FROM sealing_key "
            "UNION SELECT subject FROM salt WHERE subject IS NOT NULL"
        )
        return frozenset(subject for (subject,) in rows)

    def put_salt(self, digest: str, salt: bytes, subject: str | None = None) -> None:
        """Keep the salt of an attachment, and whom the attachment is about."""
        found = self.get_salt(digest)
        if found not in (None, salt) or len(salt) != KEY_SIZE:
            raise RefusedError(
                f"this is no new salt of 32 bytes for attachment {digest}"
            )
        with self._writing():
            self.connection.execute(
                "INSERT INTO salt VALUES (?, ?, ?) ON CONFLICT DO NOTHING",
                (digest, salt, subject),
            )

    def get_salt(self, digest: str) -> bytes | None:
        """Return the salt of an attachment, or None once it is erased."""
        rows = self._rows("SELECT salt FROM salt WHERE digest = ?", digest)
        return self._raw(rows) if rows else None

    def attachments_of(self, subject: str) -> tuple[str, ...]:
        """Return a subject's attachments, which are to be removed before erasing."""
        rows = self._rows(
            "SELECT digest FROM salt WHERE subject = ? ORDER BY digest", subject
        )
        return tuple(digest for (digest,) in rows)

    def erase(self, subject: str) -> None:
        """Forget all that is kept of a subject; doing it again does no harm."""
        self._erase([subject])

    def commitments(self, field: str) -> frozenset[str]:
        """Return the commitments that the values of a field open."""
        asked = "SELECT commitment FROM opening WHERE field = ?"
        return frozenset(row[0] for row in self._rows(asked, field))

    def forget(self, *commitments: str) -> None:
        """Forget openings, as when the entry that was to follow was refused."""
        self._delete([("opening", "commitment", said) for said in commitments])

    def salted(self) -> frozenset[str]:
        """Return the digests of all attachments whose salt is kept."""
        return frozenset(row[0] for row in self._rows("SELECT digest FROM salt"))

    def forget_salt(self, *digests: str) -> None:
        """Forget the salts of attachments."""
        self._delete([("salt", "digest", digest) for digest in digests])

    def sweep(self, known: Collection[str]) -> tuple[str, ...]:
        """Erase of whom the log says nothing, under its lock, and return them."""
        orphans = self.subjects() - frozenset(known)
        if orphans:
            self._erase(orphans)
        return tuple(sorted(orphans))

    def put_sealing_key(self, subject: str, public: X25519PublicKey) -> None:
        """Keep the public key to which something can be sealed for a person."""
        with self._writing():
            self.connection.execute(
                "INSERT OR REPLACE INTO sealing_key VALUES (?, ?)",
                (subject, public.public_bytes_raw()),
            )

    def sealing_key(self, subject: str) -> X25519PublicKey | None:
        """Return the public key to which something can be sealed for a person."""
        rows = self._rows("SELECT public FROM sealing_key WHERE subject = ?", subject)
        return X25519PublicKey.from_public_bytes(self._raw(rows)) if rows else None

    def make_office(self, entropy: Entropy, first: X25519PublicKey) -> None:
        """Make the office's key and give it to the first office person."""
        office = X25519PrivateKey.from_private_bytes(entropy(KEY_SIZE))
        sealed = _sealed_office(office, first, entropy)
        with self._writing():
            if self._rows("SELECT 1 FROM office"):
                raise RefusedError("the office has its key already; share that one")
            self.connection.execute(
                "INSERT INTO office VALUES (1, ?)",
                (office.public_key().public_bytes_raw(),),
            )
            self._give_office(first, sealed)

    def share_office(
        self, entropy: Entropy, opener: X25519PrivateKey, other: X25519PublicKey
    ) -> None:
        """Let an office person give the office's key to another."""
        sealed = _sealed_office(self.open_office(opener), other, entropy)
        with self._writing():
            self._give_office(other, sealed)

    def open_office(self, person: X25519PrivateKey) -> X25519PrivateKey:
        """Return the office's private key to an office person."""
        public = self.office_public().public_bytes_raw()
        mine = person.public_key().public_bytes_raw()
        rows = self._rows("SELECT sealed FROM office_holder WHERE public = ?", mine)
        if not rows:
            raise RefusedError(
                "this key does not open the office; let an office person share it"
            )
        raw = unseal(self._raw(rows, None), person, about=OFFICE)
        office = X25519PrivateKey.from_private_bytes(raw) if raw else None
        if office is None or office.public_key().public_bytes_raw() != public:
            raise TamperError(
                f"the office key in {self.path} is not the one that was shared; "
                f"put back the newest copy"
            )
        return office

    def office_public(self) -> X25519PublicKey:
        """Return the key to which the office's values are sealed."""
        rows = self._rows("SELECT public FROM office")
        if not rows:
            raise RefusedError("the office has no key yet; make one first")
        return X25519PublicKey.from_public_bytes(self._raw(rows))

    def office_holders(self) -> int:
        """Return how many keys open the office."""
        return len(self._rows("SELECT 1 FROM office_holder"))

    def drop_office_holder(self, public: X25519PublicKey) -> None:
        """Take the office's key from a person who leaves, but never from the last."""
        raw = public.public_bytes_raw()
        if not self._rows("SELECT 1 FROM office_holder WHERE public <> ?", raw):
            raise RefusedError(
                "nobody else could open the office; share it with another first"
            )
        self._delete([("office_holder", "public", raw)])

    def faults(self) -> tuple[str, ...]:
        """Say what in the vault is not as it was put there, for the audit."""
        with told(self.path):
            said = [row[0] for row in self.connection.execute("PRAGMA quick_check")]
        faults = [text for text in said if text != "ok"]
        for row in self._rows(f"{SELECT} WHERE sealed IS NULL ORDER BY id"):
            try:
                self._opened(row, None)
            except TamperError as problem:
                faults.append(str(problem))
        return tuple(faults)

    @contextmanager
    def _writing(self) -> Iterator[None]:
        with told(self.path):
            self.connection.execute("BEGIN IMMEDIATE")
            try:
                yield
                self.connection.execute("COMMIT")
            except BaseException:
                # A full disk has rolled back already.
                if self.connection.in_transaction:
                    self.connection.execute("ROLLBACK")
                raise

    def _rows(self, query: str, *values: object) -> list[Any]:
        with told(self.path):
            return self.connection.execute(query, values).fetchall()

    def _raw(self, rows: list[Any], size: int | None = KEY_SIZE) -> bytes:
        raw = rows[0][0]
        if not isinstance(raw, bytes) or size not in (None, len(raw)):
            raise TamperError(
                f"a key in the vault {self.path} is not what was put there; "
                f"put back the newest copy"
            )
        return raw

    def _keep(self, *row: str | bytes | None) -> None:
        self.connection.execute(
            "INSERT INTO opening (commitment, subject, field, value, key, sealed) "
            "VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT (commitment) DO NOTHING",
            row,
        )

    def _opened(self, row: Any, office: X25519PrivateKey | None) -> Opening:
        commitment, subject, field, value, key, sealed = row
        if sealed is not None:
            if office is None:
                raise RefusedError(
                    f"{field} of {subject} is sealed; an office person must open it"
                )
            text = unseal(sealed, office, about=commitment.encode()) or b""
            key = text[:KEY_SIZE]
            value = text[KEY_SIZE:].rstrip(b"\0").decode(errors="replace")
        if not _fits(commitment, field, subject, value, key):
            raise TamperError(
                f"{field} of {subject} in the vault {self.path} is not what was put "
                f"there, or is opened with another office's key; put back the newest "
                f"copy"
            )
        return Opening(value=value, key=key)

    def _erase(self, subjects: Collection[str]) -> None:
        tables = ("opening", "salt", "sealing_key")
        self._delete([(t, "subject", subject) for t in tables for subject in subjects])

    def _delete(self, rows: Iterable[tuple[str, str, str | bytes]]) -> None:
        """Delete, and rewrite the file, so that nothing is left between its rows."""
        with self._writing():
            for table, column, value in rows:
                self.connection.execute(
                    f"DELETE FROM {table} WHERE {column} = ?",  # noqa: S608 - our names
                    (value,),
                )
        with told(self.path):
            self.connection.execute("VACUUM")

    def _give_office(self, public: X25519PublicKey, sealed: bytes) -> None:
        self.connection.execute(
            "INSERT OR REPLACE INTO office_holder VALUES (?, ?)",
            (public.public_bytes_raw(), sealed),
        )


def _sealed_office(
    office: X25519PrivateKey, to: X25519PublicKey, entropy: Entropy
) -> bytes:
    return seal(office.private_bytes_raw(), to, about=OFFICE, entropy=entropy)


def _fits(commitment: str, field: str, subject: str, value: Any, key: Any) -> bool:
    """Tell whether a row, however it was altered, still opens its commitment."""
    if not isinstance(key, bytes) or len(key) != KEY_SIZE:
        return False
    try:
        return commit(field, subject, value, key) == commitment
    except RefusedError:
        # A value that could never have been written down.
        return False
