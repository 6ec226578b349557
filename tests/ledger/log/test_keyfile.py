"""Key files: they open with their PIN, and with nothing else and nothing altered."""

import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ledger.errors import LedgerError, NotFoundError, RefusedError, TamperError
from ledger.log import keyfile
from ledger.log.encoding import canonical, parse_object
from ledger.log.keyfile import HARDEST, Stretching, WrongPinError
from ledger.log.keys import PURPOSES, SMALL_ORDER
from tests.ledger.log.damage import damaged
from tests.ledger.log.workshop import secret

Entropy = Callable[[int], bytes]

KEY = secret("lead")
CHEAP = Stretching(memory_kib=8, iterations=1, lanes=1)


@pytest.fixture
def sealed(entropy: Entropy) -> bytes:
    """Give a person's key file that costs next to nothing to open."""
    return keyfile.sealed(
        KEY, purpose="person", pin="4711", entropy=entropy, stretching=CHEAP
    )


def opened(data: bytes, pin: str | None = "4711") -> bytes:
    """Open a key file and return the seed."""
    return keyfile.opened(data, pin=pin, holder="the lead").seed


def with_kdf(data: bytes, **members: Any) -> bytes:
    """Return a key file whose numbers for the PIN are others."""
    key = parse_object(data)
    return canonical(key | {"kdf": key["kdf"] | members})


def test_a_key_file_costs_what_the_format_asks_for_unless_told(
    entropy: Entropy,
) -> None:
    """64 MiB, three rounds and four lanes is the cost of one try, and it opens."""
    data = keyfile.sealed(KEY, purpose="root", pin="a long phrase", entropy=entropy)
    kdf = parse_object(data)["kdf"]

    assert (kdf["memory_kib"], kdf["iterations"], kdf["lanes"]) == (65_536, 3, 4)
    assert opened(data, "a long phrase") == KEY.seed


@pytest.mark.parametrize("pin", ["0", "4711", "correct horse", "Ä ö €", " ", "0" * 500])
def test_a_key_opens_with_its_pin_and_no_other(pin: str, entropy: Entropy) -> None:
    """Any text that is not empty serves; one character more and it does not open."""
    data = keyfile.sealed(
        KEY, purpose="person", pin=pin, entropy=entropy, stretching=CHEAP
    )

    assert opened(data, pin) == KEY.seed
    with pytest.raises(WrongPinError, match="does not open the key of the lead"):
        opened(data, pin + "0")


def test_an_empty_pin_is_refused(sealed: bytes, entropy: Entropy) -> None:
    """An empty PIN seals nothing, and no PIN opens nothing."""
    with pytest.raises(RefusedError, match="an empty PIN protects nothing"):
        keyfile.sealed(KEY, purpose="person", pin="", entropy=entropy)
    with pytest.raises(RefusedError, match="needs a PIN"):
        opened(sealed, None)


def test_a_key_file_holds_no_seed_and_names_its_key(sealed: bytes) -> None:
    """Unopened it tells the public key and the purpose, and nothing else."""
    assert KEY.seed.hex() not in sealed.decode()
    assert keyfile.named_key(sealed, "the lead") == (KEY.public, "person")
    assert len(sealed) < keyfile.LARGEST_KEY_FILE


def test_two_files_of_one_key_share_neither_salt_nor_nonce(entropy: Entropy) -> None:
    """Each sealing draws its own, so that equal PINs are not seen to be equal."""
    one, two = (
        parse_object(
            keyfile.sealed(
                KEY, purpose="card", pin="4711", entropy=entropy, stretching=CHEAP
            )
        )
        for _ in range(2)
    )

    assert one["nonce"] != two["nonce"]
    assert one["kdf"]["salt"] != two["kdf"]["salt"]
    assert one["wrapped"] != two["wrapped"]


def test_the_logs_key_rests_without_a_pin() -> None:
    """It is the only one; its file holds the seed as it is."""
    data = keyfile.unsealed(secret("log"), purpose="log")
    key = parse_object(data)

    assert key["kdf"] is None and key["nonce"] is None
    assert opened(data, None) == secret("log").seed


@pytest.mark.parametrize("purpose", [p for p in PURPOSES if p != "log"])
def test_no_other_key_rests_without_a_pin(purpose: str) -> None:
    """A file that would open a person's key without a PIN is neither made nor read."""
    data = keyfile.unsealed(KEY, purpose="log")
    forged = canonical(parse_object(data) | {"purpose": purpose})

    with pytest.raises(RefusedError, match="rests under a PIN"):
        keyfile.unsealed(KEY, purpose=purpose)
    with pytest.raises(TamperError, match="rests without a PIN, and no other"):
        opened(forged, None)


def test_a_witness_s_key_rests_either_way(entropy: Entropy) -> None:
    """It is none of a shop's keys, and whoever holds it decides."""
    bare = keyfile.unsealed(KEY, purpose="witness")
    under = keyfile.sealed(
        KEY, purpose="witness", pin="8812", entropy=entropy, stretching=CHEAP
    )

    assert opened(bare, None) == opened(under, "8812") == KEY.seed
    assert keyfile.named_key(bare, "the witness") == (KEY.public, "witness")
    assert "witness" not in PURPOSES
    with pytest.raises(WrongPinError):
        opened(under, "8813")


def test_a_key_has_one_of_the_five_purposes(entropy: Entropy) -> None:
    """Root, log, person, card and pdf: nothing else is written or read."""
    data = keyfile.unsealed(KEY, purpose="log")
    forged = canonical(parse_object(data) | {"purpose": "master"})

    with pytest.raises(RefusedError, match="'master' is no purpose"):
        keyfile.sealed(KEY, purpose="master", pin="4711", entropy=entropy)
    with pytest.raises(TamperError, match="names no purpose that there is"):
        keyfile.named_key(forged, "the lead")


def test_no_damage_opens_and_every_damage_is_told(sealed: bytes) -> None:
    """Each byte flipped, lost or cut off ends in a refusal, whatever it meant."""
    for bad in damaged(sealed):
        with pytest.raises(LedgerError):
            opened(bad)


def test_no_damage_of_the_logs_key_is_overlooked() -> None:
    """Without a PIN the public key and its id still have to fit the seed."""
    for bad in damaged(keyfile.unsealed(secret("log"), purpose="log")):
        with pytest.raises(TamperError):
            opened(bad, None)


@pytest.mark.parametrize(
    "kdf",
    [
        {"memory_kib": HARDEST.memory_kib + 1},
        {"memory_kib": 2**53 - 1},
        {"iterations": HARDEST.iterations + 1},
        {"lanes": HARDEST.lanes + 1},
        {"memory_kib": 0},
        {"iterations": 0},
        {"lanes": 0},
        {"iterations": -3},
        {"iterations": True},
        {"lanes": True},
        {"memory_kib": "8"},
        {"memory_kib": 7},
        {"memory_kib": 127, "lanes": 16},
        {"salt": "00"},
        {"salt": "zz" * 16},
        {"salt": None},
        {"name": "scrypt"},
        {"name": None},
        {"rounds": 1},
    ],
    ids=str,
)
def test_hostile_numbers_are_refused_before_any_work(
    sealed: bytes, kdf: dict[str, Any]
) -> None:
    """A file cannot make the machine spend memory, time, or an answer that is none."""
    with pytest.raises(TamperError, match="the key file of the lead"):
        opened(with_kdf(sealed, **kdf))


@pytest.mark.parametrize(
    "members",
    [
        {"kdf": []},
        {"kdf": {}},
        {"kdf": None},
        {"nonce": None},
        {"nonce": "00"},
        {"nonce": 12},
        {"wrapped": None},
        {"wrapped": "00" * 47},
        {"wrapped": "00" * 32},
        {"purpose": []},
        {"public": None},
        {"public": min(SMALL_ORDER).hex()},
        {"id": "0" * 16},
        {"format": "flitchbook-key/2"},
        {"comment": "the lead's"},
    ],
    ids=str,
)
def test_a_file_of_another_form_is_refused(
    sealed: bytes, members: dict[str, Any]
) -> None:
    """A member that is missing, added or of another type never opens a key."""
    with pytest.raises(LedgerError):
        opened(canonical(parse_object(sealed) | members))


def test_a_file_that_names_another_key_is_refused() -> None:
    """The public key beside the seed must be the seed's own."""
    data = parse_object(keyfile.unsealed(secret("log"), purpose="log"))
    other = parse_object(keyfile.unsealed(secret("office"), purpose="log"))
    mixed = data | {"wrapped": other["wrapped"]}

    with pytest.raises(TamperError, match="names another key than it holds"):
        opened(canonical(mixed), None)


def test_a_key_file_is_for_its_owner_alone(tmp_path: Path, sealed: bytes) -> None:
    """Folder 0700, file 0600, whatever the umask; and what was written is read."""
    path = tmp_path / "keys" / "lead.json"
    mask = os.umask(0)
    try:
        keyfile.write(path, sealed)
    finally:
        os.umask(mask)

    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert keyfile.read(path) == sealed


def test_a_key_file_is_never_written_over(tmp_path: Path, sealed: bytes) -> None:
    """What lies there may be the only copy of a key, so it stays as it is."""
    path = tmp_path / "lead.json"
    keyfile.write(path, sealed)

    with pytest.raises(RefusedError, match="is there already"):
        keyfile.write(path, b"another")
    assert keyfile.read(path) == sealed


def test_a_link_is_not_followed_when_a_key_file_is_written(tmp_path: Path) -> None:
    """Somebody who lays a link where the key will be does not lead it elsewhere."""
    (tmp_path / "lead.json").symlink_to(tmp_path / "elsewhere.json")

    with pytest.raises(RefusedError, match="is there already"):
        keyfile.write(tmp_path / "lead.json", b"a key")
    assert not (tmp_path / "elsewhere.json").exists()


def test_what_cannot_be_a_key_file_is_not_read(tmp_path: Path) -> None:
    """A missing file, a folder, and a file that is far too long are told apart."""
    (tmp_path / "long.json").write_bytes(b" " * (keyfile.LARGEST_KEY_FILE + 1))

    with pytest.raises(NotFoundError, match=r"missing\.json cannot be read"):
        keyfile.read(tmp_path / "missing.json")
    with pytest.raises(NotFoundError, match="cannot be read"):
        keyfile.read(tmp_path)
    with pytest.raises(TamperError, match="it is over 4096 bytes"):
        keyfile.read(tmp_path / "long.json")


def test_a_laid_key_file_gives_way_to_the_keys_that_were_named_only(
    sealed: bytes, tmp_path: Path
) -> None:
    """The same key again, at one stroke; never another's, and nothing is left over."""
    path, other = tmp_path / "lead.json", secret("another")
    keyfile.lay(path, sealed, over=())
    with pytest.raises(RefusedError, match="set that file aside"):
        keyfile.lay(path, sealed, over={other.id})
    key, _ = keyfile.named_key(sealed, "lead")
    keyfile.lay(path, sealed, over={key.id})

    assert path.read_bytes() == sealed
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert list(tmp_path.iterdir()) == [path]
