"""Tests of what the shop must be able to forget."""

import hashlib
import hmac
import json
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import RefusedError, TamperError
from ledger.log.vault import Opening, Vault, commit, person_sealing_key
from tests.ledger.log.keeping import KEY, LONG, OTHER, SUBJECT, altered, folder_holds

MAURA, RUKMINI, SEUN = (person_sealing_key(bytes([n] * 32)) for n in (2, 12, 1))


class Dice:
    """Entropy that is new at every throw and the same in every run."""

    def __init__(self) -> None:
        self.throws = 0

    def __call__(self, size: int) -> bytes:
        """Throw once."""
        self.throws += 1
        return hashlib.shake_256(b"%d" % self.throws).digest(size)


@pytest.fixture
def entropy() -> Dice:
    """Return fresh entropy."""
    return Dice()


@pytest.fixture
def office(vault: Vault, entropy: Dice) -> X25519PrivateKey:
    """Return the office's key, made for Rukmini."""
    vault.make_office(entropy, RUKMINI.public_key())
    return vault.open_office(RUKMINI)


def test_a_commitment_is_an_hmac_over_the_canonical_triple() -> None:
    """An independent route, written out by hand, gives the same commitment."""
    said = (
        b'{"f":"person.name","s":"00112233445566778899aabbccddeeff",'
        b'"v":"Jakub Wola\xc5\x84ski"}'
    )
    triple = {"v": "Jakub Wolański", "f": "person.name", "s": SUBJECT}
    dumped = json.dumps(
        triple, sort_keys=True, separators=(",", ":"), ensure_ascii=False
    )
    expected = hmac.new(KEY, said, hashlib.sha256).hexdigest()

    assert dumped.encode() == said
    assert commit("person.name", SUBJECT, "Jakub Wolański", KEY) == expected


@given(st.text(st.characters(codec="ascii", categories=["L", "N", "P"])), st.binary())
def test_a_commitment_opens_with_its_own_key_and_value_only(
    value: str, key: bytes
) -> None:
    """Another value, field, subject or key gives another commitment."""
    shown = commit("person.name", SUBJECT, value, KEY)

    assert commit("person.name", SUBJECT, value + "!", KEY) != shown
    assert commit("owner.name", SUBJECT, value, KEY) != shown
    assert commit("person.name", OTHER, value, KEY) != shown
    assert commit("person.name", SUBJECT, value, KEY[::-1]) != shown
    if len(key) != 32:
        with pytest.raises(RefusedError, match=f"has 32 bytes, not {len(key)}"):
            commit("person.name", SUBJECT, value, key)


@settings(max_examples=25)
@given(value=st.text(st.characters(codec="utf-8", categories=["L", "N", "P"])))
def test_what_is_put_is_got(
    value: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Both classes give value and key back, and the commitment that was returned."""
    path = tmp_path_factory.mktemp("shop") / "vault.sqlite3"
    entropy = Dice()
    with Vault.create(path) as vault:
        vault.make_office(entropy, RUKMINI.public_key())
        office = vault.open_office(RUKMINI)
        plain = vault.put(SUBJECT, "person.name", value, KEY)
        sealed = vault.put_sealed(OTHER, "owner.name", value, KEY, entropy=entropy)

        opening = Opening(value=value, key=KEY)
        assert vault.get(SUBJECT, "person.name") == opening
        assert vault.get(OTHER, "owner.name", office=office) == opening
        assert plain == commit("person.name", SUBJECT, value, KEY)
        assert sealed == commit("owner.name", OTHER, value, KEY)
        assert vault.opening_of(sealed, office=office) == opening


def test_what_was_put_outlives_the_vault_s_closing(tmp_path: Path) -> None:
    """Another session reads it."""
    path = tmp_path / "vault.sqlite3"
    with Vault.create(path) as vault:
        vault.put(SUBJECT, "person.name", "Maura Kiely", KEY)

    with Vault.open(path) as vault:
        opening = vault.get(SUBJECT, "person.name")
        assert opening == Opening(value="Maura Kiely", key=KEY)
        assert vault.fields(SUBJECT) == ("person.name",)
        assert vault.subjects() == {SUBJECT}


def test_a_new_name_comes_before_the_old_and_both_can_be_opened(vault: Vault) -> None:
    """The newest value is the one that is got; the old commitment still opens."""
    old = vault.put(SUBJECT, "person.name", "Noor Rahimi", KEY)
    new = vault.put(SUBJECT, "person.name", "Noor Kiely", KEY[::-1])
    vault.put(SUBJECT, "person.name", "Noor Rahimi", KEY)

    newest, oldest = vault.get(SUBJECT, "person.name"), vault.opening_of(old)
    assert newest is not None
    assert oldest is not None
    assert (newest.value, oldest.value) == ("Noor Kiely", "Noor Rahimi")
    assert vault.opening_of(new) == newest


def test_nothing_is_got_where_nothing_was_put(vault: Vault) -> None:
    """An unknown subject, field, commitment or digest is simply not there."""
    assert vault.get(SUBJECT, "person.name") is None
    assert vault.opening_of("0" * 64) is None
    assert vault.get_salt("0" * 64) is None
    assert vault.sealing_key(SUBJECT) is None
    assert vault.subjects() == frozenset()


def test_the_station_reads_no_owner(
    vault: Vault, office: X25519PrivateKey, entropy: Dice
) -> None:
    """A sealed value is in no file, and needs an office person."""
    vault.put_sealed(SUBJECT, "owner.name", "Amélie Rousset", KEY, entropy=entropy)

    assert not folder_holds(vault.path.parent, "Rousset")
    assert KEY not in vault.path.read_bytes()
    with pytest.raises(RefusedError, match="an office person must open it"):
        vault.get(SUBJECT, "owner.name")
    with pytest.raises(TamperError, match="another office's key"):
        vault.get(SUBJECT, "owner.name", office=MAURA)


def test_a_sealed_yes_is_as_long_as_a_sealed_no(
    vault: Vault, office: X25519PrivateKey, entropy: Dice
) -> None:
    """Length tells nothing about a flag."""
    for value in ("no", "yes", "only with gloves"):
        vault.put_sealed(SUBJECT, "person.flag", value, KEY, entropy=entropy)
    with closing(sqlite3.connect(vault.path)) as tool:
        lengths = tool.execute("SELECT DISTINCT length(sealed) FROM opening").fetchall()

    assert len(lengths) == 1


def test_the_office_is_shared_by_its_people(
    vault: Vault, office: X25519PrivateKey, entropy: Dice
) -> None:
    """Only who has the key can give it, and it is one key for all."""
    with pytest.raises(RefusedError, match="does not open the office"):
        vault.share_office(entropy, MAURA, SEUN.public_key())
    vault.share_office(entropy, RUKMINI, SEUN.public_key())

    shared = vault.open_office(SEUN).private_bytes_raw()
    assert shared == office.private_bytes_raw()
    with pytest.raises(RefusedError, match="share that one"):
        vault.make_office(entropy, MAURA.public_key())


def test_the_last_office_person_keeps_the_key(
    vault: Vault, office: X25519PrivateKey, entropy: Dice
) -> None:
    """Whoever leaves is dropped, but never the only one who can open."""
    vault.share_office(entropy, RUKMINI, SEUN.public_key())
    assert vault.office_holders() == 2
    vault.drop_office_holder(SEUN.public_key())

    with pytest.raises(RefusedError, match="does not open the office"):
        vault.open_office(SEUN)
    with pytest.raises(RefusedError, match="nobody else could open the office"):
        vault.drop_office_holder(RUKMINI.public_key())
    assert vault.open_office(RUKMINI)


def test_nothing_is_sealed_to_an_office_that_has_no_key(
    vault: Vault, entropy: Dice
) -> None:
    """The answer says to make one first."""
    with pytest.raises(RefusedError, match="make one first"):
        vault.put_sealed(SUBJECT, "owner.name", "Amélie", KEY, entropy=entropy)


def test_a_sealing_key_is_a_person_s_own() -> None:
    """It comes from the seed alone, and is not the seed."""
    seed = bytes([2] * 32)

    assert person_sealing_key(seed).private_bytes_raw() == MAURA.private_bytes_raw()
    assert (
        MAURA.private_bytes_raw()
        != X25519PrivateKey.from_private_bytes(seed).private_bytes_raw()
    )
    with pytest.raises(RefusedError, match="a seed has 32 bytes, not 31"):
        person_sealing_key(seed[1:])


def test_a_sealing_key_is_kept_and_replaced(vault: Vault) -> None:
    """The newest key of a person is the one that others seal to."""
    vault.put_sealing_key(SUBJECT, MAURA.public_key())
    vault.put_sealing_key(SUBJECT, SEUN.public_key())
    kept = vault.sealing_key(SUBJECT)

    assert kept is not None
    assert kept.public_bytes_raw() == SEUN.public_key().public_bytes_raw()


@pytest.mark.parametrize("value", ["Hallvard Ness", "Jakub Wolański", LONG])
@pytest.mark.parametrize("others", [0, 200])
def test_what_is_erased_is_in_no_file(vault: Vault, value: str, others: int) -> None:
    """Name, key, salt and subject are gone from every byte, and the others are kept."""
    for n in range(others):
        key = hashlib.sha256(b"%d" % n).digest()
        vault.put(f"{n:032x}", "person.name", f"Person {n} " * (n % 40 + 1), key)
        if n == others // 2:
            vault.put(SUBJECT, "person.name", value, KEY)
    vault.put(SUBJECT, "person.address", value, KEY)
    vault.put_salt("a" * 64, KEY[::-1], SUBJECT)
    vault.put_sealing_key(SUBJECT, MAURA.public_key())
    folder, probe = vault.path.parent, value[-11:]
    was_there = folder_holds(folder, probe)
    vault.erase(SUBJECT)

    assert was_there
    assert not folder_holds(folder, probe)
    assert not folder_holds(folder, SUBJECT)
    data = vault.path.read_bytes()
    assert KEY not in data
    assert KEY[::-1] not in data
    assert len(vault.subjects()) == others
    assert [path.name for path in folder.iterdir()] == ["vault.sqlite3"]
    assert vault.faults() == ()


def test_erasing_again_does_no_harm(vault: Vault) -> None:
    """A start-up may finish what was finished already."""
    vault.put(OTHER, "person.name", "Teresa Quispe", KEY)
    vault.erase(SUBJECT)
    vault.erase(SUBJECT)

    assert vault.subjects() == {OTHER}


def test_a_power_cut_while_erasing_leaves_all_or_nothing(vault: Vault) -> None:
    """A process killed in the middle of an erasure leaves a vault that opens whole."""
    vault.put(SUBJECT, "person.name", "Hallvard Ness", KEY)
    program = (
        "import os, sys; from pathlib import Path; "
        "from ledger.log.vault import Vault; v = Vault.open(Path(sys.argv[1])); "
        "v.connection.execute('PRAGMA cache_size = 1'); "
        "v.connection.execute('BEGIN IMMEDIATE'); "
        "v.connection.execute('DELETE FROM opening'); "
        "[v.connection.execute('INSERT INTO salt VALUES (?, zeroblob(32), NULL)', "
        "(f'{n:064x}',)) for n in range(2000)]; os._exit(9)"
    )
    killed = subprocess.run([sys.executable, "-c", program, str(vault.path)])
    journal = vault.path.with_name("vault.sqlite3-journal")
    left_hot = journal.exists()

    assert killed.returncode == 9
    assert left_hot
    with Vault.open(vault.path) as again:
        assert again.get(SUBJECT, "person.name") is not None
        assert again.get_salt(f"{1:064x}") is None
        again.erase(SUBJECT)
    assert not folder_holds(vault.path.parent, "Hallvard")


def test_one_opening_can_be_forgotten(vault: Vault) -> None:
    """Where an entry was refused, its name goes and the older one stays."""
    vault.put(SUBJECT, "person.name", "Noor Rahimi", KEY)
    new = vault.put(SUBJECT, "person.name", "Noor Kiely", KEY[::-1])
    vault.forget(new)

    opening = vault.get(SUBJECT, "person.name")
    assert opening is not None
    assert opening.value == "Noor Rahimi"
    assert not folder_holds(vault.path.parent, "Noor Kiely")


def test_salts_are_kept_for_files_and_for_people(vault: Vault) -> None:
    """A salt may be about somebody, and goes with that person."""
    vault.put_salt("a" * 64, KEY)
    vault.put_salt("b" * 64, KEY[::-1], SUBJECT)
    vault.put_salt("b" * 64, KEY[::-1], SUBJECT)
    mine = vault.attachments_of(SUBJECT)
    vault.erase(SUBJECT)

    assert mine == ("b" * 64,)
    assert vault.get_salt("b" * 64) is None
    assert vault.get_salt("a" * 64) == KEY
    vault.forget_salt("a" * 64)
    assert vault.get_salt("a" * 64) is None
    assert KEY not in vault.path.read_bytes()


def test_a_salt_is_not_replaced(vault: Vault) -> None:
    """Another salt under the same digest, or a short one, is refused."""
    vault.put_salt("a" * 64, KEY)

    with pytest.raises(RefusedError, match="no new salt of 32 bytes"):
        vault.put_salt("a" * 64, KEY[::-1])
    with pytest.raises(RefusedError, match="no new salt of 32 bytes"):
        vault.put_salt("b" * 64, KEY[1:])


def test_orphans_are_swept_and_nobody_else(vault: Vault) -> None:
    """A row whose entry was never appended goes, and its name with it."""
    vault.put(SUBJECT, "person.name", "Benji Takahashi-Cole", KEY)
    vault.put(OTHER, "person.name", "Philippa Osei", KEY)

    assert vault.sweep([OTHER]) == (SUBJECT,)
    assert vault.sweep([OTHER]) == ()
    assert vault.subjects() == {OTHER}
    assert not folder_holds(vault.path.parent, "Benji")


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE opening SET value = 'Somebody Else'",
        "UPDATE opening SET value = 'bad' || char(7)",
        "UPDATE opening SET value = CAST(x'ff41' AS TEXT)",
        "UPDATE opening SET value = x'41'",
        "UPDATE opening SET key = zeroblob(32)",
        "UPDATE opening SET key = 'text'",
        "UPDATE opening SET field = 'person.name', subject = subject, commitment = "
        "'0000000000000000000000000000000000000000000000000000000000000000'",
        "UPDATE opening SET sealed = x'00', value = NULL, key = NULL",
    ],
)
def test_an_altered_row_is_found(vault: Vault, change: str) -> None:
    """What no longer opens its commitment is never shown as somebody's name."""
    vault.put(SUBJECT, "person.name", "Ines Carvalhal", KEY)
    altered(vault, change)

    with pytest.raises(TamperError, match="put back the newest copy"):
        vault.get(SUBJECT, "person.name", office=RUKMINI)


def test_the_audit_hears_of_every_altered_row(vault: Vault) -> None:
    """Faults are told one by one, without the names."""
    vault.put(SUBJECT, "person.name", "Ines Carvalhal", KEY)
    vault.put(OTHER, "person.name", "Dmitri Lazarev", KEY)
    whole = vault.faults()
    altered(vault, "UPDATE opening SET value = 'X' WHERE value LIKE 'Dmitri%'")
    faults = vault.faults()

    assert whole == ()
    assert len(faults) == 1
    assert OTHER in faults[0]
    assert "Dmitri" not in faults[0]


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE office_holder SET sealed = zeroblob(80)",
        "UPDATE office_holder SET sealed = 'text'",
        "UPDATE office SET public = x'" + "07" * 32 + "'",
        "UPDATE office SET public = x'07'",
    ],
)
def test_an_altered_office_key_is_found(
    vault: Vault, office: X25519PrivateKey, change: str
) -> None:
    """A key that is not the one shared is not used."""
    altered(vault, change)

    with pytest.raises(TamperError, match="put back the newest copy"):
        vault.open_office(RUKMINI)


def test_salts_are_listed_and_forgotten_together(vault: Vault) -> None:
    """Those that are not named stay."""
    digests = [letter * 64 for letter in "abc"]
    for digest in digests:
        vault.put_salt(digest, KEY, SUBJECT)
    assert vault.salted() == frozenset(digests)
    vault.forget_salt(*digests[:2])

    assert vault.salted() == {"c" * 64}
