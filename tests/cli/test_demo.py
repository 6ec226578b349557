"""flitchbook demo: every paper it prints can be read, and judged by a stranger."""

import json
import os
import re
import shutil
import sys
from hashlib import sha256
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from cli import demo
from cli.context import now
from demo import cast
from labels import picture
from ledger.acts.certificates import certificate_paper
from ledger.acts.heads import read_notes
from ledger.acts.shop import open_shop
from ledger.acts.signing import find_person, person_key
from ledger.check import CANNOT_TELL, NO, YES, check
from ledger.ids import BoardId
from ledger.log.checkpoint import parse_checkpoint, parse_note
from tests import browser as browsers
from tests import skerrymoor
from tests.cli.bench import Bench
from tests.labels import reading
from tests.played import flitchbook
from tests.vectors.test_by_hand import root_by_hand

PAPERS = {
    "build-tag": 2,
    "certificate-A4": 4,
    "certificate-Letter": 5,
    "labels-roll-203dpi": 15,
    "labels-sheet-A4": 1,
    "materials-list-A4": 4,
    "packing-list-A4": 2,
    "chain-of-custody-A4": 4,
    "owner-card": 2,
}
WOOD = {
    "family": 1,
    "figure": 1,
    "for-the-sawyer": 1,
    "match-cards": 4,
    "seasoning": 1,
    "spectrum": 1,
    "stack": 1,
    "tap-series": 1,
    "timeline": 1,
    "voice": 1,
    "witness-slip": 1,
    "wood-map": 1,
}
GOLDEN = "f354d84e313e08603599db6536df849016c73da08fe9008c2b9dafed05051fa2"


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory, demo_folder: Path) -> Path:
    """Give the folder that the demo leaves behind."""
    folder = tmp_path_factory.mktemp("demo") / "out"
    shutil.copytree(demo_folder, folder)
    return folder


@pytest.fixture(scope="module")
def keys(played: Path) -> bytes:
    """Give the shop's keys file."""
    return (played / "keys.json").read_bytes()


@pytest.fixture(scope="module")
def certificate(played: Path) -> bytes:
    """Give the certificate's paper."""
    return (played / "papers" / "certificate-A4.pdf").read_bytes()


@pytest.mark.parametrize(("folder", "papers"), [("papers", PAPERS), ("wood", WOOD)])
def test_each_paper_has_its_pictures(
    played: Path, folder: str, papers: dict[str, int]
) -> None:
    """A PDF of each, and a PNG of each of its pages."""
    drawn = {
        f"{name}{end}"
        for name, pages in papers.items()
        for end in (".pdf", *(f"-{page + 1}.png" for page in range(pages)))
    }

    assert {path.name for path in (played / folder).iterdir()} == drawn


def test_everything_is_there(played: Path) -> None:
    """Shop, sticks, keys, export, papers, and the pictures of the wood."""
    assert {path.name for path in played.iterdir()} == {
        "START-HERE.txt",
        "export",
        "keys.json",
        "papers",
        "photographs",
        "shop",
        "sticks",
        "verify.html",
        "wood",
    }
    assert len(list((played / "sticks").iterdir())) == 3


def test_the_page_says_yes_to_the_certificate(played: Path, browser: Browser) -> None:
    """Whoever opens both, with no network, sees the instrument."""
    with browsers.page(browser) as page:
        page.goto((played / "verify.html").as_uri())
        page.wait_for_selector("#ways:not([hidden])")
        page.set_input_files("#file", played / "papers" / "certificate-A4.pdf")
        page.wait_for_selector('#word:is([data-word="YES"], [data-word="NO"])')

        assert page.get_attribute("#word", "data-word") == "YES"
        assert cast.FIRST_SERIAL in page.inner_text("body")

        (_, second, *_) = sorted((played / "photographs").iterdir())
        page.set_input_files("#photo", second)
        page.wait_for_selector("text=photograph 2 of 4 of the certificate")


def test_what_to_do_first_works_as_it_is_written(played: Path) -> None:
    """Each command of START-HERE, typed in its folder."""
    text = (played / "START-HERE.txt").read_text(encoding="utf-8")
    typed = [line.split()[1:] for line in text.splitlines() if "  flitchbook " in line]
    answers = [flitchbook(*words, cwd=played) for words in typed]

    assert len(typed) == 6 + len(WOOD) and GOLDEN in text
    assert {(done.returncode, done.stderr) for done in answers} == {(0, "")}
    checked, traced, signed, promised, *more = (done.stdout for done in answers)
    shown, audited, *wood = more
    assert checked.startswith("YES\n") and "serial       26-0147-3" in checked
    assert traced.startswith("26-0147-3  Tidewarden")
    assert "press the frets" in signed and "countersigned in entry" in signed
    assert "width at the nut" in promised and "44.5 mm" in promised
    assert shown.startswith("L26-001-11.A") and "GPa" in shown
    assert audited.startswith("whole: ")
    rested, rang, mapped, matched, tapped, voiced, *more, sold, head = wood
    made, waited, sawn, left = (said.replace("\u2009", " ") for said in more)
    assert "most to lose: L26-001-22.B" in rested and "18 boards" in mapped
    assert "twist" in rang and "as expected" in tapped and "strung" in voiced
    assert matched.startswith("26-0149-0: L26-001-14.A with L26-001-14.B")
    assert sold.startswith("Valdesund Skog\n") and "26-0147-3" not in sold
    assert made.startswith("26-0147-3 is made of 6 woods in 13 parts.")
    assert waited.startswith("7 lots waited up to 34 months and became 26-0147-3")
    assert sawn.startswith("Of 884 g of L24-002-01, 459 g is in 1 instrument")
    assert left.startswith("8.66 kg is left of 10.92 kg that came in as L26-001.")
    assert head.startswith("ledger-")


def test_the_pictures_of_the_wood_say_what_the_record_holds(played: Path) -> None:
    """As of the story's last day, by the commands that START-HERE names."""
    found = {
        name: reading.text((played / "wood" / f"{name}.pdf").read_bytes(), 0)
        for name in WOOD
    }

    assert "10 of 12 ready" in found["seasoning"]
    assert "L26-001-11.A with L26-001-11.B" in found["match-cards"]
    assert "top of 26-0147-3" in found["match-cards"]
    assert "returned, 1" in found["wood-map"]
    assert "98.4" in found["voice"] and "strung" in found["voice"]
    assert "Valdesund Skog" in found["for-the-sawyer"]
    assert cast.OWNER not in "".join(found.values())


def test_the_program_is_named_so_that_it_is_found(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """By its path, where its name alone would not find it."""
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(sys, "argv", [str(tmp_path / "bin" / "flitchbook")])

    assert demo.program() == str(tmp_path / "bin" / "flitchbook")


def test_its_people_can_sign(played: Path) -> None:
    """Every PIN in START-HERE opens its key."""
    text = (played / "START-HERE.txt").read_text(encoding="utf-8")
    shop = open_shop(played / "shop", now=now, entropy=os.urandom)
    for builder in (cast.LEAD, cast.OFFICE, *cast.BUILDERS):
        person = find_person(shop, builder.badge)

        assert f"  {builder.badge}  PIN {builder.pin}  {builder.name}\n" in text
        assert person_key(shop, person, builder.pin).id == person.key
    shop.close()


def test_a_second_demo_does_not_write_over_the_first(bare: Bench, played: Path) -> None:
    """Nor over a file; the folder is named."""
    before = {path: path.stat().st_mtime_ns for path in played.rglob("*")}

    bare.refuses(f"demo --out {played}", "is not empty: name a new folder with --out")
    bare.refuses("demo --out pins", "pins is a file: name a new folder with --out")
    assert {path: path.stat().st_mtime_ns for path in played.rglob("*")} == before


def test_a_demo_that_fails_leaves_nothing(bare: Bench) -> None:
    """Where no folder can be made, none is made."""
    said = bare.run("demo --out /proc/demo")

    assert said.code == 1
    assert said.err.startswith("flitchbook: ") and said.err.count("\n") == 1


@pytest.mark.parametrize("paper", ["certificate-A4", "certificate-Letter"])
def test_a_certificate_is_judged_in_an_empty_folder(
    played: Path, keys: bytes, tmp_path: Path, paper: str
) -> None:
    """YES with the keys file alone, CANNOT TELL without."""
    pdf = (played / "papers" / f"{paper}.pdf").read_bytes()
    (tmp_path / "paper.pdf").write_bytes(pdf)
    (tmp_path / "keys.json").write_bytes(keys)
    alone = ("certificate", "check", "paper.pdf")
    with_keys = flitchbook(*alone, "--keys", "keys.json", cwd=tmp_path)

    assert (with_keys.returncode, with_keys.stdout[:4]) == (0, "YES\n")
    without = flitchbook(*alone, cwd=tmp_path)
    assert (without.returncode, without.stdout[:12]) == (1, "CANNOT TELL\n")


def test_no_byte_of_the_certificate_can_be_changed(
    certificate: bytes, keys: bytes
) -> None:
    """A byte changed anywhere within the attachment is a NO, every fortieth tried."""
    begin = certificate.index(b'{"disclosed"')
    end = certificate.index(b"\nendstream", begin)
    for place in range(begin, end, 40):
        altered = bytearray(certificate)
        altered[place] ^= 1

        assert check(bytes(altered), keys).word == NO, place
    assert check(certificate, keys).word == YES


def test_the_attachments_are_what_they_are_said_to_be(
    played: Path, certificate: bytes, keys: bytes
) -> None:
    """The certificate file alone is judged as the paper is."""
    begin = certificate.index(b'{"disclosed"')
    file = certificate[begin : certificate.index(b"\nendstream", begin)].rstrip(b"\r")

    assert check(file, keys).word == YES
    assert check(file, keys).facts == check(certificate, keys).facts


@pytest.mark.parametrize(
    ("paper", "page"),
    [("certificate-A4", 0), ("certificate-Letter", 0), ("owner-card", 1)],
)
def test_the_card_s_square_is_read_and_judged(
    played: Path, keys: bytes, tmp_path: Path, paper: str, page: int
) -> None:
    """A camera reads one text off the paper; with the keys file it is a YES."""
    pdf = (played / "papers" / f"{paper}.pdf").read_bytes()
    (text,) = reading.symbols(picture.grey(pdf, page=page, dpi=600))
    (tmp_path / "card.txt").write_text(text)
    (tmp_path / "keys.json").write_bytes(keys)
    words = ("certificate", "check", "card.txt", "--keys", "keys.json", "--json")
    told = json.loads(flitchbook(*words, cwd=tmp_path).stdout)

    assert text.startswith(f"https://{cast.HOST}/v#")
    assert (told["answer"], told["card"]["serial"]) == ("YES", "26-0147-3")
    assert told["card"]["mass"] == 1986
    digit = text[-9]
    changed = text[:-9] + str((int(digit) + 1) % 10) + text[-8:]
    assert check(changed.encode(), keys).word == NO


@pytest.mark.parametrize(
    ("paper", "dpi", "labels"),
    [("labels-roll-203dpi", 203.2, 15), ("labels-sheet-A4", 600, 46)],
)
def test_every_label_is_read_off_its_paper(
    played: Path, paper: str, dpi: float, labels: int
) -> None:
    """Both squares of each, as black and white dots, name the board in this shop."""
    pdf = (played / "papers" / f"{paper}.pdf").read_bytes()
    read = [
        text
        for page in range(picture.pages(pdf))
        for text in reading.symbols(picture.one_bit(pdf, page=page, dpi=dpi))
    ]

    assert len(read) == 2 * labels and len(set(read)) == labels
    boards = [str(BoardId.from_scan(text)) for text in sorted(set(read))]
    copied = "".join(reading.text(pdf, page) for page in range(picture.pages(pdf)))
    assert all(board in copied for board in boards)
    assert all(text.startswith("HTTPS://SKM.EXAMPLE/B/") for text in read)


def test_the_exported_record_is_verified_by_hand(played: Path) -> None:
    """Hash, JSON, base64 and Ed25519 find the root that the checkpoint states."""
    size, root = root_by_hand(played / "export" / "records.txt")
    notes = (played / "export" / "checkpoints").read_text(encoding="utf-8")
    newest = parse_checkpoint(parse_note(read_notes(notes)[-1]))

    assert (size, root) == (newest.size, newest.root.hex())


def test_the_log_knows_which_papers_were_printed(played: Path) -> None:
    """The digest of every paper stands in an entry."""
    records = (played / "export" / "records.txt").read_text(encoding="utf-8")
    papers = (played / "papers").glob("*.pdf")

    assert [
        path.name
        for path in papers
        if sha256(path.read_bytes()).hexdigest() not in records
    ] == []


def test_a_shop_of_the_same_name_is_another_shop(
    keys: bytes, tmp_path: Path, certified_folder: Path
) -> None:
    """Its certificate, of the same number, cannot be told by this shop's keys."""
    other = skerrymoor.again(tmp_path, certified_folder, "another shop")
    paper = certificate_paper(other.shop, "C-2026-00001")
    other.shop.close()
    answer = check(paper.file.data, keys)

    assert paper.shop == cast.SHOP
    assert (answer.word, bool(answer)) == (CANNOT_TELL, False)
    assert "a shop of the same name is another shop" in answer.reasons[0]


def test_what_is_of_an_animal_is_on_the_materials_list(played: Path) -> None:
    """The bone of nut and saddle, by its scientific name and its batch."""
    pdf = (played / "papers" / "materials-list-A4.pdf").read_bytes()
    said = "".join(reading.text(pdf, page) for page in range(picture.pages(pdf)))

    assert "bone blanks for nuts and saddles (Bos taurus, M26-007)" in said
    assert "None on record" not in said


def test_each_instrument_is_told_and_what_went_wrong_on_its_way(played: Path) -> None:
    """Its road, its signatures, its certificate; then its mishaps under its serial."""
    text = (played / "START-HERE.txt").read_text(encoding="utf-8")
    told = text.partition("What went wrong")[2].partition("The commands below")[0]
    groups = re.findall(r"^ (\S[^\n]*):\n((?:  [^\n]*\n)+)", told, flags=re.MULTILINE)

    assert "26-0147-3  Tidewarden, flat-top guitar, dreadnought-size:" in text
    assert "    42 steps, 50 signatures of 9 people, C-2026-00001" in text
    assert "    50 steps, 57 signatures of 7 people, C-2026-00002" in text
    assert "    33 steps, 38 signatures of 7 people, C-2026-00003" in text
    assert {where: said.count("  - ") for where, said in groups} == {
        "the rack": 4,
        "26-0147-3": 3,
        "26-0151-2": 3,
        "26-0152-9": 3,
    }
