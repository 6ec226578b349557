"""The machine dies, and last Thursday's copy is put back in its place.

On Friday an instrument was numbered, built and certified, a slip was pinned to a wall,
and a neighbour signed the head as a witness. Whatever is left of that Friday, in the
account, on paper or in another house, tells how many entries are missing; nothing is
recorded then, and no number is given again.
"""

import shutil
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from ledger.acts import certificates, outside, witnesses
from ledger.acts.copies import back_up
from ledger.acts.heads import sign_head
from ledger.acts.signing import card_key
from ledger.acts.witnessing import Holder, witness
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.words import ten_words
from tests import skerrymoor
from tests.cli import bench as benches
from tests.cli.bench import Bench
from tests.cli.rounds import Walk
from tests.ledger.log.witnessed import WITNESS, WITNESS_KEY

AUDIT = "record audit --level tree --against"
NOTARY = Holder(name=WITNESS, secret=WITNESS_KEY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Friday:
    """What is left of a Friday: a slip's words, a card's text, a witness's note."""

    thursday: int
    size: int
    slip: str
    card: str
    serial: str


@pytest.fixture(scope="module")
def friday(
    tmp_path_factory: pytest.TempPathFactory, staffed_folder: Path
) -> tuple[Path, Friday]:
    """Give the folder of a shop that was put back, and what is left of its Friday."""
    folder = tmp_path_factory.mktemp("friday")
    loft = skerrymoor.again(folder, staffed_folder, "friday")
    shop = loft.shop = replace(loft.shop, state=folder / "account")
    copy = back_up(shop, folder / "backups")
    thursday = shop.store.head().size
    serial = loft.build()
    number = loft.issue(serial)
    known = witnesses.add(shop.folder, "harbour-notary", NOTARY.key)
    given = witnesses.give(shop, known)
    witness(
        folder / "memory",
        given.text.encode(),
        holder=NOTARY,
        log=outside.log_keys(shop.store)[0],
        now=shop.now(),
    )
    head = parse_checkpoint(parse_note(sign_head(shop)))
    paper = certificates.certificate_paper(shop, number)
    lead = card_key(shop, loft.person("01"), skerrymoor.LEAD.pin)
    left = Friday(
        thursday=thursday,
        size=head.size,
        slip=f"{head.size:,} {' '.join(ten_words(head.root))}",
        card=certificates.card_text(shop, paper, lead),
        serial=serial,
    )
    shop.close()
    shutil.rmtree(shop.folder)
    shutil.copytree(copy, shop.folder)
    return folder, left


@pytest.fixture
def bench(
    tmp_path: Path,
    friday: tuple[Path, Friday],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> Bench:
    """Stand on Monday at the shop that was put back, on a machine that is new."""
    shutil.copytree(friday[0], tmp_path, dirs_exist_ok=True)
    return benches.opened(tmp_path, monkeypatch, capsys)


@pytest.fixture
def left(friday: tuple[Path, Friday]) -> Friday:
    """Give what is left of Friday."""
    return friday[1]


def missing(left: Friday) -> str:
    """Return how many entries the copy lacks, as it is said."""
    return f"{left.size - left.thursday:,} entries are missing"


def test_the_account_that_worked_on_friday_knows(bench: Bench, left: Friday) -> None:
    """Reading is warned and goes on; nothing is recorded, signed or numbered."""
    bench.patch.setenv("FLITCHBOOK_STATE", "account")
    size = left.size
    read = bench.run("person list")

    assert read.code == 0 and "Jakub Wolański" in read.out
    assert read.err.startswith(
        f"WARNING: this ledger ends at {left.thursday:,}; a checkpoint of Monday "
        f"2026-01-05, kept in this account on this machine, proves {size:,} existed: "
        f"{missing(left)}; nothing is recorded on it: bring back the newest backup"
    )
    for command in (
        "shop room --temperature 20C --humidity 44%RH --by 02",
        "lot receive --species 'Picea abies' --form sawn --boards 1 --opening --by 02",
        "person enrol 'Teresa Quispe' --badge 04 --by 12 --approve 01",
    ):
        said = bench.run(command)
        assert (said.code, said.out) == (1, "")
    said = bench.run("record checkpoint")
    assert (said.code, said.out) == (1, "")
    assert missing(left) in said.err.splitlines()[-1]
    audited = bench.run("record audit --level tree")
    assert audited.code == 1
    assert f"missing: this ledger ends at {left.thursday:,}" in audited.out


def test_a_round_with_a_scanner_is_warned_and_refused(
    bench: Bench, left: Friday
) -> None:
    """Before anything is scanned."""
    bench.patch.setenv("FLITCHBOOK_STATE", "account")
    said = Walk(bench=bench).says(["done"])

    assert said.err.startswith("WARNING: this ledger ends at ")
    assert missing(left) in said.err


def test_a_new_machine_learns_it_from_a_slip_typed_by_hand(
    bench: Bench, left: Friday
) -> None:
    """Offline, from a paper on the wall; typed words accuse nobody for good."""
    bench.does("record whole")
    told = bench.run(f"{AUDIT} '{left.slip}'")

    assert (told.code, told.out[:8]) == (1, "CHANGED:")
    assert f"missing: a checkpoint proves that {left.size} entries existed" in told.out
    assert missing(left) in told.out
    bench.does("shop room --temperature 20C --humidity 44%RH --by 02")


def test_a_new_machine_learns_it_from_an_owner_s_card(
    bench: Bench, left: Friday
) -> None:
    """The card speaks of an entry that is not there."""
    told = bench.run(f"{AUDIT} '{left.card}'")

    assert (told.code, told.out[:8]) == (1, "CHANGED:")
    assert "missing: a card proves that " in told.out


def test_a_witness_stops_it_for_everybody(bench: Bench, left: Friday) -> None:
    """Its note is kept; no serial and no certificate's number is given again."""
    (note,) = Path("memory").glob("*/checkpoint")
    told = bench.run(f"{AUDIT} {note}")
    assert (told.code, told.out[:8]) == (1, "CHANGED:")
    assert "It is kept as evidence" in told.out

    for account in ("another", "a-third"):
        bench.patch.setenv("FLITCHBOOK_STATE", account)
        for command in (
            "build begin Tidewarden --by 01",
            f"certificate issue {left.serial} --out c.pdf --by 01",
            "shop room --temperature 20C --humidity 44%RH --by 02",
        ):
            said = bench.run(command)
            assert (said.code, said.out) == (1, ""), said
        assert missing(left) in said.err
    bench.patch.setenv("FLITCHBOOK_STATE", "account")
    size = bench.run("shop show --json")
    assert f'"size": {left.thursday}' in size.out


def test_no_copy_is_left_and_the_log_goes_on_in_a_next_volume(
    bench: Bench, left: Friday
) -> None:
    """Two roots sign; what is lost is told for ever, and no number is given again."""
    bench.patch.setenv("FLITCHBOOK_STATE", "account")
    roots = "--by 01 --root sticks/root-1.json --root sticks/root-2.json"
    issued = f"--issued {left.serial} --issued C-2026-00001"
    told = bench.run(f"shop continue {issued} {roots}")
    lost = left.size - left.thursday

    assert told.code == 0, told
    assert f"{lost} entries are lost of ledger-" in told.out
    bench.does("shop room --temperature 20C --humidity 44%RH --by 02")
    gap = f"Lost for good: {lost} entries are lost"
    shown = bench.run("shop show")
    assert gap in shown.out and shown.err == ""
    assert gap in bench.does("record audit --level tree")
    assert "lost: what you gave" in bench.does(f"{AUDIT} '{left.slip}'")
    # A card names no log, so that nobody can know of which volume it is.
    said = bench.run(f"{AUDIT} '{left.card}'")
    assert (said.code, "or it is of entries that are lost" in said.out) == (1, True)
    (note,) = Path("memory").glob("*/checkpoint")
    assert "speaks of entries that are lost" in bench.does(f"{AUDIT} {note}")
    bench.refuses(
        f"certificate issue {left.serial} --out c.pdf --by 01", "entries that are lost"
    )
    bench.does(f"shop keys {roots.removeprefix('--by 01 ')}")
