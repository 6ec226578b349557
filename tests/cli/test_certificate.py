"""flitchbook certificate: issued once, drawn again, judged by anybody anywhere."""

import json
import shutil
from pathlib import Path

import pytest

from cli import papers
from ledger.check import MARKER
from ledger.errors import RefusedError
from tests.cli.bench import SERIAL, Bench
from tests.cli.onward import onward
from tests.labels import reading

NUMBER = "C-2026-00001"
PRINT = f"certificate print {NUMBER} --by 01"
SECOND = "26-0002-6"


@pytest.fixture
def finished(bench: Bench) -> Bench:
    """Give a bench where a second instrument waits for its certificate."""
    for command in (
        "build begin Tidewarden --by 01",
        "board number L26-001 --by 02 --for top --length '559 mm' --width '203 mm' "
        "--thickness '4.2 mm' --mass '205 g'",
        "board number L26-002 --by 02 --for neck --length '810 mm' --width '95 mm' "
        "--thickness '24 mm' --mass '1 kg'",
        f"build allot {SECOND} L26-001-02 --part top --by 03",
        f"build allot {SECOND} L26-002-02 --part neck --by 03",
        f"build sign {SECOND} brace --by 03 --weighed 'top=190 g'",
        f"build sign {SECOND} 'join the top' --by 03 --weighed 'neck=600 g'",
    ):
        bench.does(command)
    return bench


@pytest.fixture
def printed(bench: Bench, kept: Path) -> Path:
    """Give a certificate and a keys file, and nothing else, in a folder elsewhere."""
    onward(bench, kept / "printed", _print_and_publish)
    elsewhere = bench.folder / "elsewhere"
    elsewhere.mkdir()
    shutil.move("certificate.pdf", elsewhere)
    shutil.copy("shop/published/keys-0001.json", elsewhere / "keys.json")
    bench.patch.chdir(elsewhere)
    for name in ("FLITCHBOOK_SHOP", "FLITCHBOOK_PIN_FILE"):
        bench.patch.delenv(name)
    return elsewhere


def _print_and_publish(bench: Bench) -> None:
    bench.run(f"{PRINT} --out certificate.pdf")
    bench.does("shop keys --root sticks/root-1.json --root sticks/root-2.json")


def test_what_is_missing_is_named_all_at_once(finished: Bench) -> None:
    """Nobody walks to the scales twice."""
    finished.refuses(
        f"certificate issue {SECOND} --by 01 --out c.pdf",
        "the finished instrument is not weighed",
    )
    finished.refuses("certificate issue 26-0009-1 --by 01 --out c.pdf", "the tag again")


def test_an_unsigned_step_stops_the_certificate(bench: Bench) -> None:
    """With every other thing that is missing, in one sentence."""
    bench.does("build begin Tidewarden --by 01")

    bench.refuses(
        f"certificate issue {SECOND} --by 01 --out c.pdf",
        "step brace is not signed; part top has no board; part neck has no board",
    )


@pytest.fixture
def weighed(bench: Bench) -> Bench:
    """Give a bench where a second instrument has all that a certificate needs."""
    bench.does(
        "model define Slipway --instrument ukulele --part top --step a=brace --by 01"
    )
    bench.does("build begin Slipway --by 01")
    bench.does(
        "board number L26-001 --by 02 --for top --length '559 mm' --width '203 mm' "
        "--thickness '4.2 mm' --mass '205 g'"
    )
    bench.does(f"build allot {SECOND} L26-001-02 --part top --by 03")
    bench.does(
        f"build sign {SECOND} a --by 03 --weighed 'top=190 g' --measured 'mass=2 kg'"
    )
    return bench


def test_a_certificate_is_issued_and_drawn(weighed: Bench) -> None:
    """On the paper that was asked for; a second one is refused."""
    told = weighed.data(
        f"certificate issue S/{SECOND} --by 01 --out c.pdf --paper Letter"
    )

    assert told == {"number": "C-2026-00002", "file": "c.pdf"}
    assert (weighed.folder / "c.pdf").read_bytes().startswith(b"%PDF-")
    weighed.refuses(
        f"certificate issue {SECOND} --by 01 --out d.pdf",
        "draw it again with flitchbook certificate print C-2026-00002",
    )


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("--by 03 --out c.pdf", "has no card key: only a lead signs cards"),
        ("--by 01 --out pins", "pins is there already"),
        ("--by 01 --out none/c.pdf", "there is no folder none"),
        ("--by 01 --out c.pdf --approve 99", "nobody here is called '99'"),
    ],
)
def test_no_number_is_taken_for_a_paper_that_cannot_be(
    weighed: Bench, rest: str, why: str
) -> None:
    """Hands and place are looked at before the number is taken."""
    weighed.refuses(f"certificate issue {SECOND} {rest}", why)


def test_a_number_that_was_taken_is_told(
    weighed: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """If drawing fails afterwards, the sentence says how to draw it."""

    def fail(*_: object) -> None:
        raise RefusedError("the ink is out")

    with monkeypatch.context() as patch:
        patch.setattr(papers, "owner_certificate", fail)
        said = weighed.run(f"certificate issue {SECOND} --by 01 --out c.pdf")

    assert (said.code, said.out) == (1, "")
    assert said.err == (
        "flitchbook: C-2026-00002 is issued, but no paper of it is drawn: the ink is "
        "out; draw it with flitchbook certificate print C-2026-00002\n"
    )
    assert not (weighed.folder / "c.pdf").exists()
    assert weighed.run(f"certificate print {SECOND} --by 01 --out c.pdf").code == 0


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"{PRINT} --out pins", "pins is there already: name another with --out"),
        (f"{PRINT} --out /proc/c.pdf", "/proc/c.pdf cannot be written"),
        ("certificate print C-2026-00009 --by 01 --out c.pdf", "nor one of an"),
        (f"certificate print {SERIAL} --by 12 --out c.pdf", "only a lead signs cards"),
    ],
)
def test_a_certificate_is_not_drawn_wrongly(
    bench: Bench, command: str, why: str
) -> None:
    """No file, and no entry that one was printed."""
    bench.does("record checkpoint")
    bench.refuses(command, why)


def test_a_stranger_judges_with_file_and_keys_alone(
    bench: Bench, printed: Path
) -> None:
    """YES comes first, then the record's facts, in another folder without a shop."""
    said = bench.does("certificate check certificate.pdf --keys keys.json")

    assert said.splitlines()[0] == "YES"
    assert f"  serial       {SERIAL}\n" in said
    assert "compare these facts with the paper and with the instrument" in said
    assert {path.name for path in printed.iterdir()} == {
        "certificate.pdf",
        "keys.json",
    }


def test_without_keys_nobody_can_tell(bench: Bench, printed: Path) -> None:
    """The facts are shown as claims, and the exit is 1."""
    said = bench.run("certificate check certificate.pdf")

    assert said.code == 1
    assert said.out.startswith("CANNOT TELL\n  whole in itself; signed by key ")
    assert "It claims, and nobody vouches:" in said.out


def test_one_changed_byte_is_a_no(bench: Bench, printed: Path) -> None:
    """After NO nothing of the record is shown as if it were true."""
    data = (printed / "certificate.pdf").read_bytes()
    altered = data.replace(f'"{SERIAL}'.encode(), b'"26-0001-9', 1)
    altered = altered.replace(f'\\"{SERIAL}'.encode(), b'\\"26-0001-9', 1)
    (printed / "certificate.pdf").write_bytes(altered)
    said = bench.run("certificate check certificate.pdf --keys keys.json")

    assert altered != data
    assert (said.code, said.err) == (1, "")
    assert said.out.startswith("NO\n") and "serial" not in said.out


@pytest.mark.parametrize(
    ("rest", "word"),
    [
        ("certificate.pdf --keys keys.json", "YES"),
        ("certificate.pdf", "CANNOT TELL"),
        ("certificate.pdf --keys certificate.pdf", "CANNOT TELL"),
        ("keys.json --keys keys.json", "CANNOT TELL"),
    ],
)
def test_a_program_is_answered_in_json(
    bench: Bench, printed: Path, rest: str, word: str
) -> None:
    """Stable names, whatever the answer is."""
    said = bench.run(f"certificate check {rest} --json")
    told = json.loads(said.out)

    assert told["answer"] == word
    assert said.code == (0 if word == "YES" else 1)
    assert told.keys() == {
        "answer",
        "reasons",
        "facts",
        "names",
        "entry",
        "entered",
        "kind",
        "signed_by",
        "keys_date",
        "card",
        "letters",
        "status",
    }
    # A keys file alone vouches for others and has no facts of its own.
    assert (told["facts"] is None) is rest.startswith("keys.json")


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("none.pdf", "there is no file none.pdf"),
        (".", ". is a folder: name a file in it"),
        ("certificate.pdf --keys none.json", "there is no file none.json"),
    ],
)
def test_a_file_that_cannot_be_read_is_named(
    bench: Bench, printed: Path, rest: str, why: str
) -> None:
    """It is no NO: nothing was judged."""
    bench.refuses(f"certificate check {rest}", why)


@pytest.mark.parametrize("keep", [0, 4, 100, 1000])
def test_where_nothing_signed_is_left_nobody_can_tell(
    bench: Bench, printed: Path, keep: int
) -> None:
    """A page that ends before its attachment is like a scan: it says what to do."""
    path = printed / "certificate.pdf"
    path.write_bytes(path.read_bytes()[:keep])
    said = bench.run("certificate check certificate.pdf --keys keys.json")

    assert (said.code, said.err) == (1, "")
    assert said.out.startswith("CANNOT TELL\n  nothing signed is found in this file: ")
    assert said.out.count("\n") == 2


@pytest.mark.parametrize("more", [0, 100, 1000])
def test_a_certificate_that_was_cut_off_is_a_no(
    bench: Bench, printed: Path, more: int
) -> None:
    """However much is left of it."""
    path = printed / "certificate.pdf"
    data = path.read_bytes()
    path.write_bytes(data[: data.index(MARKER) + len(MARKER) + more])
    said = bench.run("certificate check certificate.pdf --keys keys.json")

    assert (said.code, said.out[:3], said.err) == (1, "NO\n", "")


def test_a_certificate_speaks_the_language_asked_for_or_the_shop_s(
    bench: Bench,
) -> None:
    """The file inside is the same, and four languages are named to whoever errs."""
    bench.does(f"{PRINT} --out fr.pdf --language fr")
    bench.setting(language="de")
    bench.does(f"{PRINT} --out de.pdf")
    bench.does(f"{PRINT} --out en.pdf --language en")
    french, german, english = (
        " ".join(reading.text((bench.folder / name).read_bytes()).split())
        for name in ("fr.pdf", "de.pdf", "en.pdf")
    )

    assert "Fait par ces mains, de ces arbres." in french
    assert "Von diesen Händen, aus diesen Bäumen." in german
    assert "Made by these hands, from these trees." in english
    verdicts = [bench.run(f"certificate check {n}.pdf") for n in ("fr", "de", "en")]
    assert "whole in itself" in verdicts[0].out
    assert verdicts[0] == verdicts[1] == verdicts[2]
    wrong = bench.run(f"{PRINT} --out x.pdf --language tlh")
    assert wrong.code == 2
    assert all(f"'{name}'" in wrong.err for name in ("en", "fr", "de", "es"))
