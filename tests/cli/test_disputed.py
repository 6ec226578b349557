"""What is in dispute says so wherever it is shown, and to whoever draws a paper."""

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

TWO = "--by 12 --approve 01"
HALF = "L26-001-01.A"


def reported(bench: Bench, badge: str, kind: str) -> list[int]:
    """Report somebody's key from its first entry of a kind on; return what is open."""
    said = bench.data(f"person entries {badge}")["entries"]
    since = next(each["entry"] for each in said if each["kind"] == kind)
    told = bench.data(f"person compromised {badge} --since {since} {TWO}")
    return [each["entry"] for each in told["disputed"]]


def test_a_trace_and_a_board_say_what_is_in_dispute(bench: Bench) -> None:
    """Beside the entry, until somebody stands by it; a number in dispute has a line."""
    assert bench.data(f"board show {HALF}")["disputed"] == []
    open_ = reported(bench, "02", "lot.received")
    since = open_[0]
    shown, told = bench.does(f"board show {HALF}"), bench.data(f"board show {HALF}")
    followed, lines = bench.does(f"trace {SERIAL}"), bench.data(f"trace {SERIAL}")
    (weighed,) = told["weighings"]
    marked = {each["entry"]: each["disputed_since"] for each in lines["trace"]}

    assert f"  numbered     entry {told['disputed'][0]['entry']}, disputed" in shown
    assert f"entry {weighed['entry']}, disputed since entry {since}" in shown
    assert {"entry": weighed["entry"], "disputed_since": since} in told["disputed"]
    assert f"(entry {since}, disputed since entry {since})" in followed
    assert marked[since] == since and None in marked.values()

    bench.does(f"record affirm {' '.join(map(str, open_))} --by 01 --approve 12")
    assert "disputed" not in bench.does(f"board show {HALF}")
    assert "disputed" not in bench.does(f"trace {SERIAL}")


@pytest.mark.parametrize(
    ("command", "has_room"),
    [
        ("certificate print C-2026-00001", True),
        ("certificate booklet C-2026-00001 --pages", True),
        ("certificate insurer C-2026-00001", True),
        (f"label tag {SERIAL} --on A5", True),
        ("label card C-2026-00001", False),
    ],
)
def test_whoever_draws_a_paper_hears_what_it_rests_on(
    bench: Bench, command: str, has_room: bool
) -> None:
    """Before it goes out; the paper says it too, but for a card, which has no room."""
    open_ = reported(bench, "03", "build.step-signed")
    said = bench.run(f"{command} --out paper.pdf --by 01")
    pdf = (bench.folder / "paper.pdf").read_bytes()
    text = "".join(reading.text(pdf, n) for n in range(reading.pages(pdf)))

    assert said.code == 0
    assert (
        f"rests on what is in dispute, entries {open_[0]}, {open_[1]}: look" in said.err
    )
    assert ("disputed" in text) is has_room
    bench.does(f"record affirm {' '.join(map(str, open_))} --by 01 --approve 12")
    assert "dispute" not in bench.run(f"{command} --out later.pdf --by 01").err


def test_labels_tell_once_which_entries_are_in_dispute(bench: Bench) -> None:
    """A label and a strip alike; that of other wood says nothing."""
    open_ = reported(bench, "02", "lot.received")
    for command in ("label board L26-001", f"label strip {HALF}"):
        said = bench.run(f"{command} --out label.pdf --by 01")
        text = reading.text((bench.folder / "label.pdf").read_bytes())
        (bench.folder / "label.pdf").unlink()
        assert said.code == 0
        assert (
            f"a label here rests on what is in dispute, entry {open_[0]}:" in said.err
        )
        assert f"disputed {open_[0]}" in text
