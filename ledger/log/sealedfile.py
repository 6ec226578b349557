"""Files under a pass-phrase: what a copy holds that nobody else may read.

A sealed file is a first line, canonical JSON, and behind it the file in pieces, each
under AES-256-GCM. The key comes from the pass-phrase by Argon2id, once for a whole
copy, and from it by HKDF one for each file, over the first line itself: a changed line,
another file's name or another copy's salt gives another key. A piece's nonce is the
file's seven bytes, the piece's number, and whether it is the last, so that pieces that
were cut off, exchanged or added are found out.

Source: Hoang, Reyhanitabar, Rogaway and Vizár, "Online Authenticated-Encryption and
its Nonce-Reuse Misuse-Resistance" (CRYPTO 2015), the construction STREAM; RFC 9106
(Argon2id); RFC 5869 (HKDF); NIST SP 800-38D (GCM).
"""

import hmac
import os
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, BinaryIO

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log.encoding import canonical, parse_object
from ledger.log.keyfile import SALT_SIZE, Stretching, checked_kdf, stretched
from ledger.log.keys import hex_bytes

SEALED_FORMAT = "flitchbook-sealed-file/1"
# Behind the name of a file that rests under a pass-phrase.
SEALED = ".sealed"
PIECE = 65_536
TAG_SIZE = 16
PREFIX_SIZE = 7  # with four bytes of number and one of end it fills the nonce
KEY_SIZE = 32
LONGEST_LINE = 1024
# Whoever steals a copy may try for years.
SHORTEST_PASS_PHRASE, FEWEST_CHARACTERS = 12, 6
CHECK_LABEL, FILE_LABEL = (
    b"flitchbook-sealed-file/1 check",
    b"flitchbook-sealed-file/1 ",
)


class WrongPassPhraseError(RefusedError):
    """The pass-phrase does not open a sealed file."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"that pass-phrase does not open {name}, or its first line was changed: "
            f"type it again, or take another copy"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Lock:
    """What a pass-phrase makes for one copy: how it was stretched, and the outcome."""

    kdf: str
    secret: bytes


def new_lock(
    pass_phrase: str,
    *,
    entropy: Callable[[int], bytes],
    stretching: Stretching | None = None,
) -> Lock:
    """Return the lock of a new copy; a pass-phrase that is soon guessed is refused."""
    if len(pass_phrase) < SHORTEST_PASS_PHRASE:
        raise RefusedError(
            f"a pass-phrase of {len(pass_phrase)} characters seals nothing for long: "
            f"take at least {SHORTEST_PASS_PHRASE}, such as four words"
        )
    different = len(set(pass_phrase))
    if different < FEWEST_CHARACTERS:
        raise RefusedError(
            f"a pass-phrase of {different} different characters is soon guessed: take "
            f"at least {FEWEST_CHARACTERS}, such as those of four words"
        )
    cost = asdict(stretching or Stretching())
    kdf = {"name": "argon2id", **cost, "salt": entropy(SALT_SIZE).hex()}
    return _locked(kdf, pass_phrase)


def lock_of(path: Path, pass_phrase: str) -> Lock:
    """Return the lock that a sealed file was sealed with, if the pass-phrase is it."""
    with _opened(path) as file:
        line = _first_line(file, path.name)
    said = _read_line(line, path.name)
    lock = _locked(said["kdf"], pass_phrase)
    if not hmac.compare_digest(_check(lock, said), said["check"]):
        raise WrongPassPhraseError(path.name)
    return lock


def seal(
    pieces: Iterable[bytes],
    path: Path,
    *,
    name: str,
    lock: Lock,
    entropy: Callable[[int], bytes],
) -> None:
    """Seal a stream of bytes into a new file that only its owner reads.

    `name` is where the file belongs, and whoever opens it says the same.
    """
    prefix = entropy(PREFIX_SIZE)
    said: dict[str, Any] = {
        "format": SEALED_FORMAT,
        "kdf": parse_object(lock.kdf.encode()),
        "name": name,
        "piece": PIECE,
        "prefix": prefix.hex(),
    }
    line = canonical(said | {"check": _check(lock, said)}) + b"\n"
    cipher = AESGCM(_file_key(lock, line))
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(line)
        for number, piece, is_last in _numbered(_cut(pieces)):
            nonce = _nonce(prefix, number, is_last=is_last)
            file.write(cipher.encrypt(nonce, piece, None))
        file.flush()
        os.fsync(file.fileno())


def unseal(path: Path, *, name: str, lock: Lock) -> Iterator[bytes]:
    """Yield what a sealed file holds, piece by piece.

    Whoever takes the pieces keeps none of them before the last has come: only then is
    it known that nothing was cut off. Raises WrongPassPhraseError or TamperError.
    """
    with _opened(path) as file:
        line = _first_line(file, path.name)
        said = _read_line(line, path.name)
        if canonical(said["kdf"]).decode() != lock.kdf:
            raise TamperError(f"{path.name} is of another copy: take the one it is of")
        if not hmac.compare_digest(_check(lock, said), said["check"]):
            raise WrongPassPhraseError(path.name)
        if said["name"] != name:
            raise TamperError(
                f"{path.name} was sealed as {said['name']}, and lies where {name} "
                f"belongs: take another copy"
            )
        cipher = AESGCM(_file_key(lock, line))
        prefix = bytes.fromhex(said["prefix"])
        for number, piece, is_last in _numbered(_sealed_pieces(file)):
            yield _opened_piece(cipher, prefix, (number, piece), is_last, path.name)


def pieces_of(path: Path) -> Iterator[bytes]:
    """Yield a plain file piece by piece."""
    with path.open("rb") as file:
        while piece := file.read(PIECE):
            yield piece


def _opened_piece(
    cipher: AESGCM, prefix: bytes, found: tuple[int, bytes], is_last: bool, name: str
) -> bytes:
    number, piece = found
    try:
        return cipher.decrypt(_nonce(prefix, number, is_last=is_last), piece, None)
    except InvalidTag:
        pass
    try:
        cipher.decrypt(_nonce(prefix, number, is_last=not is_last), piece, None)
    except InvalidTag:
        raise TamperError(
            f"{name} was changed in its piece {number}: take another copy"
        ) from None
    if is_last:
        raise TamperError(
            f"{name} is cut off after its piece {number}: take another copy"
        )
    raise TamperError(f"{name} goes on after its end: take another copy")


def _locked(kdf: dict[str, Any], pass_phrase: str) -> Lock:
    return Lock(kdf=canonical(kdf).decode(), secret=stretched(pass_phrase, kdf))


def _check(lock: Lock, said: dict[str, Any]) -> str:
    """Return what tells a wrong pass-phrase from a file that was changed."""
    line = canonical({name: v for name, v in said.items() if name != "check"})
    key = _derived(lock.secret, CHECK_LABEL)
    return hmac.new(key, line, "sha256").hexdigest()


def _file_key(lock: Lock, line: bytes) -> bytes:
    return _derived(lock.secret, FILE_LABEL + line)


def _derived(secret: bytes, info: bytes) -> bytes:
    made = HKDF(algorithm=SHA256(), length=KEY_SIZE, salt=None, info=info)
    return made.derive(secret)


def _nonce(prefix: bytes, number: int, *, is_last: bool) -> bytes:
    return prefix + number.to_bytes(4) + bytes([is_last])


def _cut(stream: Iterable[bytes]) -> Iterator[bytes]:
    """Cut a stream into pieces of one size; only the last may be shorter."""
    held = bytearray()
    for part in stream:
        held += part
        while len(held) >= PIECE:
            yield bytes(held[:PIECE])
            del held[:PIECE]
    if held:
        yield bytes(held)


def _sealed_pieces(file: BinaryIO) -> Iterator[bytes]:
    while piece := file.read(PIECE + TAG_SIZE):
        yield piece


def _numbered(pieces: Iterator[bytes]) -> Iterator[tuple[int, bytes, bool]]:
    """Yield each piece with its number and whether it is the last; one at least."""
    number, piece = 0, next(pieces, b"")
    for following in pieces:
        yield number, piece, False
        number, piece = number + 1, following
    yield number, piece, True


def _opened(path: Path) -> BinaryIO:
    try:
        return path.open("rb")
    except OSError as problem:
        raise NotFoundError(f"{path} cannot be read: {problem.strerror}") from None


def _first_line(file: BinaryIO, name: str) -> bytes:
    line = file.readline(LONGEST_LINE)
    if not line.endswith(b"\n"):
        raise TamperError(f"{name} is no sealed file: its first line has no end")
    return line


def _read_line(line: bytes, name: str) -> dict[str, Any]:
    try:
        said = parse_object(line[:-1])
    except TamperError as fault:
        raise TamperError(f"{name} is damaged, take another copy: {fault}") from None
    members = {"check", "format", "kdf", "name", "piece", "prefix"}
    if set(said) != members or said["format"] != SEALED_FORMAT:
        raise TamperError(f"{name} is no {SEALED_FORMAT}")
    checked_kdf(said["kdf"], name, opened_by="pass-phrase")
    are_texts = isinstance(said["check"], str) and isinstance(said["name"], str)
    is_sound = are_texts and said["check"].isascii() and said["piece"] == PIECE
    if not is_sound or hex_bytes(said["prefix"], PREFIX_SIZE) is None:
        raise TamperError(f"{name} is damaged, take another copy")
    return said
