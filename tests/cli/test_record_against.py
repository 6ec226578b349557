"""flitchbook record audit --against: what was kept outside, held against the log."""

import shutil
from dataclasses import replace
from datetime import date

import pytest

from ledger.acts.certificates import CertificatePaper, certificate_paper
from ledger.acts.shop import open_shop
from ledger.log.card import CardClaims, write_card
from ledger.log.keys import SecretKey
from tests.cli.bench import Bench
from tests.conftest import entropy_from

AGAINST = "record audit --level tree --against"


@pytest.fixture
def older(bench: Bench) -> Bench:
    """Give a bench with a copy of the shop in `older` that lacks the newest entry."""
    shutil.copytree("shop", "older")
    bench.does("build begin Tidewarden --by 01")
    return bench


def words(bench: Bench, command: str = "record checkpoint") -> str:
    """Return the newest head as a paper says it: its number, and ten words."""
    size = bench.data("shop show")["size"]
    return f"{size:,} {bench.does(command).splitlines()[-1]}"


def certificate(bench: Bench) -> CertificatePaper:
    """Return the shop's certificate, with what its card claims."""
    folder = bench.folder / "shop"
    shop = open_shop(folder, now=bench.now, entropy=entropy_from("kept"))
    found = certificate_paper(shop, "C-2026-00001")
    shop.close()
    return found


def carded(claims: CardClaims) -> str:
    """Return a card of some claims; whose key signed it is not asked here."""
    return write_card(claims, SecretKey(bytes(31) + b"c"), host="", listed=())


def forget(bench: Bench) -> None:
    """Stand there as somebody whose account has seen nothing."""
    bench.patch.setenv("FLITCHBOOK_STATE", f"account-{bench.at:%H%M%S}")


def test_what_was_kept_is_read_in_every_form(bench: Bench) -> None:
    """A note, a proof, a certificate, a card, what a witness is given, and words."""
    note = bench.data("record checkpoint")["checkpoint"]
    bench.file("note", note)
    bench.file("asked", f"old 0\n\n{note}")
    bench.file("c.json", certificate(bench).file.data)
    bench.file("proof", certificate(bench).file.proof.text)
    for kept in ("note", "asked", "proof", "c.json", f"'{note}'", f"'{words(bench)}'"):
        said = bench.does(f"{AGAINST} {kept}")
        assert "Compared with " in said, kept


def test_it_is_told_of_how_many_entries_a_checkpoint_was(bench: Bench) -> None:
    """A paper's file may hold another head than the paper prints."""
    kept = bench.data("record checkpoint")
    bench.file("note", kept["checkpoint"])
    spoken, size = words(bench), kept["size"]
    bench.does("build begin Tidewarden --by 01")
    of_note, of_words = (bench.does(f"{AGAINST} {k}") for k in ("note", f"'{spoken}'"))
    told = bench.data(f"{AGAINST} note")

    assert (
        f"Compared with a checkpoint of {size} entries: see that what you hold says "
        f"that number too; 1 entry since rests on the shop's word alone." in of_note
    )
    assert f"Compared with a checkpoint of {size} entries; 1 entry since" in of_words
    assert told["against"]["size"] == size and not told["against"]["is_card"]


def test_a_tag_of_a_year_ago_finds_an_old_backup(older: Bench) -> None:
    """Its words, typed; they accuse nobody for good."""
    said = words(older)
    forget(older)
    told = older.run(f"{AGAINST} '{said}' --shop older")

    assert (told.code, told.out[:8]) == (1, "CHANGED:")
    assert "missing: a checkpoint proves that " in told.out
    assert "1 entry is missing" in told.out
    assert "Read its number and words again before you believe this." in told.out
    assert "kept as evidence" not in told.out
    older.does("build begin Tidewarden --by 01 --shop older")


def test_what_the_log_s_own_key_signed_is_kept(older: Bench) -> None:
    """From then on nothing is recorded, whoever comes, until the entries are back."""
    older.file("note", older.data("record checkpoint")["checkpoint"])
    forget(older)
    told = older.run(f"{AGAINST} note --shop older")
    assert (told.code, told.out[:8]) == (1, "CHANGED:")
    assert "It is kept as evidence: nothing is recorded on this log" in told.out

    forget(older)
    older.refuses(
        "build begin Tidewarden --by 01 --shop older", "1 entry is missing; nothing is"
    )
    shutil.copytree("older/evidence", "shop/evidence")
    older.does("build begin Tidewarden --by 01")


def test_a_card_speaks_of_one_entry(bench: Bench) -> None:
    """It is compared by its leaf where it stands; beyond the end it is missing."""
    paper = certificate(bench)
    card = CardClaims(
        serial=paper.event.serial,
        issued=date(2026, 1, 5),
        certificate="C-2026-00001",
        model="Tidewarden",
        species=(("Picea abies", 190),),
        mass=1986,
        makers=2,
        index=paper.entry.index,
        leaf=paper.file.record.leaf,
        status_token=paper.file.status_token,
    )
    text = carded(card)
    bench.file("card.txt", f"{text}\n")
    for kept in (f"'{text}'", "card.txt"):
        assert "Compared with" in bench.does(f"{AGAINST} {kept}")
    size = bench.data("shop show")["size"]
    other = bench.run(f"{AGAINST} '{carded(replace(card, leaf=bytes(32)))}'")
    beyond = bench.run(f"{AGAINST} '{carded(replace(card, index=size))}'")

    assert other.code == 1
    assert f"entry {card.index} is not the one that the card speaks of" in other.out
    assert beyond.code == 1
    assert f"a card proves that {size + 1} entries existed" in beyond.out
    assert "1 entry is missing" in beyond.out


@pytest.mark.parametrize(
    ("kept", "why"),
    [
        ("''", "--against is empty"),
        ("nothing", "there is no file nothing"),
        ("'two words'", "is no file here, and the words of a paper begin with"),
        ("pins", "pins holds no checkpoint"),
        ("V#12", "the card"),
        ("'x\n\n— y'", "what you typed holds no checkpoint"),
        ("'9,9,9 acorn'", "has 10 words, and 1 are here"),
    ],
)
def test_what_is_none_of_these_is_refused(bench: Bench, kept: str, why: str) -> None:
    """In one sentence that says what to give."""
    bench.refuses(f"{AGAINST} {kept}", why)
