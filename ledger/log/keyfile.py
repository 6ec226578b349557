"""Key files: how a key rests.

The 32-byte seed lies under AES-GCM, with a key that Argon2id makes of a PIN or a
pass-phrase; everything else in the file is authenticated with it. The log's own key
rests without one. A short PIN proves that its holder was there, not that nobody else
could be: whoever steals the file can try every PIN in minutes.

Source: RFC 9106 (Argon2id), NIST SP 800-38D (GCM).
"""

import os
from collections.abc import Callable, Collection
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.argon2 import Argon2id

from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log.encoding import canonical, parse_object
from ledger.log.keys import PURPOSES, PublicKey, SecretKey, hex_bytes
from ledger.log.strokes import sync_folder

KEY_FORMAT = "flitchbook-key/1"
# A witness's key is none of a shop's: it has no place in a log or in a keys file.
WITNESS = "witness"
RESTING = (*PURPOSES, WITNESS)
WITHOUT_PIN = ("log", WITNESS)
LARGEST_KEY_FILE = 4096
SALT_SIZE, NONCE_SIZE, SEED_SIZE, WRAPPED_SIZE = 16, 12, 32, 48


class WrongPinError(RefusedError):
    """The PIN or the pass-phrase does not open the key."""

    def __init__(self, holder: str) -> None:
        super().__init__(
            f"that PIN or pass-phrase does not open the key of {holder}: type it "
            f"again; whoever forgot a PIN gets a new key with flitchbook person "
            f"replace-key"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretching:
    """How much work one try of a PIN costs (Argon2id)."""

    memory_kib: int = 65_536
    iterations: int = 3
    lanes: int = 4


# A hostile key file must not be able to ask for the machine's whole memory.
HARDEST = Stretching(memory_kib=1_048_576, iterations=16, lanes=16)
LEAST_KIB_A_LANE = 8  # RFC 9106 section 3.1


def sealed(
    secret: SecretKey,
    *,
    purpose: str,
    pin: str,
    entropy: Callable[[int], bytes],
    stretching: Stretching | None = None,
) -> bytes:
    """Return the key file of a key that rests under a PIN or a pass-phrase."""
    if not pin:
        raise RefusedError("an empty PIN protects nothing: choose one")
    cost = stretching or Stretching()
    kdf = {"name": "argon2id", **asdict(cost), "salt": entropy(SALT_SIZE).hex()}
    nonce = entropy(NONCE_SIZE)
    open_part = _open_part(secret, purpose) | {"kdf": kdf, "nonce": nonce.hex()}
    wrapped = AESGCM(stretched(pin, kdf)).encrypt(
        nonce, secret.seed, canonical(open_part)
    )
    return canonical(open_part | {"wrapped": wrapped.hex()})


def unsealed(secret: SecretKey, *, purpose: str) -> bytes:
    """Return the key file of a key that rests without a PIN: the log's, a witness's."""
    if purpose not in WITHOUT_PIN:
        raise RefusedError(f"a key of purpose {purpose} rests under a PIN: choose one")
    open_part = _open_part(secret, purpose) | {"kdf": None, "nonce": None}
    return canonical(open_part | {"wrapped": secret.seed.hex()})


def opened(data: bytes, *, pin: str | None, holder: str) -> SecretKey:
    """Return the key that rests in a key file.

    Raises WrongPinError, or TamperError where the file is no key file or its public
    key does not belong to the seed. `holder` is whom the refusal names.
    """
    key = _parsed(data, holder)
    open_part = {name: value for name, value in key.items() if name != "wrapped"}
    if key["kdf"] is None:
        secret = SecretKey(_hex(key["wrapped"], SEED_SIZE, holder))
    else:
        secret = SecretKey(_unwrapped(key, open_part, pin, holder))
    if str(secret.public) != key["public"] or secret.id != key["id"]:
        raise TamperError(f"the key file of {holder} names another key than it holds")
    return secret


def named_key(data: bytes, holder: str) -> tuple[PublicKey, str]:
    """Return the public key and the purpose that a key file names, unopened."""
    key = _parsed(data, holder)
    return PublicKey.parse(key["public"]), str(key["purpose"])


def write(path: Path, data: bytes) -> None:
    """Write a key file that only its owner can read; never over another one."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        raise RefusedError(f"{path} is there already: choose another name") from None
    with os.fdopen(handle, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def lay(path: Path, data: bytes, *, over: Collection[str]) -> None:
    """Write a key file at one stroke, in the place of one of these keys if need be.

    An act that was cut off may have left the same key there. A file of any other key
    is never written over.
    """
    if os.path.lexists(path):
        public, _ = named_key(read(path), path.name)
        if public.id not in over:
            raise RefusedError(
                f"{path} holds key {public.id} already: set that file aside first"
            )
    part = path.with_name(path.name + ".part")
    part.unlink(missing_ok=True)
    write(part, data)
    part.replace(path)
    sync_folder(path.parent)


def read(path: Path) -> bytes:
    """Read a key file; NotFoundError where there is none."""
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_KEY_FILE + 1)
    except OSError as problem:
        raise NotFoundError(
            f"the key file {path} cannot be read: {problem.strerror}"
        ) from None
    if len(data) > LARGEST_KEY_FILE:
        raise TamperError(f"{path} is no key file: it is over {LARGEST_KEY_FILE} bytes")
    return data


def _open_part(secret: SecretKey, purpose: str) -> dict[str, Any]:
    if purpose not in RESTING:
        raise RefusedError(f"{purpose!r} is no purpose: one of {', '.join(RESTING)}")
    public = secret.public
    return {
        "format": KEY_FORMAT,
        "id": public.id,
        "public": str(public),
        "purpose": purpose,
    }


def _parsed(data: bytes, holder: str) -> dict[str, Any]:
    try:
        key = parse_object(data)
    except TamperError as fault:
        raise TamperError(
            f"the key file of {holder} is damaged, put back its copy: {fault}"
        ) from None
    _require_key_file(key, holder)
    return key


def _require_key_file(key: dict[str, Any], holder: str) -> None:
    members = {"format", "id", "public", "purpose", "kdf", "nonce", "wrapped"}
    if set(key) != members or key["format"] != KEY_FORMAT:
        raise TamperError(f"the key file of {holder} is no {KEY_FORMAT}")
    if key["purpose"] not in RESTING:
        raise TamperError(f"the key file of {holder} names no purpose that there is")
    bare = key["kdf"] is None and key["nonce"] is None
    if key["purpose"] != WITNESS and bare != (key["purpose"] == "log"):
        raise TamperError(f"the log's key rests without a PIN, and no other: {holder}")


def _unwrapped(
    key: dict[str, Any], open_part: dict[str, Any], pin: str | None, holder: str
) -> bytes:
    if pin is None:
        raise RefusedError(f"the key of {holder} needs a PIN or a pass-phrase")
    nonce = _hex(key["nonce"], NONCE_SIZE, holder)
    wrapped = _hex(key["wrapped"], WRAPPED_SIZE, holder)
    try:
        kdf = checked_kdf(key["kdf"], f"the key file of {holder}")
        return AESGCM(stretched(pin, kdf)).decrypt(nonce, wrapped, canonical(open_part))
    except InvalidTag:
        raise WrongPinError(holder) from None


def checked_kdf(kdf: object, what: str, *, opened_by: str = "PIN") -> dict[str, Any]:
    """Return what a file says of how its PIN is stretched, if this machine may do it.

    `what` and `opened_by` are the file, and what opens it, as a refusal names them.
    """
    wanted = {"name", "memory_kib", "iterations", "lanes", "salt"}
    if not isinstance(kdf, dict) or set(kdf) != wanted or kdf["name"] != "argon2id":
        raise TamperError(f"{what} does not say how its {opened_by} is used")
    for name, most in asdict(HARDEST).items():
        if type(kdf[name]) is not int or not 1 <= kdf[name] <= most:
            raise TamperError(f"{what} asks for {name} {kdf[name]}, at most {most}")
    if kdf["memory_kib"] < LEAST_KIB_A_LANE * kdf["lanes"]:
        raise TamperError(
            f"{what} asks for {kdf['lanes']} lanes in {kdf['memory_kib']} KiB, and "
            f"each needs {LEAST_KIB_A_LANE}"
        )
    if hex_bytes(kdf["salt"], SALT_SIZE) is None:
        raise TamperError(f"{what} is damaged")
    return kdf


def stretched(pin: str, kdf: dict[str, Any]) -> bytes:
    """Return the 32 bytes that Argon2id makes of a PIN or a pass-phrase."""
    return Argon2id(
        salt=bytes.fromhex(kdf["salt"]),
        length=32,
        iterations=kdf["iterations"],
        lanes=kdf["lanes"],
        memory_cost=kdf["memory_kib"],
    ).derive(pin.encode("utf-8"))


def _hex(text: object, size: int, holder: str) -> bytes:
    data = hex_bytes(text, size)
    if data is None:
        raise TamperError(f"the key file of {holder} is damaged")
    return data
