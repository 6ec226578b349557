"""flitchbook shop continue: said plainly, and shown for ever."""

from pathlib import Path

from ledger.acts.heads import sign_head
from ledger.acts.shop import open_shop
from ledger.log.checkpoint import Checkpoint, sign_note
from ledger.log.keyfile import opened, read
from ledger.words import ten_words
from tests.cli.bench import Bench
from tests.conftest import entropy_from

ROOTS = "--by 01 --root sticks/root-1.json --root sticks/root-2.json"


def proof_of_more(bench: Bench) -> str:
    """Sign a head of seven entries more, as the machine that was lost did."""
    shop = open_shop(Path("shop"), now=bench.now, entropy=entropy_from("more"))
    sign_head(shop)
    origin, size = shop.standing().origin, shop.store.head().size
    secret = opened(read(shop.keys / "log.json"), pin=None, holder="the log")
    shop.close()
    head = Checkpoint(origin=origin, size=size + 7, root=b"\x5a" * 32)
    Path("more.note").write_text(sign_note(head.text, name=origin, secret=secret))
    return f"{size + 7:,} {' '.join(ten_words(head.root))}"


def test_a_log_goes_on_and_says_for_ever_what_is_lost(bench: Bench) -> None:
    """The gap is in every look at the shop, and its numbers are nobody's."""
    bench.refuses(f"shop continue {ROOTS}", "nothing is lost")
    slip = proof_of_more(bench)
    bench.refuses("shop continue --proven more.note --by 01", "bring another stick")
    issued = "--issued 26-0009-1 --issued C-2026-00044"
    said = bench.data(f"shop continue --proven '{slip}' {issued} {ROOTS}")

    assert said["closed"]["lost"] == 7
    assert said["reserved"] == ["26-0009-1", "C-2026-00044"]
    assert said["origin"].endswith("/v2")
    gap = f"Lost for good: 7 entries are lost of {said['origin'][:-3]}"
    for command in ("shop show", "record whole", "record audit --level roles"):
        assert gap in bench.does(command)
    assert bench.data("shop show")["closed"] == [said["closed"]]
    told = bench.run("record audit --level tree --against more.note")
    assert (told.code, "lost: what you gave speaks of entries" in told.out) == (0, True)
    bench.refuses(f"shop continue --proven more.note {ROOTS}", "and the log is")
