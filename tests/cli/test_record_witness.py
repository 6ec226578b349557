"""flitchbook record witness: by files, from the shop to a neighbour and back."""

import shutil
from pathlib import Path

import pytest

from tests.cli.bench import Bench

SIGN = "record witness sign asked --key notary.key --memory memory --out reply"
NOTARY = "record witness new-key --name harbour.example --out notary.key"


@pytest.fixture
def witnessed(bench: Bench) -> Bench:
    """Give a bench whose shop knows a witness that was told about its log."""
    vkey = bench.data(NOTARY)["vkey"]
    log = bench.data(f"record witness add harbour-notary {vkey}")["log"]
    bench.file("log", log)
    return bench


def signed(bench: Bench, *, told: str = "") -> dict[str, object]:
    """Have the head given, signed and taken; return what the witness told."""
    for name in ("asked", "reply"):
        Path(name).unlink(missing_ok=True)
    bench.does("record witness give harbour-notary --out asked")
    answer = bench.data(f"{SIGN} {told}")
    bench.does("record witness take harbour-notary reply")
    return answer


def test_a_head_is_signed_by_a_neighbour(witnessed: Bench) -> None:
    """Twice: from nothing, and from what was signed before; it counts as outside."""
    log = Path("log").read_text()
    before = witnessed.does("record witness list")
    first = signed(witnessed, told=f"--log '{log}'")
    witnessed.does("build begin Tidewarden --by 01")
    second = signed(witnessed)
    told = witnessed.data("record witness list")
    size = witnessed.data("shop show")["size"]

    assert before == "harbour-notary  harbour.example  has signed nothing yet\n"
    assert (first["before"], second["before"]) == (0, first["size"])
    assert second["size"] == size
    assert told["witnesses"][0]["newest"]["size"] == size
    assert told["witnesses"][0]["newest"]["days_ago"] == 0
    for command in ("shop show", "record whole", "record audit --level roles"):
        assert witnessed.data(command)["outside"] == {
            "size": size,
            "day": f"{witnessed.at:%Y-%m-%d}",
            "how": "signed by witness harbour-notary on",
        }
    assert f" {size} entries of {size}, on 2026-01-05, 0 days ago" in witnessed.does(
        "record witness list"
    )


def test_a_witness_keeps_its_key_under_a_pin(bench: Bench) -> None:
    """It is asked for when something is signed."""
    bench.file("pins", (bench.folder / "pins").read_text() + "witness 8812\n")
    vkey = bench.data(f"{NOTARY} --pin")["vkey"]
    log = bench.data(f"record witness add harbour-notary {vkey}")["log"]
    bench.file("wrong", "witness 8813\n")
    bench.does("record witness give harbour-notary --out asked")
    bench.refuses(f"{SIGN} --log '{log}' --pin-file wrong", "does not open the key")

    assert "8812" not in (bench.folder / "notary.key").read_text()
    assert bench.data(f"{SIGN} --log '{log}'")["before"] == 0


def test_what_does_not_go_on_is_not_signed(witnessed: Bench) -> None:
    """Each refusal says what to do next, and nothing is written."""
    log = Path("log").read_text()
    witnessed.does("record witness give harbour-notary --out asked")
    witnessed.refuses(SIGN, "was not told about the log ledger-")
    wrong = SIGN.replace("notary.key", "log")
    witnessed.refuses(wrong, "log is no key file of a witness")
    witnessed.refuses(f"{SIGN} --log nothing", "no Ed25519 verifier key of a note")
    witnessed.does(f"{SIGN} --log '{log}'")
    witnessed.refuses(SIGN, "reply is there already: name another with --out")
    again = SIGN.replace("reply", "second")
    told = witnessed.run(again)
    size = witnessed.data("shop show")["size"]
    assert told.code == 1 and f"given again from {size} " in told.err
    witnessed.does(f"record witness give harbour-notary --from {size} --out since")
    witnessed.does(again.replace("asked", "since"))

    witnessed.refuses(
        f"record witness give harbour-notary --from {size + 1} --out x",
        f"and this log has {size}",
    )
    witnessed.refuses("record witness give cooper --out x", "no witness 'cooper'")
    witnessed.refuses("record witness take harbour-notary pins", "replies with lines")
    witnessed.file("bytes", b"\xff")
    witnessed.refuses("record witness take harbour-notary bytes", "is no text")
    witnessed.refuses(
        f"record witness add Notary {log}", "copy the whole line name+hash+key"
    )
    witnessed.refuses(NOTARY, "notary.key is there already")
    witnessed.refuses(
        again.replace("asked", "pins").replace("second", "third"),
        "begins with 'old' and a size",
    )


def test_a_fork_is_told_loudly_and_both_notes_are_kept(witnessed: Bench) -> None:
    """The shop that was copied and went two ways shows it to its witness."""
    shutil.copytree("shop", "twin")
    signed(witnessed, told=f"--log '{Path('log').read_text()}'")
    witnessed.does("shop room --temperature 20C --humidity 44%RH --by 02")
    signed(witnessed)
    witnessed.patch.setenv("FLITCHBOOK_STATE", "another-account")
    witnessed.does("shop room --temperature 21C --humidity 44%RH --by 02 --shop twin")
    witnessed.does("record witness give harbour-notary --out twice --shop twin")
    said = witnessed.run(SIGN.replace("asked", "twice").replace("reply", "second"))

    assert (said.code, said.out) == (1, "")
    assert said.err.startswith("flitchbook: FORK: ledger-")
    assert len(list(Path("memory").glob("*/fork-*.note"))) == 2
    assert not Path("second").exists()


def test_a_witness_follows_a_new_log_key(witnessed: Bench) -> None:
    """By the shop's keys file, given once; the refusal before asks for it."""
    roots = "--root sticks/root-1.json --root sticks/root-2.json"
    signed(witnessed, told=f"--log '{Path('log').read_text()}'")
    witnessed.does(f"shop replace-log-key --by 01 {roots}")
    witnessed.does("shop room --temperature 20C --humidity 44%RH --by 02")
    keys = witnessed.data(f"shop keys {roots}")["file"]

    assert signed(witnessed, told=f"--keys {keys}")["before"] > 0  # type: ignore[operator]
    assert signed(witnessed)["size"] == witnessed.data("shop show")["size"]


def test_no_witness_is_no_fault(bench: Bench) -> None:
    """It is said how to add one."""
    assert bench.does("record witness list").startswith("No witness is known here: ")
    assert bench.data("record witness list")["witnesses"] == []
