"""flitchbook certificate photographs: files are given, and compared by a check."""

import json
from hashlib import sha256
from pathlib import Path

import pytest

from tests import aftersale
from tests.cli.bench import Bench
from tests.cli.onward import onward
from tests.ledger.acts.photographed import photographed

SERIAL, NUMBER = "26-0002-6", "C-2026-00002"
GIVE = f"certificate photographs {NUMBER}"


@pytest.fixture
def pictured(bench: Bench, kept: Path) -> Bench:
    """Give a bench with an instrument that was photographed: its top, and at a step."""
    for name, shade in (("front.png", 40), ("braced.png", 90)):
        aftersale.picture(bench.folder / name, shade)
    onward(bench, kept / "pictured", _issue)
    return bench


def _issue(bench: Bench) -> None:
    for command in (
        "model define Slipway --instrument ukulele --part top --step a=brace --by 01",
        "build begin Slipway --by 01",
        "board number L26-001 --by 02 --for top --length '559 mm' --width '203 mm' "
        "--thickness '4.2 mm' --mass '205 g'",
        "board photograph L26-001-02 front.png --by 02",
        f"build allot {SERIAL} L26-001-02 --part top --by 03",
        f"build sign {SERIAL} a --by 03 --weighed 'top=190 g' --measured 'mass=2 kg' "
        "--photo braced.png",
        f"certificate issue {SERIAL} --by 01 --out certificate.pdf",
        "shop keys --root sticks/root-1.json --root sticks/root-2.json",
    ):
        bench.run(command)


def test_the_files_are_given_as_they_were_filed(pictured: Bench) -> None:
    """In the certificate's order, each with its digest; a folder in use is none."""
    told = pictured.data(f"{GIVE} given")
    filed = [
        (pictured.folder / name).read_bytes() for name in ("front.png", "braced.png")
    ]

    assert [each["file"] for each in told["photographs"]] == [
        f"given/{SERIAL}-1.png",
        f"given/{SERIAL}-2.png",
    ]
    for each, data in zip(told["photographs"], filed, strict=True):
        assert (pictured.folder / each["file"]).read_bytes() == data
        assert each["sha256"] == sha256(data).hexdigest()
    pictured.refuses(f"{GIVE} given", "given is not empty: name a new folder")


def test_each_is_told_with_what_it_shows(pictured: Bench) -> None:
    """Found by the serial too."""
    said = pictured.does(f"certificate photographs {SERIAL} given")

    assert said.startswith(f"{NUMBER} names 2 photographs; 2 are in given:\n")
    (pictured.folder / "shop/attachments" / digest_of(pictured, "front.png")).unlink()
    again = pictured.does(f"certificate photographs {SERIAL} again")
    assert again.startswith(f"{NUMBER} names 2 photographs; 1 is in again:\n")
    assert f"1  {SERIAL}-1.png (top, L26-001-02, front, entry " in said
    assert f"2  {SERIAL}-2.png (a, entry " in said


def test_a_file_that_is_gone_is_told_and_the_other_given(pictured: Bench) -> None:
    """Where all of them are gone no folder is made."""
    front, braced = (digest_of(pictured, n) for n in ("front.png", "braced.png"))
    shelf = pictured.folder / "shop" / "attachments"
    (shelf / front).unlink()
    told = pictured.data(f"{GIVE} given")["photographs"]

    assert [each["file"] for each in told] == [None, f"given/{SERIAL}-2.png"]
    assert front in told[0]["why_not"]
    (shelf / braced).write_bytes(b"nothing")
    pictured.refuses(f"{GIVE} other", f"no photograph of {NUMBER} can be given")


def test_what_may_show_somebody_who_was_erased_is_kept_back(pictured: Bench) -> None:
    """The certificate names it still."""
    pictured.does("person erase 03 --by 12 --approve 01")
    told = pictured.data(f"{GIVE} given")["photographs"]

    assert [each["file"] for each in told] == [f"given/{SERIAL}-1.png", None]
    assert "name was erased" in told[1]["why_not"]


def test_a_certificate_without_photographs_says_so(bench: Bench) -> None:
    """As do a number that is none, and one that nobody issued."""
    bench.refuses("certificate photographs C-2026-00001 given", "names no photograph")
    bench.refuses(
        "certificate photographs C-2026-00009 given", "there is no certificate"
    )


def test_a_photograph_is_compared_with_the_certificate(pictured: Bench) -> None:
    """One of them is told by its place; another file is none of them, and no yes."""
    check = "certificate check certificate.pdf --keys shop/published/keys-0001.json"
    said = pictured.run(f"{check} --photograph braced.png")

    assert said.code == 0 and "braced.png is photograph 2 of 2" in said.out
    assert f"photograph   1: SHA-256 {digest_of(pictured, 'front.png')}" in said.out

    other = pictured.run(f"{check} --photograph certificate.pdf")

    assert other.code == 1 and other.out.startswith("YES\n")
    why = "and certificate.pdf is none of the 2 photographs that it names; a copy"
    assert f"  the certificate holds, {why}" in other.out
    told = pictured.data(f"{check} --photograph front.png")["photograph"]
    assert (told["answer"], told["place"], told["of"]) == ("named", 1, 2)
    told = json.loads(pictured.run(f"{check} --photograph certificate.pdf --json").out)[
        "photograph"
    ]
    assert (told["answer"], told["place"], told["of"]) == ("not named", None, 2)
    pictured.refuses(f"{check} --photograph none.png", "there is no file none.png")


def test_nothing_is_compared_with_what_does_not_hold(pictured: Bench) -> None:
    """A certificate with a letter changed, and one that is none."""
    pdf = (pictured.folder / "certificate.pdf").read_bytes()
    pictured.file("changed.pdf", pdf.replace(b"Slipway", b"Slipwax"))
    for file, why in (
        ("changed.pdf", "what does not hold names no photograph"),
        ("front.png", "nobody vouches for the photographs"),
    ):
        said = pictured.run(f"certificate check {file} --photograph braced.png")

        assert said.code == 1
        assert f"braced.png is not compared: {why}" in said.out


def test_what_nobody_vouches_for_is_not_compared_with(pictured: Bench) -> None:
    """Without the shop's keys anybody may have made it up; a proof names none."""
    check = "certificate check certificate.pdf --photograph braced.png"
    said = pictured.run(check)

    assert said.code == 1 and said.out.startswith("CANNOT TELL\n")
    assert "braced.png is not compared: nobody vouches for the photographs" in said.out
    told = json.loads(pictured.run(f"{check} --json").out)["photograph"]
    assert (told["answer"], told["place"]) == ("not compared", None)
    assert "nobody vouches" in told["reason"]


def test_a_withdrawn_certificate_s_files_are_compared_and_not_given(
    pictured: Bench,
) -> None:
    """What a status list says stands before it; no new paper of it leaves the shop."""
    pictured.does(f"certificate withdraw {NUMBER} --why 'a wrong mass' --by 01")
    pictured.does("certificate status --out list.json --by 01")
    said = pictured.run(
        "certificate check certificate.pdf --keys shop/published/keys-0001.json "
        "--status list.json --photograph braced.png"
    )

    assert said.out.startswith("YES, BUT\n") and "is photograph 2 of 2" in said.out
    pictured.refuses(f"{GIVE} given", f"{NUMBER} of {SERIAL} was withdrawn by entry")


def test_a_file_with_what_a_camera_wrote_is_given_only_if_it_is_asked_for(
    pictured: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One that was filed before a file was bared; it says so when it is given too."""
    pictured.file("crack.jpg", photographed())
    with monkeypatch.context() as before:
        before.setattr("ledger.acts.pictures.bare", lambda data, kind: data)
        pictured.does(f"instrument service {SERIAL} cleated --photo crack.jpg --by 01")
    newer = pictured.data(f"certificate issue {SERIAL} --by 01 --out newer.pdf")
    give = f"certificate photographs {newer['number']}"
    told = pictured.data(f"{give} given")["photographs"]
    beside = "holds what the camera wrote beside the picture, with where it was taken"

    assert [bool(each["file"]) for each in told] == [True, True, False]
    assert [each["beside"] for each in told] == [None, None, f"its file {beside}"]
    assert told[2]["why_not"].endswith("--as-filed gives it all the same")
    said = pictured.does(f"{give} all --as-filed")
    assert "; 3 are in all:" in said and beside in said
    kept = (pictured.folder / "all" / f"{SERIAL}-3.jpg").read_bytes()
    assert kept == photographed()


def digest_of(bench: Bench, name: str) -> str:
    """Return the SHA-256 of a file that somebody named."""
    return sha256((bench.folder / name).read_bytes()).hexdigest()
